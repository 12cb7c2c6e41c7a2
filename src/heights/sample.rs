#![expect(
    clippy::indexing_slicing,
    reason = "a kernel over fronts whose sizes the layout has fixed"
)]

use super::gather::GatheredForms;
use super::given::{ForwardRun, Message, backward, known_right, lay_ground, marginalise};
use super::layout::{Layout, side_of};
use super::noise::Noises;
use super::screen::OfferScreen;
use crate::numeric::Rng;
use crate::numeric::math;

/// Beforehand: what roughness a cell may have and how it goes from cell to cell.
///
/// A cell keeps the class of the one before with chance `stay`, else draws from `shares`.
#[derive(Debug, Clone)]
pub(super) struct RoughnessPrior {
    /// Strength of curvature of each class, m2/m3.
    pub(super) ladder: Vec<f64>,
    pub(super) shares: Vec<f64>,
    pub(super) stay: f64,
    /// How firmly the shares are held: each class counts as chosen this often before anything was seen; 0 holds them as they are.
    pub(super) alpha: f64,
}

impl RoughnessPrior {
    fn follow(&self, before: usize, after: usize) -> f64 {
        (1.0 - self.stay) * self.shares[after] + if before == after { self.stay } else { 0.0 }
    }

    /// How likely a class is between its neighbours.
    fn between(&self, before: Option<usize>, class: usize, after: Option<usize>) -> f64 {
        before.map_or(self.shares[class], |b| self.follow(b, class))
            * after.map_or(1.0, |a| self.follow(class, a))
    }
}

/// Odds, as a logarithm, that no stride is fitted by: a share of 1e-17.
const NO_ODDS: f64 = -40.0;

/// A walk through what is equally likely: the class of every cell and the errors of every walk, with all heights, errors and offsets integrated out.
///
/// Drawing heights given classes and classes given heights in turn does not mix: a smooth line keeps its calm classes for ever. Here a class is drawn with everything left of its cell known by a forward message and everything right of it by a backward one: all that does not hang on the roughness is taken out once, and each class is then weighed on the few unknowns that do. A sweep costs about one pass down and two up, whatever the length.
#[derive(Debug, Clone)]
pub(super) struct Sampler<'a> {
    pub(super) layout: &'a Layout,
    pub(super) roughness: RoughnessPrior,
    pub(super) first_height_m: f64,
    pub(super) noises: Noises,
    pub(super) classes: Vec<usize>,
    /// Log evidence at the current classes and errors.
    pub(super) evidence: f64,
    pub(super) run: ForwardRun,
    gathered: GatheredForms,
    other: GatheredForms,
    other_run: ForwardRun,
    backward: Vec<f64>,
    both: Vec<f64>,
    small: Vec<f64>,
    cell_of_step: Vec<usize>,
    screen: OfferScreen,
    /// 0, 1, 2 ..: a message that keeps its order.
    same: Vec<usize>,
    /// What the evidence counts for where the roughness of the ground is judged: one walk alone shows its own errors as ground.
    pub(super) ground_power: f64,
}

impl<'a> Sampler<'a> {
    pub(super) fn new(
        layout: &'a Layout,
        roughness: RoughnessPrior,
        noises: Noises,
        first_height_m: f64,
        class: usize,
    ) -> Self {
        let mut cell_of_step = vec![0; layout.steps.len()];
        for (c, &(from, to)) in layout.cells.iter().enumerate() {
            cell_of_step[from..to].fill(c);
        }
        let mut sampler = Self {
            layout,
            first_height_m,
            classes: vec![class; layout.cells.len()],
            evidence: 0.0,
            ground_power: 1.0,
            run: ForwardRun::default(),
            gathered: GatheredForms::new(layout, &noises.errors(), first_height_m),
            noises,
            other: GatheredForms::default(),
            other_run: ForwardRun::default(),
            backward: Vec::new(),
            both: Vec::new(),
            small: Vec::new(),
            cell_of_step,
            screen: OfferScreen::of(layout, first_height_m),
            same: (0..layout.steps.iter().map(|s| s.size).max().unwrap_or(0)).collect(),
            roughness,
        };
        sampler.evidence = sampler.log_likelihood();
        sampler
    }

    /// The middle line of other readings on the same nodes, at the errors and the roughness as they stand: what the layout holds of it is written to `middle`.
    pub(super) fn middle_of(&self, layout: &Layout, middle: &mut Vec<f64>) {
        let gathered = GatheredForms::new(layout, &self.noises.errors(), self.first_height_m);
        let mut run = ForwardRun::default();
        run.forward(layout, &gathered, |j| self.process_noise(j));
        middle.clear();
        middle.resize(2 * layout.node_m.len(), 0.0);
        run.back(layout, true, || 0.0, middle);
    }

    fn process_noise(&self, step: usize) -> f64 {
        self.roughness.ladder[self.classes[self.cell_of_step[step]]]
    }

    fn log_likelihood(&mut self) -> f64 {
        let mut run = std::mem::take(&mut self.run);
        let evidence = run.forward(self.layout, &self.gathered, |j| self.process_noise(j));
        self.run = run;
        evidence
    }

    /// Log evidence at other errors, the classes as they stand.
    fn at(&mut self, noises: &Noises) -> f64 {
        let mut other = std::mem::take(&mut self.other);
        let mut run = std::mem::take(&mut self.other_run);
        other.gather(
            self.layout,
            &noises.errors(),
            self.first_height_m,
            Some(&self.gathered),
        );
        let evidence = run.forward(self.layout, &other, |j| self.process_noise(j));
        self.other = other;
        self.other_run = run;
        evidence
    }

