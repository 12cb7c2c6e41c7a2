//! Tables of what is set out, dug and bought.

use super::html::{Cell, table};
use crate::laying::Count;
use crate::report::account::Account;
use crate::report::json;
use crate::report::shopping::{item_word, unit_word};
use crate::report::words::{Say, device_word, kind_label, label, standing_word, why_word};
use crate::study::Study;
use crate::unit::{Figure, Quantity};

/// What stands and what is wanted.
pub(super) fn marks(account: &Account, say: Say) -> String {
    let rows: Vec<Vec<Cell>> = account
        .marks
        .iter()
        .filter(|m| m.kind != crate::pipe::MarkKind::Stake)
        .map(|m| {
            let size = [
                m.bore_m.map(|b| format!("inside diameter {}", say.bore(b))),
                m.top_m
                    .map(|t| format!("top {} above the pipe", say.head(t))),
                m.force_n.map(|f| format!("strength {}", say.force(f))),
                m.volume_m3.map(|v| format!("concrete {}", say.concrete(v))),
                m.slack_m
                    .map(|s| format!("expansion allowance {}", say.head(s))),
            ];
            let size: Vec<String> = size.into_iter().flatten().collect();
            vec![
                Cell::words(m.id.clone()),
                Cell::words(
                    m.device
                        .map_or_else(|| kind_label(m.kind), |d| label(device_word(d))),
                ),
                Cell::words(label(standing_word(m.standing))),
                Cell::figure(m.station_m, say.station(m.station_m)),
                Cell::words(size.join(", ")),
                Cell::maybe(m.turn.map(turn), |t| format!("{t:.0}")),
                Cell::words(why_word(m.why)),
                Cell::words(m.name.clone()),
            ]
        })
        .collect();
    table(
        "Devices and points",
        &[
            "number",
            "what",
            "state",
            ">station",
            "size",
            ">sequence number",
            "purpose",
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
    let plans: Vec<Vec<Cell>> = study
        .regrade
        .iter()
        .map(|p| {
            vec![
                Cell::words(json::plan_word(p.kind)),
                Cell::figure(p.cost, format!("{:.1}", p.cost)),
                Cell::figure(p.deepest_m, say.head(p.deepest_m)),
                Cell::figure(p.highest_m, say.head(p.highest_m)),
                Cell::maybe(p.sure, |s| say.share(s)),
            ]
        })
        .collect();
    out.push_str(&table(
        "Regrading plans",
        &[
            "plan",
            ">relative cost",
            ">deepest cut",
            ">highest lift",
            ">probability of fall",
        ],
        &plans,
    ));
    if let Some(plan) = study.regrade.first() {
        let rows: Vec<Vec<Cell>> = plan
            .stakes
            .iter()
            .map(|s| {
                vec![
                    Cell::figure(s.station_m, say.station(s.station_m)),
                    Cell::figure(s.change_m, change(s.change_m, say)),
                    Cell::maybe(s.extra_m, |e| change(e, say)),
                    Cell::maybe(s.trench_m(), |d| say.head(d)),
                    Cell::maybe(s.prop_m(), |h| say.head(h)),
                ]
            })
            .collect();
        out.push_str(&table(
            "Set-out stakes of the first plan",
            &[
                ">station",
                ">dig or raise the pipe centre",
                ">additional, for 90 % confidence",
                ">trench below ground",
                ">clearance under the pipe",
            ],
            &rows,
        ));
    }
    out
}

fn change(m: f64, say: Say) -> String {
    let size = Figure::new(Quantity::Length, m.abs()).show(say.units);
    if m.abs() < 5e-4 {
        "no change".to_owned()
    } else if m < 0.0 {
        format!("dig {size}")
    } else {
        format!("raise {size}")
    }
}

/// So many pieces, or so much concrete in the user's unit.
fn amount(unit: Count, count: f64, say: Say) -> String {
    match unit {
        Count::Pieces if count == 1.0 => "1 piece".to_owned(),
        Count::Pieces => format!("{count:.0} {}", unit_word(unit)),
        Count::CubicMetres => say.concrete(count),
        Count::Metres => say.paced(count),
    }
}

/// What to buy.
pub(super) fn shopping(study: &Study, say: Say) -> String {
    let Some(laying) = &study.laying else {
        return String::new();
    };
    let rows: Vec<Vec<Cell>> = laying
        .shopping
        .iter()
        .map(|row| {
            vec![
                Cell::words(item_word(&row.item)),
                Cell::words(row.spec.clone()),
                Cell::maybe(row.bore_m, |b| say.bore(b)),
                Cell::figure(row.count, amount(row.unit, row.count, say)),
                Cell::maybe(Some(row.spare).filter(|s| *s > 0.0), |s| {
                    amount(row.unit, s, say)
                }),
                Cell::maybe(row.each_m, |m| say.head(m)),
                Cell::maybe(row.left_m, |m| say.head(m)),
                Cell::maybe(row.mass_kg, |kg| say.mass(kg)),
                Cell::maybe(row.price, |p| format!("{p:.2}")),
                Cell::maybe(row.rating_pa, |p| say.pressure(p)),
                Cell::maybe(row.force_n, |f| say.force(f)),
                Cell::words(if row.stations_m.len() > 8 {
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
            "use",
            ">inside diameter",
            ">count",
            ">spare",
            ">each",
            ">remaining length",
            ">mass",
            ">price",
            ">required rating",
            ">required strength",
            "where",
        ],
        &rows,
    )
}
