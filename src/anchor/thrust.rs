//! Thrust of water under pressure on bends, ends, reducers and tees, as vectors.
//!
//! Everything follows from one sum: `F = (p1 A1 + rho Q V1) t1 - (p2 A2 + rho Q V2) t2`, t the direction of the flow. Basis page: thrust.

use crate::numeric::math;
use std::ops::{Add, Mul, Sub};

/// A vector: forward, left and up, or east, north and up.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Vector {
    /// Forward, or east.
    pub x: f64,
    /// Left, or north.
    pub y: f64,
    /// Up.
    pub z: f64,
}

impl Vector {
    /// Its length.
    pub fn size(self) -> f64 {
        math::hypot(math::hypot(self.x, self.y), self.z)
    }

    /// Its level part.
    pub fn level(self) -> f64 {
        math::hypot(self.x, self.y)
    }

    /// A direction of length 1: `turn_rad` to the left of forward, `rise_rad` above the horizontal.
    pub fn direction(turn_rad: f64, rise_rad: f64) -> Self {
        Self {
            x: math::cos(rise_rad) * math::cos(turn_rad),
            y: math::cos(rise_rad) * math::sin(turn_rad),
            z: math::sin(rise_rad),
        }
    }

    /// Sum of the products of the parts.
    pub fn dot(self, other: Self) -> f64 {
        self.x * other.x + self.y * other.y + self.z * other.z
    }

    /// Forward, left, up turned to east, north, up, with forward pointing along a level direction (east, north) of length 1.
    #[must_use]
    pub fn to_compass(self, forward: (f64, f64)) -> Self {
        let (east, north) = forward;
        Self {
            x: self.x * east - self.y * north,
            y: self.x * north + self.y * east,
            z: self.z,
        }
    }
}

impl Add for Vector {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self {
            x: self.x + other.x,
            y: self.y + other.y,
            z: self.z + other.z,
        }
    }
}

impl Sub for Vector {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        self + other * -1.0
    }
}

impl Mul<f64> for Vector {
    type Output = Self;
    fn mul(self, by: f64) -> Self {
        Self {
            x: self.x * by,
            y: self.y * by,
            z: self.z * by,
        }
    }
}

/// Water in a cross-section of the pipe.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FlowSection {
    /// Gauge pressure, Pa: with surge, or at the test.
    pub pressure_pa: f64,
    /// Area that the pressure acts on, m2: inside the seal, so the outside diameter at a socket.
    pub area_m2: f64,
    /// Area of the bore, m2.
    pub bore_m2: f64,
    /// Flow, m3/s.
    pub flow_m3_per_s: f64,
    /// Density, kg/m3.
    pub density_kg_per_m3: f64,
}

impl FlowSection {
    /// Mean speed, m/s.
    pub fn speed_m_per_s(&self) -> f64 {
        self.flow_m3_per_s / self.bore_m2
    }

    /// Pressure and momentum together, N: `p A + rho Q V`.
    pub fn push_n(&self) -> f64 {
        self.pressure_pa * self.area_m2
            + self.density_kg_per_m3 * self.flow_m3_per_s * self.speed_m_per_s()
    }

    /// The same water further on in another bore, without loss: pressure by Bernoulli.
    #[must_use]
    pub fn in_bore(&self, area_m2: f64, bore_m2: f64) -> Self {
        let after = Self {
            area_m2,
            bore_m2,
            ..*self
        };
        let gained = math::powi(self.speed_m_per_s(), 2) - math::powi(after.speed_m_per_s(), 2);
        Self {
            pressure_pa: self.pressure_pa + 0.5 * self.density_kg_per_m3 * gained,
            ..after
        }
    }
}

/// Force of the water on a fitting that it enters and leaves, N.
///
/// Source: momentum of steady flow (any text of hydraulics). Without the weight of water and fitting. Radians only.
pub fn on_fitting(enters: (FlowSection, Vector), leaves: (FlowSection, Vector)) -> Vector {
    enters.1 * enters.0.push_n() - leaves.1 * leaves.0.push_n()
}

