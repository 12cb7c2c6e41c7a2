#![expect(
    clippy::indexing_slicing,
    reason = "a kernel over fronts whose sizes the layout has fixed"
)]

use super::Heights;
use super::gather::GatheredForms;
use super::given::{ForwardRun, backward, known_right, marginalise};
use super::layout::{Layout, side_of};
use super::{HeightsOptions, ReadingBlock, Tie};
use crate::numeric::Rng;
use crate::receiver::Errors;

/// A part of an error that is said to be none, m.
const LEAST_M: f64 = 1e-5;

/// Noise and roughness that are taken as known.
#[derive(Debug, Clone, PartialEq)]
pub struct Smoothing {
    /// How every pass errs; a part of standard deviation 0 is held below a hundredth of a millimetre.
    pub errors: Errors,
    /// Offset of a pass, m.
    pub offset_sd_m: f64,
    /// Roughness by reach: where it ends, m, and the strength of curvature, m2/m3; the last one reaches to the end.
    pub roughness: Vec<(f64, f64)>,
    /// Height at the first node beforehand, m (within 100 m; the slope within 1).
    pub first_height_m: f64,
    /// How many draws, and their seed.
    pub draws: usize,
    /// See `draws`.
    pub seed: u64,
}

/// Heights with noise and roughness given: exact, by one pass down the line and one up.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Smoothed {
    /// Means and standard deviations (exact) and draws on the stations asked for.
    pub heights: Heights,
    /// Slope at the stations, m per m, mean and standard deviation.
    pub slope: Vec<f64>,
    /// See `slope`.
    pub slope_sd: Vec<f64>,
    /// Log of the density of all readings and ties together.
    pub log_evidence: f64,
}

/// Heights of blocks and ties on stations, noise and roughness given.
///
/// The same equations as behind `walked`, without sampling; nodes stand at every station asked for and at every reading, so nothing is approximated.
pub fn smoothed(
    blocks: &[ReadingBlock],
    ties: &[Tie],
    stations_m: &[f64],
    smoothing: &Smoothing,
) -> Smoothed {
    let mut nodes: Vec<f64> = stations_m
        .iter()
        .copied()
        .chain(blocks.iter().map(|b| b.station_m))
        .chain(ties.iter().map(|t| t.station_m))
        .filter(|s| s.is_finite())
        .collect();
    nodes.sort_by(f64::total_cmp);
    nodes.dedup_by(|b, a| *b - *a < 1e-6);
    if nodes.len() < 2 || stations_m.is_empty() {
        return Smoothed::default();
    }
    let options = HeightsOptions {
        offset_sd_m: smoothing.offset_sd_m,
        ..HeightsOptions::default()
    };
    let cells = (0..nodes.len() - 1).map(|j| (j, j + 1)).collect();
    let layout = Layout::on(nodes, cells, blocks, ties, &[], &options);
    let strength = |j: usize| {
        let middle = 0.5 * (layout.node_m[j] + layout.node_m[j + 1]);
        smoothing
            .roughness
            .iter()
            .find(|r| middle <= r.0)
            .or(smoothing.roughness.last())
            .map_or(1e-3, |r| r.1)
    };
    let errors = Errors {
        slow_sd_m: smoothing.errors.slow_sd_m.max(LEAST_M),
        fast_sd_m: smoothing.errors.fast_sd_m.max(LEAST_M),
        ..smoothing.errors
    };
    let passes = blocks.iter().map(|b| b.pass + 1).max().unwrap_or(0);
    let mut gathered = GatheredForms::new(&layout, &vec![errors; passes], smoothing.first_height_m);
    gathered.turn(&layout);
    let mut run = ForwardRun::default();
    let log_evidence = run.forward(&layout, &gathered, strength);
    let mut fronts = Vec::new();
    backward(&layout, &gathered, strength, &mut fronts);
    let mut mean = vec![0.0; 2 * layout.node_m.len()];
    run.back(&layout, true, || 0.0, &mut mean);
    let at: Vec<usize> = stations_m
        .iter()
        .map(|s| {
            layout
                .node_m
                .partition_point(|n| *n < s - 1e-6)
                .min(layout.node_m.len() - 1)
        })
        .collect();
    let mut out = Smoothed {
        log_evidence,
        ..Smoothed::default()
    };
    let mut draws = Rng::new(smoothing.seed);
    let mut off = mean.clone();
    let base: Vec<f64> = stations_m.iter().map(|s| layout.base_at(*s)).collect();
    let lines = (0..smoothing.draws)
        .map(|_| {
            run.back(&layout, false, || draws.normal(), &mut off);
            at.iter()
                .zip(&base)
                .map(|(&n, b)| b + mean[2 * n] + off[2 * n])
                .collect()
        })
        .collect();
    out.heights = Heights::from_draws(stations_m.to_vec(), lines);
    for (i, (&n, b)) in at.iter().zip(&base).enumerate() {
        let [height_var, slope_var] = variances(&layout, &run, &fronts, n);
        out.heights.mean_m[i] = b + mean[2 * n];
        out.heights.sd_m[i] = height_var.sqrt();
        out.slope.push(layout.base_slope + mean[2 * n + 1]);
        out.slope_sd.push(slope_var.sqrt());
    }
    out
}

/// Variances of height and slope at a node, from what is known left and right of it.
fn variances(layout: &Layout, run: &ForwardRun, backward: &[f64], node: usize) -> [f64; 2] {
    let right = known_right(layout, backward, node);
    let left = run.left_of(layout, node);
    let carried = left.or(right).map_or(2, |m| m.to - m.from);
    let side = side_of(carried);
    // Height and slope last, so that everything else is taken out before them.
    let map: Vec<usize> = (0..carried).map(|i| (i + carried - 2) % carried).collect();
    let mut both = vec![0.0; side * side];
    for message in [left, right].into_iter().flatten() {
        message.add_to(&mut both, side, &map);
    }
    marginalise(&mut both, side, 0, carried - 2);
    let (a, b, c) = (
        both[(carried - 2) * side + carried - 2],
        both[(carried - 2) * side + carried - 1],
        both[(carried - 1) * side + carried - 1],
    );
    let det = a * c - b * b;
    [c / det, a / det]
}
