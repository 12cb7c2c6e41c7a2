//! One point of a GPX file while it is being read.

use super::fields::{GpxQuantity, TagText};
use super::source::GpxText;
use crate::reading::Fix;
use crate::text::Fault;
use crate::unit::clock_s;

/// What kind of point an element is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum PointKind {
    /// `trkpt`.
    Track,
    /// `rtept`.
    Route,
    /// `wpt`.
    Way,
}

/// The children of a point that are read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum FixField {
    Height,
    Time,
    Vertical,
    Horizontal,
    PositionDilution,
    Name,
}

impl FixField {
    /// The field of that element, where it is read.
    pub(super) fn of(local: &str) -> Option<Self> {
        Some(match local {
            "ele" => Self::Height,
            "time" => Self::Time,
            "vdop" => Self::Vertical,
            "hdop" => Self::Horizontal,
            "pdop" => Self::PositionDilution,
            "name" => Self::Name,
            _ => return None,
        })
    }
}

/// A point that is open.
#[derive(Debug)]
pub(super) struct Draft {
    pub(super) kind: PointKind,
    pub(super) fix: Fix,
    pub(super) name: String,
    height_seen: bool,
    vertical: Option<f32>,
    other: Option<f32>,
}

impl Draft {
    /// A point at its position.
    pub(super) fn new(kind: PointKind, lat_deg: f64, lon_deg: f64, line: u32) -> Self {
        Self {
            kind,
            fix: Fix {
                lat_deg,
                lon_deg,
                elevation_m: None,
                time_s: None,
                dilution: None,
                stated_sd_m: None,
                line,
            },
            name: String::new(),
            height_seen: false,
            vertical: None,
            other: None,
        }
    }

    /// Takes a child; `Ok(false)` where it is a time that cannot be read, which is left out.
    pub(super) fn take(
        &mut self,
        field: FixField,
        value: &TagText<'_>,
        source: GpxText<'_>,
    ) -> Result<bool, Box<Fault>> {
        let text = value.trimmed();
        match field {
            FixField::Height => self.take_height(value, source)?,
            FixField::Time if text.is_empty() => {}
            FixField::Time => {
                let Some(time_s) = clock_s(text) else {
                    return Ok(false);
                };
                self.fix.time_s = Some(time_s);
            }
            FixField::Vertical => self.vertical = dilution(text),
            FixField::PositionDilution => self.other = dilution(text).or(self.other),
            FixField::Horizontal => self.other = self.other.or(dilution(text)),
            FixField::Name if self.kind == PointKind::Way => self.name = value.name(),
            FixField::Name => {}
        }
        Ok(true)
    }

    /// Takes a height that was read already; `None` where the point has one.
    pub(super) fn set_height(&mut self, height_m: f64) -> Option<()> {
        let first = !std::mem::replace(&mut self.height_seen, true);
        self.fix.elevation_m = Some(height_m);
        first.then_some(())
    }

    fn take_height(&mut self, value: &TagText<'_>, source: GpxText<'_>) -> Result<(), Box<Fault>> {
        let text = value.trimmed();
        if text.is_empty() {
            return Ok(());
        }
        if std::mem::replace(&mut self.height_seen, true) {
            return Err(Box::new(
                source
                    .fault(value.start(), "this point has two heights")
                    .found(super::source::shortened(text))
                    .expected("one <ele> in each point")
                    .advice("delete the wrong height"),
            ));
        }
        self.fix.elevation_m = Some(GpxQuantity::Height.read(text, value.start(), source)?);
        Ok(())
    }

    /// The point as it was read.
    pub(super) fn finish(self) -> (Fix, String) {
        let fix = Fix {
            dilution: self.vertical.or(self.other),
            ..self.fix
        };
        (fix, self.name)
    }
}

/// A dilution of precision; an odd one is left out, since nothing rests on it alone.
fn dilution(text: &str) -> Option<f32> {
    let value: f32 = text.parse().ok()?;
    (value.is_finite() && value >= 0.0).then_some(value)
}
