//! Both surveys over the whole line: windows, the noise they share, what moved in them.
#![expect(
    clippy::indexing_slicing,
    reason = "indices are made here from the lengths of the same lists"
)]

use super::alignment::Alignment;
use super::bank::{Template, WindowTarget};
use super::estimate::{MovementEstimate, MovementPlace, curve};
use super::noise::{FittedFactors, fitted};
use super::scan::ScanWindow;
use super::strand::{Axis, Strands, strands};
use super::weigh::{NodeDifferences, VarianceFactors, held};
use crate::numeric::Rng;
use crate::route::Route;

/// Usual distance of nodes, m.
const NODE_M: f64 = 5.0;
/// A line up to this long is one window, m; else windows of this length, each answering for its middle.
const WINDOW_M: f64 = 750.0;
/// How much of a window on each side another one answers for, m.
const FLANK_M: f64 = 190.0;
/// Errors of the surveys that are about as likely as the likeliest, and draws of each in which nothing moved.
const NOISES: usize = 10;
const DRAWS: usize = 1000;
/// On a long line fewer errors: windows times errors are held to this, but not to less than four.
const MOST_LAID: usize = 40;
/// Pieces of the line that the noise is told from: so many, of this length, m.
const ASKED: usize = 4;
const PIECE_M: f64 = 210.0;
/// How strongly a line bends aside, m2/m3.
const BEND_ASIDE: f64 = 0.05;
/// Twice the logarithm of odds from which one form of error is taken for another.
const CLEARLY: f64 = 2.0;
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
    /// The same with other errors that are about as likely.
    pub(super) noises: Vec<LineNoise>,
    pub(super) found: Vec<FoundMovement>,
}

/// The line with errors that may be.
pub(super) struct LineNoise {
    pub(super) windows: Vec<ScanWindow>,
    /// Evidence of the whole line, of each draw in which nothing moved, in order.
    null: Vec<f64>,
}

impl LineNoise {
    fn of(mut windows: Vec<ScanWindow>, draws: &mut Rng, count: usize) -> Self {
        for window in &mut windows {
            window.draw_null(draws, count);
        }
        let mut null: Vec<f64> = (0..count)
            .map(|j| windows.iter().map(|w| w.null[j]).sum())
            .collect();
        null.sort_by(f64::total_cmp);
        Self { windows, null }
    }

    /// Share of its draws without a movement that show at least so much.
    fn p(&self, evidence: f64) -> f64 {
        let below = self.null.partition_point(|e| *e < evidence);
        (self.null.len() - below) as f64 / self.null.len().max(1) as f64
    }
}

/// A template with nothing of it in what was taken out already.
fn clear(masked: &[(f64, f64)], w: &ScanWindow, t: &Template) -> bool {
    let (a, b) = (w.node_m[t.first], w.node_m[t.first + t.values.len() - 1]);
    masked.iter().all(|(from, to)| b < *from || a > *to)
}

impl SearchLine {
    /// `None` where the surveys have no witness in common reach.
    pub(super) fn of(before: &Route, after: &Route, alignment: &Alignment) -> Option<Self> {
        let up = strands(before, after, alignment, Axis::Up)?;
        let layout = WindowLayout::of(&up, alignment);
        let side =
            strands(before, after, alignment, Axis::Aside).map(|s| wandering(s, &layout.asked()));
        let bend = bend(before);
        let mut moved: Vec<(f64, f64)> = Vec::new();
        let mut search = None;
        // What moved must not pass for error: the noise is told again without it.
        for round in 0..2 {
            let asked = layout.asked();
            let aside = side
                .as_ref()
                .map(|s| fitted(s, &asked, Axis::Aside, BEND_ASIDE, &moved, layout.noises()));
            let along = aside.as_ref().map(|a| a.scales);
            let upward = fitted(
                &erring_along(&up, along),
                &asked,
                Axis::Up,
                bend,
                &moved,
                layout.noises(),
            );
            let found = layout.search((&up, &upward), side.as_ref().zip(aside.as_ref()), bend)?;
            let again: Vec<(f64, f64)> = found
                .found
                .iter()
                .filter(|f| f.p < MOVED_P)
                .map(|f| f.place.wide_m)
                .collect();
            search = Some(found);
            if again.is_empty() || round == 1 {
                break;
            }
            moved = again;
        }
        search
    }

    /// The evidence that one line in so many shows where nothing moved.
    pub(super) fn bar(&self, p: f64) -> f64 {
        let mut null: Vec<f64> = self.noises.iter().flat_map(|n| &n.null).copied().collect();
        null.sort_by(f64::total_cmp);
        let at = ((1.0 - p) * null.len() as f64).ceil() as usize;
        null.get(at.min(null.len().saturating_sub(1)))
            .copied()
            .unwrap_or(f64::INFINITY)
    }

