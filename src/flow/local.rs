//! Loss coefficients of what stands in the water's way: head = K times the velocity head in the smaller bore.
//!
//! Handbooks differ by a quarter and more on one and the same fitting. Which is used here, and why, stands at each function:
//! Crane TP-410 for valves, elbows, tees and cones (the trade's common base), Rennels for sudden contractions, mitres and bends
//! (newer, and on the harmful side of Crane for contractions). A fitting with the maker's own K should carry it.

use crate::numeric::math;
use crate::pipe::{Entrance, FittingKind};
use std::f64::consts::{FRAC_PI_2, PI};

/// A loss coefficient, and how well it is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Coefficient {
    /// Head over velocity head in the bore it stands on.
    pub k: f64,
    /// The figure rests on memory or on a secondary source.
    pub from_memory: bool,
}

impl Coefficient {
    fn known(k: f64) -> Self {
        Self {
            k,
            from_memory: false,
        }
    }

    fn recalled(k: f64) -> Self {
        Self {
            k,
            from_memory: true,
        }
    }
}

/// Friction factor of clean commercial steel pipe (0.045 mm) of a bore at full turbulence: what Crane's multiples count in. Bore in m.
///
/// Source: the rule of Crane TP-410 (2009) section A-26; 0.019 at 2 in, 0.0173 at 3 in.
pub fn crane_factor(bore_m: f64) -> f64 {
    super::friction::fully_rough(0.045e-3 / bore_m)
}

/// Multiples of [`crane_factor`] for a fitting standing open (Crane TP-410, 2009, section A-26 onwards; the fully open butterfly of 2 to 8 in).
pub fn crane_multiple(kind: FittingKind) -> Option<f64> {
    match kind {
        FittingKind::GateValve => Some(8.0),
        FittingKind::BallValve => Some(3.0),
        FittingKind::ButterflyValve => Some(45.0),
        FittingKind::GlobeValve => Some(340.0),
        FittingKind::CheckValve => Some(100.0),
        FittingKind::Elbow => Some(30.0),
        FittingKind::TeeRun => Some(20.0),
        FittingKind::TeeBranch => Some(60.0),
        _ => None,
    }
}

/// The mouth of the pipe, on its bore: sharp 0.5, projecting 0.78, rounded 0.15 (an edge of 0.06 bores; a finer bell-mouth comes to 0.04).
///
/// Source: Crane TP-410 (2009) A-30. Rennels gives 0.57 for the sharp edge.
pub fn entrance(shape: Entrance) -> Coefficient {
    Coefficient::known(match shape {
        Entrance::Sharp => 0.5,
        Entrance::Rounded => rounded_entrance(0.06),
        Entrance::Projecting => 0.78,
    })
}

/// Rounded entrance by the radius of its edge over the bore: straight between the values of Crane TP-410 (2009) A-30.
pub fn rounded_entrance(radius_over_bore: f64) -> f64 {
    between(
        &[
            (0.0, 0.5),
            (0.02, 0.28),
            (0.04, 0.24),
            (0.06, 0.15),
            (0.10, 0.09),
            (0.15, 0.04),
        ],
        radius_over_bore,
    )
}

/// Sudden enlargement, on the smaller bore, by the ratio of bores (under 1): Borda and Carnot, (1 - b^2)^2, exact from momentum.
pub fn sudden_enlargement(ratio: f64) -> f64 {
    math::powi(1.0 - ratio * ratio, 2)
}

/// Sudden contraction, on the smaller bore, by the ratio of bores (under 1).
///
/// Source: D. C. Rennels and H. M. Hudson, Pipe Flow (2012) chapter 10. Crane's 0.5 (1 - b^2) is a quarter lower at b = 0.6; the harmful one is used.
pub fn sudden_contraction(ratio: f64) -> f64 {
    let b2 = ratio * ratio;
    let b5 = b2 * b2 * ratio;
    let vena = 1.0 + 0.622 * (1.0 - 0.215 * b2 - 0.785 * b5);
    0.0696 * (1.0 - b5) * vena * vena + math::powi(vena - 1.0, 2)
}

