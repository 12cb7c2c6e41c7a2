//! Water out of the line: draining and flushing.

use super::{Act, Caution, Job, OrderInputs, Vent, WorkStep};
use crate::air::VentWhy;
use crate::air::drains::empties_at_end_s;

/// Speed that carries silt out, m/s: 3 ft/s (practice of flushing water mains; secondary source, the sources do not agree).
const FLUSH_M_PER_S: f64 = 0.9;

impl OrderInputs<'_> {
    /// Where air comes in from above while the line empties.
    fn air_from_above(&self, out: &mut Vec<WorkStep>) {
        let step = |act, cautions: &[Caution]| WorkStep::new(Job::Draining, act, cautions);
        let Some(valve) = self.head_valve() else {
            out.push(step(Act::CutWater, &[Caution::VentBeforeDrain]));
            return;
        };
        let below: Vec<&Vent> = self
            .vents
            .iter()
            .filter(|v| v.why == VentWhy::BelowHeadValve)
            .collect();
        match (
            below.iter().find(|v| self.stands(v)),
            below.iter().find(|v| v.stands.is_none()),
        ) {
            (Some(stands), _) => {
                out.push(step(
                    Act::OpenVentBelowHeadValve(stands.station_m),
                    &[Caution::VentBeforeDrain],
                ));
                out.push(step(Act::ShutHeadValve(valve), &[Caution::VentBeforeDrain]));
            }
            (None, Some(wanted)) => {
                out.push(step(
                    Act::NoVentBelowHeadValve(wanted.station_m),
                    &[Caution::VentBeforeDrain],
                ));
                out.push(step(Act::CutWater, &[]));
            }
            (None, None) => out.push(step(Act::ShutHeadValve(valve), &[Caution::VentBeforeDrain])),
        }
    }

    pub(super) fn drain(&self) -> Vec<WorkStep> {
        let step = |act, cautions: &[Caution]| WorkStep::new(Job::Draining, act, cautions);
        let mut out = vec![step(
            Act::ShutLowerEnd {
                over_s: self.given.shut_s,
            },
            &[],
        )];
        self.air_from_above(&mut out);
        out.push(WorkStep {
            from_memory: true,
            ..step(
                Act::EmptyAtLowerEnd {
                    time_s: empties_at_end_s(self.line),
                },
                &[Caution::Outfall, Caution::Electrics],
            )
        });
        let weight = self.line.environment.water_n_per_m3();
        let mut cocks: Vec<(f64, f64)> = self
            .cocks_m()
            .into_iter()
            .map(|s| {
                let over_m =
                    self.line.geometry.elevation_m(s) - self.line.geometry.end_elevation_m();
                (s, over_m.max(0.0) * weight)
            })
            .collect();
        cocks.sort_by(|a, b| b.1.total_cmp(&a.1));
        if !cocks.is_empty() {
            out.push(step(
                Act::OpenCocksAsItFalls(cocks),
                &[Caution::BleedFromTheSide],
            ));
        }
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

    /// What may be taken from the stream in its best month, m3/s; infinite where nothing was said of it.
    fn stream_m3_per_s(&self) -> f64 {
        self.line
            .environment
            .stream
            .as_ref()
            .map_or(f64::INFINITY, |s| {
                let best = s.flow_m3_per_s.iter().copied().fold(0.0, f64::max);
                (best - s.leave_m3_per_s).max(0.0)
            })
    }

    pub(super) fn flush(&self) -> Vec<WorkStep> {
        let widest_m2 = self
            .line
            .reaches
            .iter()
            .map(|r| r.pipe.bore_area_m2())
            .fold(0.0, f64::max);
        let wanted = FLUSH_M_PER_S * widest_m2;
        let flow_m3_per_s = wanted.min(self.stream_m3_per_s());
        let step = |act, cautions: &[Caution]| WorkStep {
            from_memory: true,
            ..WorkStep::new(Job::Flushing, act, cautions)
        };
        let mut out = Vec::new();
        if flow_m3_per_s > 0.0 {
            out.push(step(
                Act::FlushAt {
                    flow_m3_per_s,
                    speed_m_per_s: flow_m3_per_s / widest_m2,
                    time_s: 2.0 * self.filling.volume_m3 / flow_m3_per_s,
                    short: flow_m3_per_s < wanted,
                },
                &[Caution::Outfall, Caution::StandClear],
            ));
        }
        let drains = self.drains_m();
        if !drains.is_empty() {
            out.push(step(Act::FlushDrains(drains.clone()), &[Caution::Outfall]));
            out.push(WorkStep::new(Job::Flushing, Act::ShutDrains(drains), &[]));
        }
        out
    }
}
