//! Heat and cold, and the pull of pressure: free movement, held force, swing between guides, pull-out at ends.

use super::friction::FRICTION_THAT_HARMS;
use super::ground::{SiteWater, full_n_per_m, is_restrained, wall_area_m2};
use super::jointed::{largest_pa, shell};
use super::pieces::{Jointed, run_beside};
use super::reach_parts::{between_c, parts};
use super::supports::STEEL_ON_CONCRETE;
use super::{Heat, Loads, PullApart, PullPlace, Slack};
use crate::line::{Appurtenance, Environment, Geometry, Line, Reach, Reaches};
use crate::numeric::series::interpolate;
use crate::pipe::{
    Bed, FIFTY_YEARS_H, Lasting, MarkKind, Material, Pipe, lasting_modulus_pa, length_change_m,
    poisson, thermal_expansion_per_k,
};

/// Sideways swing that a pipe on the ground is allowed, m (common practice, no source).
const SWING_M: f64 = 0.3;

/// Movement that wants a loop of slack beside a place that is held, m (common practice, no source).
const WANTS_LOOP_M: f64 = 0.1;

/// How far from the hold the loop is left, m.
const LOOP_AWAY_M: f64 = 5.0;

/// How long a night holds the pipe cold, h.
const NIGHT_H: f64 = 12.0;

/// The pipe that is held along its length.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeldPipe {
    /// Modulus for as long as it is held, Pa.
    pub modulus_pa: f64,
    /// Expansion, 1/K.
    pub expansion_per_k: f64,
    /// Change of temperature, K.
    pub kelvin: f64,
    /// Area of the wall, m2.
    pub wall_area_m2: f64,
}

/// Force of a pipe that is held while its temperature changes, N: `E alpha dT A`.
///
/// Source: Hooke and the definition of expansion. Plastic creeps: the quick modulus gives the first hour, the slow one what stays.
pub fn held_n(held: HeldPipe) -> f64 {
    held.modulus_pa * held.expansion_per_k * held.kelvin * held.wall_area_m2
}

/// Swing sideways of a pipe that grows between two holds, m: `L sqrt(strain / 2)`.
///
/// Exact for two straight halves to the first order, and on the safe side of a half sine or an arc. Printed sheets mix the two units of expansion here: 1/F with degrees Celsius.
pub fn swing_m(length_m: f64, strain: f64) -> f64 {
    length_m * (0.5 * strain.max(0.0)).sqrt()
}

/// Greatest distance of guides that keeps the swing below a limit, m.
pub fn guide_spacing_m(swing_m: f64, strain: f64) -> f64 {
    swing_m / (0.5 * strain).sqrt()
}

/// Pull of a held pipe that pressure makes fatter and would make shorter, N: `nu sigma A`, sigma the hoop stress.
///
/// It lasts as long as the pressure does, whatever the modulus. Source: Poisson's effect on a thin wall.
pub fn shortening_pull_n(pipe: &Pipe, pressure_pa: f64) -> f64 {
    poisson(pipe).value * hoop_pa(pipe, pressure_pa) * wall_area_m2(pipe)
}

fn hoop_pa(pipe: &Pipe, pressure_pa: f64) -> f64 {
    pressure_pa * (pipe.outer_diameter_m - pipe.wall_m) / (2.0 * pipe.wall_m)
}

/// Each reach of one pipe, parted where it goes into the ground.
pub(super) fn heat(line: &Line, loads: &Loads) -> Vec<Heat> {
    parts(line)
        .into_iter()
        .filter_map(|(from_m, to_m)| part(line, loads, from_m, to_m))
        .collect()
}

fn part(line: &Line, loads: &Loads, from_m: f64, to_m: f64) -> Option<Heat> {
    let environment = &line.environment;
    let middle = 0.5 * (from_m + to_m);
    let reach = line.reaches.at(middle)?;
    let pipe = &reach.pipe;
    let bed = environment.bed_at(middle);
    let (hot_c, cold_c) = between_c(environment, reach, bed);
    let length = to_m - from_m;
    let kelvin = hot_c - cold_c;
    let expansion = thermal_expansion_per_k(pipe);
    let strain = expansion.value * kelvin;
    let modulus = |hours: f64, wall_c: f64| lasting_modulus_pa(pipe, Lasting { hours, wall_c });
    let force = |hours: f64, wall_c: f64| {
        held_n(HeldPipe {
            modulus_pa: modulus(hours, wall_c).value,
            expansion_per_k: expansion.value,
            kelvin,
            wall_area_m2: wall_area_m2(pipe),
        })
    };
    let standing_pa =
        interpolate(&line.geometry.heights.station_m, &loads.standing_pa, middle).max(0.0);
    let shortening = poisson(pipe).value * hoop_pa(pipe, standing_pa)
        / modulus(FIFTY_YEARS_H, environment.water.usual_c).value;
    let moves_m = length_change_m(expansion.value, length, kelvin);
    let guides = guides(&line.reaches, &line.stands, from_m, to_m);
    let loops_m = if bed != Bed::Buried
        && pipe.material != Material::Steel
        && is_restrained(reach)
        && moves_m > WANTS_LOOP_M
    {
        loops(&line.geometry, environment, from_m, to_m)
    } else {
        Vec::new()
    };
    let drags_n = FRICTION_THAT_HARMS * full_n_per_m(pipe, SiteWater::of(environment)) * length;
    Some(Heat {
        from_m,
        to_m,
        hot_c,
        cold_c,
        moves_m,
        pressure_shortens_m: shortening * length,
        held_hot_n: force(0.5, hot_c),
        held_cold_n: (force(NIGHT_H, cold_c), force(0.5, cold_c)),
        drags_n: drags_n.min(force(0.5, cold_c)),
        guide_spacing_m: (bed != Bed::Buried && strain > 0.0)
            .then(|| guide_spacing_m(SWING_M, strain)),
        swing_m: SWING_M,
        standing_swing: guides.map(|gap| (gap, swing_m(gap, strain))),
        loops_m,
        from_memory: expansion.how.is_unverified() || modulus(0.5, hot_c).how.is_unverified(),
    })
}

