//! Where air gathers: climbs, breaks, highs against the grade line, flats, below shut-offs, long even runs.

use super::residual_pockets::Trapped;
use super::start::share;
use super::startup::CrestState;
use super::sweep::{Hanging, Relation, Sweep};
use super::{AirVolume, LeftIn, Pocket, PocketCause};
use crate::flow::Run;
use crate::line::{Appurtenance, Geometry, Line, Reaches, Watch};
use crate::numeric::math;
use crate::numeric::series::at;
use crate::profile::{Climb, Profile};

/// A fall that steepens by more than this hangs a pocket below it, rad: 10 degrees (NRCS practice standard 430, from memory).
const BREAK_RAD: f64 = 0.174_532_925;

/// An even run longer than this wants a place to let air out and in, m: AWWA M51 asks for a quarter to half a mile (from memory).
const LONG_RUN_M: f64 = 600.0;

/// Draws that a high against the grade line is held against.
const LOOKED_AT: usize = 200;

/// Slopes are measured over so much pipe, m, so that a survey's own noise is not one.
const SLOPE_OVER_M: f64 = 5.0;

/// All places, in order from the intake.
pub(super) fn pockets(
    line: &Line,
    profile: &Profile,
    runs: &[Run],
    crests: &[CrestState],
    squeeze: &Squeeze<'_>,
) -> Vec<Pocket> {
    let geometry = &line.geometry;
    let mut out: Vec<Pocket> = profile
        .climbs
        .iter()
        .enumerate()
        .map(|(i, climb)| at_climb(climb, i, crests, squeeze))
        .collect();
    for crest in crests {
        let listed = out
            .iter()
            .any(|p| (p.from_m..=p.to_m).contains(&crest.station_m));
        if !listed {
            out.push(at_crest(crest, squeeze));
        }
    }
    let climbing: Vec<(f64, f64)> = out.iter().map(|p| (p.from_m, p.to_m)).collect();
    let clear = |s: f64| !climbing.iter().any(|c| (c.0..=c.1).contains(&s));
    out.extend(breaks(geometry).into_iter().filter(|p| clear(p.station_m)));
    out.extend(
        near_grade_line(geometry, &line.reaches, runs)
            .into_iter()
            .filter(|p| clear(p.station_m)),
    );
    out.extend(flats(profile));
    out.extend(shut_offs(line));
    out.extend(long_runs(line, &out));
    for pocket in &mut out {
        pocket.vented_by = vents_at(line, pocket, Watch::Unattended);
        pocket.by_hand = vents_at(line, pocket, Watch::Attended);
        pocket.by_hand.retain(|i| !pocket.vented_by.contains(i));
        if matches!(
            pocket.why,
            PocketCause::Climb | PocketCause::Break | PocketCause::NearGradeLine
        ) {
            pocket.sweeps = sweeps(line, runs, pocket);
        }
    }
    out.sort_by(|a, b| a.station_m.total_cmp(&b.station_m).then(a.why.cmp(&b.why)));
    out
}

/// A pocket of which only the place is known.
fn bare(why: PocketCause, station_m: f64, from_m: f64, to_m: f64, certainty: f64) -> Pocket {
    Pocket {
        why,
        station_m,
        from_m,
        to_m,
        certainty,
        climb: None,
        seals: false,
        at_rest: AirVolume::default(),
        compressed: AirVolume::default(),
        vented_by: Vec::new(),
        by_hand: Vec::new(),
        sweeps: Vec::new(),
        from_memory: false,
    }
}

/// What squeezes a pocket: the one law for all that gather.
pub(super) struct Squeeze<'a> {
    pub(super) line: &'a Line,
    /// The running state with the largest flow.
    pub(super) run: Option<&'a Run>,
    /// The legs of the bare pipe, each full of air.
    pub(super) legs: &'a [Trapped],
    /// The same state with the pockets of the start left in.
    pub(super) left: Option<&'a LeftIn>,
    pub(super) air_head_m: f64,
}

