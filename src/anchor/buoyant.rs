//! Buried pipe that water stands round: empty it floats, unless cover or weight keeps it down. Basis page: buoyancy.

use super::floods::{ballast_kg_per_m, lift_empty_n_per_m, lift_full_n_per_m};
use super::ground::{SiteWater, empty_n_per_m};
use super::pieces::{Afloat, Filled, NoFill, WetBy};
use crate::line::{Environment, Laid, Reach, Reaches};
use crate::numeric::math;
use crate::pipe::{Bed, Pipe, Soil, Wet};

/// Safety of pipe and cover against uplift.
///
/// Source: US Army Corps of Engineers, EM 1110-2-2100 (2005), table 3-4, usual loading (secondary source). EN 1997-1, limit state of uplift, asks 1.0/0.9 = 1.11.
pub const COVER_SAFETY: f64 = 1.3;

/// Least weight of a soil thrown back and full of water, under water, N/m3.
///
/// Sand, gravel and broken rock 8.6 kN/m3: loose cohesionless soil, 55 lb/ft3 (EM 1110-2-2504 (1994), table 3-1). Silt and clay 5.7 kN/m3: soft, slightly organic clay, 1.58 Mg/m3 full of water (Terzaghi and Peck, from memory). Peat: nothing.
pub fn drowned_n_per_m3(soil: Soil) -> f64 {
    match soil {
        Soil::Peat => 0.0,
        Soil::SoftClay | Soil::Silt | Soil::Clay | Soil::HardClay => 5.7e3,
        Soil::Sand | Soil::Gravel | Soil::WeakRock | Soil::Rock => 8.64e3,
    }
}

/// Fill above a pipe that must be lifted with it, m2: `D H + (1/2 - pi/8) D2`, as wide as the pipe.
///
/// Source: the prism over the pipe with the two corners above its middle, as pipe associations give it for shallow cover (`0.1073 D2`, secondary source). Friction at the sides of the prism is left out.
pub fn fill_area_m2(outer_diameter_m: f64, cover_m: f64) -> f64 {
    outer_diameter_m * cover_m + CORNERS * math::powi(outer_diameter_m, 2)
}

/// The two corners over a circle's upper half, over the diameter squared.
const CORNERS: f64 = 0.5 - std::f64::consts::PI / 8.0;

/// Weight of the empty pipe and the fill over the uplift of the whole section: 1 hovers.
///
/// `cover_m` is what counts, not negative.
pub fn safety(pipe: &Pipe, soil_n_per_m3: f64, cover_m: f64, water: SiteWater) -> f64 {
    let down = empty_n_per_m(pipe, water.gravity_m_per_s2)
        + soil_n_per_m3 * fill_area_m2(pipe.outer_diameter_m, cover_m);
    down / up_n_per_m(pipe, water)
}

/// Least cover that gives a safety, m; 0 where pipe and corners are heavy enough; `None` where the soil weighs nothing and the pipe floats.
pub fn cover_for_m(
    pipe: &Pipe,
    soil_n_per_m3: f64,
    asked_safety: f64,
    water: SiteWater,
) -> Option<f64> {
    let lacks =
        asked_safety * up_n_per_m(pipe, water) - empty_n_per_m(pipe, water.gravity_m_per_s2);
    if lacks <= 0.0 {
        return Some(0.0);
    }
    (soil_n_per_m3 > 0.0).then(|| {
        let area_m2 = lacks / soil_n_per_m3;
        (area_m2 / pipe.outer_diameter_m - CORNERS * pipe.outer_diameter_m).max(0.0)
    })
}

/// Weight of the water that the whole section drives away, N/m (Archimedes).
fn up_n_per_m(pipe: &Pipe, water: SiteWater) -> f64 {
    pipe.outer_area_m2() * water.density_kg_per_m3 * water.gravity_m_per_s2
}

/// Each buried reach that is said to be wet or lies in a flood, parted where pipe, ground or flood change. Pipe that sinks even empty is left out: nothing is to be told of it.
pub(super) fn afloat(reaches: &Reaches, environment: &Environment) -> Vec<Afloat> {
    let ends: Vec<f64> = environment
        .floods
        .iter()
        .flat_map(|f| [f.from_m, f.to_m])
        .collect();
    let buried = environment.laid.iter().filter(|l| l.bed == Bed::Buried);
    buried
        .flat_map(|laid| {
            let parts = reaches.alike(&environment.ground, (laid.from_m, laid.to_m), &ends);
            parts
                .into_iter()
                .filter_map(|part| one(reaches, environment, laid, part))
        })
        .collect()
}

