//! Where a line has no fixes: nothing was recorded, or what was recorded was left out.

use super::centre::LegPass as OnLine;

/// Stretches that no walk passed without a break.
pub(super) fn uncovered(passes: &[OnLine], length_m: f64) -> Vec<(f64, f64)> {
    let mut covered: Vec<(f64, f64)> = Vec::new();
    for pass in passes {
        let mut last: Option<f64> = None;
        for (block, &s) in pass.along.blocks.iter().zip(&pass.along.station_m) {
            if let Some(before) = last.filter(|_| !block.gap) {
                covered.push((before.min(s), before.max(s)));
            }
            last = Some(s);
        }
    }
    covered.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut reached = 0.0;
    let mut out = Vec::new();
    for (from, to) in covered.into_iter().chain([(length_m, length_m)]) {
        if from > reached + 15.0 {
            out.push((reached, from));
        }
        reached = f64::max(reached, to);
    }
    out
}

/// From the block before to the block after each from which something was left out.
pub(super) fn left_out(passes: &[OnLine]) -> Vec<(f64, f64)> {
    passes
        .iter()
        .flat_map(|pass| {
            let blocks = &pass.along.blocks;
            let station_m = &pass.along.station_m;
            let station = |i: usize| station_m.get(i).copied();
            (0..blocks.len())
                .filter(|&i| blocks.get(i).is_some_and(|b| b.left_out))
                .filter_map(move |i| {
                    let here = station(i)?;
                    let before = i.checked_sub(1).and_then(station).unwrap_or(here);
                    let after = station(i + 1).unwrap_or(here);
                    Some((before.min(after).min(here), before.max(after).max(here)))
                })
        })
        .collect()
}