impl Squeeze<'_> {
    /// How far the grade line stands over the pipe, m, the pipe full; still water where nothing runs.
    fn over_m(&self, station_m: f64) -> f64 {
        let line = self.line;
        let standing = line.intake.level_m - line.geometry.elevation_m(station_m);
        self.run.map_or(standing, |run| {
            let over: Vec<f64> = run
                .points
                .iter()
                .map(|p| p.grade_line_m - line.geometry.elevation_m(p.station_m))
                .collect();
            crate::numeric::series::interpolate(&line.geometry.heights.station_m, &over, station_m)
        })
    }

    /// The air behind a crest that seals.
    fn leg(&self, station_m: f64) -> Option<AirVolume> {
        let left = self.left.iter().flat_map(|l| &l.pockets);
        if let Some(pocket) = left.into_iter().find(|p| p.station_m == station_m) {
            return Some(pocket.held);
        }
        let leg = self.legs.iter().find(|t| t.station_m == station_m)?;
        Some(leg.squeezed(self.air_head_m, self.over_m(station_m)))
    }

    /// What is left of air that lies on a crest without sealing it, as a share.
    fn share(&self, station_m: f64) -> f64 {
        self.air_head_m / (self.air_head_m + self.over_m(station_m).max(0.0))
    }
}

fn at_climb(climb: &Climb, index: usize, crests: &[CrestState], squeeze: &Squeeze<'_>) -> Pocket {
    let (from_m, to_m) = (
        climb.low_station_m.min(climb.crest_from_m),
        climb.end_station_m.max(climb.crest_to_m),
    );
    let place = Pocket {
        climb: Some(index),
        ..bare(
            PocketCause::Climb,
            climb.crest_station_m,
            from_m,
            to_m,
            climb.probability,
        )
    };
    // crests of the mean line in this climb; the one with the most air stands for it
    let sealed = crests
        .iter()
        .filter(|c| (from_m..=to_m).contains(&c.station_m))
        .max_by(|a, b| a.sealed_m3.total_cmp(&b.sealed_m3));
    if let Some(crest) = sealed {
        return Pocket {
            seals: true,
            ..with_air(place, crest, squeeze)
        };
    }
    let share = squeeze.share(climb.crest_station_m);
    let rise_m = climb.rise_m.max(0.0);
    Pocket {
        at_rest: AirVolume {
            volume_m3: climb.pocket_m3,
            height_m: rise_m,
        },
        compressed: AirVolume {
            volume_m3: climb.pocket_m3 * share,
            height_m: rise_m * share,
        },
        ..place
    }
}

fn at_crest(crest: &CrestState, squeeze: &Squeeze<'_>) -> Pocket {
    let (geometry, reaches) = (&squeeze.line.geometry, &squeeze.line.reaches);
    let seals_in = |draw: &Vec<f64>| {
        let at = |s: f64| crate::numeric::series::interpolate(&geometry.heights.station_m, draw, s);
        let rise_m = at(crest.station_m) - at(crest.low_station_m);
        reaches.bore_m(crest.station_m).is_some_and(|b| rise_m > b)
    };
    let certainty = if geometry.heights.draws.is_empty() {
        1.0
    } else {
        share(&geometry.heights.draws, seals_in)
    };
    let place = Pocket {
        seals: true,
        ..bare(
            PocketCause::Climb,
            crest.station_m,
            crest.low_station_m,
            crest.next_low_station_m,
            certainty,
        )
    };
    with_air(place, crest, squeeze)
}

fn with_air(place: Pocket, crest: &CrestState, squeeze: &Squeeze<'_>) -> Pocket {
    let at_rest = AirVolume {
        volume_m3: crest.sealed_m3,
        height_m: crest.sealed_m,
    };
    Pocket {
        at_rest,
        compressed: squeeze.leg(crest.station_m).unwrap_or(at_rest),
        ..place
    }
}

/// Bends above their doubt that turn the pipe downward by more than the limit.
fn breaks(geometry: &Geometry) -> Vec<Pocket> {
    geometry
        .bends
        .iter()
        .filter(|b| -b.profile_rad >= BREAK_RAD)
        .map(|b| Pocket {
            from_memory: true,
            ..bare(
                PocketCause::Break,
                b.station_m,
                b.station_m - 0.5 * b.over_m,
                b.station_m + 0.5 * b.over_m,
                1.0,
            )
        })
        .collect()
}

