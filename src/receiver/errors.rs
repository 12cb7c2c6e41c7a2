use crate::numeric::math;

/// How the heights of one walk err beside its constant offset.
///
/// Error at the time t = slow + fast + white: slow is a Matern process of smoothness 3/2, covariance A^2 (1 + x) e^-x with x = sqrt(3) t / l; fast an Ornstein-Uhlenbeck process, F^2 e^(-t/T); white is new at every reading.
/// Each part is independent of the others. All standard deviations in m, times in s, all at least 0 (times above 0).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Errors {
    /// A, m.
    pub slow_sd_m: f64,
    /// l, s.
    pub slow_time_s: f64,
    /// F, m.
    pub fast_sd_m: f64,
    /// T, s.
    pub fast_time_s: f64,
    /// White part of one reading, m.
    pub white_sd_m: f64,
}

/// Slow height, its rate, fast part: the state behind a walk's error.
pub(crate) const STATES: usize = 3;

impl Errors {
    /// Covariance of two errors so far apart in time, white part left out, m2.
    pub fn covariance(&self, apart_s: f64) -> f64 {
        let x = self.per_s() * apart_s.abs();
        let slow = self.slow_sd_m * self.slow_sd_m * (1.0 + x) * math::exp(-x);
        let fast = self.fast_sd_m * self.fast_sd_m * math::exp(-apart_s.abs() / self.fast_time_s);
        slow + fast
    }

    /// Standard deviation of how the error changes over a time, white part left out, m.
    pub fn change_sd(&self, apart_s: f64) -> f64 {
        let change = self.covariance(0.0) - self.covariance(apart_s);
        (2.0 * change.max(0.0)).sqrt()
    }

    /// From the natural logarithms of A, l, F, T, w. No receiver is better than the floors here: readings that agree to less do not show how they err.
    pub(crate) fn from_log(log: &[f64; 5]) -> Self {
        let [slow_sd_m, slow_time_s, fast_sd_m, fast_time_s, white_sd_m] = log.map(math::exp);
        Self {
            slow_sd_m: slow_sd_m.clamp(0.005, 300.0),
            slow_time_s: slow_time_s.clamp(2.0, 7200.0),
            fast_sd_m: fast_sd_m.clamp(0.003, 30.0),
            fast_time_s: fast_time_s.clamp(1.0, 600.0),
            white_sd_m: white_sd_m.clamp(0.005, 10.0),
        }
    }

    /// The natural logarithms of A, l, F, T, w.
    pub(crate) fn log(&self) -> [f64; 5] {
        [
            self.slow_sd_m,
            self.slow_time_s,
            self.fast_sd_m,
            self.fast_time_s,
            self.white_sd_m,
        ]
        .map(math::ln)
    }

    /// sqrt(3) / l, 1/s.
    pub(crate) fn per_s(&self) -> f64 {
        3f64.sqrt() / self.slow_time_s
    }

    /// How the state goes on over a time: the two rows of the slow part and the share of the fast part that is kept.
    pub(crate) fn step(&self, by_s: f64) -> ([[f64; 2]; 2], f64) {
        let r = self.per_s();
        let x = r * by_s;
        let e = math::exp(-x);
        (
            [[e * (1.0 + x), e * by_s], [-e * r * x, e * (1.0 - x)]],
            math::exp(-by_s / self.fast_time_s),
        )
    }

    /// What comes anew over a time: covariance of height and rate of the slow part (11, 12, 22), variance of the fast part.
    pub(crate) fn anew(&self, by_s: f64) -> ([f64; 3], f64) {
        let r = self.per_s();
        let x = r * by_s;
        let a = self.slow_sd_m * self.slow_sd_m;
        let fast = -self.fast_sd_m * self.fast_sd_m * math::exp_m1(-2.0 * by_s / self.fast_time_s);
        // For short steps the closed form is a difference of numbers near 1: the series of the integral stands in.
        let [hh, hr, rr] = if x < 2e-3 {
            [
                x * x * x * (4.0 / 3.0 - x * (2.0 - x * 1.6)),
                x * x * (2.0 - x * (4.0 - x * 4.0)),
                x * (4.0 - x * (8.0 - x * (28.0 / 3.0))),
            ]
        } else {
            let e = math::exp(-2.0 * x);
            [
                1.0 - e * (1.0 + 2.0 * x * (1.0 + x)),
                2.0 * x * x * e,
                1.0 - e * (1.0 - 2.0 * x * (1.0 - x)),
            ]
        };
        ([a * hh, a * r * hr, a * r * r * rr], fast)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const ERRORS: Errors = Errors {
        slow_sd_m: 3.0,
        slow_time_s: 60.0,
        fast_sd_m: 0.4,
        fast_time_s: 10.0,
        white_sd_m: 0.1,
    };

    /// Stationary: what is kept and what comes anew make the variance that was there (C. E. Rasmussen and C. K. I. Williams, Gaussian Processes for Machine Learning, 2006, equation 4.17 and appendix B).
    #[test]
    fn what_is_kept_and_what_is_new_make_the_whole() {
        let a = math::powi(ERRORS.slow_sd_m, 2);
        let whole = [a, 0.0, a * math::powi(ERRORS.per_s(), 2)];
        for by in [1e-6, 1e-3, 0.1, 0.6, 0.7, 3.0, 40.0, 900.0] {
            let ([f, g], keep) = ERRORS.step(by);
            let (new, fast) = ERRORS.anew(by);
            let kept = [
                f[0] * f[0] * whole[0] + f[1] * f[1] * whole[2],
                f[0] * g[0] * whole[0] + f[1] * g[1] * whole[2],
                g[0] * g[0] * whole[0] + g[1] * g[1] * whole[2],
            ];
            for i in 0..3 {
                assert!((kept[i] + new[i] - whole[i]).abs() < 1e-6 * a, "{by} {i}");
            }
            assert!((keep * keep * 0.16 + fast - 0.16).abs() < 1e-12);
            // The covariance over the step is what is kept of the height.
            let covariance = f[0] * a + 0.16 * keep;
            assert!((covariance - ERRORS.covariance(by)).abs() < 1e-9);
        }
        // From the published covariance by hand: x = sqrt(3), (1 + x) e^-x = 0.48336.
        assert!(
            (Errors {
                fast_sd_m: 0.0,
                ..ERRORS
            }
            .covariance(60.0)
                - 9.0 * 0.483_358)
                .abs()
                < 1e-5
        );
    }
}
