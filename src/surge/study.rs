use super::beside::closed_forms;
use super::build::Built;
use super::limits::search_time;
use super::looking::Looking;
use super::moves::{self, Move};
use super::parting::Parted;
use super::trace::thinned;
use super::*;
use crate::flow::Run;
use crate::line::{AirFor, Line};
use crate::pipe::Bed;
use crate::pipe::wave::{Band, Between, restraint_of, wave_speed};
use crate::unit::nature::water;

/// Cells on the line.
const SHOWN_CELLS: usize = 128;

/// Waves that are followed after a movement has ended, in times to the intake and back.
const SHOWN_WAVES: f64 = 5.0;

/// Marches the standard movements and the user's, and finds the shortest safe time of each.
///
/// `runs` are the running states of the line, "shut" among them. Figures and limits as in [`Surge`]; docs/basis/surge.md has the method.
pub fn study(line: &Line, runs: &[Run], options: &Options) -> Surges {
    let (moves, mut not_run) = moves::all(line, runs);
    let bands = bands(line);
    let mut surges = Vec::new();
    for m in &moves {
        match one(line, runs, options, &bands, m) {
            Ok(surge) => surges.push(surge),
            Err(why) => not_run.push(NotMarched {
                movement: m.name.clone(),
                why,
            }),
        }
    }
    Surges {
        runs: surges,
        not_run,
        filling: filling_by(line, &bands),
    }
}

/// Range of the wave speed by reach, m/s.
fn bands(line: &Line) -> Vec<Band> {
    let between = Between {
        coldest_c: line.water.coldest_c,
        warmest_c: line.water.warmest_c,
    };
    line.reaches
        .iter()
        .map(|r| {
            let middle = 0.5 * (r.from_m + r.to_m);
            let bed = line
                .laid
                .iter()
                .find(|l| l.from_m <= middle && middle <= l.to_m)
                .map_or(Bed::Surface, |l| l.bed);
            wave_speed(&r.pipe, restraint_of(r.joint, bed), between)
        })
        .collect()
}

/// The blow on a line whose filling water meets a stop at the stated fill speed; `None` without pipe.
pub fn filling(line: &Line) -> Option<FillingSlam> {
    filling_by(line, &bands(line))
}

fn filling_by(line: &Line, bands: &[Band]) -> Option<FillingSlam> {
    let wave_speed_m_per_s = bands.iter().map(|b| b.high).fold(0.0, f64::max);
    if wave_speed_m_per_s <= 0.0 {
        return None;
    }
    let speed_m_per_s = line.limits.fill_speed_m_per_s;
    let g = line.situation.gravity_m_per_s2;
    let rise_m = wave_speed_m_per_s * speed_m_per_s / g;
    let weight = water(line.water.usual_c).density_kg_per_m3 * g;
    Some(FillingSlam {
        speed_m_per_s,
        wave_speed_m_per_s,
        rise_m,
        pressure_end_pa: (line.intake.level_m - line.end_elevation_m() + rise_m) * weight,
    })
}

