//! Robust fits of one survey to another: turn and shift in plan, offset and drift in height.

use crate::numeric::math;

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

/// The middle value; 0 of none.
pub fn median(values: &[f64]) -> f64 {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    let half = sorted.len() / 2;
    let at = |i: usize| sorted.get(i).copied().unwrap_or(0.0);
    if sorted.len() % 2 == 1 {
        at(half)
    } else if half > 0 {
        0.5 * (at(half - 1) + at(half))
    } else {
        0.0
    }
}

/// The spread about the middle value that outliers do not move: 1.4826 times the median of absolute differences, the standard deviation where the values are normal.
pub fn spread(values: &[f64]) -> f64 {
    let middle = median(values);
    let off: Vec<f64> = values.iter().map(|v| (v - middle).abs()).collect();
    1.4826 * median(&off)
}

/// A straight line through values, by least squares.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drift {
    /// Value at station 0, m.
    pub at_start_m: f64,
    /// Slope, m per m.
    pub per_m: f64,
    /// Slope over its own standard deviation; 0 where that is not known.
    pub times_sd: f64,
}

/// Offset and drift of differences along the stations; `None` of fewer than three.
pub fn drift(station_m: &[f64], values_m: &[f64]) -> Option<Drift> {
    let n = station_m.len().min(values_m.len());
    if n < 3 {
        return None;
    }
    let count = n as f64;
    let pairs = || station_m.iter().zip(values_m);
    let s = pairs().map(|(s, _)| s).sum::<f64>() / count;
    let v = pairs().map(|(_, v)| v).sum::<f64>() / count;
    let ss: f64 = pairs().map(|(x, _)| math::powi(x - s, 2)).sum();
    let sv: f64 = pairs().map(|(x, y)| (x - s) * (y - v)).sum();
    if ss <= 0.0 {
        return None;
    }
    let per_m = sv / ss;
    let left: f64 = pairs()
        .map(|(x, y)| math::powi(y - v - per_m * (x - s), 2))
        .sum();
    let sd = (left / (count - 2.0) / ss).sqrt();
    Some(Drift {
        at_start_m: v - per_m * s,
        per_m,
        times_sd: if sd > 0.0 { per_m / sd } else { 0.0 },
    })
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

    #[test]
    fn one_wild_value_moves_neither_middle_nor_spread_far() {
        let mut values = [1.0, 1.1, 0.9, 1.05, 0.95, 1.0, 1.02];
        let (middle, wide) = (median(&values), spread(&values));
        values[2] = 50.0;
        assert!((median(&values) - middle).abs() < 0.05 && spread(&values) < 2.0 * wide);
        assert_eq!(median(&[]), 0.0);
    }
}
