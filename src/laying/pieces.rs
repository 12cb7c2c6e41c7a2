//! Coils and sticks on the route: where each piece begins and ends, and what is cut off.

use super::avoid::{Avoid, AvoidWhy, move_down, move_up, why_at};
use crate::line::{Line, Reach};
use crate::pipe::Joint;

/// One piece of pipe in its place.
#[derive(Debug, Clone, PartialEq)]
pub struct Piece {
    /// Number along the line, from 1.
    pub number: usize,
    /// Index into the line's reaches.
    pub reach: usize,
    /// From, m.
    pub from_m: f64,
    /// To, m.
    pub to_m: f64,
    /// Length to cut it to, m: its place and the slack.
    pub cut_m: f64,
    /// Length it is bought in, m; `None` where it lies already.
    pub bought_m: Option<f64>,
    /// What is left over of it, m: curved coil ends, and a rest that may serve elsewhere.
    pub left_m: f64,
    /// It comes in a coil.
    pub coil: bool,
}

/// What a joint of the list joins.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum JointAt {
    /// Two pieces of the same pipe.
    Pieces,
    /// It stands already.
    Stands,
    /// Two kinds of pipe.
    ChangeOfPipe,
    /// Both sides of something the water passes through: index into the line's fittings.
    Fitting(usize),
    /// Both sides of an elbow that is wanted: index into the bends.
    Elbow(usize),
    /// A ring joint that turns at a bend: index into the bends.
    Turn(usize),
}

/// A joint in its place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlacedJoint {
    /// Where, m.
    pub station_m: f64,
    /// How it is made.
    pub joint: Joint,
    /// What it joins.
    pub at: JointAt,
    /// It could not be kept out of such a stretch: no piece is long enough.
    pub forced: Option<AvoidWhy>,
}

/// Where the pipe is parted whatever its pieces: a fitting, an elbow, a ring joint that turns.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Break {
    pub(super) station_m: f64,
    pub(super) at: JointAt,
}

/// Shorter than this no piece is laid where it can be helped, m.
const SHORTEST_M: f64 = 1.0;

/// Pieces and joints of a planned reach.
///
/// Every joint stands as far down as its piece reaches, moved uphill out of the stretches that are avoided: no other choice needs fewer pieces.
pub(super) fn cut(
    line: &Line,
    index: usize,
    reach: &Reach,
    breaks: &[Break],
    avoid: &[Avoid],
) -> (Vec<Piece>, Vec<PlacedJoint>) {
    let length = line.piece_length(reach);
    let mut pieces = Vec::new();
    let mut joints = Vec::new();
    let mut from_m = reach.from_m;
    let ends = breaks
        .iter()
        .map(|b| (b.station_m, Some(b.at)))
        .chain([(reach.to_m, None)]);
    for (end_m, at) in ends {
        while from_m < end_m {
            let (to_m, forced) = next(from_m, end_m, length.usable_m, avoid);
            let cut_m = (to_m - from_m) * (1.0 + length.slack);
            pieces.push(Piece {
                number: 0,
                reach: index,
                from_m,
                to_m,
                cut_m,
                bought_m: Some(length.bought_m),
                left_m: (length.bought_m - cut_m).max(0.0),
                coil: length.coil,
            });
            if to_m < end_m {
                joints.push(PlacedJoint {
                    station_m: to_m,
                    joint: reach.joint,
                    at: JointAt::Pieces,
                    forced,
                });
            }
            from_m = to_m;
        }
        if let Some(at) = at {
            joints.push(PlacedJoint {
                station_m: end_m,
                joint: reach.joint,
                at,
                forced: None,
            });
        }
    }
    (pieces, joints)
}

/// Where the piece that begins at a station ends, m, to a millimetre; and why it stands in an avoided stretch if it must.
///
/// A joint moves uphill only where that leaves fewer joints inside; a climb longer than any piece is given up first, so that its crest and bends still stay free.
fn next(from_m: f64, end_m: f64, usable_m: f64, avoid: &[Avoid]) -> (f64, Option<AvoidWhy>) {
    if end_m - from_m <= usable_m + 1e-9 {
        return (end_m, None);
    }
    let mut reach_m = from_m + usable_m;
    if end_m - reach_m < SHORTEST_M && usable_m > 2.0 * SHORTEST_M {
        reach_m = end_m - SHORTEST_M;
    }
    let millimetre = |m: f64| (m * 1000.0 + 1e-6).floor() / 1000.0;
    let but_climbs: Vec<Avoid> = avoid
        .iter()
        .filter(|a| a.why != AvoidWhy::Climb)
        .copied()
        .collect();
    for keep_off in [avoid, &but_climbs] {
        let moved = move_up(keep_off, reach_m);
        let inside_moved = ((move_down(keep_off, reach_m) - moved - 1e-9) / usable_m).floor();
        let inside = ((move_down(keep_off, reach_m) - reach_m - 1e-9) / usable_m).floor() + 1.0;
        let far_enough = moved >= from_m + SHORTEST_M.min(usable_m / 2.0);
        if moved == reach_m || (far_enough && inside_moved < inside) {
            let at = millimetre(moved).max(from_m + 1e-3);
            return (at, why_at(avoid, at));
        }
    }
    let there = millimetre(reach_m).max(from_m + 1e-3);
    (there, why_at(avoid, there))
}

/// Pieces and joints of a reach that lies already: as its joints stand, else one length whose joints are not known.
pub(super) fn lies(index: usize, reach: &Reach) -> (Vec<Piece>, Vec<PlacedJoint>) {
    let mut stations: Vec<f64> = reach
        .joints_at_m
        .iter()
        .copied()
        .filter(|s| *s > reach.from_m && *s < reach.to_m)
        .collect();
    stations.sort_by(f64::total_cmp);
    stations.dedup();
    let joints = stations
        .iter()
        .map(|&station_m| PlacedJoint {
            station_m,
            joint: reach.joint,
            at: JointAt::Stands,
            forced: None,
        })
        .collect();
    let ends: Vec<f64> = std::iter::once(reach.from_m)
        .chain(stations)
        .chain([reach.to_m])
        .collect();
    let pieces = ends
        .windows(2)
        .filter_map(|w| match w {
            [from_m, to_m] => Some(Piece {
                number: 0,
                reach: index,
                from_m: *from_m,
                to_m: *to_m,
                cut_m: to_m - from_m,
                bought_m: None,
                left_m: 0.0,
                coil: reach.coil,
            }),
            _ => None,
        })
        .collect();
    (pieces, joints)
}
