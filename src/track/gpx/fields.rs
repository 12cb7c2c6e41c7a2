//! Values inside a GPX element, and the faults they can have.

use super::source::{GpxText, shortened};
use crate::text::{Fault, NoNumber, number};
use std::borrow::Cow;

/// Longest name that is kept, characters: what follows is cut.
const NAME: usize = 200;

/// The text between two tags, put together from its pieces.
#[derive(Debug, Clone, Default)]
pub(super) struct TagText<'a> {
    text: Cow<'a, str>,
    /// Where its first piece stands, bytes from the start of the file's text.
    pub(super) at: usize,
}

impl<'a> TagText<'a> {
    /// Adds a piece that stands at byte `at`.
    pub(super) fn push(&mut self, piece: &'a str, at: usize) {
        if self.text.is_empty() {
            self.text = Cow::Borrowed(piece);
            self.at = at;
        } else {
            self.text.to_mut().push_str(piece);
        }
    }

    /// Adds one character that was written as a reference at byte `at`.
    pub(super) fn push_char(&mut self, c: char, at: usize) {
        if self.text.is_empty() {
            self.at = at;
        }
        self.text.to_mut().push(c);
    }

    /// The text without blanks round it.
    pub(super) fn trimmed(&self) -> &str {
        self.text.trim()
    }

    /// Where the text without blanks begins.
    pub(super) fn start(&self) -> usize {
        self.at + self.text.len() - self.text.trim_start().len()
    }

    /// The text as a name: blanks joined, cut where it is too long.
    pub(super) fn name(&self) -> String {
        let mut name = String::new();
        for word in self.text.split_whitespace() {
            if !name.is_empty() {
                name.push(' ');
            }
            name.push_str(word);
        }
        match name.char_indices().nth(NAME) {
            Some((end, _)) => name.get(..end).unwrap_or("").to_owned() + "…",
            None => name,
        }
    }
}

/// What a number in a GPX file says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum GpxQuantity {
    Latitude,
    Longitude,
    Height,
}

impl GpxQuantity {
    fn name(self) -> &'static str {
        match self {
            Self::Latitude => "latitude",
            Self::Longitude => "longitude",
            Self::Height => "height",
        }
    }

    /// The largest size it may have.
    pub(super) fn limit(self) -> f64 {
        match self {
            Self::Latitude => 90.0,
            Self::Longitude => 180.0,
            Self::Height => f64::MAX,
        }
    }

    fn expected(self) -> &'static str {
        match self {
            Self::Latitude => "degrees from -90 to 90 with a decimal point, for example 46.4346",
            Self::Longitude => "degrees from -180 to 180 with a decimal point, for example 13.7481",
            Self::Height => "metres with a decimal point, for example 412.3, or no value",
        }
    }

    /// The number in a text that stands at byte `at` of the file.
    pub(super) fn read(
        self,
        text: &str,
        at: usize,
        source: GpxText<'_>,
    ) -> Result<f64, Box<Fault>> {
        let plain = text.trim();
        // The road nearly every point takes: a plain number.
        if let Ok(value) = plain.parse::<f64>()
            && value.abs() <= self.limit()
        {
            return Ok(value);
        }
        let lead = text.len() - text.trim_start().len();
        Err(Box::new(self.fault(plain, at + lead, source)))
    }

    fn fault(self, text: &str, at: usize, source: GpxText<'_>) -> Fault {
        let name = self.name();
        let (what, advice) = match number(text) {
            Err(NoNumber::Empty) => (
                format!("the {name} is empty"),
                "delete this point, or export the track again".to_owned(),
            ),
            Err(NoNumber::DecimalComma) => (
                format!("the {name} has a decimal comma"),
                "numbers in GPX have a decimal point. Select decimal points in the exporting program, or replace the commas in the numbers".to_owned(),
            ),
            Err(NoNumber::NotFinite) => (
                format!("the {name} is not a finite number"),
                if self == Self::Height {
                    "if the height is not known, delete this element".to_owned()
                } else {
                    "delete this point, or export the track again".to_owned()
                },
            ),
            Err(NoNumber::NotANumber) => (
                format!("the {name} is not a number"),
                "delete this point, or export the track again".to_owned(),
            ),
            Ok(_) => (
                format!("the {name} is not a place on the earth"),
                "check if latitude and longitude are exchanged, or if the export lost the degrees".to_owned(),
            ),
        };
        source
            .fault(at, what)
            .found(shortened(text))
            .expected(self.expected())
            .advice(advice)
    }
}
