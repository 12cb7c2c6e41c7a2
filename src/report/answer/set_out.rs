//! Where vents, drains and anchors go; what to buy, and in which order to work.

use super::question::listed;
use crate::laying::ShoppingItem;
use crate::mark::{Mark, Status};
use crate::pipe::MarkKind;
use crate::report::account::Report;
use crate::words::{Say, capital, kind_label};

/// Kinds in the order in which they are looked for.
const KINDS: [MarkKind; 10] = [
    MarkKind::Vent,
    MarkKind::Drain,
    MarkKind::Anchor,
    MarkKind::Block,
    MarkKind::Loop,
    MarkKind::ExpansionJoint,
    MarkKind::Strap,
    MarkKind::Support,
    MarkKind::Guide,
    MarkKind::Relief,
];

/// So many stations are named one by one.
const NAMED: usize = 3;

/// So many kinds stand in one sentence.
const IN_A_SENTENCE: usize = 3;

/// A list in sentences that can be read.
fn some(head: &str, all: &[String]) -> String {
    let parts: Vec<String> = all
        .chunks(IN_A_SENTENCE)
        .map(|few| few.join(", "))
        .collect();
    format!("{head}: {}.", parts.join(". Also: "))
}

pub(super) fn answer(account: &Report, say: Say) -> (String, Vec<String>) {
    let of = |standing| -> Vec<String> {
        KINDS
            .into_iter()
            .filter_map(|kind| {
                let mut own: Vec<&Mark> = account
                    .marks
                    .iter()
                    .filter(|m| m.kind == kind && m.standing == standing)
                    .collect();
                own.sort_by(|a, b| a.station_m.total_cmp(&b.station_m));
                group(&own, say)
            })
            .collect()
    };
    let (wanted, stands) = (of(Status::Proposed), of(Status::Existing));
    let line = if wanted.is_empty() {
        "Nothing more is required.".to_owned()
    } else {
        some("Required", &wanted)
    };
    let mut more = Vec::new();
    if !stands.is_empty() {
        more.push(some("Existing", &stands));
    }
    if !wanted.is_empty() {
        more.push(
            "marks.gpx leads a receiver to each point. Inspect the place before you install a part."
                .to_owned(),
        );
    }
    (line, more)
}

/// "2 vents (3 m, 407 m)"; "21 straps (362 m to 428 m)".
fn group(own: &[&Mark], say: Say) -> Option<String> {
    let (first, last) = (own.first()?, own.last()?);
    let name = kind_label(first.kind);
    let at = if own.len() <= NAMED {
        let all: Vec<String> = own.iter().map(|m| say.station(m.station_m)).collect();
        all.join(", ")
    } else {
        format!(
            "{} to {}",
            say.station(first.station_m),
            say.station(last.station_m)
        )
    };
    let many = if own.len() == 1 { "" } else { "s" };
    Some(format!("{} {name}{many} ({at})", own.len()))
}

pub(super) fn work(account: &Report, say: Say) -> (String, Vec<String>) {
    let study = &account.study;
    let mut pipes = Vec::new();
    let (mut others, mut mass_kg) = (0, 0.0);
    for row in study.laying.iter().flat_map(|l| &l.shopping) {
        mass_kg += row.mass_kg.into_iter().sum::<f64>();
        let unit = match row.item {
            ShoppingItem::Coil => "coils",
            ShoppingItem::Stick => "lengths",
            _ => {
                others += 1;
                continue;
            }
        };
        let each = row.each_m.map_or_else(String::new, |m| say.head(m));
        pipes.push(format!(
            "{:.0} {unit} of {each} {}",
            row.count + row.spare,
            row.spec
        ));
    }
    let items = match others {
        0 => None,
        1 => Some(format!(
            "1 {}item",
            if pipes.is_empty() { "" } else { "other " }
        )),
        n => Some(format!(
            "{n} {}items",
            if pipes.is_empty() { "" } else { "other " }
        )),
    };
    let mut all = pipes.clone();
    all.truncate(3);
    if pipes.len() > 3 {
        all.push(format!("{} more kinds of pipe", pipes.len() - 3));
    }
    all.extend(items);
    let line = if all.is_empty() {
        "Nothing to buy.".to_owned()
    } else {
        let mass = if mass_kg > 0.0 {
            format!(" (known mass {})", say.mass(mass_kg))
        } else {
            String::new()
        };
        format!("Buy {}{mass}.", all.join(", "))
    };
    let mut more = Vec::new();
    let steps: Vec<String> = study
        .air
        .iter()
        .flat_map(|air| air.work.chunk_by(|a, b| a.job == b.job))
        .filter_map(|steps| {
            let first = steps.first()?;
            let many = if steps.len() == 1 { "step" } else { "steps" };
            Some(format!("{} ({} {many})", first.job.word(), steps.len()))
        })
        .collect();
    if !steps.is_empty() {
        more.push(format!("Order of work: lay, then {}.", steps.join(", ")));
    }
    if !study.regrade.is_empty() {
        more.push("Regrade the rising sections before you join the pipe.".to_owned());
    }
    let price: f64 = study
        .laying
        .iter()
        .flat_map(|l| &l.shopping)
        .filter_map(|r| r.price)
        .sum();
    if price > 0.0 {
        more.push(format!(
            "{}.",
            capital(&format!("known prices add up to {price:.2}"))
        ));
    }
    if pipes.len() > 3 {
        more.push(format!("All pipe: {}.", listed(&pipes, 12)));
    }
    (line, more)
}
