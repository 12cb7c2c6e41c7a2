//! A log whose times say no zone: how far its clock stands off UTC.

use super::air::{ICE_K, thickness_m};
use super::log::{PressureLog, middle};

/// Zones stand off UTC by quarters of an hour, 14 hours at most.
const STEP_S: f64 = 900.0;
const MOST_STEPS: i32 = 56;
/// A log's holes up to this are bridged, s.
const HOLE_S: f64 = 10.0;
/// So many fixes tell it.
const ENOUGH: usize = 300;
/// Another zone than UTC is taken where its heights scatter about the receiver's by half at most, and by so much less, m.
const BETTER: f64 = 0.5;
const BETTER_M: f64 = 1.5;

/// What the log's clock is ahead of UTC, s, where its times say no zone and its heights follow those of the receiver (time, height) at that only; 0 where UTC does as well.
pub(super) fn ahead_s(log: &PressureLog, fixes: &[(f64, f64)]) -> f64 {
    if log.zone_said || fixes.is_empty() {
        return 0.0;
    }
    let step = fixes.len().div_ceil(ENOUGH);
    let some: Vec<(f64, f64)> = fixes.iter().step_by(step).copied().collect();
    let at_utc = scatter_m(log, &some, 0.0);
    let others = (-MOST_STEPS..=MOST_STEPS)
        .filter(|k| *k != 0)
        .map(|k| f64::from(k) * STEP_S)
        .filter_map(|ahead| Some((ahead, scatter_m(log, &some, ahead)?)));
    let best = others.min_by(|a, b| a.1.total_cmp(&b.1).then(a.0.abs().total_cmp(&b.0.abs())));
    match (best, at_utc) {
        (Some((ahead, _)), None) => ahead,
        (Some((ahead, scatter)), Some(utc))
            if scatter < BETTER * utc && utc - scatter > BETTER_M =>
        {
            ahead
        }
        _ => 0.0,
    }
}

/// How the log's heights scatter about the receiver's, m; `None` where it hardly runs during the walk.
fn scatter_m(log: &PressureLog, fixes: &[(f64, f64)], ahead_s: f64) -> Option<f64> {
    let reference = log.pressure_pa.first()?;
    let mut off: Vec<f64> = fixes
        .iter()
        .filter_map(|&(time, height)| {
            let own = log.at(time + ahead_s, HOLE_S)?;
            Some(height - thickness_m(*reference, own, ICE_K + 10.0))
        })
        .collect();
    if 10 * off.len() < 8 * fixes.len() {
        return None;
    }
    let centre = middle(&mut off);
    let mut from_it: Vec<f64> = off.iter().map(|o| (o - centre).abs()).collect();
    Some(middle(&mut from_it))
}
