//! Legs in plan, and the compass rule that closes them.

use crate::numeric::math;

/// A leg in plan.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TraverseLeg {
    /// Level length, m.
    pub length_m: f64,
    /// Bearing from north, clockwise, rad.
    pub bearing_rad: f64,
}

impl TraverseLeg {
    /// Northward part, m.
    pub fn north_m(&self) -> f64 {
        self.length_m * math::cos(self.bearing_rad)
    }

    /// Eastward part, m.
    pub fn east_m(&self) -> f64 {
        self.length_m * math::sin(self.bearing_rad)
    }
}

/// A traverse that should come back to its start.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Loop {
    /// Sum of northward parts before adjustment, m: 0 where it closes.
    pub north_off_m: f64,
    /// Sum of eastward parts before adjustment, m.
    pub east_off_m: f64,
    /// Length once round, m.
    pub perimeter_m: f64,
    /// Adjusted (east, north) parts of each leg, m.
    pub legs_m: Vec<(f64, f64)>,
}

impl Loop {
    /// How far the end misses the start, m.
    pub fn off_m(&self) -> f64 {
        math::hypot(self.north_off_m, self.east_off_m)
    }
}

/// Closes a traverse by the compass (Bowditch) rule: each leg takes its length's share of the misclosure.
pub fn close(courses: &[TraverseLeg]) -> Loop {
    let north_off_m: f64 = courses.iter().map(TraverseLeg::north_m).sum();
    let east_off_m: f64 = courses.iter().map(TraverseLeg::east_m).sum();
    let perimeter_m: f64 = courses.iter().map(|c| c.length_m).sum();
    let legs_m = courses
        .iter()
        .map(|c| {
            let share = if perimeter_m > 0.0 {
                c.length_m / perimeter_m
            } else {
                0.0
            };
            (
                c.east_m() - east_off_m * share,
                c.north_m() - north_off_m * share,
            )
        })
        .collect();
    Loop {
        north_off_m,
        east_off_m,
        perimeter_m,
        legs_m,
    }
}

/// True bearing from a magnetic one, rad in [0, 2 pi): declination east is positive.
pub fn true_bearing_rad(magnetic_rad: f64, declination_rad: f64) -> f64 {
    (magnetic_rad + declination_rad).rem_euclid(std::f64::consts::TAU)
}
