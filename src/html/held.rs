//! What holds the pipe: thrusts, blocks, ends, slopes, heat, floods, supports, each with its caution beside it.

use super::markup::{HtmlCell, list, table, with_caution};
use super::{carried, trench};
use crate::anchor::{Anchor, BearingTable, Push, Sense, Slack};
use crate::study::Study;
use crate::unit::{Figure, Quantity};
use crate::words::{Say, block_side, joint_label, no_block, push_way, states, table_short};
use maud::{Markup, html};

/// The whole part; empty where nothing pushes, pulls or slides.
pub(super) fn whole(study: &Study, say: Say) -> Markup {
    let Some(anchor) = &study.anchor else {
        return Markup::default();
    };
    let parts = html! {
        (thrusts(anchor, say))
        (blocks(anchor, say))
        (ends(anchor, say))
        (slopes(anchor, say))
        (heat(anchor, say))
        (carried::floods(anchor, study, say))
        (trench::afloat(anchor, say))
        (carried::supports(anchor, say))
        (carried::steel(anchor, say))
    };
    html! {
        @if !parts.0.is_empty() {
            p { "Thrust and weight follow from pressure, shape and mass. The strength of soil, stakes, straps, guides and joints follows from tables of presumptive values and common practice. Nothing was measured at this site." }
            (parts)
        }
    }
}

fn thrusts(anchor: &Anchor, say: Say) -> Markup {
    let rows = anchor.pushes.iter().map(|p| {
        vec![
            HtmlCell::figure(p.station_m, say.station(p.station_m)),
            HtmlCell::words(p.at.word()),
            HtmlCell::maybe((p.angle_rad > 0.0).then_some(p.angle_rad), |a| say.angle(a)),
            HtmlCell::figure(p.pressure_pa, say.pressure(p.pressure_pa)),
            HtmlCell::words(match (&p.by, p.by_parts) {
                (Some(by), true) => format!("{by} (column separation)"),
                (Some(by), false) => by.to_string(),
                (None, _) => String::new(),
            }),
            HtmlCell::figure(p.size_n, say.force(p.size_n)),
            HtmlCell::figure(p.high_n, say.at_least(Quantity::Force, p.high_n)),
            HtmlCell::words(
                push_way(p.sense, &p.towards)
                    .trim_end_matches(',')
                    .to_owned(),
            ),
            HtmlCell::words(held_by(p)),
        ]
    });
    let table = table(
        "Thrust at the largest pressure of all conditions and the test. Left and right are seen towards the turbine",
        &[
            "where",
            "at",
            ">angle",
            ">pressure",
            "in",
            ">thrust",
            ">design thrust",
            "direction",
            "restrained by",
        ],
        rows,
    );
    let parting = (!anchor.parting.is_empty()).then(|| {
        format!(
            "Column separation occurs in these valve operations. No force here includes the pressure rise when the columns rejoin: {}. Prevent these operations.",
            states(&anchor.parting)
        )
    });
    with_caution(
        told(table, parting.as_slice()),
        "Nobody must be near bends, ends and joints while the pressure rises. Test at low pressure first. Where a burst could hurt a person, an engineer must inspect the site.",
    )
}

/// A table with what is told below it; nothing where it is empty.
fn told(table: Markup, below: &[String]) -> Markup {
    html! { @if !table.0.is_empty() { (table) (list(below)) } }
}

fn held_by(push: &Push) -> String {
    let joint = joint_label(push.joint);
    if push.restrained {
        format!("the {joint} joints: no thrust block")
    } else if push.doubtful {
        format!(
            "{joint} joints do not. The angle is uncertain: measure it before you pour concrete"
        )
    } else {
        format!(
            "{joint} joints do not: a thrust block {}",
            block_side(push.sense, &push.towards)
        )
    }
}