/// Conical enlargement, on the smaller bore, by the ratio of bores and the cone's whole angle, rad.
///
/// Source: Crane TP-410 (2009) A-26: 2.6 sin(a/2) (1 - b^2)^2 under 45 degrees, sudden from there on.
pub fn cone_enlargement(ratio: f64, angle_rad: f64) -> f64 {
    let share = if angle_rad < FRAC_PI_2 / 2.0 {
        2.6 * math::sin(angle_rad / 2.0)
    } else {
        1.0
    };
    share.min(1.0) * sudden_enlargement(ratio)
}

/// Conical contraction, on the smaller bore, by the ratio of bores and the cone's whole angle, rad.
///
/// Source: Crane TP-410 (2009) A-26: 0.8 sin(a/2) (1 - b^2) under 45 degrees, 0.5 sqrt(sin(a/2)) (1 - b^2) from there on.
pub fn cone_contraction(ratio: f64, angle_rad: f64) -> f64 {
    let half = math::sin(angle_rad.min(PI) / 2.0);
    let base = if angle_rad < FRAC_PI_2 / 2.0 {
        0.8 * half
    } else {
        0.5 * half.sqrt()
    };
    base * (1.0 - ratio * ratio)
}

/// Single mitre by its angle, rad, 0 to a right angle.
///
/// Source: Rennels and Hudson (2012) chapter 15: 0.42 sin(a/2) + 2.56 sin^3(a/2). Crane comes to 1.02 and Miller to 1.34 where this gives 1.20 at a right angle.
pub fn mitre(angle_rad: f64) -> f64 {
    let s = math::sin(angle_rad.abs() / 2.0);
    0.42 * s + 2.56 * math::powi(s, 3)
}

/// A smooth bend: its angle, its radius and the friction of its wall.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SmoothBend {
    /// Angle it turns through, rad, to half a turn.
    pub angle_rad: f64,
    /// Radius of its centre line over the bore.
    pub radius_over_bore: f64,
    /// Darcy friction factor of its wall.
    pub friction_factor: f64,
}

impl SmoothBend {
    /// Whole loss of the bend, its wall's friction within it.
    ///
    /// Source: Rennels and Hudson (2012) chapter 15. Good to some 20 % for radii of 1 to 10 bores.
    pub fn k(&self) -> f64 {
        let half = math::sin(self.angle_rad.abs() / 2.0);
        let f = self.friction_factor;
        self.wall()
            + (0.10 + 2.4 * f) * half
            + 6.6 * f * (half.sqrt() + half)
                / math::powf(self.radius_over_bore, 4.0 * self.angle_rad.abs() / PI)
    }

    /// What the bend adds to the friction of its length, which is counted with the pipe.
    pub fn added(&self) -> f64 {
        self.k() - self.wall()
    }

    fn wall(&self) -> f64 {
        self.friction_factor * self.angle_rad.abs() * self.radius_over_bore
    }
}

/// A moulded or threaded elbow by its angle, rad: 30 times the full-turbulence factor at a right angle (Crane), less for less by the shape of [`SmoothBend`].
pub fn elbow(angle_rad: f64, crane_factor: f64) -> f64 {
    let sweep = |angle_rad| SmoothBend {
        angle_rad,
        radius_over_bore: 1.0,
        friction_factor: 0.02,
    };
    30.0 * crane_factor * sweep(angle_rad).k() / sweep(FRAC_PI_2).k()
}

