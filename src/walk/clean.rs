//! One recorded walk made fit for use: duplicates, clocks that run wrong, spikes, heights that are none, gaps.

use super::median::{far_off, mad, running_residuals, sampled, sampled_residuals};
use crate::earth::{LatLon, Plane};
use crate::numeric::math;
use crate::numeric::median_in;
use crate::reading::{Fix, Pass};

/// A receiver's spike stands this many robust standard deviations off the running median.
const SPIKE: f64 = 5.0;

/// Scale from the median of absolute residuals to a standard deviation of a normal law.
const NORMAL: f64 = 1.4826;

/// Heights within this of the running median are never spikes, m: the floor of the robust standard deviation.
const HEIGHT_FLOOR_M: f64 = 0.2;

/// A fix nearer than this to the running median of its neighbours is never a spike in plan, m.
const PLAN_FLOOR_M: f64 = 12.0;

/// Fixes farther apart than this, and than six usual steps, have a gap between them, m.
const GAP_M: f64 = 30.0;

/// However sparse a recorded walk is, over more ground than this nothing is known, m.
const MOST_GAP_M: f64 = 200.0;

/// A fix in the plane. What is not known is not a number.
#[derive(Debug, Clone, Copy)]
pub(super) struct PlaneFix {
    pub(super) at: [f64; 2],
    pub(super) height_m: f64,
    pub(super) clock_s: f64,
    pub(super) dilution: f32,
    pub(super) line: u32,
    /// Nothing was recorded between this fix and the one before it.
    pub(super) gap: bool,
    /// What was recorded here, or between this fix and the one before it, was left out as a spike.
    pub(super) left_out: bool,
}

/// What was left out or put right, counted.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(super) struct Cleaned {
    pub(super) duplicates: usize,
    pub(super) plan_spikes: usize,
    pub(super) height_spikes: usize,
    pub(super) no_heights: usize,
    pub(super) turned_segments: usize,
    pub(super) backward: usize,
    pub(super) clock_lost: bool,
    /// Fixes without a time that got one from those around them.
    pub(super) clocks_filled: usize,
}

/// A cleaned walk.
#[derive(Debug, Clone)]
pub(super) struct Track {
    pub(super) fixes: Vec<PlaneFix>,
    pub(super) has_clock: bool,
    pub(super) cleaned: Cleaned,
}

/// Cleans a pass and brings it into the plane; `counts`: which of its segments do.
pub(super) fn clean(pass: &Pass, counts: &[bool], plane: &Plane) -> Track {
    let mut cleaned = Cleaned::default();
    let mut fixes = Vec::with_capacity(pass.segments.iter().map(Vec::len).sum());
    let counting = pass.segments.iter().zip(counts).filter(|(_, c)| **c);
    for (segment, _) in counting {
        let backwards = runs_backwards(segment);
        cleaned.turned_segments += usize::from(backwards);
        let start = fixes.len();
        if backwards {
            take(segment.iter().rev(), plane, &mut fixes, &mut cleaned);
        } else {
            take(segment.iter(), plane, &mut fixes, &mut cleaned);
        }
        if let Some(first) = fixes.get_mut(start) {
            first.gap = start > 0;
        }
    }
    let has_clock = mend_clock(&mut fixes, &mut cleaned);
    drop_false_heights(&mut fixes, &mut cleaned);
    let usual_m = usual_step(&fixes);
    drop_plan_spikes(&mut fixes, usual_m, &mut cleaned);
    drop_height_spikes(&mut fixes, usual_m, &mut cleaned);
    // A line without times may have been drawn on a map, corner by corner.
    let most_m = if has_clock { MOST_GAP_M } else { f64::INFINITY };
    mark_gaps(&mut fixes, (6.0 * usual_m).max(GAP_M).min(most_m));
    Track {
        fixes,
        has_clock,
        cleaned,
    }
}