fn blocks(anchor: &Anchor, say: Say) -> Markup {
    let area = |m2: f64| Figure::new(Quantity::Area, m2).show(say.units);
    let rows = anchor.blocks.iter().map(|b| {
        let (long, wide, high) = b.size_m;
        let works: Vec<&str> = b.kinds.iter().map(|k| k.word()).collect();
        let assumed = anchor
            .pushes
            .get(b.push)
            .is_some_and(|p| p.sense != Sense::Route);
        let mut notes: Vec<&str> = b.refused.iter().map(|why| no_block(*why)).collect();
        if assumed {
            notes.push(
                "sized for the worse direction of the fitting: install it to suit the fitting",
            );
        }
        vec![
            HtmlCell::figure(b.station_m, say.station(b.station_m)),
            HtmlCell::words(works.join(", ")),
            HtmlCell::words(b.soil.map_or("not given", crate::pipe::Soil::word)),
            HtmlCell::maybe(b.ground.map(|g| g.sideways_pa), |p| say.pressure(p)),
            HtmlCell::words(b.ground.map_or("", |g| table_short(g.table))),
            HtmlCell::maybe(b.ground.map(|g| g.sideways_high_pa), |p| say.pressure(p)),
            HtmlCell::maybe((b.bearing_area_m2 > 0.0).then_some(b.bearing_area_m2), area),
            HtmlCell::maybe((b.volume_m3 > 0.0).then_some(b.volume_m3), |v| {
                say.concrete(v)
            }),
            HtmlCell::maybe(
                (b.volume_wet_m3 > b.volume_m3).then_some(b.volume_wet_m3),
                |v| say.concrete(v),
            ),
            HtmlCell::words(if b.volume_m3 > 0.0 {
                format!(
                    "{} along, {} across, {} high",
                    say.head(long),
                    say.head(wide),
                    say.head(high)
                )
            } else {
                String::new()
            }),
            HtmlCell::maybe((b.sliding > 0.0).then_some(b.sliding), |s| {
                format!("{s:.2}")
            }),
            HtmlCell::maybe(b.overturning, |s| format!("{s:.2}")),
            HtmlCell::maybe(b.base_pa, |p| say.pressure(p)),
            HtmlCell::words(notes.join("; ")),
        ]
    });
    let table = table(
        "Concrete thrust blocks",
        &[
            "where",
            "action",
            "soil",
            ">allowable lateral soil pressure",
            "table",
            ">maximum of the tables",
            ">bearing area",
            ">concrete",
            ">concrete in waterlogged ground",
            "possible size",
            ">safety against sliding",
            ">safety against overturning",
            ">pressure below its base",
            "",
        ],
        rows,
    );
    let tables: Vec<String> = [
        BearingTable::BuildingCode,
        BearingTable::PipeTrade,
        BearingTable::Course,
    ]
    .iter()
    .filter(|t| {
        let named = |b: &crate::anchor::ThrustBlock| b.ground.is_some_and(|g| g.table == **t);
        anchor.blocks.iter().any(named)
    })
    .map(|t| format!("{}: {}", table_short(*t), t.word()))
    .collect();
    with_caution(
        told(table, &tables),
        "Soil pressures are presumptive table values, a first estimate for undisturbed ground. Some places need an engineer on site: fill, wet clay, organic soil, slides, earthquakes, and places where a burst could hurt. Keep bolts and joints free of the concrete.",
    )
}

fn ends(anchor: &Anchor, say: Say) -> Markup {
    let rows = anchor.pulls.iter().map(|p| {
        vec![
            HtmlCell::figure(p.station_m, say.station(p.station_m)),
            HtmlCell::words(p.place.word()),
            HtmlCell::figure(p.by_pressure_n, say.force(p.by_pressure_n)),
            HtmlCell::figure(p.by_shortening_n, say.force(p.by_shortening_n)),
            HtmlCell::figure(p.by_cold_n, say.force(p.by_cold_n)),
            HtmlCell::figure(p.hold_n, say.at_least(Quantity::Force, p.hold_n)),
            HtmlCell::words(match p.slack {
                Slack::Loop => "with the expansion loop next to it",
                Slack::Joint => "with an expansion joint next to it",
                Slack::None => "fully restrained",
            }),
            HtmlCell::figure(p.tight_n, say.at_least(Quantity::Force, p.tight_n)),
            HtmlCell::figure(p.shortens_m, say.head(p.shortens_m)),
        ]
    });
    with_caution(
        table(
            "Ends of continuous pipe: required restraint, and shortening without restraint",
            &[
                "where",
                "at",
                ">pressure force on the end",
                ">Poisson pull",
                ">thermal pull",
                ">design force",
                "",
                ">without expansion loop",
                ">free shortening",
            ],
            rows,
        ),
        "A pipe that pulls out of a coupling releases full pressure. Stay away from ends and couplings on the first cold night after filling. Inspect them before anybody works there.",
    )
}

