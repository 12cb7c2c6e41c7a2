//! A line with fewer stations, for screening: what a steady state needs and no more.

use crate::line::Line;
use crate::route::Heights;

/// How far the thinned line may lie from the full one, m.
const OFF_M: f64 = 0.03;

/// The line without its draws and with the stations left out between which it runs straight within 3 cm.
pub(super) fn coarse(line: &Line) -> Line {
    let s = &line.heights.station_m;
    let z = &line.heights.mean_m;
    let mut keep = vec![false; s.len()];
    let last = s.len().saturating_sub(1);
    for end in [0, last] {
        if let Some(k) = keep.get_mut(end) {
            *k = true;
        }
    }
    // the point furthest off the chord is kept, and both sides looked at again
    let mut spans = vec![(0, last)];
    while let Some((a, b)) = spans.pop() {
        if let Some(i) = furthest(s, z, a, b) {
            if let Some(k) = keep.get_mut(i) {
                *k = true;
            }
            spans.push((a, i));
            spans.push((i, b));
        }
    }
    let pick = |v: &[f64]| -> Vec<f64> {
        v.iter()
            .zip(&keep)
            .filter(|(_, k)| **k)
            .map(|(x, _)| *x)
            .collect()
    };
    let station_m = pick(s);
    let count = station_m.len();
    let bare = Heights {
        mean_m: pick(z),
        sd_m: pick(&line.heights.sd_m),
        draws: Vec::new(),
        drop_sd_m: line.heights.drop_sd_m,
        walks: line.heights.walks,
        backed: line.heights.backed.clone(),
        station_m,
    };
    Line {
        horizontal_m: pick(&line.horizontal_m),
        plan: vec![None; count],
        ground_m: vec![None; count],
        heights: bare,
        ..without_heights(line)
    }
}

/// A copy without the vectors on the grid: draws are large.
fn without_heights(line: &Line) -> Line {
    Line {
        title: line.title.clone(),
        surveyed_on: line.surveyed_on.clone(),
        title_block: line.title_block.clone(),
        pegs: line.pegs.clone(),
        heights: Heights::default(),
        horizontal_m: Vec::new(),
        plan: Vec::new(),
        ground_m: Vec::new(),
        bends: line.bends.clone(),
        reaches: line.reaches.clone(),
        laid: line.laid.clone(),
        fittings: line.fittings.clone(),
        stands: line.stands.clone(),
        taps: line.taps.clone(),
        intake: line.intake.clone(),
        outlet: line.outlet.clone(),
        cases: line.cases.clone(),
        movements: line.movements.clone(),
        gauges: Vec::new(),
        ground: line.ground.clone(),
        floods: line.floods.clone(),
        gauged: line.gauged.clone(),
        fixed: line.fixed.clone(),
        stream: line.stream.clone(),
        assumed: Vec::new(),
        pressure_test: None,
        record: None,
        metals: Vec::new(),
        ..*line
    }
}

/// The station between two others that lies furthest off their chord, if further than allowed.
fn furthest(s: &[f64], z: &[f64], a: usize, b: usize) -> Option<usize> {
    let (sa, sb, za, zb) = (*s.get(a)?, *s.get(b)?, *z.get(a)?, *z.get(b)?);
    let slope = if sb > sa { (zb - za) / (sb - sa) } else { 0.0 };
    let inside = s.iter().zip(z).enumerate().take(b).skip(a + 1);
    let (i, off) = inside
        .map(|(i, (s, z))| (i, (z - za - slope * (s - sa)).abs()))
        .max_by(|x, y| x.1.total_cmp(&y.1))?;
    (off > OFF_M).then_some(i)
}
