//! Blocks of concrete: bearing, weight, base, sliding, overturning, and a size to build.

use super::pieces::Stability;
use super::soil::GroundBearing;
use super::thrust::Vector;
use super::{BlockKind, NoBlock, Push, ThrustBlock, soil};
use crate::numeric::math;
use crate::pipe::Soil;

/// Weight of plain concrete, N/m3 (common practice: 22 kN/m3 for what is mixed on site).
pub const CONCRETE_N_PER_M3: f64 = 22_000.0;

/// Weight of the water that a drowned block displaces, N/m3.
pub const WATER_N_PER_M3: f64 = 9_810.0;

/// Safety of a block against sliding, bearing and uplift (University of Toledo, CET-2030: 1.5; common practice).
pub const SAFETY: f64 = 1.5;

/// A thrust beyond this is left to an engineer, N (own caution).
const TOO_LARGE_N: f64 = 100_000.0;

/// Concrete beyond this is left to an engineer, m3 (own caution).
const TOO_MUCH_M3: f64 = 10.0;

/// Area that must bear on the ground, m2: force times safety over what the ground may take.
pub fn bearing_area_m2(force_n: f64, allowed_pa: f64) -> f64 {
    SAFETY * force_n / allowed_pa
}

/// Weight in air that holds a bend down which pushes up and along, N: `W >= s Fz` and `mu (W - Fz) >= s F`.
pub fn weight_against(up_n: f64, level_n: f64, friction: f64) -> f64 {
    let up = up_n.max(0.0);
    (SAFETY * up).max(up + SAFETY * level_n / friction)
}

/// A block on its base, for its stability. Forces on the base: N down, F level at a height.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Base {
    /// Weight less what pulls up, N.
    pub down_n: f64,
    /// Level force, N.
    pub level_n: f64,
    /// Height of the level force over the base, m.
    pub lever_m: f64,
    /// Length of the base along the force, m.
    pub length_m: f64,
    /// Width of the base, m.
    pub width_m: f64,
    /// Friction on the ground.
    pub friction: f64,
}

impl Base {
    /// Sliding, overturning and pressure under the base.
    ///
    /// `e = F h / N`; within a sixth of the length `q = N/(L B) (1 +- 6 e/L)`, beyond it one edge lifts and `q = 2 N / (3 B (L/2 - e))`.
    /// Source: statics of a rigid base (any text of foundations). Earth at the back is left out.
    pub fn stability(&self) -> Stability {
        let off = self.lever_m * self.level_n / self.down_n;
        let (largest, least) = if self.down_n <= 0.0 || off >= 0.5 * self.length_m {
            (None, 0.0)
        } else if off <= self.length_m / 6.0 {
            let even = self.down_n / (self.length_m * self.width_m);
            let tilt = 6.0 * off / self.length_m;
            (Some(even * (1.0 + tilt)), even * (1.0 - tilt))
        } else {
            let edge = 2.0 * self.down_n / (3.0 * self.width_m * (0.5 * self.length_m - off));
            (Some(edge), 0.0)
        };
        Stability {
            sliding: self.friction * self.down_n / self.level_n,
            overturning: self.down_n * 0.5 * self.length_m / (self.level_n * self.lever_m),
            off_middle_m: off,
            largest_pa: largest,
            least_pa: least,
        }
    }
}

/// Where a block is poured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct BlockSite {
    pub(super) soil: Option<Soil>,
    /// Depth of the pipe's centre below the surface, m.
    pub(super) depth_m: f64,
    pub(super) outer_diameter_m: f64,
}

/// The block for a thrust.
pub(super) fn block(index: usize, push: &Push, place: BlockSite) -> ThrustBlock {
    let soil = place.soil.unwrap_or(Soil::SoftClay);
    let ground = soil::ground(soil, place.depth_m);
    let scale = if push.size_n > 0.0 {
        push.high_n / push.size_n
    } else {
        1.0
    };
    let force = push.force * scale;
    let plain = ThrustBlock {
        push: index,
        station_m: push.station_m,
        kinds: Vec::new(),
        soil: place.soil,
        ground: Some(ground),
        bearing_area_m2: 0.0,
        weight_n: 0.0,
        volume_m3: 0.0,
        volume_wet_m3: 0.0,
        size_m: (0.0, 0.0, 0.0),
        sliding: 0.0,
        overturning: None,
        base_pa: None,
        refused: None,
        from_memory: ground.from_memory,
    };
    if ground.sideways_pa <= 0.0 || ground.downward_pa <= 0.0 {
        return ThrustBlock {
            refused: Some(NoBlock::BearsNothing),
            ..plain
        };
    }
    // what pushes along the pipe is met by ground before or behind it, on a slope too
    let mut out = if force.z > 0.1 * force.size() && !push.at.is_along() {
        by_weight(plain, force, ground, place)
    } else {
        by_bearing(plain, force, ground, place)
    };
    out.refused = if push.high_n > TOO_LARGE_N || out.volume_m3 > TOO_MUCH_M3 {
        Some(NoBlock::TooLarge)
    } else if place.soil.is_none() {
        Some(NoBlock::SoilUnknown)
    } else {
        None
    };
    out
}

