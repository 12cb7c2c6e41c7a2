use super::ReadingBlock;
use crate::numeric::math;
use std::collections::BTreeMap;

/// Blocks made fit to be followed.
#[derive(Debug, Clone, Default)]
pub(super) struct RobustBlocks {
    pub(super) blocks: Vec<ReadingBlock>,
    /// Passes that have blocks; they are renumbered without gaps.
    pub(super) walks: usize,
    /// The number that each of them had.
    pub(super) numbers: Vec<usize>,
    /// Passes that were left aside: where many overlap, the fullest ones carry the heights.
    pub(super) aside: usize,
    /// Blocks that were not finite.
    pub(super) left_out: usize,
    /// Blocks that stand apart from their neighbours and weigh less.
    pub(super) eased: usize,
}

/// Most passes over one place: six already say nearly all that many would, and the work grows with their cube.
const MOST_WALKS: usize = 8;
/// Overlap is counted on pieces of this length, m.
const PIECE_M: f64 = 50.0;
/// Heights and stations beyond this are none, m.
pub(super) const FAR_M: f64 = 1e6;

/// A block stands apart from the line between its neighbours by more than this many robust standard deviations.
const APART: f64 = 4.0;
/// Least standard deviation of that distance, m: height comes in steps of a decimetre or so.
const LEAST_M: f64 = 0.1;
/// More blocks a metre of a pass than this are taken together: they say little more.
const MOST_PER_M: f64 = 1.5;

/// Leaves out what is not finite, numbers the passes without gaps, takes very dense readings together, and eases blocks that stand apart from their neighbours (a heavy tail, not spikes: those are taken out before).
pub(super) fn steady(blocks: &[ReadingBlock]) -> RobustBlocks {
    let usable = |b: &&ReadingBlock| {
        b.station_m.abs() < FAR_M
            && b.height_m.abs() < FAR_M
            && b.count.is_finite()
            && b.rounded_sd_m.is_finite()
            && b.clock_s.is_none_or(f64::is_finite)
    };
    let mut passes: Vec<usize> = blocks.iter().filter(usable).map(|b| b.pass).collect();
    passes.sort_unstable();
    passes.dedup();
    let mut out = RobustBlocks {
        left_out: blocks.iter().filter(|b| !usable(b)).count(),
        ..RobustBlocks::default()
    };
    let mut by_pass: Vec<Vec<ReadingBlock>> = vec![Vec::new(); passes.len()];
    for block in blocks.iter().filter(usable) {
        if let Ok(pass) = passes.binary_search(&block.pass)
            && let Some(list) = by_pass.get_mut(pass)
        {
            list.push(*block);
        }
    }
    let kept = fullest(by_pass);
    out.walks = kept.len();
    out.numbers = kept
        .iter()
        .filter_map(|pass| pass.first().map(|b| b.pass))
        .collect();
    out.aside = passes.len() - kept.len();
    for (number, mut pass) in kept.into_iter().enumerate() {
        for b in &mut pass {
            b.pass = number;
        }
        if pass.iter().all(|b| b.clock_s.is_some()) {
            pass.sort_by(|a, b| {
                a.clock_s
                    .unwrap_or(0.0)
                    .total_cmp(&b.clock_s.unwrap_or(0.0))
            });
        } else {
            pass.sort_by(|a, b| a.station_m.total_cmp(&b.station_m));
        }
        let mut pass = together(&pass);
        out.eased += downweight(&mut pass);
        out.blocks.append(&mut pass);
    }
    out
}

/// Of passes that overlap, the fullest, at most so many over one place; in their own order.
fn fullest(passes: Vec<Vec<ReadingBlock>>) -> Vec<Vec<ReadingBlock>> {
    let piece = |b: &ReadingBlock| (b.station_m / PIECE_M).floor() as i64;
    let mut order: Vec<usize> = (0..passes.len()).collect();
    order.sort_by_key(|&i| std::cmp::Reverse(passes.get(i).map_or(0, Vec::len)));
    let mut over: BTreeMap<i64, usize> = BTreeMap::new();
    let mut keep = vec![false; passes.len()];
    for i in order {
        let Some(pass) = passes.get(i) else { continue };
        let from = pass.iter().map(piece).min().unwrap_or(0);
        let to = pass.iter().map(piece).max().unwrap_or(0);
        if over.range(from..=to).all(|(_, n)| *n < MOST_WALKS) {
            for k in from..=to {
                *over.entry(k).or_insert(0) += 1;
            }
            if let Some(k) = keep.get_mut(i) {
                *k = true;
            }
        }
    }
    passes
        .into_iter()
        .zip(keep)
        .filter_map(|(p, k)| k.then_some(p))
        .collect()
}

