//! Tables of what is set out, dug and bought.

use super::markup::{HtmlCell, table};
use crate::laying::Count;
use crate::study::Study;
use crate::unit::{Figure, Quantity};
use crate::words::account::Report;
use crate::words::shopping::{item_word, unit_word};
use crate::words::{Say, device_word, kind_word, plan_word, standing_word, why_word};

/// What stands and what is wanted.
pub(super) fn marks(account: &Report, say: Say) -> String {
    let rows: Vec<Vec<HtmlCell>> = account
        .marks
        .iter()
        .filter(|m| m.kind != crate::pipe::MarkKind::Stake)
        .map(|m| {
            let size = [
                m.bore_m.map(|b| format!("bore {}", say.bore(b))),
                m.top_m
                    .map(|t| format!("top {} above the pipe", say.head(t))),
                m.force_n.map(|f| format!("holds {}", say.force(f))),
                m.volume_m3.map(|v| format!("concrete {}", say.concrete(v))),
                m.slack_m.map(|s| format!("slack of {}", say.head(s))),
            ];
            let size: Vec<String> = size.into_iter().flatten().collect();
            vec![
                HtmlCell::words(m.id.clone()),
                HtmlCell::words(m.device.map_or_else(|| kind_word(m.kind), device_word)),
                HtmlCell::words(standing_word(m.standing)),
                HtmlCell::figure(m.station_m, say.station(m.station_m)),
                HtmlCell::words(size.join(", ")),
                HtmlCell::maybe(m.turn.map(turn), |t| format!("{t:.0}")),
                HtmlCell::words(why_word(m.why)),
                HtmlCell::words(m.name.clone()),
            ]
        })
        .collect();
    table(
        "Marks",
        &[
            "number",
            "what",
            "state",
            ">station",
            "size",
            ">crew's turn",
            "why",
            "name",
        ],
        &rows,
    )
}

/// A turn as a figure to sort by.
fn turn(of: usize) -> f64 {
    f64::from(u32::try_from(of).unwrap_or(u32::MAX))
}

/// Stakes of the plan with the least work.
pub(super) fn stakes(study: &Study, say: Say) -> String {
    let mut out = String::new();
    let plans: Vec<Vec<HtmlCell>> = study
        .regrade
        .iter()
        .map(|p| {
            vec![
                HtmlCell::words(plan_word(p.kind)),
                HtmlCell::figure(p.cost, format!("{:.1}", p.cost)),
                HtmlCell::figure(p.deepest_m, say.head(p.deepest_m)),
                HtmlCell::figure(p.highest_m, say.head(p.highest_m)),
                HtmlCell::maybe(p.sure, |s| say.share(s)),
            ]
        })
        .collect();
    out.push_str(&table(
        "Ways to make it fall",
        &[
            "way",
            ">relative cost",
            ">deepest cut",
            ">highest prop",
            ">sure to fall",
        ],
        &plans,
    ));
    if let Some(plan) = study.regrade.first() {
        let rows: Vec<Vec<HtmlCell>> = plan
            .stakes
            .iter()
            .map(|s| {
                vec![
                    HtmlCell::figure(s.station_m, say.station(s.station_m)),
                    HtmlCell::figure(s.change_m, change(s.change_m, say)),
                    HtmlCell::maybe(s.extra_m, |e| change(e, say)),
                    HtmlCell::maybe(s.trench_m(), |d| say.head(d)),
                    HtmlCell::maybe(s.prop_m(), |h| say.head(h)),
                ]
            })
            .collect();
        out.push_str(&table(
            "Stakes of the first way",
            &[
                ">station",
                ">dig or prop the pipe's centre",
                ">more, to be nine in ten sure",
                ">trench below ground",
                ">underside above ground",
            ],
            &rows,
        ));
    }
    out
}

fn change(m: f64, say: Say) -> String {
    let size = Figure::new(Quantity::Length, m.abs()).show(say.units);
    if m.abs() < 5e-4 {
        "stays".to_owned()
    } else if m < 0.0 {
        format!("dig {size}")
    } else {
        format!("prop {size}")
    }
}

/// So many pieces, or so much concrete in the user's unit.
fn amount(unit: Count, count: f64, say: Say) -> String {
    match unit {
        Count::Pieces => format!("{count:.0} {}", unit_word(unit)),
        Count::CubicMetres => say.concrete(count),
    }
}

/// What to buy.
pub(super) fn shopping(study: &Study, say: Say) -> String {
    let Some(laying) = &study.laying else {
        return String::new();
    };
    let rows: Vec<Vec<HtmlCell>> = laying
        .shopping
        .iter()
        .map(|row| {
            vec![
                HtmlCell::words(item_word(&row.item)),
                HtmlCell::words(row.spec.clone()),
                HtmlCell::maybe(row.bore_m, |b| say.bore(b)),
                HtmlCell::figure(row.count, amount(row.unit, row.count, say)),
                HtmlCell::maybe(Some(row.spare).filter(|s| *s > 0.0), |s| {
                    amount(row.unit, s, say)
                }),
                HtmlCell::maybe(row.each_m, |m| say.head(m)),
                HtmlCell::maybe(row.left_m, |m| say.head(m)),
                HtmlCell::maybe(row.mass_kg, |kg| say.mass(kg)),
                HtmlCell::maybe(row.price, |p| format!("{p:.2}")),
                HtmlCell::maybe(row.rating_pa, |p| say.pressure(p)),
                HtmlCell::maybe(row.force_n, |f| say.force(f)),
                HtmlCell::words(if row.stations_m.len() > 8 {
                    format!("{} places", row.stations_m.len())
                } else {
                    say.stations(&row.stations_m)
                }),
            ]
        })
        .collect();
    table(
        "To buy",
        &[
            "item",
            "for or on",
            ">bore",
            ">count",
            ">spare",
            ">each",
            ">left over",
            ">mass",
            ">price",
            ">must take",
            ">must hold",
            "where",
        ],
        &rows,
    )
}
