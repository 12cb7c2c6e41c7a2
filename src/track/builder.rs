//! A walk while its file is read.

use super::gpx::MOST_POINTS;
use crate::reading::{Data, Fix, Method, NamedPlace, Pass, Reading};
use crate::text::{Fault, Place, Remark};

/// Passes and places, put together one after the other.
pub(super) struct Builder<'a> {
    file: &'a str,
    passes: Vec<Pass>,
    places: Vec<NamedPlace>,
    points: usize,
    /// What the reader noticed.
    pub(super) remarks: Vec<Remark>,
}

/// Why a point is none.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct OffTheEarth;

/// A fix at a position on the earth.
pub(super) fn fix_at(lat_deg: f64, lon_deg: f64, line: u32) -> Result<Fix, OffTheEarth> {
    if lat_deg.abs() <= 90.0 && lon_deg.abs() <= 180.0 {
        Ok(Fix {
            lat_deg,
            lon_deg,
            elevation_m: None,
            time_s: None,
            dilution: None,
            stated_sd_m: None,
            line,
        })
    } else {
        Err(OffTheEarth)
    }
}

/// A doubt that a file states, m; an odd one is left out, since nothing rests on it alone.
pub(super) fn stated(sd_m: f64) -> Option<f32> {
    let sd_m = sd_m as f32;
    (sd_m.is_finite() && sd_m > 0.0).then_some(sd_m)
}

/// Blanks joined, cut where it is too long.
pub(super) fn name_of(text: &str) -> String {
    const LONGEST: usize = 200;
    let words: Vec<&str> = text.split_whitespace().collect();
    let name = words.join(" ");
    match name.char_indices().nth(LONGEST) {
        Some((end, _)) => name.get(..end).unwrap_or("").to_owned() + "…",
        None => name,
    }
}

impl<'a> Builder<'a> {
    pub(super) fn new(file: &'a str) -> Self {
        Self {
            file,
            passes: Vec::new(),
            places: Vec::new(),
            points: 0,
            remarks: Vec::new(),
        }
    }

    /// Begins a walk, or a line drawn on a map.
    pub(super) fn begin(&mut self, name: &str, drawn: bool) {
        self.passes.push(Pass {
            name: name_of(name),
            segments: Vec::new(),
            drawn,
        });
    }

    /// Says whether the walk that is open was drawn on a map.
    #[cfg(feature = "fit")]
    pub(super) fn drawn(&mut self, drawn: bool) {
        if let Some(pass) = self.passes.last_mut() {
            pass.drawn = drawn;
        }
    }

    /// Begins a stretch of the walk: reception broke, or the clock was stopped.
    pub(super) fn segment(&mut self) {
        if let Some(pass) = self.passes.last_mut() {
            pass.segments.push(Vec::new());
        }
    }

    /// The last fix of the walk that is open.
    pub(super) fn last(&self) -> Option<&Fix> {
        self.passes.last()?.segments.last()?.last()
    }

    /// Puts a fix behind the last one; memory stays within its limit.
    pub(super) fn push(&mut self, fix: Fix) -> Result<(), Fault> {
        self.points += 1;
        self.not_too_many(fix.line)?;
        let Some(pass) = self.passes.last_mut() else {
            return Ok(());
        };
        match pass.segments.last_mut() {
            Some(segment) => segment.push(fix),
            None => pass.segments.push(vec![fix]),
        }
        Ok(())
    }

    /// Keeps a named place.
    pub(super) fn place(&mut self, place: NamedPlace) -> Result<(), Fault> {
        self.not_too_many(place.place.line.unwrap_or(1))?;
        self.places.push(place);
        Ok(())
    }

    fn not_too_many(&self, line: u32) -> Result<(), Fault> {
        if self.points + self.places.len() <= MOST_POINTS {
            return Ok(());
        }
        Err(
            Fault::new(Place::line(self.file, line), "too many points in one file")
                .found(format!("more than {MOST_POINTS} points"))
                .expected(format!("at most {MOST_POINTS} points"))
                .advice("copy the walks of this route into a separate file"),
        )
    }

    /// Says something of the whole file.
    pub(super) fn remark(&mut self, text: impl Into<crate::text::Sentence>) {
        self.remarks.push(Remark::new(Place::file(self.file), text));
    }

    /// What was read; walks without a fix are left out. A file without any point is refused with what it holds instead.
    pub(super) fn finish(mut self, holds: &str) -> Result<Reading, Fault> {
        for pass in &mut self.passes {
            pass.segments.retain(|s| !s.is_empty());
        }
        self.passes.retain(|p| !p.segments.is_empty());
        for (pass, number) in self.passes.iter_mut().zip(1..) {
            if pass.name.is_empty() {
                let kind = if pass.drawn { "route" } else { "track" };
                pass.name = format!("{kind} {number}");
            }
        }
        if self.passes.is_empty() && self.places.is_empty() {
            return Err(
                Fault::new(Place::line(self.file, 1), format!("{holds} has no position"))
                    .expected("a track with positions, recorded along the pipe")
                    .advice("export the recorded walk. If the device could not see the sky, it recorded no position, and you must walk the route again"),
            );
        }
        Ok(Reading {
            method: Method::Gpx,
            file: self.file.to_owned(),
            source: Default::default(),
            points_read: self.points,
            data: Data::Walks(self.passes),
            places: self.places,
            remarks: self.remarks,
        })
    }
}
