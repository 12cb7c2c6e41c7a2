//! Air: where it gathers, what the water sweeps, vents, drains, filling.

use super::markup::{HtmlCell, list, table};
use super::start;
use crate::air::{Air, Passes, Vent};
use crate::unit::Quantity;
use crate::words::account::Report;
use crate::words::{
    Marked, Say, device_word, gathers_word, relation_word, states, vent_fault, vent_why_word,
};

/// The start, and everything that stays.
pub(super) fn air(account: &Report, say: Say) -> String {
    let Some(air) = &account.study.air else {
        return String::new();
    };
    let marked = Marked::of(account);
    [
        start::starts(air, say),
        start::crests(air, say),
        start::left_in(air, say),
        pockets(air, &marked, say),
        sweeping(air, say),
        vents(air, &marked, say),
        drains(air, &marked, say),
        filling(air, say),
    ]
    .concat()
}

fn pockets(air: &Air, marked: &Marked<'_>, say: Say) -> String {
    let rows: Vec<Vec<HtmlCell>> = air
        .pockets
        .iter()
        .map(|p| {
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
                HtmlCell::words(gathers_word(p.why)),
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
                    "limit from memory"
                } else {
                    ""
                }),
            ]
        })
        .collect();
    table(
        "Where air gathers",
        &[
            ">at",
            "why",
            ">sure",
            ">at rest",
            ">squeezed",
            "vented by",
            "rests on",
        ],
        &rows,
    )
}

fn sweeping(air: &Air, say: Say) -> String {
    let rows: Vec<Vec<HtmlCell>> = air
        .pockets
        .iter()
        .flat_map(|p| p.sweeps.iter().map(move |s| (p, s)))
        .map(|(p, s)| {
            let (from, to) = s.relation.tested_rad();
            vec![
                HtmlCell::figure(p.station_m, say.station(p.station_m)),
                HtmlCell::words(s.case.to_string()),
                HtmlCell::words(relation_word(s.relation)),
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
                        ": beyond its tests"
                    } else {
                        ""
                    },
                    if s.from_memory { ", from memory" } else { "" }
                )),
            ]
        })
        .collect();
    if rows.is_empty() {
        return String::new();
    }
    format!(
        "{}<p class=\"small\">The relations differ by a factor of two. No crest is safe by its water's speed alone: a plant runs throttled, at part flow, and restarts.</p>",
        table(
            "Would the water carry the air out",
            &[
                ">at",
                "state",
                "relation",
                ">water runs at",
                ">carries it out from",
                "so",
            ],
            &rows,
        )
    )
}

fn vents(air: &Air, marked: &Marked<'_>, say: Say) -> String {
    let rows: Vec<Vec<HtmlCell>> = air
        .vents
        .iter()
        .map(|v| {
            let mut words: Vec<String> = v.faults.iter().map(|f| vent_fault(f, say)).collect();
            if v.isolating_cock {
                words.push("a cock beneath it".to_owned());
            }
            if v.stands.is_none() && !v.inhales.is_empty() {
                words.push(format!(
                    "an open one would draw air in with {}: shut it while running",
                    states(&v.inhales)
                ));
            }
            vec![
                HtmlCell::words(marked.vent(v).unwrap_or_default()),
                HtmlCell::figure(v.station_m, say.station(v.station_m)),
                HtmlCell::words(if v.stands.is_some() {
                    "stands"
                } else {
                    "wanted"
                }),
                HtmlCell::words(vent_why_word(v.why)),
                HtmlCell::words(device_word(v.device)),
                HtmlCell::figure(v.bore_m, say.at_least(Quantity::Bore, v.bore_m)),
                HtmlCell::maybe(v.top_m, |t| say.at_least(Quantity::Head, t)),
                HtmlCell::words(passes(v, say)),
                HtmlCell::words(words.join("; ")),
            ]
        })
        .collect();
    table(
        "Vents: those that stand judged, those that are wanted designed (sizes rest on practice known second hand)",
        &[
            "mark",
            ">at",
            "state",
            "for",
            "kind",
            ">bore",
            ">top above the pipe",
            "air it must pass",
            "note",
        ],
        &rows,
    )
}

/// What a vent is asked to pass each way, each with its own bore.
fn passes(v: &Vent, say: Say) -> String {
    let way = |p: &Passes, to: &str| {
        format!(
            "{} {to} at {}: {} bore",
            say.flow(p.flow_m3_per_s),
            say.pressure(p.across_pa),
            say.bore(p.bore_m)
        )
    };
    let mut all: Vec<String> = Vec::new();
    all.extend(v.out.iter().map(|p| way(p, "out")));
    all.extend(v.inward.iter().map(|p| way(p, "in")));
    if all.is_empty() {
        return "nothing is asked".to_owned();
    }
    format!(
        "{}{}",
        all.join("; "),
        if v.by_hand { "; by hand" } else { "" }
    )
}

fn drains(air: &Air, marked: &Marked<'_>, say: Say) -> String {
    let rows: Vec<Vec<HtmlCell>> = air
        .drains
        .iter()
        .map(|d| {
            vec![
                HtmlCell::words(marked.drain(d).unwrap_or_default()),
                HtmlCell::figure(d.station_m, say.station(d.station_m)),
                HtmlCell::words(if d.stands.is_some() {
                    "stands"
                } else {
                    "wanted"
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
        })
        .collect();
    table(
        "Drains at the lows",
        &[
            "mark",
            ">at",
            "state",
            ">least bore",
            ">bore to let silt out",
            ">empties in",
            ">first flow",
            ">water that stays without it",
            "frost",
        ],
        &rows,
    )
}

fn filling(air: &Air, say: Say) -> String {
    let f = &air.filling;
    if f.flow_m3_per_s <= 0.0 {
        return String::new();
    }
    let slam = f.slam_m.map_or_else(String::new, |m| {
        format!(
            " When the last air leaves and the water behind it stops at once, the head rises by up to {}.",
            say.head(m)
        )
    });
    list(&[format!(
        "Filling: {} ({} in the smallest bore) fills the {} of the line in {}, the waits at the vents not counted.{slam}",
        say.flow(f.flow_m3_per_s),
        say.speed(f.speed_m_per_s),
        say.volume(f.volume_m3),
        say.time(f.time_s)
    )])
}
