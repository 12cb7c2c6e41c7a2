use super::Stake;
use crate::line::{Geometry, Reaches};
use crate::numeric::series;

/// Largest distance between stakes, m: a string pulled between them shows the grade.
const APART_M: f64 = 4.0;

/// Stakes over every reach that changes: its ends, where nothing is changed yet, then at most so far apart, and wherever the change turns.
pub(super) fn stakes(
    geometry: &Geometry,
    reaches: &Reaches,
    change_m: &[f64],
    extra_m: Option<&[f64]>,
) -> Vec<Stake> {
    let heights = &geometry.heights;
    let last = change_m.len().saturating_sub(1);
    let change = |i: usize| series::at(change_m, i);
    let extra = |i: usize| extra_m.map(|e| series::at(e, i));
    let moves = |i: usize| change(i) != 0.0 || extra(i).is_some_and(|e| e != 0.0);
    let mut out: Vec<Stake> = Vec::new();
    for (i, (&station_m, &now_m)) in heights.station_m.iter().zip(&heights.mean_m).enumerate() {
        let before = i > 0 && moves(i - 1);
        let after = i < last && moves(i + 1);
        if !(moves(i) || before || after) {
            continue;
        }
        let is_end = !moves(i) || !before || !after;
        let turns = i > 0 && i < last && {
            let gap = |a: usize, b: usize| {
                let s = |j: usize| series::at(&heights.station_m, j);
                (change(b) - change(a)) / (s(b) - s(a)).max(1e-9)
            };
            (gap(i - 1, i) - gap(i, i + 1)).abs() > 0.02
        };
        let far = out.last().is_none_or(|s| {
            let next = heights.station_m.get(i + 1).copied().unwrap_or(station_m);
            next - s.station_m > APART_M
        });
        // On a fine grid a turning change would set a stake at every step: half the distance is close enough.
        let room = out
            .last()
            .is_none_or(|s| station_m - s.station_m >= 0.25 * APART_M);
        if is_end || far || (turns && room) {
            out.push(Stake {
                station_m,
                now_m,
                wanted_m: now_m + change(i),
                change_m: change(i),
                extra_m: extra(i),
                ground_m: geometry.ground_m.get(i).copied().flatten(),
                half_m: reaches
                    .at(station_m)
                    .map_or(0.0, |r| r.pipe.outer_diameter_m / 2.0),
            });
        }
    }
    out
}
