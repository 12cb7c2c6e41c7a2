use super::looking::Looking;
use super::moves::Move;
use super::search::{Margin, rounded_up_s, shortest};
use super::{Allowed, Course, Governs, Orders, Search};
use crate::line::Mover;
use crate::pipe::Often;

/// Cells on the line for the search, and waves that are followed after the movement has ended.
const CELLS: usize = 48;
const WAVES: f64 = 2.5;

/// The time found is held against a grid so many times finer, and may be over there by so much head, m: what the coarse grid is in doubt by.
const FINER: usize = 2;
const FINER_OVER_M: f64 = 0.1;

/// How often a time that does not hold is made longer before it is given up.
const LONGER: usize = 12;

/// How far above a valve its upper side ends, m.
const ABOVE_M: f64 = 1e-6;

/// The shortest time of a movement within what the line may take, with the wave speed at either end.
pub(crate) fn search_time(
    looking: &Looking<'_>,
    m: &Move,
    allowed: &Allowed,
    speeds: [&[f64]; 2],
    critical_time_s: f64,
) -> Search {
    let largest = match m.often {
        Often::Routine => &allowed.routine_pa,
        Often::Rare => &allowed.rare_pa,
    };
    let heights = &looking.line.heights;
    let limits: Vec<((f64, f64), f64, f64)> = heights
        .station_m
        .iter()
        .zip(&heights.mean_m)
        .zip(largest.iter().zip(&allowed.least_pa))
        .map(|((&s, &z), (high, low))| {
            let floor = (low / looking.weight).max(looking.boiling_m);
            ((s, z), z + high / looking.weight, z + floor)
        })
        .collect();
    let over = |head: &dyn Fn((f64, f64)) -> (f64, f64), down_to_m: f64| {
        let mut worst = Margin {
            over_m: f64::NEG_INFINITY,
            station_m: 0.0,
            by: Governs::Largest,
        };
        for &(at, most, least) in limits.iter().take_while(|l| l.0.0 <= down_to_m) {
            let (max, min) = head(at);
            for (over_m, by) in [
                (max - most, Governs::Largest),
                (least - min, Governs::Least),
            ] {
                if over_m > worst.over_m {
                    worst = Margin {
                        over_m,
                        station_m: at.0,
                        by,
                    };
                }
            }
        }
        worst
    };
    let nowhere = Margin {
        over_m: f64::INFINITY,
        station_m: 0.0,
        by: Governs::Largest,
    };
    let look_on = |cells: usize, course: &Course, speeds: &[f64], down_to_m: f64| {
        looking.build(speeds, course, cells).map_or(nowhere, |b| {
            let m = looking.march(&b, WAVES, Orders::default());
            over(&|at| looking.heads_m(&b, &m, at), down_to_m)
        })
    };
    let look =
        |course: &Course, speeds: &[f64], down_to_m: f64| look_on(CELLS, course, speeds, down_to_m);
    let of_course = |course: &Course, speeds: &[f64]| look(course, speeds, f64::INFINITY);
    let [fast, slow] = speeds;
    let law = m.course.law;
    let still = |share: f64, down_to_m: f64| look(&Course::held(share).by(law), fast, down_to_m);
    // below a shut valve nothing stands still: the pipe drains
    let stands_to_m = match m.of {
        Mover::Fitting(i) => looking.line.fittings.get(i).map(|f| f.station_m - ABOVE_M),
        Mover::Jets | Mover::OneJet => None,
    };
    let reach = |share: f64| {
        stands_to_m
            .filter(|_| share <= 0.0)
            .unwrap_or(f64::INFINITY)
    };
    let (from, to) = (m.course.from, m.course.to());
    let (before, after) = (still(from, reach(from)), still(to, reach(to)));
    let still = if before.over_m >= after.over_m {
        before
    } else {
        after
    };
    let mut found = shortest(&m.course, critical_time_s, still, |c| of_course(c, fast));
    // the other end of the wave speed must be content too, and a finer grid
    let holds = |course: &Course| {
        let other = of_course(course, slow);
        if fast != slow && other.over_m > 0.0 {
            return Err(other);
        }
        let finer = look_on(FINER * CELLS, course, fast, f64::INFINITY);
        if finer.over_m > FINER_OVER_M {
            return Err(finer);
        }
        Ok(())
    };
    if let Some(mut time_s) = found.straight_s {
        for _ in 0..LONGER {
            let course = Course::straight(m.course.from, m.course.to(), time_s).by(law);
            let Err(margin) = holds(&course) else {
                found.straight_s = Some(time_s);
                break;
            };
            (found.governing_station_m, found.governed_by) = (margin.station_m, margin.by);
            time_s = rounded_up_s(1.1 * time_s + 0.5);
            found.straight_s = None;
        }
        let straight_s = found.straight_s.unwrap_or(f64::INFINITY);
        found.staged = found.staged.filter(|stages| {
            let course = Course {
                from: m.course.from,
                stages: stages.clone(),
                law,
            };
            course.duration_s() <= 0.9 * straight_s && holds(&course).is_ok()
        });
    }
    found
}
