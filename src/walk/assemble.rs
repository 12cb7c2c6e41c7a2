//! Legs of walks put together to one line: some lie over it, some carry it on, some lie elsewhere.

use super::clean::span;
use super::leg::WalkLeg;
use super::polyline::Polyline;

/// A leg within this of the line lies over it, m: some three times the scatter of a hand receiver under trees.
pub(super) const OVER_M: f64 = 25.0;

/// A leg that begins within this of the line's end carries it on, m.
const NEXT_M: f64 = 60.0;

/// A leg of a walk that was broken, at most this far on, carries the line on, m.
const NEXT_SAME_WALK_M: f64 = 250.0;

/// A tail beyond the line's end carries it on when it is longer than this, m.
const TAIL_M: f64 = 20.0;

/// Legs of at least this share of the longest one's length may be the line; so many of them are held against each other.
const RIVAL: f64 = 0.7;
const MOST_RIVALS: usize = 12;

/// Most places at which a leg is held against the line.
const MOST: usize = 200;

/// A leg and where on the line it begins.
#[derive(Debug, Clone)]
pub(super) struct PlacedLeg {
    pub(super) leg: WalkLeg,
    /// Station of its first block on the line, m, where it is known from the making of the line.
    pub(super) begin_m: Option<f64>,
}

/// A line made from legs.
#[derive(Debug)]
pub(super) struct Assembly {
    pub(super) line: Polyline,
    pub(super) legs: Vec<PlacedLeg>,
    /// Legs that lie elsewhere and are left out.
    pub(super) strays: Vec<WalkLeg>,
}

/// A leg that lies elsewhere and is too long to be left out.
#[derive(Debug, Clone)]
pub(super) struct Elsewhere {
    pub(super) main: WalkLeg,
    pub(super) other: WalkLeg,
    pub(super) apart_m: f64,
}

/// Makes the line: the longest leg, or the one that passes the wanted places, then whatever lies over it or carries it on.
pub(super) fn assemble(
    legs: Vec<WalkLeg>,
    wanted: &[[f64; 2]],
) -> Result<Option<Assembly>, Box<Elsewhere>> {
    let Some(main) = main_leg(&legs, wanted) else {
        return Ok(None);
    };
    let mut pending = legs;
    let first = pending.remove(main);
    let mut line = Polyline::new(first.path.iter().copied());
    let mut placed = vec![PlacedLeg {
        leg: first,
        begin_m: Some(0.0),
    }];
    loop {
        pending.sort_by(|a, b| b.length_m().total_cmp(&a.length_m()));
        let Some((at, how)) = pending
            .iter()
            .enumerate()
            .find_map(|(i, leg)| relation(leg, &line, &placed).map(|how| (i, how)))
        else {
            break;
        };
        let leg = pending.remove(at);
        lay(leg, how, &mut line, &mut placed);
    }
    let long = 0.3 * line.length_m();
    if wanted.is_empty()
        && let Some(other) = pending.iter().find(|l| l.length_m() > long)
        && let Some(main) = placed.first()
    {
        let apart_m = other
            .path
            .iter()
            .map(|&p| line.foot_anywhere(p).off_m)
            .fold(f64::INFINITY, f64::min);
        return Err(Box::new(Elsewhere {
            main: main.leg.clone(),
            other: other.clone(),
            apart_m,
        }));
    }
    Ok(Some(Assembly {
        line,
        legs: placed,
        strays: pending,
    }))
}

/// The leg that the line is made from: it passes the wanted places; among those about as long as the longest, the one that most of the others' way confirms (a detour is longer than the pipe); then the longest.
fn main_leg(legs: &[WalkLeg], wanted: &[[f64; 2]]) -> Option<usize> {
    let lines: Vec<Polyline> = legs
        .iter()
        .map(|l| Polyline::new(l.path.iter().copied()))
        .collect();
    let misses = |line: &Polyline| {
        let miss = wanted
            .iter()
            .map(|&w| line.foot_anywhere(w).off_m)
            .fold(0.0, f64::max);
        // Legs that all pass close by are judged by their length.
        (miss / OVER_M).floor()
    };
    let longest = lines.iter().map(Polyline::length_m).fold(0.0, f64::max);
    let rivals: Vec<usize> = (0..legs.len())
        .filter(|&i| {
            lines
                .get(i)
                .is_some_and(|l| l.length_m() >= RIVAL * longest)
        })
        .take(MOST_RIVALS)
        .collect();
    let alone = |i: usize| {
        let Some(leg) = legs.get(i).filter(|_| rivals.contains(&i)) else {
            return f64::INFINITY;
        };
        let others = || rivals.iter().filter(|&&k| k != i);
        let step = leg.path.len().div_ceil(MOST).max(1);
        let places = leg.path.iter().step_by(step);
        let count = places.len().max(1) * others().count().max(1);
        let off = places
            .flat_map(|&p| others().map(move |&k| (p, k)))
            .filter(|&(p, k)| {
                lines
                    .get(k)
                    .is_some_and(|line| line.foot_anywhere(p).off_m > OVER_M)
            })
            .count();
        // In tenths: a few places more or less decide nothing.
        (10.0 * off as f64 / count as f64).floor()
    };
    let key: Vec<(f64, f64, f64)> = lines
        .iter()
        .enumerate()
        .map(|(i, l)| {
            let alone = alone(i);
            // Of legs that part in the middle the shorter one is the pipe; of legs that lie over each other, or hardly meet, the longer one shows more.
            let part = (1.0..5.0).contains(&alone);
            let length = if part { l.length_m() } else { -l.length_m() };
            (misses(l), alone, length)
        })
        .collect();
    (0..legs.len()).min_by(|&a, &b| {
        let (a, b) = (key.get(a), key.get(b));
        a.partial_cmp(&b).unwrap_or(std::cmp::Ordering::Equal)
    })
}