fn one(
    line: &Line,
    runs: &[Run],
    options: &Options,
    bands: &[Band],
    m: &Move,
) -> Result<Surge, WhyNotMarched> {
    let named = runs
        .iter()
        .find(|r| *r.state() == m.during)
        .or_else(|| {
            (m.course.from <= 0.0)
                .then(|| moves::main_state(runs))
                .flatten()
        })
        .ok_or_else(|| WhyNotMarched::NoState(m.during.clone()))?;
    // an opening begins at rest: its losses are those of the state it leads to
    let state = if named.flows() {
        named
    } else {
        moves::main_state(runs).ok_or(WhyNotMarched::NothingMoves)?
    };
    let weight = state.water.density_kg_per_m3 * line.situation.gravity_m_per_s2;
    let boiling_pa = water(line.water.warmest_c).vapour_pa - line.situation.air_pa(AirFor::Hanging);
    let looking = Looking {
        line,
        state,
        of: &m.of,
        weight,
        boiling_m: boiling_pa / weight,
        air_head_m: line.situation.air_pa(AirFor::Squeezing) / weight,
    };
    let high: Vec<f64> = bands.iter().map(|b| b.high).collect();
    let low: Vec<f64> = bands.iter().map(|b| b.low).collect();
    let built = looking
        .build(&high, &m.course, SHOWN_CELLS)
        .ok_or(WhyNotMarched::NoPipe)?;
    let slow = looking
        .build(&low, &m.course, SHOWN_CELLS)
        .ok_or(WhyNotMarched::NoPipe)?;
    let [turbine, turbine_slow] = [&built, &slow].map(|b| looking.turbine_node_m(b));
    let risers = risers::of(line);
    let slowly = looking.march(
        &slow,
        SHOWN_WAVES,
        Orders {
            watch_m: vec![turbine_slow],
            risers: risers.clone(),
            ..Orders::default()
        },
    );
    let least: &[f64] = options.allowed.as_ref().map_or(&[], |a| &a.least_pa);
    let of_points = |points: &[SurgePoint]| {
        let worst_m = worst_station(&looking, points, least);
        (worst_m, Parted::of(&looking, points))
    };
    // what to watch hangs on the outcome: the slow end guesses it, and where it guessed wrong the march is made again
    let (guess_m, guessed) = of_points(&points(&looking, &[(&slow, &slowly)], boiling_pa));
    let look_at = |worst_m: f64, parted: &Parted| Orders {
        watch_m: vec![turbine, looking.node_m(&built, worst_m)],
        floors: parted.floors(&looking, &built),
        ..Orders::default()
    };
    let shown = looking.march(
        &built,
        SHOWN_WAVES,
        Orders {
            risers: risers.clone(),
            ..look_at(guess_m, &guessed)
        },
    );
    let points = points(&looking, &[(&built, &shown), (&slow, &slowly)], boiling_pa);
    let (worst_m, parted) = of_points(&points);
    let told = parted.anywhere() || !options.envelope_only;
    let again = (told && (worst_m, &parted) != (guess_m, &guessed))
        .then(|| looking.march(&built, SHOWN_WAVES, look_at(worst_m, &parted)));
    let watched = again.as_ref().unwrap_or(&shown);
    let slow_first = || {
        // with the slow end only: rare, so that march is made again for its time alone
        let floors = parted.floors(&looking, &slow);
        let only = Orders {
            floors,
            ..Orders::default()
        };
        looking.march(&slow, SHOWN_WAVES, only).first_below
    };
    let lowest_at_s = || lowest_at_s(watched, 1);
    let vapour = parted.vapour(boiling_pa, watched.first_below, slow_first, lowest_at_s);
    let until_s = vapour.map_or(f64::INFINITY, |v| v.at_s);
    let critical_time_s = slow.chain.critical_time_s();
    let search = options
        .allowed
        .as_ref()
        .filter(|_| !options.envelope_only && m.timing != Timing::AtOnce)
        .map(|allowed| {
            let speeds = [high.as_slice(), low.as_slice()];
            search_time(&looking, m, allowed, speeds, critical_time_s)
        });
    let turbine_m = looking.turbine_m(&built);
    let here = |m: &Marched| extremes(&looking, m, turbine_m);
    let (head_max_m, head_min_m, head_max_at_s) = here(&shown);
    let (slow_max_m, slow_min_m, _) = here(&slowly);
    let trace = |i: usize, station_m: f64| {
        let heads = watched.watched_m.get(i).filter(|_| !options.envelope_only);
        let heads = heads.map_or(&[][..], Vec::as_slice);
        thinned(station_m, watched.step_s, heads, until_s)
    };
    let at_turbine = trace(0, turbine_m);
    let at_worst = trace(1, worst_m);
    Ok(Surge {
        movement: m.name.clone(),
        asked: m.asked,
        answered_by: m.answered_by.clone(),
        of: m.of.clone(),
        often: m.often,
        during: m.during.clone(),
        from: m.course.from,
        to: m.course.to(),
        over_s: m.course.duration_s(),
        timing: m.timing,
        valid: !options.climb_may_hold_air,
        wave_speeds_m_per_s: by_reach(line, &built),
        wave_speed_bands_m_per_s: bands.to_vec(),
        adjustment: built.grid.adjustment.max(slow.grid.adjustment),
        moved_m: built.moved_m.max(slow.moved_m),
        critical_time_s,
        shortest_safe_s: search.as_ref().and_then(|s| s.straight_s),
        search,
        head_max_m,
        head_min_m,
        head_slow_m: (slow_max_m, slow_min_m),
        head_max_at_s,
        vapour,
        air_at_jets: shown.air_at_end,
        points,
        at_turbine,
        at_worst,
        closed: closed_forms(&looking, m, &built, &shown),
        risers: risers::widest(&risers, &[&shown, &slowly]),
        standpipes: standpipes(&built, &[&shown, &slowly]),
        taken: built.taken,
    })
}

