use super::{ReadingBlock, Tie};
use crate::numeric::math;
use crate::receiver::{Errors, PACE_M_PER_S};

/// A reading on its way to its step.
#[derive(Debug, Clone, Copy)]
pub(super) struct Loose {
    pub(super) station_m: f64,
    pub(super) age_s: f64,
    pub(super) height_m: f64,
    pub(super) count: f64,
    /// Variance of what rounding took, m2.
    pub(super) rounded_m2: f64,
    pub(super) offset: Option<usize>,
}

/// One block, or one known height, seen from its step.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct StepEntry {
    /// Time since the entry before, or since the left node, s.
    pub(super) gap_s: f64,
    /// Weights of [height, slope] left and [height, slope] right: the cubic through both ends.
    pub(super) weight: [f64; 4],
    /// Position of its offset.
    pub(super) offset: Option<usize>,
    /// Which offset that is.
    pub(super) datum: Option<usize>,
    pub(super) height_m: f64,
    /// Readings behind it; for a known height its variance, m2.
    pub(super) count: f64,
    /// Variance of what rounding took, m2.
    pub(super) rounded_m2: f64,
}

impl StepEntry {
    /// Variance of a reading's own error, of a walk that errs so, m2.
    pub(super) fn variance(&self, errors: &Errors) -> f64 {
        errors.white_sd_m * errors.white_sd_m / self.count + self.rounded_m2
    }
}

pub(super) fn fixed(tie: &Tie, offset: Option<usize>) -> Loose {
    Loose {
        station_m: tie.station_m,
        age_s: 0.0,
        height_m: tie.height_m,
        count: math::powi(tie.sd_m.max(1e-4), 2),
        rounded_m2: 0.0,
        offset,
    }
}

/// Readings in station order, one chain a walk (one chain for all where heights come from a terrain model).
pub(super) fn chains(blocks: &[ReadingBlock], passes: usize, shared: bool) -> Vec<Vec<Loose>> {
    let mut by_pass: Vec<Vec<ReadingBlock>> = vec![Vec::new(); passes];
    for block in blocks {
        if let Some(pass) = by_pass.get_mut(block.pass) {
            pass.push(*block);
        }
    }
    let mut chains: Vec<Vec<Loose>> = Vec::new();
    for mut pass in by_pass {
        let timed = !shared && pass.iter().all(|b| b.clock_s.is_some());
        let uphill = {
            let n = pass.len().max(1) as f64;
            let clock = |b: &ReadingBlock| b.clock_s.unwrap_or(0.0);
            let (s, t) = (
                pass.iter().map(|b| b.station_m).sum::<f64>() / n,
                pass.iter().map(clock).sum::<f64>() / n,
            );
            pass.iter()
                .map(|b| (b.station_m - s) * (clock(b) - t))
                .sum::<f64>()
                < 0.0
        };
        let forward = |b: &ReadingBlock| b.clock_s.unwrap_or(0.0) * if uphill { -1.0 } else { 1.0 };
        pass.sort_by(|a, b| {
            a.station_m
                .total_cmp(&b.station_m)
                .then(forward(a).total_cmp(&forward(b)))
        });
        let dilution = usual_dilution(&pass);
        let mut age = 0.0;
        let mut before: Option<ReadingBlock> = None;
        let chain = pass.into_iter().map(|b| {
            if let Some(a) = before {
                age += if timed {
                    (forward(&b) - forward(&a)).abs()
                } else {
                    (b.station_m - a.station_m) / PACE_M_PER_S
                };
            }
            before = Some(b);
            Loose {
                station_m: b.station_m,
                age_s: age,
                height_m: b.height_m,
                count: b.count.clamp(1e-3, 1e4) * weight(b.dilution, dilution),
                rounded_m2: math::powi(b.rounded_sd_m, 2).clamp(0.0, 1e4),
                offset: Some(b.pass),
            }
        });
        chains.push(chain.collect());
    }
    if shared {
        let mut one: Vec<Loose> = chains.into_iter().flatten().collect();
        one.sort_by(|a, b| a.station_m.total_cmp(&b.station_m));
        let first = one.first().map_or(0.0, |l| l.station_m);
        for l in &mut one {
            l.age_s = (l.station_m - first) / PACE_M_PER_S;
        }
        return vec![one];
    }
    chains
}

/// Median dilution of a pass.
fn usual_dilution(pass: &[ReadingBlock]) -> Option<f64> {
    let mut all: Vec<f64> = pass.iter().filter_map(|b| b.dilution).collect();
    all.retain(|d| d.is_finite() && *d > 0.0);
    all.sort_by(f64::total_cmp);
    all.get(all.len() / 2).copied()
}

/// A reading of poorer geometry than the pass's usual weighs less, by the square of the ratio, down to a ninth; a better one counts as usual.
fn weight(dilution: Option<f64>, usual: Option<f64>) -> f64 {
    match (dilution, usual) {
        (Some(d), Some(u)) if d.is_finite() && d > u => math::powi(u / d, 2).max(1.0 / 9.0),
        _ => 1.0,
    }
}
