use super::build::BuiltModel;
use super::closed_form_comparison::closed_forms;
use super::column_separation::ColumnSeparation;
use super::follow::{Keep, LineConstants, SimulatedMovement, look_at};
use super::limits::{HeadLimits, Sought};
use super::memory::MarchMemory;
use super::moves::{self, Made, Move};
use super::trace::thinned;
use super::transient_case::TransientCase;
use super::*;
use crate::flow::Run;
use crate::line::{Line, Reach};
use crate::march::work::Work;
use crate::march::{BranchLine, TransientOptions, TransientResult};
use crate::numeric::abreast;
use crate::pipe::wave::Band;
use std::sync::atomic::{AtomicU64, Ordering};

/// Marches the standard movements and the user's, and finds the shortest safe time of each.
///
/// `runs` are the running states of the line, "shut" among them. A standard movement is followed from every running state that goes beyond the others anywhere, a movement of the user's from the one it names;
/// where theirs says how the standard one is really made, it is followed at that pace from the other states too, and stands where it goes beyond.
/// Figures and limits as in [`Surge`]; docs/basis/surge.md has the method.
pub fn study(line: &Line, runs: &[Run], options: &SurgeOptions) -> Surges {
    study_with(line, runs, options, &MarchMemory::default(), &[])
}

/// The same beside what was marched already. `near_m`: where vents are wanted that do not stand yet, m.
pub(crate) fn study_with(
    line: &Line,
    runs: &[Run],
    options: &SurgeOptions,
    memory: &MarchMemory,
    near_m: &[f64],
) -> Surges {
    let (moves, mut not_run) = moves::all(line, runs);
    let bands = line.wave_bands();
    let ground = LineConstants {
        work: Work::after(options.spent),
        ..LineConstants::of(line, options, &bands, memory, near_m)
    };
    let mut surges: Vec<Surge> = Vec::new();
    let mut marched: Vec<&Move> = Vec::new();
    let mut node_steps = 0;
    for (m, moved) in moves
        .iter()
        .zip(each(&ground, runs, &moves, &mut node_steps))
    {
        match moved {
            Ok(surge) => {
                if surge.search.is_none() && searches(&ground, m) {
                    not_run.push(NotMarched {
                        movement: m.name.clone(),
                        why: WhyNotMarched::NotSearched,
                    });
                }
                surges.push(surge);
                marched.push(m);
            }
            Err(why) => not_run.push(NotMarched {
                movement: m.name.clone(),
                why,
            }),
        }
    }
    // only what was marched may answer for a standard movement
    let own: Vec<&Move> = marched.iter().copied().filter(|m| m.asked).collect();
    for (surge, m) in surges.iter_mut().zip(&marched) {
        let answer = own.iter().find(|own| moves::answers(own, m));
        surge.answered_by = answer.map(|own| own.name.clone());
    }
    let answering = own
        .iter()
        .filter(|own| marched.iter().any(|m| moves::answers(own, m)));
    let before = ground.work.spent();
    surges.extend(answering.filter_map(|own| elsewhere(&ground, runs, own)));
    Surges {
        runs: surges,
        not_run,
        filling: filling_by(line, &bands),
        node_steps: node_steps + (ground.work.spent() - before),
    }
}

/// Each movement followed, in order; side by side where there are hands for it.
///
/// `node_steps` counts what all of it took, what was followed twice twice. What may be marched hangs on what was marched before it. So each is followed as if nothing had been; that stands where what was before it would have changed nothing, else it is followed again behind the others.
fn each(
    ground: &LineConstants<'_>,
    runs: &[Run],
    moves: &[Move],
    node_steps: &mut u64,
) -> Vec<Result<Surge, WhyNotMarched>> {
    let LineConstants {
        line,
        options,
        bands,
        memory,
        near_m,
        ref work,
        ..
    } = *ground;
    let spent = AtomicU64::new(options.spent);
    let alone = abreast(moves, true, |m| {
        let own = LineConstants::of(line, options, bands, memory, near_m);
        let room = !Work::is_over(spent.load(Ordering::Relaxed));
        let moved = room.then(|| followed(&own, runs, m));
        spent.fetch_add(own.work.spent(), Ordering::Relaxed);
        moved.map(|moved| (moved, own.work))
    });
    *node_steps = spent.load(Ordering::Relaxed) - options.spent;
    let behind = moves.iter().zip(alone).map(|(m, alone)| match alone {
        Some((moved, own)) if own.fits_behind(work.spent()) => {
            work.spend(own.spent());
            moved
        }
        _ => {
            let before = work.spent();
            let moved = followed(ground, runs, m);
            *node_steps += work.spent() - before;
            moved
        }
    });
    behind.collect()
}

