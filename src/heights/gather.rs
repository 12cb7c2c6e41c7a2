#![expect(
    clippy::indexing_slicing,
    reason = "a kernel over fronts whose sizes the layout has fixed"
)]

use super::chain::StepEntry;
use super::layout::{Layout, WalkPiece};
use super::onward::{LN_2PI, Onward, SIDES, conditional, pass, side_for, take_first};
use crate::numeric::{abreast, math};
use crate::receiver::{Errors, STATES};
use std::sync::Arc;

/// How little is known of the height and the slope at the first node beforehand, m and m per m.
pub(super) const FIRST_HEIGHT_SD_M: f64 = 100.0;
pub(super) const FIRST_SLOPE_SD: f64 = 1.0;

/// Lines of fewer steps are gathered by one hand: to call another costs more than it does.
const WORTH_A_HAND: usize = 60;

/// Everything known but the roughness, gathered on the steps: for each step the quadratic form over its front, and the normalisers.
///
/// A front is a square matrix ([`side_of`]), upper half: information, right-hand side in the last column, twice the negative constant in the corner.
#[derive(Debug, Clone, Default)]
pub(super) struct GatheredForms {
    pub(super) forward: Vec<f64>,
    /// The same in the order of the other direction; empty until it is asked for.
    pub(super) backward: Vec<f64>,
    pub(super) log_scale: f64,
    chains: Vec<Arc<Threaded>>,
}

/// What one walk's readings say under given errors, piece by piece.
#[derive(Debug, Clone)]
struct Threaded {
    errors: Errors,
    pieces: Vec<Said>,
    /// Positions in the front, right-hand side last, piece after piece.
    places: Vec<usize>,
    /// The upper halves over them.
    forms: Vec<f64>,
}

/// What one piece says: the logarithm of its normaliser, and how many places it speaks of.
#[derive(Debug, Clone, Copy)]
struct Said {
    log: f64,
    places: usize,
}

impl GatheredForms {
    pub(super) fn new(layout: &Layout, errors: &[Errors], first_height_m: f64) -> Self {
        let mut out = Self::default();
        out.gather(layout, errors, first_height_m, None);
        out
    }

    /// Works the readings into the steps anew for other errors, one a walk; walks that err as in `like` are taken from there.
    pub(super) fn gather(
        &mut self,
        layout: &Layout,
        errors: &[Errors],
        first_height_m: f64,
        like: Option<&Self>,
    ) {
        let whole = layout.start.last().copied().unwrap_or(0);
        self.backward.clear();
        self.forward.clear();
        self.forward.resize(whole, 0.0);
        let chains: Vec<usize> = (0..layout.chains).collect();
        self.chains = abreast(&chains, layout.steps.len() >= WORTH_A_HAND, |&chain| {
            let errors = errors.get(chain).copied().unwrap_or_default();
            let known = like.and_then(|l| l.chains.get(chain));
            known
                .filter(|known| known.errors == errors)
                .map_or_else(|| Arc::new(Threaded::of(layout, chain, errors)), Arc::clone)
        });
        let mut log = 0.0;
        let mut next = vec![(0, 0, 0); layout.chains];
        for (j, step) in layout.steps.iter().enumerate() {
            let side = step.side();
            let front = &mut self.forward[layout.start[j]..layout.start[j + 1]];
            let own = step.own();
            let ground = [own, own + 1, own + 2, own + 3];
            if j == 0 {
                let mean = [
                    first_height_m - layout.base_at(layout.node_m[0]),
                    -layout.base_slope,
                ];
                for (i, (m, sd)) in mean
                    .into_iter()
                    .zip([FIRST_HEIGHT_SD_M, FIRST_SLOPE_SD])
                    .enumerate()
                {
                    let info = 1.0 / (sd * sd);
                    let at = own + i;
                    front[at * side + at] += info;
                    front[at * side + side - 1] += info * m;
                    front[side * side - 1] += info * m * m;
                    log += 0.5 * (math::ln(info) - LN_2PI);
                }
            }
            for &(at, sd) in &step.born {
                front[at * side + at] += 1.0 / (sd * sd);
                log -= math::ln(sd) + 0.5 * LN_2PI;
            }
            for entry in &step.fixed {
                log += fixed(front, side, ground, entry);
            }
            for piece in &step.pieces {
                let chain = &self.chains[piece.chain];
                let (nth, place, form) = &mut next[piece.chain];
                let said = chain.pieces[*nth];
                let n = said.places;
                let places = &chain.places[*place..*place + n];
                let forms = &chain.forms[*form..*form + n * n];
                (*nth, *place, *form) = (*nth + 1, *place + n, *form + n * n);
                lay(front, side, places, forms);
                log += said.log;
            }
        }
        self.log_scale = log;
    }

