//! A line with fewer stations, for screening: what a steady state needs and no more.

use crate::heights::Heights;
use crate::line::{Geometry, Line, Measured, Works};

/// How far the thinned line may lie from the full one, m.
const OFF_M: f64 = 0.03;

/// The line without its draws and with the stations left out between which it runs straight within 3 cm.
pub(super) fn coarse(line: &Line) -> Line {
    let s = &line.geometry.heights.station_m;
    let z = &line.geometry.heights.mean_m;
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
        sd_m: pick(&line.geometry.heights.sd_m),
        draws: Vec::new(),
        drop_sd_m: line.geometry.heights.drop_sd_m,
        walks: line.geometry.heights.walks,
        backed: line.geometry.heights.backed.clone(),
        station_m,
    };
    Line {
        geometry: Geometry {
            horizontal_m: pick(&line.geometry.horizontal_m),
            plan: vec![None; count],
            ground_m: vec![None; count],
            heights: bare,
            pegs: line.geometry.pegs.clone(),
            bends: line.geometry.bends.clone(),
            ..line.geometry
        },
        heading: line.heading.clone(),
        reaches: line.reaches.clone(),
        fittings: line.fittings.clone(),
        stands: line.stands.clone(),
        taps: line.taps.clone(),
        intake: line.intake.clone(),
        outlet: line.outlet.clone(),
        runaway: line.runaway,
        works: Works {
            record: None,
            metals: Vec::new(),
            ..line.works.clone()
        },
        wishes: line.wishes.clone(),
        measured: Measured {
            gauged: line.measured.gauged.clone(),
            ..Measured::default()
        },
        environment: line.environment.clone(),
        assumed: Vec::new(),
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