/// A movement followed from every running state that matters.
fn followed(ground: &LineConstants<'_>, runs: &[Run], m: &Move) -> Result<Surge, WhyNotMarched> {
    let made = ground.may(m, m.made(&ground.line.fittings, runs)?)?;
    one(ground, m, &made, ground.that_matter(m, &made, false))
}

/// A movement at the user's pace from the states that theirs does not name, where it goes beyond theirs.
fn elsewhere(ground: &LineConstants<'_>, runs: &[Run], own: &Move) -> Option<Surge> {
    let m = moves::elsewhere(own);
    let mut made = own.made(&ground.line.fittings, runs).ok()?;
    let named = made.first()?.state;
    let others = m.made(&ground.line.fittings, runs).ok()?;
    made.extend(others.into_iter().filter(|o| !std::ptr::eq(o.state, named)));
    let made = ground.may(&m, made).ok()?;
    let matter = ground.that_matter(&m, &made, true);
    if matter.is_empty() {
        return None;
    }
    one(ground, &m, &made, matter).ok()
}

/// Whether a shortest time is to be looked for.
fn searches(ground: &LineConstants<'_>, m: &Move) -> bool {
    let options = ground.options;
    options.allowed.is_some()
        && !options.envelope_only
        && !matches!(m.timing, Timing::AtOnce | Timing::Runaway)
}

/// The blow on a line whose filling water meets a stop at the stated fill speed; `None` without pipe.
pub fn filling(line: &Line) -> Option<FillingSlam> {
    filling_by(line, &line.wave_bands())
}

fn filling_by(line: &Line, bands: &[Band]) -> Option<FillingSlam> {
    let wave_speed_m_per_s = bands.iter().map(|b| b.high).fold(0.0, f64::max);
    if wave_speed_m_per_s <= 0.0 {
        return None;
    }
    let speed_m_per_s = line.wishes.limits.fill_speed_m_per_s;
    let g = line.environment.situation.gravity_m_per_s2;
    let rise_m = wave_speed_m_per_s * speed_m_per_s / g;
    let weight = line.environment.water_n_per_m3();
    Some(FillingSlam {
        speed_m_per_s,
        wave_speed_m_per_s,
        rise_m,
        pressure_end_pa: (line.intake.level_m - line.geometry.end_elevation_m() + rise_m) * weight,
    })
}

