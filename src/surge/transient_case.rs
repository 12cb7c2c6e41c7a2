use super::build::{BuiltModel, ValveAt, build};
use super::memory::MarchMemory;
use super::request::ModelRequest;
use crate::flow::Run;
use crate::line::{Line, Mover};
use crate::march::grid::{CELLS, COARSE_CELLS};
use crate::march::moc::{WaveHeads, march_until};
use crate::march::run_moc;
use crate::march::work::Work;
use crate::march::{HeadPlace, OpeningSchedule, TransientOptions, TransientResult};

/// How far aside of a valve its two sides are read, m.
const ASIDE_M: f64 = 1e-6;

/// Everything that stays the same while one movement is looked at.
pub(crate) struct TransientCase<'a> {
    pub(crate) line: &'a Line,
    pub(crate) state: &'a Run,
    pub(crate) of: &'a Mover,
    /// Weight of the water, N/m3.
    pub(crate) weight: f64,
    /// Head below the air's at which the water parts, m (negative).
    pub(crate) boiling_m: f64,
    /// Air's pressure as head, m.
    pub(crate) air_head_m: f64,
    pub(crate) work: &'a Work,
    pub(crate) memory: &'a MarchMemory,
    /// Where standpipes may be thought of later, m.
    pub(crate) near_m: &'a [f64],
}

impl TransientCase<'_> {
    pub(crate) fn build(
        &self,
        speeds: &[f64],
        course: &OpeningSchedule,
        cells: usize,
    ) -> Option<BuiltModel> {
        build(ModelRequest {
            line: self.line,
            state: self.state,
            speeds_m_per_s: speeds,
            of: self.of,
            course,
            cells,
        })
    }

    /// The same as it is shown, once a coarse march has told how long it must be followed.
    pub(crate) fn build_shown(
        &self,
        speeds: &[f64],
        course: &OpeningSchedule,
    ) -> Option<BuiltModel> {
        let coarse = self.build(speeds, course, COARSE_CELLS)?;
        let scout = self.run_moc(&coarse, TransientOptions::default());
        let built = self.build(speeds, course, CELLS)?;
        Some(BuiltModel {
            scouted_wave: Some(scout.last_new_wave),
            ..built
        })
    }

    /// Marches through the movement and on until it is quiet; what is kept is the caller's.
    pub(crate) fn run_moc(&self, built: &BuiltModel, keep: TransientOptions) -> TransientResult {
        let orders = self.orders(built, keep);
        let marched = self.memory.march(built, &orders, self.near_m);
        self.work.spend(marched.node_steps);
        marched
    }

    /// The same where it has been marched already.
    pub(crate) fn recall(
        &self,
        built: &BuiltModel,
        keep: TransientOptions,
    ) -> Option<TransientResult> {
        let known = self.memory.recall(built, &self.orders(built, keep))?;
        self.work.spend(known.node_steps);
        Some(known)
    }

    fn orders(&self, built: &BuiltModel, keep: TransientOptions) -> TransientOptions {
        TransientOptions {
            duration_s: built.chain.movement_s(),
            until_quiet: true,
            air_head_m: self.air_head_m,
            scouted_wave: built.scouted_wave,
            ..keep
        }
    }

    /// The heads before anything moves.
    pub(crate) fn stand(&self, built: &BuiltModel) -> TransientResult {
        run_moc(
            &built.chain,
            &built.grid,
            &built.start,
            &TransientOptions::default(),
        )
    }

    /// The station that counts as the turbine: the pipe side of its valve where that moves, else the end of the line.
    pub(crate) fn turbine_m(&self, built: &BuiltModel) -> f64 {
        self.turbine_valve(built)
            .map_or(self.line.geometry.length_m(), |v| v.declared_m)
    }

    /// The same on the grid.
    pub(crate) fn turbine_node_m(&self, built: &BuiltModel) -> f64 {
        self.turbine_valve(built)
            .map_or(self.line.geometry.length_m(), |v| v.node_m)
    }

    fn turbine_valve(&self, built: &BuiltModel) -> Option<ValveAt> {
        built
            .valve
            .filter(|v| self.line.geometry.at_the_turbine(v.declared_m))
    }

    /// A station of the line on the grid: on its own side of a moving valve, below it when it stands on the valve itself.
    pub(crate) fn node_m(&self, built: &BuiltModel, station_m: f64) -> f64 {
        match built.valve {
            Some(v) if station_m < v.declared_m => station_m.min(v.node_m - ASIDE_M),
            Some(v) => station_m.max(v.node_m + ASIDE_M),
            None => station_m,
        }
    }

    /// Where each station of the line's heights is read on the heads that a march keeps.
    ///
    /// The two sides of a moving valve are kept apart although it stands on the nearest node. Below one at the turbine the water stands under the air that the open jets let in: no less than the air's pressure.
    pub(crate) fn places(&self, built: &BuiltModel) -> Vec<BoundedPlace> {
        let tubes: Vec<_> = built.tubes().collect();
        let turbine = self.turbine_valve(built).is_some();
        let place = |(station_m, elevation_m): (f64, f64)| {
            let mut least_m = f64::NEG_INFINITY;
            let read_m = match built.valve {
                None => station_m,
                Some(valve) => {
                    if station_m < valve.declared_m || (turbine && station_m == valve.declared_m) {
                        station_m.min(valve.node_m - ASIDE_M)
                    } else if station_m > valve.declared_m {
                        if turbine {
                            least_m = elevation_m;
                        }
                        station_m.max(valve.node_m + ASIDE_M)
                    } else {
                        valve.node_m
                    }
                }
            };
            BoundedPlace {
                at: HeadPlace::of(&tubes, read_m),
                least_m,
            }
        };
        let heights = &self.line.geometry.heights;
        let each = heights.station_m.iter().zip(&heights.mean_m);
        each.map(|(s, z)| place((*s, *z))).collect()
    }

    /// Marches until what is known is `enough`, or until it is quiet. It is not kept: what was left early answers nobody else.
    pub(crate) fn march_until(
        &self,
        built: &BuiltModel,
        enough: impl FnMut(&WaveHeads<'_>) -> bool,
    ) -> TransientResult {
        let orders = self.orders(built, TransientOptions::default());
        let BuiltModel {
            chain, grid, start, ..
        } = built;
        let marched = march_until(chain, grid, start, &orders, &[], enough).0;
        self.work.spend(marched.node_steps);
        marched
    }
}

/// A place whose lowest head is no lower than a bound, m.
#[derive(Debug, Clone, Copy)]
pub(crate) struct BoundedPlace {
    pub(crate) at: HeadPlace,
    least_m: f64,
}

impl BoundedPlace {
    pub(crate) fn bound(&self, (max, min): (f64, f64)) -> (f64, f64) {
        (max, min.max(self.least_m))
    }

    /// Highest and lowest head there, m.
    pub(crate) fn heads_m(&self, marched: &TransientResult) -> (f64, f64) {
        self.bound(marched.heads(&self.at))
    }
}
