use super::{Class, Errors};
use crate::numeric::Rng;
use crate::numeric::math;
use crate::reading::WalkDevice;

/// What is expected of a receiver beforehand: classes with their weights.
#[derive(Debug, Clone, PartialEq)]
pub struct Expected {
    classes: Vec<(Class, f64)>,
    /// Those that were named, not only met.
    told: Vec<Class>,
}

impl Default for Expected {
    /// Nothing was said: the four classes that are met.
    fn default() -> Self {
        Self::of(&[])
    }
}

/// What is left to the unknown classes where one was told: nobody is believed alone.
const DOUBTED: f64 = 0.15;

/// How far one walk's errors of the same receiver lie from another's, A and F, on the natural log (standard deviation).
pub(crate) const BETWEEN_WALKS_SD: f64 = 0.6;

impl Expected {
    /// Of a receiver that is said to be of some classes; of none: of unknown kind.
    pub fn of(told: &[Class]) -> Self {
        let (unknown, known) = if told.is_empty() {
            (1.0, 0.0)
        } else {
            (DOUBTED, 1.0 - DOUBTED)
        };
        let classes = Class::UNKNOWN
            .iter()
            .map(|&(c, share)| (c, unknown * share))
            .chain(told.iter().map(|&c| (c, known / told.len() as f64)));
        Self {
            classes: classes.collect(),
            told: told.to_vec(),
        }
    }

    /// Of a device that was named, and whether it takes its heights from the pressure of the air.
    pub fn told(device: Option<WalkDevice>, barometer: bool) -> Self {
        // Which device errs how: our judgement from the recordings of docs/calibration.md and from common practice.
        match (device, barometer) {
            (Some(WalkDevice::Rtk), _) => Self::of(&[Class::Surveyors]),
            (_, true) => Self::of(&[Class::Barometer]),
            (Some(WalkDevice::Phone), _) => Self::of(&[Class::Broad, Class::Rough]),
            (Some(WalkDevice::Watch), _) => Self::of(&[Class::Filtered, Class::Broad]),
            (Some(WalkDevice::Handheld), _) => Self::of(&[Class::Broad, Class::Filtered]),
            (None, false) => Self::default(),
        }
    }

    /// Nothing but one class.
    pub fn only(class: Class) -> Self {
        Self {
            classes: vec![(class, 1.0)],
            told: Vec::new(),
        }
    }

    /// How far off its slow error usually is, m: the middle over its classes.
    pub(crate) fn usual_sd_m(&self) -> f64 {
        let logs = self
            .classes
            .iter()
            .map(|(c, w)| w * math::ln(c.usual().slow_sd_m));
        math::exp(logs.sum())
    }

    /// Standard deviation of the drop between two places, m, before the errors of the walks are looked into: the slow error at both, of so many times over the line.
    pub(crate) fn drop_sd_m(&self, times: f64) -> f64 {
        2f64.sqrt() * self.usual_sd_m() / times.sqrt()
    }

    /// The middles of its classes.
    pub(crate) fn usual(&self) -> impl Iterator<Item = Errors> + '_ {
        self.classes.iter().map(|(c, _)| c.usual())
    }

    /// Log density of the natural logarithms of A, l, F, T, w, up to a constant.
    pub(crate) fn log_density(&self, log: &[f64; 5]) -> f64 {
        let each = || {
            self.classes
                .iter()
                .map(|(c, w)| math::ln(*w) + c.log_density(log))
        };
        let most = each().fold(f64::NEG_INFINITY, f64::max);
        most + math::ln(each().map(|l| math::exp(l - most)).sum::<f64>())
    }

    /// How likely each of its classes is, given the natural logarithms of A, l, F, T, w; each class stands once.
    pub(crate) fn shares(&self, log: &[f64; 5]) -> Vec<(Class, f64)> {
        let whole = self.log_density(log);
        let mut out: Vec<(Class, f64)> = Vec::with_capacity(self.classes.len());
        for &(class, weight) in &self.classes {
            let share = math::exp(math::ln(weight) + class.log_density(log) - whole);
            match out.iter_mut().find(|(c, _)| *c == class) {
                Some((_, sum)) => *sum += share,
                None => out.push((class, share)),
            }
        }
        out
    }

    /// Whether a class is one of those that were told.
    pub(crate) fn is_told(&self, class: Class) -> bool {
        self.told.contains(&class)
    }

    /// Whether anything was told.
    pub(crate) fn anything_told(&self) -> bool {
        !self.told.is_empty()
    }

    /// The errors of one walk, drawn from what is expected: those of a receiver, and how much larger or smaller they are on this walk.
    pub fn walk(&self, draws: &mut Rng) -> Errors {
        let [a, l, f, t, w] = self.draw(draws);
        let mut on = |log: f64| log + BETWEEN_WALKS_SD * draws.normal();
        Errors::from_log(&[on(a), l, on(f), t, w])
    }

    /// Drawn from what is expected.
    pub(crate) fn draw(&self, draws: &mut Rng) -> [f64; 5] {
        let weights: Vec<f64> = self.classes.iter().map(|(_, w)| *w).collect();
        let class = self.classes.get(draws.pick(&weights));
        class.map_or(Class::Broad, |(c, _)| *c).draw(draws)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The shares of the classes are the odds of their densities by hand.
    #[test]
    fn shares_are_odds() {
        let expected = Expected::told(Some(WalkDevice::Watch), false);
        let log = Class::Filtered.usual().log();
        let shares = expected.shares(&log);
        assert_eq!(shares.len(), 4);
        assert!((shares.iter().map(|s| s.1).sum::<f64>() - 1.0).abs() < 1e-9);
        let of = |class| shares.iter().find(|s| s.0 == class).unwrap().1;
        assert!(
            of(Class::Filtered) > of(Class::Trending) && of(Class::Filtered) > of(Class::Rough)
        );
        let odds = |class: Class, weight: f64| weight * math::exp(class.log_density(&log));
        let by_hand =
            odds(Class::Filtered, 0.425 + 0.15 * 0.31) / odds(Class::Broad, 0.425 + 0.15 * 0.31);
        assert!((of(Class::Filtered) / of(Class::Broad) / by_hand - 1.0).abs() < 1e-9);
        assert!(expected.is_told(Class::Filtered) && !expected.is_told(Class::Rough));
        let usual = Expected::default().usual_sd_m();
        assert!((3.0..4.5).contains(&usual), "{usual}");
    }

    /// Draws and density are of one law: the mean of the density's logarithm over draws of the same law is the highest of all laws.
    #[test]
    fn draws_and_density_are_of_one_law() {
        let mut draws = Rng::new(8);
        let all = [Class::Broad, Class::Filtered, Class::Trending];
        for own in all {
            let drawn: Vec<[f64; 5]> = (0..4000).map(|_| own.draw(&mut draws)).collect();
            let fit = |class: Class| drawn.iter().map(|x| class.log_density(x)).sum::<f64>();
            for other in all.into_iter().filter(|c| *c != own) {
                assert!(fit(own) > fit(other) + 400.0, "{own:?} {other:?}");
            }
            let mean = drawn.iter().map(|x| x[0]).sum::<f64>() / 4000.0;
            assert!((mean - math::ln(own.usual().slow_sd_m)).abs() < 0.08);
            // Entropy of five normal numbers, by hand: 5/2 ln(2 pi e) with the constant left out as the density leaves it.
            let free = -fit(own) / 4000.0 - 2.5;
            let scale = own.log_density(&own.usual().log());
            assert!((free + scale).abs() < 0.1, "{free} {scale}");
        }
    }
}
