//! Whether running water carries a pocket out: named relations for the critical speed, each with its tested range.
//!
//! Published relations differ by a factor of two. They are printed side by side and never make a crest safe: a plant runs throttled, at part flow, and restarts.
//! Basis page: sweeping.

use crate::numeric::math;
use crate::pipe::RunState;

crate::text::words! {
    /// A published relation for the speed at which water carries a pocket down a falling pipe.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
    pub enum Relation {
        /// Escarameia (2005), with the pocket's size.
        Escarameia = "Escarameia 2005",
        /// Wisner, Mohsen and Kouwen (1975), as Sanks, Pumping Station Design, gives it: an envelope.
        Wisner = "Wisner and others 1975",
        /// Kent (1952), refitted by Mosvell.
        Kent = "Kent 1952",
    }
}

/// A pocket on a falling leg, for the relations.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hanging {
    /// Bore, m.
    pub bore_m: f64,
    /// Slope below the horizontal, rad.
    pub slope_rad: f64,
    /// Volume of the pocket, m3.
    pub volume_m3: f64,
    /// Gravity, m/s2.
    pub gravity_m_per_s2: f64,
}

impl Hanging {
    /// Size of the pocket, n = 4 V / (pi D3).
    pub fn size_number(&self) -> f64 {
        4.0 * self.volume_m3 / (std::f64::consts::PI * math::powi(self.bore_m, 3))
    }
}

impl Relation {
    /// The relations that a pocket is judged by, the first two always.
    pub const JUDGED_BY: [Self; 3] = [Self::Escarameia, Self::Wisner, Self::Kent];

    /// Critical mean speed, m/s.
    ///
    /// Each is `v / sqrt(g D)` against the slope; slopes above the horizontal are taken as level.
    /// Sources: [`Relation`]. Escarameia's factor 1.1 and size steps, and all of Kent, are from memory.
    pub fn critical_m_per_s(self, pocket: Hanging) -> f64 {
        let slope = pocket.slope_rad.max(0.0);
        let root = math::sin(slope).sqrt();
        let froude = match self {
            Self::Escarameia => 1.1 * (0.56 * root + size_step(pocket.size_number())),
            Self::Wisner => 0.825 + 0.25 * root,
            Self::Kent => 0.55 + 0.5 * root,
        };
        froude * (pocket.gravity_m_per_s2 * pocket.bore_m).sqrt()
    }

    /// Slopes it was tested with, rad.
    pub fn tested_rad(self) -> (f64, f64) {
        let (from, to) = match self {
            Self::Escarameia => (0.0_f64, 22.0_f64),
            Self::Wisner => (5.0, 18.0),
            Self::Kent => (15.0, 60.0),
        };
        (from.to_radians(), to.to_radians())
    }

    /// Whether a pocket lies outside the tests: in slope, in size, or in a bore under 50 mm, where relations are known to differ most.
    pub fn is_beyond_tests(self, pocket: Hanging) -> bool {
        let (from, to) = self.tested_rad();
        !(from..=to).contains(&pocket.slope_rad)
            || pocket.bore_m < 0.05
            || (self == Self::Escarameia && pocket.size_number() > 2.0)
    }

    /// Whether the relation or a number in it is from memory.
    pub fn is_from_memory(self) -> bool {
        self != Self::Wisner
    }
}

/// Escarameia's steps by the size of the pocket.
fn size_step(n: f64) -> f64 {
    match n {
        n if n < 0.06 => 0.45,
        n if n < 0.12 => 0.50,
        n if n < 0.30 => 0.57,
        _ => 0.61,
    }
}

/// One pocket in one case by one relation.
#[derive(Debug, Clone, PartialEq)]
pub struct Sweep {
    /// The running state.
    pub case: RunState,
    /// The relation.
    pub relation: Relation,
    /// Mean speed of the water, m/s.
    pub speed_m_per_s: f64,
    /// Critical speed, m/s.
    pub critical_m_per_s: f64,
    /// Steepest downward slope behind the crest, rad below the horizontal.
    pub slope_rad: f64,
    /// The slope, size or bore lies outside what the relation was tested with.
    pub beyond_tests: bool,
    /// The relation or a number in it is known from memory.
    pub from_memory: bool,
}

impl Sweep {
    /// One pocket in one case by one relation.
    pub(super) fn of(
        case: &RunState,
        relation: Relation,
        pocket: Hanging,
        speed_m_per_s: f64,
    ) -> Self {
        Self {
            case: case.clone(),
            relation,
            speed_m_per_s,
            critical_m_per_s: relation.critical_m_per_s(pocket),
            slope_rad: pocket.slope_rad,
            beyond_tests: relation.is_beyond_tests(pocket),
            from_memory: relation.is_from_memory(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pocket(slope_deg: f64) -> Hanging {
        Hanging {
            bore_m: 0.1,
            slope_rad: slope_deg.to_radians(),
            volume_m3: 0.01,
            gravity_m_per_s2: 9.81,
        }
    }

    #[test]
    fn the_slope_is_an_angle_in_radians() {
        // 5 degrees, Escarameia, a large pocket: 0.845 m/s in 100 mm
        let v = Relation::Escarameia.critical_m_per_s(pocket(5.0));
        assert!((v - 0.844_715).abs() < 1e-5);
    }

    #[test]
    fn beyond_its_tests_it_says_so() {
        assert!(!Relation::Escarameia.is_beyond_tests(Hanging {
            volume_m3: 0.001,
            ..pocket(10.0)
        }));
        assert!(Relation::Escarameia.is_beyond_tests(pocket(30.0)));
        assert!(Relation::Kent.is_beyond_tests(pocket(10.0)));
        assert!(!Relation::Kent.is_beyond_tests(pocket(30.0)));
    }
}
