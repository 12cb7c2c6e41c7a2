//! Tables of what is set out, dug and bought.

use super::markup::{HtmlCell, lean_table, list, more, table};
use crate::laying::{Count, ShoppingItem};
use crate::mark::Mark;
use crate::pipe::MarkKind;
use crate::regrade::RegradePlan;
use crate::report::account::Report;
use crate::study::Study;
use crate::unit::{Figure, Quantity};
use crate::view::drawn;
use crate::words::{Say, item_word, kind_label, label, why_word};
use maud::{Markup, html};

const HEADS: [&str; 8] = [
    "number",
    "what",
    "state",
    ">station",
    "size",
    ">sequence number",
    "purpose",
    "name",
];

/// What stands and what is wanted: rows of one kind as one, then every one of them behind a fold.
pub(super) fn marks(account: &Report, say: Say) -> Markup {
    let sets = drawn::sets(&account.marks);
    let rows = sets.iter().map(|set| {
        let mut cells = row(set.first, say);
        let id = &set.first.id;
        let mut number = HtmlCell::words(set.id()).named(format!("mark-{id}"));
        if set.first.kind != MarkKind::Joint {
            number = number.leads(format!("at-{id}"));
        }
        let where_to = set.last.map(|last| {
            HtmlCell::figure(
                set.first.station_m,
                format!(
                    "{}: {}",
                    set.count,
                    say.reach(set.first.station_m, last.station_m)
                ),
            )
        });
        if let Some(cell) = cells.get_mut(0) {
            *cell = number;
        }
        if let (Some(cell), Some(places)) = (cells.get_mut(3), where_to) {
            *cell = places;
        }
        cells
    });
    let each = || account.marks.iter().filter(|m| m.kind != MarkKind::Stake);
    let all = lean_table("Each device", &HEADS, each().map(|m| row(m, say)));
    html! {
        (lean_table("Devices and points", &HEADS, rows))
        @if sets.iter().any(|s| s.last.is_some()) { (more(&format!("Each device: {} rows", each().count()), all)) }
    }
}

fn row(m: &Mark, say: Say) -> Vec<HtmlCell> {
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
        HtmlCell::words(m.id.clone()),
        HtmlCell::words(
            m.device
                .map_or_else(|| kind_label(m.kind), |d| label(d.word())),
        ),
        HtmlCell::words(label(m.standing.word())),
        HtmlCell::figure(m.station_m, say.station(m.station_m)),
        HtmlCell::words(size.join(", ")),
        HtmlCell::maybe(m.turn.map(turn), |t| format!("{t:.0}")),
        HtmlCell::words(why_word(m.why)),
        HtmlCell::words(m.name.clone()),
    ]
}

/// A turn as a figure to sort by.
fn turn(of: usize) -> f64 {
    f64::from(u32::try_from(of).unwrap_or(u32::MAX))
}

/// Stakes of the plan with the least work.
pub(super) fn stakes(study: &Study, say: Say) -> Markup {
    let plans = study.regrade.iter().map(|p| {
        vec![
            HtmlCell::words(p.kind.word()),
            HtmlCell::figure(p.cost, format!("{:.1}", p.cost)),
            HtmlCell::figure(p.deepest_m, say.head(p.deepest_m)),
            HtmlCell::figure(p.highest_m, say.head(p.highest_m)),
            HtmlCell::maybe(p.sure, |s| say.share(s)),
            with_extra(p, say),
        ]
    });
    let plans = table(
        "Regrading plans",
        &[
            "plan",
            ">relative cost",
            ">deepest cut",
            ">highest lift",
            ">probability of fall",
            ">with the additional amount",
        ],
        plans,
    );
    html! { (plans) @if let Some(plan) = study.regrade.first() { (stakes_of(plan, say)) } }
}

