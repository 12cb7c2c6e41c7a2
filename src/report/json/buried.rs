//! Buried pipe and its trench: the list `afloat` of `anchors`, and the figures of what was found.

use crate::anchor::{Afloat, COVER_SAFETY};
use crate::finding::Buried;
use crate::report::words::{no_fill, wet_word};
use serde_json::{Value, json};

/// A reach that water stands round.
pub(super) fn afloat(a: &Afloat) -> Value {
    let fill = a.fill.as_ref().ok();
    json!({
        "from_station_m": a.from_m, "to_station_m": a.to_m, "wet_by": wet_word(a.by), "lift_empty_n_per_m": a.lift_empty_n_per_m, "lift_full_n_per_m": a.lift_full_n_per_m,
        "to_lay": a.to_lay, "counted_cover_m": fill.map(|f| f.cover_m), "fill_n_per_m": fill.map(|f| f.weight_n_per_m), "float_safety": fill.map(|f| f.safety),
        "asked_safety": COVER_SAFETY, "why_not_judged": a.fill.err().map(no_fill), "wanted_cover_m": a.wanted_cover_m, "ballast_kg_per_m": a.ballast_kg_per_m,
        "from_memory": true,
    })
}

/// The figures of a finding.
pub(super) fn found(found: &Buried) -> Value {
    match found {
        Buried::Floats {
            by,
            lift_n_per_m,
            safety,
            asked_safety,
            wanted_cover_m,
            ballast_kg_per_m,
        } => {
            json!({"wet_by": wet_word(*by), "lift_n_per_m": lift_n_per_m, "float_safety": safety, "asked_safety": asked_safety, "wanted_cover_m": wanted_cover_m, "ballast_kg_per_m": ballast_kg_per_m})
        }
        Buried::FloatNotJudged {
            why,
            lift_n_per_m,
            wanted_cover_m,
        } => {
            json!({"reason": no_fill(*why), "lift_n_per_m": lift_n_per_m, "wanted_cover_m": wanted_cover_m})
        }
        Buried::FloatsOpen {
            lift_n_per_m,
            full_lift_n_per_m,
            ballast_kg_per_m,
        } => {
            json!({"lift_n_per_m": lift_n_per_m, "full_lift_n_per_m": full_lift_n_per_m, "ballast_kg_per_m": ballast_kg_per_m})
        }
    }
}