/// How a leg belongs to the line.
enum LegRelation {
    /// Lies over it; the tails before its first and after its last common place may carry the line on.
    Over {
        head: Option<usize>,
        tail: Option<usize>,
    },
    /// Carries it on: at the line's beginning or end, turned round or not.
    Next { at_end: bool, turned: bool },
}

fn relation(leg: &WalkLeg, line: &Polyline, placed: &[PlacedLeg]) -> Option<LegRelation> {
    let step = leg.path.len().div_ceil(MOST).max(1);
    let feet: Vec<(usize, super::polyline::LineFoot)> = leg
        .path
        .iter()
        .enumerate()
        .step_by(step)
        .map(|(i, &p)| (i, line.foot_anywhere(p)))
        .collect();
    let near: Vec<usize> = feet
        .iter()
        .filter(|(_, f)| f.off_m <= OVER_M)
        .map(|(i, _)| *i)
        .collect();
    if 2 * near.len() >= feet.len() {
        return Some(LegRelation::Over {
            head: near.first().copied().filter(|&i| i > 0),
            tail: near.last().copied().filter(|&i| i + 1 < leg.path.len()),
        });
    }
    let same_walk = placed.iter().any(|p| p.leg.walk == leg.walk);
    let limit = if same_walk { NEXT_SAME_WALK_M } else { NEXT_M };
    let (leg_first, leg_last) = (*leg.path.first()?, *leg.path.last()?);
    let (first, last) = (*line.points().first()?, *line.points().last()?);
    [
        (span(last, leg_first), true, false),
        (span(last, leg_last), true, true),
        (span(first, leg_last), false, false),
        (span(first, leg_first), false, true),
    ]
    .into_iter()
    .filter(|(apart, ..)| *apart <= limit)
    .min_by(|a, b| a.0.total_cmp(&b.0))
    .map(|(_, at_end, turned)| LegRelation::Next { at_end, turned })
}

fn lay(leg: WalkLeg, how: LegRelation, line: &mut Polyline, placed: &mut Vec<PlacedLeg>) {
    match how {
        LegRelation::Next { at_end, turned } => {
            let path: Vec<[f64; 2]> = if turned {
                leg.path.iter().rev().copied().collect()
            } else {
                leg.path.clone()
            };
            let own = Polyline::new(path.iter().copied()).length_m();
            let from = carry_on(line, &path, at_end, placed);
            placed.push(PlacedLeg {
                leg,
                begin_m: Some(if turned { from + own } else { from }),
            });
        }
        LegRelation::Over { head, tail } => {
            let head: Vec<[f64; 2]> = head.map_or(Vec::new(), |i| {
                leg.path.get(..=i).unwrap_or_default().to_vec()
            });
            let tail: Vec<[f64; 2]> = tail.map_or(Vec::new(), |i| {
                leg.path.get(i..).unwrap_or_default().to_vec()
            });
            for (mut piece, inward_last) in [(head, true), (tail, false)] {
                if Polyline::new(piece.iter().copied()).length_m() <= TAIL_M {
                    continue;
                }
                if inward_last {
                    piece.reverse();
                }
                // The piece now begins on the line and leads away from it.
                let Some(&root) = piece.first() else { continue };
                let foot = line.foot_anywhere(root).station_m;
                if line.length_m() - foot <= OVER_M {
                    carry_on(line, &piece, true, placed);
                } else if foot <= OVER_M {
                    piece.reverse();
                    carry_on(line, &piece, false, placed);
                }
            }
            placed.push(PlacedLeg { leg, begin_m: None });
        }
    }
}

/// Adds a path behind the line's end or before its beginning, and gives the station at which the path begins.
fn carry_on(line: &mut Polyline, path: &[[f64; 2]], at_end: bool, placed: &mut [PlacedLeg]) -> f64 {
    let before = line.length_m();
    if at_end {
        let points = line
            .points()
            .iter()
            .chain(path)
            .copied()
            .collect::<Vec<_>>();
        *line = Polyline::new(points);
        return line.length_m() - Polyline::new(path.iter().copied()).length_m();
    }
    let points = path
        .iter()
        .chain(line.points())
        .copied()
        .collect::<Vec<_>>();
    *line = Polyline::new(points);
    let added = line.length_m() - before;
    for other in placed {
        other.begin_m = other.begin_m.map(|b| b + added);
    }
    0.0
}
