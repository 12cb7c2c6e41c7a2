//! Heights that are not what they seem: on another datum, in feet.

use crate::heights::Tie;
use crate::route::options::KnownHeight;
use crate::text::{Fault, Place, Remark, Sentence};
use crate::walk::gather::GatheredWalks;
use crate::walk::rough::Rough;

/// Walks whose heights differ by more than this stand on different datums (sea level, the ellipsoid), m: drift and offset of one kind of receiver stay below.
const DATUM_M: f64 = 15.0;

/// Feet in a metre.
const FEET: f64 = 1.0 / crate::unit::exact::FOOT_M;

/// Brings walks on another datum to that of the longest one, and says so.
pub(super) fn level_datums(gathered: &mut GatheredWalks<'_>, rough: &Rough) {
    for (pass, &offset) in gathered.passes.iter_mut().zip(&rough.offset_m) {
        if offset.abs() <= DATUM_M {
            continue;
        }
        for block in &mut pass.along.blocks {
            block.height_m -= offset;
        }
        if let Some(source) = gathered.sources.get(pass.walk) {
            gathered.remarks.push(Remark::new(
                source.place(),
                Sentence::from("the heights of \"")
                    .words(&source.pass.name)
                    .words("\" differ by ")
                    .offset(offset, 0)
                    .words(" from the heights of the other walks. The datum or the receiver is different. The program moved them to the heights of the other walks"),
            ));
        }
    }
}

/// Whether heights look written in feet, held against known heights: `walked(level)` is the walk's height at a level station.
pub(super) fn feet(
    known: &[KnownHeight],
    ties: &[Tie],
    walked: impl Fn(f64) -> f64,
    place: Place,
) -> Option<Fault> {
    let pairs: Vec<(f64, f64)> = ties
        .iter()
        .map(|t| (t.height_m, walked(t.station_m)))
        .collect();
    let low = pairs.iter().min_by(|a, b| a.0.total_cmp(&b.0))?;
    let high = pairs.iter().max_by(|a, b| a.0.total_cmp(&b.0))?;
    let (rise, seen) = (high.0 - low.0, high.1 - low.1);
    let is_feet = |ratio: f64| (ratio / FEET - 1.0).abs() < 0.08;
    let by_rise = rise > 10.0 && is_feet(seen / rise);
    let by_height = rise <= 10.0 && low.0 > 30.0 && is_feet(low.1 / low.0);
    if !by_rise && !by_height {
        return None;
    }
    let at = known
        .first()
        .map_or_else(String::new, |k| format!(" ({})", k.at.place));
    Some(
        Fault::new(place, "the heights seem to be in feet")
            .found(format!(
                "{:.0} in the track, at a known height of {:.0} m{at}",
                high.1, high.0
            ))
            .expected("heights in metres, the unit of GPX")
            .advice("select metres in the exporting program and export again. If the known heights are in feet, write them with \"ft\""),
    )
}
