use super::Said;
use crate::text::{Fault, Lines, Place, Sentence};
use std::cell::RefCell;
use std::ops::Range;

/// The text being read and the faults found in it so far.
pub(super) struct Paper<'p> {
    text: &'p str,
    lines: Lines<'p>,
    faults: RefCell<Vec<(usize, Fault)>>,
}

impl<'p> Paper<'p> {
    pub(super) fn new(file: &'p str, text: &'p str) -> Self {
        Self {
            text,
            lines: Lines::new(file, text),
            faults: RefCell::default(),
        }
    }

    /// A fault at a byte, to be filled in and told.
    pub(super) fn fault_at(&self, byte: usize, key: &str, text: impl Into<Sentence>) -> Fault {
        let mut fault = self.lines.fault(byte, text);
        fault.place = fault.place.key(key);
        fault
    }

    /// Takes a fault into the list.
    pub(super) fn tell(&self, byte: usize, fault: Fault) {
        self.faults.borrow_mut().push((byte, fault));
    }

    /// The byte of a place in this text.
    pub(super) fn byte_of(&self, place: &Place) -> usize {
        self.lines
            .byte(place.line.unwrap_or(1), place.column.unwrap_or(1))
    }

    /// Every fault, in the order of the file.
    pub(super) fn faults(self) -> Vec<Fault> {
        let mut faults = self.faults.into_inner();
        faults.sort_by_key(|(byte, _)| *byte);
        faults.into_iter().map(|(_, fault)| fault).collect()
    }

    pub(super) fn said<T>(&self, span: &Range<usize>, key: &str, value: T) -> Said<T> {
        Said {
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