    /// What is told of a movement, the others masked.
    pub(super) fn estimate(&self, found: &FoundMovement) -> MovementEstimate {
        let others: Vec<(f64, f64)> = self
            .found
            .iter()
            .filter(|f| f.place.reach_m != found.place.reach_m)
            .map(|f| f.place.wide_m)
            .collect();
        MovementEstimate::of(&self.windows[found.window], &found.place, &others)
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
        let mut noises: Vec<Vec<ScanWindow>> =
            self.noises.iter().map(|n| n.windows.clone()).collect();
        while masked.len() < MOST_MOVED {
            let clear = |w: &ScanWindow, t: &Template| clear(&masked, w, t);
            // The errors are not known but as far as the surveys show them: the mean over what they may be.
            let share = |(noise, windows): (&LineNoise, &Vec<ScanWindow>)| {
                let evidence = windows
                    .iter()
                    .map(|w| w.evidence(w.seen(), |t| clear(w, t)));
                noise.p(evidence.sum())
            };
            let shares = self.noises.iter().zip(&noises).map(share);
            let p = shares.sum::<f64>() / self.noises.len().max(1) as f64;
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
            for w in faces.iter_mut().chain(noises.iter_mut().flatten()) {
                w.mask(place.wide_m);
            }
        }
        self.found
            .sort_by(|a, b| a.place.reach_m.0.total_cmp(&b.place.reach_m.0));
    }
}

/// Strands of an axis, and how much wider they err than they say.
type Axled<'a> = (&'a Strands, &'a FittedFactors);

/// Strands upwards with the error along the line as it was fitted sideways.
fn erring_along(up: &Strands, scales: Option<[VarianceFactors; 2]>) -> Strands {
    let mut out = up.clone();
    for (strands, scale) in out.iter_mut().zip(scales.into_iter().flatten()) {
        for strand in strands.iter_mut().filter(|s| s.wanders) {
            strand.along_sd_m *= scale.slow.sqrt();
            strand.along_time_s *= scale.time;
        }
    }
    out
}

/// Windows along the line.
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
        let wandering = || up[1].iter().filter(|s| s.wanders);
        let blur_m =
            wandering().map(|s| s.along_sd_m).sum::<f64>() / wandering().count().max(1) as f64;
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
                    },
                )
            })
            .collect();
        Self {
            windows,
            stable_m: alignment.stable_m.clone(),
        }
    }

    /// How many errors that are about as likely are laid.
    fn noises(&self) -> usize {
        (MOST_LAID / self.windows.len().max(1)).clamp(4, NOISES)
    }

    /// Pieces of the line that the noise is told from: what a movement is told against wanders over a few tens of metres, so pieces show it as well as the whole.
    fn asked(&self) -> Vec<&[f64]> {
        let all = self.windows.iter().flat_map(|(node_m, _)| {
            let length_m =
                node_m.last().copied().unwrap_or(0.0) - node_m.first().copied().unwrap_or(0.0);
            let count = (length_m / PIECE_M).ceil().max(1.0) as usize;
            node_m.chunks(node_m.len().div_ceil(count).max(4))
        });
        let pieces: Vec<&[f64]> = all.filter(|p| p.len() > 3).collect();
        let every = pieces.len().div_ceil(ASKED).max(1);
        pieces.into_iter().step_by(every).collect()
    }

    fn search(
        &self,
        (up, upward): Axled<'_>,
        side: Option<Axled<'_>>,
        bend: f64,
    ) -> Option<SearchLine> {
        let likeliest = side.map(|(_, f)| f.scales);
        let windows = self.laid(up, upward.scales, side.map(|s| s.0).zip(likeliest), bend);
        let mut draws = Rng::new(20);
        let count = DRAWS.div_ceil(upward.draws.len().max(1));
        let noises: Vec<LineNoise> = upward
            .draws
            .iter()
            .enumerate()
            .filter_map(|(i, scales)| {
                let aside = side.map(|(s, f)| (s, f.draws.get(i).copied().unwrap_or(f.scales)));
                let other = self.laid(up, *scales, aside, bend);
                (other.len() == windows.len()).then(|| LineNoise::of(other, &mut draws, count))
            })
            .collect();
        // Without them nothing says what a line shows where nothing moved.
        if windows.is_empty() || noises.is_empty() {
            return None;
        }
        let mut search = SearchLine {
            windows,
            noises,
            found: Vec::new(),
        };
        search.look();
        Some(search)
    }

    /// The windows with some errors.
    fn laid(
        &self,
        up: &Strands,
        scales: [VarianceFactors; 2],
        side: Option<(&Strands, [VarianceFactors; 2])>,
        bend: f64,
    ) -> Vec<ScanWindow> {
        let up = erring_along(up, side.map(|s| s.1));
        let on = |(node_m, wanted): &(Vec<f64>, WindowTarget)| {
            let side: Option<NodeDifferences> =
                side.and_then(|(s, scales)| held(s, node_m, scales, BEND_ASIDE));
            let up = held(&up, node_m, scales, bend)?;
            let stable = |s: f64| self.stable_m.iter().all(|(a, b)| s < *a || s > *b);
            Some(ScanWindow::new(node_m.clone(), *wanted, stable, up, side))
        };
        self.windows.iter().filter_map(on).collect()
    }
}

/// The sideways error of receivers as a random walk that is held, or as a smooth one where that is clearly likelier: a receiver that filters its positions has hardly any quick error, and what it wanders over tens of metres would pass for movement.
fn wandering(rough: Strands, asked: &[&[f64]]) -> Strands {
    let mut smooth = rough.clone();
    for slow in smooth.iter_mut().flatten().flat_map(|s| &mut s.slow) {
        slow.smooth = true;
    }
    let cost = |s: &Strands| fitted(s, asked, Axis::Aside, BEND_ASIDE, &[], 0).cost;
    if cost(&smooth) + CLEARLY < cost(&rough) {
        smooth
    } else {
        rough
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