fn by_reach(line: &Line, built: &Built) -> Vec<f64> {
    let used = |reach: usize| {
        built
            .reach_of_tube
            .iter()
            .zip(&built.chain.tubes)
            .find(|(r, _)| **r == reach)
            .map(|(_, t)| t.wave_speed_m_per_s)
    };
    // a reach too short for a cell of its own went with its neighbour
    let mut last = built
        .chain
        .tubes
        .first()
        .map_or(0.0, |t| t.wave_speed_m_per_s);
    (0..line.reaches.len())
        .map(|i| {
            last = used(i).unwrap_or(last);
            last
        })
        .collect()
}

/// Highest and lowest head at the first watched station, and when the highest stands; no lowest where the water parts.
fn extremes(looking: &Looking<'_>, m: &Marched, station_m: f64) -> (f64, Option<f64>, f64) {
    let heads = m.watched_m.first().map_or(&[][..], Vec::as_slice);
    let (at, max) = heads
        .iter()
        .copied()
        .enumerate()
        // the first of equals, whatever the rounding
        .reduce(|a, b| if b.1 > a.1 + 1e-6 { b } else { a })
        .unwrap_or((0, m.last_head_m));
    let min = heads.iter().copied().fold(max, f64::min);
    let parts = min - looking.line.elevation_m(station_m) < looking.boiling_m;
    (max, (!parts).then_some(min), at as f64 * m.step_s)
}

/// The widest of the marches for each standpipe; both grids place the line's stands in the same order.
fn standpipes(built: &Built, marches: &[&Marched]) -> Vec<StandpipeRise> {
    let joins = built.chain.joins.iter().zip(&built.stand_of_join);
    let rims: Vec<(usize, f64)> = joins
        .filter_map(|(join, stand)| match join.branch {
            Branch::Standpipe { rim_m, .. } => Some(((*stand)?, rim_m)),
            _ => None,
        })
        .collect();
    let levels = |i: usize| {
        let each = marches
            .iter()
            .filter_map(move |m| m.standpipes_m.iter().flatten().nth(i));
        each.copied().reduce(f64::max)
    };
    rims.into_iter()
        .enumerate()
        .filter_map(|(i, (stand, rim_m))| {
            let level_m = levels(i)?;
            Some(StandpipeRise {
                stand,
                level_m,
                spills: level_m > rim_m,
            })
        })
        .collect()
}

/// Heads and pressures at each station of the grid: the widest of the marches.
fn points(
    looking: &Looking<'_>,
    marches: &[(&Built, &Marched)],
    boiling_pa: f64,
) -> Vec<SurgePoint> {
    let heights = &looking.line.heights;
    let each = heights.station_m.iter().zip(&heights.mean_m);
    each.map(|(&station_m, &elevation_m)| {
        let (max, min) = marches
            .iter()
            .map(|(b, m)| looking.heads_m(b, m, (station_m, elevation_m)))
            .reduce(|a, b| (a.0.max(b.0), a.1.min(b.1)))
            .unwrap_or((elevation_m, elevation_m));
        let lowest = (min - elevation_m) * looking.weight;
        let stays = lowest >= boiling_pa;
        SurgePoint {
            station_m,
            head_max_m: max,
            head_min_m: stays.then_some(min),
            pressure_max_pa: (max - elevation_m) * looking.weight,
            pressure_min_pa: stays.then_some(lowest),
        }
    })
    .collect()
}

/// The station whose least pressure stands nearest to, or furthest below, its limit.
fn worst_station(looking: &Looking<'_>, points: &[SurgePoint], least_pa: &[f64]) -> f64 {
    let limits = least_pa.iter().copied().chain(std::iter::repeat(0.0));
    points
        .iter()
        .zip(limits)
        // the mouth always stands near the air's pressure, and nothing there can part
        .filter(|(p, _)| p.station_m > 0.0)
        .map(|(p, limit)| {
            (
                p.pressure_min_pa.map_or(f64::NEG_INFINITY, |pa| pa - limit),
                p,
            )
        })
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .map_or(looking.line.length_m(), |(_, p)| p.station_m)
}

/// When a watched station stands lowest, s.
fn lowest_at_s(m: &Marched, watched: usize) -> f64 {
    let heads = m.watched_m.get(watched).map_or(&[][..], Vec::as_slice);
    heads
        .iter()
        .enumerate()
        .min_by(|a, b| a.1.total_cmp(b.1))
        .map_or(0.0, |(i, _)| i as f64 * m.step_s)
}
