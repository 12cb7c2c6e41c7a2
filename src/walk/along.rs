//! The way of a leg along the line: a station for each block, rising or falling all the way.

use super::assemble::OVER_M;
use super::block::FixBlock;
use super::clean::span;
use super::leg::WalkLeg;
use super::polyline::Polyline;
use super::smooth::local_lines;
use crate::numeric::isotonic::rising;

/// Width of the smoothing of stations in time, s. Without it noise in station, read against drift, flattens every slope; longer, it smears stops.
const SMOOTH_S: f64 = 8.0;

/// How far a leg may reach back before it counts as having turned round, m.
const BACK_M: f64 = 20.0;

/// A leg's blocks on the line.
#[derive(Debug, Clone)]
pub(crate) struct LegBlocks {
    /// Blocks that lie on the line, in the order of the walk.
    pub(crate) blocks: Vec<FixBlock>,
    /// Their stations as they fall, m.
    pub(crate) raw_m: Vec<f64>,
    /// How far off the line each is, m.
    pub(crate) off_m: Vec<f64>,
    /// Their stations, never turning back, m.
    pub(crate) station_m: Vec<f64>,
    /// Whether the leg runs with the line.
    pub(crate) forward: bool,
    /// Blocks left out because they lie off the line.
    pub(crate) left_out: usize,
}

impl LegBlocks {
    /// Brings a leg onto the line, beginning the search at `begin_m`, else anywhere. `None` where it does not lie on it.
    pub(super) fn new(leg: &WalkLeg, line: &Polyline, begin_m: Option<f64>) -> Option<Self> {
        let mut out = Self {
            blocks: Vec::with_capacity(leg.blocks.len()),
            raw_m: Vec::with_capacity(leg.blocks.len()),
            off_m: Vec::with_capacity(leg.blocks.len()),
            station_m: Vec::new(),
            forward: true,
            left_out: 0,
        };
        let mut near = begin_m;
        let mut way_m = 0.0;
        let mut last: Option<[f64; 2]> = None;
        let mut broken = false;
        for block in &leg.blocks {
            way_m += last.map_or(0.0, |l| span(l, block.at));
            last = Some(block.at);
            let foot = match near {
                Some(s) => {
                    let reach = 30.0 + 1.5 * way_m;
                    line.foot(block.at, s - reach, s + reach)
                }
                None => line.foot_anywhere(block.at),
            };
            if foot.off_m > OVER_M {
                out.left_out += 1;
                broken = true;
                continue;
            }
            near = Some(foot.station_m);
            way_m = 0.0;
            out.blocks.push(FixBlock {
                gap: block.gap || broken,
                ..*block
            });
            broken = false;
            out.raw_m.push(foot.station_m);
            out.off_m.push(foot.off_m);
        }
        if out.blocks.len() < 2 {
            return None;
        }
        out.forward = out.runs_forward();
        out.station_m = out.monotone(&out.raw_m);
        Some(out)
    }

    fn runs_forward(&self) -> bool {
        let half = self.raw_m.len() / 2;
        let mean = |part: &[f64]| part.iter().sum::<f64>() / part.len().max(1) as f64;
        let (first, second) = self.raw_m.split_at(half);
        mean(second) >= mean(first)
    }

    /// The stations nearest to these that never turn back.
    fn monotone(&self, station_m: &[f64]) -> Vec<f64> {
        let sign = if self.forward { 1.0 } else { -1.0 };
        let way: Vec<f64> = station_m.iter().map(|s| s * sign).collect();
        let weights: Vec<f64> = self.blocks.iter().map(|b| b.fixes).collect();
        rising(&way, &weights)
            .into_iter()
            .map(|s| s * sign)
            .collect()
    }

    /// Smooths the stations in time and makes them monotone again: the last step, once the line stands.
    pub(super) fn settle(&mut self) {
        self.station_m = self.monotone(&self.smoothed(&self.station_m));
    }

    fn smoothed(&self, station_m: &[f64]) -> Vec<f64> {
        let clock: Vec<f64> = self.blocks.iter().map(|b| b.clock_s).collect();
        let values: Vec<[f64; 1]> = station_m.iter().map(|&s| [s]).collect();
        let gaps: Vec<bool> = self.blocks.iter().map(|b| b.gap).collect();
        local_lines(&clock, &values, &gaps, SMOOTH_S)
            .into_iter()
            .map(|[s]| s)
            .collect()
    }

    /// Where the leg goes back over its own way by more than noise can: the blocks at which it turns and at which it turns again.
    pub(super) fn turned_back(&self) -> Option<(usize, usize)> {
        let sign = if self.forward { 1.0 } else { -1.0 };
        // Smoothing makes no way back longer: where none is long in the raw stations, none is at all.
        let mut farthest = f64::NEG_INFINITY;
        let back = self.raw_m.iter().any(|s| {
            farthest = farthest.max(s * sign);
            farthest - s * sign > BACK_M
        });
        if !back {
            return None;
        }
        let way: Vec<f64> = self
            .smoothed(&self.raw_m)
            .iter()
            .map(|s| s * sign)
            .collect();
        let mut highest = (0, f64::NEG_INFINITY);
        let mut worst = (0, 0, 0.0);
        for (i, &w) in way.iter().enumerate() {
            if w > highest.1 {
                highest = (i, w);
            }
            if highest.1 - w > worst.2 {
                worst = (highest.0, i, highest.1 - w);
            }
        }
        (worst.2 > BACK_M).then_some((worst.0, worst.1))
    }

    /// The smallest and the largest station, m.
    pub(super) fn reach_m(&self) -> (f64, f64) {
        let ends = (self.station_m.first(), self.station_m.last());
        let (a, b) = (
            ends.0.copied().unwrap_or(0.0),
            ends.1.copied().unwrap_or(0.0),
        );
        (a.min(b), a.max(b))
    }
}
