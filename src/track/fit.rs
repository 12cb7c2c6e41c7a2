//! FIT: the activity of a watch or a handheld, as a stream of binary records. The crate `rustyfit` decodes it.
//!
//! A fix's `line` is the number of its record in the file, from 1.

use super::builder::{Builder, fix_at, stated};
use crate::reading::{Fix, Reading};
use crate::text::{Fault, Place};
use rustyfit::profile::typedef::MesgNum;
use rustyfit::proto::{Message, Value};
use rustyfit::{Decoder, DecoderError, DecoderEvent, StreamingIterator};

/// Seconds from 1970-01-01 to 1989-12-31, where the clock of FIT begins.
const EPOCH_S: f64 = 631_065_600.0;
/// Degrees of one semicircle: the circle in 2^32.
const SEMICIRCLE_DEG: f64 = 180.0 / 2_147_483_648.0;
/// The kinds of file in `file_id` that hold a walk: activity, course.
const ACTIVITY: u8 = 4;
const COURSE: u8 = 6;

/// Reads the bytes of a FIT file, chained ones too.
pub(crate) fn read(bytes: &[u8], file: &str) -> Result<Reading, Fault> {
    whole(bytes, file)?;
    let mut builder = Builder::new(file);
    // The sums were held above, over the head and the data together as the format has it.
    let mut decoder = Decoder::builder()
        .checksum(false)
        .expand_components(false)
        .build();
    let mut stream = decoder.stream(bytes);
    let (mut record, mut without, mut broken) = (0u32, 0usize, true);
    let mut kind = None;
    while let Some(event) = stream.next() {
        let event = event.map_err(|why| refused(file, record, &why))?;
        let message = match event {
            DecoderEvent::FileHeader(_) => {
                builder.begin("", false);
                broken = true;
                continue;
            }
            DecoderEvent::Message(message) => message,
            _ => continue,
        };
        match message.num {
            MesgNum::FILE_ID => {
                kind = whole_number(message, 0).and_then(|n| u8::try_from(n).ok());
                builder.drawn(kind == Some(COURSE));
            }
            MesgNum::RECORD => {
                record = record.saturating_add(1);
                let Some(fix) = fix(message, record).map_err(|found| off(file, record, found))?
                else {
                    without += 1;
                    continue;
                };
                if std::mem::take(&mut broken) {
                    builder.segment();
                }
                builder.push(fix)?;
            }
            // The clock was stopped: what follows is a stretch of its own.
            MesgNum::EVENT => {
                let (event, how) = (whole_number(message, 0), whole_number(message, 1));
                broken |= event == Some(0) && matches!(how, Some(1 | 4 | 8 | 9));
            }
            _ => {}
        }
    }
    if without > 0 {
        builder.remark(format!("{without} records without a position are not used"));
    }
    builder.finish(match kind {
        Some(ACTIVITY) | None => "this FIT activity",
        Some(COURSE) => "this FIT course",
        Some(_) => "this FIT file (settings, totals or workouts)",
    })
}

/// Every chained part must be there to its last byte before anything is decoded.
fn whole(bytes: &[u8], file: &str) -> Result<(), Fault> {
    let mut rest = bytes;
    while !rest.is_empty() {
        let head = rest.first().map_or(0, |n| usize::from(*n));
        let data = rest.get(4..8).map_or(0, |b| {
            b.iter().rev().fold(0usize, |n, b| n << 8 | usize::from(*b))
        });
        let size = head + data + 2;
        let Some(next) = rest
            .get(size..)
            .filter(|_| rest.get(8..12) == Some(b".FIT"))
        else {
            return Err(Fault::new(Place::file(file), "the FIT file is not complete")
                .found(format!("{} bytes", bytes.len()))
                .expected(format!("{} bytes, the size in its header", bytes.len() - rest.len() + size))
                .advice("copy it from the device again. If the device was switched off during the recording, switch it on first, so that it repairs its file"));
        };
        if rest.get(..size).is_some_and(|part| sum(part) != 0) {
            return Err(Fault::new(
                Place::file(file),
                "the FIT file is damaged: its checksum is wrong",
            )
            .expected("the file that the device recorded")
            .advice("copy it from the device again"));
        }
        rest = next;
    }
    Ok(())
}

/// The sum of bytes of FIT, CRC-16 with the polynomial 0x8005 reflected: 0 over a part with its own sum behind it.
fn sum(bytes: &[u8]) -> u16 {
    bytes.iter().fold(0, |sum, byte| {
        (0..8).fold(sum ^ u16::from(*byte), |s, _| {
            if s & 1 == 1 {
                (s >> 1) ^ 0xa001
            } else {
                s >> 1
            }
        })
    })
}

fn refused<E: std::fmt::Debug>(file: &str, record: u32, why: &DecoderError<E>) -> Fault {
    let what = match why {
        DecoderError::UnexpectedEof => "the FIT file is not complete",
        _ => "the FIT file is damaged",
    };
    let fault = Fault::new(Place::file(file), what)
        .expected("the file that the device recorded")
        .advice("copy it from the device again");
    match record {
        0 => fault,
        n => fault.found(format!("the error after record {n}")),
    }
}

fn off(file: &str, record: u32, found: String) -> Fault {
    Fault::new(
        Place::line(file, record),
        "this is not a place on the earth",
    )
    .found(format!("{found} in record {record}"))
    .expected("latitude from -90 to 90 degrees")
    .advice("copy the file from the device again")
}

/// The fix of a record; `None` where it has no position.
fn fix(message: &Message, record: u32) -> Result<Option<Fix>, String> {
    let (Some(lat), Some(lon)) = (semicircles(message, 0), semicircles(message, 1)) else {
        return Ok(None);
    };
    let fix = fix_at(lat, lon, record).map_err(|_| format!("{lat}, {lon}"))?;
    // Fifths of a metre above 500 m below the sea; the wider field is the same figure where the device has it.
    let height = whole_number(message, 78)
        .filter(|h| *h != i64::from(u32::MAX))
        .or_else(|| whole_number(message, 2).filter(|h| *h != i64::from(u16::MAX)));
    let accuracy = whole_number(message, 31).filter(|a| *a != i64::from(u8::MAX));
    let time = whole_number(message, 253).filter(|t| *t != i64::from(u32::MAX));
    Ok(Some(Fix {
        elevation_m: height.map(|h| exact(h) / 5.0 - 500.0),
        time_s: time.map(|t| exact(t) + EPOCH_S),
        stated_sd_m: accuracy.and_then(|a| stated(exact(a))),
        ..fix
    }))
}

fn semicircles(message: &Message, field: u8) -> Option<f64> {
    let value = whole_number(message, field).filter(|v| *v != i64::from(i32::MAX))?;
    Some(exact(value) * SEMICIRCLE_DEG)
}

/// A figure of at most 32 bits: exact in a double.
fn exact(value: i64) -> f64 {
    i32::try_from(value).map_or_else(
        |_| u32::try_from(value).map_or(f64::NAN, f64::from),
        f64::from,
    )
}

/// The figure of a field, as it stands.
fn whole_number(message: &Message, number: u8) -> Option<i64> {
    let field = message.fields.iter().find(|f| f.num == number)?;
    Some(match field.value {
        Value::Int8(v) => v.into(),
        Value::Uint8(v) => v.into(),
        Value::Int16(v) => v.into(),
        Value::Uint16(v) => v.into(),
        Value::Int32(v) => v.into(),
        Value::Uint32(v) => v.into(),
        _ => return None,
    })
}
