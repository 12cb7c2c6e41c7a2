//! Whether the pipe follows each bend of the route by itself, at its joints, or by an elbow.

use super::elbow::{cut_to, sold};
use crate::line::{Environment, Line, Reach};
use crate::numeric::math;
use crate::pipe::{FittingKind, How, InBend, Joint, Material, RING_JOINT_RAD, least_radius_m};
use crate::route::Bend;
use crate::unit::DOUBT_SDS;

/// How far a bent pipe may lie inside the surveyed corner, m: what a crew shifts without a word (common practice, no source).
pub const OFF_LINE_M: f64 = 0.3;

/// Angle that is taken up where two pieces are fitted together, rad: one degree (from memory). Steel is otherwise straight.
const FITTED_RAD: f64 = std::f64::consts::PI / 180.0;

/// How far a joint may turn, rad.
fn turn_rad(joint: Joint) -> f64 {
    match joint {
        Joint::Ring => RING_JOINT_RAD,
        _ => FITTED_RAD,
    }
}

/// How the pipe gets round a bend.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum BendMethod {
    /// It bends by itself.
    Pipe,
    /// Its ring joints turn, so many of them, two degrees each at most.
    Joints(usize),
    /// It needs an elbow, or two: the turn they make, rad (`elbows` parts it); the pipe and its joints take up the rest. One for welded steel is cut to the angle.
    Elbow(f64),
    /// An elbow stands there already: index into the line's fittings.
    Stands(usize),
    /// The doubt of the angle does not tell: measure it.
    CannotTell,
}

crate::text::by_word! {
    BendMethod {
        Self::Pipe => "pipe",
        Self::Joints(_) => "joints",
        Self::Elbow(_) => "elbow",
        Self::Stands(_) => "stands",
        Self::CannotTell => "cannot tell",
    }
}

/// One bend of the route held against the pipe.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BendCheck {
    /// Where, m.
    pub station_m: f64,
    /// Angle in space, rad.
    pub angle_rad: f64,
    /// Its standard deviation, rad.
    pub sd_rad: f64,
    /// Least radius the pipe may be bent to, m; `None`: it is not to be bent.
    pub least_radius_m: Option<f64>,
    /// Largest radius that the place gives, m: by the curve as surveyed, or by cutting the corner as far as neighbouring bends and the line allow.
    pub radius_m: f64,
    /// Length that the bend takes along the line, m.
    pub length_m: f64,
    /// How far the bent pipe lies inside the surveyed corner, m.
    pub off_line_m: f64,
    /// Joints are kept this far from the station, m, where they can be; 0 where they may stand in it.
    pub clear_m: f64,
    /// The reach's own kind of joint may stand in the bend: a butt fusion is bent with its pipe, every other joint wants the radius of a fitting, or a curve so gentle that it turns no more than its kind takes up.
    pub bears_joint: bool,
    /// How the pipe gets round.
    pub way: BendMethod,
    /// How the least radius is known.
    pub how: How,
}

/// Judges every bend of the line, in order. The pipe is taken at its coldest, when it bends least.
pub fn bends(line: &Line) -> Vec<BendCheck> {
    let mut sorted: Vec<Bend> = line.geometry.bends.clone();
    sorted.sort_by(|a, b| {
        a.station_m
            .total_cmp(&b.station_m)
            .then(a.angle_rad.total_cmp(&b.angle_rad))
            .then(a.over_m.total_cmp(&b.over_m))
    });
    let stations: Vec<f64> = sorted.iter().map(|b| b.station_m).collect();
    sorted
        .iter()
        .enumerate()
        .filter_map(|(i, bend)| {
            let reach = line.reaches.at(bend.station_m)?;
            // Half-way to the bend on either side; a line's end leaves the whole way.
            let before = i
                .checked_sub(1)
                .and_then(|i| stations.get(i))
                .map_or(bend.station_m, |s| (bend.station_m - s) / 2.0);
            let after = stations
                .get(i + 1)
                .map_or(line.geometry.length_m() - bend.station_m, |s| {
                    (s - bend.station_m) / 2.0
                });
            Some(check(line, reach, bend, before.min(after).max(0.0)))
        })
        .collect()
}

