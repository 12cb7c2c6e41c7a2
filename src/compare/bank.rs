//! Shapes that a movement may have, laid everywhere along the nodes of a window.
#![expect(
    clippy::indexing_slicing,
    reason = "indices are made here from the lengths of the same lists"
)]

use crate::numeric::math;

/// A movement of one metre at its crest on the nodes from `first` on.
#[derive(Debug, Clone)]
pub(super) struct Template {
    pub(super) first: usize,
    pub(super) values: Vec<f64>,
    /// Station of its middle, m.
    pub(super) middle_m: f64,
    /// Share of all movements that are of this shape, at this place and of this width, beforehand.
    pub(super) share: f64,
}

impl Template {
    /// Share of a metre at a station: straight between nodes.
    pub(super) fn at(&self, node_m: &[f64], station_m: f64) -> f64 {
        let value = |i: usize| {
            i.checked_sub(self.first)
                .and_then(|k| self.values.get(k))
                .copied()
                .unwrap_or(0.0)
        };
        let above = node_m
            .partition_point(|s| *s <= station_m)
            .clamp(1, node_m.len() - 1);
        let t = (station_m - node_m[above - 1]) / (node_m[above] - node_m[above - 1]);
        value(above - 1) + t * (value(above) - value(above - 1))
    }
}

/// How a movement rises and falls along the line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum MovementForm {
    /// A raised cosine.
    Swell,
    /// All of it alike, let in over a few metres.
    Flat,
    /// Steep above and let out down the line.
    SteepAbove,
    /// Steep below.
    SteepBelow,
}

/// Length over which a flat movement is let in on each side, m.
const EDGE_M: f64 = 6.0;

impl MovementForm {
    /// Share of the crest's movement at a distance from the middle, of a movement of a length, m.
    pub(super) fn at(self, off_m: f64, length_m: f64) -> f64 {
        let half = 0.5 * length_m;
        match self {
            Self::Swell if off_m.abs() < half => {
                0.5 * (1.0 + math::cos(std::f64::consts::PI * off_m / half))
            }
            Self::Swell => 0.0,
            Self::Flat => ((half + 0.5 * EDGE_M - off_m.abs()) / EDGE_M).clamp(0.0, 1.0),
            Self::SteepBelow => Self::SteepAbove.at(-off_m, length_m),
            Self::SteepAbove => {
                let rise = ((off_m + half) / EDGE_M).clamp(0.0, 1.0);
                rise.min(((half - off_m) / length_m).clamp(0.0, 1.0))
            }
        }
    }
}

/// Lengths of each form, m, and what share of all movements it has.
const FORMS: [(MovementForm, f64, &[f64]); 4] = [
    (
        MovementForm::Swell,
        0.45,
        &[10.0, 16.0, 26.0, 42.0, 66.0, 104.0, 160.0],
    ),
    (
        MovementForm::Flat,
        0.35,
        &[
            6.0, 10.0, 18.0, 30.0, 48.0, 75.0, 120.0, 190.0, 300.0, 480.0,
        ],
    ),
    (MovementForm::SteepAbove, 0.1, &[26.0, 42.0, 66.0, 104.0]),
    (MovementForm::SteepBelow, 0.1, &[26.0, 42.0, 66.0, 104.0]),
];

/// The part of the line whose movements a window looks for.
#[derive(Debug, Clone, Copy)]
pub(super) struct WindowTarget {
    /// Middles between these stations, m.
    pub(super) from_m: f64,
    pub(super) to_m: f64,
    /// Length of the whole line that is searched, m.
    pub(super) line_m: f64,
    /// No longer than this, m.
    pub(super) longest_m: f64,
}

/// All templates with their middles in a part of the window.
pub(super) fn bank(
    node_m: &[f64],
    wanted: WindowTarget,
    is_free: impl Fn(usize) -> bool,
) -> Vec<Template> {
    let n = node_m.len();
    let (low, high) = (node_m[0], node_m[n - 1]);
    let step = (high - low) / (n - 1) as f64;
    let mut out = Vec::new();
    for (form, share, lengths) in FORMS {
        // Shorter than the nodes show, or longer than may be told from the rest, is not looked for.
        let fit: Vec<f64> = lengths
            .iter()
            .copied()
            .filter(|l| *l >= 1.2 * step && *l <= wanted.longest_m.max(1.5 * step))
            .collect();
        for length in &fit {
            let stride = step.max(0.12 * length).min(wanted.line_m);
            let count = ((wanted.to_m - wanted.from_m) / stride).ceil().max(1.0);
            let each = (wanted.to_m - wanted.from_m) / count;
            for i in 0..count as usize {
                let middle_m = wanted.from_m + (i as f64 + 0.5) * each;
                let reach = 0.5 * (length + EDGE_M);
                let first = node_m.partition_point(|s| *s <= middle_m - reach);
                let last = node_m.partition_point(|s| *s < middle_m + reach);
                let values: Vec<f64> = node_m[first..last]
                    .iter()
                    .map(|s| form.at(s - middle_m, *length))
                    .collect();
                let sees = values.iter().any(|v| *v > 0.3);
                if sees && (first..last).all(&is_free) {
                    out.push(Template {
                        first,
                        values,
                        middle_m,
                        share: share / fit.len() as f64 * each / wanted.line_m,
                    });
                }
            }
        }
    }
    out
}