/// Takes the fixes of one segment; a fix that repeats the one before it and adds no height is left out.
fn take<'a>(
    segment: impl Iterator<Item = &'a Fix>,
    plane: &Plane,
    fixes: &mut Vec<PlaneFix>,
    cleaned: &mut Cleaned,
) {
    let mut last: Option<&Fix> = None;
    for fix in segment {
        if let Some(before) = last {
            let here = fix.lat_deg == before.lat_deg && fix.lon_deg == before.lon_deg;
            let nothing_new = fix.elevation_m.is_none()
                || (fix.time_s == before.time_s && fix.elevation_m == before.elevation_m);
            if here && nothing_new {
                cleaned.duplicates += 1;
                continue;
            }
        }
        last = Some(fix);
        fixes.push(PlaneFix {
            at: plane.east_north(LatLon::new(fix.lat_deg, fix.lon_deg)),
            height_m: fix.elevation_m.unwrap_or(f64::NAN),
            clock_s: fix.time_s.unwrap_or(f64::NAN),
            // What a file states of its doubt weighs a fix against the others of its walk, as its dilution does; neither makes the walk surer.
            dilution: fix.stated_sd_m.or(fix.dilution).unwrap_or(f32::NAN),
            line: fix.line,
            gap: false,
            left_out: false,
        });
    }
}

/// Whether the times of a segment run down: its points were written in reverse.
fn runs_backwards(segment: &[Fix]) -> bool {
    let (mut up, mut down) = (0usize, 0usize);
    for (a, b) in segment.iter().zip(segment.iter().skip(1)) {
        if let (Some(a), Some(b)) = (a.time_s, b.time_s) {
            up += usize::from(b > a);
            down += usize::from(b < a);
        }
    }
    down > 1 && down > 4 * up
}

/// Whether the times can be used, after fixes that step back in time are dropped and missing times are filled in between their neighbours'.
fn mend_clock(fixes: &mut Vec<PlaneFix>, cleaned: &mut Cleaned) -> bool {
    let known = fixes.iter().filter(|f| f.clock_s.is_finite()).count();
    if known == 0 || fixes.len() < 2 {
        return false;
    }
    let mut latest = f64::NEG_INFINITY;
    let (mut back, mut still) = (0usize, 0usize);
    for fix in fixes.iter().filter(|f| f.clock_s.is_finite()) {
        back += usize::from(fix.clock_s < latest);
        still += usize::from(fix.clock_s == latest);
        latest = latest.max(fix.clock_s);
    }
    if 2 * known < fixes.len() || 20 * back > fixes.len() || 2 * still > known {
        cleaned.clock_lost = true;
        return false;
    }
    if back > 0 {
        let before = fixes.len();
        let mut latest = f64::NEG_INFINITY;
        fixes.retain(|f| {
            let keep = f.clock_s.is_nan() || f.clock_s >= latest;
            latest = if keep { latest.max(f.clock_s) } else { latest };
            keep
        });
        cleaned.backward = before - fixes.len();
    }
    cleaned.clocks_filled = fill_clock(fixes);
    true
}

/// Missing times become evenly spaced between those of the fixes around them; at the ends they go on at the walk's mean step. How many there were.
fn fill_clock(fixes: &mut [PlaneFix]) -> usize {
    let known: Vec<(usize, f64)> = fixes
        .iter()
        .enumerate()
        .filter(|(_, f)| f.clock_s.is_finite())
        .map(|(i, f)| (i, f.clock_s))
        .collect();
    let missing = fixes.len() - known.len();
    let (Some(&first), Some(&last)) = (known.first(), known.last()) else {
        return 0;
    };
    if missing == 0 {
        return 0;
    }
    let mean_s = (last.1 - first.1) / (last.0 - first.0).max(1) as f64;
    let mut after = known.iter().peekable();
    let mut before = first;
    for (i, fix) in fixes.iter_mut().enumerate() {
        while let Some(&at) = after.next_if(|at| at.0 <= i) {
            before = at;
        }
        if fix.clock_s.is_finite() {
            continue;
        }
        let way = i as f64 - before.0 as f64;
        let step_s = match after.peek() {
            Some(next) if next.0 > before.0 => (next.1 - before.1) / (next.0 - before.0) as f64,
            _ => mean_s,
        };
        fix.clock_s = before.1 + way * step_s;
    }
    missing
}

