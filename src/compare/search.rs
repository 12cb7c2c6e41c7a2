//! Both surveys over the whole line: windows, the noise they share, what moved in them.
#![expect(
    clippy::indexing_slicing,
    reason = "indices are made here from the lengths of the same lists"
)]

use super::alignment::Alignment;
use super::bank::{MovementForm, Template, WindowTarget};
use super::error_form::{ALIKE, TURNED, TURNED_ALIKE, likeliest, tilted};
use super::estimate::{MovementEstimate, MovementPlace, curve};
use super::noise::{FittedFactors, fitted};
use super::scan::ScanWindow;
use super::slow_filter::VarianceFactors;
use super::strand::{Axis, Strands, strands};
use super::weigh::{NodeDifferences, held};
use crate::numeric::{Rng, math};
use crate::route::Route;

/// Usual distance of nodes, m.
const NODE_M: f64 = 5.0;
/// A line up to this long is one window, m; else windows of this length, each answering for its middle.
const WINDOW_M: f64 = 750.0;
/// How much of a window on each side another one answers for, m.
const FLANK_M: f64 = 190.0;
/// Draws in which nothing moved.
const DRAWS: usize = 1000;
/// Windows that the noise is told from: at most so many.
const ASKED: usize = 2;
/// How strongly a line bends aside, m2/m3.
const BEND_ASIDE: f64 = 0.05;
/// Most movements that are told apart.
const MOST_MOVED: usize = 12;
/// Chance that a line where nothing moved shows as much: less, and it moved; up to the second, it may have.
pub(super) const MOVED_P: f64 = 0.02;
pub(super) const MAY_P: f64 = 0.2;

/// A movement that was found.
#[derive(Debug, Clone, Copy)]
pub(super) struct FoundMovement {
    pub(super) place: MovementPlace,
    pub(super) window: usize,
    /// Chance that a line where nothing moved shows as much.
    pub(super) p: f64,
}

/// The line as both surveys show it.
pub(super) struct SearchLine {
    pub(super) windows: Vec<ScanWindow>,
    /// Evidence of the whole line, of each draw in which nothing moved, in order.
    null: Vec<f64>,
    pub(super) found: Vec<FoundMovement>,
}

/// Both surveys as they are searched: what their witnesses say on each axis, in the forms of error that are likeliest, and how much wider they err than they say.
pub(super) struct SearchedSurveys {
    up: Strands,
    side: Option<Strands>,
    bend: f64,
    layout: WindowLayout,
    noise: SurveyNoise,
}

/// How much wider both surveys err than they say, on each axis.
#[derive(Clone)]
struct SurveyNoise {
    up: FittedFactors,
    side: Option<FittedFactors>,
}

impl SearchedSurveys {
    /// `None` where the surveys have no witness in common reach.
    pub(super) fn of(before: &Route, after: &Route, alignment: &Alignment) -> Option<Self> {
        let up = strands(before, after, alignment, Axis::Up)?;
        let side = strands(before, after, alignment, Axis::Aside);
        let (layout, bend) = (WindowLayout::of(&up, alignment), bend(before));
        let asked = layout.asked();
        let told =
            |s: &Strands, axis, bend, known: Option<&_>| fitted(s, &asked, axis, bend, &[], known);
        let told_aside = |s: &Strands, known: Option<&_>| told(s, Axis::Aside, BEND_ASIDE, known);
        let side = side.map(|s| likeliest(s, told_aside, &[TURNED]));
        let aside = side.as_ref().map(|s| &s.1);
        let told_up =
            |s: &Strands, known: Option<&_>| told(&tilted(s, aside), Axis::Up, bend, known);
        // Aside the walks of a survey are alike from the start.
        let (up, noise) = likeliest(up, told_up, &[TURNED, ALIKE, TURNED_ALIKE]);
        let (side, noise_aside) = side.unzip();
        Some(Self {
            up,
            side,
            bend,
            noise: SurveyNoise {
                up: noise,
                side: noise_aside,
            },
            layout,
        })
    }

    /// What moved. It must not pass for error: the noise is told again without it.
    pub(super) fn search(&self) -> Option<SearchLine> {
        let found = self.judged(&self.noise)?;
        let moved = found.surely_moved();
        if moved.is_empty() {
            return Some(found);
        }
        self.judged(&self.noise_without(&moved))
    }

