//! One centreline for several walks.

use super::along::LegBlocks;
use super::assemble::{Assembly, PlacedLeg};
use super::leg::WalkLeg;
use super::polyline::Polyline;
use super::smooth::even_lines;
use crate::numeric::{math, median_in};

/// Width of the smoothing along the line, m. Smoothed twice (see `redraw`) it takes 0.2 % of the length of a line with two sharp bends in 600 m, and noise adds as little to a straight one.
pub(super) const SMOOTH_M: f64 = 8.0;

/// What the wander between the line and one smoothed half as wide is multiplied by to give the wander of the line itself, where noise grows along the way
/// as a receiver's does (docs/basis/route.md). At this fine a scale the sweeps of a pipe are the same in both.
const OF_HALF: f64 = 1.79;

/// Noise that would lengthen a line by more than this is not only noise.
const MOST_LENGTHENED: f64 = 0.03;

/// Spacing of the line's points, m; wider on lines of more than a hundred kilometres.
const SPACING_M: f64 = 2.0;

/// Most points of a line.
const MOST: f64 = 50_000.0;

/// A leg counts less within this of its ends, m, so that the line does not jump where a walk begins.
const TAPER_M: f64 = 15.0;

/// Times the line is drawn anew.
const ROUNDS: usize = 3;

/// A walk's leg on the settled line.
#[derive(Debug, Clone)]
pub(crate) struct LegPass {
    pub(crate) walk: usize,
    pub(crate) has_clock: bool,
    pub(crate) ends: [[f64; 2]; 2],
    pub(crate) along: LegBlocks,
}

/// The settled line and what lies on it.
#[derive(Debug)]
pub(super) struct Centre {
    pub(super) line: Polyline,
    pub(super) passes: Vec<LegPass>,
    /// By what share noise in plan makes the line longer than the ground.
    pub(super) lengthened: f64,
    /// Variance of the line's direction that noise in plan makes, rad2; `None` where the line was not smoothed, so that none shows.
    pub(super) wander_rad2: Option<f64>,
}

/// Draws one line through all legs. Legs that turn back on the line are cut there.
pub(super) fn centre(assembly: Assembly) -> Centre {
    let mut line = assembly.line;
    let (mut placed, mut first): (Vec<PlacedLeg>, Vec<LegBlocks>) =
        cut_where_turned(assembly.legs, &line).into_iter().unzip();
    // A line drawn on a map, or one of few fixes, has corners that are meant.
    let smooth = placed.len() > 1 || placed.iter().any(|p| is_dense(&p.leg));
    let mut wander_rad2 = None;
    for _ in 0..ROUNDS {
        if !smooth {
            break;
        }
        // The first round finds the legs on the line already.
        let alongs = match std::mem::take(&mut first) {
            known if known.is_empty() => along_all(&mut placed, &line),
            known => known,
        };
        (line, wander_rad2) = redraw(&alongs, &line);
    }
    let mut passes = Vec::new();
    for p in placed {
        if let Some(mut along) = LegBlocks::new(&p.leg, &line, p.begin_m) {
            along.settle();
            passes.push(LegPass {
                walk: p.leg.walk,
                has_clock: p.leg.has_clock,
                ends: p.leg.ends,
                along,
            });
        }
    }
    Centre {
        line,
        passes,
        lengthened: (0.5 * wander_rad2.unwrap_or(0.0)).min(MOST_LENGTHENED),
        wander_rad2,
    }
}

fn is_dense(leg: &WalkLeg) -> bool {
    leg.length_m() < 8.0 * leg.blocks.len() as f64
}

/// Every leg on the line; remembers where each begins.
fn along_all(placed: &mut [PlacedLeg], line: &Polyline) -> Vec<LegBlocks> {
    let mut out = Vec::with_capacity(placed.len());
    for p in placed {
        if let Some(along) = LegBlocks::new(&p.leg, line, p.begin_m) {
            p.begin_m = along.raw_m.first().copied();
            out.push(along);
        }
    }
    out
}

/// Cuts legs that go back over their own way; each with its way along the line.
fn cut_where_turned(legs: Vec<PlacedLeg>, line: &Polyline) -> Vec<(PlacedLeg, LegBlocks)> {
    let mut out = Vec::new();
    let mut queue: Vec<(PlacedLeg, usize)> = legs.into_iter().map(|l| (l, 0)).rev().collect();
    while let Some((mut placed, depth)) = queue.pop() {
        let Some(along) = LegBlocks::new(&placed.leg, line, placed.begin_m) else {
            continue;
        };
        let turned = if depth < 4 { along.turned_back() } else { None };
        let Some((first, second)) = turned else {
            placed.begin_m = along.raw_m.first().copied();
            out.push((placed, along));
            continue;
        };
        let leg = &placed.leg;
        let count = along.blocks.len();
        for (from, to) in [(second, count), (first, second + 1), (0, first + 1)] {
            let blocks = along.blocks.get(from..to).unwrap_or_default().to_vec();
            let end = |i: usize, raw: [f64; 2]| {
                if i == 0 || i == count {
                    raw
                } else {
                    along.blocks.get(i.min(count - 1)).map_or(raw, |b| b.at)
                }
            };
            let ends = [end(from, leg.ends[0]), end(to, leg.ends[1])];
            let begin_m = along.raw_m.get(from).copied();
            if let Some(leg) =
                WalkLeg::new(leg.walk, leg.has_clock, blocks, ends).filter(|l| l.length_m() >= 25.0)
            {
                queue.push((PlacedLeg { leg, begin_m }, depth + 1));
            }
        }
    }
    out
}