    /// Has the forms ready for the other direction.
    pub(super) fn turn(&mut self, layout: &Layout) {
        if !self.backward.is_empty() {
            return;
        }
        let whole = layout.start_back.last().copied().unwrap_or(0);
        self.backward.resize(whole, 0.0);
        for (j, step) in layout.steps.iter().enumerate() {
            turn(
                &self.forward[layout.start[j]..layout.start[j + 1]],
                &mut self.backward[layout.start_back[j]..layout.start_back[j + 1]],
                step.side(),
                step.side_back(),
                &step.turned,
            );
        }
    }
}

impl Threaded {
    fn of(layout: &Layout, chain: usize, errors: Errors) -> Self {
        let mut out = Self {
            errors,
            pieces: Vec::new(),
            places: Vec::new(),
            forms: Vec::new(),
        };
        let mut scratch = Vec::new();
        for step in &layout.steps {
            let own = step.own();
            let ground = [own, own + 1, own + 2, own + 3];
            for piece in step.pieces.iter().filter(|p| p.chain == chain) {
                out.follow(step.side() - 1, ground, piece, &mut scratch);
            }
        }
        out
    }
}

/// A front in the order of the other direction.
fn turn(from: &[f64], to: &mut [f64], side: usize, side_back: usize, turned: &[usize]) {
    let at = |i: usize| turned.get(i).copied().unwrap_or(side_back - 1);
    let meant = || (0..turned.len()).chain([side - 1]);
    for i in meant() {
        let a = at(i);
        if a == usize::MAX {
            continue;
        }
        for k in meant().filter(|k| *k >= i) {
            let value = from[i * side + k];
            if value != 0.0 {
                let b = at(k);
                let (a, b) = if a <= b { (a, b) } else { (b, a) };
                to[a * side_back + b] = value;
            }
        }
    }
}

/// Lays what a piece says on a front.
fn lay(front: &mut [f64], side: usize, places: &[usize], forms: &[f64]) {
    for (i, (&a, row)) in places
        .iter()
        .zip(forms.chunks_exact(places.len().max(1)))
        .enumerate()
    {
        for (&b, &value) in places[i..].iter().zip(&row[i..]) {
            if value != 0.0 {
                front[if a <= b { a * side + b } else { b * side + a }] += value;
            }
        }
    }
}

/// Adds a value to the upper half.
fn add(front: &mut [f64], side: usize, i: usize, k: usize, value: f64) {
    let (i, k) = if i <= k { (i, k) } else { (k, i) };
    front[i * side + k] += value;
}

/// A known height: information on the ground and, for a levelled reach, its datum.
fn fixed(front: &mut [f64], side: usize, ground: [usize; 4], entry: &StepEntry) -> f64 {
    let info = 1.0 / entry.count;
    let mut at: Vec<(usize, f64)> = ground.into_iter().zip(entry.weight).collect();
    if let Some(offset) = entry.offset {
        at.push((offset, 1.0));
    }
    at.push((side - 1, entry.height_m));
    for (x, &(i, a)) in at.iter().enumerate() {
        for &(k, b) in at.iter().skip(x) {
            add(front, side, i, k, info * a * b);
        }
    }
    0.5 * (math::ln(info) - LN_2PI)
}

/// Most offsets in one piece: walks that share one chain.
const MOST_OFFSETS: usize = 50;
/// Most local unknowns of a step: the error at both nodes, the ground, offsets, the right-hand side. The largest local matrix holds them.
const MOST_LOCAL: usize = 2 * STATES + 4 + MOST_OFFSETS + 1;
const _: () = assert!(MOST_LOCAL <= SIDES[SIDES.len() - 1]);