    /// The noise told from the looks outside some reaches.
    fn noise_without(&self, moved: &[(f64, f64)]) -> SurveyNoise {
        let asked = self.layout.asked();
        let told =
            |s: &Strands, axis, bend, known| fitted(s, &asked, axis, bend, moved, Some(known));
        let side = (self.side.as_ref().zip(self.noise.side.as_ref()))
            .map(|(s, known)| told(s, Axis::Aside, BEND_ASIDE, known));
        let up = tilted(&self.up, side.as_ref());
        SurveyNoise {
            up: told(&up, Axis::Up, self.bend, &self.noise.up),
            side,
        }
    }

    fn judged(&self, noise: &SurveyNoise) -> Option<SearchLine> {
        let up = tilted(&self.up, noise.side.as_ref());
        let side = self
            .side
            .as_ref()
            .zip(noise.side.as_ref().map(|n| n.scales));
        self.layout.search((&up, noise.up.scales), side, self.bend)
    }

    /// The search as it would be had a reach away from what moved gone up and aside: such a movement is in the looks that the noise is told from.
    pub(super) fn had_moved(
        &self,
        search: &SearchLine,
        over_m: f64,
        (up_m, side_m): (f64, Option<f64>),
    ) -> Option<SearchLine> {
        let moved = search.surely_moved();
        let (from_m, to_m) = self.layout.ends_m()?;
        let place = |share: f64| from_m + share * (to_m - from_m);
        let clear =
            |m: &f64| (moved.iter()).all(|(a, b)| m + 0.5 * over_m < *a || m - 0.5 * over_m > *b);
        let middle = [0.5, 0.3, 0.7, 0.15, 0.85]
            .map(place)
            .into_iter()
            .find(clear)?;
        let lift = |strands: &Strands, size_m: f64| {
            let mut strands = strands.clone();
            for look in strands[1].iter_mut().flat_map(|s| &mut s.spots) {
                look.value_m += size_m * MovementForm::Swell.at(look.station_m - middle, over_m);
            }
            strands
        };
        let lifted = Self {
            up: lift(&self.up, up_m),
            side: self.side.as_ref().zip(side_m).map(|(s, m)| lift(s, m)),
            bend: self.bend,
            layout: self.layout.clone(),
            noise: self.noise.clone(),
        };
        lifted.judged(&lifted.noise_without(&moved))
    }
}

impl SearchLine {
    /// Reaches that surely moved, m.
    fn surely_moved(&self) -> Vec<(f64, f64)> {
        let sure = self.found.iter().filter(|f| f.p < MOVED_P);
        sure.map(|f| f.place.wide_m).collect()
    }

    /// Share of draws without a movement that show at least so much.
    pub(super) fn p(&self, evidence: f64) -> f64 {
        let below = self.null.partition_point(|e| *e < evidence);
        (self.null.len() - below) as f64 / self.null.len().max(1) as f64
    }

    /// The evidence that one line in so many shows where nothing moved.
    pub(super) fn bar(&self, p: f64) -> f64 {
        let at = ((1.0 - p) * self.null.len() as f64).ceil() as usize;
        self.null
            .get(at.min(self.null.len().saturating_sub(1)))
            .copied()
            .unwrap_or(f64::INFINITY)
    }

    /// What is told of a movement at a place, the others masked.
    pub(super) fn estimate(
        &self,
        found: &FoundMovement,
        place: &MovementPlace,
    ) -> MovementEstimate {
        MovementEstimate::of(&self.windows[found.window], place, &self.others(found))
    }

    /// All of what moved beside a movement, m.
    fn others(&self, found: &FoundMovement) -> Vec<(f64, f64)> {
        let others = (self.found.iter()).filter(|f| f.place.reach_m != found.place.reach_m);
        others.map(|f| f.place.wide_m).collect()
    }

    /// Where the movement may be instead, and how likely that is of both: what a step shows, a fall on one side of it may be or a rise on the other.
    pub(super) fn instead(&self, found: &FoundMovement) -> Option<(MovementPlace, f64)> {
        let mut window = self.windows[found.window].clone();
        let others = self.others(found);
        for other in &others {
            window.mask(*other);
        }
        let here = found.place.peak_m;
        let is_out = |t: &Template| {
            let (from, to) = found.place.reach_m;
            t.at(here) < 0.05
                && (t.middle_m < from || t.middle_m > to)
                && is_clear(&window, t, &others)
        };
        let (best, _) = window.likeliest(is_out)?;
        let there = window.bank[best].middle_m;
        let inside = window.log_evidence(|t| t.at(here) > 0.2 && is_clear(&window, t, &others));
        let outside = window.log_evidence(|t| is_out(t) && t.at(there) > 0.2);
        let place = curve(&window, best, is_out)?;
        Some((place, 1.0 / (1.0 + math::exp(inside - outside))))
    }

