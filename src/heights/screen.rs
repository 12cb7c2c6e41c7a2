#![expect(
    clippy::indexing_slicing,
    reason = "a kernel over unknowns whose places the layout has fixed"
)]

//! Whether other errors can explain the readings well enough to be weighed at all.
//!
//! Most errors that are offered are far off. So the readings are first followed one by one, which gives the logarithm of their density up to any place, and that is left as soon as what is still to come cannot make up for what is lost.

use super::chain::StepEntry;
use super::filter::{
    ErrorPassage, FilterState, IN_BOUNDS, StateReading, at_first, go_on, propagate, see, update,
};
use super::layout::{Layout, WalkPiece};
use super::onward::{LEAST_GAP_S, LEAST_SHARE, LN_2PI};
use crate::numeric::math;
use crate::receiver::{Errors, STATES};

/// Height and slope at both ends of a step.
const GROUND: usize = 4;

/// So far below what is asked for a density must lie to be sure of it: rounding is far less.
const MARGIN: f64 = 1e-2;

/// Times that differ by less are one, s.
const SAME_TIME_S: f64 = 1e-9;

/// The readings in the order in which they are followed.
#[derive(Debug, Clone)]
pub(super) struct OfferScreen {
    steps: Vec<ScreenStep>,
    sights: Vec<Sight>,
    /// Times that lie between two readings of a walk: whose, and how long, s.
    gaps_s: Vec<(usize, f64)>,
    /// Parts of such times that are drawn out to the least that is told apart, s.
    parts_s: Vec<f64>,
    /// Unknowns at once.
    unknowns: usize,
    chains: usize,
    /// Height and slope at the first node beforehand.
    first: [f64; 2],
    /// What the errors do over each of the times, where it was asked.
    passages: Vec<Option<ErrorPassage>>,
    /// The most that the readings from a step on can give, with nothing behind the last.
    most: Vec<f64>,
}

#[derive(Debug, Clone)]
struct ScreenStep {
    length_m: f64,
    /// Where its readings end in the list.
    to: usize,
}

/// A reading, or a known height.
#[derive(Debug, Clone)]
struct Sight {
    entry: StepEntry,
    walk: Option<WalkSight>,
    /// Place of its offset, and the variance of that where it begins here, m2.
    offset: Option<(usize, Option<f64>)>,
}

/// Whose error is in it.
#[derive(Debug, Clone)]
struct WalkSight {
    chain: usize,
    /// First place of the error.
    at: usize,
    since: SinceReading,
}

/// The time since the reading before.
#[derive(Debug, Clone, PartialEq)]
enum SinceReading {
    /// There is none: the error begins.
    Begins,
    /// None has passed.
    Same,
    /// One of the times, and which parts of it are drawn out where they are too short: from, to.
    After(usize, (usize, usize)),
}

/// Places that are given out and taken back, step by step.
struct FreePlaces {
    free: Vec<usize>,
    width: usize,
    given: usize,
}

impl FreePlaces {
    fn of(width: usize) -> Self {
        Self {
            free: Vec::new(),
            width,
            given: 0,
        }
    }

    fn take(&mut self) -> usize {
        self.free.pop().unwrap_or_else(|| {
            self.given += 1;
            (self.given - 1) * self.width
        })
    }
}

/// The first and the last step in which each of so many things is met.
fn spans(count: usize, met: impl Iterator<Item = (usize, usize)>) -> Vec<Option<(usize, usize)>> {
    let mut spans: Vec<Option<(usize, usize)>> = vec![None; count];
    for (step, thing) in met {
        let span = &mut spans[thing];
        *span = Some(span.map_or((step, step), |(from, _)| (from, step)));
    }
    spans
}