/// The mean of all legs, station by station, smoothed along the line; and the variance of its direction that noise makes, rad2.
fn redraw(alongs: &[LegBlocks], line: &Polyline) -> (Polyline, Option<f64>) {
    let low = alongs
        .iter()
        .map(|a| a.reach_m().0)
        .fold(f64::INFINITY, f64::min);
    let high = alongs
        .iter()
        .map(|a| a.reach_m().1)
        .fold(f64::NEG_INFINITY, f64::max);
    if high - low < SPACING_M {
        return (line.clone(), None);
    }
    let steps = ((high - low) / SPACING_M).ceil().min(MOST);
    let spacing = (high - low) / steps;
    let mut sums = vec![[0.0; 3]; steps as usize + 1];
    for along in alongs {
        add(along, low, spacing, &mut sums);
    }
    let mean = filled(&sums);
    let width = (SMOOTH_M / spacing).max(2.5);
    let smooth = twice(&mean, width);
    let finer = twice(&mean, 0.5 * width);
    let wander_rad2 = OF_HALF * wander(&finer, &smooth);
    (Polyline::new(smooth), Some(wander_rad2))
}

/// Smoothed, and what the first smoothing takes off a corner given back by smoothing the rest: twicing (J. W. Tukey, Exploratory Data Analysis, 1977).
fn twice(values: &[[f64; 2]], width: f64) -> Vec<[f64; 2]> {
    let once = even_lines(values, width);
    let rest: Vec<[f64; 2]> = values
        .iter()
        .zip(&once)
        .map(|(m, s)| [m[0] - s[0], m[1] - s[1]])
        .collect();
    once.iter()
        .zip(even_lines(&rest, width))
        .map(|(a, b)| [a[0] + b[0], a[1] + b[1]])
        .collect()
}

/// Variance of the direction in which the finer line strays from the smooth one, rad2. By the median, so that a few corners do not count as noise.
fn wander(finer: &[[f64; 2]], smooth: &[[f64; 2]]) -> f64 {
    let steps = |line: &[[f64; 2]]| -> Vec<[f64; 2]> {
        line.windows(2)
            .filter_map(|w| match w {
                [a, b] => Some([b[0] - a[0], b[1] - a[1]]),
                _ => None,
            })
            .collect()
    };
    let mut off: Vec<f64> = steps(finer)
        .iter()
        .zip(steps(smooth))
        .map(|(f, s)| {
            let length_2 = (s[0] * s[0] + s[1] * s[1]).max(1e-12);
            ((f[1] * s[0] - f[0] * s[1]) / length_2).abs()
        })
        .collect();
    math::powi(1.4826 * median_in(&mut off), 2)
}

/// Adds one leg to the sums of weight, east and north at the stations it passes: straight between its own places, pooled where it stands still.
fn add(along: &LegBlocks, low: f64, spacing: f64, sums: &mut [[f64; 3]]) {
    let (from, to) = along.reach_m();
    let mut places = pooled(along);
    if !along.forward {
        // Turned round, the break belongs to the step that now ends at the place after it.
        let gaps: Vec<bool> = places.iter().map(|p| p.2).collect();
        places.reverse();
        let shifted = std::iter::once(false).chain(gaps.into_iter().rev());
        for (place, gap) in places.iter_mut().zip(shifted) {
            place.2 = gap;
        }
    }
    for pair in places.windows(2) {
        let &[(s0, a, _), (s1, b, gap)] = pair else {
            continue;
        };
        if gap || s1 <= s0 {
            continue;
        }
        let begin = ((s0 - low) / spacing).ceil().max(0.0) as usize;
        let end = ((s1 - low) / spacing).floor().max(-1.0);
        let mut node = begin;
        while node as f64 <= end {
            let s = low + spacing * node as f64;
            let t = (s - s0) / (s1 - s0);
            let weight = ((s - from).min(to - s) / TAPER_M).clamp(0.05, 1.0);
            if let Some(sum) = sums.get_mut(node) {
                sum[0] += weight;
                sum[1] += weight * (a[0] + t * (b[0] - a[0]));
                sum[2] += weight * (a[1] + t * (b[1] - a[1]));
            }
            node += 1;
        }
    }
}

/// Station, mean place and whether nothing was recorded before it; blocks on one station become one.
fn pooled(along: &LegBlocks) -> Vec<(f64, [f64; 2], bool)> {
    let mut out: Vec<(f64, [f64; 2], bool)> = Vec::with_capacity(along.blocks.len());
    let mut weight = 0.0;
    for (block, &s) in along.blocks.iter().zip(&along.station_m) {
        if let Some(last) = out.last_mut()
            && (last.0 - s).abs() < 1e-9
        {
            let share = block.fixes / (weight + block.fixes);
            last.1 = [
                last.1[0] + share * (block.at[0] - last.1[0]),
                last.1[1] + share * (block.at[1] - last.1[1]),
            ];
            weight += block.fixes;
            continue;
        }
        weight = block.fixes;
        out.push((s, block.at, block.gap));
    }
    out
}

/// Means; where no leg passes, straight between the nearest that do.
fn filled(sums: &[[f64; 3]]) -> Vec<[f64; 2]> {
    let mut at = Vec::new();
    let (mut east, mut north) = (Vec::new(), Vec::new());
    for (i, &[w, e, n]) in sums.iter().enumerate() {
        if w > 0.0 {
            at.push(i as f64);
            east.push(e / w);
            north.push(n / w);
        }
    }
    let fill =
        |values: &[f64], i: usize| crate::numeric::series::interpolate(&at, values, i as f64);
    (0..sums.len())
        .map(|i| [fill(&east, i), fill(&north, i)])
        .collect()
}
