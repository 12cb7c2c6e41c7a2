//! Outside pressure: when a pipe under suction, or empty in water, is pressed flat.

use super::{Known, Lasting, Material, Pipe, lasting_modulus_pa, poisson};
use crate::numeric::math;

/// A round or slightly oval ring without support from the ground.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ring {
    /// Modulus of the wall for as long as the load lasts, Pa.
    pub modulus_pa: f64,
    /// Poisson's ratio.
    pub poisson: f64,
    /// Outside diameter over wall.
    pub diameter_ratio: f64,
    /// Ovality: how far the diameter is pressed in, over the diameter, 0 to about 0.1.
    pub ovality: f64,
}

impl Ring {
    /// Outside pressure that presses it flat, Pa, without any factor of safety: 2E/(1-nu2)/(D/t-1)^3 times the share that ovality leaves.
    ///
    /// Source: the elastic ring (Levy 1884; Bresse), in the form of the AWWA M55 and PPI handbooks; the ledger holds it against printed tables of PVC and polyethylene.
    /// Valid for thin rings far from stiff ends, wall still elastic: steel thicker than about D/t 30 yields first.
    pub fn collapse_pa(&self) -> f64 {
        let thin = math::powi(self.diameter_ratio - 1.0, 3);
        2.0 * self.modulus_pa / (1.0 - self.poisson * self.poisson) / thin
            * ovality_factor(self.ovality)
    }
}

/// Share of the round ring's collapse pressure that is left at an ovality d: ((1-d)/(1+d)^2)^3.
///
/// Source: PPI Handbook of PE Pipe; the value at 1.35 % stands in an NRCS worksheet. Valid from 0 to about 0.1.
pub fn ovality_factor(ovality: f64) -> f64 {
    math::powi((1.0 - ovality) / math::powi(1.0 + ovality, 2), 3)
}

/// Ground round a buried pipe, as far as it holds the ring.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RingGround {
    /// Cover over the pipe, m.
    pub cover_m: f64,
    /// Modulus of soil reaction E', Pa: 6.9 MPa for well tamped granular fill, 1.4 MPa for dumped fill, 0 for soft clay or peat.
    pub soil_reaction_pa: f64,
    /// Standing water over the pipe's top, over the cover: 0 dry, 1 to the surface.
    pub water_share: f64,
}

/// Outside pressure that a buried ring may take, Pa, safety of 2.5 inside the formula:
/// (C/2.5) sqrt(32 Rw B' E' EI/D^3), Rw = 1 - 0.33 w, B' = 1/(1 + 4 exp(-0.213 H)).
///
/// Source: Luscher's form as in AWWA M55; B' is AWWA's, which for shallow cover is the stricter of the two in print (0.23 against 0.65 at 0.76 m in the NRCS form).
/// The form and B' are from memory. Ground counts only from 1.2 m of cover (from memory): `None` below, and below a quarter of the diameter.
pub fn soil_supported_pa(ring: &Ring, ground: &RingGround) -> f64 {
    const SAFETY: f64 = 2.5;
    let support = 1.0 / (1.0 + 4.0 * math::exp(-0.213 * ground.cover_m));
    let buoyancy = 1.0 - 0.33 * ground.water_share.clamp(0.0, 1.0);
    let stiffness = ring.modulus_pa / (12.0 * math::powi(ring.diameter_ratio - 1.0, 3));
    ovality_factor(ring.ovality) / SAFETY
        * (32.0 * buoyancy * support * ground.soil_reaction_pa * stiffness).sqrt()
}

/// Least cover from which the ground is counted on, m (from memory).
pub const COVER_THAT_COUNTS_M: f64 = 1.2;

/// How oval a pipe is expected to lie, over its diameter.
///
/// Polyethylene from a coil 5 %, in sticks 3 %, PVC 2 %, steel 1 % (common practice and memory, no source).
pub fn expected_ovality(pipe: &Pipe, coil: bool) -> Known {
    use super::How::Memory;
    const SAID: &str = "common practice, no source";
    match pipe.material {
        Material::Pe if coil => Known::new(0.05, Memory, SAID),
        Material::Pe => Known::new(0.03, Memory, SAID),
        Material::Pvc => Known::new(0.02, Memory, SAID),
        Material::Steel => Known::new(0.01, Memory, SAID),
    }
}

/// A load from outside and the state of the pipe that meets it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outside {
    /// How long it lasts and how warm the wall is.
    pub load: Lasting,
    /// Ovality over the diameter.
    pub ovality: f64,
    /// Wall lost to rust, m (steel).
    pub rust_m: f64,
}

/// Outside pressure that presses a pipe flat without support from the ground, Pa, no factor of safety, and how the stiffness behind it is known.
///
/// Without a wall (drain pipe whose wall is not known) it is 0: nothing is promised.
pub fn collapse_pa(pipe: &Pipe, outside: &Outside) -> Known {
    let modulus = lasting_modulus_pa(pipe, outside.load);
    let wall_m = pipe.wall_m - outside.rust_m;
    if wall_m <= 0.0 || pipe.outer_diameter_m <= 2.0 * wall_m {
        return Known::new(0.0, modulus.how, "no wall thickness left or known");
    }
    let ring = Ring {
        modulus_pa: modulus.value,
        poisson: poisson(pipe).value,
        diameter_ratio: pipe.outer_diameter_m / wall_m,
        ovality: outside.ovality,
    };
    Known::new(ring.collapse_pa(), modulus.how, modulus.source)
}

/// Factor of safety against collapse that this project asks for (in common use for full vacuum on plastics and steel, secondary sources).
pub const COLLAPSE_SAFETY: f64 = 2.0;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pipe::{catalogue, find};
    use proptest::prelude::*;

    #[test]
    fn a_thin_warm_line_cannot_take_a_vacuum_and_a_thick_one_can() {
        let outside = |wall_c| Outside {
            load: Lasting {
                hours: 24.0,
                wall_c,
            },
            ovality: 0.03,
            rust_m: 0.0,
        };
        let thin = find("PE100 SDR 26 110").unwrap();
        let thick = find("PE100 SDR 9 110").unwrap();
        assert!(collapse_pa(&thin, &outside(20.0)).value < 1.0e5);
        assert!(collapse_pa(&thick, &outside(20.0)).value > 6.0e5);
        assert!(
            collapse_pa(&thin, &outside(50.0)).value < collapse_pa(&thin, &outside(20.0)).value
        );
    }

    proptest! {
        #[test]
        fn longer_warmer_and_rounder_lost_is_never_stronger(row in 0usize..800, hours in 0.5f64..1e5, wall_c in 0.0f64..55.0, ovality in 0.0f64..0.08) {
            let pipe = catalogue().nth(row).unwrap();
            let at = |hours: f64, wall_c: f64, ovality: f64| {
                collapse_pa(pipe, &Outside { load: Lasting { hours, wall_c }, ovality, rust_m: 0.0 }).value
            };
            let here = at(hours, wall_c, ovality);
            prop_assert!(here.is_finite() && here > 0.0);
            prop_assert!(at(hours * 3.0, wall_c, ovality) <= here * (1.0 + 1e-12));
            prop_assert!(at(hours, wall_c + 4.0, ovality) <= here * (1.0 + 1e-12));
            prop_assert!(at(hours, wall_c, ovality + 0.02) <= here);
        }
    }
}
