#![expect(
    clippy::indexing_slicing,
    reason = "indices are made here from the lengths of the same lists"
)]

use super::alignment::Alignment;
use super::bank::MovementForm;
use super::least_move::LEAST_M;
use super::scan::{ScanWindow, WindowAxis};
use super::search::{MOVED_P, SearchLine, SearchedSurveys};
use super::strand::Axis;
use crate::numeric::Rng;

/// What two surveys can show: the least movement of a reach that they would surely call moved.
///
/// A storm that moved less may have left no mark in them: a list with nothing in it says no more than this.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct DetectionLimit {
    /// Length of the reach, m, from nothing on one side to nothing on the other.
    pub over_m: f64,
    /// Upward or downward movement at the crest of the reach, m.
    pub up_m: f64,
    /// Movement to either side, m; absent where a survey has no plan: nothing is seen aside.
    pub side_m: Option<f64>,
}

/// Length of the reach that is asked about, m: a slide of middle size.
const OVER_M: f64 = 60.0;
/// Movements that matter to a pipe and its supports, m.
const MATTERS_M: f64 = 0.3;
/// So many in ten of such movements are called.
const CALLED: f64 = 0.9;
/// Places along a window where movements are laid, and draws each is laid on.
const PLACES: usize = 8;
const DRAWS: usize = 32;
/// Windows that are asked.
const WINDOWS: usize = 3;
/// The noise is told with a movement in the looks at most so often, and again while the least movement grows by more than this.
const ROUNDS: usize = 4;
const GROWN: f64 = 1.1;
/// No movement is larger, m.
const MOST_M: f64 = 50.0;

impl DetectionLimit {
    /// Movements are laid on draws in which nothing moved, until nine in ten are called. Whoever looks for one does not know the noise without it: it is told once more with such a movement in the looks, and again while that makes the least movement clearly larger.
    pub(super) fn of(
        searched: Option<(&SearchedSurveys, &SearchLine)>,
        alignment: &Alignment,
    ) -> Self {
        let over_m = OVER_M
            .min((alignment.to_m - alignment.from_m) / 3.0)
            .max(1.0);
        let least = |search: &SearchLine| {
            let axis = |axis| DetectionQuery::of(search, over_m, axis).map(|a| a.least_m());
            (axis(Axis::Up).unwrap_or(MOST_M), axis(Axis::Aside))
        };
        let (mut up_m, mut side_m) = (MOST_M, None);
        if let Some((surveys, search)) = searched {
            (up_m, side_m) = least(search);
            for _ in 0..ROUNDS {
                let Some(dimmed) = surveys.had_moved(search, over_m, (up_m, side_m)) else {
                    break;
                };
                let (up, side) = least(&dimmed);
                let grown = |to: f64, from: f64| to > GROWN * from;
                let again = grown(up, up_m) || side.zip(side_m).is_some_and(|(a, b)| grown(a, b));
                up_m = up_m.max(up);
                side_m = side_m.zip(side).map(|(a, b)| a.max(b));
                if !again {
                    break;
                }
            }
        }
        Self {
            over_m,
            up_m,
            side_m,
        }
    }

    /// Movements that matter can stay unseen.
    pub(super) fn is_dim(&self) -> bool {
        self.up_m > MATTERS_M || self.side_m.is_none_or(|m| m > MATTERS_M)
    }
}

/// One injected movement on one draw, as the axis that is asked shows it.
struct InjectedMovement {
    window: usize,
    /// Evidence that comes in any case.
    rest: f64,
    /// The templates, those first that it lies on.
    terms: Vec<InjectedTerm>,
}

/// Of a template: T of the draw, what a metre of the movement adds to it, and how strongly it counts.
struct InjectedTerm {
    template: usize,
    times: f64,
    adds: f64,
    weight: f64,
}

struct DetectionQuery<'a> {
    search: &'a SearchLine,
    axis: Axis,
    laid: Vec<InjectedMovement>,
    bar: f64,
}

