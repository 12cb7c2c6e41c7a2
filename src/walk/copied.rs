//! Heights that were not measured but copied from a terrain model.

use super::block::FixBlock;
use super::centre::LegPass;
use super::clean::span;
use super::polyline::Polyline;
use super::rough::Rough;
use crate::numeric::median_in;
use std::collections::BTreeMap;

/// Two fixes nearer than this are the same ground, m.
const SAME_M: f64 = 3.0;

/// Readings of the same ground closer in time than this say nothing: drift has not moved yet, s. (Where there are no times, the way walked stands for them.)
const APART_S: f64 = 300.0;

/// Most blocks of a walk that are held against the others.
const MOST: usize = 20_000;

/// The slope across the line is taken as one over this length, m: long enough that walks cross over each other in it, so that no slope can stand for an offset between them.
const ACROSS_M: f64 = 120.0;

/// A block that stood in a cell of ground.
struct CellBlock {
    walk: usize,
    clock_s: f64,
    height_m: f64,
    at: [f64; 2],
}

/// The same ground read twice.
struct Again {
    /// How much higher it was read the second time, less what the line's own slope explains, m.
    higher_m: f64,
    /// How far the second place lies to the side of the first, m.
    aside_m: f64,
    station_m: f64,
}

/// Heights that stand still over at least this way, m, and then jump by more than the coarsest receiver rounds to, m, are those of a model's cells.
const CELL_M: f64 = 10.0;
const JUMP_M: f64 = 1.5;

/// Heights that bend from block to block by less than this (median), m, have no noise: means of three readings to a centimetre each bend by 0.01 m.
const NO_NOISE_M: f64 = 0.006;

/// Blocks of a window in which place and time are compared, and windows that are needed.
const WINDOW: usize = 9;
const WINDOWS: usize = 12;

/// What shows that heights were looked up, not measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum TerrainModelSigns {
    /// The line was drawn on a map.
    Drawn,
    /// Ground walked again reads the same.
    SameAgain,
    /// Heights stand in steps as wide as a model's cells.
    Steps,
    /// The wander of the place explains that of the heights.
    FollowPlace,
    /// Heights run on without any noise.
    NoNoise,
}

/// The first mark of looked-up heights that shows.
pub(crate) fn copied(
    passes: &[LegPass],
    line: &Polyline,
    rough: &Rough,
) -> Option<TerrainModelSigns> {
    if reads_the_same_again(passes, line, rough) {
        Some(TerrainModelSigns::SameAgain)
    } else if passes.iter().any(stands_in_steps) {
        Some(TerrainModelSigns::Steps)
    } else if passes.iter().any(follows_the_place) {
        Some(TerrainModelSigns::FollowPlace)
    } else if passes.iter().any(has_no_noise) {
        Some(TerrainModelSigns::NoNoise)
    } else {
        None
    }
}

/// Heights of a model's nearest cell: flat over many metres of way, then a jump.
fn stands_in_steps(pass: &LegPass) -> bool {
    let blocks: Vec<_> = known(pass).take(MOST).collect();
    // Runs of equal height: height, way.
    let mut runs: Vec<(f64, f64)> = Vec::new();
    let mut whole_m = 0.0;
    for pair in blocks.windows(2) {
        let [a, b] = pair else { continue };
        let way = span(a.at, b.at);
        whole_m += way;
        if (b.height_m - a.height_m).abs() > 0.005 {
            runs.push((b.height_m, 0.0));
        } else if let Some(run) = runs.last_mut() {
            run.1 += way;
        }
    }
    runs.retain(|r| r.1 >= CELL_M);
    let flat_m: f64 = runs.iter().map(|r| r.1).sum();
    let mut jumps: Vec<f64> = runs
        .iter()
        .zip(runs.iter().skip(1))
        .map(|(a, b)| (b.0 - a.0).abs())
        .collect();
    runs.len() > 5 && flat_m > 0.5 * whole_m && median_in(&mut jumps) > JUMP_M
}

/// Heights that follow the wander of the receiver's place to and fro, as looked-up heights must and measured ones cannot: in most windows a plane over the places fits far better than a straight line in time.
fn follows_the_place(pass: &LegPass) -> bool {
    let blocks: Vec<_> = known(pass).take(MOST).collect();
    let (mut by_time, mut by_place) = (Vec::new(), Vec::new());
    for window in blocks.windows(WINDOW).step_by(WINDOW / 2) {
        if window.iter().skip(1).any(|b| b.gap) {
            continue;
        }
        let n = window.len() as f64;
        let mean = |of: &dyn Fn(&FixBlock) -> f64| window.iter().map(|b| of(b)).sum::<f64>() / n;
        let start = window.first().map_or(0.0, |b| b.clock_s);
        let middle = [
            mean(&|b| b.clock_s - start),
            mean(&|b| b.at[0]),
            mean(&|b| b.at[1]),
            mean(&|b| b.height_m),
        ];
        let off: Vec<[f64; 4]> = window
            .iter()
            .map(|b| {
                [
                    b.clock_s - start - middle[0],
                    b.at[0] - middle[1],
                    b.at[1] - middle[2],
                    b.height_m - middle[3],
                ]
            })
            .collect();
        let sum = |i: usize, k: usize| -> f64 {
            off.iter()
                .map(|o| o.get(i).copied().unwrap_or(0.0) * o.get(k).copied().unwrap_or(0.0))
                .sum()
        };
        let det = sum(1, 1) * sum(2, 2) - sum(1, 2) * sum(1, 2);
        if sum(0, 0) < 1.0 || det < 1e-3 * sum(1, 1) * sum(2, 2) || det <= 0.0 {
            continue;
        }
        let time_left = sum(3, 3) - sum(0, 3) * sum(0, 3) / sum(0, 0);
        let (e, k) = (
            (sum(2, 2) * sum(1, 3) - sum(1, 2) * sum(2, 3)) / det,
            (sum(1, 1) * sum(2, 3) - sum(1, 2) * sum(1, 3)) / det,
        );
        let place_left = sum(3, 3) - e * sum(1, 3) - k * sum(2, 3);
        by_time.push((time_left.max(0.0) / (n - 2.0)).sqrt());
        by_place.push((place_left.max(0.0) / (n - 3.0)).sqrt());
    }
    by_time.len() >= WINDOWS && {
        let (time, place) = (median_in(&mut by_time), median_in(&mut by_place));
        place < 0.1 && place < 0.4 * time
    }
}

