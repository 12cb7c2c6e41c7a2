use crate::air::{Drain, Vent};
use crate::line::Stand;
use crate::mark::{Mark, Status};
use crate::pipe::MarkKind;
use crate::words::account::Report;

/// Numbers of marks, found by what they stand for.
pub struct Marked<'a> {
    marks: &'a [Mark],
    stands: &'a [Stand],
}

impl<'a> Marked<'a> {
    /// The marks of an account.
    pub fn of(account: &'a Report) -> Self {
        Self {
            marks: &account.marks,
            stands: &account.study.line.stands,
        }
    }

    /// The number of a thing that stands, by its place on the line.
    pub fn standing(&self, stand: usize) -> Option<String> {
        let stand = self.stands.get(stand)?;
        let mark = self.marks.iter().find(|m| {
            m.kind == stand.kind && m.station_m == stand.station_m && m.name == stand.name
        })?;
        Some(mark.id.clone())
    }

    fn wanted(&self, kind: MarkKind, station_m: f64) -> Option<String> {
        let mark = self.marks.iter().find(|m| {
            m.kind == kind && m.standing == Status::Proposed && m.station_m == station_m
        })?;
        Some(mark.id.clone())
    }

    /// The number of a vent, standing or wanted.
    pub fn vent(&self, vent: &Vent) -> Option<String> {
        match vent.stands {
            Some(i) => self.standing(i),
            None => self.wanted(MarkKind::Vent, vent.station_m),
        }
    }

    /// The number of a drain, standing or wanted.
    pub fn drain(&self, drain: &Drain) -> Option<String> {
        match drain.stands {
            Some(i) => self.standing(i),
            None => self.wanted(MarkKind::Drain, drain.station_m),
        }
    }
}

/// Numbers of the vents on a reach that let air in by themselves, stand they or are they wanted.
pub fn vents_on(marks: &[Mark], from_m: f64, to_m: f64) -> Vec<&str> {
    marks
        .iter()
        .filter(|m| m.lets_air_in() && (from_m - NEAR_M..=to_m + NEAR_M).contains(&m.station_m))
        .map(|m| m.id.as_str())
        .collect()
}

/// A vent so near the pipe's end still serves it, m.
pub(super) const NEAR_M: f64 = 10.0;

/// Numbers of the marks that vent a climb by themselves, by its place in the list of climbs.
pub fn vented_by(account: &Report, climb: usize) -> Vec<String> {
    let marked = Marked::of(account);
    let pocket = account
        .study
        .air
        .as_ref()
        .and_then(|a| a.pockets.iter().find(|p| p.climb == Some(climb)));
    pocket
        .into_iter()
        .flat_map(|p| &p.vented_by)
        .filter_map(|stand| marked.standing(*stand))
        .collect()
}
