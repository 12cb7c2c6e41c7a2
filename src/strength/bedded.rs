//! The trench of a buried pipe: its size, what lies against the pipe, how far it is pressed oval, and how much ground is moved. Basis page: bedding.

use super::wheel::{GROUND_N_PER_M3, Wheel};
use crate::line::{Environment, Laid, Reach, Reaches};
use crate::numeric::math;
use crate::pipe::{
    Bed, FIFTY_YEARS_H, Lasting, Material, Pipe, Soil, Surround, Tamped, lasting_modulus_pa,
};
use crate::unit::exact::PSI_PA;

/// Bedding constant: how the pipe rests, for a bed that is shaped by hand (Spangler 1941: 0.083 to 0.110 by the angle of the bed).
const BEDDING: f64 = 0.1;

/// How much the deflection grows in the ground over years (Spangler: 1.25 to 1.5).
const LAG: f64 = 1.5;

/// A buried reach with its trench.
#[derive(Debug, Clone, PartialEq)]
pub struct Bedded {
    /// From, m.
    pub from_m: f64,
    /// To, m.
    pub to_m: f64,
    /// Soil it is dug in, where said.
    pub soil: Option<Soil>,
    /// What lies against the pipe.
    pub surround: Surround,
    /// How it is tamped.
    pub tamped: Tamped,
    /// The pipe is not laid yet.
    pub to_lay: bool,
    /// Size of the trench.
    pub size: TrenchSize,
    /// What is dug and filled, m3; `None` where the cover is not given.
    pub volumes: Option<Volumes>,
    /// How far the pipe is pressed oval, or why that is not known.
    pub deflects: Result<Deflects, NoDeflection>,
    /// Broken stone as dug lies against a pipe that it scores.
    pub stones: bool,
}

/// Size of a trench.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TrenchSize {
    /// Width at the pipe, m.
    pub width_m: f64,
    /// The user gave it.
    pub width_known: bool,
    /// Bed under the pipe, m.
    pub bed_m: f64,
    /// Surround over the pipe, m.
    pub over_m: f64,
    /// Largest stone in bed and surround, m.
    pub stone_m: f64,
}

/// What is moved over a reach, m3: in place, before it settles.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Volumes {
    /// Dug out.
    pub dug_m3: f64,
    /// Bed and surround.
    pub surround_m3: f64,
    /// Filled back over them.
    pub back_m3: f64,
    /// Left over of what was dug.
    pub left_m3: f64,
}

/// How far a pipe is pressed oval.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Deflects {
    /// Weight of the ground on it, Pa.
    pub earth_pa: f64,
    /// Wheels, Pa.
    pub wheel_pa: f64,
    /// Modulus of soil reaction of the surround, Pa.
    pub soil_reaction_pa: f64,
    /// Stiffness of the ring, EI/r3, Pa, after fifty years.
    pub ring_pa: f64,
    /// Share of the diameter, mean.
    pub share: f64,
    /// The same with the spread that was found in the field.
    pub share_high: f64,
    /// What it may be.
    pub allowed: f64,
}

/// Why it is not known how far a pipe is pressed oval.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum NoDeflection {
    /// Nothing was said of what lies against the pipe.
    NothingSaid,
    /// The cover is not given.
    CoverUnknown,
    /// The soil is not given.
    SoilUnknown,
    /// Peat and soft clay hold no surround at the sides.
    SoilTooSoft,
    /// The wall of the pipe is not known.
    WallUnknown,
}

/// Loads on a pipe and what meets them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BeddedRing {
    /// Ground, Pa.
    pub earth_pa: f64,
    /// Wheels, Pa.
    pub wheel_pa: f64,
    /// EI/r3, Pa.
    pub ring_pa: f64,
    /// Modulus of soil reaction, Pa.
    pub soil_reaction_pa: f64,
}

