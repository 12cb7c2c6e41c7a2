//! NMEA 0183: the sentences that a receiver sends, logged line by line.
//!
//! GGA gives position, quality, dilution and height, RMC the date, GST the standard deviation of the height. Each sentence carries its own sum of bytes,
//! so what was garbled on the cable is known and left out. Sentences and their fields: NMEA 0183 as receivers' handbooks print it (from memory).

use super::builder::{Builder, fix_at, stated};
use crate::reading::{Fix, Reading};
use crate::text::{Fault, Place};
use crate::unit::clock_s;

/// A gap longer than this parts two stretches, s.
const GAP_S: f64 = 30.0;
/// Lines that are looked at to tell a log.
const LOOKED_AT: usize = 40;

/// Whether bytes are a log: a whole sentence that gives a position or a date stands among the first lines.
pub(crate) fn looks_like(bytes: &[u8]) -> bool {
    lines(bytes).take(LOOKED_AT).any(|line| {
        sentence(&line).is_some_and(|s| {
            matches!(
                s.kind(),
                "GGA" | "RMC" | "GST" | "GSA" | "GSV" | "GLL" | "VTG"
            )
        })
    })
}

fn lines(bytes: &[u8]) -> impl Iterator<Item = std::borrow::Cow<'_, str>> {
    bytes
        .split(|b| *b == b'\n')
        .map(|line| String::from_utf8_lossy(line.get(..line.len().min(200)).unwrap_or(line)))
}

/// A sentence whose sum of bytes is right.
struct NmeaSentence<'a> {
    fields: Vec<&'a str>,
}

impl NmeaSentence<'_> {
    /// The kind, whoever talks: GP, GN, GL.
    fn kind(&self) -> &str {
        self.field(0).get(2..).unwrap_or("")
    }

    fn field(&self, i: usize) -> &str {
        self.fields.get(i).map_or("", |f| f.trim())
    }

    fn number(&self, i: usize) -> Option<f64> {
        crate::text::number(self.field(i)).ok()
    }
}

fn sentence(line: &str) -> Option<NmeaSentence<'_>> {
    let (_, body) = line.split_once('$')?;
    let (body, sum) = body.rsplit_once('*')?;
    let stated = u8::from_str_radix(sum.trim().get(..2)?, 16).ok()?;
    let found = body.bytes().fold(0, |sum, byte| sum ^ byte);
    (found == stated).then(|| NmeaSentence {
        fields: body.split(',').collect(),
    })
}

/// Reads a log.
pub(crate) fn read(bytes: &[u8], file: &str) -> Result<Reading, Fault> {
    let mut log = NmeaLog {
        builder: Builder::new(file),
        day_s: None,
        last_s: None,
        fix: None,
        doubt: None,
    };
    log.builder.begin("", false);
    let (mut good, mut garbled, mut first_garbled, mut unfixed) = (0usize, 0usize, 0, 0usize);
    for (line, number) in lines(bytes).zip(1u32..) {
        let Some(sentence) = sentence(&line) else {
            if line.contains('$') {
                garbled += 1;
                if garbled == 1 {
                    first_garbled = number;
                }
            }
            continue;
        };
        good += 1;
        let place = || Place::line(file, number);
        match sentence.kind() {
            "RMC" => log.date(&sentence),
            "GGA" if sentence.field(6) == "0" || sentence.field(2).is_empty() => unfixed += 1,
            "GGA" => log.position(&sentence, number).map_err(|found| {
                Fault::new(place(), "this position is not possible")
                    .found(found)
                    .expected("degrees and minutes (ddmm.mmm) and N, S, E or W")
                    .advice("record the log again")
            })?,
            "GST" => log.doubt = log.seconds(&sentence).zip(sentence.number(8)),
            _ => {}
        }
        log.settle(false)?;
    }
    log.settle(true)?;
    if garbled > good {
        return Err(Fault::new(
            Place::line(file, first_garbled),
            "most sentences of the log are damaged",
        )
        .found(format!(
            "{garbled} sentences with a wrong checksum, {good} correct sentences"
        ))
        .expected("complete sentences, each with its checksum after *")
        .advice("check the port speed and the cable, and record the log again"));
    }
    let NmeaLog {
        mut builder, day_s, ..
    } = log;
    if garbled > 0 {
        builder.remark(format!(
            "{garbled} damaged sentences are not used. The first one is in line {first_garbled}"
        ));
    }
    if unfixed > 0 {
        builder.remark(format!("{unfixed} sentences without a fix are not used"));
    }
    if day_s.is_none() {
        builder.remark("the log has no date (RMC), so the day of its times is not known");
    }
    builder.finish("this NMEA log")
}

