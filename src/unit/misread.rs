use super::QuantityKind;
use super::table::{other_kind, units};
use crate::text::{Fault, Place, nearest};
use std::fmt;

/// A text that is not the quantity it should be: becomes a fault where its place is known.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Misread {
    /// What is wrong, in one line.
    pub text: String,
    /// What was found.
    pub found: String,
    /// What was expected.
    pub expected: String,
    /// What to do.
    pub advice: String,
}

impl Misread {
    /// The fault at a place.
    pub fn at(self, place: Place) -> Fault {
        Fault::new(place, self.text)
            .found(self.found)
            .expected(self.expected)
            .advice(self.advice)
    }

    /// A number without a unit.
    pub fn bare(kind: QuantityKind, found: &str) -> Self {
        Self::new(
            kind,
            format!("{} needs its unit", kind.noun()),
            found,
            format!("write for example \"{}\"", kind.example()),
        )
    }

    pub(super) fn new(
        kind: QuantityKind,
        text: impl Into<String>,
        found: &str,
        advice: impl Into<String>,
    ) -> Self {
        Self {
            text: text.into(),
            found: if found.is_empty() {
                "nothing".to_owned()
            } else {
                found.to_owned()
            },
            expected: format!("{} with its unit: {}", kind.noun(), kind.choices()),
            advice: advice.into(),
        }
    }

    /// Not readable as a number with a unit at all.
    pub(super) fn unreadable(kind: QuantityKind, found: &str) -> Self {
        Self::new(
            kind,
            format!("this is not {}", kind.noun()),
            found,
            format!("write for example \"{}\"", kind.example()),
        )
    }

    pub(super) fn not_finite(kind: QuantityKind, found: &str) -> Self {
        Self::new(
            kind,
            "not a finite number",
            found,
            "remove the key if the value is not known",
        )
    }

    pub(super) fn decimal_comma(kind: QuantityKind, found: &str) -> Self {
        Self::new(
            kind,
            "a decimal comma",
            found,
            format!(
                "write a decimal point, and no mark between thousands: \"{}\"",
                found.replace(',', ".")
            ),
        )
    }

    /// A unit that this kind does not have: named if it belongs to another kind, else the nearest one.
    pub(super) fn unit(kind: QuantityKind, found: &str, unit: &str) -> Self {
        if unit == "mPa" {
            return Self::new(
                kind,
                "\"mPa\" has two meanings",
                found,
                "write MPa (a million pascals) or kPa",
            );
        }
        if let Some(other) = other_kind(kind, unit) {
            return Self::new(
                kind,
                format!("found {}, where {} is needed", other.noun(), kind.noun()),
                found,
                format!("write {} such as \"{}\"", kind.noun(), kind.example()),
            );
        }
        let names = units(kind).iter().flat_map(|u| u.names.iter().copied());
        let advice = match (unit, nearest(unit, names)) {
            ("lb" | "lbs" | "pounds", _) if kind == QuantityKind::Force => {
                "write lbf for pounds of force".to_owned()
            }
            ("kg", _) if kind == QuantityKind::Force => {
                "write kgf for kilograms of force".to_owned()
            }
            ("gal" | "gallons" | "GPD", _) => {
                "write gpm for US gallons a minute, igpm for imperial ones".to_owned()
            }
            (_, Some(near)) => format!("did you mean {near}?"),
            _ => format!("write for example \"{}\"", kind.example()),
        };
        Self::new(
            kind,
            format!(
                "\"{unit}\" is not a unit of {}",
                kind.noun()
                    .trim_start_matches("a ")
                    .trim_start_matches("an ")
            ),
            found,
            advice,
        )
    }
}

impl fmt::Display for Misread {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{}: found {}, expected {}; {}",
            self.text, self.found, self.expected, self.advice
        )
    }
}

impl std::error::Error for Misread {}