/// One movement, followed in the states that matter: indexes into `made`.
fn one(
    ground: &LineConstants<'_>,
    m: &Move,
    made: &[Made<'_>],
    matter: Vec<usize>,
) -> Result<Surge, WhyNotMarched> {
    let line = ground.line;
    let options = ground.options;
    let kept: Vec<&Made<'_>> = matter.iter().filter_map(|i| made.get(*i)).collect();
    let keep = if options.pressures_only {
        Keep::Heads
    } else {
        Keep::All
    };
    let followed = ground.follow(m, &kept, keep)?;
    let points = ground.widest(&followed);
    let (state, shown) = worst_of(ground, m, &followed)?;
    let course = kept.get(state).map_or(&m.course, |made| &made.course);
    let SimulatedMovement {
        looking,
        fast: (built, fast),
        slow: (slow, slowly),
        ..
    } = shown;
    let alone = ground.widest(std::slice::from_ref(shown));
    let (worst_m, parted) = (
        ground.worst_station(&alone),
        ColumnSeparation::of(looking, &alone),
    );
    let told = !options.pressures_only && (parted.anywhere() || !options.envelope_only);
    let again = (told && (worst_m, &parted) != (shown.worst_m, &shown.parted))
        .then(|| looking.run_moc(built, look_at(looking, built, worst_m, &parted)));
    let watched = again.as_ref().unwrap_or(fast);
    let slow_first = || {
        if options.pressures_only {
            return None;
        }
        // with the slow end only: rare, so that march is made again for its time alone
        let only = TransientOptions {
            floors: parted.floors(looking, slow),
            ..TransientOptions::default()
        };
        looking.run_moc(slow, only).first_below
    };
    let lowest_at_s = || lowest_at_s(watched, 1);
    let first = parted.vapour(
        ground.boiling_pa,
        watched.first_below,
        slow_first,
        lowest_at_s,
    );
    // where it parts in any state; when, in the one that is shown
    let vapour = first.map(|v| v.over(&points));
    let until_s = vapour.map_or(f64::INFINITY, |v| v.at_s);
    let critical_time_s = slow.chain.critical_time_s();
    let search = options
        .allowed
        .as_ref()
        .filter(|_| searches(ground, m) && ground.work.may_search())
        .map(|allowed| {
            let sought = Sought {
                ground,
                m,
                made,
                allowed,
                critical_time_s,
            };
            sought.search(&matter)
        });
    let turbine_m = looking.turbine_m(built);
    let here = extremes(looking, fast, turbine_m);
    let slow_here = extremes(looking, slowly, turbine_m);
    let trace = |i: usize, station_m: f64| {
        let heads = watched.watched_m.get(i).filter(|_| !options.envelope_only);
        let heads = heads.map_or(&[][..], Vec::as_slice);
        thinned(station_m, watched.step_s, heads, until_s)
    };
    let marches: Vec<&TransientResult> = followed
        .iter()
        .flat_map(|f| [&f.fast.1, &f.slow.1])
        .collect();
    Ok(Surge {
        movement: m.name.clone(),
        asked: m.asked,
        answered_by: None,
        of: m.of.clone(),
        often: m.often,
        during: m.starts_in(looking.state),
        states: followed.iter().map(|f| in_state(f)).collect(),
        from: course.from,
        to: course.to(),
        over_s: course.duration_s(),
        law: course.law,
        timing: m.timing,
        valid: !options.climb_may_hold_air,
        wave_speeds_m_per_s: by_reach(&line.reaches, built),
        wave_speed_bands_m_per_s: ground.bands.to_vec(),
        adjustment: built.grid.adjustment.max(slow.grid.adjustment),
        moved_m: built.moved_m.max(slow.moved_m),
        critical_time_s,
        shortest_safe_s: search.as_ref().and_then(|s| s.straight_s),
        search,
        head_max_m: here.0,
        head_min_m: here.1,
        head_slow_m: (slow_here.0, slow_here.1),
        head_max_at_s: here.2,
        vapour,
        air_at_jets: fast.air_at_end,
        points,
        at_turbine: trace(0, turbine_m),
        at_worst: trace(1, worst_m),
        closed: closed_forms(looking, m, course, built, fast),
        risers: risers::widest(&ground.risers, &marches),
        standpipes: standpipes(&followed),
        taken: taken(&followed, state),
    })
}

/// The state that figures of one place and traces are told of: where the water parts in any, one in which it does; then the one that is furthest over its limits, or where there are none the one of the highest head at the turbine, for an opening the lowest.
fn worst_of<'f, 'a>(
    ground: &LineConstants<'_>,
    m: &Move,
    followed: &'f [SimulatedMovement<'a>],
) -> Result<(usize, &'f SimulatedMovement<'a>), WhyNotMarched> {
    let over = |f: &SimulatedMovement<'_>| {
        if let Some(allowed) = &ground.options.allowed {
            return HeadLimits::of(&f.looking, m.often, allowed)
                .of_followed(f)
                .over_m;
        }
        let (built, marched) = &f.fast;
        let (max, min, _) = extremes(&f.looking, marched, f.looking.turbine_m(built));
        if m.opens() {
            -min.unwrap_or(f64::NEG_INFINITY)
        } else {
            max
        }
    };
    followed
        .iter()
        .enumerate()
        .map(|(i, f)| (f.parts(ground), over(f), i, f))
        .reduce(|a, b| {
            let more = (b.0, b.1).partial_cmp(&(a.0, a.1)) == Some(std::cmp::Ordering::Greater);
            if more { b } else { a }
        })
        .map(|(_, _, i, f)| (i, f))
        .ok_or(WhyNotMarched::NoPipe)
}