    fn take(&mut self, noises: Noises, evidence: f64) {
        self.noises = noises;
        self.evidence = evidence;
        std::mem::swap(&mut self.gathered, &mut self.other);
        std::mem::swap(&mut self.run, &mut self.other_run);
    }

    /// Begins at the likeliest of some errors.
    pub(super) fn begin(&mut self, starts: &[Noises]) {
        let mut best = f64::NEG_INFINITY;
        for noises in starts {
            let evidence = self.at(noises);
            let log = noises.power * evidence + noises.log_prior();
            if log > best {
                best = log;
                self.take(noises.clone(), evidence);
            }
        }
    }

    /// Whether the log evidence at other errors, the classes as they stand, may be as high as that.
    fn may_reach(&mut self, noises: &Noises, least: f64) -> bool {
        let Self {
            screen,
            roughness,
            classes,
            cell_of_step,
            ..
        } = self;
        let strength = |j: usize| roughness.ladder[classes[cell_of_step[j]]];
        screen.may_reach(&noises.errors(), strength, least)
    }

    /// Offers other errors and takes them by their odds (N. Metropolis and others, 1953; W. K. Hastings, 1970): accepted with min(1, exp(odds)). `warm`: the stride is fitted meanwhile.
    ///
    /// What must be reached is drawn first, so that what cannot reach it need not be weighed to the end.
    pub(super) fn metropolis_step(&mut self, draws: &mut Rng, warm: bool) {
        let offer = self.noises.offer(draws);
        if !offer.log_odds.is_finite() {
            return;
        }
        let drawn = math::ln(draws.uniform());
        // where a stride is fitted the odds count down to what is nothing beside the others
        let counts = if warm { drawn.min(NO_ODDS) } else { drawn };
        let least = self.evidence + (counts - offer.log_odds) / offer.noises.power;
        let mut odds = f64::NEG_INFINITY;
        if self.may_reach(&offer.noises, least) {
            let evidence = self.at(&offer.noises);
            odds = offer.noises.power * (evidence - self.evidence) + offer.log_odds;
            if odds.is_finite() && drawn < odds {
                self.take(offer.noises, evidence);
            }
        }
        if warm {
            self.noises.learn(offer.what, odds);
        }
    }

    /// Draws every cell's class anew, down the line.
    pub(super) fn sweep(&mut self, draws: &mut Rng) {
        let layout = self.layout;
        let mut fronts = std::mem::take(&mut self.backward);
        self.gathered.turn(layout);
        backward(
            layout,
            &self.gathered,
            |j| self.process_noise(j),
            &mut fronts,
        );
        self.backward = fronts;
        let mut weights = vec![0.0; self.roughness.ladder.len()];
        for (cell, &(from, to)) in layout.cells.iter().enumerate() {
            let before = cell.checked_sub(1).map(|c| self.classes[c]);
            let after = self.classes.get(cell + 1).copied();
            for j in from..to {
                self.run.lead(layout, &self.gathered, j);
            }
            let own = self.meet(to - 1);
            for (class, weight) in weights.iter_mut().enumerate() {
                let strength = self.roughness.ladder[class];
                *weight = self.ground_power * self.try_class(to - 1, own, strength)
                    + math::ln(self.roughness.between(before, class, after));
            }
            let most = weights.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            for w in &mut weights {
                *w = math::exp(*w - most);
            }
            let class = draws.pick(&weights);
            self.classes[cell] = class;
            let strength = self.roughness.ladder[class];
            self.run.end_cell(layout, to - 1, |_| strength);
        }
        self.evidence = self.run.evidence(layout, &self.gathered);
    }

    /// Draws the shares of the classes anew from how often each was chosen, Dirichlet(alpha + counts) by gammas: a line that is calm elsewhere makes one more hump less likely, and the other way round.
    pub(super) fn sample_class_weights(&mut self, draws: &mut Rng) {
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

    /// Lays what is known on both sides of a cell's last node together and takes everything out but the cell's own parts; gives how many those are.
    fn meet(&mut self, last: usize) -> usize {
        let layout = self.layout;
        let step = &layout.steps[last];
        let own = step.passengers + 2;
        let carried = step.size - step.kept();
        let side = side_of(carried + own);
        self.both.clear();
        self.both.resize(side * side, 0.0);
        // Own parts last, in front of the right-hand side.
        let map: Vec<usize> = (carried..carried + own).chain(0..carried).collect();
        Message {
            front: &self.run.fronts[layout.start[last]..layout.start[last + 1]],
            side: step.side(),
            from: step.lead,
            to: step.size,
        }
        .add_to(&mut self.both, side, &map);
        if let Some(right) = known_right(layout, &self.backward, last + 1) {
            right.add_to(&mut self.both, side, &self.same[..carried]);
        }
        marginalise(&mut self.both, side, 0, carried);
        own
    }

    /// Log weight of a roughness on the cell that ends with a step, after `meet`.
    fn try_class(&mut self, last: usize, own: usize, q: f64) -> f64 {
        let step = &self.layout.steps[last];
        let (side, skip) = (side_of(own), step.size - step.kept());
        self.small.clear();
        self.small.resize(side * side, 0.0);
        Message {
            front: &self.both,
            side: side_of(skip + own),
            from: skip,
            to: skip + own,
        }
        .add_to(&mut self.small, side, &self.same[..own]);
        let log = lay_ground(self.layout, last, |_| q, &mut self.small, side, 0)
            + marginalise(&mut self.small, side, 0, own);
        log - 0.5 * self.small[side * side - 1]
    }
}
