//! One recording in two files: exported twice, or by two programs, it is one walk and not two.

use crate::reading::{Data, Fix, Reading};
use crate::text::{Place, Remark};
use std::collections::BTreeMap;

/// Fixes of a walk that are looked for in another.
const SAMPLES: usize = 64;
/// Two exports of one fix differ by their rounding alone, degrees: 0.3 m. Two receivers side by side do not agree so well all along.
const SAME_DEG: f64 = 3e-6;
/// Share of the samples that must be there.
const SHARE: f64 = 0.9;

/// Leaves out of a reading the walks that earlier readings hold already.
pub(super) fn left_out(reading: &mut Reading, earlier: &[Reading]) {
    let Data::Walks(passes) = &mut reading.data else {
        return;
    };
    let (file, mut remarks) = (reading.file.clone(), Vec::new());
    passes.retain(|pass| {
        let before = earlier.iter().find(|r| match &r.data {
            Data::Walks(walks) => walks
                .iter()
                .any(|w| w.drawn == pass.drawn && same(&pass.segments, &w.segments)),
            Data::Book(_) => false,
        });
        if let Some(before) = before {
            let first = pass.segments.iter().flatten().next();
            remarks.push(Remark::new(
                Place::line(&file, first.map_or(1, |f| f.line)),
                format!(
                    "the recording \"{}\" is also in {} (same times, same positions). It counts once",
                    pass.name, before.file
                ),
            ));
        }
        before.is_none()
    });
    reading.remarks.extend(remarks);
}

/// Whether one walk's fixes stand in another, at the same times.
fn same(walk: &[Vec<Fix>], other: &[Vec<Fix>]) -> bool {
    let count: usize = walk.iter().map(Vec::len).sum();
    let step = (count / SAMPLES).max(1);
    let mut wanted: BTreeMap<i64, (f64, f64)> = walk
        .iter()
        .flatten()
        .step_by(step)
        .filter_map(|f| Some((tenths(f.time_s?)?, (f.lat_deg, f.lon_deg))))
        .collect();
    let samples = wanted.len();
    if samples < 8 {
        return false;
    }
    for fix in other.iter().flatten() {
        let Some(time) = fix.time_s.and_then(tenths) else {
            continue;
        };
        if let Some((lat, lon)) = wanted.get(&time)
            && (lat - fix.lat_deg).abs() < SAME_DEG
            && (lon - fix.lon_deg).abs() < SAME_DEG
        {
            wanted.remove(&time);
        }
    }
    let missed = wanted.len() as f64 / samples as f64;
    missed <= 1.0 - SHARE
}

/// A time in tenths of a second.
fn tenths(time_s: f64) -> Option<i64> {
    let tenths = (time_s * 10.0).round();
    (tenths.abs() < 9e15).then_some(tenths as i64)
}
