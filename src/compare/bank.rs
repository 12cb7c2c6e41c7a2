//! Shapes that a movement may have, laid everywhere along the nodes of a window.
#![expect(
    clippy::indexing_slicing,
    reason = "indices are made here from the lengths of the same lists"
)]

use crate::numeric::math;

/// A movement of one metre at its crest as it is seen on the nodes from `first` on.
#[derive(Debug, Clone)]
pub(super) struct Template {
    pub(super) first: usize,
    pub(super) values: Vec<f64>,
    /// Station of its middle, m.
    pub(super) middle_m: f64,
    form: MovementForm,
    length_m: f64,
    /// Share of all movements that are of this shape, at this place and of this width, beforehand.
    pub(super) share: f64,
}

impl Template {
    /// Share of a metre at a station.
    pub(super) fn at(&self, station_m: f64) -> f64 {
        self.form.at(station_m - self.middle_m, self.length_m)
    }
}

/// Flat movements whose one end lies where a template begins or ends, close enough to meet a sharp edge: the usual lengths and places miss it by some metres, and two slow slopes on both sides would pass for the block between them.
pub(super) fn between_edges(
    node_m: &[f64],
    near: &Template,
    wanted: WindowTarget,
) -> Vec<Template> {
    const STEP_M: f64 = 3.0;
    let half = 0.5 * near.length_m;
    let mut out = Vec::new();
    for edge in [near.middle_m - half, near.middle_m + half] {
        for off in -2..=2 {
            let edge = edge + STEP_M * f64::from(off);
            let mut length_m = 4.0 * STEP_M;
            while length_m <= wanted.longest_m.min(FARTHEST_M) {
                for middle_m in [edge + 0.5 * length_m, edge - 0.5 * length_m] {
                    out.extend(laid(
                        node_m,
                        MovementForm::Flat,
                        middle_m,
                        length_m,
                        wanted.blur_m,
                    ));
                }
                length_m += STEP_M;
            }
        }
    }
    let share = FLAT * (STEP_M / wanted.line_m) * (STEP_M / FARTHEST_M);
    out.iter_mut().for_each(|t| t.share = share);
    out
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

/// Flat movements are laid between edges up to this length, m.
const FARTHEST_M: f64 = 150.0;
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

impl MovementForm {
    /// The same as looks show it whose stations are off by `blur_m` (standard deviation): a short movement looks lower and longer than it is. Three points of Gauss and Hermite.
    pub(super) fn seen_at(self, off_m: f64, length_m: f64, blur_m: f64) -> f64 {
        let aside = 3f64.sqrt() * blur_m;
        let at = |off_m: f64| self.at(off_m, length_m);
        (at(off_m - aside) + 4.0 * at(off_m) + at(off_m + aside)) / 6.0
    }
}

/// Share of all movements that are flat.
const FLAT: f64 = 0.35;
/// Lengths of each form, m, and what share of all movements it has.
const FORMS: [(MovementForm, f64, &[f64]); 4] = [
    (
        MovementForm::Swell,
        0.45,
        &[10.0, 16.0, 26.0, 42.0, 66.0, 104.0, 160.0],
    ),
    (
        MovementForm::Flat,
        FLAT,
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
    /// How far off the later looks' stations are, m (standard deviation).
    pub(super) blur_m: f64,
    /// How far off the place of the later survey on the earlier one is, m (standard deviation).
    pub(super) place_sd_m: f64,
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
                let template = laid(node_m, form, middle_m, *length, wanted.blur_m);
                if let Some(mut t) = template
                    && (t.first..t.first + t.values.len()).all(&is_free)
                {
                    t.share = share / fit.len() as f64 * each / wanted.line_m;
                    out.push(t);
                }
            }
        }
    }
    out
}

/// A movement on the nodes it reaches; `None` where hardly any of it is seen.
fn laid(
    node_m: &[f64],
    form: MovementForm,
    middle_m: f64,
    length_m: f64,
    blur_m: f64,
) -> Option<Template> {
    let reach = 0.5 * (length_m + EDGE_M) + 3f64.sqrt() * blur_m;
    let first = node_m.partition_point(|s| *s <= middle_m - reach);
    let last = node_m.partition_point(|s| *s < middle_m + reach);
    let values: Vec<f64> = node_m[first..last.max(first)]
        .iter()
        .map(|s| form.seen_at(s - middle_m, length_m, blur_m))
        .collect();
    values.iter().any(|v| *v > 0.3).then_some(Template {
        first,
        values,
        middle_m,
        form,
        length_m,
        share: 0.0,
    })
}
