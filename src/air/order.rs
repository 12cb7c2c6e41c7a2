//! Puts the steps of this line together.

use super::course::{is_there, weight_n_per_m3};
use super::drains::empties_at_end_s;
use super::judge::Given;
use super::lock::CrestState;
use super::work::{Act, Caution, Job, Step};
use super::{Drain, Filling, ShutFill, Siphon, Vent, VentWhy};
use crate::line::Line;
use crate::pipe::{Device, MarkKind, joint_limit};
use crate::profile::Profile;

/// Speed that carries silt out, m/s: 3 ft/s (practice of flushing water mains; secondary source, the sources do not agree).
const FLUSH_M_PER_S: f64 = 0.9;

/// How long the standing pressure is held while the joints are walked, s (common practice, no source).
const HOLD_S: f64 = 1_800.0;

/// How long the test pressure is held, s, and what may be lost, Pa: an hour and 0.2 bar (EN 805, from memory). Polyethylene creeps: top up first.
const TEST_S: f64 = 3_600.0;
const TEST_LOSS_PA: f64 = 20_000.0;

/// Test pressure over the standing one, where the pipe may take it (common practice, no source).
const TEST_OVER_STANDING: f64 = 1.5;

/// What the order of work is made from.
pub(super) struct Order<'a> {
    pub(super) line: &'a Line,
    pub(super) profile: &'a Profile,
    pub(super) vents: &'a [Vent],
    pub(super) drains: &'a [Drain],
    pub(super) filling: Filling,
    pub(super) crests: &'a [CrestState],
    pub(super) shut_fill: &'a ShutFill,
    pub(super) siphon: Option<&'a Siphon>,
    pub(super) restarts_alone: bool,
    pub(super) restarts: bool,
    pub(super) given: &'a Given,
}

