//! Air: where it gathers, what the water sweeps, vents, drains, filling.

use super::markup::{HtmlCell, list, table};
use super::start;
use crate::air::{Air, Vent, VentFlow};
use crate::report::account::Report;
use crate::report::marked::Marked;
use crate::unit::Quantity;
use crate::words::{Say, label, states, vent_fault, vent_why_word};
use maud::{Markup, html};

/// The restart, section by section, and operation with the air of the start.
pub(super) fn restart(account: &Report, say: Say) -> Markup {
    let Some(air) = &account.study.air else {
        return Markup::default();
    };
    html! { (start::starts(air, say)) (start::crests(air, say)) (start::left_in(air, say)) }
}

/// Where air stays, and whether the flow clears it.
pub(super) fn stays(account: &Report, say: Say) -> Markup {
    let Some(air) = &account.study.air else {
        return Markup::default();
    };
    html! { (pockets(air, &Marked::of(account), say)) (sweeping(air, say)) }
}

/// Vents and drains, existing and required.
pub(super) fn devices(account: &Report, say: Say) -> Markup {
    let Some(air) = &account.study.air else {
        return Markup::default();
    };
    let marked = Marked::of(account);
    html! { (vents(air, &marked, say)) (drains(air, &marked, say)) }
}

/// How the pipeline is filled.
pub(super) fn fill(account: &Report, say: Say) -> Markup {
    html! { @if let Some(air) = &account.study.air { (filling(air, say)) } }
}

fn pockets(air: &Air, marked: &Marked<'_>, say: Say) -> Markup {
    let rows = air.pockets.iter().map(|p| {
        let ids = |stands: &[usize], after: &str| -> Vec<String> {
            stands
                .iter()
                .filter_map(|&i| marked.standing(i))
                .map(|id| format!("{id}{after}"))
                .collect()
        };
        let mut by = ids(&p.vented_by, "");
        by.extend(ids(&p.by_hand, " by hand"));
        vec![
            HtmlCell::figure(p.station_m, say.station(p.station_m)),
            HtmlCell::words(label(p.why.word())),
            HtmlCell::figure(p.certainty, say.share(p.certainty)),
            HtmlCell::maybe(Some(p.at_rest.volume_m3).filter(|v| *v > 0.0), |v| {
                format!("{}, {} high", say.volume(v), say.head(p.at_rest.height_m))
            }),
            HtmlCell::maybe(Some(p.compressed.volume_m3).filter(|v| *v > 0.0), |v| {
                format!(
                    "{}, {} high",
                    say.volume(v),
                    say.head(p.compressed.height_m)
                )
            }),
            HtmlCell::words(by.join(", ")),
            HtmlCell::words(if p.from_memory {
                "limit not verified"
            } else {
                ""
            }),
        ]
    });
    table(
        "Where air collects",
        &[
            ">at",
            "why",
            ">probability",
            ">volume at rest",
            ">compressed",
            "vented by",
            "source",
        ],
        rows,
    )
}

fn sweeping(air: &Air, say: Say) -> Markup {
    let rows = air
        .pockets
        .iter()
        .flat_map(|p| p.sweeps.iter().map(move |s| (p, s)))
        .map(|(p, s)| {
            let (from, to) = s.relation.tested_rad();
            vec![
                HtmlCell::figure(p.station_m, say.station(p.station_m)),
                HtmlCell::words(s.case.to_string()),
                HtmlCell::words(s.relation.word()),
                HtmlCell::figure(s.speed_m_per_s, say.speed(s.speed_m_per_s)),
                HtmlCell::figure(s.critical_m_per_s, say.speed(s.critical_m_per_s)),
                HtmlCell::words(format!(
                    "{}, slope {} (tested {} to {}{}){}",
                    if s.speed_m_per_s > s.critical_m_per_s {
                        "faster"
                    } else {
                        "slower"
                    },
                    say.angle(s.slope_rad),
                    say.angle(from),
                    say.angle(to),
                    if s.beyond_tests {
                        ", outside its test range"
                    } else {
                        ""
                    },
                    if s.from_memory { ", not verified" } else { "" }
                )),
            ]
        });
    let table = table(
        "Does the flow clear the air?",
        &[
            ">at",
            "condition",
            "formula",
            ">velocity",
            ">clears the air above",
            "result",
        ],
        rows,
    );
    html! {
        @if !table.0.is_empty() {
            (table)
            p class="small" { "The formulas differ by a factor of two. No high point is safe by its velocity alone: a plant is throttled, operates at part flow, and restarts." }
        }
    }
}

