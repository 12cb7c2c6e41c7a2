//! Suction: what would press the pipe flat or draw in its joints.

use super::LoadKind;
use super::capacity::{Setting, left, wall_c};
use crate::line::{Line, Reach};
use crate::pipe::{
    Bed, COLLAPSE_SAFETY, COVER_THAT_COUNTS_M, Lasting, Outside, Ring, RingGround, Soil,
    collapse_pa, expected_ovality, joint_limit, lasting_modulus_pa, poisson, soil_supported_pa,
};
use crate::unit::nature::water;

/// What a reach stands from outside at a place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Withstands {
    /// Outside pressure that presses the free ring flat, Pa, no factor.
    pub(super) collapse_pa: f64,
    /// What it may take, Pa, with its factor of safety, the ground counted where it may be.
    pub(super) allowed_pa: f64,
    /// The ground was counted.
    pub(super) held: bool,
}

/// What the free ring stands in a setting.
pub(super) fn free_ring(line: &Line, reach: &Reach, setting: Setting) -> Withstands {
    let outside = Outside {
        load: Lasting {
            hours: setting.kind.hours(),
            wall_c: wall_c(line, &reach.pipe, setting),
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
pub(super) fn ring(line: &Line, reach: &Reach, setting: Setting, station_m: f64) -> Withstands {
    let free = free_ring(line, reach, setting);
    match ground(line, station_m) {
        Ok(ground) => {
            let held = held_pa(line, reach, setting, &ground);
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

pub(super) fn held_pa(line: &Line, reach: &Reach, setting: Setting, ground: &RingGround) -> f64 {
    let load = Lasting {
        hours: setting.kind.hours(),
        wall_c: wall_c(line, &reach.pipe, setting),
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
pub(super) enum NoGround {
    NotBuried,
    CoverUnknown,
    CoverTooThin,
    SoilUnknown,
    SoilTooSoft,
}

/// The ground round the pipe at a station, as far as it may be counted on: as if dumped, not tamped, and full of water, the harmful guess.
pub(super) fn ground(line: &Line, station_m: f64) -> Result<RingGround, NoGround> {
    let laid = line
        .laid
        .iter()
        .find(|l| l.bed == Bed::Buried && station_m >= l.from_m && station_m <= l.to_m)
        .ok_or(NoGround::NotBuried)?;
    let cover_m = laid.cover_m.ok_or(NoGround::CoverUnknown)?;
    if cover_m < COVER_THAT_COUNTS_M {
        return Err(NoGround::CoverTooThin);
    }
    let soil = line
        .ground
        .iter()
        .find(|g| station_m >= g.from_m && station_m <= g.to_m)
        .and_then(|g| g.soil)
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

/// Least pressure that the joints of a reach keep tight, Pa (below zero), and whether it is the user's own; `None`: as far as the pipe itself.
pub(super) fn joint_suction_pa(
    line: &Line,
    reach: &Reach,
    weight_n_per_m3: f64,
) -> Option<(f64, bool)> {
    match line.limits.suction_m {
        Some(own) => Some((-own * weight_n_per_m3, true)),
        None => joint_limit(reach.joint, &reach.pipe)
            .suction_m
            .map(|m| (-m * weight_n_per_m3, false)),
    }
}

/// Most that can pull on a pipe, Pa: the air's pressure less the vapour's.
pub(super) fn full_vacuum_pa(line: &Line) -> f64 {
    line.situation.air_pa - water(line.water.warmest_c).vapour_pa
}

/// A day empty under suction: what a pipe must live through where nothing lets air in.
pub(super) const EMPTY: Setting = Setting {
    kind: LoadKind::Drained,
    in_sun: false,
};
