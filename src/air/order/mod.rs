//! Puts the steps of this line together.

mod drain;
mod fill;
mod test;

use super::inputs::AirInputs;
use super::startup::CrestState;
use super::work::{Act, Caution, Job, WorkStep};
use super::{Cure, Drain, Filling, Pocket, ShutFill, SiphonAir, StartVerdict, Vent};
use crate::flow::Run;
use crate::line::Line;
use crate::pipe::{Device, MarkKind};

/// What the order of work is made from.
pub(super) struct OrderInputs<'a> {
    pub(super) line: &'a Line,
    pub(super) pockets: &'a [Pocket],
    pub(super) runs: &'a [Run],
    pub(super) vents: &'a [Vent],
    pub(super) drains: &'a [Drain],
    pub(super) filling: Filling,
    pub(super) crests: &'a [CrestState],
    pub(super) shut_fill: &'a ShutFill,
    pub(super) siphon: Option<&'a SiphonAir>,
    pub(super) start: StartVerdict,
    pub(super) alone: StartVerdict,
    pub(super) cure: &'a Cure,
    pub(super) given: &'a AirInputs,
}

impl OrderInputs<'_> {
    /// All steps, job by job.
    pub(super) fn steps(&self) -> Vec<WorkStep> {
        let mut out = self.fill();
        out.extend(self.test());
        out.extend(self.drain());
        out.extend(self.flush());
        out.extend(self.restart());
        out
    }

    fn head_valve(&self) -> Option<String> {
        self.line.head_valve().map(|f| f.name.clone())
    }

    fn lower_valve(&self) -> Option<String> {
        self.line.turbine_valve().map(|f| f.name.clone())
    }

    /// Vents that stand and can be counted on, of which the device is or is not a cock opened by hand.
    fn vents_m(&self, by_hand: bool) -> Vec<f64> {
        self.vents
            .iter()
            .filter(|v| (v.device == Device::HandCock) == by_hand && self.stands(v))
            .map(|v| v.station_m)
            .collect()
    }

    fn cocks_m(&self) -> Vec<f64> {
        self.vents_m(true)
    }

    fn stands(&self, vent: &Vent) -> bool {
        vent.stands
            .and_then(|i| self.line.stands.get(i))
            .is_some_and(|s| self.line.reaches.counts(s))
    }

    fn drains_m(&self) -> Vec<f64> {
        self.line
            .reaches
            .counted(&self.line.stands, MarkKind::Drain)
            .map(|(_, s)| s.station_m)
            .collect()
    }

    /// Standing pressure at the lower end, Pa.
    fn standing_pa(&self) -> f64 {
        (self.line.intake.level_m - self.line.geometry.end_elevation_m())
            * self.line.environment.water_n_per_m3()
    }

    /// What must be done before any water is let in where the line does not start as it stands.
    fn cure_first(&self) -> Option<Act> {
        if self.start != StartVerdict::Locks {
            return None;
        }
        Some(if self.cure.stations_m.is_empty() || !self.cure.starts {
            Act::VentsDoNotCure
        } else {
            Act::SetVentsFirst(self.cure.stations_m.clone())
        })
    }
}

impl WorkStep {
    pub(super) fn new(job: Job, act: Act, cautions: &[Caution]) -> Self {
        Self {
            job,
            act,
            cautions: cautions.to_vec(),
            from_memory: false,
        }
    }
}
