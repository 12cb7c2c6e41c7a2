//! Coils and sticks on the route: where each piece begins and ends, and from which bought length.

use super::avoid::{Avoid, AvoidWhy, move_down, move_up, why_at};
use crate::line::{Environment, PieceLength, Reach};
use crate::pipe::Joint;

/// One piece of pipe in its place.
#[derive(Debug, Clone, PartialEq)]
pub struct LaidPiece {
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
    /// Number of the coil or stick it is cut from, from 1 for each kind in the order they are needed; `None` where it lies already.
    pub cut_from: Option<usize>,
    /// Length that one is bought in, m; `None` where it lies already.
    pub bought_m: Option<f64>,
    /// What is left of it, m, once this piece and those before it are cut: curved coil ends, and a rest.
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

crate::text::by_word! {
    JointAt {
        Self::Pieces => "pieces",
        Self::Stands => "stands",
        Self::ChangeOfPipe => "two kinds of pipe",
        Self::Fitting(_) => "fitting",
        Self::Elbow(_) => "elbow",
        Self::Turn(_) => "turning",
    }
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

/// What joints are kept out of: all of it, all but climbs, and at the least the bends that bear none.
pub(super) struct KeepOff {
    all: Vec<Avoid>,
    but_climbs: Vec<Avoid>,
    forbidden: Vec<Avoid>,
}

impl KeepOff {
    pub(super) fn new(avoided: &[Avoid], forbidden: Vec<Avoid>) -> Self {
        Self {
            all: avoided.to_vec(),
            but_climbs: avoided
                .iter()
                .filter(|a| a.why != AvoidWhy::Climb)
                .copied()
                .collect(),
            forbidden,
        }
    }
}

/// Shorter than this no piece is laid where it can be helped, m.
const SHORTEST_M: f64 = 1.0;

/// Pieces and joints of a planned reach, before it is known from which coil or stick each is cut.
///
/// Between two places where the pipe is parted anyway: fewest joints where none should stand, then fewest joints, then the least pipe bought, over every choice of the lengths that can be bought.
/// Every joint stands as far down as its piece reaches, moved uphill out of the stretches that are avoided: no other place needs fewer pieces.
pub(super) fn cut(
    environment: &Environment,
    (index, reach): (usize, &Reach),
    breaks: &[Break],
    keep: &KeepOff,
) -> (Vec<LaidPiece>, Vec<PlacedJoint>) {
    let mut pieces = Vec::new();
    let mut joints = Vec::new();
    let lengths = environment.piece_lengths(reach);
    let mut from_m = reach.from_m;
    let ends = breaks
        .iter()
        .map(|b| (b.station_m, Some(b.at)))
        .chain([(reach.to_m, None)]);
    for (end_m, at) in ends {
        let section = LayingRun {
            environment,
            reach,
            end_m,
            keep,
        };
        for step in section.steps(from_m, &lengths) {
            pieces.push(LaidPiece {
                number: 0,
                reach: index,
                from_m,
                to_m: step.to_m,
                cut_m: environment.cut_m(reach, from_m, step.to_m),
                cut_from: None,
                bought_m: Some(step.length.bought_m),
                left_m: 0.0,
                coil: step.length.coil,
            });
            if step.to_m < end_m {
                joints.push(PlacedJoint {
                    station_m: step.to_m,
                    joint: reach.joint,
                    at: JointAt::Pieces,
                    forced: step.forced,
                });
            }
            from_m = step.to_m;
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

/// A stretch of a reach between two places where the pipe is parted anyway.
struct LayingRun<'a> {
    environment: &'a Environment,
    reach: &'a Reach,
    end_m: f64,
    keep: &'a KeepOff,
}

/// One more piece.
#[derive(Debug, Clone, Copy)]
struct NextPiece {
    to_m: f64,
    forced: Option<AvoidWhy>,
    length: PieceLength,
}

/// A way to lay the section up to a station: joints that stand where none should, pipe bought, and the step that led here.
#[derive(Debug, Clone, Copy)]
struct JointLayout {
    step: NextPiece,
    forced: usize,
    bought_m: f64,
    before: usize,
}

impl LayingRun<'_> {
    /// The best pieces from a station to the section's end.
    fn steps(&self, from_m: f64, lengths: &[PieceLength]) -> Vec<NextPiece> {
        let Some(longest) = lengths.last() else {
            return Vec::new();
        };
        let fewest = self.greedily(from_m, longest);
        // Rounds of one more piece each; a way too far behind to end with the fewest pieces is dropped, and of two the one that is nowhere better.
        let mut rounds: Vec<Vec<JointLayout>> = Vec::new();
        for count in 1..=fewest.len() {
            let mut round: Vec<JointLayout> = Vec::new();
            let starts: Vec<(usize, f64, usize, f64)> = match rounds.last() {
                None => vec![(0, from_m, 0, 0.0)],
                Some(last) => last
                    .iter()
                    .enumerate()
                    .map(|(i, w)| (i, w.step.to_m, w.forced, w.bought_m))
                    .collect(),
            };
            let behind_m = (fewest.len() - count) as f64 * longest.bought_m;
            for (before, at_m, forced, bought_m) in starts {
                for length in lengths {
                    let step = self.next(at_m, length);
                    if self.end_m - step.to_m > behind_m {
                        continue;
                    }
                    let way = JointLayout {
                        step,
                        forced: forced + usize::from(step.forced.is_some()),
                        bought_m: bought_m + length.bought_m,
                        before,
                    };
                    add(&mut round, way);
                }
            }
            rounds.push(round);
        }
        self.traced(&rounds).unwrap_or(fewest)
    }

    /// The longest piece each time.
    fn greedily(&self, from_m: f64, longest: &PieceLength) -> Vec<NextPiece> {
        let mut out = Vec::new();
        let mut at_m = from_m;
        while at_m < self.end_m {
            let step = self.next(at_m, longest);
            at_m = step.to_m;
            out.push(step);
        }
        out
    }

    /// The best of the ways that reach the end, step by step.
    fn traced(&self, rounds: &[Vec<JointLayout>]) -> Option<Vec<NextPiece>> {
        let mut best: Option<(usize, usize)> = None;
        let cost = |at: (usize, usize)| {
            rounds
                .get(at.0)
                .and_then(|r| r.get(at.1))
                .map_or((usize::MAX, at.0, f64::INFINITY), |w| {
                    (w.forced, at.0, w.bought_m)
                })
        };
        for (k, round) in rounds.iter().enumerate() {
            for (i, way) in round.iter().enumerate() {
                if way.step.to_m >= self.end_m
                    && best.is_none_or(|b| {
                        let (new, old) = (cost((k, i)), cost(b));
                        (new.0, new.1) < (old.0, old.1)
                            || (new.0, new.1) == (old.0, old.1) && new.2 < old.2 - 1e-9
                    })
                {
                    best = Some((k, i));
                }
            }
        }
        let (mut k, mut i) = best?;
        let mut steps = Vec::new();
        loop {
            let way = rounds.get(k)?.get(i)?;
            steps.push(way.step);
            if k == 0 {
                break;
            }
            i = way.before;
            k -= 1;
        }
        steps.reverse();
        Some(steps)
    }

    /// Where the piece that begins at a station ends, m, to a millimetre; and why it stands in an avoided stretch if it must.
    ///
    /// A joint moves uphill only where that leaves fewer joints inside; a climb longer than any piece is given up first, so that its crest and bends still stay free, and what lies round a bend before the bend.
    fn next(&self, from_m: f64, length: &PieceLength) -> NextPiece {
        let usable_m = length.usable_m;
        let covers_m =
            self.environment
                .covers_to_m(self.reach, from_m, length.bought_m - length.ends_m);
        let step = |to_m: f64| NextPiece {
            to_m,
            forced: why_at(&self.keep.all, to_m),
            length: *length,
        };
        if self.end_m <= covers_m + 1e-9 {
            return NextPiece {
                forced: None,
                ..step(self.end_m)
            };
        }
        let mut reach_m = covers_m;
        if self.end_m - reach_m < SHORTEST_M && usable_m > 2.0 * SHORTEST_M {
            reach_m = self.end_m - SHORTEST_M;
        }
        let millimetre = |m: f64| (m * 1000.0 + 1e-6).floor() / 1000.0;
        for keep_off in [&self.keep.all, &self.keep.but_climbs] {
            let moved = move_up(keep_off, reach_m);
            let down = move_down(keep_off, reach_m);
            let inside_moved = ((down - moved - 1e-9) / usable_m).floor();
            let inside = ((down - reach_m - 1e-9) / usable_m).floor() + 1.0;
            let far_enough = moved >= from_m + SHORTEST_M.min(usable_m / 2.0);
            if moved == reach_m || (far_enough && inside_moved < inside) {
                return step(millimetre(moved).max(from_m + 1e-3));
            }
        }
        // Rather a short piece than a joint in a bend that bears none.
        let out = move_up(&self.keep.forbidden, reach_m);
        let last = if out > from_m + 2e-3 { out } else { reach_m };
        step(millimetre(last).max(from_m + 1e-3))
    }
}

/// Adds a way unless another is as far with no more joints forced and no more pipe; drops those it beats.
fn add(round: &mut Vec<JointLayout>, way: JointLayout) {
    let beats = |a: &JointLayout, b: &JointLayout| {
        a.step.to_m >= b.step.to_m && a.forced <= b.forced && a.bought_m <= b.bought_m + 1e-9
    };
    if round.iter().any(|w| beats(w, &way)) {
        return;
    }
    // An index that a later round holds never points into this one: it is still being filled.
    round.retain(|w| !beats(&way, w));
    round.push(way);
}

/// Pieces and joints of a reach that lies already: as its joints stand, else one length whose joints are not known.
pub(super) fn lies(index: usize, reach: &Reach) -> (Vec<LaidPiece>, Vec<PlacedJoint>) {
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
            [from_m, to_m] => Some(LaidPiece {
                number: 0,
                reach: index,
                from_m: *from_m,
                to_m: *to_m,
                cut_m: to_m - from_m,
                cut_from: None,
                bought_m: None,
                left_m: 0.0,
                coil: reach.coil,
            }),
            _ => None,
        })
        .collect();
    (pieces, joints)
}