impl Order<'_> {
    /// All steps, job by job.
    pub(super) fn steps(&self) -> Vec<Step> {
        let mut out = self.fill();
        out.extend(self.test());
        out.extend(self.drain());
        out.extend(self.flush());
        out.extend(self.restart());
        out
    }

    fn cocks_m(&self) -> Vec<f64> {
        self.vents
            .iter()
            .filter(|v| v.device == Device::HandCock && self.stands(v))
            .map(|v| v.station_m)
            .collect()
    }

    fn free_vents_m(&self) -> Vec<f64> {
        self.vents
            .iter()
            .filter(|v| v.device != Device::HandCock && self.stands(v))
            .map(|v| v.station_m)
            .collect()
    }

    fn stands(&self, vent: &Vent) -> bool {
        vent.stands
            .and_then(|i| self.line.stands.get(i))
            .is_some_and(|s| is_there(self.line, s))
    }

    fn drains_m(&self) -> Vec<f64> {
        self.line
            .stands
            .iter()
            .filter(|s| s.kind == MarkKind::Drain && is_there(self.line, s))
            .map(|s| s.station_m)
            .collect()
    }

    /// Standing pressure at the lower end, Pa.
    fn standing_pa(&self) -> f64 {
        (self.line.intake.level_m - self.line.end_elevation_m()) * weight_n_per_m3(self.line)
    }

    fn fill(&self) -> Vec<Step> {
        let step = |act, cautions: &[Caution]| Step::new(Job::Filling, act, cautions);
        let mut out = vec![step(
            Act::WalkFirst,
            &[Caution::StandClear, Caution::Electrics],
        )];
        let (free, cocks, drains) = (self.free_vents_m(), self.cocks_m(), self.drains_m());
        if !free.is_empty() {
            out.push(step(Act::CheckVents(free), &[]));
        }
        if !cocks.is_empty() {
            out.push(step(
                Act::OpenCocks(cocks.clone()),
                &[Caution::BleedFromTheSide],
            ));
        }
        if !drains.is_empty() {
            out.push(step(Act::ShutDrains(drains), &[]));
        }
        if let Some(siphon) = self.siphon {
            out.push(step(Act::Prime(siphon.station_m), &[]));
        }
        out.push(step(Act::CrackLowerEnd, &[Caution::StandClear]));
        out.push(Step {
            // 1 to 2 ft/s is known from a secondary source only
            from_memory: true,
            ..step(
                Act::FillAt {
                    flow_m3_per_s: self.filling.flow_m3_per_s,
                    time_s: self.filling.time_s,
                },
                &[Caution::NoBlowing, Caution::StandClear],
            )
        });
        for crest in self.crests {
            let by_hand = cocks
                .iter()
                .any(|&c| (crest.low_station_m..=crest.next_low_station_m).contains(&c));
            out.push(step(
                Act::WaitAtCrest {
                    station_m: crest.station_m,
                    after_s: self.filled_by_s(crest.station_m),
                    by_hand,
                },
                &[Caution::BleedFromTheSide],
            ));
        }
        out.push(step(Act::ShutLowerEnd, &[Caution::StandClear]));
        out.push(step(
            Act::ReadShutGauge {
                pressure_pa: self.standing_pa(),
                low_by_pa: self.shut_fill.gauge_low_m * weight_n_per_m3(self.line),
            },
            &[Caution::ZeroTwice],
        ));
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

    /// Pressure at the lower end that no reach is overloaded by, Pa: what each may take at its own lower end; `None` where a rating is not known.
    fn most_pa(&self) -> Option<f64> {
        let weight = weight_n_per_m3(self.line);
        let end_m = self.line.end_elevation_m();
        self.line
            .reaches
            .iter()
            .map(|r| {
                let rating = r.pipe.rating_pa? * r.derate;
                let joint = joint_limit(r.joint, &r.pipe).rating_pa(rating);
                let takes = rating.min(r.joint_rating_pa.unwrap_or(joint));
                let lowest_m = self
                    .line
                    .heights
                    .station_m
                    .iter()
                    .zip(&self.line.heights.mean_m)
                    .filter(|(s, _)| (r.from_m..=r.to_m).contains(*s))
                    .map(|(_, z)| *z)
                    .fold(self.line.elevation_m(r.to_m), f64::min);
                Some(takes + (lowest_m - end_m) * weight)
            })
            .chain(self.line.fittings.iter().filter_map(|f| {
                let over = (self.line.elevation_m(f.station_m) - end_m) * weight;
                Some(f.rating_pa.map(|r| r + over)).filter(Option::is_some)
            }))
            .try_fold(f64::INFINITY, |least, most| Some(least.min(most?)))
            .filter(|most| most.is_finite())
    }

    fn test(&self) -> Vec<Step> {
        let step = |act, cautions: &[Caution]| Step::new(Job::Testing, act, cautions);
        let standing = self.standing_pa();
        let mut out = vec![step(
            Act::HoldStanding {
                pressure_pa: standing,
                time_s: HOLD_S,
            },
            &[
                Caution::NoAirTest,
                Caution::StandClear,
                Caution::WalkTheRoute,
            ],
        )];
        let wanted = self.given.test_pa.unwrap_or(TEST_OVER_STANDING * standing);
        if let Some(pressure_pa) = self
            .most_pa()
            .map(|most| wanted.min(most))
            .filter(|&p| p > standing)
        {
            out.push(Step {
                from_memory: true,
                ..step(
                    Act::HoldTest {
                        pressure_pa,
                        time_s: TEST_S,
                        loss_pa: TEST_LOSS_PA,
                    },
                    &[
                        Caution::NoAirTest,
                        Caution::StandClear,
                        Caution::BleedFromTheSide,
                        Caution::ZeroTwice,
                    ],
                )
            });
        }
        out
    }

    fn drain(&self) -> Vec<Step> {
        let step = |act, cautions: &[Caution]| Step::new(Job::Draining, act, cautions);
        let below_head = self
            .vents
            .iter()
            .find(|v| v.why == VentWhy::BelowHeadValve)
            .map(|v| v.station_m);
        let mut out = vec![step(Act::ShutLowerEnd, &[])];
        if let Some(s) = below_head {
            out.push(step(
                Act::OpenVentBelowHeadValve(s),
                &[Caution::VentBeforeDrain],
            ));
        }
        let cocks = self.cocks_m();
        out.push(step(Act::ShutHeadValve, &[Caution::VentBeforeDrain]));
        if !cocks.is_empty() {
            out.push(step(
                Act::OpenCocks(cocks),
                &[Caution::BleedFromTheSide, Caution::ZeroTwice],
            ));
        }
        out.push(Step {
            from_memory: true,
            ..step(
                Act::EmptyAtLowerEnd {
                    time_s: empties_at_end_s(self.line, self.profile),
                },
                &[Caution::Outfall, Caution::Electrics],
            )
        });
        let drains = self.drains_m();
        if !drains.is_empty() {
            out.push(step(
                Act::OpenDrains(drains),
                &[Caution::Outfall, Caution::ZeroTwice],
            ));
        }
        let stays = self
            .drains
            .iter()
            .filter(|d| d.stands.is_none() && d.left_standing_m3 > 0.0);
        for drain in stays {
            let cautions: &[Caution] = if drain.frost {
                &[Caution::Frost, Caution::ZeroTwice]
            } else {
                &[Caution::ZeroTwice]
            };
            out.push(step(
                Act::Stays {
                    station_m: drain.station_m,
                    volume_m3: drain.left_standing_m3,
                },
                cautions,
            ));
        }
        out
    }

    fn flush(&self) -> Vec<Step> {
        let widest_m2 = self
            .line
            .reaches
            .iter()
            .map(|r| r.pipe.bore_area_m2())
            .fold(0.0, f64::max);
        let flow_m3_per_s = FLUSH_M_PER_S * widest_m2;
        let step = |act, cautions: &[Caution]| Step {
            from_memory: true,
            ..Step::new(Job::Flushing, act, cautions)
        };
        let mut out = Vec::new();
        let drains = self.drains_m();
        if !drains.is_empty() {
            out.push(step(Act::OpenDrains(drains), &[Caution::Outfall]));
        }
        if flow_m3_per_s > 0.0 {
            out.push(step(
                Act::FlushAt {
                    flow_m3_per_s,
                    speed_m_per_s: FLUSH_M_PER_S,
                    time_s: 2.0 * self.filling.volume_m3 / flow_m3_per_s,
                },
                &[Caution::Outfall, Caution::StandClear],
            ));
        }
        out
    }

    fn restart(&self) -> Vec<Step> {
        let step = |act, cautions: &[Caution]| Step::new(Job::Restarting, act, cautions);
        let mut out = vec![step(Act::WalkFirst, &[Caution::WalkTheRoute])];
        if let Some(siphon) = self.siphon {
            out.push(step(Act::Prime(siphon.station_m), &[]));
        }
        if !self.restarts {
            out.push(step(Act::CannotRestart, &[Caution::NoBlowing]));
            return out;
        }
        let cocks = self.cocks_m();
        if !self.restarts_alone && !cocks.is_empty() {
            out.push(step(
                Act::OpenToRestart(cocks),
                &[Caution::BleedFromTheSide],
            ));
        }
        out.push(step(Act::CrackLowerEnd, &[Caution::NoBlowing]));
        out.push(step(Act::OpenHeadValve, &[Caution::NoBlowing]));
        out.push(step(
            Act::OpenJets,
            &[Caution::StandClear, Caution::Electrics],
        ));
        out
    }
}

impl Step {
    pub(super) fn new(job: Job, act: Act, cautions: &[Caution]) -> Self {
        Self {
            job,
            act,
            cautions: cautions.to_vec(),
            from_memory: false,
        }
    }
}
