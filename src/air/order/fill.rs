//! Water into the line: the first time, and after it ran dry.

use super::{Act, Caution, Job, OrderInputs, StartVerdict, WorkStep};
use crate::air::{AirOut, Pocket, PocketCause};

/// How much later than reckoned water may show at the lower end before filling is called locked.
const LATE: f64 = 1.5;

impl OrderInputs<'_> {
    /// Slow filling from the vents to the gauge that stands still: the same the first time and after it ran dry.
    fn water_in(&self, job: Job) -> Vec<WorkStep> {
        let step = |act, cautions: &[Caution]| WorkStep::new(job, act, cautions);
        let mut out = Vec::new();
        if let Some(act) = self.cure_first() {
            out.push(step(act, &[Caution::NoBlowing]));
        }
        let (free, cocks, drains) = (self.vents_m(false), self.cocks_m(), self.drains_m());
        if !free.is_empty() {
            out.push(step(Act::CheckVents(free.clone()), &[]));
        }
        if !cocks.is_empty() {
            let act = if job == Job::Restarting && self.alone != StartVerdict::Starts {
                Act::OpenToRestart(cocks.clone())
            } else {
                Act::OpenCocks(cocks.clone())
            };
            out.push(step(act, &[Caution::BleedFromTheSide]));
        }
        if !drains.is_empty() {
            out.push(step(Act::ShutDrains(drains), &[]));
        }
        if let Some(siphon) = self.siphon {
            out.push(step(Act::Prime(siphon.station_m), &[]));
        }
        out.push(step(
            Act::CrackLowerEnd(self.lower_valve()),
            &[Caution::StandClear, Caution::NoBlowing],
        ));
        let valve = self.head_valve();
        out.push(WorkStep {
            // 1 to 2 ft/s is known from a secondary source only
            from_memory: true,
            ..step(
                Act::FillAt {
                    valve: valve.clone(),
                    flow_m3_per_s: self.filling.flow_m3_per_s,
                    time_s: self.filling.time_s,
                },
                &[Caution::NoBlowing, Caution::StandClear],
            )
        });
        let passes = |p: &&Pocket| {
            p.why == PocketCause::Climb
                && p.certainty >= 0.5
                && p.station_m < self.line.geometry.length_m() - 1.0
                && self.siphon.is_none_or(|s| s.station_m != p.station_m)
        };
        for pocket in self.pockets.iter().filter(passes) {
            let air = if !pocket.vented_by.is_empty() {
                AirOut::Free
            } else if !pocket.by_hand.is_empty() {
                AirOut::ByHand
            } else {
                AirOut::Nothing
            };
            let cautions: &[Caution] = if air == AirOut::ByHand {
                &[Caution::BleedFromTheSide]
            } else {
                &[]
            };
            out.push(step(
                Act::WaitAtCrest {
                    station_m: pocket.station_m,
                    after_s: self.filled_by_s(pocket.station_m),
                    air,
                },
                cautions,
            ));
        }
        if !self.crests.is_empty() && self.start != StartVerdict::Starts {
            out.push(step(
                Act::IfNoWaterComes {
                    after_s: LATE * self.filling.time_s,
                },
                &[Caution::NoBlowing, Caution::ZeroTwice],
            ));
        }
        out.push(step(
            Act::ReadShutGauge {
                pressure_pa: self.standing_pa(),
                low_by_pa: self.shut_fill.gauge_low_m * self.line.environment.water_n_per_m3(),
                over_s: self.given.shut_s,
            },
            &[Caution::StandClear, Caution::ZeroTwice],
        ));
        if let Some(valve) = valve {
            out.push(step(Act::OpenHeadValve(valve), &[]));
        }
        out
    }

    pub(super) fn fill(&self) -> Vec<WorkStep> {
        let mut out = vec![WorkStep::new(
            Job::Filling,
            Act::WalkFirst,
            &[Caution::StandClear, Caution::Electrics],
        )];
        out.extend(self.water_in(Job::Filling));
        out
    }

    /// Time until water reaches a station, s.
    fn filled_by_s(&self, station_m: f64) -> f64 {
        let volume: f64 = self
            .line
            .reaches
            .iter()
            .map(|r| r.pipe.bore_area_m2() * (r.to_m.min(station_m) - r.from_m).max(0.0))
            .sum();
        if self.filling.flow_m3_per_s > 0.0 {
            volume / self.filling.flow_m3_per_s
        } else {
            0.0
        }
    }

    pub(super) fn restart(&self) -> Vec<WorkStep> {
        let step = |act, cautions: &[Caution]| WorkStep::new(Job::Restarting, act, cautions);
        let mut out = vec![step(Act::WalkFirst, &[Caution::WalkTheRoute])];
        out.extend(self.water_in(Job::Restarting));
        let running = self
            .runs
            .iter()
            .filter(|r| r.flows() && r.limited.is_none())
            .max_by(|a, b| a.flow_m3_per_s.total_cmp(&b.flow_m3_per_s));
        out.push(step(
            Act::OpenJets {
                over_s: self.given.open_s,
                running_pa: running.map(|r| r.pressure_turbine_pa),
            },
            &[Caution::StandClear, Caution::Electrics],
        ));
        out
    }
}
