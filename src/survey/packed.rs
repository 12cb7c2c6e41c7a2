//! Files inside others: `.gz`, and `.zip` with one or several (a KMZ is one). What they may grow to is held before anything is unpacked.

use super::content::Content;
use super::foreign::READ;
use super::member::{Member, OpenedFile};
use super::{booked, content, foreign, packed, workbook};
use crate::reading::{Data, Method, Reading};
use crate::text::{Fault, Place, Remark, decode, neutral};
use crate::track::gpx;
use crate::track::{geojson, kml, nmea, tcx};
use flate2::read::MultiGzDecoder;
use std::io::{Cursor, Read};
use zip::ZipArchive;

/// No text of a survey is packed closer than this; a walk written by hand is packed some 20 times.
const LARGEST_RATIO: u64 = 100;
/// What any file may grow to, however small it is, bytes.
const LEAST_ROOM: u64 = 4 << 20;
/// What a file may grow to at most, bytes: what is read of a file that is not packed.
const MOST_ROOM: u64 = 256 << 20;
/// Most files in an archive.
const MOST_FILES: usize = 1_000;
/// Archives in archives: a KMZ in a zip.
const DEEPEST: usize = 2;

/// What `packed` bytes may grow to.
fn room(packed: usize) -> u64 {
    (packed as u64)
        .saturating_mul(LARGEST_RATIO)
        .clamp(LEAST_ROOM, MOST_ROOM)
}

fn too_large(file: &str, limit: u64) -> Fault {
    Fault::new(Place::file(file), "the unpacked file is too large")
        .found(format!("more than {limit} bytes unpacked"))
        .expected(format!("at most {LARGEST_RATIO} times the size of the packed file, and at most {MOST_ROOM} bytes"))
        .advice("such a file can fill the memory of the computer. If you know that it is a walk, unpack it and give the file inside")
}

fn damaged(file: &str, why: &impl std::fmt::Display) -> Fault {
    Fault::new(
        Place::file(file),
        "the packed file is not complete, or it is damaged",
    )
    .found(why.to_string())
    .expected("a complete archive")
    .advice("copy the file again from its source")
}

/// Everything a stream gives within a limit.
fn within(stream: impl Read, limit: u64, file: &str) -> Result<Vec<u8>, Fault> {
    let mut bytes = Vec::new();
    stream
        .take(limit.saturating_add(1))
        .read_to_end(&mut bytes)
        .map_err(|why| damaged(file, &why))?;
    if bytes.len() as u64 > limit {
        return Err(too_large(file, limit));
    }
    Ok(bytes)
}

/// Reads what a `.gz` holds.
pub(super) fn gzip(bytes: &[u8], known: OpenedFile<'_>) -> Result<Reading, Fault> {
    not_too_deep(known)?;
    let inside = within(MultiGzDecoder::new(bytes), room(bytes.len()), known.file)?;
    opened(&inside, known.inside(known.file))
}

fn not_too_deep(known: OpenedFile<'_>) -> Result<(), Fault> {
    if known.depth < DEEPEST {
        return Ok(());
    }
    Err(Fault::new(
        Place::file(known.file),
        "too many archives inside each other",
    )
    .found(format!("more than {DEEPEST} levels"))
    .expected("the survey files, packed one time")
    .advice("unpack it and give the files inside"))
}

/// Everything in an archive, unpacked within the limits.
pub(super) fn members(bytes: &[u8], file: &str) -> Result<Vec<Member>, Fault> {
    let mut archive = ZipArchive::new(Cursor::new(bytes)).map_err(|why| damaged(file, &why))?;
    if archive.len() > MOST_FILES {
        return Err(
            Fault::new(Place::file(file), "the archive has too many files")
                .found(format!("{} files", archive.len()))
                .expected(format!("at most {MOST_FILES}"))
                .advice("pack only the files of this survey"),
        );
    }
    let limit = room(bytes.len());
    let mut left = limit;
    let mut out = Vec::new();
    for i in 0..archive.len() {
        let mut member = archive.by_index(i).map_err(|why| match why {
            zip::result::ZipError::UnsupportedArchive(_) => Fault::new(
                Place::file(file),
                "the program cannot read this type of archive",
            )
            .found(why.to_string())
            .expected("a plain .zip without a password")
            .advice("unpack it and give the files inside"),
            why => damaged(file, &why),
        })?;
        if member.is_dir() {
            continue;
        }
        // What the list states is held first, then what comes out.
        if member.size() > left {
            return Err(too_large(file, limit));
        }
        let name = member
            .name()
            .map_err(|why| damaged(file, &why))?
            .into_owned();
        let bytes = within(&mut member, left, file)?;
        left = left.saturating_sub(bytes.len() as u64);
        out.push(Member { name, bytes });
    }
    Ok(out)
}

