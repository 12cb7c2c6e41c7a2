use super::Located;
use super::key::Heard;
use crate::text::{Fault, Lines, Place, Sentence};
use std::cell::RefCell;
use std::ops::Range;

/// Faults that are told of one file.
const MOST_FAULTS: usize = 100;

/// Longest line of a site file, bytes: each value keeps its line, to be shown where it is wrong.
const LONGEST_LINE: usize = 20_000;

/// The text being read and the faults found in it so far.
pub(super) struct Diagnostics<'p> {
    text: &'p str,
    lines: Lines<'p>,
    faults: RefCell<Vec<(usize, Fault)>>,
    /// What the reader asks for, where somebody listens.
    heard: Option<RefCell<Vec<Heard>>>,
}

impl<'p> Diagnostics<'p> {
    pub(super) fn new(file: &'p str, text: &'p str) -> Self {
        Self {
            text,
            lines: Lines::new(file, text),
            faults: RefCell::default(),
            heard: None,
        }
    }

    /// A paper on which nothing stands, and that keeps what it is asked for.
    pub(super) fn listening() -> Self {
        Self {
            heard: Some(RefCell::default()),
            ..Self::new("", "")
        }
    }

    /// Whether somebody listens to what is asked for.
    pub(super) fn listens(&self) -> bool {
        self.heard.is_some()
    }

    /// Keeps that a key was asked for, once.
    pub(super) fn hear(&self, key: Heard) {
        if let Some(heard) = &self.heard {
            let mut heard = heard.borrow_mut();
            if !heard
                .iter()
                .any(|h| h.table == key.table && h.key == key.key)
            {
                heard.push(key);
            }
        }
    }

    /// Everything that was asked for, in order.
    pub(super) fn heard(self) -> Vec<Heard> {
        self.heard.map(RefCell::into_inner).unwrap_or_default()
    }

    /// Whether no line is too long to be kept with each of its values; tells the first that is.
    pub(super) fn lines_fit(&self) -> bool {
        let mut at = 0;
        for line in self.text.split_inclusive('\n') {
            if line.len() > LONGEST_LINE {
                let fault = self.fault_at(at, "", "this row is too long");
                let fault = fault
                    .found(format!("{} bytes", line.len()))
                    .expected(format!("at most {LONGEST_LINE} bytes"));
                self.tell(at, fault.advice("write a list on several lines"));
                return false;
            }
            at += line.len();
        }
        true
    }

    /// A fault at a byte, to be filled in and told.
    pub(super) fn fault_at(&self, byte: usize, key: &str, text: impl Into<Sentence>) -> Fault {
        let mut fault = self.lines.fault(byte, text);
        fault.place = fault.place.key(key);
        fault
    }

    /// Takes a fault into the list, as long as there is room.
    pub(super) fn tell(&self, byte: usize, fault: Fault) {
        if !self.is_full() {
            self.faults.borrow_mut().push((byte, fault));
        }
    }

    /// Whether as many faults are told as anybody reads: a file of another kind may be wrong in every line.
    pub(super) fn is_full(&self) -> bool {
        self.faults.borrow().len() >= MOST_FAULTS
    }

    /// The byte of a place in this text.
    pub(super) fn byte_of(&self, place: &Place) -> usize {
        self.lines
            .byte(place.line.unwrap_or(1), place.column.unwrap_or(1))
    }

    /// Every fault, in the order of the file.
    pub(super) fn faults(self) -> Vec<Fault> {
        let full = self.is_full();
        let mut faults = self.faults.into_inner();
        faults.sort_by_key(|(byte, _)| *byte);
        if let (true, Some(&(byte, _))) = (full, faults.last()) {
            let more = self.lines.fault(byte, "the list of errors ends here");
            let more = more.found(format!("{MOST_FAULTS} errors, perhaps more"));
            faults.push((
                byte,
                more.advice("correct these errors first, or check that this file is a site file"),
            ));
        }
        faults.into_iter().map(|(_, fault)| fault).collect()
    }

    pub(super) fn said<T>(&self, span: &Range<usize>, key: &str, value: T) -> Located<T> {
        Located {
            value,
            place: self.lines.place(span.start).key(key),
            source_line: self.lines.line_at(span.start).to_owned(),
        }
    }

    /// The text of a value as it stands in the file, cut where it is long.
    pub(super) fn raw(&self, span: &Range<usize>) -> String {
        let raw = self.text.get(span.clone()).unwrap_or("");
        let line = raw.lines().next().unwrap_or("");
        let cut: String = line.chars().take(60).collect();
        if cut.len() < raw.len() {
            format!("{cut}...")
        } else {
            cut
        }
    }
}
