//! Figures of findings about climbs, air and vents.

use crate::air::VentFault;
use crate::finding::{Kind, Starting};
use crate::report::words::gathers_word;
use serde_json::{Map, Value, json};

pub(super) fn air(kind: &Kind) -> Value {
    match kind {
        Kind::ClimbUnvented {
            rise_m,
            rise_sd_m,
            crest_m,
            pocket_m3,
            by_hand_m,
            idle_m,
            vents_known,
            cock_only,
            step,
        } => {
            json!({"rise_m": rise_m, "rise_sd_m": rise_sd_m, "crest_station_m": crest_m, "pocket_m3": pocket_m3, "by_hand_station_m": by_hand_m, "idle_station_m": idle_m, "vents_known": vents_known, "cock_only": cock_only, "step_up_m": step.map(|s| s.up_m), "ramp_m": step.and_then(|s| s.ramp_m)})
        }
        Kind::ClimbDoubtful {
            rise_m,
            rise_sd_m,
            setups,
            walks,
            barometer,
            hangs_on_one_walk,
            by,
        } => {
            let chance = |c: &Option<(usize, f64)>| {
                c.map(|(walks, chance)| json!({"walks": walks, "chance": chance}))
            };
            json!({"rise_m": rise_m, "rise_sd_m": rise_sd_m, "setups": setups, "walks_tell": barometer.is_some(), "settled_by_walks": chance(walks), "settled_by_barometer": chance(barometer), "hangs_on_one_walk": hangs_on_one_walk, "vented_by": by})
        }
        Kind::ClimbVented { rise_m, by } => json!({"rise_m": rise_m, "vented_by": by}),
        Kind::Flat { fall, fall_sd } => json!({"fall": fall, "fall_sd": fall_sd}),
        Kind::AirGathers { why, cock_only } => {
            json!({"reason": gathers_word(*why), "cock_only": cock_only})
        }
        Kind::LowUndrained { left_m3, frost } => json!({"left_m3": left_m3, "frost": frost}),
        Kind::Locks(start) | Kind::MayStart(start) | Kind::StartNotSettled(start) => {
            starting(start)
        }
        Kind::AirTakes {
            case,
            head_m,
            flow_m3_per_s,
            flow_sd_m3_per_s,
            head_sd_m,
            left_m3_per_s,
            power_share,
        } => json!({
            "case": case.to_string(), "head_compressed_m": head_m.0, "head_full_m": head_m.1, "head_sd_m": head_sd_m, "flow_m3_per_s": flow_m3_per_s, "flow_sd_m3_per_s": flow_sd_m3_per_s,
            "flow_compressed_m3_per_s": left_m3_per_s.0, "flow_full_m3_per_s": left_m3_per_s.1, "power_share_compressed": power_share.0, "power_share_full": power_share.1,
        }),
        Kind::VentFails { name, fault } => {
            let mut out = json!({"name": name, "fault": fault_word(fault)});
            let (key, figure) = match fault {
                VentFault::Spills { over_m, raise_m } => {
                    return json!({"name": name, "fault": fault_word(fault), "spills_by_m": over_m, "raise_by_m": raise_m});
                }
                VentFault::BoreUnder(m) => ("bore_wanted_m", json!(m)),
                VentFault::BelowCrest(m) => ("below_crest_m", json!(m)),
                VentFault::Inhales(cases) => {
                    ("cases", cases.iter().map(ToString::to_string).collect())
                }
                _ => return out,
            };
            if let Some(all) = out.as_object_mut() {
                all.insert(key.to_owned(), figure);
            }
            out
        }
        Kind::NotRecorded { setups } => json!({"setups": setups}),
        Kind::Misclosure { found_m, allowed_m } => {
            json!({"misclosure_m": found_m, "misclosure_allowed_m": allowed_m})
        }
        _ => Value::Object(Map::new()),
    }
}

fn starting(start: &Starting) -> Value {
    json!({
        "margin_worst_m": start.margin_m, "margin_compressed_m": start.margin_compressed_m, "probability_starts": start.probability_starts,
        "probability_compressed": start.probability_compressed, "vents_m": start.vents_m, "vents_enough": start.vents_enough,
        "level": start.level_m.iter().map(|(a, b)| json!({"from_station_m": a, "to_station_m": b})).collect::<Vec<_>>(), "setups": start.setups,
        "unattended_only": start.unattended_only,
    })
}

/// What is wrong with a vent, in a word that stays.
fn fault_word(fault: &VentFault) -> &'static str {
    match fault {
        VentFault::Stuck => "stuck",
        VentFault::CockShut => "cock shut",
        VentFault::OnlyIn => "only in",
        VentFault::OnlyOut => "only out",
        VentFault::ByHand => "by hand",
        VentFault::ToCome => "to come",
        VentFault::Spills { .. } => "spills",
        VentFault::TopUnknown => "top unknown",
        VentFault::BoreUnder(_) => "too narrow",
        VentFault::BoreUnknown => "bore unknown",
        VentFault::Inhales(_) => "inhales",
        VentFault::BelowCrest(_) => "below the crest",
    }
}
