//! Stretches of a walk in one direction.

use super::block::FixBlock;
use super::clean::span;
use super::polyline::Polyline;
use super::smooth::local_lines;

/// Width of the smoothing in time that the first line is drawn by, s.
const SMOOTH_S: f64 = 12.0;

/// Spacing at which a walk is looked at for turns, m: wander round a stop is smaller.
const STRIDE_M: f64 = 10.0;

/// Strides that must be walked back over the same ground.
const BACK: usize = 4;

/// Two places are the same ground when they are nearer than this, m: twice the scatter of two fixes of a hand receiver.
const SAME_M: f64 = 15.0;

/// A shorter stretch is left out, m.
const SHORTEST_M: f64 = 25.0;

/// A stretch of one walk that does not turn round.
#[derive(Debug, Clone)]
pub(super) struct WalkLeg {
    /// Which walk it comes from.
    pub(super) walk: usize,
    pub(super) has_clock: bool,
    pub(super) blocks: Vec<FixBlock>,
    /// The path, smoothed in time, thinned to places a few metres apart.
    pub(super) path: Vec<[f64; 2]>,
    /// Raw position of the first and the last fix.
    pub(super) ends: [[f64; 2]; 2],
}

impl WalkLeg {
    /// A leg from its blocks; `None` where it goes nowhere.
    pub(super) fn new(
        walk: usize,
        has_clock: bool,
        blocks: Vec<FixBlock>,
        ends: [[f64; 2]; 2],
    ) -> Option<Self> {
        let path = smoothed(&blocks);
        Self::with_path(walk, has_clock, blocks, path, ends)
    }

    /// The same, where the smoothed path is at hand.
    pub(super) fn with_path(
        walk: usize,
        has_clock: bool,
        blocks: Vec<FixBlock>,
        path: Vec<[f64; 2]>,
        ends: [[f64; 2]; 2],
    ) -> Option<Self> {
        let path = Polyline::thinned(path, 5.0);
        let (first, last) = (*path.first()?, *path.last()?);
        let way = Polyline::new(path.iter().copied()).length_m();
        (way >= SHORTEST_M || span(first, last) >= 2.0).then_some(Self {
            walk,
            has_clock,
            blocks,
            path,
            ends,
        })
    }

    /// Length of its path, m.
    pub(super) fn length_m(&self) -> f64 {
        Polyline::new(self.path.iter().copied()).length_m()
    }
}

/// Positions smoothed in time.
fn smoothed(blocks: &[FixBlock]) -> Vec<[f64; 2]> {
    let clock: Vec<f64> = blocks.iter().map(|b| b.clock_s).collect();
    let at: Vec<[f64; 2]> = blocks.iter().map(|b| b.at).collect();
    let gaps: Vec<bool> = blocks.iter().map(|b| b.gap).collect();
    local_lines(&clock, &at, &gaps, SMOOTH_S)
}

/// Cuts the blocks of a walk where the walker turned round and went back over the same ground; each piece with its smoothed path.
pub(super) fn cut_at_turns(blocks: Vec<FixBlock>) -> Vec<(Vec<FixBlock>, Vec<[f64; 2]>)> {
    let path = smoothed(&blocks);
    let mut strides: Vec<(usize, [f64; 2])> = Vec::new();
    for (i, &at) in path.iter().enumerate() {
        if strides.last().is_none_or(|&(_, l)| span(l, at) >= STRIDE_M) {
            strides.push((i, at));
        }
    }
    let found = turns(&strides);
    if found.is_empty() {
        return vec![(blocks, path)];
    }
    let mut out = Vec::new();
    let mut from = 0;
    for turn in found {
        let turn = farthest(&path, &strides, turn).unwrap_or(from);
        out.push(blocks.get(from..turn).unwrap_or_default().to_vec());
        from = turn;
    }
    out.push(blocks.get(from..).unwrap_or_default().to_vec());
    out.retain(|leg: &Vec<FixBlock>| leg.len() > 1);
    out.into_iter()
        .map(|leg| {
            let path = smoothed(&leg);
            (leg, path)
        })
        .collect()
}

/// Strides at which the walk turns round: those before and after lie on the same ground.
fn turns(strides: &[(usize, [f64; 2])]) -> Vec<usize> {
    let apart = |i: usize, k: usize| {
        let (before, after) = (strides.get(i.checked_sub(k)?)?, strides.get(i + k)?);
        Some(span(before.1, after.1))
    };
    let mut found: Vec<(usize, f64)> = Vec::new();
    for i in 0..strides.len() {
        let room = i.min(strides.len() - 1 - i).min(BACK);
        if room + 1 < BACK {
            continue;
        }
        let gaps: Option<Vec<f64>> = (2..=room).map(|k| apart(i, k)).collect();
        let Some(gaps) = gaps else { continue };
        let sum: f64 = gaps.iter().sum();
        if gaps.iter().all(|&g| g < SAME_M) {
            match found.last_mut() {
                Some(last) if i - last.0 <= BACK => {
                    if sum < last.1 {
                        *last = (i, sum);
                    }
                }
                _ => found.push((i, sum)),
            }
        }
    }
    found.into_iter().map(|(i, _)| i).collect()
}

/// The block farthest out round a turn at stride `i`: strides only show it to within one.
fn farthest(path: &[[f64; 2]], strides: &[(usize, [f64; 2])], i: usize) -> Option<usize> {
    let root = strides.get(i.checked_sub(2)?)?.1;
    let from = strides.get(i.saturating_sub(1))?.0;
    let to = strides.get(i + 2).map_or(path.len(), |s| s.0);
    let out = |j: &usize| path.get(*j).map_or(0.0, |&p| span(root, p));
    (from..to).max_by(|a, b| out(a).total_cmp(&out(b)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn walk(points: &[[f64; 2]]) -> Vec<FixBlock> {
        let line = Polyline::new(points.iter().copied());
        let count = (line.length_m() / 2.4) as usize;
        (0..=count)
            .map(|i| FixBlock {
                at: line.at(i as f64 * 2.4),
                height_m: 0.0,
                heights: 1.0,
                rounded_sd_m: 0.0,
                fixes: 3.0,
                clock_s: i as f64 * 3.0,
                dilution: f64::NAN,
                line: 1,
                gap: false,
                left_out: false,
            })
            .collect()
    }

    #[test]
    fn out_and_back_is_two() {
        let legs = cut_at_turns(walk(&[[0.0, 0.0], [300.0, 40.0], [0.0, 1.0]]));
        assert_eq!(legs.len(), 2);
        let far = legs[0].0.last().unwrap().at;
        assert!((far[0] - 300.0).abs() < 6.0, "{far:?}");
    }

    #[test]
    fn bends_are_no_turns() {
        for points in [
            vec![[0.0, 0.0], [300.0, 0.0]],
            vec![[0.0, 0.0], [200.0, 0.0], [200.0, 200.0]],
            vec![[0.0, 0.0], [200.0, 0.0], [80.0, 120.0]],
        ] {
            assert_eq!(cut_at_turns(walk(&points)).len(), 1, "{points:?}");
        }
    }

    #[test]
    fn there_and_back_and_there_again_is_three() {
        let legs = cut_at_turns(walk(&[[0.0, 0.0], [200.0, 0.0], [0.0, 2.0], [200.0, 1.0]]));
        assert_eq!(legs.len(), 3);
    }
}
