use crate::air::{Drain, Vent};
use crate::mark::Mark;
use crate::pipe::MarkKind;
use crate::report::account::Report;

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