/// Heights no ground has, and the zeros that some receivers write for "not known".
fn drop_false_heights(fixes: &mut [PlaneFix], cleaned: &mut Cleaned) {
    let zeros = fixes.iter().filter(|f| f.height_m == 0.0).count();
    let near_zero = fixes
        .iter()
        .filter(|f| f.height_m != 0.0 && f.height_m.abs() < 5.0)
        .count();
    // Near the sea a height of 0.0 may be true: it is taken as lacking only where hardly another height is near it.
    let zeros_lack = zeros > 0 && 10 * near_zero < zeros.max(10);
    for fix in fixes {
        let false_height =
            (zeros_lack && fix.height_m == 0.0) || fix.height_m < -500.0 || fix.height_m > 9000.0;
        if false_height {
            fix.height_m = f64::NAN;
            cleaned.no_heights += 1;
        }
    }
}

/// Fixes that jump away and back, against the running median of seven.
fn drop_plan_spikes(fixes: &mut Vec<PlaneFix>, usual: f64, cleaned: &mut Cleaned) {
    let before = fixes.len();
    if before < 3 {
        return;
    }
    // A fix cannot stand off the median of seven by more than three steps.
    let longest = fixes
        .iter()
        .zip(fixes.iter().skip(1))
        .map(|(a, b)| span(a.at, b.at))
        .fold(0.0, f64::max);
    if usual < 5.0 && 3.0 * longest > PLAN_FLOOR_M {
        let east: Vec<f64> = fixes.iter().map(|f| f.at[0]).collect();
        let north: Vec<f64> = fixes.iter().map(|f| f.at[1]).collect();
        let off: Vec<f64> = running_residuals(&east, 7)
            .iter()
            .zip(running_residuals(&north, 7))
            .map(|(&e, n)| math::hypot(e, n))
            .collect();
        let limit = (SPIKE * NORMAL * mad(&off)).max(PLAN_FLOOR_M);
        leave_out(fixes, off.into_iter().map(|o| o > limit));
    }
    // Where fixes are sparse a spike is a single fix, far from neighbours that are close to each other.
    let far = (5.0 * usual).max(PLAN_FLOOR_M);
    if longest <= far {
        cleaned.plan_spikes = before - fixes.len();
        return;
    }
    let spike: Vec<bool> = (0..fixes.len())
        .map(|i| {
            let near = |j: Option<usize>| j.and_then(|j| fixes.get(j)).map(|f| f.at);
            match (near(i.checked_sub(1)), near(Some(i)), near(Some(i + 1))) {
                (Some(a), Some(b), Some(c)) => {
                    let (ab, bc, ac) = (span(a, b), span(b, c), span(a, c));
                    ab > far && bc > far && ac < 0.5 * ab.min(bc)
                }
                _ => false,
            }
        })
        .collect();
    leave_out(fixes, spike.into_iter());
    cleaned.plan_spikes = before - fixes.len();
}

/// Takes fixes out; those after them know of it.
fn leave_out(fixes: &mut Vec<PlaneFix>, mut out: impl Iterator<Item = bool>) {
    let mut before = false;
    fixes.retain_mut(|fix| {
        let away = out.next() == Some(true);
        fix.left_out |= before;
        before = away;
        !away
    });
}

/// No walker rises or falls faster, m/s: a scramble makes half a metre a second, a ride down a steep track not two.
const FASTEST_M_PER_S: f64 = 2.0;

