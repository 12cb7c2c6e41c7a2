use super::build::{Built, Wish, build};
use super::march::march;
use super::{Course, Floor, Marched, Orders};
use crate::flow::Run;
use crate::line::{Line, Mover};

/// Everything that stays the same while one movement is looked at.
pub(crate) struct Looking<'a> {
    pub(crate) line: &'a Line,
    pub(crate) state: &'a Run,
    pub(crate) of: &'a Mover,
    /// Weight of the water, N/m3.
    pub(crate) weight: f64,
    /// Head below the air's at which the water parts, m (negative).
    pub(crate) boiling_m: f64,
    /// Air's pressure as head, m.
    pub(crate) air_head_m: f64,
}

impl Looking<'_> {
    pub(crate) fn build(&self, speeds: &[f64], course: &Course, cells: usize) -> Option<Built> {
        build(Wish {
            line: self.line,
            state: self.state,
            speeds_m_per_s: speeds,
            of: self.of,
            course,
            cells,
        })
    }

    pub(crate) fn march(
        &self,
        built: &Built,
        waves: f64,
        watch_m: Vec<f64>,
        floors: Vec<Floor>,
    ) -> Marched {
        march(
            &built.chain,
            &built.grid,
            &built.start,
            &Orders {
                duration_s: built.chain.movement_s() + waves * built.chain.critical_time_s(),
                watch_m,
                floors,
                air_head_m: self.air_head_m,
            },
        )
    }
}