struct NmeaLog<'a> {
    builder: Builder<'a>,
    /// Midnight of the day, s since 1970.
    day_s: Option<f64>,
    last_s: Option<f64>,
    /// The fix whose doubt may still follow, and its time of day.
    fix: Option<(Fix, Option<f64>)>,
    /// Time of day and standard deviation of the height.
    doubt: Option<(f64, f64)>,
}

impl NmeaLog<'_> {
    /// Time of day, s.
    fn seconds(&self, sentence: &NmeaSentence<'_>) -> Option<f64> {
        let text = sentence.field(1);
        let part = |from: usize, to: usize| text.get(from..to)?.parse::<u8>().ok().map(f64::from);
        let second = crate::text::number(text.get(4..)?).ok()?;
        Some(part(0, 2)? * 3600.0 + part(2, 4)? * 60.0 + second)
    }

    /// RMC: the day.
    fn date(&mut self, sentence: &NmeaSentence<'_>) {
        let text = sentence.field(9);
        let part = |from: usize, to: usize| text.get(from..to);
        if let (Some(day), Some(month), Some(year)) = (part(0, 2), part(2, 4), part(4, 6)) {
            let century = if year < "80" { "20" } else { "19" };
            self.day_s = clock_s(&format!("{century}{year}-{month}-{day}")).or(self.day_s);
        }
    }

    /// GGA: where, how high, how good.
    fn position(&mut self, sentence: &NmeaSentence<'_>, line: u32) -> Result<(), String> {
        let shown = || {
            let parts: Vec<&str> = (2..6).map(|i| sentence.field(i)).collect();
            parts.join(",")
        };
        let lat = degrees(sentence.field(2), sentence.field(3), ["N", "S"]).ok_or_else(shown)?;
        let lon = degrees(sentence.field(4), sentence.field(5), ["E", "W"]).ok_or_else(shown)?;
        let fix = fix_at(lat, lon, line).map_err(|_| shown())?;
        self.settle(true).map_err(|f| f.text.to_string())?;
        let time = self.seconds(sentence);
        self.fix = Some((
            Fix {
                elevation_m: sentence.number(9).filter(|_| sentence.field(10) != "F"),
                dilution: sentence.number(8).and_then(stated),
                ..fix
            },
            time,
        ));
        Ok(())
    }

    /// Puts the fix that waits behind the others, once its doubt came or the next fix did.
    fn settle(&mut self, now: bool) -> Result<(), Fault> {
        let Some((mut fix, time)) = self.fix else {
            return Ok(());
        };
        let doubt = self.doubt.filter(|d| Some(d.0) == time);
        // The date of the first fixes comes a sentence later.
        if !now && (doubt.is_none() || self.day_s.is_none()) {
            return Ok(());
        }
        self.fix = None;
        fix.stated_sd_m = doubt.and_then(|d| stated(d.1));
        fix.time_s = time.map(|t| t + self.day_s.unwrap_or(0.0));
        // Past midnight the date of the old day still stands until the next RMC.
        if let (Some(t), Some(last)) = (fix.time_s, self.last_s)
            && t < last - 43_200.0
        {
            fix.time_s = Some(t + 86_400.0);
        }
        let gap = fix
            .time_s
            .zip(self.last_s)
            .is_none_or(|(t, l)| t - l > GAP_S);
        if gap && fix.time_s.is_some() {
            self.builder.segment();
        }
        self.last_s = fix.time_s.or(self.last_s);
        self.builder.push(fix)
    }
}

/// `ddmm.mmm` and a letter, as degrees.
fn degrees(text: &str, letter: &str, [plus, minus]: [&str; 2]) -> Option<f64> {
    let figure = crate::text::number(text).ok().filter(|f| *f >= 0.0)?;
    let whole = (figure / 100.0).floor();
    let minutes = figure - whole * 100.0;
    let sign = match letter {
        l if l == plus => 1.0,
        l if l == minus => -1.0,
        _ => return None,
    };
    (minutes < 60.0).then_some(sign * (whole + minutes / 60.0))
}
