use crate::air::{Drain, Vent};
use crate::line::Stand;
use crate::mark::{Mark, Status};
use crate::pipe::MarkKind;
use crate::report::account::Report;

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
