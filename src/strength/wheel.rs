//! Traffic over a buried pipe.

use super::wheel_load::{NoWheel, Pressed, WheelLoad};
use crate::capacity::{EMPTY, NoGround, Setting, ground, held_pa};
use crate::line::{Environment, Reach, Reaches};
use crate::numeric::math;
use crate::pipe::Traffic;

/// The two wheels of an axle on the ground above a pipe.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wheel {
    /// Load of one of them, N.
    pub load_n: f64,
    /// How much harder it strikes when it rolls.
    pub impact: f64,
    /// Between the two, m.
    pub apart_m: f64,
}

impl Wheel {
    /// The wheels of a kind of traffic: a loaded lorry 71 kN each, 1.83 m apart, impact 1.5 (AASHTO H-20: 16,000 lb, 72 in, half as much again, as told in Moser and Folkman, Buried Pipe Design);
    /// a car or small tractor 10 kN, 1.5 m apart, impact 1.5 on a rough track (common practice, no source).
    pub fn of(traffic: Traffic) -> Option<Self> {
        match traffic {
            Traffic::None => None,
            Traffic::Car => Some(Self {
                load_n: 10e3,
                impact: 1.5,
                apart_m: 1.5,
            }),
            Traffic::Truck => Some(Self {
                load_n: 71.17e3,
                impact: 1.5,
                apart_m: 1.83,
            }),
        }
    }

    /// Largest pressure at a depth, Pa: under one wheel with the other beside it, or midway between the two: 3 I W/(2 pi H2) times the larger of 1 + k(a) and 2 k(a/2), k(r) = (1 + (r/H)2)^-5/2.
    ///
    /// Source: Boussinesq (1885), point load on an elastic half space. Valid where the depth is a few times the wheel's print: from 1.2 m a point is within 7 % of a print of 18 by 20 in, and above it.
    pub fn pressure_pa(&self, depth_m: f64) -> f64 {
        let under =
            3.0 * self.impact * self.load_n / (2.0 * std::f64::consts::PI * depth_m * depth_m);
        let beside = |aside_m: f64| math::powf(1.0 + math::powi(aside_m / depth_m, 2), -2.5);
        under * (1.0 + beside(self.apart_m)).max(2.0 * beside(0.5 * self.apart_m))
    }
}

/// Weight of wet ground, N/m3 (common practice, no source).
pub(super) const GROUND_N_PER_M3: f64 = 19e3;

/// Buried reaches under traffic, parted where the pipe or the ground changes, each with what it comes to or why it is not judged. `suction_pa` is the largest pull at a station range, Pa.
pub(super) fn judge(
    reaches: &Reaches,
    environment: &Environment,
    suction_pa: impl Fn(f64, f64) -> f64,
) -> Vec<WheelLoad> {
    let mut out = Vec::new();
    for laid in &environment.laid {
        let Some(wheel) = Wheel::of(laid.traffic) else {
            continue;
        };
        for (from_m, to_m) in reaches.alike(&environment.ground, (laid.from_m, laid.to_m), &[]) {
            let middle = 0.5 * (from_m + to_m);
            let Some(reach) = reaches.at(middle) else {
                continue;
            };
            out.push(WheelLoad {
                from_m,
                to_m,
                traffic: laid.traffic,
                outcome: pressed(environment, reach, wheel, middle, suction_pa(from_m, to_m)),
            });
        }
    }
    out
}

fn pressed(
    environment: &Environment,
    reach: &Reach,
    wheel: Wheel,
    station_m: f64,
    suction_pa: f64,
) -> Result<Pressed, NoWheel> {
    if !reach.pipe.is_sized() {
        return Err(NoWheel::WallUnknown);
    }
    let ground = ground(environment, station_m).map_err(|no| match no {
        NoGround::NotBuried | NoGround::CoverUnknown => NoWheel::CoverUnknown,
        NoGround::CoverTooThin => NoWheel::CoverTooThin,
        NoGround::SoilUnknown => NoWheel::SoilUnknown,
        NoGround::SoilTooSoft => NoWheel::SoilTooSoft,
    })?;
    let wheel_pa = wheel.pressure_pa(ground.cover_m);
    let ground_pa = GROUND_N_PER_M3 * ground.cover_m;
    // Ground presses for fifty years: the long modulus, whatever the wheel's own time.
    let lasting = Setting {
        kind: super::LoadKind::Standing,
        ..EMPTY
    };
    let allowed_pa = held_pa(environment, reach, lasting, &ground);
    let share = if allowed_pa > 0.0 {
        (wheel_pa + ground_pa + suction_pa) / allowed_pa
    } else {
        f64::INFINITY
    };
    Ok(Pressed {
        wheel_pa,
        ground_pa,
        allowed_pa,
        share,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_lorry_presses_less_the_deeper_the_pipe_and_with_both_wheels_far_down() {
        let lorry = Wheel::of(Traffic::Truck).unwrap();
        let one = |depth_m: f64| {
            3.0 * 1.5 * lorry.load_n / (2.0 * std::f64::consts::PI * depth_m * depth_m)
        };
        for (upper, lower) in [(1.2, 1.5), (1.5, 2.4), (2.4, 5.0)] {
            assert!(lorry.pressure_pa(upper) > lorry.pressure_pa(lower));
        }
        // near the ground the one wheel, deep down the axle as one load
        assert!((lorry.pressure_pa(0.3) / one(0.3) - 1.0).abs() < 0.01);
        assert!((lorry.pressure_pa(30.0) / one(30.0) - 2.0).abs() < 0.01);
        assert!(Wheel::of(Traffic::None).is_none());
    }
}
