//! Sizes side by side: the table for the terminal and its JSON.

use super::Columns;
use super::words::Say;
use crate::size::{JetChoice, Row, Sizes};
use crate::unit::Units;
use serde_json::{Value, json};

/// How the jets were chosen, in words.
fn choice_word(choice: JetChoice) -> String {
    match choice {
        JetChoice::Declared => "as declared".to_owned(),
        JetChoice::Loss(share) => format!("for {:.0} % loss", share * 100.0),
        JetChoice::Stream => "for the stream".to_owned(),
        JetChoice::Largest => "most power".to_owned(),
    }
}

fn classes(row: &Row, say: Say) -> String {
    let words: Vec<String> = row
        .zones
        .iter()
        .map(|(_, to, pipe)| format!("{} to {}", pipe.series, say.station(*to)))
        .collect();
    match row.zones.as_slice() {
        [(_, _, only)] => only.series.clone(),
        _ => words.join(", "),
    }
}

/// The table for the terminal.
pub fn text(sizes: &Sizes, title: &str, units: Units) -> String {
    let say = Say(units);
    let mut table = Columns::new(&[
        "",
        "size",
        "class",
        "jets",
        ">flow",
        ">net head",
        ">lost",
        ">speed",
        ">power",
        ">slimed",
        ">one size more",
        ">margin",
    ]);
    for row in &sizes.rows {
        let jets = match (row.jets, row.nozzle_diameter_m) {
            (0, _) => "machine".to_owned(),
            (n, Some(d)) => format!("{n} x {}, {}", say.bore(d), choice_word(row.choice)),
            (n, None) => format!("{n}, {}", choice_word(row.choice)),
        };
        let margin = row.shown.as_ref().map_or_else(
            || "-".to_owned(),
            |s| {
                if s.vapour {
                    "column parts".to_owned()
                } else {
                    say.share(s.margin)
                }
            },
        );
        table.row([
            if row.declared {
                ">".to_owned()
            } else {
                String::new()
            },
            format!("{} {}", row.family.grade, row.family.size_label),
            classes(row, say),
            jets,
            say.flow(row.flow_m3_per_s),
            say.head(row.net_head_m),
            say.share(row.loss_share),
            format!(
                "{}{}",
                say.speed(row.velocity_m_per_s),
                if row.too_fast { "!" } else { "" }
            ),
            say.power(row.water_power_w),
            say.power(row.slimed_power_w),
            row.gain_next_w
                .map_or_else(|| "-".to_owned(), |w| format!("+{}", say.power(w.max(0.0)))),
            margin,
        ]);
    }
    let mut out = format!(
        "{title}: {} sizes and jets worked out, {} shown\n\n",
        sizes.screened,
        sizes.rows.len()
    );
    out.push_str(&table.text(0));
    out.push_str("\n> the line as declared. Power is the water's; slimed: with walls as they become. Margin: what is left of the allowed pressure with surges and the survey's doubt counted.\n");
    out.push_str("! faster than the limit. A loss of 10 to 15 % of the head is usual (common practice, no source).\n");
    if let Some(share) = sizes.drop_in_doubt {
        out.push_str(&format!(
            "The drop is known to {:.0} % only: choose classes after a better survey.\n",
            share * 100.0
        ));
    }
    if !sizes.set_aside.is_empty() {
        out.push_str(&format!(
            "{} sizes cannot serve: too weak for the head, or nothing would run.\n",
            sizes.set_aside.len()
        ));
    }
    out
}

/// The same as JSON.
pub fn value(sizes: &Sizes, title: &str) -> Value {
    json!({
        "format": super::json::FORMAT,
        "program": {"name": env!("CARGO_PKG_NAME"), "version": env!("CARGO_PKG_VERSION")},
        "title": title,
        "screened": sizes.screened,
        "set_aside": sizes.set_aside.len(),
        "drop_in_doubt": sizes.drop_in_doubt,
        "sizes": sizes.rows.iter().map(row).collect::<Vec<_>>(),
    })
}

fn row(row: &Row) -> Value {
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
        "vapour": row.shown.as_ref().map(|s| s.vapour),
    })
}
