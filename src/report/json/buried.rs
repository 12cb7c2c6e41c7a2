//! Buried pipe and its trench: the list `afloat` of `anchors`.

use crate::anchor::{Afloat, COVER_SAFETY};
use crate::report::words::{no_deflection, no_fill, soil_word};
use crate::strength::Bedded;
use serde_json::{Value, json};

/// A reach that water stands round.
pub(super) fn afloat(a: &Afloat) -> Value {
    let fill = a.fill.as_ref().ok();
    json!({
        "from_station_m": a.from_m, "to_station_m": a.to_m, "wet_by": a.by.word(), "lift_empty_n_per_m": a.lift_empty_n_per_m, "lift_full_n_per_m": a.lift_full_n_per_m,
        "to_lay": a.to_lay, "counted_cover_m": fill.map(|f| f.cover_m), "fill_n_per_m": fill.map(|f| f.weight_n_per_m), "float_safety": fill.map(|f| f.safety),
        "asked_safety": COVER_SAFETY, "why_not_judged": a.fill.err().map(no_fill), "wanted_cover_m": a.wanted_cover_m, "ballast_kg_per_m": a.ballast_kg_per_m,
        "from_memory": true,
    })
}

/// A trench that was spoken of.
pub(super) fn bedded(b: &Bedded) -> Value {
    let d = b.deflects.as_ref().ok();
    json!({
        "from_station_m": b.from_m, "to_station_m": b.to_m, "soil": b.soil.map(soil_word), "surround": b.surround.word(), "tamped": b.tamped.word(), "to_lay": b.to_lay,
        "width_m": b.size.width_m, "bed_m": b.size.bed_m, "over_m": b.size.over_m, "largest_stone_m": b.size.stone_m, "stones": b.stones,
        "dug_m3": b.volumes.map(|v| v.dug_m3), "surround_m3": b.volumes.map(|v| v.surround_m3), "back_m3": b.volumes.map(|v| v.back_m3), "surplus_m3": b.volumes.map(|v| v.left_m3),
        "ground_pa": d.map(|d| d.earth_pa), "wheel_pa": d.map(|d| d.wheel_pa), "soil_reaction_pa": d.map(|d| d.soil_reaction_pa), "ring_pa": d.map(|d| d.ring_pa),
        "deflection_mean_share": d.map(|d| d.share), "deflection_share": d.map(|d| d.share_high), "allowed_share": d.map(|d| d.allowed),
        "why_not_judged": b.deflects.err().map(no_deflection), "from_memory": true,
    })
}