impl BeddedRing {
    /// Share of the diameter by which the pipe is pressed oval: `K (L p + w)/(EI/r3 + 0.061 E')`, K = 0.1, L = 1.5.
    ///
    /// Source: Spangler (1941), modified by Watkins and Spangler (1958), as in Moser and Folkman, Buried Pipe Design. Valid for flexible pipe, up to about a tenth.
    pub fn deflection(&self) -> f64 {
        BEDDING * (LAG * self.earth_pa + self.wheel_pa)
            / (self.ring_pa + 0.061 * self.soil_reaction_pa)
    }
}

/// Stiffness of a ring, EI/r3, Pa: `2/3 E/(D/t - 1)3`. The pipe stiffness of ASTM D2412 is this over 0.149.
pub fn ring_pa(modulus_pa: f64, diameter_ratio: f64) -> f64 {
    2.0 / 3.0 * modulus_pa / math::powi(diameter_ratio - 1.0, 3)
}

/// What fills a trench beside the pipe, by its grain.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Grain {
    /// Silt and clay of low plasticity.
    Fine,
    /// Sand and gravel as dug, with fines.
    Mixed,
    /// Clean sand or gravel.
    Clean,
    /// Crushed stone.
    Crushed,
}

/// Modulus of soil reaction E', Pa, and by how much of the diameter deflections in the field lay off what it gives.
///
/// Source: Howard (1977), Bureau of Reclamation, from memory: psi for dumped, slightly tamped (under 85 % of Proctor) and moderately tamped ground (85 to 95 %); 2, 2 and 1 % of the diameter. Cover of less than 15 m.
pub fn soil_reaction(grain: Grain, tamped: Tamped) -> (f64, f64) {
    let psi = match grain {
        Grain::Fine => [50.0, 200.0, 400.0],
        Grain::Mixed => [100.0, 400.0, 1000.0],
        Grain::Clean => [200.0, 1000.0, 2000.0],
        Grain::Crushed => [1000.0, 3000.0, 3000.0],
    };
    let [dumped, light, well] = psi.map(|p| p * PSI_PA);
    match tamped {
        Tamped::Dumped => (dumped, 0.02),
        Tamped::Light => (light, 0.02),
        Tamped::Well => (well, 0.01),
    }
}

/// What lies beside the pipe; `None` in soft ground and in broken rock as dug.
pub fn grain(surround: Surround, soil: Soil) -> Option<Grain> {
    Some(match (surround, soil) {
        (_, Soil::Peat | Soil::SoftClay) => return None,
        (Surround::Sand, _) => Grain::Clean,
        (Surround::Stone, _) => Grain::Crushed,
        (Surround::Dug, Soil::Silt | Soil::Clay | Soil::HardClay) => Grain::Fine,
        (Surround::Dug, Soil::Sand | Soil::Gravel) => Grain::Mixed,
        // what falls between broken rock is the worst that is dug
        (Surround::Dug, Soil::WeakRock | Soil::Rock) => Grain::Fine,
    })
}

/// Largest deflection that a pressure pipe may have, as a share of its diameter.
///
/// Polyethylene by its ratio of diameter to wall: PPI Handbook of PE Pipe, design deflection of pressure pipe, from memory. PVC 5 % (AWWA M23, from memory), steel 3 % (AWWA M11 for a flexible coat, from memory).
pub fn allowed(pipe: &Pipe) -> f64 {
    let ratio = pipe.outer_diameter_m / pipe.wall_m;
    match pipe.material {
        Material::Pvc => 0.05,
        Material::Steel => 0.03,
        Material::Pe if ratio < 8.0 => 0.03,
        Material::Pe if ratio < 10.0 => 0.04,
        Material::Pe if ratio < 12.0 => 0.05,
        Material::Pe if ratio < 19.0 => 0.06,
        Material::Pe => 0.075,
    }
}

/// Least width of a trench, m, by the pipe and by its depth.
///
/// Source: EN 1610 (1997), tables 1 and 2, from memory: diameter and 0.40 m (0.50 m above 225 mm, 0.70 m above 350 mm); 0.80 m where it is deeper than 1 m, 0.90 m than 1.75 m, 1.00 m than 4 m.
pub fn width_m(outer_diameter_m: f64, depth_m: f64) -> f64 {
    let beside = if outer_diameter_m <= 0.225 {
        0.40
    } else if outer_diameter_m <= 0.35 {
        0.50
    } else {
        0.70
    };
    let by_depth = if depth_m < 1.0 {
        0.0
    } else if depth_m <= 1.75 {
        0.80
    } else if depth_m <= 4.0 {
        0.90
    } else {
        1.00
    };
    (outer_diameter_m + beside).max(by_depth)
}

