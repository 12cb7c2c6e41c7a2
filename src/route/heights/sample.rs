#![expect(
    clippy::indexing_slicing,
    reason = "a kernel over fronts whose sizes the layout has fixed"
)]

use super::gather::{Gathered, Theta};
use super::given::{Message, Run, backward, step_forward, take_out};
use super::layout::Layout;
use crate::numeric::Rng;
use crate::numeric::math;

/// Beforehand: what roughness a cell may have and how it goes from cell to cell.
///
/// A cell keeps the class of the one before with chance `stay`, else draws from `shares`.
#[derive(Debug, Clone)]
pub(super) struct Roughness {
    /// Strength of curvature of each class, m2/m3.
    pub(super) ladder: Vec<f64>,
    pub(super) shares: Vec<f64>,
    pub(super) stay: f64,
    /// How firmly the shares are held: each class counts as chosen this often before anything was seen; 0 holds them as they are.
    pub(super) alpha: f64,
}

impl Roughness {
    fn follow(&self, before: usize, after: usize) -> f64 {
        (1.0 - self.stay) * self.shares[after] + if before == after { self.stay } else { 0.0 }
    }

    /// How likely a class is between its neighbours.
    fn between(&self, before: Option<usize>, class: usize, after: Option<usize>) -> f64 {
        before.map_or(self.shares[class], |b| self.follow(b, class))
            * after.map_or(1.0, |a| self.follow(class, a))
    }
}

/// Beforehand: the noise numbers, normal on their logarithms.
#[derive(Debug, Clone, Copy)]
pub(super) struct NoisePrior {
    pub(super) mean: Theta,
    pub(super) sd: Theta,
    /// Least drift, log m.
    pub(super) least_drift: f64,
}

impl NoisePrior {
    pub(super) fn log(&self, theta: &Theta) -> f64 {
        if theta[0] < self.least_drift {
            return f64::NEG_INFINITY;
        }
        -0.5 * theta
            .iter()
            .zip(&self.mean)
            .zip(&self.sd)
            .map(|((t, m), s)| math::powi((t - m) / s, 2))
            .sum::<f64>()
    }
}

/// A walk through what is equally likely: the class of every cell and the noise numbers, with all heights, drifts and offsets integrated out.
///
/// Drawing heights given classes and classes given heights in turn does not mix: a smooth line keeps its calm classes for ever. Here a class is drawn with everything left of its cell known by a forward message and everything right of it by a backward one, so a sweep costs one backward and one forward pass a class, whatever the length.
#[derive(Debug, Clone)]
pub(super) struct Sampler<'a> {
    pub(super) layout: &'a Layout,
    pub(super) roughness: Roughness,
    pub(super) prior: NoisePrior,
    pub(super) first_height_m: f64,
    pub(super) theta: Theta,
    pub(super) classes: Vec<usize>,
    /// Log evidence at the current classes and noise numbers.
    pub(super) evidence: f64,
    /// Lower triangle of the step in noise numbers.
    pub(super) stride: [[f64; 3]; 3],
    pub(super) taken: usize,
    pub(super) run: Run,
    gathered: Gathered,
    other: Gathered,
    other_run: Run,
    backward: Vec<f64>,
    trial: Vec<Trial>,
    cell_of_step: Vec<usize>,
    /// 0, 1, 2 ..: a message that keeps its order.
    same: Vec<usize>,
}

/// One class tried on one cell.
#[derive(Debug, Clone, Default)]
struct Trial {
    fronts: Vec<f64>,
    logs: Vec<f64>,
    /// What is known from both sides together.
    both: Vec<f64>,
}

impl<'a> Sampler<'a> {
    pub(super) fn new(
        layout: &'a Layout,
        roughness: Roughness,
        prior: NoisePrior,
        first_height_m: f64,
        theta: Theta,
        class: usize,
    ) -> Self {
        let mut cell_of_step = vec![0; layout.steps.len()];
        for (c, &(from, to)) in layout.cells.iter().enumerate() {
            cell_of_step[from..to].fill(c);
        }
        let mut sampler = Self {
            layout,
            prior,
            first_height_m,
            theta,
            classes: vec![class; layout.cells.len()],
            evidence: 0.0,
            stride: [[0.0; 3]; 3],
            taken: 0,
            run: Run::default(),
            gathered: Gathered::new(layout, &theta, first_height_m),
            other: Gathered::default(),
            other_run: Run::default(),
            backward: Vec::new(),
            trial: vec![Trial::default(); roughness.ladder.len()],
            cell_of_step,
            same: (0..layout.steps.iter().map(|s| s.size).max().unwrap_or(0)).collect(),
            roughness,
        };
        sampler.evidence = sampler.weigh();
        sampler
    }

    fn strength(&self, step: usize) -> f64 {
        self.roughness.ladder[self.classes[self.cell_of_step[step]]]
    }

    fn weigh(&mut self) -> f64 {
        let mut run = std::mem::take(&mut self.run);
        let evidence = run.forward(self.layout, &self.gathered, |j| self.strength(j));
        self.run = run;
        evidence
    }

    /// Log of prior times evidence at other noise numbers, the classes as they stand.
    pub(super) fn at(&mut self, theta: &Theta) -> f64 {
        let mut other = std::mem::take(&mut self.other);
        let mut run = std::mem::take(&mut self.other_run);
        other.gather(self.layout, theta, self.first_height_m);
        let evidence = run.forward(self.layout, &other, |j| self.strength(j));
        self.other = other;
        self.other_run = run;
        evidence
    }