fn check(line: &Line, reach: &Reach, bend: &Bend, room_m: f64) -> BendCheck {
    let environment = &line.environment;
    let coldest_c = environment.coldest_c();
    let pipe = &reach.pipe;
    let plain = least_radius_m(pipe, coldest_c, InBend::Pipe);
    let joined = least_radius_m(pipe, coldest_c, InBend::Fitting);
    let radius_m = radius(bend, bend.angle_rad, room_m);
    let half = math::tan(bend.angle_rad / 2.0);
    // A corner that is cut is cut no more than the pipe asks for.
    let used_m = if bend.over_m > 0.0 {
        radius_m
    } else {
        plain.map_or(0.0, |r| r.value.min(radius_m))
    };
    let length_m = if bend.over_m > 0.0 {
        bend.over_m
    } else {
        2.0 * used_m * half
    };
    let takes_joint = joined.is_some_and(|r| radius_m >= r.value);
    let piece_m = environment.piece_length(reach).usable_m;
    let turns_rad = (piece_m / radius_m).min(bend.angle_rad);
    let bears_joint =
        takes_joint || reach.joint == Joint::Fused || turns_rad <= turn_rad(reach.joint);
    // A bend longer than any piece has a joint in it; joints stand on whole millimetres.
    let spans = bears_joint || length_m + 2e-3 <= piece_m;
    let way = way(line, reach, bend, room_m, spans);
    BendCheck {
        station_m: bend.station_m,
        angle_rad: bend.angle_rad,
        sd_rad: bend.sd_rad,
        least_radius_m: plain.map(|r| r.value),
        radius_m,
        length_m,
        off_line_m: if bend.over_m > 0.0 {
            0.0
        } else {
            off_line(used_m, bend.angle_rad)
        },
        clear_m: match way {
            BendMethod::Pipe | BendMethod::CannotTell if !takes_joint => {
                length_m / 2.0 + CLEAR_DIAMETERS * pipe.outer_diameter_m
            }
            _ => 0.0,
        },
        bears_joint,
        way,
        how: plain.map_or(How::Memory, |r| r.how),
    }
}

/// Straight pipe between a bend and a joint, in outside diameters (common practice, no source).
const CLEAR_DIAMETERS: f64 = 10.0;

/// How far inside its corner an arc lies, m: R (1/cos(a/2) - 1).
fn off_line(radius_m: f64, angle_rad: f64) -> f64 {
    radius_m * (1.0 / math::cos(angle_rad / 2.0) - 1.0)
}

/// Largest radius by which the pipe can get round an angle here, m.
fn radius(bend: &Bend, angle_rad: f64, room_m: f64) -> f64 {
    if angle_rad <= 0.0 {
        return f64::INFINITY;
    }
    let as_surveyed = bend.over_m / angle_rad;
    let half = (angle_rad / 2.0).min(1.5);
    let by_room = room_m / math::tan(half);
    let by_line = OFF_LINE_M / (1.0 / math::cos(half) - 1.0);
    as_surveyed.max(by_room.min(by_line))
}

fn way(line: &Line, reach: &Reach, bend: &Bend, room_m: f64, spans: bool) -> BendMethod {
    let environment = &line.environment;
    let elbow = (0..).zip(&line.fittings).find(|(_, f)| {
        matches!(f.kind, FittingKind::Elbow | FittingKind::Mitre)
            && (f.station_m - bend.station_m).abs() <= 2.0
    });
    if let Some((index, _)) = elbow {
        return BendMethod::Stands(index);
    }
    let low = (bend.angle_rad - DOUBT_SDS * bend.sd_rad).max(0.0);
    let high = bend.angle_rad + DOUBT_SDS * bend.sd_rad;
    if spans && follows(environment, reach, bend, high, room_m) {
        return BendMethod::Pipe;
    }
    if reach.joint == Joint::Ring {
        let count = (high / RING_JOINT_RAD).ceil().max(1.0);
        let piece_m = environment.piece_length(reach).usable_m;
        // A corner spread over joints a piece apart: the polygon lies inside by about a (n-1) p / 8.
        if count <= 4.0
            && bend.angle_rad * (count - 1.0) * piece_m / 8.0 <= OFF_LINE_M
            && (count - 1.0) * piece_m / 2.0 <= room_m
        {
            return BendMethod::Joints(count as usize);
        }
    }
    if spans && follows(environment, reach, bend, low, room_m) {
        return BendMethod::CannotTell;
    }
    if reach.pipe.material == Material::Steel && reach.joint == Joint::Welded {
        return BendMethod::Elbow(cut_to(bend.angle_rad));
    }
    // A joint on either side of the elbow takes up its part; a pipe that bends takes up what it can follow.
    let rest = 2.0 * turn_rad(reach.joint);
    BendMethod::Elbow(sold(bend.angle_rad, |r| {
        r <= rest || follows(environment, reach, bend, r, room_m)
    }))
}

/// Whether the pipe itself gets round an angle here.
fn follows(
    environment: &Environment,
    reach: &Reach,
    bend: &Bend,
    angle_rad: f64,
    room_m: f64,
) -> bool {
    if reach.pipe.material == Material::Steel {
        return angle_rad <= FITTED_RAD;
    }
    let coldest_c = environment.coldest_c();
    least_radius_m(&reach.pipe, coldest_c, InBend::Pipe)
        .is_some_and(|least| radius(bend, angle_rad, room_m) >= least.value)
}
