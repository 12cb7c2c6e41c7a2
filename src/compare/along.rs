//! Where a later survey without a common plan lies along the earlier one.

use super::alignment::{AlignOptions, Apart, By, even, length};
use super::offset::wanders;
use crate::numeric::{math, median, spread};
use crate::reading::Method;
use crate::route::{Reckoning, Route};

/// A place along the earlier line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct AlongPlace {
    /// Station of the earlier survey at the later one's upper end, m.
    pub(super) offset_m: f64,
    /// How it was found.
    pub(super) by: By,
    /// The later survey runs up the line.
    pub(super) turned: bool,
}

/// Another place along the line that fits about as well lies at least so far off, m.
const APART_M: f64 = 8.0;

/// Where the later survey lies: as said; by places of the same name; by the stations of both books; by the ends where both run the whole line; by the shape of the heights.
///
/// # Errors
/// Where none of them says it for certain: an even slope looks the same everywhere.
pub(super) fn along(
    before: &Route,
    after: &Route,
    options: &AlignOptions,
) -> Result<AlongPlace, Apart> {
    if let Some(offset_m) = options.station_offset_m {
        let way = |turned| HeightOffset::at(before, after, offset_m, turned).map(|f| f.spread_m);
        let turned = way(true)
            .zip(way(false))
            .is_some_and(|(back, on)| 2.0 * back < on);
        return Ok(AlongPlace {
            offset_m,
            by: By::Said,
            turned,
        });
    }
    if let Some(found) = by_names(before, after) {
        return Ok(found);
    }
    let (long, short) = (length(before), length(after));
    let whole = (long - short).abs() <= 10.0 + 0.03 * long;
    if let Some(found) = by_stations(before, after) {
        if whole {
            return Ok(found);
        }
        // Stations that begin at 0 over part of the line may count from the damage: the heights must say so too, and nothing else.
        let sure = if counts_from_itself(after) {
            by_shape(before, after, options)
                .is_some_and(|f| f.turned == found.turned && near(&f, &found))
        } else {
            // A slide may part the heights where the pegs are right; but heights that lie perfectly elsewhere say that the stations count from somewhere else.
            match by_shape(before, after, options) {
                Some(other) if lies_better(before, after, &other, &found) => {
                    return Err(Apart::NoPlace);
                }
                _ => true,
            }
        };
        if sure {
            return Ok(found);
        }
    }
    if whole {
        return Ok(AlongPlace {
            offset_m: 0.0,
            by: By::Ends,
            turned: false,
        });
    }
    by_shape(before, after, options).ok_or(Apart::NoPlace)
}

fn is_book(route: &Route) -> bool {
    route
        .method
        .is_some_and(|m| m != Method::Gpx && m != Method::Mixed)
}

/// A survey that begins at station 0 may count from the damage instead of the intake.
fn counts_from_itself(route: &Route) -> bool {
    let own = |n: Option<&crate::route::Node>| n.map_or(0.0, |n| n.on_pegs.0.abs());
    own(route.nodes.first()).min(own(route.nodes.last())) <= 1.0
}

/// Station of a node counted down the line.
fn down(route: &Route, station_m: f64, turned: bool) -> f64 {
    if turned {
        length(route) - station_m
    } else {
        station_m
    }
}

/// Places of the same name: their stations on the earlier line and in the later survey's own direction, m.
fn same_names(before: &Route, after: &Route) -> Vec<(f64, f64)> {
    after
        .places
        .iter()
        .filter(|p| !p.name.trim().is_empty())
        .filter_map(|p| {
            let q = before
                .places
                .iter()
                .find(|q| q.name.eq_ignore_ascii_case(&p.name))?;
            Some((q.station_m, p.station_m))
        })
        .collect()
}

/// Named places of two books in order down the line, each with its station in the later book: between them a tape runs evenly, and where a joint was pulled it does not.
/// Empty where they are fewer than two or out of order, or where a receiver had a part and names no place to a metre.
pub(super) fn named_places(before: &Route, after: &Route, turned: bool) -> Vec<(f64, f64)> {
    if wanders(before) || wanders(after) {
        return Vec::new();
    }
    let mut same: Vec<(f64, f64)> = same_names(before, after)
        .into_iter()
        .map(|(b, a)| (b, down(after, a, turned)))
        .collect();
    same.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut pairs = same.iter().zip(same.iter().skip(1));
    let in_order = same.len() > 1 && pairs.all(|(a, b)| b.0 > a.0 && b.1 > a.1);
    if in_order { same } else { Vec::new() }
}

fn by_names(before: &Route, after: &Route) -> Option<AlongPlace> {
    let same = same_names(before, after);
    let ends = same
        .iter()
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .zip(same.iter().max_by(|a, b| a.0.total_cmp(&b.0)))?;
    let turned = ends.1.1 < ends.0.1 - 1.0;
    let offsets: Vec<f64> = same
        .iter()
        .map(|(b, a)| b - down(after, *a, turned))
        .collect();
    Some(AlongPlace {
        offset_m: median(&offsets),
        by: By::Names,
        turned,
    })
}

/// The same pegs: stations of both in their own reckoning.
fn by_stations(before: &Route, after: &Route) -> Option<AlongPlace> {
    // A book that does not begin at 0 was kept by somebody's pegs; a walk counts from its own start, as the pegs should.
    if !is_book(after) || !is_book(before) && counts_from_itself(after) {
        return None;
    }
    let pegs = Reckoning::of(before);
    let (low, high) = pegs.ends()?;
    let places: Vec<(f64, f64)> = after
        .nodes
        .iter()
        .filter(|n| n.on_pegs >= low && n.on_pegs <= high)
        .map(|n| (pegs.station_m(n.on_pegs), n.station_m))
        .collect();
    let (first, last) = (places.first()?, places.last()?);
    let turned = (last.0 - first.0) * (last.1 - first.1) < 0.0;
    let offsets: Vec<f64> = places
        .iter()
        .map(|(b, a)| b - down(after, *a, turned))
        .collect();
    Some(AlongPlace {
        offset_m: median(&offsets),
        by: By::Stations,
        turned,
    })
}