/// Heights that change from block to block and yet run on as if drawn with a ruler, to less than any receiver's noise: a model's, between its cells.
fn has_no_noise(pass: &LegPass) -> bool {
    let blocks: Vec<_> = known(pass).take(MOST).collect();
    let mut bent = Vec::new();
    let mut moved = 0usize;
    for three in blocks.windows(3) {
        let [a, b, c] = three else { continue };
        bent.push((c.height_m - 2.0 * b.height_m + a.height_m).abs());
        moved += usize::from((c.height_m - b.height_m).abs() > 1e-3);
    }
    bent.len() >= 30 && 10 * moved > 8 * bent.len() && median_in(&mut bent) < NO_NOISE_M
}

/// Blocks of a walk that have a height.
fn known(pass: &LegPass) -> impl Iterator<Item = &FixBlock> {
    pass.along.blocks.iter().filter(|b| b.height_m.is_finite())
}

/// Whether ground that is walked again, minutes later or on another walk, has the same height to a few decimetres and no offset.
///
/// Both readings lie up to three metres apart, which is a metre or two of height on steep ground: what the slopes along and across the line explain is taken off first.
fn reads_the_same_again(passes: &[LegPass], line: &Polyline, rough: &Rough) -> bool {
    let again = walked_again(passes, line, rough);
    if again.len() < 20 {
        return false;
    }
    let mut apart = less_slope_across(&again);
    let mean = median_in(&mut apart).abs();
    let mut sizes: Vec<f64> = apart.iter().map(|d| d.abs()).collect();
    sizes.sort_by(f64::total_cmp);
    let most = sizes.get(sizes.len() * 95 / 100).copied().unwrap_or(0.0);
    mean < 0.15 && median_in(&mut sizes) < 0.22 && most < 0.6
}

fn walked_again(passes: &[LegPass], line: &Polyline, rough: &Rough) -> Vec<Again> {
    let cell = |at: [f64; 2]| -> (i64, i64) {
        (
            (at[0] / SAME_M).floor() as i64,
            (at[1] / SAME_M).floor() as i64,
        )
    };
    let mut ground: BTreeMap<(i64, i64), Vec<CellBlock>> = BTreeMap::new();
    let mut out = Vec::new();
    for pass in passes {
        let stationed = pass.along.blocks.iter().zip(&pass.along.station_m);
        let known = stationed.filter(|(b, _)| b.height_m.is_finite());
        for (block, &station_m) in known.take(MOST) {
            let (x, y) = cell(block.at);
            for dx in -1..=1 {
                for dy in -1..=1 {
                    let there = ground.get(&(x + dx, y + dy)).into_iter().flatten();
                    let again = there.filter(|seen| {
                        let later = (seen.clock_s - block.clock_s).abs() > APART_S;
                        span(seen.at, block.at) < SAME_M && (seen.walk != pass.walk || later)
                    });
                    out.extend(again.take(4).map(|seen| {
                        let by = [block.at[0] - seen.at[0], block.at[1] - seen.at[1]];
                        let (along, aside_m) = by_the_line(by, line, station_m);
                        let slope =
                            0.05 * (rough.at(station_m + 10.0) - rough.at(station_m - 10.0));
                        Again {
                            higher_m: block.height_m - seen.height_m - slope * along,
                            aside_m,
                            station_m,
                        }
                    }));
                }
            }
            let here = ground.entry((x, y)).or_default();
            if here.len() < 8 {
                here.push(CellBlock {
                    walk: pass.walk,
                    clock_s: block.clock_s,
                    height_m: block.height_m,
                    at: block.at,
                });
            }
        }
    }
    out
}

/// A way in the plane as its parts along the line and to its side, m.
fn by_the_line(by: [f64; 2], line: &Polyline, station_m: f64) -> (f64, f64) {
    let (a, b) = (line.at(station_m - 5.0), line.at(station_m + 5.0));
    let length = span(a, b).max(1e-9);
    let along = [(b[0] - a[0]) / length, (b[1] - a[1]) / length];
    (
        by[0] * along[0] + by[1] * along[1],
        by[1] * along[0] - by[0] * along[1],
    )
}

/// How much higher the ground was read the second time, less the slope across that fits best on each piece of the line, m.
fn less_slope_across(again: &[Again]) -> Vec<f64> {
    let piece = |a: &Again| (a.station_m / ACROSS_M).floor() as i64;
    let mut sums: BTreeMap<i64, (f64, f64)> = BTreeMap::new();
    for a in again {
        let sum = sums.entry(piece(a)).or_default();
        sum.0 += a.aside_m * a.higher_m;
        sum.1 += a.aside_m * a.aside_m;
    }
    again
        .iter()
        .map(|a| {
            let (product, square) = sums.get(&piece(a)).copied().unwrap_or_default();
            // A few places that lie close together show no slope: half a metre to the side, ten times, is the least.
            a.higher_m - a.aside_m * product / (square + 2.5)
        })
        .collect()
}
