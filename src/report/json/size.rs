use crate::line::Line;
use crate::report::pegged::on_pegs;
use crate::report::words::aside_word;
use crate::size::{JetChoice, SizeRow, Sizes};
use serde_json::{Value, json};

/// Sizes side by side.
pub fn value(sizes: &Sizes, line: &Line) -> Value {
    let title = &line.heading.title;
    let out = json!({
        "format": super::whole::FORMAT,
        "program": {"name": env!("CARGO_PKG_NAME"), "version": env!("CARGO_PKG_VERSION")},
        "title": title,
        "screened": sizes.screened,
        "set_aside": sizes.set_aside.len(),
        "set_aside_sizes": sizes.set_aside.iter().map(|a| json!({"size": a.family.name(), "why": aside_word(&a.why)})).collect::<Vec<_>>(),
        "drop_in_doubt": sizes.drop_in_doubt,
        "largest_power": sizes.largest.as_ref().map(super::running::largest),
        "sizes": sizes.rows.iter().map(row).collect::<Vec<_>>(),
    });
    on_pegs(out, &line.geometry.pegs)
}

/// How the jets were chosen, in words.
fn choice_word(choice: JetChoice) -> String {
    match choice {
        JetChoice::Declared => "as declared".to_owned(),
        JetChoice::Loss(share) => format!("for {:.0} % head loss", share * 100.0),
        JetChoice::Stream => "for the stream".to_owned(),
        JetChoice::Largest => "most power".to_owned(),
    }
}

fn row(row: &SizeRow) -> Value {
    json!({
        "size": row.family.name(),
        "zones": row.zones.iter().map(|(from, to, pipe)| json!({"from_station_m": from, "to_station_m": to, "spec": pipe.spec})).collect::<Vec<_>>(),
        "jets": row.jets,
        "jets_chosen": choice_word(row.choice),
        "nozzle_diameter_m": row.nozzle_diameter_m,
        "inner_diameter_m": row.bore_m,
        "flow_m3_per_s": row.flow_m3_per_s,
        "gross_head_m": row.gross_head_m,
        "net_head_m": row.net_head_m,
        "loss_share": row.loss_share,
        "flow_sd_m3_per_s": row.shown.as_ref().map(|s| s.flow_sd_m3_per_s),
        "net_head_sd_m": row.shown.as_ref().map(|s| s.net_head_sd_m),
        "water_power_sd_w": row.shown.as_ref().map(|s| s.water_power_sd_w),
        "velocity_max_m_per_s": row.velocity_m_per_s,
        "too_fast": row.too_fast,
        "water_power_w": row.water_power_w,
        "water_power_slimed_w": row.slimed_power_w,
        "electrical_w": row.electrical_w,
        "mass_kg": row.mass_kg,
        "price": row.price,
        "gain_next_w": row.gain_next_w,
        "limited_station_m": row.limited_station_m,
        "declared": row.declared,
        "use_high": row.shown.as_ref().map(|s| s.use_high),
        "governed_by": row.shown.as_ref().map(|s| &s.governed_by),
        "margin": row.shown.as_ref().map(|s| s.margin),
        "worst_station_m": row.shown.as_ref().map(|s| s.worst_station_m),
        "parts_in": row.shown.as_ref().map(|s| &s.parts_in),
        "vapour": row.shown.as_ref().map(|s| s.vapour),
    })
}