impl OfferScreen {
    pub(super) fn of(layout: &Layout, first_height_m: f64) -> Self {
        let mut out = Self {
            steps: Vec::with_capacity(layout.steps.len()),
            sights: Vec::new(),
            gaps_s: Vec::new(),
            parts_s: Vec::new(),
            unknowns: 0,
            chains: layout.chains,
            first: [
                first_height_m - layout.base_at(layout.node_m[0]),
                -layout.base_slope,
            ],
            passages: Vec::new(),
            most: Vec::new(),
        };
        let steps = || layout.steps.iter().enumerate();
        let walks = spans(
            layout.chains,
            steps().flat_map(|(j, s)| s.pieces.iter().map(move |p| (j, p.chain))),
        );
        let offsets = spans(
            layout.offset_sd_m.len(),
            steps().flat_map(|(j, s)| {
                let read = s.pieces.iter().flat_map(|p| &p.entries).chain(&s.fixed);
                read.filter_map(move |e| Some((j, e.datum?)))
            }),
        );
        let (mut errors, mut datums) = (FreePlaces::of(STATES), FreePlaces::of(1));
        let mut error_at = vec![0; walks.len()];
        let mut datum_at: Vec<Option<usize>> = vec![None; offsets.len()];
        let mut since = vec![(0.0, Vec::new()); walks.len()];
        for (j, step) in steps() {
            for piece in &step.pieces {
                if walks[piece.chain].is_some_and(|s| s.0 == j) {
                    error_at[piece.chain] = errors.take();
                }
                let walk = (piece.chain, error_at[piece.chain]);
                out.follow(piece, walk, &mut since[piece.chain], &mut |sight| {
                    sight.offset = datum(&sight.entry, layout, &mut datum_at, &mut datums);
                });
            }
            for entry in &step.fixed {
                out.sights.push(Sight {
                    entry: *entry,
                    walk: None,
                    offset: datum(entry, layout, &mut datum_at, &mut datums),
                });
            }
            let ends = |span: &Option<(usize, usize)>| span.is_some_and(|s| s.1 == j);
            for (at, _) in error_at.iter().zip(&walks).filter(|w| ends(w.1)) {
                errors.free.push(*at);
            }
            for (at, _) in datum_at.iter().zip(&offsets).filter(|o| ends(o.1)) {
                datums.free.extend(at);
            }
            out.steps.push(ScreenStep {
                length_m: step.length_m,
                to: out.sights.len(),
            });
        }
        // the ground first, then the errors, then the offsets
        let to_datums = GROUND + STATES * errors.given;
        for sight in &mut out.sights {
            if let Some(walk) = &mut sight.walk {
                walk.at += GROUND;
            }
            if let Some((at, _)) = &mut sight.offset {
                *at += to_datums;
            }
        }
        out.unknowns = to_datums + datums.given;
        out
    }

    /// The readings of a walk in one step. `since`: the time since its last one that is as it is, s, and those behind it that may be drawn out.
    fn follow(
        &mut self,
        piece: &WalkPiece,
        (chain, at): (usize, usize),
        since: &mut (f64, Vec<f64>),
        offset: &mut impl FnMut(&mut Sight),
    ) {
        for (n, entry) in piece.entries.iter().enumerate() {
            let from = self.parts_s.len();
            let mut gap_s = entry.gap_s;
            if n == 0 {
                gap_s += since.0 + since.1.iter().sum::<f64>();
                self.parts_s.append(&mut since.1);
                self.parts_s.push(entry.gap_s);
            }
            let since = match (n, piece.error_in) {
                (0, None) => SinceReading::Begins,
                _ if n == 0 || gap_s > 0.0 => {
                    SinceReading::After(self.gap(chain, gap_s), (from, self.parts_s.len()))
                }
                _ => SinceReading::Same,
            };
            let mut sight = Sight {
                entry: *entry,
                walk: Some(WalkSight { chain, at, since }),
                offset: None,
            };
            offset(&mut sight);
            self.sights.push(sight);
        }
        if piece.entries.is_empty() {
            since.1.push(piece.tail_s);
        } else {
            *since = (piece.tail_s.max(0.0), Vec::new());
        }
    }

    /// Index of a time of a walk.
    fn gap(&mut self, chain: usize, gap_s: f64) -> usize {
        let same = |g: &(usize, f64)| g.0 == chain && (g.1 - gap_s).abs() < SAME_TIME_S;
        self.gaps_s.iter().position(same).unwrap_or_else(|| {
            self.gaps_s.push((chain, gap_s));
            self.gaps_s.len() - 1
        })
    }

    /// Whether the log evidence under errors, one a walk, and roughness, one a step, may be as high as that.
    pub(super) fn may_reach(
        &mut self,
        errors: &[Errors],
        roughness: impl Fn(usize) -> f64,
        least: f64,
    ) -> bool {
        let least = least - MARGIN;
        self.passages.clear();
        self.passages.resize(self.gaps_s.len(), None);
        self.bound(errors);
        if self.most.first().is_some_and(|most| *most < least) {
            return false;
        }
        match self.unknowns {
            0..=8 => self.filter::<8>(errors, roughness, least),
            9..=12 => self.filter::<12>(errors, roughness, least),
            13..=16 => self.filter::<16>(errors, roughness, least),
            17..=24 => self.filter::<24>(errors, roughness, least),
            25..=40 => self.filter::<40>(errors, roughness, least),
            _ => true,
        }
    }

