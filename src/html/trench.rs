//! Buried pipe and its trench, with the cautions beside it.

use super::markup::{HtmlCell, table, with_caution};
use crate::anchor::{Afloat, Anchor, COVER_SAFETY};
use crate::strength::Strength;
use crate::unit::{Figure, Quantity};
use crate::words::{LAYER_M, Say, TAPE_M, no_deflection, no_fill};
use maud::Markup;

/// Buried reaches that water stands round; empty where nothing floats.
pub(super) fn afloat(anchor: &Anchor, say: Say) -> Markup {
    let along = |n: f64| Figure::new(Quantity::ForcePerLength, n).show(say.units);
    let rows = anchor.afloat.iter().map(|a| {
        let fill = a.fill.as_ref().ok();
        vec![
            HtmlCell::figure(a.from_m, say.reach(a.from_m, a.to_m)),
            HtmlCell::words(a.by.word()),
            HtmlCell::figure(a.lift_empty_n_per_m, along(a.lift_empty_n_per_m)),
            HtmlCell::figure(a.lift_full_n_per_m, along(a.lift_full_n_per_m)),
            HtmlCell::maybe(fill.map(|f| f.cover_m), |m| say.head(m)),
            HtmlCell::maybe(fill.map(|f| f.weight_n_per_m), along),
            HtmlCell::words(judged(a)),
            HtmlCell::maybe(a.wanted_cover_m, |m| say.at_least(Quantity::Head, m)),
            HtmlCell::figure(
                a.ballast_kg_per_m,
                say.at_least(Quantity::MassPerLength, a.ballast_kg_per_m),
            ),
        ]
    });
    with_caution(
        table(
            "Buoyancy of the empty pipe in wet ground",
            &[
                "where",
                "water",
                ">lift, empty",
                ">lift, full",
                ">cover that counts",
                ">weight of fill",
                "safety",
                ">required cover",
                ">or weights, concrete in air",
            ],
            rows,
        ),
        "An empty pipe floats in an open trench that fills with water. Fill the trench on the day the pipe is laid. Do not enter a trench that fills with water: its sides collapse. Work in a stream only at low water, never alone, and with the permits that local codes require.",
    )
}

/// Trenches that were spoken of; empty where none was.
pub(super) fn bedded(strength: &Strength, say: Say) -> Markup {
    let volume = |m3: f64| say.concrete(m3);
    let rows = strength.bedded.iter().map(|b| {
        let oval = match &b.deflects {
            Ok(d) => format!(
                "{:.1} % of {:.1} %{}",
                100.0 * d.share_high,
                100.0 * d.allowed,
                if b.too_oval() { ": too much" } else { "" }
            ),
            Err(why) => format!("not calculated: {}", no_deflection(*why)),
        };
        vec![
            HtmlCell::figure(b.from_m, say.reach(b.from_m, b.to_m)),
            HtmlCell::words(b.soil.map_or("not given", crate::pipe::Soil::word)),
            HtmlCell::words(format!("{}, {}", b.surround.word(), b.tamped.word())),
            HtmlCell::figure(b.size.width_m, say.at_least(Quantity::Head, b.size.width_m)),
            HtmlCell::words(format!(
                "{} below, {} above",
                say.bore(b.size.bed_m),
                say.bore(b.size.over_m)
            )),
            HtmlCell::figure(b.size.stone_m, say.bore(b.size.stone_m)),
            HtmlCell::words(oval),
            HtmlCell::maybe(b.volumes.map(|v| v.dug_m3), volume),
            HtmlCell::maybe(b.volumes.map(|v| v.surround_m3), volume),
            HtmlCell::maybe(b.volumes.map(|v| v.left_m3), volume),
        ]
    });
    with_caution(
        table(
            "Trench, bedding and deflection of buried pipe (modified Iowa formula)",
            &[
                "where",
                "soil",
                "surround",
                ">width",
                "bedding",
                ">largest stone",
                "deflection",
                ">excavation",
                ">bedding and surround",
                ">surplus soil",
            ],
            rows,
        ),
        &format!(
            "Tamp beside the pipe in layers of {}, both sides at the same time, and not directly above the pipe. Lay a marker tape {} above it. Shore the sides of the trench or slope them, and keep soil and vehicles away from the edge. Find buried services first.",
            say.bore(LAYER_M),
            say.bore(TAPE_M)
        ),
    )
}

/// What the fill does, in words.
fn judged(a: &Afloat) -> String {
    match a.fill {
        Ok(fill) => format!(
            "{:.2} of {COVER_SAFETY:.2}{}",
            (fill.safety * 100.0 + 1e-9).floor() / 100.0,
            if a.floats() { ": not sufficient" } else { "" }
        ),
        Err(why) => format!("not calculated: {}", no_fill(why)),
    }
}
