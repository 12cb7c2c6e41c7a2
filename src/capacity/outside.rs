//! Suction: what would press the pipe flat or draw in its joints.

use super::{Setting, emptied, left, wall_c};
use crate::line::{AirFor, Environment, Reach, Wishes};
use crate::pipe::{
    Bed, COLLAPSE_SAFETY, COVER_THAT_COUNTS_M, Lasting, Outside, Ring, RingGround, Soil,
    collapse_pa, expected_ovality, joint_limit, lasting_modulus_pa, poisson, soil_supported_pa,
};
use crate::unit::physics::water;

/// What a reach stands from outside at a place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Withstands {
    /// Outside pressure that presses the free ring flat, Pa, no factor.
    pub collapse_pa: f64,
    /// What it may take, Pa, with its factor of safety, the ground counted where it may be.
    pub allowed_pa: f64,
    /// The ground was counted.
    pub held: bool,
}

/// What the free ring stands in a setting.
pub fn free_ring(environment: &Environment, reach: &Reach, setting: Setting) -> Withstands {
    let outside = Outside {
        load: Lasting {
            hours: setting.kind.hours(),
            wall_c: wall_c(environment, &reach.pipe, setting),
        },
        ovality: expected_ovality(&reach.pipe, reach.coil).value,
        rust_m: left(reach).rust_m,
    };
    let collapse = collapse_pa(&reach.pipe, &outside).value;
    Withstands {
        collapse_pa: collapse,
        allowed_pa: collapse / COLLAPSE_SAFETY,
        held: false,
    }
}

/// The same with the ground's help where the pipe is buried deep enough in soil that is stated and holds.
pub fn ring(
    environment: &Environment,
    reach: &Reach,
    setting: Setting,
    station_m: f64,
) -> Withstands {
    let free = free_ring(environment, reach, setting);
    match ground(environment, station_m) {
        Ok(ground) => {
            let held = held_pa(environment, reach, setting, &ground);
            if held > free.allowed_pa {
                Withstands {
                    allowed_pa: held,
                    held: true,
                    ..free
                }
            } else {
                free
            }
        }
        Err(_) => free,
    }
}

/// What the ring may take with the ground's help, Pa, the formula's safety counted.
pub fn held_pa(
    environment: &Environment,
    reach: &Reach,
    setting: Setting,
    ground: &RingGround,
) -> f64 {
    let load = Lasting {
        hours: setting.kind.hours(),
        wall_c: wall_c(environment, &reach.pipe, setting),
    };
    let wall = reach.pipe.wall_m - left(reach).rust_m;
    if wall <= 0.0 {
        return 0.0;
    }
    let ring = Ring {
        modulus_pa: lasting_modulus_pa(&reach.pipe, load).value,
        poisson: poisson(&reach.pipe).value,
        diameter_ratio: reach.pipe.outer_diameter_m / wall,
        ovality: expected_ovality(&reach.pipe, reach.coil).value,
    };
    soil_supported_pa(&ring, ground)
}

/// Why the ground is not counted on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum NoGround {
    /// The pipe lies open.
    NotBuried,
    /// Its cover is not stated.
    CoverUnknown,
    /// Its cover is too thin.
    CoverTooThin,
    /// The soil is not stated.
    SoilUnknown,
    /// Peat, mud or soft clay.
    SoilTooSoft,
}

/// The ground round the pipe at a station, as far as it may be counted on: as if dumped, not tamped, and full of water, the harmful guess.
pub fn ground(environment: &Environment, station_m: f64) -> Result<RingGround, NoGround> {
    let laid = environment
        .laid
        .iter()
        .find(|l| l.bed == Bed::Buried && station_m >= l.from_m && station_m <= l.to_m)
        .ok_or(NoGround::NotBuried)?;
    let cover_m = laid.cover_m.ok_or(NoGround::CoverUnknown)?;
    if cover_m < COVER_THAT_COUNTS_M {
        return Err(NoGround::CoverTooThin);
    }
    let soil = environment
        .soil_at(station_m)
        .ok_or(NoGround::SoilUnknown)?;
    let soil_reaction_pa = match soil {
        Soil::Peat | Soil::SoftClay => return Err(NoGround::SoilTooSoft),
        // E' of dumped fill by kind of soil, from memory of the Bureau of Reclamation's table (Howard 1977): 200 psi for fine, 1,000 psi for crushed rock is not counted on.
        Soil::Silt | Soil::Clay | Soil::HardClay => 0.35e6,
        Soil::Sand | Soil::Gravel | Soil::WeakRock | Soil::Rock => 1.4e6,
    };
    Ok(RingGround {
        cover_m,
        soil_reaction_pa,
        water_share: 1.0,
    })
}

/// How far below the air's pressure the joints of a reach keep tight, m of water, and whether that is the user's own word; `None`: as far as the pipe itself.
pub fn joint_suction_m(wishes: &Wishes, reach: &Reach) -> Option<(f64, bool)> {
    match wishes.limits.suction_m {
        Some(own) => Some((own, true)),
        None => joint_limit(reach.joint, &reach.pipe)
            .suction_m
            .map(|m| (m, false)),
    }
}

/// The same as a pressure, Pa (below zero).
pub fn joint_suction_pa(
    wishes: &Wishes,
    environment: &Environment,
    reach: &Reach,
) -> Option<(f64, bool)> {
    joint_suction_m(wishes, reach).map(|(m, own)| (-m * heaviest_n_per_m3(environment), own))
}

/// Suction that pipe and joints at a station may be let come to while the line empties, Pa: what a vent must keep it within.
pub fn emptying_pa(
    wishes: &Wishes,
    environment: &Environment,
    reach: &Reach,
    station_m: f64,
) -> f64 {
    let joint_pa =
        joint_suction_pa(wishes, environment, reach).map_or(f64::INFINITY, |(pa, _)| -pa);
    ring(
        environment,
        reach,
        emptied(environment, station_m),
        station_m,
    )
    .allowed_pa
    .min(joint_pa)
}

/// Weight of the water, N/m3, at its coldest, when it weighs most, and at the site's gravity.
pub fn heaviest_n_per_m3(environment: &Environment) -> f64 {
    water(environment.water.coldest_c).density_kg_per_m3 * environment.situation.gravity_m_per_s2
}

/// Most that can pull on a pipe, Pa: the air's pressure less the vapour's of the coldest water, which boils lowest.
pub fn full_vacuum_pa(environment: &Environment) -> f64 {
    environment.situation.air_pa(AirFor::Crushing) - water(environment.water.coldest_c).vapour_pa
}
