//! The same recording given twice: an exported copy beside its file, a second download, a copy with other times. Equal fixes count once.

use super::source::WalkSource;
use crate::numeric::math;
use crate::reading::Fix;
use crate::text::{Remark, Sentence};
use std::collections::{BTreeMap, HashMap};

/// Fixes within this of each other in plan and in height are equal, m: what rounding to five or six places of a degree and to a decimetre leaves.
const SAME_PLAN_M: f64 = 0.8;
const SAME_HEIGHT_M: f64 = 0.11;
/// From this share of equal fixes on a segment repeats another. Two walks with receivers meet within that in a few fixes of a hundred.
const REPEATS: f64 = 0.6;
/// Of shorter segments every fix must be equal.
const FEW: usize = 8;
/// One fix says nothing.
const LEAST: usize = 2;
/// Fixes of a segment that are looked up.
const MOST: usize = 2_000;
/// Metres in a degree of latitude, closely enough.
const DEGREE_M: f64 = 111_000.0;

/// A segment of a source.
type SourceSegment = (usize, usize);

/// Which segments of each source count, and what was said of the others.
pub(super) fn repeats(sources: &[WalkSource<'_>], remarks: &mut Vec<Remark>) -> Vec<Vec<bool>> {
    let mut counts: Vec<Vec<bool>> = sources
        .iter()
        .map(|s| vec![true; s.pass.segments.len()])
        .collect();
    let segment = |(source, segment): SourceSegment| {
        sources
            .get(source)
            .and_then(|s| s.pass.segments.get(segment))
            .map_or(&[] as &[Fix], Vec::as_slice)
    };
    let mut pieces: Vec<SourceSegment> = Vec::new();
    for (s, source) in sources.iter().enumerate() {
        let long = source.pass.segments.iter().enumerate();
        pieces.extend(long.filter(|(_, f)| f.len() >= LEAST).map(|(i, _)| (s, i)));
    }
    if pieces.len() < 2 {
        return counts;
    }
    // The fullest first, one with times before one without: a piece is held against those that count already.
    let timed = |p: SourceSegment| segment(p).first().is_some_and(|f| f.time_s.is_some());
    pieces.sort_by_key(|&p| (!timed(p), std::cmp::Reverse(segment(p).len()), p));
    let east = pieces
        .first()
        .and_then(|&p| segment(p).first())
        .map_or(1.0, |f| math::cos(f.lat_deg.to_radians()));
    let place = |f: &Fix| [f.lon_deg * DEGREE_M * east, f.lat_deg * DEGREE_M];
    let cell = |[x, y]: [f64; 2]| {
        (
            (x / SAME_PLAN_M).floor() as i64,
            (y / SAME_PLAN_M).floor() as i64,
        )
    };
    let mut seen: HashMap<(i64, i64), Vec<(usize, &Fix)>> = HashMap::new();
    for (number, &piece) in pieces.iter().enumerate() {
        let fixes = segment(piece);
        let step = fixes.len().div_ceil(MOST).max(1);
        let mut equal: BTreeMap<usize, usize> = BTreeMap::new();
        let mut asked = 0;
        for fix in fixes.iter().step_by(step) {
            asked += 1;
            let at = place(fix);
            let (i, k) = cell(at);
            let mut met: Vec<usize> = Vec::new();
            for near in (i - 1..=i + 1).flat_map(|a| (k - 1..=k + 1).map(move |b| (a, b))) {
                for &(other, theirs) in seen.get(&near).into_iter().flatten() {
                    let there = place(theirs);
                    let apart = math::hypot(at[0] - there[0], at[1] - there[1]);
                    let level = match (fix.elevation_m, theirs.elevation_m) {
                        (Some(a), Some(b)) => (a - b).abs() <= SAME_HEIGHT_M,
                        // A copy that lost its heights says nothing anew either.
                        (None, _) => true,
                        (Some(_), None) => false,
                    };
                    if apart <= SAME_PLAN_M && level && !met.contains(&other) {
                        met.push(other);
                    }
                }
            }
            for other in met {
                *equal.entry(other).or_insert(0) += 1;
            }
        }
        let most = equal.iter().max_by_key(|(_, n)| **n);
        if let Some((&other, &n)) = most
            && n as f64 >= f64::from(asked) * if fixes.len() < FEW { 1.0 } else { REPEATS }
        {
            if let Some(counts) = counts.get_mut(piece.0).and_then(|c| c.get_mut(piece.1)) {
                *counts = false;
            }
            tell(sources, piece, pieces.get(other).copied(), remarks);
        } else {
            for fix in fixes {
                seen.entry(cell(place(fix)))
                    .or_default()
                    .push((number, fix));
            }
        }
    }
    counts
}

fn tell(
    sources: &[WalkSource<'_>],
    piece: SourceSegment,
    other: Option<SourceSegment>,
    remarks: &mut Vec<Remark>,
) {
    let Some(source) = sources.get(piece.0) else {
        return;
    };
    let other = other.and_then(|o| sources.get(o.0));
    let name = other.map_or("another", |o| o.pass.name.as_str());
    let file = other.map_or("", |o| o.file);
    let whole = source.pass.segments.len() == 1;
    remarks.push(Remark::new(
        source.place(),
        Sentence::from(format!(
            "{} \"{}\" has the same fixes as \"{name}\" ({file}). Equal fixes count once, so it is not used",
            if whole { "the track" } else { "a segment of" },
            source.pass.name
        )),
    ));
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reading::Pass;

    fn walk(name: &str, shift_s: f64, wander_m: f64) -> Pass {
        let segment = (0..200)
            .map(|i| {
                let s = f64::from(i);
                let aside = wander_m * math::sin(0.11 * s + wander_m);
                Fix {
                    lat_deg: 47.0 + (1.1 * s) / DEGREE_M,
                    lon_deg: 11.0 + aside / DEGREE_M,
                    elevation_m: Some(900.0 - 0.2 * s + aside),
                    time_s: Some(1e9 + s + shift_s),
                    dilution: None,
                    stated_sd_m: None,
                    line: i + 1,
                }
            })
            .collect();
        Pass {
            name: name.to_owned(),
            segments: vec![segment],
            drawn: false,
        }
    }

    #[test]
    fn equal_fixes_count_once_whatever_the_clock() {
        let own = walk("morning", 0.0, 2.0);
        let mut rounded = walk("export", 86_400.0, 2.0);
        for fix in rounded.segments.iter_mut().flatten() {
            fix.lat_deg = (fix.lat_deg * 1e6).round() / 1e6;
            fix.elevation_m = fix.elevation_m.map(|h| (h * 10.0).round() / 10.0);
        }
        let other = walk("evening", 30_000.0, 3.5);
        let few = |pass: &Pass, from: usize| Pass {
            segments: vec![pass.segments[0][from..from + 5].to_vec()],
            ..pass.clone()
        };
        let (part, apart) = (few(&own, 40), few(&walk("noon", 60_000.0, 5.0), 40));
        let sources: Vec<WalkSource<'_>> = [&own, &rounded, &other, &part, &apart]
            .into_iter()
            .map(|pass| WalkSource {
                file: "a.gpx",
                pass,
            })
            .collect();
        let mut remarks = Vec::new();
        let counts = repeats(&sources, &mut remarks);
        assert_eq!(counts, [[true], [false], [true], [false], [true]]);
        assert_eq!(remarks.len(), 2);
        assert!(
            remarks[0]
                .text
                .contains("\"export\" has the same fixes as \"morning\"")
        );
    }
}
