//! Walks that contradict each other: which, where, and by how much.

use super::ReadingBlock;
use super::input::AtOdds;
use crate::receiver::Expected;
use std::collections::BTreeMap;

/// Heights are held against each other in pieces of this length, m.
const PIECE_M: f64 = 10.0;
/// Two walks contradict each other where they part by more than this many standard deviations of what is expected of two receivers.
const TOO_FAR: f64 = 3.0;
/// Fewer common pieces tell nothing.
const LEAST: usize = 5;

/// Every pair that contradicts each other, the widest first.
pub(super) fn at_odds(blocks: &[ReadingBlock], expected: &Expected) -> Vec<AtOdds> {
    let limit_m = TOO_FAR * 2f64.sqrt() * expected.usual_sd_m();
    let mut walks: BTreeMap<usize, BTreeMap<i64, (f64, f64)>> = BTreeMap::new();
    for block in blocks {
        let piece = (block.station_m / PIECE_M).floor() as i64;
        let (n, sum) = walks
            .entry(block.pass)
            .or_default()
            .entry(piece)
            .or_insert((0.0, 0.0));
        *n += 1.0;
        *sum += block.height_m;
    }
    let mut out = Vec::new();
    for (&one, a) in &walks {
        for (&other, b) in walks.range(one + 1..) {
            let common: Vec<(i64, f64)> = a
                .iter()
                .filter_map(|(&piece, (n, sum))| {
                    let (m, other) = b.get(&piece)?;
                    Some((piece, sum / n - other / m))
                })
                .collect();
            out.extend(widest(&common, limit_m).map(|(from, to, apart_m)| AtOdds {
                passes: (one, other),
                from_m: from as f64 * PIECE_M,
                to_m: to as f64 * PIECE_M,
                apart_m,
            }));
        }
    }
    out.sort_by(|a, b| b.apart_m.total_cmp(&a.apart_m));
    out
}

/// The reach over which two walks part most, if by more than the limit: first piece, the piece after the last, m.
fn widest(common: &[(i64, f64)], limit_m: f64) -> Option<(i64, i64, f64)> {
    if common.len() < LEAST {
        return None;
    }
    let mut all: Vec<f64> = common.iter().map(|c| c.1).collect();
    all.sort_by(f64::total_cmp);
    let middle = all.get(all.len() / 2).copied()?;
    let off = |c: &(i64, f64)| c.1 - middle;
    let most = common
        .iter()
        .enumerate()
        .max_by(|(_, a), (_, b)| off(a).abs().total_cmp(&off(b).abs()))?;
    let apart_m = off(most.1).abs();
    if apart_m <= limit_m {
        return None;
    }
    let sign = off(most.1).signum();
    let with = |c: &&(i64, f64)| sign * off(c) > 0.5 * limit_m;
    let before = common.iter().take(most.0 + 1).rev().take_while(with);
    let after = common.iter().skip(most.0).take_while(with);
    Some((before.last()?.0, after.last()?.0 + 1, apart_m))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::numeric::math;

    #[test]
    fn the_pair_and_the_place_are_named() {
        let walk = |pass: usize, off: fn(f64) -> f64| {
            (0..100).map(move |i| {
                let station_m = 3.0 * f64::from(i);
                ReadingBlock {
                    pass,
                    station_m,
                    height_m: 500.0 - 0.1 * station_m + off(station_m),
                    ..ReadingBlock::default()
                }
            })
        };
        let blocks: Vec<ReadingBlock> = walk(0, |_| 0.0)
            .chain(walk(1, |s| 3.0 * math::sin(0.05 * s)))
            .chain(walk(2, |s| {
                if (100.0..160.0).contains(&s) {
                    25.0
                } else {
                    8.0
                }
            }))
            .collect();
        let odds = at_odds(&blocks, &Expected::default());
        assert_eq!(odds.len(), 2, "{odds:?}");
        assert!(odds.iter().all(|o| o.passes.1 == 2));
        assert!(
            odds.iter()
                .all(|o| (o.from_m - 100.0).abs() <= 10.0 && (o.to_m - 160.0).abs() <= 10.0)
        );
        assert!((odds[1].apart_m - 17.0).abs() < 0.5, "{odds:?}");
        assert!(at_odds(&blocks[..200], &Expected::default()).is_empty());
    }
}
