//! Friction of water in a full round pipe.

use super::Regime;
use crate::numeric::math;

/// Under this Reynolds number the flow is taken as laminar.
pub const LAMINAR_BELOW: f64 = 2_000.0;
/// Over this Reynolds number the flow is taken as turbulent.
pub const TURBULENT_ABOVE: f64 = 4_000.0;

/// A flow in a bore: what the friction factor hangs on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BoreFlow {
    /// Reynolds number: velocity times bore over kinematic viscosity.
    pub reynolds: f64,
    /// Sand roughness over bore.
    pub relative_roughness: f64,
}

/// Darcy friction factor by Colebrook and White, solved to rounding: 1/sqrt(f) = -2 log10(e/(3.7 D) + 2.51/(Re sqrt(f))).
///
/// Valid: Re 4,000 to 1e8, e/D 0 to 0.05. Measured pipes lie within some 5 % of it on new smooth pipe, 10 to 15 % on old.
/// Source: C. F. Colebrook, J. Inst. Civ. Engrs 11 (1939) 133. The constants 3.7 and 2.51 are Colebrook's own; forms with 3.71 or 3.72 differ by up to 0.2 %.
pub fn colebrook_white(wall: BoreFlow) -> f64 {
    let rough = wall.relative_roughness / 3.7;
    let smooth = 2.51 / wall.reynolds;
    // x = 1/sqrt(f); Haaland's explicit form starts Newton within 1.5 % and it doubles its digits at each step.
    let mut x = -1.8 * math::log10(math::powf(rough, 1.11) + 6.9 / wall.reynolds);
    for _ in 0..20 {
        let inside = rough + smooth * x;
        let off = x + 2.0 * math::log10(inside);
        let slope = 1.0 + 2.0 * smooth / (std::f64::consts::LN_10 * inside);
        let step = off / slope;
        x -= step;
        if step.abs() <= 2.0 * f64::EPSILON * x.abs() {
            break;
        }
    }
    1.0 / (x * x)
}

/// Darcy friction factor over the whole range of flow, with what kind of flow it is.
///
/// Laminar under Re 2,000 (f = 64/Re, Hagen and Poiseuille); Colebrook and White over 4,000; in the gap no law holds, and the factor is joined straight in Re
/// between its two ends, so that the loss never falls while the flow rises. Small penstocks run at Re 20,000 and more; the gap matters only for trickles.
pub fn factor(wall: BoreFlow) -> (f64, Regime) {
    if wall.reynolds <= 0.0 {
        (0.0, Regime::Still)
    } else if wall.reynolds <= LAMINAR_BELOW {
        (64.0 / wall.reynolds, Regime::Laminar)
    } else if wall.reynolds >= TURBULENT_ABOVE {
        (colebrook_white(wall), Regime::Turbulent)
    } else {
        let low = 64.0 / LAMINAR_BELOW;
        let high = colebrook_white(BoreFlow {
            reynolds: TURBULENT_ABOVE,
            ..wall
        });
        let share = (wall.reynolds - LAMINAR_BELOW) / (TURBULENT_ABOVE - LAMINAR_BELOW);
        (low + (high - low) * share, Regime::Between)
    }
}

/// Friction factor where roughness alone counts: 1/sqrt(f) = -2 log10(e/(3.7 D)), the limit of Colebrook and White for Re without end.
///
/// The trade's multiples of it (8 for a gate valve, 30 for an elbow) stand in [`super::local`].
pub fn fully_rough(relative_roughness: f64) -> f64 {
    0.25 / math::powi(math::log10(relative_roughness / 3.7), 2)
}

/// Two stations nearer than this are one, m.
pub(super) const SAME_M: f64 = 1e-6;

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn the_equation_holds_to_rounding(re in 4e3..1e8_f64, rough in 0.0..0.05_f64) {
            let f = colebrook_white(BoreFlow { reynolds: re, relative_roughness: rough });
            let x = 1.0 / f.sqrt();
            prop_assert!((x + 2.0 * math::log10(rough / 3.7 + 2.51 * x / re)).abs() < 1e-12 * x);
        }

        #[test]
        fn loss_never_falls_while_flow_rises(re in 10.0..1e6_f64, more in 1.0001..2.0_f64, rough in 0.0..0.02_f64) {
            // loss goes with f Re^2
            let loss = |re: f64| factor(BoreFlow { reynolds: re, relative_roughness: rough }).0 * re * re;
            prop_assert!(loss(re * more) > loss(re));
        }
    }

    #[test]
    fn the_regimes_meet() {
        let at = |reynolds| {
            factor(BoreFlow {
                reynolds,
                relative_roughness: 1e-4,
            })
        };
        assert!((at(2_000.0).0 - at(2_000.001).0).abs() < 1e-6);
        assert!((at(4_000.0).0 - at(3_999.999).0).abs() < 1e-6);
        assert_eq!(at(0.0), (0.0, Regime::Still));
        assert_eq!(at(3_000.0).1, Regime::Between);
    }
}
