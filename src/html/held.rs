//! What holds the pipe: thrusts, blocks, ends, slopes, heat, floods, supports, each with its caution beside it.

use super::carried;
use super::markup::{HtmlCell, caution, list, table};
use crate::anchor::{Anchor, BearingTable, Push, Sense, Slack};
use crate::study::Study;
use crate::unit::{Figure, Quantity};
use crate::words::{
    Say, at_word, block_side, block_word, joint_word, no_block, place_word, push_way, soil_word,
    table_short, table_word,
};

/// The whole part; empty where nothing pushes, pulls or slides.
pub(super) fn whole(study: &Study, say: Say) -> String {
    let Some(anchor) = &study.anchor else {
        return String::new();
    };
    let mut out = String::from(
        "<p>Thrust and weight follow from pressure, shape and mass. What ground, stakes, straps, guides and joints can hold rests on presumptive tables, common practice and own caution, not on anything measured at this site.</p>",
    );
    let before = out.len();
    out.push_str(&thrusts(anchor, say));
    out.push_str(&blocks(anchor, say));
    out.push_str(&ends(anchor, say));
    out.push_str(&slopes(anchor, say));
    out.push_str(&heat(anchor, say));
    out.push_str(&carried::floods(anchor, study, say));
    out.push_str(&carried::supports(anchor, say));
    out.push_str(&carried::steel(anchor, say));
    if out.len() == before {
        return String::new();
    }
    out
}