impl<'a> DetectionQuery<'a> {
    fn of(search: &'a SearchLine, over_m: f64, axis: Axis) -> Option<Self> {
        let every = search.windows.len().div_ceil(WINDOWS).max(1);
        let mut draws = Rng::new(21);
        let mut laid = Vec::new();
        for (index, window) in search.windows.iter().enumerate().step_by(every) {
            let face = match axis {
                Axis::Up => &window.up,
                Axis::Aside => window.side.as_ref()?,
            };
            for place in 0..PLACES {
                let adds = adds(window, face, over_m, place);
                let mut order: Vec<usize> = (0..window.bank.len()).collect();
                order.sort_by(|a, b| adds[*b].abs().total_cmp(&adds[*a].abs()));
                let n = window.node_m.len();
                let (mut up, mut side) = (vec![0.0; n], vec![0.0; n]);
                for _ in 0..DRAWS {
                    window.up.draw(&mut draws, &mut up);
                    if let Some(f) = &window.side {
                        f.draw(&mut draws, &mut side);
                    }
                    let mut rest = 0.0;
                    let term = |&k: &usize| {
                        let t = &window.bank[k];
                        let aside = window.side.as_ref().map_or(0.0, |f| f.times(k, t, &side));
                        let up = window.up.times(k, t, &up);
                        let (times, other) = match axis {
                            Axis::Up => (up, aside),
                            Axis::Aside => (aside, up),
                        };
                        let (always, weight) = window.beside(k, axis, other);
                        rest += always;
                        InjectedTerm {
                            template: k,
                            times,
                            adds: adds[k],
                            weight,
                        }
                    };
                    let terms = order.iter().map(term).collect();
                    laid.push(InjectedMovement {
                        window: index,
                        rest,
                        terms,
                    });
                }
            }
        }
        Some(Self {
            search,
            axis,
            laid,
            bar: search.bar(MOVED_P),
        })
    }

    /// Share of movements of this size that are called.
    fn called(&self, lift_m: f64) -> f64 {
        let is_called = |laid: &&InjectedMovement| {
            let window = &self.search.windows[laid.window];
            let mut evidence = laid.rest;
            // Every term only adds to it.
            laid.terms.iter().any(|term| {
                let t = term.times + lift_m * term.adds;
                evidence += term.weight * window.shown(term.template, self.axis, t);
                evidence > self.bar
            })
        };
        let count = self.laid.iter().filter(is_called).count();
        count as f64 / self.laid.len().max(1) as f64
    }

    /// By halving: more is called more often.
    fn least_m(&self) -> f64 {
        let (mut low, mut high) = (LEAST_M, LEAST_M);
        while self.called(high) < CALLED {
            if high > MOST_M {
                return MOST_M;
            }
            low = high;
            high *= 2.0;
        }
        for _ in 0..6 {
            let middle = (low * high).sqrt();
            if self.called(middle) < CALLED {
                low = middle;
            } else {
                high = middle;
            }
        }
        high
    }
}

/// What a movement of a metre adds to T of each template.
fn adds(window: &ScanWindow, face: &WindowAxis, over_m: f64, place: usize) -> Vec<f64> {
    let n = window.node_m.len();
    let (low, high) = (window.node_m[0], window.node_m[n - 1]);
    // All of it inside.
    let room = (high - low - over_m).max(0.0);
    let middle = low + 0.5 * (high - low - room) + room * (place as f64 + 0.5) / PLACES as f64;
    let shape: Vec<f64> = window
        .node_m
        .iter()
        .map(|s| MovementForm::Swell.seen_at(s - middle, over_m, window.wanted.blur_m))
        .collect();
    let v: Vec<f64> = (0..n)
        .map(|i| {
            face.held
                .q
                .column(i)
                .iter()
                .zip(&shape)
                .map(|(q, s)| q * s)
                .sum()
        })
        .collect();
    (0..window.bank.len())
        .map(|k| face.times(k, &window.bank[k], &v))
        .collect()
}
