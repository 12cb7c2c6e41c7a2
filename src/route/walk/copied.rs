//! Heights that were not measured but copied from a terrain model.

use super::centre::Pass;
use super::clean::span;
use super::median::median;
use super::polyline::Polyline;
use super::rough::Rough;
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
struct Seen {
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

/// Whether heights look copied from a terrain model: ground that is walked again, minutes later or on another walk, has the same height to a few decimetres and no offset.
///
/// Both readings lie up to three metres apart, which is a metre or two of height on steep ground: what the slopes along and across the line explain is taken off first.
pub(super) fn from_terrain_model(passes: &[Pass], line: &Polyline, rough: &Rough) -> bool {
    let again = walked_again(passes, line, rough);
    if again.len() < 20 {
        return false;
    }
    let mut apart = less_slope_across(&again);
    let mean = median(&mut apart).abs();
    let mut sizes: Vec<f64> = apart.iter().map(|d| d.abs()).collect();
    sizes.sort_by(f64::total_cmp);
    let most = sizes.get(sizes.len() * 95 / 100).copied().unwrap_or(0.0);
    mean < 0.15 && median(&mut sizes) < 0.22 && most < 0.6
}

fn walked_again(passes: &[Pass], line: &Polyline, rough: &Rough) -> Vec<Again> {
    let cell = |at: [f64; 2]| -> (i64, i64) {
        (
            (at[0] / SAME_M).floor() as i64,
            (at[1] / SAME_M).floor() as i64,
        )
    };
    let mut ground: BTreeMap<(i64, i64), Vec<Seen>> = BTreeMap::new();
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
                here.push(Seen {
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