/// Highs of the pipe against the grade line of the largest flow: air rises to where the pressure is least.
fn near_grade_line(geometry: &Geometry, reaches: &Reaches, runs: &[Run]) -> Vec<Pocket> {
    let Some(run) = runs
        .iter()
        .filter(|r| r.flows())
        .max_by(|a, b| a.flow_m3_per_s.total_cmp(&b.flow_m3_per_s))
    else {
        return Vec::new();
    };
    let stations = &geometry.heights.station_m;
    let under = |heights: &[f64]| -> Vec<f64> {
        heights
            .iter()
            .zip(&run.points)
            .map(|(z, p)| z - p.grade_line_m)
            .collect()
    };
    let mean = under(&geometry.heights.mean_m);
    let draws: Vec<Vec<f64>> = geometry
        .heights
        .draws
        .iter()
        .take(LOOKED_AT)
        .map(|d| under(d))
        .collect();
    highs(&mean, |i| reaches.bore_m(at(stations, i)))
        .into_iter()
        .filter_map(|(from, top, to)| {
            let station_m = *stations.get(top)?;
            let half_m = 0.5 * reaches.bore_m(station_m)?;
            let stands =
                |values: &Vec<f64>| at(values, top) - at(values, from).max(at(values, to)) > half_m;
            let certainty = if draws.is_empty() {
                1.0
            } else {
                share(&draws, stands)
            };
            (certainty > 0.5).then(|| {
                bare(
                    PocketCause::NearGradeLine,
                    station_m,
                    at(stations, from),
                    at(stations, to),
                    certainty,
                )
            })
        })
        .collect()
}

/// Inner highs that stand above the lows on both sides by more than a measure: low before, top, low behind.
fn highs(values: &[f64], measure: impl Fn(usize) -> Option<f64>) -> Vec<(usize, usize, usize)> {
    let at = |i: usize| at(values, i);
    let beyond = |i: usize, apart: f64| measure(i).is_some_and(|m| apart > m);
    let mut out = Vec::new();
    let (mut low, mut top) = (0, None::<(usize, usize)>);
    for i in 0..values.len() {
        match top {
            None => {
                if at(i) < at(low) {
                    low = i;
                } else if beyond(i, at(i) - at(low)) {
                    top = Some((low, i));
                    low = i;
                }
            }
            Some((before, crest)) => {
                if at(i) > at(crest) {
                    top = Some((before, i));
                    low = i;
                } else {
                    if at(i) < at(low) {
                        low = i;
                    }
                    if beyond(i, at(i) - at(low)) || i + 1 == values.len() {
                        if beyond(crest, at(crest) - at(low)) {
                            out.push((before, crest, low));
                        }
                        top = beyond(i, at(i) - at(low)).then_some((low, i));
                        low = i;
                    }
                }
            }
        }
    }
    out
}

fn flats(profile: &Profile) -> Vec<Pocket> {
    profile
        .flats
        .iter()
        .map(|f| {
            Pocket {
                // least gradients for laying, 1 in 300 to 1 in 500, are from memory
                from_memory: true,
                ..bare(
                    PocketCause::Flat,
                    f.from_station_m,
                    f.from_station_m,
                    f.to_station_m,
                    1.0,
                )
            }
        })
        .collect()
}

/// Just below the intake and below every valve on the line; the turbine's own valve shuts the line, not the air out.
fn shut_offs(line: &Line) -> Vec<Pocket> {
    let mut stations: Vec<f64> = line.shut_offs().map(|f| f.station_m).collect();
    // a siphon breaks by itself when its water falls: air comes in at the mouth
    if line.head_valve().is_none() && !line.intake.is_siphon() {
        stations.insert(0, 0.0);
    }
    stations
        .into_iter()
        .map(|s| bare(PocketCause::BelowShutOff, s, s, s, 1.0))
        .collect()
}

/// Places on runs that no vent, crest or shut-off breaks for longer than the limit.
fn long_runs(line: &Line, others: &[Pocket]) -> Vec<Pocket> {
    let mut held: Vec<f64> = others
        .iter()
        .filter(|p| matches!(p.why, PocketCause::Climb | PocketCause::BelowShutOff))
        .map(|p| p.station_m)
        .chain(
            line.stands
                .iter()
                .filter(|s| line.reaches.lets_out(s, Watch::Attended))
                .map(|s| s.station_m),
        )
        .chain([0.0, line.geometry.length_m()])
        .collect();
    held.sort_by(f64::total_cmp);
    let mut out = Vec::new();
    for (&a, &b) in held.iter().zip(held.iter().skip(1)) {
        let parts = ((b - a) / LONG_RUN_M).ceil().max(1.0);
        let mut k = 1.0;
        while k < parts {
            let s = a + (b - a) * k / parts;
            out.push(Pocket {
                from_memory: true,
                ..bare(PocketCause::LongRun, s, a, b, 1.0)
            });
            k += 1.0;
        }
    }
    out
}

