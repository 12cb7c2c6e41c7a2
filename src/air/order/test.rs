//! Pressure and leak test.

use super::{Act, Caution, Device, Job, OrderInputs, WorkStep};
use crate::air::NoTest;
use crate::capacity::{LoadKind, Setting, may};

/// How long the standing pressure is held while the joints are walked, s (common practice, no source).
const HOLD_S: f64 = 1_800.0;

/// How long the test pressure is held, s, and what may be lost, Pa: an hour and 0.2 bar (EN 805, from memory). Polyethylene creeps: top up first.
const TEST_S: f64 = 3_600.0;
const TEST_LOSS_PA: f64 = 20_000.0;

/// The state that the test is.
const TEST: Setting = Setting {
    kind: LoadKind::Test,
    in_sun: false,
};

/// Test pressure over the standing one, where the pipe may take it (common practice, no source).
const TEST_OVER_STANDING: f64 = 1.5;

impl OrderInputs<'_> {
    /// Pressure at the lower end that no reach is overloaded by, Pa: what each may take at its own lower end; `None` where a rating is not known.
    fn most_pa(&self) -> Option<f64> {
        let weight = self.line.environment.water_n_per_m3();
        let end_m = self.line.geometry.end_elevation_m();
        self.line
            .reaches
            .iter()
            .map(|r| {
                let takes = may(&self.line.environment, r, TEST)?.ok()?.pa;
                let lowest_m = self
                    .line
                    .geometry
                    .heights
                    .station_m
                    .iter()
                    .zip(&self.line.geometry.heights.mean_m)
                    .filter(|(s, _)| (r.from_m..=r.to_m).contains(*s))
                    .map(|(_, z)| *z)
                    .fold(self.line.geometry.elevation_m(r.to_m), f64::min);
                Some(takes + (lowest_m - end_m) * weight)
            })
            .chain(self.line.fittings.iter().filter_map(|f| {
                let over = (self.line.geometry.elevation_m(f.station_m) - end_m) * weight;
                Some(f.rating_pa.map(|r| r + over)).filter(Option::is_some)
            }))
            .try_fold(f64::INFINITY, |least, most| Some(least.min(most?)))
            .filter(|most| most.is_finite())
    }

    pub(super) fn test(&self) -> Vec<WorkStep> {
        let step = |act, cautions: &[Caution]| WorkStep::new(Job::Testing, act, cautions);
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
        let pressure_pa = match (self.head_valve(), self.most_pa()) {
            (None, _) => Err(NoTest::NoHeadValve),
            (_, None) => Err(NoTest::NoRating),
            (_, Some(most)) if most.min(wanted) <= standing => Err(NoTest::Weakest(most)),
            (Some(valve), Some(most)) => Ok((valve, wanted.min(most))),
        };
        let (valve, pressure_pa) = match pressure_pa {
            Ok(test) => test,
            Err(why) => {
                out.push(step(Act::NoHigherTest(why), &[]));
                return out;
            }
        };
        let plugged = |standpipe: bool| -> Vec<f64> {
            self.vents
                .iter()
                .filter(|v| self.stands(v) && v.device != Device::HandCock)
                .filter(|v| (v.device == Device::Standpipe) == standpipe)
                .map(|v| v.station_m)
                .collect()
        };
        let (standpipes_m, valves_m) = (plugged(true), plugged(false));
        let mut all_m: Vec<f64> = standpipes_m.iter().chain(&valves_m).copied().collect();
        all_m.sort_by(f64::total_cmp);
        out.push(step(
            Act::PlugForTest {
                valve,
                standpipes_m,
                valves_m,
            },
            &[Caution::BleedFromTheSide],
        ));
        out.push(WorkStep {
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
                ],
            )
        });
        out.push(step(Act::UnplugAfterTest(all_m), &[Caution::ZeroTwice]));
        out
    }
}