/// How the heights part at a place along the line.
#[derive(Debug, Clone, Copy)]
struct HeightOffset {
    offset_m: f64,
    turned: bool,
    /// Robust spread of later less earlier, their own offset apart, m.
    spread_m: f64,
    /// That offset, m.
    offset_up_m: f64,
}

impl HeightOffset {
    fn at(before: &Route, after: &Route, offset_m: f64, turned: bool) -> Option<Self> {
        let (long, short) = (length(before), length(after));
        let (from, to) = (offset_m.max(0.0), (offset_m + short).min(long));
        if to - from < 0.8 * long.min(short) {
            return None;
        }
        let off: Vec<f64> = even(from, to)
            .iter()
            .map(|s| after.heights.at(down(after, s - offset_m, turned)) - before.heights.at(*s))
            .collect();
        Some(Self {
            offset_m,
            turned,
            spread_m: spread(&off),
            offset_up_m: median(&off),
        })
    }

    /// How badly it fits, m: with the same known heights behind both, their own offset counts too.
    fn cost(&self, options: &AlignOptions) -> f64 {
        if options.same_heights {
            math::hypot(self.spread_m, self.offset_up_m)
        } else {
            self.spread_m
        }
    }

    /// About as good as another.
    fn rivals(&self, best: &Self, options: &AlignOptions) -> bool {
        let elsewhere =
            self.turned != best.turned || (self.offset_m - best.offset_m).abs() > APART_M;
        elsewhere && self.cost(options) <= 1.5 * best.cost(options) + 0.02
    }
}

/// Every place along the line where the later survey may lie, both ways round.
fn places(before: &Route, after: &Route) -> Vec<HeightOffset> {
    let (long, short) = (length(before), length(after));
    let overlap = 0.8 * long.min(short);
    let (from, to) = (overlap - short, long - overlap);
    let step = ((to - from) / 20_000.0).max(1.0);
    let count = ((to - from) / step).ceil().max(0.0) as usize;
    [false, true]
        .into_iter()
        .flat_map(|turned| {
            (0..=count).filter_map(move |i| {
                HeightOffset::at(before, after, from + step * i as f64, turned)
            })
        })
        .collect()
}

fn best<'a>(
    all: impl Iterator<Item = &'a HeightOffset>,
    options: &AlignOptions,
) -> Option<HeightOffset> {
    all.min_by(|a, b| a.cost(options).total_cmp(&b.cost(options)))
        .copied()
}

fn near(one: &AlongPlace, other: &AlongPlace) -> bool {
    (one.offset_m - other.offset_m).abs() <= APART_M
}

/// Whether the heights lie far better at one place than at another.
fn lies_better(before: &Route, after: &Route, one: &AlongPlace, other: &AlongPlace) -> bool {
    let at =
        |a: &AlongPlace| HeightOffset::at(before, after, a.offset_m, a.turned).map(|f| f.spread_m);
    match (at(one), at(other)) {
        (Some(one), Some(other)) => 5.0 * one + 0.02 < other,
        _ => false,
    }
}

/// The place where the heights part least; `None` where another fits about as well.
fn by_shape(before: &Route, after: &Route, options: &AlignOptions) -> Option<AlongPlace> {
    let all = places(before, after);
    let found = best(all.iter(), options)?;
    let rivals: Vec<&HeightOffset> = all.iter().filter(|f| f.rivals(&found, options)).collect();
    let chosen = if rivals.is_empty() {
        found
    } else {
        by_datum(before, after, &found, &rivals)?
    };
    let chosen = [0.1, 0.01].into_iter().fold(chosen, |at, step| {
        let finer = (-10..=10).filter_map(|i| {
            HeightOffset::at(before, after, at.offset_m + step * f64::from(i), at.turned)
        });
        finer
            .min_by(|a, b| a.cost(options).total_cmp(&b.cost(options)))
            .unwrap_or(at)
    });
    Some(AlongPlace {
        offset_m: chosen.offset_m,
        by: By::Shape,
        turned: chosen.turned,
    })
}

/// On an even slope the shape is the same everywhere, but two books that count their heights from one mark differ by nothing at one place only.
fn by_datum(
    before: &Route,
    after: &Route,
    found: &HeightOffset,
    rivals: &[&HeightOffset],
) -> Option<HeightOffset> {
    /// Two books from one mark agree as well as this, m.
    const SAME_M: f64 = 0.25;
    if wanders(before) || wanders(after) {
        return None;
    }
    let all = || rivals.iter().copied().chain(std::iter::once(found));
    let near = *all().min_by(|a, b| a.offset_up_m.abs().total_cmp(&b.offset_up_m.abs()))?;
    // A part that begins at a made-up height of its own agrees with the line's beginning by chance of the same made-up height: not told apart.
    let alone = all()
        .filter(|f| f.turned != near.turned || (f.offset_m - near.offset_m).abs() > APART_M)
        .all(|f| f.offset_up_m.abs() > 3.0 * SAME_M);
    let made_up = counts_from_itself(after)
        && (after.heights.at(0.0) - before.heights.at(0.0)).abs() < SAME_M;
    (near.offset_up_m.abs() < SAME_M && alone && !made_up).then_some(near)
}