/// Heights that jump away and back: only the height is dropped.
fn drop_height_spikes(fixes: &mut [PlaneFix], usual: f64, cleaned: &mut Cleaned) {
    let dense = usual <= 3.0;
    let mut known: Vec<&mut PlaneFix> = fixes
        .iter_mut()
        .filter(|f| f.height_m.is_finite())
        .collect();
    if known.len() < 3 {
        return;
    }
    let spike = if dense {
        let heights: Vec<f64> = known.iter().map(|f| f.height_m).collect();
        let scale = NORMAL * mad(&sampled_residuals(&heights, 15));
        let limit = SPIKE * scale.max(HEIGHT_FLOOR_M);
        let mut far = far_off(&heights, 15, limit);
        keep_ground(&known, &mut far, limit);
        far
    } else {
        lone_heights(&known)
    };
    for (fix, _) in known.iter_mut().zip(spike).filter(|(_, s): &(_, bool)| *s) {
        fix.height_m = f64::NAN;
        fix.left_out = true;
        cleaned.height_spikes += 1;
    }
}

/// Of heights far off the running median keeps those that are ground: a crest or a dip stands off it too. A spike leaves the heights before it, and comes back to those after it, faster than anyone walks and steeper than 45 degrees.
fn keep_ground(known: &[&mut PlaneFix], far: &mut [bool], limit: f64) {
    let jumps = |a: &PlaneFix, b: &PlaneFix| {
        let apart = (a.height_m - b.height_m).abs();
        let by_clock = (b.clock_s - a.clock_s).abs() * FASTEST_M_PER_S;
        let way = span(a.at, b.at);
        apart > limit + if by_clock.is_finite() { by_clock } else { 0.0 } && apart > way
    };
    let mut from = 0;
    while from < far.len() {
        if far.get(from) != Some(&true) {
            from += 1;
            continue;
        }
        let run = far.iter().skip(from).take_while(|f| **f).count();
        let to = from + run;
        // The jump itself may lie a fix or two inside of the run; at an end of the walk there is only one side.
        let jump = |i: usize| match (known.get(i), known.get(i + 1)) {
            (Some(a), Some(b)) => jumps(a, b),
            _ => true,
        };
        let middle = from + run / 2;
        let leaves = from == 0 || (from - 1..middle).any(jump);
        let returns = (middle..to).any(jump);
        if !(leaves && returns) {
            for f in far.iter_mut().skip(from).take(run) {
                *f = false;
            }
        }
        from = to;
    }
}

/// Where fixes are sparse, a crest may be a single fix: a spike is only a height that both neighbours miss by more than the way to them, so a slope steeper than 45 degrees up and down again.
fn lone_heights(known: &[&mut PlaneFix]) -> Vec<bool> {
    let neighbours = |i: usize| Some((known.get(i.checked_sub(1)?)?, known.get(i + 1)?));
    known
        .iter()
        .enumerate()
        .map(|(i, fix)| {
            neighbours(i).is_some_and(|(before, after)| {
                let (up, down) = (
                    fix.height_m - before.height_m,
                    fix.height_m - after.height_m,
                );
                let way = span(before.at, fix.at).max(span(fix.at, after.at));
                up * down > 0.0 && up.abs().min(down.abs()) > way.max(PLAN_FLOOR_M)
            })
        })
        .collect()
}

/// Marks where nothing was recorded over more ground than usual; a break between segments that lie close together is none.
fn mark_gaps(fixes: &mut [PlaneFix], limit: f64) {
    let mut last: Option<PlaneFix> = None;
    for fix in fixes {
        fix.gap = last.is_some_and(|before| span(before.at, fix.at) > limit);
        last = Some(*fix);
    }
}

/// Median distance between fixes that moved, m.
fn usual_step(fixes: &[PlaneFix]) -> f64 {
    let pairs = fixes.iter().zip(fixes.iter().skip(1));
    let mut steps: Vec<f64> = sampled(pairs, fixes.len())
        .map(|(a, b)| span(a.at, b.at))
        .filter(|&d| d > 0.1)
        .collect();
    median_in(&mut steps)
}

/// Distance in the plane, m.
pub(crate) fn span(a: [f64; 2], b: [f64; 2]) -> f64 {
    let (x, y) = (b[0] - a[0], b[1] - a[1]);
    // Not `hypot`: metres on the earth neither overflow nor vanish when squared.
    (x * x + y * y).sqrt()
}
