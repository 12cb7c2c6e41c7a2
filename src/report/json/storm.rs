use super::codes::tonight_code;
use crate::compare::{Compared, Moved, MovedVerdict};
use crate::line::{Appurtenance, Fitting};
use crate::report::words::consequence::consequences;
use crate::report::words::{Say, storm};
use serde_json::{Value, json};

/// The list `moved`.
pub fn moved(moved: &[Moved]) -> Value {
    moved
        .iter()
        .map(|m| {
            json!({
                "from_station_m": m.from_m, "to_station_m": m.to_m, "up_m": m.up_m, "up_sd_m": m.up_sd_m, "side_m": m.side_m, "side_sd_m": m.side_sd_m,
                "along_m": m.along_m, "along_sd_m": m.along_sd_m, "longer_m": m.longer_m, "longer_sd_m": m.longer_sd_m, "most_m": m.most_m,
                "crest_up_m": m.crest_up_m, "crest_up_sd_m": m.crest_up_sd_m, "crest_station_m": m.crest_station_m, "p": m.p,
                "verdict": match m.verdict { MovedVerdict::Moved => "moved", MovedVerdict::CannotTell => "cannot tell" },
            })
        })
        .collect()
}

/// The block `storm`: how the surveys were brought together and what it changed.
pub fn storm(
    compared: &Compared,
    fittings: &[Fitting],
    stands: &[Appurtenance],
    say: Say,
) -> Value {
    let alignment = &compared.alignment;
    json!({
        "aligned": storm::by_word(alignment.by),
        "covers_from_m": alignment.from_m,
        "covers_to_m": alignment.to_m,
        "height_offset_m": alignment.height_offset_m,
        "height_offset_sd_m": alignment.height_offset_sd_m,
        "turned": alignment.turned,
        "sight": {"over_m": compared.sight.over_m, "up_m": compared.sight.up_m, "side_m": compared.sight.side_m},
        "tonight": storm::tonight(compared, stands, say),
        "tonight_codes": compared.tonight.iter().map(tonight_code).collect::<Vec<_>>(),
        "climbs": compared.climbs.iter().map(|c| json!({
            "what": storm::climbing_word(c.what),
            "station_m": c.after.as_ref().or(c.before.as_ref()).map(|c| c.low_station_m),
            "rise_before_m": c.before.as_ref().map(|c| c.rise_m),
            "rise_after_m": c.after.as_ref().map(|c| c.rise_m),
        })).collect::<Vec<_>>(),
        "start_margin_before_m": compared.start_margin_m.map(|m| m.0),
        "start_margin_after_m": compared.start_margin_m.map(|m| m.1),
        "pockets_before_m3": compared.pockets_m3.0,
        "pockets_after_m3": compared.pockets_m3.1,
        "cases": compared.cases.iter().map(|c| json!({
            "name": c.state.to_string(), "flow_before_m3_per_s": c.flow_m3_per_s.0, "flow_after_m3_per_s": c.flow_m3_per_s.1, "power_before_w": c.power_w.0, "power_after_w": c.power_w.1,
            "power_sd_w": c.power_sd_w, "with_air_before": c.with_air.map(|a| a.0), "with_air_after": c.with_air.map(|a| a.1), "newly_limited": c.newly_limited,
        })).collect::<Vec<_>>(),
        "sucked": compared.sucked.iter().map(|s| json!({"case": s.case.to_string(), "station_m": s.station_m, "before_pa": s.before_pa, "after_pa": s.after_pa})).collect::<Vec<_>>(),
        "pressed": compared.pressed.iter().map(|p| json!({
            "from_station_m": p.from_m, "to_station_m": p.to_m, "spec": p.spec, "use_high_before": p.use_high.0, "use_high_after": p.use_high.1,
            "outside_use_before": p.outside_use.0, "outside_use_after": p.outside_use.1,
        })).collect::<Vec<_>>(),
        "tight": compared.tight.iter().map(|t| json!({"station_m": t.station_m, "angle_deg": t.angle_rad.to_degrees(), "least_radius_m": t.least_radius_m, "cannot_tell": t.cannot_tell})).collect::<Vec<_>>(),
        "lows": compared.lows.iter().map(|l| json!({
            "station_m": l.station_m, "standing_before_pa": l.standing_pa.0, "standing_after_pa": l.standing_pa.1, "allowed_pa": l.allowed_pa, "use_high": l.use_high,
        })).collect::<Vec<_>>(),
        "consequences": consequences(compared, fittings, stands, say).into_iter().map(|c| json!({
            "what": c.what, "before": c.before, "now": c.now, "do": c.act, "worse": c.worse,
        })).collect::<Vec<_>>(),
        "off_line": compared.off_line.iter().map(|o| storm::off_line(o, fittings, stands, say)).collect::<Vec<_>>(),
        "level_first": compared.level_first_m.iter().map(|(a, b)| json!({"from_station_m": a, "to_station_m": b})).collect::<Vec<_>>(),
    })
}