    /// The window whose middle a station is in.
    pub(super) fn window_at(&self, station_m: f64) -> usize {
        let off = |w: &ScanWindow| {
            let (a, b) = (w.node_m[0], w.node_m[w.node_m.len() - 1]);
            (station_m - 0.5 * (a + b)).abs()
        };
        (0..self.windows.len())
            .min_by(|a, b| off(&self.windows[*a]).total_cmp(&off(&self.windows[*b])))
            .unwrap_or(0)
    }

    /// Finds one movement after the other: the likeliest, then what is left with its reach taken out.
    fn look(&mut self) {
        let mut masked: Vec<(f64, f64)> = Vec::new();
        let mut faces: Vec<ScanWindow> = self.windows.clone();
        while masked.len() < MOST_MOVED {
            let clear = |w: &ScanWindow, t: &Template| is_clear(w, t, &masked);
            let evidence: f64 = faces
                .iter()
                .map(|w| w.evidence(w.seen(), |t| clear(w, t)))
                .sum();
            let p = self.p(evidence);
            if p >= MAY_P {
                break;
            }
            let best = faces
                .iter()
                .enumerate()
                .filter_map(|(i, w)| w.likeliest(|t| clear(w, t)).map(|(k, log)| (log, i, k)))
                .max_by(|a, b| a.0.total_cmp(&b.0));
            let Some((_, window, k)) = best else { break };
            let closer = faces[window].closer(k);
            let Some(place) = closer
                .likeliest(|t| clear(&closer, t))
                .and_then(|(k, _)| curve(&closer, k, |t| clear(&closer, t)))
            else {
                break;
            };
            let found = FoundMovement { place, window, p };
            masked.push(place.wide_m);
            // The skirt of a movement whose foot was taken too near is no movement of its own.
            match self.found.iter_mut().find(|f| place.is_skirt_of(&f.place)) {
                Some(whole) => {
                    let (a, b) = whole.place.wide_m;
                    whole.place.wide_m = (a.min(place.wide_m.0), b.max(place.wide_m.1));
                }
                None => self.found.push(found),
            }
            for w in &mut faces {
                w.mask(place.wide_m);
            }
        }
        self.found
            .sort_by(|a, b| a.place.reach_m.0.total_cmp(&b.place.reach_m.0));
    }
}

/// Whether a template lies clear of some reaches.
fn is_clear(window: &ScanWindow, t: &Template, masked: &[(f64, f64)]) -> bool {
    let last = window.node_m[t.first + t.values.len() - 1];
    let first = window.node_m[t.first];
    masked.iter().all(|(from, to)| last < *from || first > *to)
}

/// Strands of an axis, and how much wider they err than they say.
type Axled<'a> = (&'a Strands, [VarianceFactors; 2]);

/// Windows along the line.
#[derive(Clone)]
struct WindowLayout {
    windows: Vec<(Vec<f64>, WindowTarget)>,
    stable_m: Vec<(f64, f64)>,
}

impl WindowLayout {
    fn of(up: &Strands, alignment: &Alignment) -> Self {
        let (from_m, to_m) = (alignment.from_m, alignment.to_m);
        let line_m = (to_m - from_m).max(1e-3);
        let mut pegs: Vec<f64> = up
            .iter()
            .flatten()
            .filter(|s| !s.wanders)
            .flat_map(|s| s.spots.iter().map(|s| s.station_m))
            .collect();
        pegs.sort_by(f64::total_cmp);
        pegs.dedup_by(|b, a| *b - *a < 0.3);
        let along: Vec<f64> = (up[1].iter().filter(|s| s.wanders))
            .map(|s| s.along_sd_m)
            .collect();
        // What the walks are off along the line on the mean moves a place and blurs nothing.
        let walks = along.len().max(1) as f64;
        let blur_m = along.iter().sum::<f64>() / walks * ((walks - 1.0) / walks).sqrt();
        let count = if line_m <= WINDOW_M {
            1.0
        } else {
            ((line_m - 2.0 * FLANK_M) / (WINDOW_M - 2.0 * FLANK_M)).ceil()
        };
        let core = (line_m - 2.0 * FLANK_M).max(line_m / count) / count;
        let windows = (0..count as usize)
            .map(|i| {
                let i = i as f64;
                let (mut a, mut b) = (
                    from_m + FLANK_M + i * core,
                    from_m + FLANK_M + (i + 1.0) * core,
                );
                let (low, high) = (a - FLANK_M, b + FLANK_M);
                if i == 0.0 {
                    a = from_m;
                }
                if i + 1.0 >= count {
                    b = to_m;
                }
                let (low, high) = (
                    low.max(from_m),
                    if count > 1.0 { high.min(to_m) } else { to_m },
                );
                let longest_m = if alignment.stable_m.is_empty() {
                    0.5 * (high - low)
                } else {
                    high - low
                };
                (
                    nodes(low, high, &pegs),
                    WindowTarget {
                        from_m: a,
                        to_m: b,
                        line_m,
                        longest_m,
                        blur_m,
                        place_sd_m: alignment.station_sd_m,
                    },
                )
            })
            .collect();
        Self {
            windows,
            stable_m: alignment.stable_m.clone(),
        }
    }