/// Bed under the pipe, m, on rock or hard ground and elsewhere; surround over it, m (EN 1610, from memory).
const BED_ON_HARD_M: f64 = 0.15;
const BED_M: f64 = 0.10;
const OVER_M: f64 = 0.15;

/// Largest stone against the pipe, m: up to 200 mm of pipe, and above (EN 1610, from memory).
const STONES_M: (f64, f64) = (0.022, 0.040);

/// Each buried reach that is still to be laid, or whose surround, tamping or trench width was said, parted where the pipe or the ground changes.
pub fn bedded(reaches: &Reaches, environment: &Environment) -> Vec<Bedded> {
    environment
        .laid
        .iter()
        .filter(|l| l.bed == Bed::Buried)
        .flat_map(|laid| {
            let parts = reaches.alike(&environment.ground, (laid.from_m, laid.to_m), &[]);
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
) -> Option<Bedded> {
    let middle = 0.5 * (from_m + to_m);
    let reach = reaches.at(middle)?;
    let said = laid.trench;
    let spoken = said.surround.is_some() || said.tamped.is_some() || said.width_m.is_some();
    if reach.is_laid && !spoken {
        return None;
    }
    let soil = environment.soil_at(middle);
    let surround = laid.trench.surround.unwrap_or(Surround::Dug);
    let tamped = laid.trench.tamped.unwrap_or(Tamped::Dumped);
    let od_m = reach.pipe.outer_diameter_m;
    let hard = matches!(soil, Some(Soil::Rock | Soil::WeakRock | Soil::HardClay));
    let bed_m = if hard { BED_ON_HARD_M } else { BED_M };
    let depth_m = laid.cover_m.unwrap_or(0.0) + od_m + bed_m;
    let size = TrenchSize {
        width_m: laid.trench.width_m.unwrap_or(width_m(od_m, depth_m)),
        width_known: laid.trench.width_m.is_some(),
        bed_m,
        over_m: laid.cover_m.map_or(OVER_M, |c| c.min(OVER_M)),
        stone_m: if od_m <= 0.2 { STONES_M.0 } else { STONES_M.1 },
    };
    let stones = spoken
        && surround == Surround::Dug
        && matches!(soil, Some(Soil::Rock | Soil::WeakRock))
        && reach.pipe.material != Material::Steel;
    Some(Bedded {
        from_m,
        to_m,
        soil,
        surround,
        tamped,
        to_lay: !reach.is_laid,
        size,
        volumes: laid
            .cover_m
            .map(|cover_m| volumes(&size, cover_m, od_m, to_m - from_m, surround)),
        deflects: if spoken {
            deflects(environment, laid, reach, soil, surround, tamped)
        } else {
            Err(NoDeflection::NothingSaid)
        },
        stones,
    })
}

/// Ground that is moved, m3, in a trench with upright sides.
pub fn volumes(
    size: &TrenchSize,
    cover_m: f64,
    outer_diameter_m: f64,
    length_m: f64,
    surround: Surround,
) -> Volumes {
    let pipe_m2 = std::f64::consts::FRAC_PI_4 * outer_diameter_m * outer_diameter_m;
    let dug_m3 = size.width_m * (cover_m + outer_diameter_m + size.bed_m) * length_m;
    let around_m2 = size.width_m * (size.bed_m + outer_diameter_m + size.over_m) - pipe_m2;
    let surround_m3 = around_m2.max(0.0) * length_m;
    let back_m3 = size.width_m * (cover_m - size.over_m).max(0.0) * length_m;
    let used_m3 = match surround {
        Surround::Dug => back_m3 + surround_m3,
        Surround::Sand | Surround::Stone => back_m3,
    };
    Volumes {
        dug_m3,
        surround_m3,
        back_m3,
        left_m3: dug_m3 - used_m3,
    }
}

fn deflects(
    environment: &Environment,
    laid: &Laid,
    reach: &Reach,
    soil: Option<Soil>,
    surround: Surround,
    tamped: Tamped,
) -> Result<Deflects, NoDeflection> {
    if !reach.pipe.is_sized() {
        return Err(NoDeflection::WallUnknown);
    }
    let cover_m = laid.cover_m.ok_or(NoDeflection::CoverUnknown)?;
    let soil = soil.ok_or(NoDeflection::SoilUnknown)?;
    let grain = grain(surround, soil).ok_or(NoDeflection::SoilTooSoft)?;
    let (soil_reaction_pa, spread) = soil_reaction(grain, tamped);
    let lasting = Lasting {
        hours: FIFTY_YEARS_H,
        wall_c: environment.water.warmest_c,
    };
    let modulus_pa = lasting_modulus_pa(&reach.pipe, lasting).value;
    let ring = BeddedRing {
        earth_pa: GROUND_N_PER_M3 * cover_m,
        wheel_pa: Wheel::of(laid.traffic)
            .map_or(0.0, |w| w.pressure_pa(cover_m.max(LEAST_DEPTH_M))),
        ring_pa: ring_pa(modulus_pa, reach.pipe.outer_diameter_m / reach.pipe.wall_m),
        soil_reaction_pa,
    };
    let share = ring.deflection();
    Ok(Deflects {
        earth_pa: ring.earth_pa,
        wheel_pa: ring.wheel_pa,
        soil_reaction_pa,
        ring_pa: ring.ring_pa,
        share,
        // a stiff ring in soft ground is off by no more than itself
        share_high: share + spread.min(share),
        allowed: allowed(&reach.pipe),
    })
}

/// Nearer than this a wheel is no point any more, m: it counts as at this depth.
const LEAST_DEPTH_M: f64 = 0.3;

impl Bedded {
    /// Pressed oval further than the pipe may be.
    pub fn too_oval(&self) -> bool {
        self.deflects.is_ok_and(|d| d.share_high > d.allowed)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        /// What is dug goes back, is left over, or is replaced by pipe and bought fill.
        #[test]
        fn no_ground_is_lost(width in 0.3f64..1.5, cover in 0.0f64..4.0, od in 0.03f64..0.25, length in 1.0f64..500.0, bought in proptest::bool::ANY) {
            let size = TrenchSize { width_m: width, width_known: true, bed_m: 0.1, over_m: cover.min(0.15), stone_m: 0.022 };
            let surround = if bought { Surround::Sand } else { Surround::Dug };
            let v = volumes(&size, cover, od, length, surround);
            let pipe = std::f64::consts::FRAC_PI_4 * od * od * length;
            prop_assert!((v.dug_m3 - (v.surround_m3 + v.back_m3 + pipe)).abs() < 1e-9 * (1.0 + v.dug_m3));
            prop_assert!(v.left_m3 > 0.0);
        }

        /// More cover never makes a pipe rounder, better tamping never flatter.
        #[test]
        fn deeper_is_flatter_and_tamping_helps(earth in 0.0f64..2e5, wheel in 0.0f64..1e5, ring in 1e2f64..1e6, more in 1.0f64..1e5) {
            for grain in [Grain::Fine, Grain::Mixed, Grain::Clean, Grain::Crushed] {
                let of = |tamped| BeddedRing { earth_pa: earth, wheel_pa: wheel, ring_pa: ring, soil_reaction_pa: soil_reaction(grain, tamped).0 };
                let dumped = of(Tamped::Dumped);
                let deeper = BeddedRing { earth_pa: earth + more, ..dumped };
                prop_assert!(deeper.deflection() > dumped.deflection());
                prop_assert!(of(Tamped::Light).deflection() <= dumped.deflection());
                prop_assert!(of(Tamped::Well).deflection() <= of(Tamped::Light).deflection());
            }
        }
    }
}
