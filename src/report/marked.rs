//! Marks by their numbers: which vents what.

use super::account::Report;
use crate::air::{Drain, Vent};
use crate::mark::Mark;
use crate::pipe::MarkKind;

/// Numbers of marks, found by what they stand for.
pub struct Marked<'a> {
    marks: &'a [Mark],
}

impl<'a> Marked<'a> {
    /// The marks of an account.
    pub fn of(account: &'a Report) -> Self {
        Self {
            marks: &account.marks,
        }
    }

    /// The number of a thing that stands, by its place among the line's stands.
    pub fn standing(&self, stand: usize) -> Option<String> {
        self.number(|m| m.stand == Some(stand))
    }

    fn number(&self, is: impl Fn(&Mark) -> bool) -> Option<String> {
        self.marks.iter().find(|m| is(m)).map(|m| m.id.clone())
    }

    fn of_wish(&self, stands: Option<usize>, kind: MarkKind, station_m: f64) -> Option<String> {
        match stands {
            Some(i) => self.standing(i),
            None => {
                self.number(|m| m.stand.is_none() && m.kind == kind && m.station_m == station_m)
            }
        }
    }

    /// The number of a vent, standing or wanted.
    pub fn vent(&self, vent: &Vent) -> Option<String> {
        self.of_wish(vent.stands, MarkKind::Vent, vent.station_m)
    }

    /// The number of a drain, standing or wanted.
    pub fn drain(&self, drain: &Drain) -> Option<String> {
        self.of_wish(drain.stands, MarkKind::Drain, drain.station_m)
    }
}

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

/// Numbers of the vents on a reach that let air in by themselves, stand they or are they wanted.
pub fn vents_on(marks: &[Mark], from_m: f64, to_m: f64) -> Vec<&str> {
    marks
        .iter()
        .filter(|m| m.lets_air_in() && (from_m - NEAR_M..=to_m + NEAR_M).contains(&m.station_m))
        .map(|m| m.id.as_str())
        .collect()
}

/// A vent so near the pipe's end still serves it, m.
const NEAR_M: f64 = 10.0;