    /// Goes to other noise numbers without asking the odds.
    pub(super) fn go_to(&mut self, theta: &Theta) {
        let evidence = self.at(theta);
        if evidence.is_finite() {
            self.theta = *theta;
            self.evidence = evidence;
            std::mem::swap(&mut self.gathered, &mut self.other);
            std::mem::swap(&mut self.run, &mut self.other_run);
        }
    }

    /// Offers one step in the noise numbers and takes it by its odds.
    pub(super) fn move_noise(&mut self, draws: &mut Rng) {
        let xi: [f64; 3] = std::array::from_fn(|_| draws.normal());
        let theta: Theta = std::array::from_fn(|i| {
            self.theta[i] + (0..=i).map(|k| self.stride[i][k] * xi[k]).sum::<f64>()
        });
        let evidence = self.at(&theta);
        let odds = evidence + self.prior.log(&theta) - self.evidence - self.prior.log(&self.theta);
        if odds.is_finite() && math::ln(draws.uniform()) < odds {
            self.theta = theta;
            self.evidence = evidence;
            std::mem::swap(&mut self.gathered, &mut self.other);
            std::mem::swap(&mut self.run, &mut self.other_run);
            self.taken += 1;
        }
    }

    /// Draws every cell's class anew, down the line.
    pub(super) fn sweep(&mut self, draws: &mut Rng) {
        let layout = self.layout;
        let mut fronts = std::mem::take(&mut self.backward);
        backward(layout, &self.gathered, |j| self.strength(j), &mut fronts);
        self.backward = fronts;
        let mut weights = vec![0.0; self.roughness.ladder.len()];
        for (cell, &(from, to)) in layout.cells.iter().enumerate() {
            let before = cell.checked_sub(1).map(|c| self.classes[c]);
            let after = self.classes.get(cell + 1).copied();
            for (class, weight) in weights.iter_mut().enumerate() {
                let mut trial = std::mem::take(&mut self.trial[class]);
                *weight = self.try_class(&mut trial, from, to, self.roughness.ladder[class])
                    + math::ln(self.roughness.between(before, class, after));
                self.trial[class] = trial;
            }
            let most = weights.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            for w in &mut weights {
                *w = math::exp(*w - most);
            }
            let class = draws.pick(&weights);
            self.classes[cell] = class;
            let trial = &self.trial[class];
            self.run.fronts[layout.start[from]..layout.start[to]].copy_from_slice(&trial.fronts);
            self.run.logs[from..to].copy_from_slice(&trial.logs);
        }
        self.evidence = self.run.evidence(layout, &self.gathered);
    }

    /// Draws the shares of the classes anew from how often each was chosen: a line that is calm elsewhere makes one more hump less likely, and the other way round.
    pub(super) fn share(&mut self, draws: &mut Rng) {
        let alpha = self.roughness.alpha;
        if alpha <= 0.0 {
            return;
        }
        let mut count = vec![alpha; self.roughness.ladder.len()];
        let mut before = None;
        for &class in &self.classes {
            let fresh = self.roughness.shares[class] * (1.0 - self.roughness.stay);
            let chosen =
                before != Some(class) || draws.uniform() * (fresh + self.roughness.stay) < fresh;
            if chosen {
                count[class] += 1.0;
            }
            before = Some(class);
        }
        let mut sum = 0.0;
        for c in &mut count {
            *c = draws.gamma(*c);
            sum += *c;
        }
        for (share, c) in self.roughness.shares.iter_mut().zip(&count) {
            *share = c / sum;
        }
    }

    /// Pushes what is known on the left through a cell of strength `q` and weighs it against what is known on the right.
    fn try_class(&self, trial: &mut Trial, from: usize, to: usize, q: f64) -> f64 {
        let layout = self.layout;
        let base = layout.start[from];
        trial.fronts.resize(layout.start[to] - base, 0.0);
        trial.logs.clear();
        for j in from..to {
            let (done, rest) = trial.fronts.split_at_mut(layout.start[j] - base);
            let left = if j == from {
                self.run.left_of(layout, j)
            } else {
                let i = j - 1;
                Some(Message {
                    front: &done[layout.start[i] - base..],
                    side: layout.steps[i].size + 1,
                    from: layout.steps[i].taken_forward,
                })
            };
            let out = &mut rest[..layout.start[j + 1] - layout.start[j]];
            trial
                .logs
                .push(step_forward(layout, &self.gathered, j, q, left, out));
        }
        let step = &layout.steps[to - 1];
        let carried = step.size - step.taken_forward;
        let side = carried + 1;
        trial.both.clear();
        trial.both.resize(side * side, 0.0);
        let both = trial.both.as_mut_slice();
        let same = &self.same[..carried];
        Message {
            front: &trial.fronts[layout.start[to - 1] - base..],
            side: step.size + 1,
            from: step.taken_forward,
        }
        .add_to(both, side, same);
        if let Some(next) = layout.steps.get(to) {
            Message {
                front: &self.backward[layout.start[to]..layout.start[to + 1]],
                side: next.size + 1,
                from: next.taken_backward,
            }
            .add_to(both, side, same);
        }
        let log = take_out(both, side, carried);
        trial.logs.iter().sum::<f64>() + log - 0.5 * both[side * side - 1]
    }
}