    /// First and last node, m.
    fn ends_m(&self) -> Option<(f64, f64)> {
        let first = self.windows.first()?.0.first()?;
        Some((*first, *self.windows.last()?.0.last()?))
    }

    /// Nodes of the windows that the noise is told from. Whole ones: the sum of slow errors over a long reach shows in no short piece.
    fn asked(&self) -> Vec<&[f64]> {
        let every = self.windows.len().div_ceil(ASKED).max(1);
        let nodes = self.windows.iter().map(|(node_m, _)| node_m.as_slice());
        nodes.step_by(every).collect()
    }

    fn search(&self, up: Axled<'_>, side: Option<Axled<'_>>, bend: f64) -> Option<SearchLine> {
        let mut draws = Rng::new(20);
        let mut windows = Vec::with_capacity(self.windows.len());
        for (node_m, wanted) in &self.windows {
            let on = |axled: Axled<'_>, bend: f64| held(axled.0, node_m, axled.1, bend);
            let side: Option<NodeDifferences> = side.and_then(|s| on(s, BEND_ASIDE));
            let Some(up) = on(up, bend) else { continue };
            let stable = |s: f64| self.stable_m.iter().all(|(a, b)| s < *a || s > *b);
            let mut window = ScanWindow::new(node_m.clone(), *wanted, stable, up, side);
            window.draw_null(&mut draws, DRAWS);
            windows.push(window);
        }
        if windows.is_empty() {
            return None;
        }
        let mut null: Vec<f64> = (0..DRAWS)
            .map(|j| windows.iter().map(|w| w.null[j]).sum())
            .collect();
        null.sort_by(f64::total_cmp);
        let mut search = SearchLine {
            windows,
            null,
            found: Vec::new(),
        };
        search.look();
        Some(search)
    }
}

/// Even nodes with the pegs among them.
fn nodes(low: f64, high: f64, pegs: &[f64]) -> Vec<f64> {
    let step = ((high - low) / 24.0).clamp(1.5, NODE_M);
    let count = ((high - low) / step).ceil().max(3.0);
    let step = (high - low) / count;
    let near = |s: f64| {
        let at = pegs.partition_point(|p| *p < s - 0.35 * step);
        pegs.get(at).is_some_and(|p| *p <= s + 0.35 * step)
    };
    let mut out: Vec<f64> = (0..=count as usize)
        .map(|i| low + step * i as f64)
        .filter(|s| *s <= low || *s >= high || !near(*s))
        .chain(
            pegs.iter()
                .copied()
                .filter(|p| *p > low + 0.3 && *p < high - 0.3),
        )
        .collect();
    out.sort_by(f64::total_cmp);
    out
}

/// How strongly the ground bends, m2/m3, from the earlier line between its points: the middle of the squares of its second differences.
fn bend(before: &Route) -> f64 {
    let (s, z) = (&before.heights.station_m, &before.heights.mean_m);
    let mut all: Vec<f64> = s
        .windows(3)
        .zip(z.windows(3))
        .filter_map(|(s, z)| match (s, z) {
            ([a, b, c], [x, y, w]) if b - a > 0.1 && c - b > 0.1 => {
                let turn = (w - y) / (c - b) - (y - x) / (b - a);
                Some(3.0 * turn * turn / (c - a))
            }
            _ => None,
        })
        .collect();
    all.sort_by(f64::total_cmp);
    // A smoothed line shows less of it than there is, and rough ground stands beside smooth.
    (10.0 * all.get(all.len() / 2).copied().unwrap_or(0.0)).clamp(1e-3, 0.05)
}