/// Takes neighbouring blocks together where a pass has far more of them than its length can use.
fn together(pass: &[ReadingBlock]) -> Vec<ReadingBlock> {
    let (low, high) = pass
        .iter()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), b| {
            (l.min(b.station_m), h.max(b.station_m))
        });
    let most = (MOST_PER_M * (high - low).max(0.0)).max(400.0);
    let group = (pass.len() as f64 / most).ceil().max(1.0) as usize;
    if group == 1 {
        return pass.to_vec();
    }
    pass.chunks(group)
        .filter_map(|chunk| {
            let first = chunk.first()?;
            let count: f64 = chunk.iter().map(|b| b.count).sum();
            let n = chunk.len() as f64;
            let mean = |f: fn(&ReadingBlock) -> f64| chunk.iter().map(f).sum::<f64>() / n;
            Some(ReadingBlock {
                pass: first.pass,
                clock_s: first.clock_s.map(|_| mean(|b| b.clock_s.unwrap_or(0.0))),
                station_m: mean(|b| b.station_m),
                height_m: mean(|b| b.height_m),
                count,
                rounded_sd_m: mean(|b| b.rounded_sd_m),
                dilution: first.dilution,
            })
        })
        .collect()
}

/// Lowers the count of blocks that stand apart from the line between their neighbours; returns how many.
fn downweight(pass: &mut [ReadingBlock]) -> usize {
    let place = |b: &ReadingBlock| b.clock_s.unwrap_or(b.station_m);
    let apart: Vec<f64> = pass
        .windows(3)
        .map(|w| match w {
            [a, b, c] => {
                let way = place(c) - place(a);
                let t = if way > 1e-9 {
                    (place(b) - place(a)) / way
                } else {
                    0.5
                };
                b.height_m - a.height_m - t * (c.height_m - a.height_m)
            }
            _ => 0.0,
        })
        .collect();
    let mut sizes: Vec<f64> = apart.iter().map(|a| a.abs()).collect();
    sizes.sort_by(f64::total_cmp);
    let scale = (1.4826 * sizes.get(sizes.len() / 2).copied().unwrap_or(0.0)).max(LEAST_M);
    let size = |i: usize| apart.get(i).map_or(0.0, |a| a.abs());
    let mut eased = 0;
    for (i, block) in pass.iter_mut().skip(1).enumerate() {
        let own = size(i);
        // An outlier throws its neighbours off too, by half: only the worst of the three is eased.
        let worst = i.checked_sub(1).map_or(0.0, size).max(size(i + 1));
        if own > APART * scale && own >= worst {
            block.count *= math::powi(APART * scale / own, 2) * 0.25;
            eased += 1;
        }
    }
    eased
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(n: usize) -> Vec<ReadingBlock> {
        (0..n)
            .map(|i| ReadingBlock {
                pass: 4,
                clock_s: Some(3.0 * i as f64),
                station_m: 2.4 * i as f64,
                height_m: 100.0 - 0.3 * i as f64 + if i % 2 == 0 { 0.1 } else { -0.1 },
                count: 3.0,
                rounded_sd_m: 0.0,
                dilution: None,
            })
            .collect()
    }

    #[test]
    fn an_outlier_weighs_less_and_its_neighbours_do_not() {
        let mut blocks = line(40);
        blocks[20].height_m += 5.0;
        blocks[7].height_m = f64::NAN;
        let out = steady(&blocks);
        assert_eq!((out.walks, out.left_out, out.eased), (1, 1, 1));
        assert!(out.blocks.iter().all(|b| b.pass == 0));
        let light: Vec<usize> = (0..39).filter(|&i| out.blocks[i].count < 2.9).collect();
        assert_eq!(light, [19]);
    }

    #[test]
    fn of_many_walks_the_fullest_are_kept() {
        let blocks: Vec<ReadingBlock> = (0..20)
            .flat_map(|pass| {
                line(100 + pass)
                    .into_iter()
                    .map(move |b| ReadingBlock { pass, ..b })
            })
            .chain((0..30).map(|pass| ReadingBlock {
                pass: 100 + pass,
                station_m: 10_000.0 + 200.0 * pass as f64,
                count: 1.0,
                ..ReadingBlock::default()
            }))
            .collect();
        let out = steady(&blocks);
        assert_eq!((out.walks, out.aside), (38, 12));
    }

    #[test]
    fn dense_readings_are_taken_together() {
        let mut blocks = line(3000);
        for b in &mut blocks {
            b.station_m *= 0.01;
        }
        let out = steady(&blocks);
        assert!(out.blocks.len() <= 400);
        let count: f64 = out.blocks.iter().map(|b| b.count).sum();
        assert!(count > 0.9 * 9000.0);
    }
}