impl Threaded {
    /// Follows one walk's error through a step and keeps what its readings say of the ground, the offset and the error at both nodes. `rhs_at`: the right-hand side's place in the front.
    ///
    /// Local unknowns: [error now: fast, slow, rate | error at the left node | 4 of the ground, offsets.., right-hand side]. Passing from one reading to the next takes the older error out in a form that stands no gap too short.
    fn follow(
        &mut self,
        rhs_at: usize,
        ground: [usize; 4],
        piece: &WalkPiece,
        scratch: &mut Vec<f64>,
    ) {
        let errors = self.errors;
        let errors = &errors;
        let mut log = 0.0;
        let mut product = 1.0;
        // Positions in the front of local unknowns after the error now, right-hand side last.
        let mut map = [0usize; MOST_LOCAL];
        let mut known = 0;
        if let Some(at) = piece.error_in {
            for (i, m) in map.iter_mut().take(STATES).enumerate() {
                *m = at + i;
            }
            known = STATES;
        }
        let to_ground = STATES + known;
        map[known..known + 4].copy_from_slice(&ground);
        let first_offset = known + 4;
        let mut offsets = 0;
        for entry in &piece.entries {
            if let Some(o) = entry.offset
                && !map[first_offset..first_offset + offsets].contains(&o)
                && offsets < MOST_OFFSETS
            {
                map[first_offset + offsets] = o;
                offsets += 1;
            }
        }
        let w = STATES + first_offset + offsets + 1;
        let (side, rhs) = (side_for(w), w - 1);
        map[rhs - STATES] = rhs_at;
        if piece.entries.is_empty() {
            let (Some(from), Some(to)) = (piece.error_in, piece.error_out) else {
                self.pieces.push(Said { log, places: 0 });
                return;
            };
            let onward = Onward::new(errors, piece.tail_s).apart(errors);
            let mut form = [0.0; 4 * STATES * STATES];
            let side = 2 * STATES;
            log += conditional(&onward, |i, k, value| add(&mut form, side, i, k, value));
            self.places
                .extend((to..to + STATES).chain(from..from + STATES));
            self.forms.extend(form);
            self.pieces.push(Said { log, places: side });
            return;
        }
        scratch.clear();
        scratch.resize(side * side, 0.0);
        let a = scratch.as_mut_slice();
        let white_info = 1.0 / (errors.white_sd_m * errors.white_sd_m);
        for (n, entry) in piece.entries.iter().enumerate() {
            if n > 0 {
                if entry.gap_s > 0.0 {
                    let onward = Onward::new(errors, entry.gap_s);
                    product *= pass(a, side, &onward);
                }
            } else if piece.error_in.is_some() {
                let onward = Onward::new(errors, entry.gap_s).apart(errors);
                log += conditional(&onward, |i, k, value| add(a, side, i, k, value));
            } else {
                let slow = errors.slow_sd_m * errors.slow_sd_m;
                let rate = errors.per_s();
                let variance = [
                    errors.fast_sd_m * errors.fast_sd_m,
                    slow,
                    slow * rate * rate,
                ];
                for (i, v) in variance.into_iter().enumerate() {
                    a[i * side + i] += 1.0 / v;
                    product *= v;
                }
                log -= 0.5 * STATES as f64 * LN_2PI;
            }
            let mut info = entry.count * white_info;
            if entry.rounded_m2 > 0.0 {
                info /= 1.0 + info * entry.rounded_m2;
            }
            product /= info;
            log -= 0.5 * LN_2PI;
            let [g0, g1, g2, g3] = entry.weight;
            let mut row = [
                (0, 1.0),
                (1, 1.0),
                (to_ground, g0),
                (to_ground + 1, g1),
                (to_ground + 2, g2),
                (to_ground + 3, g3),
                (rhs, entry.height_m),
                (rhs, 0.0),
            ];
            if let Some(o) = entry.offset
                && let Some(at) = map[first_offset..first_offset + offsets]
                    .iter()
                    .position(|&x| x == o)
            {
                row[7] = row[6];
                row[6] = (STATES + first_offset + at, 1.0);
            }
            let seen = &row[..if entry.offset.is_some() { 8 } else { 7 }];
            for (x, &(i, p)) in seen.iter().enumerate() {
                let f = info * p;
                for &(k, q) in &seen[x..] {
                    a[i * side + k] += f * q;
                }
            }
            if !(1e-150..1e150).contains(&product) {
                log -= 0.5 * math::ln(product);
                product = 1.0;
            }
        }
        let mut from = STATES;
        if let Some(out) = piece.error_out {
            if piece.tail_s > 0.0 {
                let onward = Onward::new(errors, piece.tail_s);
                product *= pass(a, side, &onward);
            }
            // What is now in the first places is the error at the right node.
            map.copy_within(0..w - STATES, STATES);
            for (i, m) in map.iter_mut().take(STATES).enumerate() {
                *m = out + i;
            }
            from = 0;
        } else {
            // The walk ends here: its last error is taken out.
            product *= take_first(a, side, STATES);
            log += 0.5 * STATES as f64 * LN_2PI;
        }
        let places = w - from;
        self.places.extend(&map[..places]);
        for i in from..w {
            self.forms.extend(&a[i * side + from..i * side + w]);
        }
        self.pieces.push(Said {
            log: log - 0.5 * math::ln(product),
            places,
        });
    }
}
