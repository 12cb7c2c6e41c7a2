use super::fit::median;
use super::moved::{Bars, Judge, LEAST_M};

/// What two surveys can show: the least movement of a reach that they would surely call moved.
///
/// A storm that moved less may have left no mark in them: a list with nothing in it says no more than this.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sight {
    /// Length of the reach, m.
    pub over_m: f64,
    /// Up or down, mean over the reach, m.
    pub up_m: f64,
    /// To either side, m; `None` where a survey has no plan: nothing is seen aside.
    pub side_m: Option<f64>,
}

/// Length of the reach that is asked about, m: a slide of middle size.
const OVER_M: f64 = 20.0;
/// Nine in ten of movements so many standard deviations beyond the bar are called.
const NINE_IN_TEN_SDS: f64 = 1.28;
/// Movements that matter to a pipe and its supports, m.
const MATTERS_M: f64 = 0.3;

impl Sight {
    /// The middle of the doubts of reaches of that length all along the line, times the bar.
    pub(super) fn of(judge: &Judge<'_>) -> Self {
        let stations = &judge.series.station_m;
        let (from_m, to_m) = (
            stations.first().copied().unwrap_or(0.0),
            stations.last().copied().unwrap_or(0.0),
        );
        let over_m = OVER_M.min((to_m - from_m) / 3.0).max(1.0);
        let mut ups = Vec::new();
        let mut sides = Vec::new();
        let mut at_m = from_m;
        while at_m + over_m <= to_m + 1e-9 {
            let run = stations.partition_point(|s| *s < at_m)
                ..stations.partition_point(|s| *s < at_m + over_m);
            at_m += over_m;
            if !run.is_empty() {
                let (up, side) = judge.doubt(&run, over_m);
                ups.push(up);
                sides.extend(side);
            }
        }
        let moved_sds = Bars::of(judge.before, judge.after).moved_sds;
        let bar = |sds: &[f64]| ((moved_sds + NINE_IN_TEN_SDS) * median(sds)).max(LEAST_M);
        Self {
            over_m,
            up_m: bar(&ups),
            side_m: (!sides.is_empty()).then(|| bar(&sides)),
        }
    }

    /// Movements that matter can stay unseen.
    pub(super) fn is_dim(&self) -> bool {
        self.up_m > MATTERS_M || self.side_m.is_none_or(|m| m > MATTERS_M)
    }
}