/// What a valve's loss grows to when it is not fully open: its K from the open one's and the share it stands open, 0 to 1.
///
/// Gate: 0.9, 4.5, 24 at three quarters, half and a quarter open. Globe: 9.5 at half (conventional seat). Butterfly and ball by the angle turned:
/// 10, 20, 40, 60 degrees come to 0.52, 1.54, 10.8, 118 and 0.29, 1.56, 17.3, 206. Straight in the logarithm between, without end towards shut.
/// Source: R. H. Perry, Chemical Engineers' Handbook, friction loss of valves part open; from memory. Makers' valves differ by half and more.
/// `None`: shut, or no such valve.
pub fn valve_part_open(kind: FittingKind, open_k: f64, open: f64) -> Option<Coefficient> {
    if open >= 1.0 {
        return Some(Coefficient::known(open_k));
    }
    // share open and K, from open to nearly shut
    let table: &[(f64, f64)] = match kind {
        FittingKind::GateValve => &[(0.25, 24.0), (0.5, 4.5), (0.75, 0.9)],
        FittingKind::GlobeValve => &[(0.25, 24.0), (0.5, 9.5)],
        FittingKind::ButterflyValve => &[
            (1.0 / 3.0, 118.0),
            (5.0 / 9.0, 10.8),
            (7.0 / 9.0, 1.54),
            (8.0 / 9.0, 0.52),
        ],
        FittingKind::BallValve => &[
            (1.0 / 3.0, 206.0),
            (5.0 / 9.0, 17.3),
            (7.0 / 9.0, 1.56),
            (8.0 / 9.0, 0.29),
        ],
        _ => return None,
    };
    let (least, most) = table.first().copied()?;
    if open <= 0.0 {
        return None;
    }
    if open < least {
        // like an orifice: the loss goes with the square of the opening and, near shut, faster
        return Some(Coefficient::recalled(most * math::powi(least / open, 3)));
    }
    let mut logs: Vec<(f64, f64)> = table
        .iter()
        // an open valve that loses more than the table's part-open one rules
        .map(|&(s, k)| (s, math::ln(k.max(open_k))))
        .collect();
    logs.push((1.0, math::ln(open_k.max(1e-6))));
    Some(Coefficient::recalled(math::exp(between(&logs, open))))
}

/// A screen on the mouth: the loss of the clear one, grown by the share that is blocked (water goes 1/(1 - share) times as fast through the rest).
///
/// Where no loss of the clear screen is given, the open area is taken as the bore's: K = 1/(1 - share)^2 - 1. `None`: blocked whole.
pub fn blocked_screen(clear_k: f64, blocked: f64) -> Option<f64> {
    let through = 1.0 - blocked.clamp(0.0, 1.0);
    if through <= 0.0 {
        None
    } else if clear_k > 0.0 {
        Some(clear_k / (through * through))
    } else {
        Some(1.0 / (through * through) - 1.0)
    }
}

/// Straight between rising points, held at the ends; 0 where there are none.
pub(super) fn between(points: &[(f64, f64)], x: f64) -> f64 {
    let above = points.partition_point(|p| p.0 < x);
    match (
        above.checked_sub(1).and_then(|i| points.get(i)),
        points.get(above),
    ) {
        (Some(&(x0, y0)), Some(&(x1, y1))) if x1 > x0 => y0 + (y1 - y0) * (x - x0) / (x1 - x0),
        (_, Some(&(_, y))) | (Some(&(_, y)), None) => y,
        (None, None) => 0.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn shutting_a_valve_never_eases_it(open in 0.02..0.99_f64, less in 0.5..0.999_f64) {
            for kind in [FittingKind::GateValve, FittingKind::GlobeValve, FittingKind::ButterflyValve, FittingKind::BallValve] {
                let k0 = crane_multiple(kind).unwrap() * 0.018;
                let k = |open| valve_part_open(kind, k0, open).unwrap().k;
                prop_assert!(k(open * less) >= k(open));
                prop_assert!(k(open) >= k0);
            }
        }

        #[test]
        fn a_sharper_turn_never_loses_less(angle in 0.05..1.5_f64, more in 1.0..1.5_f64) {
            let wider = (angle * more).min(FRAC_PI_2);
            prop_assert!(mitre(wider) >= mitre(angle));
            prop_assert!(elbow(wider, 0.018) >= elbow(angle, 0.018) - 1e-12);
        }
    }

    #[test]
    fn a_shut_valve_passes_nothing() {
        assert_eq!(valve_part_open(FittingKind::GateValve, 0.15, 0.0), None);
        assert_eq!(blocked_screen(0.4, 1.0), None);
    }

    #[test]
    fn a_right_elbow_is_thirty_times_the_factor() {
        assert!((elbow(FRAC_PI_2, 0.018) - 0.54).abs() < 1e-12);
    }

    #[test]
    fn cones_end_in_the_sudden_change() {
        assert!((cone_contraction(0.6, PI) - 0.5 * (1.0 - 0.36)).abs() < 1e-12);
        assert!((cone_enlargement(0.6, PI) - sudden_enlargement(0.6)).abs() < 1e-12);
    }
}