fn slopes(anchor: &Anchor, say: Say) -> Markup {
    let rows = anchor.slopes.iter().map(|s| {
        let stands = s.standing.len();
        vec![
            HtmlCell::figure(s.from_m, say.reach(s.from_m, s.to_m)),
            HtmlCell::figure(s.slope_rad, say.angle(s.slope_rad)),
            HtmlCell::figure(
                s.friction,
                format!(
                    "{:.2}{}",
                    s.friction,
                    if s.friction_known { "" } else { ", assumed" }
                ),
            ),
            HtmlCell::figure(
                s.slides_full_n_per_m * (s.to_m - s.from_m),
                say.force(s.pull_n),
            ),
            HtmlCell::figure(
                s.slides_empty_n_per_m,
                say.force(s.slides_empty_n_per_m * (s.to_m - s.from_m)),
            ),
            HtmlCell::words(if s.anchors_m.is_empty() {
                if stands > 0 {
                    "existing anchors are sufficient".to_owned()
                } else {
                    "none".to_owned()
                }
            } else {
                format!("at {}", say.stations(&s.anchors_m))
            }),
            HtmlCell::maybe((s.anchor_n > 0.0).then_some(s.anchor_n), |n| {
                say.at_least(Quantity::Force, n)
            }),
            HtmlCell::words(
                s.handbook_spacing_m
                    .map_or_else(String::new, |m| say.at_most(Quantity::Head, m)),
            ),
        ]
    });
    with_caution(
        table(
            "Slopes where the pipe can slide",
            &[
                "where",
                ">slope",
                ">friction",
                ">sliding force, full",
                ">sliding force, empty",
                "anchors required",
                ">design force of each",
                ">handbook spacing (socketed pipe)",
            ],
            rows,
        ),
        "Test a stake or bolt with a pull before you rely on it. An anchor acts along the slope and not across it. Loose or creeping ground needs an engineer on site.",
    )
}

fn heat(anchor: &Anchor, say: Say) -> Markup {
    let rows = anchor.heat.iter().map(|h| {
        vec![
            HtmlCell::figure(h.from_m, say.reach(h.from_m, h.to_m)),
            HtmlCell::figure(
                h.hot_c - h.cold_c,
                format!(
                    "{} to {}",
                    say.temperature(h.cold_c),
                    say.temperature(h.hot_c)
                ),
            ),
            HtmlCell::figure(h.moves_m, say.head(h.moves_m)),
            HtmlCell::figure(h.pressure_shortens_m, say.head(h.pressure_shortens_m)),
            HtmlCell::figure(h.held_hot_n, say.force(h.held_hot_n)),
            HtmlCell::figure(
                h.held_cold_n.1,
                format!(
                    "{} to {}",
                    say.force(h.held_cold_n.0),
                    say.force(h.held_cold_n.1)
                ),
            ),
            HtmlCell::figure(h.drags_n, say.force(h.drags_n)),
            HtmlCell::maybe(h.guide_spacing_m, |m| {
                format!(
                    "{} apart for {} of snaking",
                    say.at_most(Quantity::Head, m),
                    say.head(h.swing_m)
                )
            }),
            HtmlCell::words(if h.loops_m.is_empty() {
                String::new()
            } else {
                format!("at {}", say.stations(&h.loops_m))
            }),
        ]
    });
    with_caution(
        table(
            "Heat and cold: empty in the sun, then filled on a cold night",
            &[
                "where",
                ">temperatures",
                ">free movement",
                ">shortening by pressure",
                ">restrained, heating",
                ">restrained, cooling (overnight to sudden)",
                ">one end held",
                ">guide spacing",
                "expansion loop",
            ],
            rows,
        ),
        &format!(
            "Fix the pipe only at the listed anchors, and nowhere between an anchor and its expansion loop. Elsewhere the pipe must be free to slide and snake where it damages nothing. A strap that is tight on cold pipe cuts the pipe when it expands. Steel needs expansion joints instead of loops: one next to each anchor, with {} of straight pipe or less between them.",
            say.station(30.0)
        ),
    )
}
