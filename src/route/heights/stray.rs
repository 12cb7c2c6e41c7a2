//! How far walks stray from each other over some tens of metres, beyond what their errors say.

use super::Block;
use crate::numeric::math;
use crate::route::receiver::Errors;
use std::collections::BTreeMap;

/// Heights are held against each other in pieces of this length, and over so many of them, m.
const PIECE_M: f64 = 10.0;
const APART: i64 = 2;
/// Fewer steps in common tell nothing.
const LEAST: usize = 12;
/// Steps may be larger than expected by chance, by this factor.
const CHANCE: f64 = 1.25;
/// One step counts for at most so many standard deviations: one wild reach must not speak for the whole line.
const MOST: f64 = 6.0;

/// The mean of some readings of one walk on a piece of the line.
#[derive(Debug, Clone, Copy, Default)]
struct Mean {
    count: f64,
    height_m: f64,
    clock_s: f64,
}

/// Standard deviation, m, by which each walk's fast error has to be larger for the walks to part as they do from piece to piece; 0 where they part by no more than their errors say.
///
/// Errors are learnt on each walk's own readings too, and ground that was crossed late, or a few metres aside, is no error there: only another walk shows it. The mean square of the steps between two walks, less what both errors make of it, is shared by both.
pub(super) fn stray(blocks: &[Block], errors: &[Errors]) -> Vec<f64> {
    let mut walks: Vec<BTreeMap<i64, Mean>> = vec![BTreeMap::new(); errors.len()];
    for b in blocks {
        let (Some(walk), Some(clock_s)) = (walks.get_mut(b.pass), b.clock_s) else {
            continue;
        };
        let mean = walk
            .entry((b.station_m / PIECE_M).floor() as i64)
            .or_default();
        mean.count += b.count;
        mean.height_m += b.count * b.height_m;
        mean.clock_s += b.count * clock_s;
    }
    let mut sums = vec![(0.0, 0.0); errors.len()];
    for (i, (a, of_a)) in walks.iter().zip(errors).enumerate() {
        for (k, (b, of_b)) in walks.iter().zip(errors).enumerate().skip(i + 1) {
            if let Some(beyond) = beyond((a, of_a), (b, of_b)) {
                for walk in [i, k] {
                    if let Some((n, sum)) = sums.get_mut(walk) {
                        *n += 1.0;
                        *sum += beyond;
                    }
                }
            }
        }
    }
    // A step holds the fast error of both walks at both its ends.
    sums.iter()
        .map(|&(n, sum): &(f64, f64)| (sum / n.max(1.0) / 4.0).max(0.0).sqrt())
        .collect()
}

type Walk<'a> = (&'a BTreeMap<i64, Mean>, &'a Errors);

/// Mean square of the steps between two walks less what their errors expect, m2.
fn beyond((a, of_a): Walk<'_>, (b, of_b): Walk<'_>) -> Option<f64> {
    let (mut seen, mut told, mut n) = (0.0, 0.0, 0usize);
    for (piece, here) in a {
        let next = piece + APART;
        let (Some(there), Some(mine), Some(theirs)) = (a.get(&next), b.get(piece), b.get(&next))
        else {
            continue;
        };
        let step = |from: &Mean, to: &Mean| to.height_m / to.count - from.height_m / from.count;
        let variance = |errors: &Errors, from: &Mean, to: &Mean| {
            let took_s = to.clock_s / to.count - from.clock_s / from.count;
            let white = errors.white_sd_m * errors.white_sd_m;
            math::powi(errors.change_sd(took_s), 2) + white / from.count + white / to.count
        };
        let expected = variance(of_a, here, there) + variance(of_b, mine, theirs);
        let off = step(here, there) - step(mine, theirs);
        seen += (off * off).min(MOST * MOST * expected);
        told += expected;
        n += 1;
    }
    (n >= LEAST).then(|| (seen - CHANCE * told) / n as f64)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::numeric::Draws;

    const ERRORS: Errors = Errors {
        slow_sd_m: 3.0,
        slow_time_s: 60.0,
        fast_sd_m: 0.2,
        fast_time_s: 10.0,
        white_sd_m: 0.05,
    };

    /// Two walks at 4 m/s whose fixes hold an error of 1 m from piece to piece that neither tells of itself.
    #[test]
    fn what_only_the_other_walk_shows_is_added() {
        let mut draws = Draws::new(3);
        let mut blocks = Vec::new();
        for pass in 0..2 {
            for i in 0..150 {
                let station_m = 12.0 * f64::from(i);
                blocks.push(Block {
                    pass,
                    clock_s: Some(3.0 * f64::from(i)),
                    station_m,
                    height_m: 800.0 - 0.05 * station_m + draws.normal(),
                    count: 3.0,
                    dilution: None,
                });
            }
        }
        let more = stray(&blocks, &[ERRORS; 2]);
        assert!(more.iter().all(|m| (0.6..1.2).contains(m)), "{more:?}");
        // Errors that tell of it need nothing more.
        let told = Errors {
            fast_sd_m: 1.2,
            fast_time_s: 2.0,
            ..ERRORS
        };
        assert_eq!(stray(&blocks, &[told; 2]), [0.0, 0.0]);
        // One walk alone shows nothing.
        assert_eq!(stray(&blocks[..150], &[ERRORS]), [0.0]);
    }
}