fn thrusts(anchor: &Anchor, say: Say) -> String {
    let rows: Vec<Vec<HtmlCell>> = anchor
        .pushes
        .iter()
        .map(|p| {
            vec![
                HtmlCell::figure(p.station_m, say.station(p.station_m)),
                HtmlCell::words(at_word(&p.at)),
                HtmlCell::maybe((p.angle_rad > 0.0).then_some(p.angle_rad), |a| say.angle(a)),
                HtmlCell::figure(p.pressure_pa, say.pressure(p.pressure_pa)),
                HtmlCell::words(if p.by_parts {
                    format!("{} (the water parts)", p.by)
                } else {
                    p.by.clone()
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
        })
        .collect();
    if rows.is_empty() {
        return String::new();
    }
    let mut out = table(
        "Thrust of the water, at the largest pressure of any state or the test; left and right looking towards the turbine",
        &[
            "where",
            "at",
            ">angle",
            ">pressure",
            "in",
            ">thrust",
            ">to build for",
            "pushes",
            "held by",
        ],
        &rows,
    );
    if !anchor.parting.is_empty() {
        out.push_str(&list(&[format!(
            "In these movements the water parts; the blow when it joins again is in no force here, and nothing is built for it: {}. Keep them from happening.",
            anchor.parting.join(", ")
        )]));
    }
    out.push_str(&caution("Nobody beside bends, ends and joints while the pressure rises; test low first. Where a burst could hurt people, an engineer on site."));
    out
}

fn held_by(push: &Push) -> String {
    let joint = joint_word(push.joint);
    if push.restrained {
        format!("the {joint} joints: no block")
    } else if push.doubtful {
        format!("{joint} joints do not; the angle is in doubt: measure it before pouring concrete")
    } else {
        format!(
            "{joint} joints do not: a block {}",
            block_side(push.sense, &push.towards)
        )
    }
}

fn blocks(anchor: &Anchor, say: Say) -> String {
    let area = |m2: f64| Figure::new(Quantity::Area, m2).show(say.units);
    let rows: Vec<Vec<HtmlCell>> = anchor
        .blocks
        .iter()
        .map(|b| {
            let (long, wide, high) = b.size_m;
            let works: Vec<&str> = b.kinds.iter().map(|k| block_word(*k)).collect();
            let assumed = anchor
                .pushes
                .get(b.push)
                .is_some_and(|p| p.sense != Sense::Route);
            let mut notes: Vec<&str> = b.refused.iter().map(|why| no_block(*why)).collect();
            if assumed {
                notes.push(
                    "sized for the harmful sense of the fitting: set it as the fitting is laid",
                );
            }
            vec![
                HtmlCell::figure(b.station_m, say.station(b.station_m)),
                HtmlCell::words(works.join(", ")),
                HtmlCell::words(b.soil.map_or("not stated", soil_word)),
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
        })
        .collect();
    if rows.is_empty() {
        return String::new();
    }
    let mut out = table(
        "Blocks of concrete",
        &[
            "where",
            "works",
            "soil",
            ">ground may take sideways",
            "by table",
            ">highest table",
            ">bears on",
            ">concrete",
            ">where water can stand",
            "a size to build",
            ">safety sliding",
            ">overturning",
            ">under its base",
            "",
        ],
        &rows,
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
    .map(|t| format!("{}: {}", table_short(*t), table_word(*t)))
    .collect();
    out.push_str(&list(&tables));
    out.push_str(&caution("Pressures of the ground are presumed from tables and are a first estimate, for undisturbed ground: fill, wet clay, organic soil, slides or earthquakes, and any place where a burst could hurt, need an engineer on site. Keep bolts and joints clear of the concrete."));
    out
}

fn ends(anchor: &Anchor, say: Say) -> String {
    let rows: Vec<Vec<HtmlCell>> = anchor
        .pulls
        .iter()
        .map(|p| {
            vec![
                HtmlCell::figure(p.station_m, say.station(p.station_m)),
                HtmlCell::words(place_word(p.place)),
                HtmlCell::figure(p.by_pressure_n, say.force(p.by_pressure_n)),
                HtmlCell::figure(p.by_shortening_n, say.force(p.by_shortening_n)),
                HtmlCell::figure(p.by_cold_n, say.force(p.by_cold_n)),
                HtmlCell::figure(p.hold_n, say.at_least(Quantity::Force, p.hold_n)),
                HtmlCell::words(match p.slack {
                    Slack::Loop => "with the loop of slack beside it",
                    Slack::Joint => "with an expansion joint beside it",
                    Slack::None => "held tight",
                }),
                HtmlCell::figure(p.tight_n, say.at_least(Quantity::Force, p.tight_n)),
                HtmlCell::figure(p.shortens_m, say.head(p.shortens_m)),
            ]
        })
        .collect();
    if rows.is_empty() {
        return String::new();
    }
    let mut out = table(
        "Ends of pipe that is one piece: what a hold there must take, and what the pipe shortens where nothing holds it",
        &[
            "where",
            "at",
            ">pressure on the end",
            ">pressed fat",
            ">cold",
            ">to hold",
            "",
            ">without slack",
            ">shortens if free",
        ],
        &rows,
    );
    out.push_str(&caution("A pipe that pulls out of a coupling lets go at full pressure: keep clear of ends and couplings on the first cold night after filling, and look at them before anybody works there."));
    out
}

fn slopes(anchor: &Anchor, say: Say) -> String {
    let rows: Vec<Vec<HtmlCell>> = anchor
        .slopes
        .iter()
        .map(|s| {
            let stands = s.standing.len();
            vec![
                HtmlCell::figure(s.from_m, say.reach(s.from_m, s.to_m)),
                HtmlCell::figure(s.slope_rad, say.angle(s.slope_rad)),
                HtmlCell::figure(
                    s.friction,
                    format!(
                        "{:.2}{}",
                        s.friction,
                        if s.friction_known { "" } else { ", taken" }
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
                        "what stands holds it".to_owned()
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
        })
        .collect();
    if rows.is_empty() {
        return String::new();
    }
    let mut out = table(
        "Slopes that do not hold the pipe by themselves",
        &[
            "where",
            ">slope",
            ">friction",
            ">slides full",
            ">slides empty",
            "anchors wanted",
            ">each for",
            ">handbook spacing (socketed pipe)",
        ],
        &rows,
    );
    out.push_str(&caution("Pull a stake or bolt before trusting it. An anchor holds along the slope and nothing across it. Loose or creeping ground needs an engineer on site."));
    out
}

fn heat(anchor: &Anchor, say: Say) -> String {
    let rows: Vec<Vec<HtmlCell>> = anchor
        .heat
        .iter()
        .map(|h| {
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
                        "{} apart for {} of swing",
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
        })
        .collect();
    if rows.is_empty() {
        return String::new();
    }
    let mut out = table(
        "Heat and cold: drained in the sun, filled on a cold night",
        &[
            "where",
            ">between",
            ">moves if free",
            ">pressure shortens",
            ">held, warming",
            ">held, cooling (night to at once)",
            ">one end held",
            ">guides",
            "leave a loop of slack",
        ],
        &rows,
    );
    out.push_str(&caution(&format!("Hold the pipe at the anchors named and nowhere between a hold and its loop; elsewhere let it slide and snake where that harms nothing. A strap drawn tight on cold pipe cuts it when it grows. Steel is not bowed: it is parted by expansion joints, one beside each hold and none further apart than {} of straight pipe.", say.station(30.0))));
    out
}
