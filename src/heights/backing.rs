//! What stands beside one walk alone: levelled reaches, a barometer, halts.

use super::Backed;
use super::{Levelled, ReadingBlock};

/// A halt keeps its readings within so much of the line, m, and lasts so long, s: some times what a receiver's quicker errors last.
const HALT_M: f64 = 3.0;
const HALT_S: f64 = 120.0;

/// Blocks by pass, each in the order of its clock; `barometric`: the heights come from the pressure of the air, or from a surveyor's receiver.
pub(super) fn backing(blocks: &[ReadingBlock], levelled: &[Levelled], barometric: bool) -> Backed {
    let spans = levelled.iter().map(|l| {
        l.points
            .iter()
            .map(|p| p.station_m)
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), s| {
                (a.min(s), b.max(s))
            })
    });
    let everywhere = barometric.then_some((f64::NEG_INFINITY, f64::INFINITY));
    Backed {
        reaches_m: spans.chain(everywhere).collect(),
        halts_m: blocks
            .chunk_by(|a, b| a.pass == b.pass)
            .flat_map(halts)
            .collect(),
        without: Vec::new(),
    }
}

/// Where a walk stood still.
fn halts(walk: &[ReadingBlock]) -> Vec<f64> {
    let mut out = Vec::new();
    let mut rest = walk;
    while let Some(first) = rest.first() {
        let near = |b: &ReadingBlock| (b.station_m - first.station_m).abs() <= HALT_M;
        let stood = rest.iter().take_while(|b| near(b)).count().max(1);
        let (here, later) = rest.split_at(stood.min(rest.len()));
        let clock = |b: Option<&ReadingBlock>| b.and_then(|b| b.clock_s);
        if let (Some(from), Some(to)) = (clock(here.first()), clock(here.last()))
            && to - from >= HALT_S
        {
            out.push(here.iter().map(|b| b.station_m).sum::<f64>() / here.len() as f64);
            rest = later;
        } else {
            // The halt may begin a step further on.
            rest = rest.get(1..).unwrap_or_default();
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_walker_who_stands_two_minutes_has_halted() {
        // 0.8 m/s, a halt of 150 s at 40 m and one of 60 s at 80 m.
        let mut blocks = Vec::new();
        let (mut clock, mut way) = (0.0, 0.0);
        while way < 120.0 {
            let waits: f64 = match way {
                w if (39.0..41.0).contains(&w) => 150.0,
                w if (79.0..81.0).contains(&w) => 60.0,
                _ => 0.0,
            };
            for _ in 0..=(waits / 3.0) as usize {
                blocks.push(ReadingBlock {
                    clock_s: Some(clock),
                    station_m: way,
                    ..ReadingBlock::default()
                });
                clock += 3.0;
            }
            way += 2.4;
        }
        let backed = backing(&blocks, &[], false);
        assert_eq!(backed.halts_m.len(), 1);
        assert!((backed.halts_m[0] - 40.0).abs() < 2.0);
        assert!(backed.reaches_m.is_empty());
    }
}
