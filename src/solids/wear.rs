use crate::line::Worn;
use crate::numeric::math;

/// Growth of a nozzle's area at which it counts as worn.
pub const WORN_SHARE: f64 = 0.05;

/// Wear grows by this power of the velocity (tests of others give 2 to 3.8; I. Finnie, Erosion of surfaces by solid particles, 1960, from memory).
const BY_VELOCITY: f64 = 3.0;

/// How much wider a nozzle is once its area has grown by a share, m: `d (sqrt(1 + share) - 1)`. Plain geometry.
pub fn wider_m(nozzle_diameter_m: f64, share: f64) -> f64 {
    nozzle_diameter_m * ((1.0 + share).sqrt() - 1.0)
}

/// Time in operation until a nozzle's area has grown by 5 %, s: by wear that was measured, even in time and by the third power of the velocity, so by the 1.5th of the head.
///
/// Valid for the same water and the same metal.
pub fn worn_after_s(nozzle_diameter_m: f64, net_head_m: f64, worn: &Worn) -> f64 {
    let faster = worn.head_m.map_or(1.0, |measured_m| {
        math::powf(net_head_m / measured_m, 0.5 * BY_VELOCITY)
    });
    worn.over_s * wider_m(nozzle_diameter_m, WORN_SHARE) / (worn.by_m * faster)
}

/// Largest grain that a machine bears at a head, m, before its nozzles and runner wear quickly: 0.5 mm to 50 m, 0.3 mm to 100 m, 0.2 mm above.
///
/// Source: E. Mosonyi, Water Power Development (from memory): 0.2 to 0.5 mm at medium heads, 0.1 to 0.2 mm above 100 m; the steps are ours.
pub fn bears_m(net_head_m: f64) -> f64 {
    if net_head_m > 100.0 {
        0.0002
    } else if net_head_m > 50.0 {
        0.0003
    } else {
        0.0005
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        /// More head never lets a nozzle last longer, and a nozzle worn by 5 % has 5 % more area.
        #[test]
        fn more_head_wears_sooner(d in 0.003..0.1_f64, head in 5.0..300.0_f64, more in 1.01..3.0_f64) {
            let worn = Worn { by_m: 2e-4, over_s: 3.6e6, head_m: Some(60.0) };
            prop_assert!(worn_after_s(d, head * more, &worn) < worn_after_s(d, head, &worn));
            prop_assert!(bears_m(head * more) <= bears_m(head));
            let grown = (d + wider_m(d, WORN_SHARE)) / d;
            prop_assert!((grown * grown - 1.05).abs() < 1e-12);
        }
    }
}
