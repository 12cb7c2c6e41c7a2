//! The line filled with its lower end shut, and the siphon at an intake.

use super::course::StartupLine;
use super::leg::FallingLeg;
use super::openings::Openings;
use super::pipe_profile::PipeProfile;
use super::start::StartTrial;
use super::startup::{Ends, Hump, Humps};
use super::{AirVolume, ShutFill, ShutPocket, SiphonAir};
use crate::flow::suction::{vapour_head_m, working_limit_m};
use crate::line::{AirFor, Environment, Geometry, Inlet, Line};
use crate::unit::physics::water;

/// Filling with the lower end fully shut, worked down from the intake on the mean line.
///
/// Each pocket is sealed at the pressure that the air beyond the low before it has been pressed to: no air leaves at the lower end.
/// A vent further down keeps it at the air's own pressure. Water spills over a crest only when its head there is more than the pressure of the air beyond.
/// Isothermal, columns at rest. Basis page: start-up.
pub(super) fn shut_fill(
    geometry: &Geometry,
    environment: &Environment,
    piped: &StartupLine,
    vents_m: &[f64],
) -> ShutFill {
    let heights = piped.heights(&geometry.heights.mean_m);
    let course = piped.course(&heights);
    fill(
        &course,
        &course.humps(),
        piped.ends(&heights),
        vents_m,
        environment.water_n_per_m3(),
    )
}

fn fill(
    course: &PipeProfile<'_>,
    humps: &Humps,
    ends: Ends,
    vents_m: &[f64],
    weight_n_per_m3: f64,
) -> ShutFill {
    let end = course.height_m.len().saturating_sub(1);
    let station = |i: usize| course.station(i);
    let height = |i: usize| course.height(i);
    // the last leg counts where the line falls again after its last crest
    let last = humps.last.filter(|&(_, crest)| height(crest) > height(end));
    let all = humps
        .sealed
        .iter()
        .copied()
        .chain(last.map(|(low, crest)| Hump {
            low,
            crest,
            next_low: end,
        }));
    let mut head_m = ends.level_m;
    let mut margin_m = ends.level_m - humps.last_m;
    let mut sealed_at_m = ends.air_head_m;
    let mut pockets = Vec::new();
    let sorted = Openings::of(vents_m);
    for hump in all {
        let leg = FallingLeg::down(course, hump.crest, hump.next_low, &sorted);
        let opens_below = vents_m.iter().any(|&v| v >= station(hump.crest));
        sealed_at_m = if leg.vented || opens_below {
            ends.air_head_m
        } else {
            let beyond = |i: usize| course.volume_m3(i, end);
            sealed_at_m * beyond(hump.low) / beyond(hump.crest)
        };
        let over_m = head_m - height(hump.crest);
        margin_m = margin_m.min(over_m - (sealed_at_m - ends.air_head_m));
        if leg.vented || over_m <= 0.0 {
            continue;
        }
        let pressed_m = ends.air_head_m + over_m;
        let (height_m, volume_m3) = leg.pressed(sealed_at_m, pressed_m.max(sealed_at_m));
        head_m -= height_m;
        pockets.push(ShutPocket {
            station_m: station(hump.crest),
            last_leg: hump.next_low == end,
            held: AirVolume {
                volume_m3,
                height_m,
            },
            fall_m: leg.sealed_height_m(),
            pressure_pa: over_m * weight_n_per_m3,
        });
    }
    ShutFill {
        margin_m,
        gauge_low_m: ends.level_m - head_m,
        pockets,
    }
}

/// The reach of a siphon: from the intake to where the pipe has fallen below the lowest water again, m.
/// `None` where the intake is not said to be one, or the pipe does not rise above the water.
pub(super) fn siphon_to_m(geometry: &Geometry, intake: &Inlet) -> Option<f64> {
    if !intake.is_siphon() {
        return None;
    }
    let heights = geometry
        .heights
        .station_m
        .iter()
        .zip(&geometry.heights.mean_m);
    let above = |z: f64| z > intake.low_level_m;
    let mut inside = heights.skip_while(|(_, z)| !above(**z)).peekable();
    inside.peek()?;
    let last = inside.take_while(|(_, z)| above(**z)).last()?;
    Some(*last.0)
}

/// The siphon; `primed` is the start on the mean line once somebody has filled it.
///
/// Primed, its crest is full of water and hangs below the air's pressure: it asks for no head of its own, and what it needs is what the line below it needs.
pub(super) fn siphon(line: &Line, primed: &StartTrial) -> Option<SiphonAir> {
    let to_m = siphon_to_m(&line.geometry, &line.intake)?;
    let (station_m, lift_m) = line
        .geometry
        .heights
        .station_m
        .iter()
        .zip(&line.geometry.heights.mean_m)
        .filter(|(s, _)| **s <= to_m)
        .map(|(s, z)| (*s, z - line.intake.low_level_m))
        .max_by(|a, b| a.1.total_cmp(&b.1))?;
    let warm = water(line.environment.water.warmest_c);
    let boils_m = vapour_head_m(
        line.environment.situation.air_pa(AirFor::Hanging),
        &warm,
        line.environment.situation.gravity_m_per_s2,
    );
    let broken_by = line.stands.iter().position(|s| {
        line.reaches.draws_in(s) && in_siphon(&line.geometry, &line.intake, s.station_m, to_m)
    });
    Some(SiphonAir {
        station_m,
        lift_m,
        boils_at_m: -boils_m,
        works_to_m: -working_limit_m(&line.reaches, &line.wishes, station_m, boils_m),
        margin_primed_m: primed.worst_m(),
        broken_by,
    })
}

/// A place in the siphon that stands above the lowest water.
pub(super) fn in_siphon(geometry: &Geometry, intake: &Inlet, station_m: f64, to_m: f64) -> bool {
    station_m <= to_m && geometry.elevation_m(station_m) > intake.low_level_m
}

#[cfg(test)]
mod tests {
    use super::*;

    fn filled(vents_m: &[f64]) -> ShutFill {
        let (station_m, height_m) = ([0.0, 50.0, 90.0, 300.0], [100.0, 90.0, 95.0, 60.0]);
        let course = PipeProfile {
            station_m: &station_m,
            height_m: &height_m,
            bore_m: &[0.05; 4],
        };
        let ends = Ends {
            level_m: 100.0,
            air_head_m: 10.33,
        };
        fill(&course, &course.humps(), ends, vents_m, 9810.0)
    }

    #[test]
    fn the_last_leg_keeps_its_air_behind_a_shut_valve() {
        let shut = filled(&[]);
        // 250 m of air sealed beyond the low, pressed into 210 m when the crest spills, then to 5 m of head more than the air
        let held = 250.0 * 10.33 / 15.33;
        assert_eq!(shut.pockets.len(), 1);
        assert!(shut.pockets[0].last_leg);
        assert!((shut.pockets[0].held.height_m - held / 210.0 * 35.0).abs() < 1e-6);
        assert!((shut.gauge_low_m - shut.pockets[0].held.height_m).abs() < 1e-12);
        assert!((shut.margin_m - (5.0 - 10.33 * (250.0 / 210.0 - 1.0))).abs() < 1e-9);
    }

    #[test]
    fn a_vent_on_the_crest_lets_it_out() {
        let shut = filled(&[90.0]);
        assert!(shut.pockets.is_empty());
        assert_eq!((shut.gauge_low_m, shut.margin_m), (0.0, 5.0));
    }
}
