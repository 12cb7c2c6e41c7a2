//! The text of a GPX file with its name, and the faults of its grammar.

use crate::text::{Fault, Lines, Place, Sentence};
use quick_xml::errors::{Error, IllFormedError};

/// Deepest nesting: GPX needs five levels, extensions of receivers a few more.
pub(super) const DEEPEST: usize = 32;

/// Longest tag with its attributes, bytes.
pub(super) const LONGEST_TAG: usize = 65_536;

/// Most points of a file, tracks, routes and waypoints together: a receiver's fix a second, day and night for a month.
pub(crate) const MOST_POINTS: usize = 2_500_000;

const CUT: &str = "copy the file from the receiver again. To use the incomplete file, delete the text after the last complete </trkpt>, and add </trkseg></trk></gpx>";

const AGAIN: &str = "export the track again, or correct this place with a text editor";

/// A file's text; places in it are bytes from its start.
#[derive(Debug, Clone, Copy)]
pub(super) struct GpxText<'a> {
    pub(super) file: &'a str,
    pub(super) text: &'a str,
}

impl<'a> GpxText<'a> {
    /// A fault at a byte.
    pub(super) fn fault(&self, at: usize, what: impl Into<Sentence>) -> Fault {
        Lines::new(self.file, self.text).fault(at, what)
    }

    /// The place of a byte.
    pub(super) fn place(&self, at: usize) -> Place {
        Lines::new(self.file, self.text).place(at)
    }

    /// A stretch of the text; empty where it is none.
    pub(super) fn slice(&self, from: usize, length: usize) -> &'a str {
        self.text
            .get(from..from.saturating_add(length))
            .unwrap_or("")
    }

    /// Where a borrowed piece of the text stands in it.
    pub(super) fn offset_of(&self, piece: &str) -> Option<usize> {
        let at = (piece.as_ptr() as usize).checked_sub(self.text.as_ptr() as usize)?;
        (at <= self.text.len()).then_some(at)
    }

    pub(super) fn doctype(&self, at: usize) -> Fault {
        self.fault(at, "the program does not accept a document type (DOCTYPE)")
            .expected("a GPX file without a DOCTYPE")
            .advice("delete this declaration. It can make a small file extremely large")
    }

    pub(super) fn long_tag(&self, at: usize, bytes: usize) -> Fault {
        self.fault(at, "this tag has no end")
            .found(format!("a tag of {bytes} bytes"))
            .expected(format!("at most {LONGEST_TAG} bytes from < to >"))
            .advice("export the track again")
    }

    pub(super) fn too_deep(&self, at: usize) -> Fault {
        self.fault(at, "elements nested too deeply")
            .found(format!("more than {DEEPEST} levels"))
            .expected("tracks, segments and points: five levels, and some more in extensions")
            .advice("export the track again without extensions")
    }

    /// Holds the number of points, and with it the memory, within its limit.
    pub(super) fn not_too_many(&self, points: usize, at: usize) -> Result<(), Box<Fault>> {
        if points < MOST_POINTS {
            return Ok(());
        }
        Err(Box::new(
            self.fault(at, "too many points in one file")
                .found(format!("more than {MOST_POINTS} points"))
                .expected(format!("at most {MOST_POINTS} points"))
                .advice("copy the walks of this route into a separate file"),
        ))
    }

    pub(super) fn second_root(&self, at: usize, name: &str) -> Fault {
        self.fault(at, "the file continues after </gpx>")
            .found(format!("<{}>", shortened(name)))
            .expected("the end of the file")
            .advice("this file contains two files. Separate them, and give both")
    }

    pub(super) fn piled(&self, at: usize) -> Fault {
        self.fault(at, "too many namespaces")
            .found("more than 256 active declarations")
            .expected("some xmlns declarations in the first element")
            .advice("export the track again without extensions")
    }

    pub(super) fn other_root(&self, at: usize, name: &str) -> Fault {
        self.fault(at, "this is not a GPX file")
            .found(format!("<{}> as the first element", shortened(name)))
            .expected("<gpx>")
            .advice("export the track as GPX")
    }

    pub(super) fn no_markup(&self, at: usize, piece: &str) -> Fault {
        self.fault(at, "this is not a GPX file")
            .found(shortened(piece.trim()))
            .expected("<gpx> or an XML declaration")
            .advice("export the track as GPX. For a table of points, use a CSV file")
    }

    pub(super) fn no_root(&self) -> Fault {
        let empty = self.text.trim().is_empty();
        let what = if empty {
            "the file is empty"
        } else {
            "this is not a GPX file"
        };
        self.fault(0, what)
            .expected("<gpx> with a track")
            .advice("copy the file from the receiver again")
    }

    pub(super) fn second_position(&self, at: usize) -> Fault {
        self.fault(at, "this point has two positions")
            .expected("one lat and one lon")
            .advice("delete the wrong position")
    }

    pub(super) fn no_position(&self, at: usize, lacks: &str) -> Fault {
        self.fault(at, format!("this point has no {lacks}"))
            .expected("lat=\"…\" and lon=\"…\" in the tag of a point")
            .advice("delete this point, or export the track again")
    }

    pub(super) fn bad_attribute(&self, at: usize, why: &str) -> Fault {
        self.fault(at, "the attributes of this tag cannot be read")
            .found(why)
            .expected("name=\"value\" pairs")
            .advice(AGAIN)
    }

    /// The file ends while `name`, opened at `opened`, is still open.
    pub(super) fn cut(&self, name: &str, opened: usize) -> Fault {
        let (line, _) = Lines::new(self.file, self.text).position(opened);
        self.fault(self.text.trim_end().len(), "the file is not complete")
            .found(format!(
                "the end of the file inside <{}>, which starts in line {line}",
                shortened(name)
            ))
            .expected("</gpx> at the end")
            .advice(CUT)
    }

    /// What the tokenizer says; `opened` is where the innermost open element begins.
    pub(super) fn broken(&self, error: &Error, at: usize, opened: usize) -> Fault {
        match error {
            // The tokenizer knows the grammar only; each of its grammar errors is an end that never comes.
            Error::Syntax(_) => self
                .fault(at, "the file ends inside a tag or comment")
                .found(shortened(self.text.get(at..).unwrap_or("")))
                .expected("the end of the tag, and </gpx> at the end of the file")
                .advice(CUT),
            Error::IllFormed(IllFormedError::MismatchedEndTag { expected, found }) => {
                let (line, _) = Lines::new(self.file, self.text).position(opened);
                self.fault(at, "this closing tag does not match the open tag")
                    .found(format!("</{}>", shortened(found)))
                    .expected(format!(
                        "</{}>, for the tag in line {line}",
                        shortened(expected)
                    ))
                    .advice(AGAIN)
            }
            other => self
                .fault(at, "the file is not well-formed XML")
                .found(shortened(&other.to_string()))
                .expected("GPX")
                .advice(AGAIN),
        }
    }
}

/// A text cut to what a message can hold.
pub(super) fn shortened(text: &str) -> String {
    if text.is_empty() {
        return "nothing".to_owned();
    }
    match text.char_indices().nth(60) {
        Some((end, _)) => text.get(..end).unwrap_or("").to_owned() + "…",
        None => text.to_owned(),
    }
}