/// Whether a vent at a station serves a pocket: on its crest within half a bore of the height, or just below a shut-off.
pub fn serves(geometry: &Geometry, reaches: &Reaches, pocket: &Pocket, station_m: f64) -> bool {
    let near_m = (3.0 * geometry.station_sd_m).max(1.0);
    match pocket.why {
        PocketCause::BelowShutOff => {
            (pocket.station_m - 0.1..=pocket.station_m + below_m(reaches)).contains(&station_m)
        }
        PocketCause::LongRun => false,
        _ => {
            (station_m - pocket.station_m).abs() <= near_m
                || ((pocket.from_m..=pocket.to_m).contains(&station_m)
                    && reaches.bore_m(pocket.station_m).is_some_and(|bore| {
                        geometry.elevation_m(pocket.station_m) - geometry.elevation_m(station_m)
                            <= 0.5 * bore
                    }))
        }
    }
}

/// Vents that serve a pocket: those that let its air out, or below a shut-off those that let air in.
fn vents_at(line: &Line, pocket: &Pocket, watch: Watch) -> Vec<usize> {
    let does = |s: &Appurtenance| match pocket.why {
        PocketCause::BelowShutOff => watch == Watch::Unattended && line.reaches.lets_in(s),
        _ => line.reaches.lets_out(s, watch),
    };
    line.stands
        .iter()
        .enumerate()
        .filter(|(_, s)| does(s) && serves(&line.geometry, &line.reaches, pocket, s.station_m))
        .map(|(i, _)| i)
        .collect()
}

/// How far below a shut-off a vent still guards it, m: twenty bores, at least 5 m.
pub(super) fn below_m(reaches: &Reaches) -> f64 {
    const LEAST_M: f64 = 5.0;
    reaches
        .bore_m(0.0)
        .map_or(LEAST_M, |b| (20.0 * b).max(LEAST_M))
}

/// Steepest fall, rad, within a stretch of the mean line, measured over a few metres of pipe.
pub(super) fn steepest_rad(geometry: &Geometry, from_m: f64, to_m: f64) -> f64 {
    let over = SLOPE_OVER_M.min(0.5 * (to_m - from_m)).max(0.1);
    let mut steepest: f64 = 0.0;
    let mut at = from_m;
    while at + over <= to_m + 1e-9 {
        let fall = (geometry.elevation_m(at) - geometry.elevation_m(at + over)) / over;
        steepest = steepest.max(math::asin(fall.clamp(0.0, 1.0)));
        at += over;
    }
    steepest
}

fn sweeps(line: &Line, runs: &[Run], pocket: &Pocket) -> Vec<Sweep> {
    let behind = match pocket.why {
        PocketCause::Climb => pocket.to_m.max(pocket.station_m + 2.0),
        _ => (pocket.to_m.max(pocket.station_m) + 20.0).min(line.geometry.length_m()),
    };
    let Some(bore_m) = line.reaches.bore_m(pocket.station_m) else {
        return Vec::new();
    };
    let hanging = Hanging {
        bore_m,
        slope_rad: steepest_rad(&line.geometry, pocket.station_m, behind),
        volume_m3: pocket.compressed.volume_m3,
        gravity_m_per_s2: line.environment.situation.gravity_m_per_s2,
    };
    runs.iter()
        .filter(|r| r.flows())
        .flat_map(|run| {
            Relation::JUDGED_BY.map(|relation| {
                Sweep::of(
                    run.state(),
                    relation,
                    hanging,
                    run.velocity_m_per_s(pocket.station_m),
                )
            })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn highs_stand_above_both_sides() {
        let values = [0.0, -1.0, -3.0, -2.0, -2.5, -4.0, -5.0, -4.9, -6.0];
        assert_eq!(highs(&values, |_| Some(0.5)), [(2, 3, 8)]);
        assert!(highs(&[0.0, -1.0, -2.0], |_| Some(0.1)).is_empty());
    }
}
