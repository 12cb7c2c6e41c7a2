use super::Errors;
use crate::numeric::{Rng, math};

crate::text::words! {
    /// What kind of receiver wrote the heights: what is expected of its errors beforehand.
    ///
    /// Nobody knows which one a file came from: all that are possible stand side by side with their weights, and the readings move them.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
    pub enum Class {
        /// Errors of some metres that last about a minute.
        Broad = "broad",
        /// Heights smoothed by the receiver: hardly any fast part, a slow one that lasts minutes.
        Filtered = "filtered",
        /// Errors that come and go within a quarter of a minute.
        Rough = "rough",
        /// Errors that run away by many metres over minutes.
        Trending = "trending",
        /// Heights looked up in a terrain model.
        Terrain = "terrain model",
        /// A surveyor's receiver, corrected by a base.
        Surveyors = "corrected by a base",
        /// A receiver that takes its heights from the pressure of the air.
        Barometer = "barometer",
        /// A log of the pressure of the air.
        PressureLog = "pressure log",
        /// A log of the pressure with the weather taken out by another that stands still.
        PressureLogs = "pressure log with a base",
    }
}

/// Medians of A (m), l (s), F (m), T (s), w (m), how far each lies from its median on the natural log (standard deviation), and the correlation of ln A and ln l.
type Beforehand = ([f64; 5], [f64; 5], f64);

impl Class {
    /// The four that a receiver of unknown kind may be of, and how often each is met. Learnt on open recordings; how far A may lie from its median, and how seldom a receiver runs away, was set again on the groups of tests/tracks/real (docs/calibration.md).
    pub const UNKNOWN: [(Self, f64); 4] = [
        (Self::Broad, 0.31),
        (Self::Filtered, 0.31),
        (Self::Rough, 0.30),
        (Self::Trending, 0.08),
    ];

    fn beforehand(self) -> Beforehand {
        match self {
            Self::Broad => (
                [3.0, 60.0, 0.40, 10.0, 0.10],
                [0.55, 1.0, 1.0, 0.9, 0.8],
                0.0,
            ),
            Self::Filtered => (
                [3.95, 116.0, 0.19, 22.0, 0.04],
                [0.65, 0.8, 0.9, 1.3, 0.8],
                0.67,
            ),
            Self::Rough => (
                [2.9, 15.0, 0.66, 11.0, 0.06],
                [0.5, 0.85, 0.55, 0.7, 0.6],
                0.60,
            ),
            Self::Trending => (
                [9.0, 179.0, 0.47, 8.5, 0.07],
                [0.6, 1.1, 0.9, 1.1, 0.9],
                0.44,
            ),
            Self::Terrain => (
                [2.2, 75.0, 0.25, 10.0, 0.10],
                [0.5, 0.6, 0.7, 0.7, 0.8],
                0.0,
            ),
            Self::Surveyors => (
                [0.02, 100.0, 0.01, 10.0, 0.01],
                [0.6, 0.8, 0.6, 0.8, 0.5],
                0.0,
            ),
            Self::Barometer => (
                [1.2, 400.0, 0.12, 12.0, 0.08],
                [0.7, 0.7, 0.7, 0.8, 0.8],
                0.3,
            ),
            Self::PressureLog => (
                [1.0, 500.0, 0.15, 8.0, 0.08],
                [0.6, 0.6, 0.7, 0.7, 0.6],
                0.3,
            ),
            Self::PressureLogs => (
                [0.3, 300.0, 0.12, 8.0, 0.08],
                [0.5, 0.6, 0.7, 0.7, 0.6],
                0.0,
            ),
        }
    }

    /// Whether its errors change so slowly that one walk shows a climb by itself.
    pub(crate) fn follows_the_ground(self) -> bool {
        self == Self::Surveyors || self.is_barometric()
    }

    /// Whether its heights come from the pressure of the air.
    pub fn is_barometric(self) -> bool {
        matches!(
            self,
            Self::Barometer | Self::PressureLog | Self::PressureLogs
        )
    }

    /// How it errs, in words that follow "as those of a receiver".
    pub(crate) fn told(self) -> &'static str {
        match self {
            Self::Broad => "whose heights wander by metres within a minute",
            Self::Filtered => "that smooths its heights and wanders by metres over minutes",
            Self::Rough => "whose heights wander by metres within seconds",
            Self::Trending => "whose heights drift by many metres",
            Self::Terrain => "that copies its heights from a terrain model",
            Self::Surveyors => "corrected by a base",
            Self::Barometer | Self::PressureLog | Self::PressureLogs => {
                "that measures heights with a barometer"
            }
        }
    }

    /// Its middle.
    pub fn usual(self) -> Errors {
        let ([slow_sd_m, slow_time_s, fast_sd_m, fast_time_s, white_sd_m], ..) = self.beforehand();
        Errors {
            slow_sd_m,
            slow_time_s,
            fast_sd_m,
            fast_time_s,
            white_sd_m,
        }
    }

    /// Log density of the logarithms of A, l, F, T, w, up to a constant that is the same for all classes.
    pub(super) fn log_density(self, log: &[f64; 5]) -> f64 {
        let (median, sd, corr) = self.beforehand();
        let mut z = [0.0; 5];
        let mut scale = 0.0;
        for (((z, x), m), s) in z.iter_mut().zip(log).zip(median).zip(sd) {
            *z = (x - math::ln(m)) / s;
            scale += math::ln(s);
        }
        let [a, l, f, t, w] = z;
        let free = 1.0 - corr * corr;
        let two = (a * a - 2.0 * corr * a * l + l * l) / free;
        -0.5 * (two + f * f + t * t + w * w) - scale - 0.5 * math::ln(free)
    }

    /// Logarithms of A, l, F, T, w drawn from what is expected.
    pub(super) fn draw(self, draws: &mut Rng) -> [f64; 5] {
        let (median, sd, corr) = self.beforehand();
        let mut z: [f64; 5] = std::array::from_fn(|_| draws.normal());
        let [a, l, ..] = z;
        if let Some(second) = z.get_mut(1) {
            *second = corr * a + (1.0 - corr * corr).sqrt() * l;
        }
        let mut out = z;
        for ((o, m), s) in out.iter_mut().zip(median).zip(sd) {
            *o = math::ln(m) + s * *o;
        }
        out
    }
}

impl Default for Errors {
    /// The middle of the broad class: what is taken where nothing was seen.
    fn default() -> Self {
        Class::Broad.usual()
    }
}