/// Widest gap between what holds the pipe sideways in a part, m; `None` where nothing stands there.
fn guides(reaches: &Reaches, stands: &[Appurtenance], from_m: f64, to_m: f64) -> Option<f64> {
    let mut at: Vec<f64> = stands
        .iter()
        .filter(|s| {
            matches!(
                s.kind,
                MarkKind::Guide | MarkKind::Strap | MarkKind::Anchor | MarkKind::Block
            ) && (from_m..=to_m).contains(&s.station_m)
                && reaches.counts(s)
        })
        .map(|s| s.station_m)
        .collect();
    if at.is_empty() {
        return None;
    }
    at.extend([from_m, to_m]);
    at.sort_by(f64::total_cmp);
    at.iter()
        .zip(at.iter().skip(1))
        .map(|(a, b)| b - a)
        .reduce(f64::max)
}

/// Slack beside the two ends of the line, which are held, and beside a part in the ground.
fn loops(geometry: &Geometry, environment: &Environment, from_m: f64, to_m: f64) -> Vec<f64> {
    let held = |s: f64| {
        s <= 0.5
            || s >= geometry.length_m() - 0.5
            || environment.bed_at(s - 0.1) == Bed::Buried
            || environment.bed_at(s + 0.1) == Bed::Buried
    };
    let away = LOOP_AWAY_M.min(0.25 * (to_m - from_m));
    let mut out = Vec::new();
    if held(from_m) {
        out.push(from_m + away);
    }
    if held(to_m) {
        out.push(to_m - away);
    }
    out
}

/// Places where pieces can pull apart: both ends of the line, and where a line of one piece meets another pipe.
///
/// A hold there takes the larger of the pressure on the shut end and of what the pipe pulls when it is held, cools and is pressed fat.
/// Where a loop of slack is named beside the hold, or steel above the ground is parted by an expansion joint, cold does not pull.
pub(super) fn pulls(line: &Line, loads: &Loads, heat: &[Heat], runs: &[Jointed]) -> Vec<PullApart> {
    let mut out = ends(line, loads);
    for pull in &mut out {
        let loops = heat
            .iter()
            .flat_map(|h| &h.loops_m)
            .any(|s| (s - pull.station_m).abs() <= LOOP_AWAY_M + 0.5);
        if loops {
            pull.slack = Slack::Loop;
            pull.hold_n = pull.by_pressure_n.max(pull.by_shortening_n);
        } else if let Some(jointed_n) = with_joint_n(line, loads, runs, pull.station_m) {
            pull.slack = Slack::Joint;
            pull.hold_n = pull.by_pressure_n + jointed_n;
        }
    }
    out
}

/// What an expansion joint beside a hold on steel above the ground leaves to it, N: friction in the joint and on the piers of the run to it, and the pressure on the pipe's end; `None` where no run with a joint begins or ends.
fn with_joint_n(line: &Line, loads: &Loads, runs: &[Jointed], station_m: f64) -> Option<f64> {
    let run = run_beside(runs, station_m)?;
    let reach = line.reaches.at(run.joint_m)?;
    let shell = shell(&line.environment, reach);
    let head_m = largest_pa(&line.geometry, loads, run.joint_m) / shell.water_n_per_m3;
    let (_, friction) = STEEL_ON_CONCRETE;
    let piers = friction
        * full_n_per_m(&reach.pipe, SiteWater::of(&line.environment))
        * (station_m - run.joint_m).abs();
    Some(run.joint_friction_n + shell.joint_end_n(head_m) + piers)
}

