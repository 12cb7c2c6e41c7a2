//! Heights that are not what they seem: on another datum, in feet, copied from a terrain model.

use super::centre::Pass;
use super::clean::span;
use super::gather::Gathered;
use super::median::median;
use super::rough::Rough;
use crate::route::heights::Tie;
use crate::route::options::KnownHeight;
use crate::text::{Fault, Place, Remark};
use std::collections::BTreeMap;

/// Walks whose heights differ by more than this stand on different datums (sea level, the ellipsoid), m: drift and offset of one kind of receiver stay below.
const DATUM_M: f64 = 15.0;

/// Feet in a metre.
const FEET: f64 = 1.0 / 0.3048;

/// Two fixes nearer than this are the same ground, m.
const SAME_M: f64 = 2.0;

/// Readings of the same ground closer in time than this say nothing: drift has not moved yet, s.
const APART_S: f64 = 300.0;

/// Most blocks of a walk that are held against the others.
const MOST: usize = 20_000;

/// Brings walks on another datum to that of the longest one, and says so.
pub(super) fn level_datums(gathered: &mut Gathered<'_>, rough: &Rough) {
    for (pass, &offset) in gathered.passes.iter_mut().zip(&rough.offset_m) {
        if offset.abs() <= DATUM_M {
            continue;
        }
        for block in &mut pass.along.blocks {
            block.height_m -= offset;
        }
        if let Some(source) = gathered.sources.get(pass.walk) {
            gathered.remarks.push(Remark::new(
                source.place(),
                format!(
                    "the heights of \"{}\" stand {offset:+.0} m off those of the other walks: another datum, or another receiver; they are brought to the others'",
                    source.pass.name
                ),
            ));
        }
    }
}

/// Whether heights look written in feet, held against known heights: `walked(level)` is the walk's height at a level station.
pub(super) fn feet(
    known: &[KnownHeight],
    ties: &[Tie],
    walked: impl Fn(f64) -> f64,
    place: Place,
) -> Option<Fault> {
    let pairs: Vec<(f64, f64)> = ties
        .iter()
        .map(|t| (t.height_m, walked(t.station_m)))
        .collect();
    let low = pairs.iter().min_by(|a, b| a.0.total_cmp(&b.0))?;
    let high = pairs.iter().max_by(|a, b| a.0.total_cmp(&b.0))?;
    let (rise, seen) = (high.0 - low.0, high.1 - low.1);
    let is_feet = |ratio: f64| (ratio / FEET - 1.0).abs() < 0.08;
    let by_rise = rise > 10.0 && is_feet(seen / rise);
    let by_height = rise <= 10.0 && low.0 > 30.0 && is_feet(low.1 / low.0);
    if !by_rise && !by_height {
        return None;
    }
    let at = known
        .first()
        .map_or_else(String::new, |k| format!(" ({})", k.at.place));
    Some(
        Fault::new(place, "the heights look like feet")
            .found(format!(
                "{:.0} in the track where {:.0} m is known{at}",
                high.1, high.0
            ))
            .expected("heights in metres, as GPX demands")
            .advice("set the exporting program to metres and export again; if the known heights are in feet, give them with \"ft\""),
    )
}

/// A block that stood in a cell of ground.
struct Seen {
    walk: usize,
    clock_s: f64,
    height_m: f64,
    at: [f64; 2],
}

/// Whether heights look copied from a terrain model: ground that is walked again, minutes later or on another walk, has the same height to a few decimetres and no offset.
pub(super) fn from_terrain_model(passes: &[Pass]) -> bool {
    let cell = |at: [f64; 2]| -> (i64, i64) {
        (
            (at[0] / SAME_M).floor() as i64,
            (at[1] / SAME_M).floor() as i64,
        )
    };
    let mut ground: BTreeMap<(i64, i64), Vec<Seen>> = BTreeMap::new();
    let mut apart: Vec<f64> = Vec::new();
    for pass in passes {
        let known = pass.along.blocks.iter().filter(|b| b.height_m.is_finite());
        for block in known.take(MOST) {
            let (x, y) = cell(block.at);
            for dx in -1..=1 {
                for dy in -1..=1 {
                    let there = ground.get(&(x + dx, y + dy)).into_iter().flatten();
                    let again = there.filter(|seen| {
                        let later = (seen.clock_s - block.clock_s).abs() > APART_S;
                        span(seen.at, block.at) < SAME_M
                            && (seen.walk != pass.walk || (pass.has_clock && later))
                    });
                    apart.extend(again.take(4).map(|seen| block.height_m - seen.height_m));
                }
            }
            let here = ground.entry((x, y)).or_default();
            if here.len() < 8 {
                here.push(Seen {
                    walk: pass.walk,
                    clock_s: block.clock_s,
                    height_m: block.height_m,
                    at: block.at,
                });
            }
        }
    }
    if apart.len() < 20 {
        return false;
    }
    let mean = median(&mut apart.clone()).abs();
    let mut sizes: Vec<f64> = apart.iter().map(|d| d.abs()).collect();
    sizes.sort_by(f64::total_cmp);
    let most = sizes.get(sizes.len() * 95 / 100).copied().unwrap_or(0.0);
    mean < 0.2 && median(&mut sizes) < 0.35 && most < 0.8
}
