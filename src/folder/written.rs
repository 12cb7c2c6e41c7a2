//! The list of what a run wrote: by it the next run knows what it may take away, and anybody can check that a sheet is as it was written.

use super::directory::{Directory, EntryKind};
use super::result_file::ResultFile;
use crate::text::digest;
use std::collections::BTreeMap;
use std::ffi::OsStr;
use std::fmt::Write as _;
use std::io;

/// The name of the list. Its lines are those of `sha256sum`: `sha256sum --check written.sha256` checks a folder.
pub const LIST: &str = "written.sha256";

/// No list of ours is longer; what is longer is not ours.
const LONGEST_LIST: u64 = 1 << 16;

/// No sheet of ours is longer than what is read to know it again.
const LONGEST_SHEET: u64 = 1 << 28;

/// Names under which version 0.1, which kept no list, wrote its results. Its site file is not among them: the user may have changed it since.
const BEFORE_LISTS: &[&str] = &[
    "result.json",
    "profile.svg",
    "plan.svg",
    "report.html",
    "stations.csv",
    "stakes.csv",
    "laying.csv",
    "marks.gpx",
    "marks.geojson",
    "shopping.csv",
    "moved.svg",
];

/// The list of these sheets.
pub fn list(sheets: &[ResultFile]) -> ResultFile {
    let text = sheets
        .iter()
        .fold(String::new(), |mut text, (name, bytes)| {
            let _ = writeln!(text, "{}  {name}", digest(bytes));
            text
        });
    (LIST.to_owned(), text.into_bytes())
}

/// What the last run wrote into a folder.
pub struct Written(Option<BTreeMap<String, String>>);

impl Written {
    /// Reads the list of a folder; a folder of version 0.1 has none.
    pub fn of<D: Directory>(folder: &D) -> io::Result<Self> {
        if folder.kind(OsStr::new(LIST))? != Some(EntryKind::File) {
            return Ok(Self(None));
        }
        let bytes = folder.read(OsStr::new(LIST), LONGEST_LIST)?;
        Ok(Self(Some(
            String::from_utf8_lossy(&bytes)
                .lines()
                .filter_map(|line| line.split_once("  "))
                .map(|(digest, name)| (name.to_owned(), digest.to_owned()))
                .collect(),
        )))
    }

    /// Whether a name in the folder is a file as the last run wrote it: it may be taken away.
    pub fn as_written<D: Directory>(&self, folder: &D, name: &OsStr) -> io::Result<bool> {
        let Some(text) = name.to_str() else {
            return Ok(false);
        };
        if folder.kind(name)? != Some(EntryKind::File) {
            return Ok(false);
        }
        match &self.0 {
            None => Ok(BEFORE_LISTS.contains(&text) || numbered(text)),
            Some(_) if text == LIST => Ok(true),
            Some(list) => match list.get(text) {
                Some(known) => Ok(*known == digest(&folder.read(name, LONGEST_SHEET)?)),
                None => Ok(false),
            },
        }
    }
}

/// The second and later sheets of a long line, as version 0.1 named them.
fn numbered(name: &str) -> bool {
    ["profile-", "plan-", "moved-"].iter().any(|stem| {
        name.strip_prefix(stem)
            .and_then(|rest| rest.strip_suffix(".svg"))
            .is_some_and(|n| !n.is_empty() && n.bytes().all(|b| b.is_ascii_digit()))
    })
}