fn ends(line: &Line, loads: &Loads) -> Vec<PullApart> {
    let mut out = Vec::new();
    let (first, last) = (line.reaches.first(), line.reaches.last());
    if let Some(reach) = first.filter(|r| is_restrained(r)) {
        out.push(pull(line, loads, reach, 0.0, PullPlace::Intake));
    }
    for (above, below) in line.reaches.iter().zip(line.reaches.iter().skip(1)) {
        let other = above.pipe.material != below.pipe.material
            || is_restrained(above) != is_restrained(below);
        if other {
            let moves = if is_restrained(above) { above } else { below };
            out.push(pull(
                line,
                loads,
                moves,
                above.to_m,
                PullPlace::ChangeOfPipe,
            ));
        }
    }
    if let Some(reach) = last.filter(|r| is_restrained(r)) {
        out.push(pull(
            line,
            loads,
            reach,
            line.geometry.length_m(),
            PullPlace::Turbine,
        ));
    }
    out
}

fn pull(line: &Line, loads: &Loads, reach: &Reach, station_m: f64, place: PullPlace) -> PullApart {
    let (geometry, environment) = (&line.geometry, &line.environment);
    let pipe = &reach.pipe;
    let at = |values: &[f64]| interpolate(&geometry.heights.station_m, values, station_m).max(0.0);
    let tested = |station: f64| {
        if loads.test_pa.is_empty() {
            0.0
        } else {
            interpolate(&geometry.heights.station_m, &loads.test_pa, station).max(0.0)
        }
    };
    let bed = environment.bed_at(station_m);
    let (hot_c, cold_c) = between_c(environment, reach, bed);
    let expansion = thermal_expansion_per_k(pipe);
    let modulus = lasting_modulus_pa(
        pipe,
        Lasting {
            hours: 0.5,
            wall_c: cold_c,
        },
    );
    let by_cold_n = held_n(HeldPipe {
        modulus_pa: modulus.value,
        expansion_per_k: expansion.value,
        kelvin: hot_c - cold_c,
        wall_area_m2: wall_area_m2(pipe),
    });
    // what pulls at an end is the pipe of the whole reach: the pressure of its lower end is the largest
    let largest = geometry
        .heights
        .station_m
        .iter()
        .zip(&loads.largest_pa)
        .filter(|(s, _)| (reach.from_m..=reach.to_m).contains(*s))
        .map(|(_, p)| *p)
        .fold(at(&loads.largest_pa), f64::max)
        .max(tested(reach.to_m))
        .max(tested(reach.from_m));
    let by_shortening_n = shortening_pull_n(pipe, largest);
    let by_pressure_n = at(&loads.largest_pa).max(tested(station_m)) * pipe.outer_area_m2();
    let length = reach.to_m - reach.from_m;
    let slow = lasting_modulus_pa(
        pipe,
        Lasting {
            hours: FIFTY_YEARS_H,
            wall_c: environment.water.usual_c,
        },
    );
    let standing = at(&loads.standing_pa);
    PullApart {
        station_m,
        joint: reach.joint,
        place,
        by_pressure_n,
        by_shortening_n,
        by_cold_n,
        shortens_m: length_change_m(expansion.value, length, hot_c - cold_c)
            + poisson(pipe).value * hoop_pa(pipe, standing) / slow.value * length,
        tight_n: by_pressure_n.max(by_shortening_n + by_cold_n),
        slack: Slack::None,
        hold_n: by_pressure_n.max(by_shortening_n + by_cold_n),
        from_memory: expansion.how.is_unverified() || modulus.how.is_unverified(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_formula_is_on_the_safe_side_of_smooth_shapes() {
        use std::f64::consts::PI;
        let near = swing_m(20.0, 0.0054);
        assert!((near - 0.5 * (20.108_f64.powi(2) - 400.0).sqrt()).abs() < 0.002);
        // the half sine and the arc of the basis page: lengths over the chord
        let steps = (0..2000).map(|i| PI * (f64::from(i) + 0.5) / 2000.0);
        let sine: f64 = steps
            .map(|x| (0.938 / 20.0 * PI * x.cos()).hypot(1.0) / 2000.0)
            .sum();
        let half = 2.0 * (2.0 * 0.901_f64 / 20.0).atan();
        assert!((sine - 1.0054).abs() < 1e-5 && near > 0.938);
        assert!((half / half.sin() - 1.0054).abs() < 1e-5 && near > 0.901);
    }

    #[test]
    fn expansion_a_degree_fahrenheit_is_not_one_a_degree_celsius() {
        // a printed sheet takes 6.7e-5 a degree F for 36 F, and 1.2e-4 a degree C for 20 C elsewhere: 104.18 and 103.92 mm in 3 m
        let by_f = swing_m(3.0, 6.7e-5 * 36.0);
        let by_c = swing_m(3.0, 6.7e-5 * 1.8 * 20.0);
        let mixed = swing_m(3.0, 1.2e-4 * 20.0);
        assert!((by_f - by_c).abs() < 1e-9);
        assert!((by_f - 0.104_182_6).abs() < 1e-6 && (mixed - 0.103_923).abs() < 1e-6);
    }
}