fn one(
    reaches: &Reaches,
    environment: &Environment,
    laid: &Laid,
    (from_m, to_m): (f64, f64),
) -> Option<Afloat> {
    let middle = 0.5 * (from_m + to_m);
    let flooded = environment
        .floods
        .iter()
        .any(|f| (f.from_m..=f.to_m).contains(&middle));
    let by = match laid.trench.wet {
        Some(Wet::Stream) => WetBy::Stream,
        Some(Wet::Trench) => WetBy::Trench,
        None if flooded => WetBy::Flood,
        None => return None,
    };
    let reach = reaches.at(middle)?;
    let water = SiteWater::of(environment);
    let lift_empty_n_per_m = lift_empty_n_per_m(&reach.pipe, water);
    if lift_empty_n_per_m <= 0.0 || !reach.pipe.is_sized() {
        return None;
    }
    let soil = environment.soil_at(middle);
    // where the soil is not named, the lightest that is no peat
    let weighs = soil.map_or(drowned_n_per_m3(Soil::Silt), drowned_n_per_m3);
    let scour_m = laid.trench.scour_m.unwrap_or(0.0);
    Some(Afloat {
        from_m,
        to_m,
        by,
        lift_empty_n_per_m,
        lift_full_n_per_m: lift_full_n_per_m(&reach.pipe, water),
        to_lay: !reach.is_laid,
        fill: filled(laid, reach, by, soil, water),
        wanted_cover_m: cover_for_m(&reach.pipe, weighs, COVER_SAFETY, water).map(|m| m + scour_m),
        ballast_kg_per_m: ballast_kg_per_m(lift_empty_n_per_m, water),
    })
}

fn filled(
    laid: &Laid,
    reach: &Reach,
    by: WetBy,
    soil: Option<Soil>,
    water: SiteWater,
) -> Result<Filled, NoFill> {
    let cover_m = laid.cover_m.ok_or(NoFill::CoverUnknown)?;
    let scour_m = match (by, laid.trench.scour_m) {
        (WetBy::Stream, None) => return Err(NoFill::ScourUnknown),
        (_, scour) => scour.unwrap_or(0.0),
    };
    let weighs = drowned_n_per_m3(soil.ok_or(NoFill::SoilUnknown)?);
    let cover_m = (cover_m - scour_m).max(0.0);
    Ok(Filled {
        cover_m,
        weight_n_per_m: weighs * fill_area_m2(reach.pipe.outer_diameter_m, cover_m),
        safety: safety(&reach.pipe, weighs, cover_m, water),
    })
}

impl Afloat {
    /// The fill is known and does not keep the empty pipe down.
    pub fn floats(&self) -> bool {
        self.fill.is_ok_and(|f| f.safety < COVER_SAFETY)
    }

    /// Concrete of the weights that keep the empty pipe of the whole reach down, kg in air.
    pub fn ballast_kg(&self) -> f64 {
        self.ballast_kg_per_m * (self.to_m - self.from_m)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pipe::find;
    use proptest::prelude::*;

    const WATER: SiteWater = SiteWater {
        density_kg_per_m3: 1000.0,
        gravity_m_per_s2: 9.81,
    };

    #[test]
    fn the_corners_are_a_square_less_its_circle() {
        // what the upper half of a square has more than the upper half of its circle
        let d = 0.4;
        let corners = d * d / 2.0 - std::f64::consts::PI * d * d / 8.0;
        assert!((fill_area_m2(d, 0.0) - corners).abs() < 1e-12);
    }

    proptest! {
        #[test]
        fn more_cover_and_heavier_fill_never_float_sooner(row in 0usize..800, cover_m in 0.0f64..5.0, weighs in 1e3f64..12e3, more in 0.01f64..1.0) {
            let pipe = crate::pipe::catalogue().nth(row).unwrap();
            let here = safety(pipe, weighs, cover_m, WATER);
            prop_assert!(here.is_finite() && here > 0.0);
            prop_assert!(safety(pipe, weighs, cover_m + more, WATER) > here);
            prop_assert!(safety(pipe, weighs * (1.0 + more), cover_m, WATER) > here);
        }

        /// The cover that is asked for gives the safety that is asked for, and a hair less does not.
        #[test]
        fn the_cover_asked_for_is_just_enough(row in 0usize..800, weighs in 1e3f64..12e3, asked in 1.0f64..2.0) {
            let pipe = crate::pipe::catalogue().nth(row).unwrap();
            let cover_m = cover_for_m(pipe, weighs, asked, WATER).unwrap();
            prop_assert!(safety(pipe, weighs, cover_m, WATER) >= asked * (1.0 - 1e-12));
            if cover_m > 0.0 {
                prop_assert!(safety(pipe, weighs, 0.999 * cover_m, WATER) < asked);
            }
        }
    }

    #[test]
    fn no_cover_of_peat_keeps_a_plastic_pipe_down() {
        let pipe = find("PE100 SDR 17 110").unwrap();
        assert_eq!(cover_for_m(&pipe, 0.0, COVER_SAFETY, WATER), None);
        let steel = find("steel Schedule 80 2 in").unwrap();
        assert_eq!(cover_for_m(&steel, 0.0, COVER_SAFETY, WATER), Some(0.0));
    }
}
