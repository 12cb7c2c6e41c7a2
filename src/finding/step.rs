use crate::profile::Climb;
use crate::study::Study;

/// A rise that the ground does not have: the site file says that planned pipe comes up there, from buried to raised, say.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DeclaredStep {
    /// How far the pipe comes up over the ground, m.
    pub up_m: f64,
    /// Length over which it must come up so that the pipe falls at the least grade, m; `None` where the ground does not fall enough.
    pub ramp_m: Option<f64>,
}

/// The ground's grade is taken over so much at either side of a step, m.
const BESIDE_M: f64 = 25.0;

impl DeclaredStep {
    /// The step behind a climb on planned pipe; none where the ground itself rises, or the pipe lies already.
    pub(super) fn of(study: &Study, climb: &Climb) -> Option<Self> {
        let line = &study.line;
        let (low, crest) = (climb.low_station_m, climb.crest_station_m);
        if !line.reaches.is_planned_at(low) || !line.reaches.is_planned_at(crest) {
            return None;
        }
        let known: Vec<(f64, f64)> = line
            .geometry
            .heights
            .station_m
            .iter()
            .zip(&line.geometry.ground_m)
            .filter_map(|(s, z)| Some((*s, (*z)?)))
            .collect();
        if known.len() < 2 {
            return None;
        }
        let (stations, heights): (Vec<f64>, Vec<f64>) = known.into_iter().unzip();
        let ground = |s: f64| crate::numeric::series::interpolate(&stations, &heights, s);
        let over = |s: f64| line.geometry.heights.at(s) - ground(s);
        let up_m = over(crest) - over(low);
        // Without the step the ground falls there, or is level.
        if up_m < 0.9 * climb.rise_m || ground(crest) > ground(low) + 0.1 * climb.rise_m {
            return None;
        }
        let (from, to) = (
            (low - BESIDE_M).max(0.0),
            (crest + BESIDE_M).min(line.geometry.length_m()),
        );
        let spare = (ground(from) - ground(to)) / (to - from) - line.wishes.regrade.least_grade;
        Some(Self {
            up_m,
            ramp_m: (spare > 1e-3).then(|| up_m / spare),
        })
    }
}