/// Reads what an archive holds: walks together, or one book.
pub(super) fn zip(bytes: &[u8], known: OpenedFile<'_>) -> Result<Reading, Fault> {
    let file = known.file;
    not_too_deep(known)?;
    let members = members(bytes, file)?;
    let has = |name: &str| members.iter().any(|m| m.name == name);
    if has("xl/workbook.xml") {
        return workbook::read(&members, true, known);
    }
    if has("content.xml") && has("mimetype") {
        let sheet = members
            .iter()
            .any(|m| m.name == "mimetype" && m.bytes.starts_with(SPREADSHEET));
        return if sheet {
            workbook::read(&members, false, known)
        } else {
            Err(foreign::OPEN_TEXT.fault(file))
        };
    }
    if let Some(foreign) = foreign::by_names(&has) {
        return Err(foreign.fault(file));
    }
    each(&members, known)
}

const SPREADSHEET: &[u8] = b"application/vnd.oasis.opendocument.spreadsheet";

fn each(members: &[Member], known: OpenedFile<'_>) -> Result<Reading, Fault> {
    let file = known.file;
    let mut whole: Option<Reading> = None;
    let mut beside = Vec::new();
    for member in members {
        let own = member.name.rsplit(['/', '\\']).next().unwrap_or("");
        if own.starts_with('.') || member.name.starts_with("__MACOSX/") {
            continue;
        }
        let name = format!("{file}: {}", neutral(&member.name));
        let what = content::of(&member.bytes);
        match opened(&member.bytes, known.inside(&name)) {
            Ok(reading) => {
                whole = Some(match whole {
                    None => reading,
                    Some(before) => joined(before, reading, file)?,
                });
            }
            // A text or a picture beside the walks is none of them; a walk that cannot be read is told.
            Err(fault) if matches!(what, Content::Foreign(_) | Content::Sheet) => {
                beside.push((name, fault));
            }
            Err(fault) => return Err(fault),
        }
    }
    let Some(mut whole) = whole else {
        let Some((_, fault)) = beside.into_iter().next() else {
            return Err(Fault::new(Place::file(file), "the archive is empty")
                .expected(READ)
                .advice("check that the survey files are in the archive"));
        };
        return Err(fault);
    };
    whole.file = file.to_owned();
    whole
        .remarks
        .extend(beside.into_iter().map(|(name, fault)| {
            Remark::new(
                Place::file(name),
                format!("not used, because it is not a survey: {}", &*fault.text),
            )
        }));
    Ok(whole)
}

/// Walks of one archive are passes of one line; a book stands alone.
fn joined(mut before: Reading, next: Reading, file: &str) -> Result<Reading, Fault> {
    match (&mut before.data, next.data) {
        (Data::Walks(passes), Data::Walks(more)) => passes.extend(more),
        _ => {
            return Err(Fault::new(
                Place::file(file),
                "the archive has more than one book, or a book together with walks",
            )
            .found(format!("{} and {}", before.file, next.file))
            .expected("walks of one route, or one book")
            .advice("unpack it and give the files. If a route has several parts, give each part as [[survey.part]] in the site file"));
        }
    }
    before.points_read += next.points_read;
    before.places.extend(next.places);
    before.remarks.extend(next.remarks);
    Ok(before)
}

/// Reads a file by what it holds, also where it lies in archives.
pub(super) fn opened(bytes: &[u8], known: OpenedFile<'_>) -> Result<Reading, Fault> {
    let file = known.file;
    let content = content::of(bytes);
    let packed = matches!(content, Content::Gzip | Content::Zip);
    let walk = !(packed || matches!(content, Content::Sheet | Content::Foreign(_)));
    if let Some(kind) = known.kind.filter(|k| walk && *k != Method::Gpx) {
        return Err(Fault::new(
            Place::line(file, 1),
            "this is a walk, but `kind` is the kind of a sheet",
        )
        .found("a track with positions")
        .expected(format!("a sheet with `kind` {}", kind.word()))
        .advice("remove `kind`. The program recognizes the kind from the file"));
    }
    match content {
        Content::Gpx => gpx::read(bytes, file),
        Content::Kml => kml::read(&decode(file, bytes)?.text, file),
        Content::Tcx => tcx::read(&decode(file, bytes)?.text, file),
        Content::Json => geojson::read(&decode(file, bytes)?.text, file),
        Content::Nmea => nmea::read(bytes, file),
        #[cfg(feature = "fit")]
        Content::Fit => crate::track::fit::read(bytes, file),
        #[cfg(not(feature = "fit"))]
        Content::Fit => Err(super::foreign::left_out(file, "a FIT file", "fit")),
        Content::Gzip => packed::gzip(bytes, known),
        Content::Zip => packed::zip(bytes, known),
        Content::Foreign(foreign) => Err(foreign.fault(file)),
        Content::Sheet => booked::text(&decode(file, bytes)?.text, known),
    }
}
