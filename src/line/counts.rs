//! What stands on a line: whether it counts, and what a vent does with air. The one place that knows.

use super::{Appurtenance, Reaches};
use crate::pipe::{Device, MarkKind, WorkingState};

/// Whether somebody is there to open cocks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Watch {
    /// Somebody opens hand cocks and isolating cocks.
    Attended,
    /// Nobody is there.
    Unattended,
}

/// Two stations nearer than this are one, m.
const SAME_M: f64 = 1e-6;

impl Reaches {
    /// Whether a thing is there to count on: it works, or it is planned together with pipe that is planned too.
    ///
    /// What is planned for pipe that is laid does not stand yet; where laid pipe meets planned pipe it does not count either.
    pub fn counts(&self, stand: &Appurtenance) -> bool {
        match stand.state {
            WorkingState::Works => true,
            WorkingState::Stuck => false,
            WorkingState::Planned => self.is_planned_at(stand.station_m),
        }
    }

    /// Whether all the pipe at a station is planned.
    pub fn is_planned_at(&self, station_m: f64) -> bool {
        let end_m = self.last().map(|r| r.to_m);
        let mut here = self
            .iter()
            .filter(|r| {
                (r.from_m - SAME_M..=r.to_m + SAME_M).contains(&station_m)
                    || (station_m > r.to_m && end_m.is_some_and(|end| r.to_m >= end - SAME_M))
            })
            .peekable();
        here.peek().is_some() && here.all(|r| !r.is_laid)
    }

    /// What counts of a kind, with its place among what stands, in order.
    pub fn counted<'a>(
        &self,
        stands: &'a [Appurtenance],
        kind: MarkKind,
    ) -> impl Iterator<Item = (usize, &'a Appurtenance)> {
        stands
            .iter()
            .enumerate()
            .filter(move |(_, s)| s.kind == kind && self.counts(s))
    }

    /// Whether it is meant to be set on pipe that is laid: it does not count, and is not to be bought once more.
    pub fn is_to_come(&self, stand: &Appurtenance) -> bool {
        stand.state == WorkingState::Planned && !self.counts(stand)
    }

    /// Whether a vent lets air out while the line fills.
    ///
    /// A vacuum valve never does. A hand cock, or a vent behind a shut isolating cock, does so only when somebody opens it; so does one whose device was not named.
    pub fn lets_out(&self, stand: &Appurtenance, watch: Watch) -> bool {
        stand.kind == MarkKind::Vent
            && self.counts(stand)
            && stand.device.is_none_or(Device::lets_out)
            && (watch == Watch::Attended || (!stand.is_by_hand() && stand.cock_open))
    }

    /// Whether a vent lets so much air in by itself that it guards the pipe: not a cock opened by hand, nor an air valve, whose small mouth only lets air out; nor one whose device was not named.
    pub fn lets_in(&self, stand: &Appurtenance) -> bool {
        stand.kind == MarkKind::Vent
            && self.counts(stand)
            && stand.cock_open
            && stand.device.is_some_and(Device::lets_in)
    }

    /// Whether a vent draws air in, be it little, where the pressure stays below the air's: all but a cock that a hand opens. An air valve does so through its small mouth, and one whose device was not named may.
    pub fn draws_in(&self, stand: &Appurtenance) -> bool {
        stand.kind == MarkKind::Vent
            && self.counts(stand)
            && stand.cock_open
            && stand.device != Some(Device::HandCock)
    }
}

impl Appurtenance {
    /// Something of a kind that stands and works, without figures.
    pub fn plain(kind: MarkKind, station_m: f64) -> Self {
        Self {
            kind,
            station_m,
            device: None,
            bore_m: None,
            top_m: None,
            cock_open: true,
            state: WorkingState::Works,
            strength_n: None,
            opens_at_pa: None,
            slack_m: None,
            name: String::new(),
        }
    }

    /// Whether a hand must open it: a hand cock, or a vent whose device was not named.
    pub fn is_by_hand(&self) -> bool {
        self.device.is_none_or(|d| d == Device::HandCock)
    }

    /// Whether a cock beneath it is shut that should be open; a cock opened by hand is shut while it waits.
    pub fn is_shut_off(&self) -> bool {
        self.kind == MarkKind::Vent && !self.cock_open && !self.is_by_hand()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::line::Line;
    use crate::pipe;

    fn line(is_laid: bool) -> Line {
        let pipe = pipe::find("PE100 SDR17 110").unwrap();
        let mut line = Line::plain(&[(0.0, 50.0), (200.0, 0.0)], &pipe);
        line.reaches[0].is_laid = is_laid;
        line
    }

    #[test]
    fn planned_counts_on_planned_pipe_only() {
        let stand = |state, station_m| Appurtenance {
            state,
            ..Appurtenance::plain(MarkKind::Anchor, station_m)
        };
        for (state, laid, counts) in [
            (WorkingState::Works, true, true),
            (WorkingState::Works, false, true),
            (WorkingState::Stuck, true, false),
            (WorkingState::Stuck, false, false),
            (WorkingState::Planned, true, false),
            (WorkingState::Planned, false, true),
        ] {
            assert_eq!(
                line(laid).reaches.counts(&stand(state, 20.0)),
                counts,
                "{state:?} {laid}"
            );
        }
        let mut both = line(false);
        let mut upper = both.reaches[0].clone();
        upper.to_m = 100.0;
        upper.is_laid = true;
        both.reaches[0].from_m = 100.0;
        both.reaches.insert(0, upper);
        let planned = |s| both.reaches.counts(&stand(WorkingState::Planned, s));
        assert!(
            !planned(50.0) && !planned(100.0) && planned(100.5) && planned(200.0) && planned(200.4)
        );
    }

    #[test]
    fn every_device_does_what_it_is_named_for_whatever_is_asked() {
        let line = line(true);
        let vent = |device| Appurtenance {
            device,
            ..Appurtenance::plain(MarkKind::Vent, 20.0)
        };
        // lets out by itself, by hand; lets in; draws in
        for (device, alone, by_hand, lets_in, draws_in) in [
            (Some(Device::Standpipe), true, true, true, true),
            (Some(Device::CombinationValve), true, true, true, true),
            (Some(Device::AirValve), true, true, false, true),
            (Some(Device::VacuumValve), false, false, true, true),
            (Some(Device::HandCock), false, true, false, false),
            (None, false, true, false, true),
        ] {
            let stand = vent(device);
            assert_eq!(
                line.reaches.lets_out(&stand, Watch::Unattended),
                alone,
                "{device:?}"
            );
            assert_eq!(
                line.reaches.lets_out(&stand, Watch::Attended),
                by_hand,
                "{device:?}"
            );
            assert_eq!(line.reaches.lets_in(&stand), lets_in, "{device:?}");
            assert_eq!(line.reaches.draws_in(&stand), draws_in, "{device:?}");
            let shut = Appurtenance {
                cock_open: false,
                ..stand.clone()
            };
            assert!(
                !line.reaches.lets_in(&shut)
                    && !line.reaches.draws_in(&shut)
                    && !line.reaches.lets_out(&shut, Watch::Unattended)
            );
            assert_eq!(
                line.reaches.lets_out(&shut, Watch::Attended),
                by_hand,
                "{device:?}"
            );
            let stuck = Appurtenance {
                state: WorkingState::Stuck,
                ..stand
            };
            assert!(
                !line.reaches.lets_in(&stuck)
                    && !line.reaches.draws_in(&stuck)
                    && !line.reaches.lets_out(&stuck, Watch::Attended)
            );
        }
    }
}