    /// What an error does since the reading before; nothing where no time has passed.
    fn passage(&mut self, walk: &WalkSight, errors: &Errors) -> Option<ErrorPassage> {
        let SinceReading::After(gap, (from, to)) = walk.since else {
            return None;
        };
        let (_, gap_s) = self.gaps_s[gap];
        let least_s = (LEAST_SHARE / errors.per_s()).max(LEAST_GAP_S);
        let short = |part: &f64| (least_s - part).max(0.0);
        let drawn_out: f64 = self.parts_s[from..to].iter().map(short).sum();
        if drawn_out > 0.0 {
            return Some(ErrorPassage::of(errors, gap_s + drawn_out));
        }
        let known = &mut self.passages[gap];
        Some(*known.get_or_insert_with(|| ErrorPassage::of(errors, gap_s)))
    }

    /// The most that the readings from each step on can give, whatever they are: each varies at least as much as it would were the ground and the offsets known, and everything of its own walk before it.
    fn bound(&mut self, errors: &[Errors]) {
        let sights = std::mem::take(&mut self.sights);
        let mut walks = vec![[0.0; 6]; self.chains];
        let mut read = sights.iter();
        let mut from = 0;
        self.most.clear();
        for step in 0..self.steps.len() {
            let to = self.steps[step].to;
            let (mut log, mut product) = (0.0, 1.0);
            for sight in read.by_ref().take(to - from) {
                let variance = match &sight.walk {
                    None => sight.entry.count,
                    Some(walk) => {
                        let own = errors.get(walk.chain).copied().unwrap_or_default();
                        let known = &mut walks[walk.chain];
                        if walk.since == SinceReading::Begins {
                            *known = at_first(&own);
                        } else if let Some(passage) = self.passage(walk, &own) {
                            go_on(known, &passage);
                        }
                        see(known, sight.entry.variance(&own))
                    }
                };
                product *= variance;
                if !IN_BOUNDS.contains(&product) {
                    log += math::ln(product);
                    product = 1.0;
                }
            }
            log += math::ln(product) + (to - from) as f64 * LN_2PI;
            self.most.push(-0.5 * log);
            from = to;
        }
        self.most.push(0.0);
        for step in (0..self.steps.len()).rev() {
            self.most[step] += self.most[step + 1];
        }
        self.sights = sights;
    }

    /// Follows the readings with the ground, the errors and the offsets unknown.
    fn filter<const N: usize>(
        &mut self,
        errors: &[Errors],
        roughness: impl Fn(usize) -> f64,
        least: f64,
    ) -> bool {
        let sights = std::mem::take(&mut self.sights);
        let mut state = FilterState::<N>::at(self.first);
        let mut read = sights.iter();
        let mut from = 0;
        let mut may = true;
        for step in 0..self.steps.len() {
            let ScreenStep { length_m, to } = self.steps[step];
            state.walk_on(step > 0, length_m, roughness(step));
            for sight in read.by_ref().take(to - from) {
                let mut variance = sight.entry.count;
                if let Some(walk) = &sight.walk {
                    let own = errors.get(walk.chain).copied().unwrap_or_default();
                    if walk.since == SinceReading::Begins {
                        let [fast, slow, _, _, _, rate] = at_first(&own);
                        for (i, v) in [fast, slow, rate].into_iter().enumerate() {
                            state.begin(walk.at + i, v);
                        }
                    } else if let Some(passage) = self.passage(walk, &own) {
                        propagate(&mut state, walk.at, &passage);
                    }
                    variance = sight.entry.variance(&own);
                }
                if let Some((at, Some(begins))) = sight.offset {
                    state.begin(at, begins);
                }
                let reading = StateReading {
                    height_m: sight.entry.height_m,
                    weight: sight.entry.weight,
                    error: sight.walk.as_ref().map(|w| w.at),
                    offset: sight.offset.map(|o| o.0),
                };
                update(&mut state, &reading, variance);
            }
            from = to;
            if state.log() + self.most[step + 1] < least {
                may = false;
                break;
            }
        }
        self.sights = sights;
        may
    }
}

/// Place of the offset of a reading, with its variance where it is met for the first time.
fn datum(
    entry: &StepEntry,
    layout: &Layout,
    at: &mut [Option<usize>],
    places: &mut FreePlaces,
) -> Option<(usize, Option<f64>)> {
    let datum = entry.datum?;
    let sd_m = layout.offset_sd_m[datum];
    let place = &mut at[datum];
    let begins = place.is_none().then_some(sd_m * sd_m);
    Some((*place.get_or_insert_with(|| places.take()), begins))
}