/// Size of the thrust on a bend of one bore, N: `2 (p A + rho Q V) sin(angle/2)`, along the bisector, outward.
///
/// The angle is the deflection, rad; its sign does not matter, and it is held at half a turn.
pub fn on_bend_n(section: FlowSection, angle_rad: f64) -> f64 {
    let half = 0.5 * angle_rad.abs().min(std::f64::consts::PI);
    2.0 * section.push_n() * math::sin(half)
}

/// Thrust on a closed end, a shut valve or the branch of a tee, N: `p A`.
pub fn on_end_n(section: FlowSection) -> f64 {
    section.pressure_pa * section.area_m2
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use std::f64::consts::PI;

    fn still(pressure_pa: f64, area_m2: f64) -> FlowSection {
        FlowSection {
            pressure_pa,
            area_m2,
            bore_m2: area_m2,
            flow_m3_per_s: 0.0,
            density_kg_per_m3: 1_000.0,
        }
    }

    #[test]
    fn a_right_angle_pushes_equally_both_ways() {
        // a printed sheet gives 1.774 and 1.095 kN here: its cosine and sine took 90 for radians
        let s = still(975_000.0, 0.001_256_64);
        let f = on_fitting(
            (s, Vector::direction(0.0, 0.0)),
            (s, Vector::direction(PI / 2.0, 0.0)),
        );
        assert!(
            (f.x - 1_225.2).abs() < 0.5 && (f.y + 1_225.2).abs() < 0.5,
            "{f:?}"
        );
        let wrong = 1_225.2 * (1.0 - math::cos(90.0_f64));
        assert!((wrong - 1_774.0).abs() < 1.0 && (f.x - wrong).abs() > 500.0);
    }

    #[test]
    fn no_bend_no_thrust_and_a_half_turn_gives_twice_the_end() {
        let s = still(6e5, 0.01);
        assert_eq!(on_bend_n(s, 0.0), 0.0);
        assert!((on_bend_n(s, PI) - 2.0 * on_end_n(s)).abs() < 1e-9);
    }

    proptest! {
        #[test]
        fn the_sign_of_the_angle_does_not_matter(angle in -PI..PI, p in 0.0..3e6_f64, q in 0.0..0.1_f64) {
            let s = FlowSection { flow_m3_per_s: q, ..still(p, 0.01) };
            prop_assert_eq!(on_bend_n(s, angle), on_bend_n(s, -angle));
            let f = on_fitting((s, Vector::direction(0.0, 0.0)), (s, Vector::direction(angle, 0.0)));
            prop_assert!((f.size() - on_bend_n(s, angle)).abs() < 1e-6 * (1.0 + f.size()));
        }

        #[test]
        fn equal_ends_give_no_force(p in 0.0..3e6_f64, area in 0.001..0.2_f64, turn in -PI..PI, rise in -1.5..1.5_f64) {
            let t = Vector::direction(turn, rise);
            let s = still(p, area);
            prop_assert!(on_fitting((s, t), (s.in_bore(area, area), t)).size() < 1e-9 * (1.0 + p));
        }

        #[test]
        fn turning_both_directions_turns_the_force(p in 1e4..3e6_f64, by in -PI..PI, a in -PI..PI, rise in -1.0..1.0_f64) {
            let s = still(p, 0.01);
            let f = on_fitting((s, Vector::direction(0.0, 0.1)), (s, Vector::direction(a, rise)));
            let g = on_fitting((s, Vector::direction(by, 0.1)), (s, Vector::direction(a + by, rise)));
            let turned = f.to_compass((math::cos(by), math::sin(by)));
            prop_assert!((turned - g).size() < 1e-7 * (1.0 + f.size()));
        }

        #[test]
        fn a_combined_bend_is_as_large_as_its_angle_in_space(p in 1e4..3e6_f64, turn in -1.5..1.5_f64, down in -1.2..0.3_f64, up in -1.2..0.3_f64) {
            let s = still(p, 0.01);
            let (t1, t2) = (Vector::direction(0.0, down), Vector::direction(turn, up));
            let angle = math::acos(t1.dot(t2).clamp(-1.0, 1.0));
            let f = on_fitting((s, t1), (s, t2)).size();
            prop_assert!((f - on_bend_n(s, angle)).abs() < 1e-5 * (1.0 + f));
        }
    }
}
