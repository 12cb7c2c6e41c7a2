//! Closed forms of the handbooks: comparisons and checks, never the answer.

/// A single pipe with what moves at its lower end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SinglePipe {
    /// Length, m.
    pub length_m: f64,
    /// Wave speed, m/s.
    pub wave_speed_m_per_s: f64,
    /// Velocity before, m/s.
    pub velocity_m_per_s: f64,
    /// Running head above the nozzle, m.
    pub head_m: f64,
    /// Gravity, m/s2.
    pub gravity_m_per_s2: f64,
}

impl SinglePipe {
    /// Time of a wave to the intake and back, s: 2L/a.
    pub fn critical_time_s(&self) -> f64 {
        2.0 * self.length_m / self.wave_speed_m_per_s
    }

    /// Rise of an instant stop, m: a V/g. Joukowsky (1898).
    pub fn joukowsky_m(&self) -> f64 {
        self.wave_speed_m_per_s * self.velocity_m_per_s / self.gravity_m_per_s2
    }

    /// Michaud's rise of a straight closing within `over_s`, m: 2 L V/(g T). Michaud (1878). Only for T above 2L/a; it is no safe bound.
    pub fn michaud_m(&self, over_s: f64) -> f64 {
        2.0 * self.length_m * self.velocity_m_per_s / (self.gravity_m_per_s2 * over_s)
    }

    /// Average rise of a rigid column brought to rest evenly, m: L V/(g T), half of Michaud's.
    pub fn rigid_average_m(&self, over_s: f64) -> f64 {
        self.michaud_m(over_s) / 2.0
    }

    /// Rise of a rigid column behind a nozzle whose area closes straight, m: H (K/2 + sqrt(K + K2/4)), K = (L V/(g H T))2. It is too low for high heads.
    pub fn rigid_nozzle_m(&self, over_s: f64) -> f64 {
        let n = self.rigid_average_m(over_s) / self.head_m;
        self.head_m * rigid_rise_share(n)
    }

    /// The pipe's number rho = a V/(2 g H).
    pub fn pipe_number(&self) -> f64 {
        self.joukowsky_m() / (2.0 * self.head_m)
    }
}

/// Rise over running head of a rigid column behind a closing nozzle, n = L V/(g H T).
pub fn rigid_rise_share(n: f64) -> f64 {
    let k = n * n;
    k / 2.0 + (k + k * k / 4.0).sqrt()
}

/// A straight closing or opening of a nozzle's area on a single pipe without friction, in pure numbers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Interlocking {
    /// rho = a V0/(2 g H0), V0 with the nozzle fully open.
    pub pipe_number: f64,
    /// Time of the movement over 2L/a.
    pub phases: f64,
}

/// Highest and lowest head at the nozzle over the running head, with the time of each over 2L/a.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Extremes {
    /// Highest.
    pub max: f64,
    /// When.
    pub max_at: f64,
    /// Lowest.
    pub min: f64,
    /// When.
    pub min_at: f64,
}

impl Interlocking {
    /// Extremes while the nozzle closes from fully open, by Allievi's interlocking equations followed at every offset within a phase.
    ///
    /// `z_i^2 + z_(i-1)^2 - 2 = 2 rho (tau_(i-1) z_(i-1) - tau_i z_i)` with z the root of the head over the running head. Allievi (1903, 1913).
    /// Frictionless, one pipe, nozzle to the air. Heads below nothing are those of water that does not part.
    pub fn closing(&self) -> Extremes {
        let area = |t: f64| (1.0 - t / self.phases).max(0.0);
        const OFFSETS: usize = 2000;
        let mut found = Extremes {
            max: 1.0,
            max_at: 0.0,
            min: 1.0,
            min_at: 0.0,
        };
        let phases = self.phases.ceil() as usize + 3;
        for k in 0..OFFSETS {
            let offset = k as f64 / OFFSETS as f64;
            // before the start the head is the running one and what passes is the opening's share
            let mut before = ClosedFormState {
                head: 1.0,
                passed: area(0.0),
            };
            for i in 0..phases {
                let t = offset + i as f64;
                let now = self.next(before, area(t));
                if now.head > found.max + 1e-12 {
                    found.max = now.head;
                    found.max_at = t;
                }
                if now.head < found.min - 1e-12 {
                    found.min = now.head;
                    found.min_at = t;
                }
                before = now;
            }
        }
        found
    }

    /// One phase on: h + h' - 2 = 2 rho (u' - u), u = tau sqrt(h).
    fn next(&self, before: ClosedFormState, area: f64) -> ClosedFormState {
        let rho = self.pipe_number;
        let known = 2.0 - before.head + 2.0 * rho * before.passed;
        // h + 2 rho tau sqrt(h) = known; a head below nothing passes nothing
        let half = rho * area;
        let z = (half * half + known).max(0.0).sqrt() - half;
        if z > 0.0 && known > 0.0 {
            ClosedFormState {
                head: z * z,
                passed: area * z,
            }
        } else {
            ClosedFormState {
                head: known,
                passed: 0.0,
            }
        }
    }
}

#[derive(Clone, Copy)]
struct ClosedFormState {
    head: f64,
    passed: f64,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_quick_closing_gives_the_whole_rise() {
        let e = Interlocking {
            pipe_number: 0.4,
            phases: 0.5,
        }
        .closing();
        assert!((e.max - 1.8).abs() < 1e-12 && (e.min - 0.2).abs() < 1e-12);
    }
}