fn in_state(f: &SimulatedMovement<'_>) -> InState {
    let (built, marched) = &f.fast;
    let (head_max_m, head_min_m, _) = extremes(&f.looking, marched, f.looking.turbine_m(built));
    InState {
        state: f.looking.state.state().clone(),
        head_max_m,
        head_min_m,
    }
}

/// What was taken in any of the states; what is counted in one and left out in another as in the one that is shown.
fn taken(followed: &[SimulatedMovement<'_>], shown: usize) -> Vec<SurgeAssumption> {
    let mut all: Vec<SurgeAssumption> = followed
        .get(shown)
        .map_or_else(Vec::new, |f| f.fast.0.taken.clone());
    let of_stand = |t: &SurgeAssumption| match t {
        SurgeAssumption::StandLeftOut(i) | SurgeAssumption::StandCounted(i) => Some(*i),
        SurgeAssumption::FlowAsNozzle | SurgeAssumption::RanFull => None,
    };
    for t in followed.iter().flat_map(|f| &f.fast.0.taken) {
        let known = all
            .iter()
            .any(|had| had == t || (of_stand(had).is_some() && of_stand(had) == of_stand(t)));
        if !known {
            all.push(t.clone());
        }
    }
    all
}

fn by_reach(reaches: &[Reach], built: &BuiltModel) -> Vec<f64> {
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
    (0..reaches.len())
        .map(|i| {
            last = used(i).unwrap_or(last);
            last
        })
        .collect()
}

/// Highest and lowest head at the first watched station, and when the highest stands; no lowest where the water parts.
fn extremes(
    looking: &TransientCase<'_>,
    m: &TransientResult,
    station_m: f64,
) -> (f64, Option<f64>, f64) {
    let heads = m.watched_m.first().map_or(&[][..], Vec::as_slice);
    let (at, max) = heads
        .iter()
        .copied()
        .enumerate()
        // the first of equals, whatever the rounding
        .reduce(|a, b| if b.1 > a.1 + 1e-6 { b } else { a })
        .unwrap_or((0, m.last_head_m));
    let min = heads.iter().copied().fold(max, f64::min);
    let parts = min - looking.line.geometry.elevation_m(station_m) < looking.boiling_m;
    (max, (!parts).then_some(min), at as f64 * m.step_s)
}

/// The widest of the marches for each standpipe that was counted in any state.
fn standpipes(followed: &[SimulatedMovement<'_>]) -> Vec<StandpipeRise> {
    let mut all: Vec<StandpipeRise> = Vec::new();
    for (built, marched) in followed.iter().flat_map(|f| [&f.fast, &f.slow]) {
        let joins = built.chain.joins.iter().zip(&built.stand_of_join);
        for ((join, stand), level) in joins.zip(&marched.standpipes_m) {
            let (BranchLine::Standpipe { rim_m, .. }, Some(stand), Some(level_m)) =
                (&join.branch, *stand, *level)
            else {
                continue;
            };
            let spills = level_m > *rim_m;
            match all.iter_mut().find(|s| s.stand == stand) {
                Some(had) => {
                    had.level_m = had.level_m.max(level_m);
                    had.spills |= spills;
                }
                None => all.push(StandpipeRise {
                    stand,
                    level_m,
                    spills,
                }),
            }
        }
    }
    all.sort_by_key(|s| s.stand);
    all
}

/// When a watched station stands lowest, s.
fn lowest_at_s(m: &TransientResult, watched: usize) -> f64 {
    let heads = m.watched_m.get(watched).map_or(&[][..], Vec::as_slice);
    heads
        .iter()
        .enumerate()
        .min_by(|a, b| a.1.total_cmp(b.1))
        .map_or(0.0, |(i, _)| i as f64 * m.step_s)
}
