use super::beside::closed_forms;
use super::build::Built;
use super::limits::search_time;
use super::looking::Looking;
use super::moves::{self, Move};
use super::trace::thinned;
use super::*;
use crate::flow::Run;
use crate::line::Line;
use crate::pipe::Bed;
use crate::pipe::wave::{Band, Between, restraint_of, wave_speed};
use crate::unit::nature::water;

/// Cells on the line.
const SHOWN_CELLS: usize = 160;

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
        filling: filling(line, &bands),
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

fn filling(line: &Line, bands: &[Band]) -> Option<FillingSlam> {
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
        .find(|r| r.name == m.during)
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
    let boiling_pa = water(line.water.warmest_c).vapour_pa - line.situation.air_pa;
    let looking = Looking {
        line,
        state,
        of: &m.of,
        weight,
        boiling_m: boiling_pa / weight,
        air_head_m: line.situation.air_pa / weight,
    };
    let high: Vec<f64> = bands.iter().map(|b| b.high).collect();
    let low: Vec<f64> = bands.iter().map(|b| b.low).collect();
    let built = looking
        .build(&high, &m.course, SHOWN_CELLS)
        .ok_or(WhyNotMarched::NoPipe)?;
    let slow = looking
        .build(&low, &m.course, SHOWN_CELLS)
        .ok_or(WhyNotMarched::NoPipe)?;
    let end_m = line.length_m();
    let shown = looking.march(&built, SHOWN_WAVES, vec![end_m], Vec::new());
    let slowly = looking.march(&slow, SHOWN_WAVES, Vec::new(), Vec::new());
    let points = points(&looking, &[&shown, &slowly], boiling_pa);
    let least: &[f64] = options.allowed.as_ref().map_or(&[], |a| &a.least_pa);
    let worst_m = worst_station(line, &shown, &looking, least);
    let floors: Vec<Floor> = floors(line, &points, looking.boiling_m);
    let again = looking.march(&built, SHOWN_WAVES, vec![end_m, worst_m], floors.clone());
    let parted = again
        .first_below
        .and_then(|(i, at_s)| Some((floors.get(i)?.station_m, at_s)));
    let parted_slowly = || {
        // only with the slow end: rare, and the time is looked for there
        let m = looking.march(&slow, SHOWN_WAVES, Vec::new(), floors.clone());
        m.first_below
            .and_then(|(i, at_s)| Some((floors.get(i)?.station_m, at_s)))
    };
    let vapour = (!floors.is_empty())
        .then(|| parted.or_else(parted_slowly))
        .flatten()
        .map(|(first_m, at_s)| Vapour {
            from_m: floors.first().map_or(first_m, |f| f.station_m),
            to_m: floors.last().map_or(first_m, |f| f.station_m),
            first_m,
            at_s,
            limit_pa: boiling_pa,
        });
    let until_s = vapour.map_or(f64::INFINITY, |v| v.at_s);
    let critical_time_s = slow.chain.critical_time_s();
    let search = options
        .allowed
        .as_ref()
        .filter(|_| !options.no_search && m.timing != Timing::AtOnce)
        .map(|allowed| {
            let speeds = [high.as_slice(), low.as_slice()];
            search_time(&looking, m, allowed, speeds, critical_time_s)
        });
    let here = |e: &Extreme| {
        let kept = |h: f64| (h - line.end_elevation_m() >= looking.boiling_m).then_some(h);
        (e.max_m, kept(e.min_m))
    };
    let (head_max_m, head_min_m) = here(&shown.outlet);
    let mut watched = again.watched_m.iter();
    let mut trace = |station_m: f64| {
        thinned(
            station_m,
            again.step_s,
            watched.next().map_or(&[], Vec::as_slice),
            until_s,
        )
    };
    let at_turbine = trace(end_m);
    let at_worst = trace(worst_m);
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
        head_slow_m: here(&slowly.outlet),
        head_max_at_s: shown.outlet.max_at_s,
        vapour,
        air_at_jets: shown.air_at_end,
        points,
        at_turbine,
        at_worst,
        closed: closed_forms(&looking, m, &built, &shown),
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

/// Heads and pressures at each station of the grid: the widest of the marches.
fn points(looking: &Looking<'_>, marches: &[&Marched], boiling_pa: f64) -> Vec<SurgePoint> {
    let heights = &looking.line.heights;
    let each = heights.station_m.iter().zip(&heights.mean_m);
    each.map(|(&station_m, &elevation_m)| {
        let (max, min) = marches
            .iter()
            .map(|m| m.at(station_m))
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
fn worst_station(line: &Line, shown: &Marched, looking: &Looking<'_>, least_pa: &[f64]) -> f64 {
    let heights = &line.heights;
    let stations = heights.station_m.iter().zip(&heights.mean_m);
    let limits = least_pa.iter().copied().chain(std::iter::repeat(0.0));
    stations
        .zip(limits)
        // the mouth always stands near the air's pressure, and nothing there can part
        .filter(|((s, _), _)| **s > 0.0)
        .map(|((&s, z), limit)| (shown.at(s).1 - z - limit / looking.weight, s))
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .map_or(line.length_m(), |w| w.1)
}

fn floors(line: &Line, points: &[SurgePoint], boiling_m: f64) -> Vec<Floor> {
    let heights = line.heights.mean_m.iter();
    points
        .iter()
        .zip(heights)
        .filter(|(p, _)| p.head_min_m.is_none())
        .map(|(p, z)| Floor {
            station_m: p.station_m,
            head_m: z + boiling_m,
        })
        .collect()
}
