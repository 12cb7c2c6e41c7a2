//! Running with the pockets of the start left in: what flow and power they take.

use super::LeftIn;
use super::lock::CrestState;
use crate::flow::{Conditions, Run, StandingAir, run_under};
use crate::line::Line;
use crate::numeric::math;

/// A pocket that stays: where, its height, and the length of pipe that it keeps dry.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Dry {
    crest_m: f64,
    height_m: f64,
    length_m: f64,
}

impl Dry {
    /// Where the water closes below the pocket, m: its head is lost by there. Within it the air presses alike, so nothing in it hangs.
    fn ends_m(&self) -> f64 {
        self.crest_m + self.length_m
    }
}

/// Each running case that runs full, with the pockets left in.
///
/// A pocket takes its own height of head (May, Allen and Nelson 2018: the loss of a pocket in 25 and 38 mm pipe is close to its vertical height).
/// In the dry part of a leg water runs down as a film, so the friction of a full pipe is taken off again there. Basis page: start-up.
pub(super) fn left_in(line: &Line, runs: &[Run], crests: &[CrestState]) -> Vec<LeftIn> {
    let pockets = |full: bool| -> Vec<Dry> {
        crests
            .iter()
            .filter(|c| !c.vented && c.sealed_m > 0.0)
            .map(|c| {
                let leg_m = c.next_low_station_m - c.station_m;
                let (height_m, share) = if full {
                    (c.sealed_m, 1.0)
                } else {
                    (c.squeezed_m, c.squeezed_m3 / c.sealed_m3)
                };
                Dry {
                    crest_m: c.station_m,
                    height_m,
                    length_m: leg_m * share,
                }
            })
            .collect()
    };
    let (squeezed, full) = (pockets(false), pockets(true));
    if full.is_empty() {
        return Vec::new();
    }
    let height = |dry: &[Dry]| dry.iter().map(|d| d.height_m).sum();
    let line = without_doubt(line);
    runs.iter()
        .filter(|r| r.flows() && r.limited.is_none())
        .map(|run| {
            let (a, b) = (with(&line, run, &squeezed), with(&line, run, &full));
            let share = |r: &Option<Run>| {
                r.as_ref()
                    .map_or(0.0, |r| r.water_power_w / run.water_power_w)
            };
            LeftIn {
                case: run.state().clone(),
                head_compressed_m: height(&squeezed),
                head_full_m: height(&full),
                power_share_compressed: share(&a),
                power_share_full: share(&b),
                flow_compressed_m3_per_s: a.map(|r| r.flow_m3_per_s),
                flow_full_m3_per_s: b.map(|r| r.flow_m3_per_s),
            }
        })
        .collect()
}

/// The case with the pockets in it: the friction taken off the dry pipe is that of the flow found, so a few rounds settle it.
fn with(line: &Line, run: &Run, dry: &[Dry]) -> Option<Run> {
    const ROUNDS: usize = 6;
    let mut found: Option<Run> = None;
    for _ in 0..ROUNDS {
        let flowing = found.as_ref().unwrap_or(run);
        let conditions = Conditions {
            standing_air: dry
                .iter()
                .map(|d| StandingAir {
                    station_m: d.ends_m(),
                    // water that runs faster than the leg is steep fills it: a pocket gives nothing back
                    head_m: (d.height_m - d.length_m * slope(line, flowing, d.crest_m)).max(0.0),
                })
                .collect(),
            ..Conditions::usual(line)
        };
        found = run_under(line, &run.wish, &conditions)
            .ok()
            .filter(|run| run.flows());
        found.as_ref()?;
    }
    found
}

/// Head that friction takes a metre just below a station, m/m.
fn slope(line: &Line, run: &Run, station_m: f64) -> f64 {
    let Some((stretch, reach)) = run
        .stretch_at(station_m)
        .and_then(|s| Some((s, line.reaches.get(s.reach)?)))
    else {
        return 0.0;
    };
    stretch.friction_factor * math::powi(stretch.velocity_m_per_s, 2)
        / (2.0 * line.situation.gravity_m_per_s2 * reach.pipe.inner_diameter_m)
}

/// The line without its draws: these runs carry no doubt of their own.
fn without_doubt(line: &Line) -> Line {
    let mut bare = line.clone();
    bare.heights.draws.clear();
    bare
}