fn stakes_of(plan: &RegradePlan, say: Say) -> Markup {
    let rows = plan.stakes.iter().map(|s| {
        vec![
            HtmlCell::figure(s.station_m, say.station(s.station_m)),
            HtmlCell::figure(s.change_m, change(s.change_m, say)),
            HtmlCell::maybe(s.extra_m, |e| change(e, say)),
            HtmlCell::maybe(s.trench_m(), |d| say.head(d)),
            HtmlCell::maybe(s.prop_m(), |h| say.head(h)),
        ]
    });
    table(
        "Set-out stakes of the first plan",
        &[
            ">station",
            ">dig or raise the pipe centre",
            ">additional, for 90 % confidence",
            ">trench below ground",
            ">clearance under the pipe",
        ],
        rows,
    )
}

/// The probability of fall with the stakes' additional amount; in words where no amount makes nine in ten of the lines fall.
fn with_extra(plan: &RegradePlan, say: Say) -> HtmlCell {
    match (plan.sure_with_extra, plan.sure) {
        (None, Some(_)) => HtmlCell::words("90 % not reached"),
        (share, _) => HtmlCell::maybe(share, |s| say.share(s)),
    }
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
        Count::Pieces => format!("{count:.0} {}", unit.word()),
        Count::CubicMetres => say.concrete(count),
        Count::Metres => say.paced(count),
    }
}

/// What to buy.
pub(super) fn shopping(study: &Study, say: Say) -> Markup {
    let Some(laying) = &study.laying else {
        return Markup::default();
    };
    let rows = laying.shopping.iter().map(|row| {
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
            HtmlCell::maybe(row.one_kg(), |kg| say.mass(kg)),
            HtmlCell::maybe(row.mass_kg, |kg| say.mass(kg)),
            HtmlCell::maybe(row.price, |p| format!("{p:.2}")),
            HtmlCell::maybe(row.rating_pa, |p| match row.item {
                ShoppingItem::Coil | ShoppingItem::Stick => say.pressure(p),
                _ => say.at_least(Quantity::Pressure, p),
            }),
            HtmlCell::maybe(row.force_n, |f| say.force(f)),
            HtmlCell::words(if row.stations_m.len() > 8 {
                format!("{} places", row.stations_m.len())
            } else {
                say.stations(&row.stations_m)
            }),
        ]
    });
    let mut notes = vec!["Pressure rating: for pipe its class. For other parts, buy a part that is rated for this pressure or more: it is the largest pressure at that place, the test included.".to_owned()];
    notes.push("Spare: 1 straight length in 50, 1 coupler, gasket or bolt in 20, 10 % of the concrete, at least one of each. This is common practice, without a source.".to_owned());
    let heaviest = laying
        .shopping
        .iter()
        .filter_map(|r| r.one_kg())
        .fold(0.0, f64::max);
    if heaviest > LIFTED_KG {
        notes.push(format!(
            "The heaviest part has a mass of {}. One person lifts {} or less: use a lifting aid, and do not go below a load.",
            say.mass(heaviest),
            say.mass(LIFTED_KG)
        ));
    }
    let priced: Vec<f64> = laying.shopping.iter().filter_map(|r| r.price).collect();
    if !priced.is_empty() {
        notes.push(format!(
            "Prices: {:.2} in total, for {} of {} rows.",
            priced.iter().sum::<f64>(),
            priced.len(),
            laying.shopping.len()
        ));
    }
    let bought = lean_table(
        "To buy",
        &[
            "item",
            "use",
            ">inside diameter",
            ">count",
            ">spare",
            ">each",
            ">remaining length",
            ">mass of one",
            ">mass",
            ">price",
            ">pressure rating",
            ">required strength",
            "where",
        ],
        rows,
    );
    html! { @if !bought.0.is_empty() { (bought) (list(&notes)) } }
}

/// What one person lifts in good conditions (ISO 11228-1, reference mass, from memory), kg.
const LIFTED_KG: f64 = 25.0;
