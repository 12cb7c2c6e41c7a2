//! A rigid motion in the plane, fitted to pairs of points.

use super::math;

/// A point in plan and where it should lie.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlanPair {
    /// East and north before the fit, m.
    pub from: (f64, f64),
    /// East and north it is fitted to, m.
    pub to: (f64, f64),
    /// Weight, 0 or more.
    pub weight: f64,
}

/// A turn about the origin and then a shift, in plan.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Motion {
    /// Turn, rad, positive to the left (anticlockwise).
    pub turn_rad: f64,
    /// Shift to the east, m.
    pub east_m: f64,
    /// Shift to the north, m.
    pub north_m: f64,
}

impl Motion {
    /// Where a point comes to lie.
    pub fn of(&self, (east, north): (f64, f64)) -> (f64, f64) {
        let (sin, cos) = math::sin_cos(self.turn_rad);
        (
            cos * east - sin * north + self.east_m,
            sin * east + cos * north + self.north_m,
        )
    }
}

/// The turn and shift that brings points onto others with the least weighted squares (W. Kabsch, 1976, in the plane), and the root mean square left over, m.
///
/// `None` where there are fewer than two points of weight.
pub fn kabsch(pairs: &[PlanPair]) -> Option<(Motion, f64)> {
    let weight: f64 = pairs.iter().map(|p| p.weight).sum();
    if pairs.iter().filter(|p| p.weight > 0.0).count() < 2 || weight <= 0.0 {
        return None;
    }
    let mean =
        |pick: fn(&PlanPair) -> f64| pairs.iter().map(|p| p.weight * pick(p)).sum::<f64>() / weight;
    let from = (mean(|p| p.from.0), mean(|p| p.from.1));
    let to = (mean(|p| p.to.0), mean(|p| p.to.1));
    let (mut dot, mut cross) = (0.0, 0.0);
    for p in pairs {
        let (a, b) = (
            (p.from.0 - from.0, p.from.1 - from.1),
            (p.to.0 - to.0, p.to.1 - to.1),
        );
        dot += p.weight * (a.0 * b.0 + a.1 * b.1);
        cross += p.weight * (a.0 * b.1 - a.1 * b.0);
    }
    let turn_rad = math::atan2(cross, dot);
    let turned = Motion {
        turn_rad,
        ..Motion::default()
    }
    .of(from);
    let motion = Motion {
        turn_rad,
        east_m: to.0 - turned.0,
        north_m: to.1 - turned.1,
    };
    let squares: f64 = pairs
        .iter()
        .map(|p| {
            let (e, n) = motion.of(p.from);
            p.weight * (math::powi(e - p.to.0, 2) + math::powi(n - p.to.1, 2))
        })
        .sum();
    Some((motion, (squares / weight).sqrt()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn a_turned_and_shifted_line_is_found_again(turn in -3.0..3.0f64, east in -50.0..50.0f64, north in -50.0..50.0f64) {
            let motion = Motion { turn_rad: turn, east_m: east, north_m: north };
            let pairs: Vec<PlanPair> = [(0.0, 0.0), (30.0, 5.0), (60.0, -12.0), (90.0, 3.0)]
                .into_iter()
                .map(|from| PlanPair { from, to: motion.of(from), weight: 1.0 })
                .collect();
            let (found, left) = kabsch(&pairs).unwrap();
            prop_assert!(left < 1e-9 && (found.turn_rad - turn).abs() < 1e-9);
            prop_assert!((found.east_m - east).abs() < 1e-8 && (found.north_m - north).abs() < 1e-8);
        }
    }
}