/// A bend that pushes out of the ground: held down by weight, and by the friction of what weight is left.
fn by_weight(
    plain: ThrustBlock,
    force: Vector,
    ground: GroundBearing,
    place: BlockSite,
) -> ThrustBlock {
    let level = force.level();
    let weight_n = weight_against(force.z, level, ground.friction);
    let side = |weight: f64, weight_n_per_m3: f64| weight / weight_n_per_m3;
    let volume_m3 = side(weight_n, CONCRETE_N_PER_M3);
    let volume_wet_m3 = side(weight_n, CONCRETE_N_PER_M3 - WATER_N_PER_M3);
    // half as long again as wide and high, and never so small that the pipe is not bedded in it
    let least = place.outer_diameter_m + 0.3;
    let edge = up_to_5_cm(math::cbrt(volume_m3 / 1.5).max(least));
    let size_m = (up_to_5_cm(1.5 * edge), edge, edge);
    let weight = size_m.0 * size_m.1 * size_m.2 * CONCRETE_N_PER_M3;
    let base = Base {
        down_n: weight - force.z,
        level_n: level,
        lever_m: 0.5 * size_m.2,
        length_m: size_m.0,
        width_m: size_m.1,
        friction: ground.friction,
    };
    let stands = base.stability();
    ThrustBlock {
        kinds: vec![BlockKind::Weight, BlockKind::Base],
        weight_n,
        volume_m3: size_m.0 * size_m.1 * size_m.2,
        volume_wet_m3: volume_wet_m3.max(size_m.0 * size_m.1 * size_m.2),
        size_m,
        sliding: stands.sliding,
        overturning: Some(stands.overturning),
        base_pa: stands.largest_pa,
        ..plain
    }
}

/// A bend that pushes sideways, forward or into the ground: it bears on undisturbed ground.
fn by_bearing(
    plain: ThrustBlock,
    force: Vector,
    ground: GroundBearing,
    place: BlockSite,
) -> ThrustBlock {
    let level = force.level();
    let down = (-force.z).max(0.0);
    let sideways_m2 = bearing_area_m2(level, ground.sideways_pa);
    let base_m2 = bearing_area_m2(down, ground.downward_pa);
    let least = place.outer_diameter_m + 0.3;
    let high = up_to_5_cm((sideways_m2 / 1.5).sqrt().max(least));
    let wide = up_to_5_cm((sideways_m2 / high).max(least));
    // a thrust along a slope lifts a little: the weight of the block keeps it down
    let heavy_m3 = SAFETY * force.z.max(0.0) / CONCRETE_N_PER_M3;
    let deep = up_to_5_cm(
        (base_m2 / wide)
            .max(0.5 * wide)
            .max(heavy_m3 / (high * wide))
            .max(least),
    );
    let volume_m3 = high * wide * deep;
    let weight = volume_m3 * CONCRETE_N_PER_M3;
    let resists = ground.sideways_pa * high * wide + ground.friction * (weight - force.z);
    let mut kinds = vec![BlockKind::Bearing];
    if base_m2 > 0.1 * sideways_m2 {
        kinds.push(BlockKind::Base);
    }
    if base_m2 > sideways_m2 {
        kinds.reverse();
    }
    ThrustBlock {
        kinds,
        bearing_area_m2: sideways_m2.max(base_m2),
        volume_m3,
        volume_wet_m3: volume_m3,
        size_m: (deep, wide, high),
        sliding: if level > 0.0 { resists / level } else { SAFETY },
        base_pa: Some((weight + down) / (deep * wide)),
        ..plain
    }
}

/// A length up to the next five centimetres, m: what a form is built to.
pub(super) fn up_to_5_cm(length_m: f64) -> f64 {
    (length_m / 0.05 - 1e-9).ceil() * 0.05
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_overbend_needs_weight_for_sliding_more_than_for_uplift() {
        // 160 mm at 60 m, 20 L/s, level to 30 degrees down: 5,927 N up, 1,588 N along, friction 0.5
        assert!((SAFETY * 5_927.2 - 8_890.8).abs() < 0.1);
        assert!((weight_against(5_927.2, 1_588.2, 0.5) - 10_691.8).abs() < 0.5);
    }

    #[test]
    fn a_load_within_the_middle_third_presses_everywhere() {
        let base = Base {
            down_n: 74_877.0,
            level_n: 23_952.0,
            lever_m: 0.8,
            length_m: 1.8,
            width_m: 1.5,
            friction: 0.5,
        };
        let s = base.stability();
        assert!((s.sliding - 1.563).abs() < 2e-3 && (s.overturning - 3.517).abs() < 2e-3);
        assert!((s.largest_pa.unwrap() - 51_390.0).abs() < 50.0 && s.least_pa > 0.0);
        let tipping = Base {
            lever_m: 4.0,
            ..base
        };
        assert_eq!(tipping.stability().largest_pa, None);
    }
}