fn vents(air: &Air, marked: &Marked<'_>, say: Say) -> Markup {
    let rows = air.vents.iter().map(|v| {
        let mut words: Vec<String> = v.faults.iter().map(|f| vent_fault(f, say)).collect();
        if v.isolating_cock {
            words.push("an isolating valve below it".to_owned());
        }
        if v.stands.is_none() && !v.inhales.is_empty() {
            words.push(format!(
                "an open vent would draw air in with {}: close it in operation",
                states(&v.inhales)
            ));
        }
        vec![
            HtmlCell::words(marked.vent(v).unwrap_or_default()),
            HtmlCell::figure(v.station_m, say.station(v.station_m)),
            HtmlCell::words(if v.stands.is_some() {
                "existing"
            } else {
                "required"
            }),
            HtmlCell::words(label(vent_why_word(v.why))),
            HtmlCell::words(label(v.device.word())),
            HtmlCell::figure(v.bore_m, say.at_least(Quantity::Bore, v.bore_m)),
            HtmlCell::maybe(v.top_m, |t| say.at_least(Quantity::Head, t)),
            HtmlCell::words(passes(v, say)),
            HtmlCell::words(words.join("; ")),
        ]
    });
    table(
        "Vents: existing vents checked, required vents designed (sizes from secondary sources)",
        &[
            "number",
            ">at",
            "state",
            "for",
            "kind",
            ">inside diameter",
            ">height above the pipe",
            "air flow required",
            "note",
        ],
        rows,
    )
}

/// What a vent is asked to pass each way, each with its own bore.
fn passes(v: &Vent, say: Say) -> String {
    let way = |p: &VentFlow, to: &str| {
        format!(
            "{} {to} at {}: {} inside diameter",
            say.flow(p.flow_m3_per_s),
            say.pressure(p.across_pa),
            say.bore(p.bore_m)
        )
    };
    let mut all: Vec<String> = Vec::new();
    all.extend(v.out.iter().map(|p| way(p, "out")));
    all.extend(v.inward.iter().map(|p| way(p, "in")));
    if all.is_empty() {
        return "no air flow required".to_owned();
    }
    format!(
        "{}{}",
        all.join("; "),
        if v.by_hand { ", by hand" } else { "" }
    )
}

fn drains(air: &Air, marked: &Marked<'_>, say: Say) -> Markup {
    let rows = air.drains.iter().map(|d| {
        vec![
            HtmlCell::words(marked.drain(d).unwrap_or_default()),
            HtmlCell::figure(d.station_m, say.station(d.station_m)),
            HtmlCell::words(if d.stands.is_some() {
                "existing"
            } else {
                "required"
            }),
            HtmlCell::figure(d.bore_m, say.bore(d.bore_m)),
            HtmlCell::figure(d.silt_bore_m, say.bore(d.silt_bore_m)),
            HtmlCell::figure(d.emptying_s, say.time(d.emptying_s)),
            HtmlCell::figure(d.first_flow_m3_per_s, say.flow(d.first_flow_m3_per_s)),
            HtmlCell::figure(
                d.left_standing_m3,
                format!(
                    "{} in {}",
                    say.volume(d.left_standing_m3),
                    say.head(d.left_length_m)
                ),
            ),
            HtmlCell::words(if d.frost { "can freeze" } else { "" }),
        ]
    });
    table(
        "Drains at the low points",
        &[
            "number",
            ">at",
            "state",
            ">minimum inside diameter",
            ">inside diameter to pass silt",
            ">emptying time",
            ">initial flow",
            ">water that stays without it",
            "frost",
        ],
        rows,
    )
}

fn filling(air: &Air, say: Say) -> Markup {
    let f = &air.filling;
    if f.flow_m3_per_s <= 0.0 {
        return Markup::default();
    }
    let slam = f.slam_m.map_or_else(String::new, |m| {
        format!(
            " When the last air leaves, the water behind it stops suddenly and the head rises by up to {}.",
            say.head(m)
        )
    });
    list(&[format!(
        "Filling: {} ({} in the smallest pipe) fills the {} of pipeline in {}, without the waiting times at the vents.{slam}",
        say.flow(f.flow_m3_per_s),
        say.speed(f.speed_m_per_s),
        say.volume(f.volume_m3),
        say.time(f.time_s)
    )])
}
