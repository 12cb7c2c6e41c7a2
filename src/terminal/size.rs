//! Sizes side by side: the table for the terminal, and the same for a page.

use super::Columns;
use super::look::Look;
use crate::line::Line;
use crate::size::{JetChoice, SizeRow, Sizes};
use crate::unit::{Quantity, Units};
use crate::words::{ASIDE, Say, aside_word, largest_power};
use serde_json::{Value, json};

/// What stands over the rows of one choice of jets.
fn heading(choice: JetChoice) -> String {
    match choice {
        JetChoice::Declared => "Nozzles as declared:".to_owned(),
        JetChoice::Loss(share) => {
            format!("Nozzles for a head loss of {:.0} %:", share * 100.0)
        }
        JetChoice::Stream => "Nozzles for the available flow in the best month:".to_owned(),
        JetChoice::Largest => "Nozzles for the maximum power of each pipe:".to_owned(),
    }
}

/// Where classes change, each set of stations once: rows point to it by a letter.
struct Changes(Vec<Vec<f64>>);

impl Changes {
    fn letter(&mut self, row: &SizeRow) -> String {
        let ends = row.zones.split_last().map_or(&[][..], |(_, before)| before);
        let at: Vec<f64> = ends.iter().map(|(_, to, _)| to.round()).collect();
        if at.is_empty() {
            return String::new();
        }
        let place = self.0.iter().position(|c| *c == at).unwrap_or_else(|| {
            self.0.push(at);
            self.0.len() - 1
        });
        format!(" {}", letter(place))
    }
}

fn letter(place: usize) -> char {
    char::from(b'a' + u8::try_from(place % 26).unwrap_or(0))
}

fn classes(row: &SizeRow, changes: &mut Changes) -> String {
    let words: Vec<&str> = row
        .zones
        .iter()
        .map(|(_, _, p)| p.series.as_str())
        .collect();
    let head = words.first().map_or("", |w| w);
    // "SDR 26", "SDR 17", "SDR 11" as "SDR 26, 17, 11"
    let kind = head.split_once(' ').map_or("", |(kind, _)| kind);
    let rest = words.iter().skip(1).map(|w| {
        w.strip_prefix(kind)
            .map_or_else(|| (*w).to_owned(), |w| w.trim_start().to_owned())
    });
    let all: Vec<String> = std::iter::once(head.to_owned()).chain(rest).collect();
    format!("{}{}", all.join(", "), changes.letter(row))
}

/// The table: its heads, its rows, the words over the row where a choice of jets begins, and what is said below.
struct SizeTable {
    heads: Vec<&'static str>,
    rows: Vec<Vec<String>>,
    groups: Vec<(usize, JetChoice)>,
    notes: Vec<String>,
}

fn table(sizes: &Sizes, line: &Line, say: Say) -> SizeTable {
    let priced = sizes.rows.iter().any(|r| r.price.is_some());
    let mut changes = Changes(Vec::new());
    let mut heads = vec![
        "",
        "size",
        ">inside dia.",
        "class",
        "nozzles",
        ">flow",
        ">net head",
        ">head loss",
        ">speed",
        ">power",
        ">fouled",
        ">one size more",
        ">mass",
    ];
    if priced {
        heads.push(">price");
    }
    heads.push(">margin");
    let mut rows = Vec::new();
    let mut groups: Vec<(usize, JetChoice)> = Vec::new();
    for (i, row) in sizes.rows.iter().enumerate() {
        let before = i.checked_sub(1).and_then(|k| sizes.rows.get(k));
        if before.is_none_or(|b| b.choice != row.choice) {
            groups.push((i, row.choice));
        }
        rows.push(cells(row, priced, &mut changes, say));
    }
    SizeTable {
        notes: notes(sizes, &changes, line, say),
        heads,
        rows,
        groups,
    }
}

/// How many were worked out and are shown.
fn worked_out(sizes: &Sizes, title: &str) -> String {
    format!(
        "{title}: {} combinations of pipe and nozzles calculated, {} shown",
        sizes.screened,
        sizes.rows.len()
    )
}

/// The table with its words, for a page that shows it.
pub fn brief(sizes: &Sizes, title: &str, line: &Line, units: Units) -> Value {
    let table = table(sizes, line, Say::on(units, &line.geometry.pegs));
    let group = |at: usize| {
        table
            .groups
            .iter()
            .find(|g| g.0 == at)
            .map(|g| heading(g.1))
    };
    json!({
        "line": worked_out(sizes, title),
        "heads": table.heads.iter().map(|h| h.trim_start_matches('>')).collect::<Vec<_>>(),
        "rows": table.rows.iter().enumerate().map(|(i, cells)| json!({"over": group(i), "cells": cells})).collect::<Vec<_>>(),
        "notes": table.notes,
    })
}

/// The table for the terminal.
pub fn text(sizes: &Sizes, title: &str, line: &Line, units: Units, look: &Look) -> String {
    let whole = table(sizes, line, Say::on(units, &line.geometry.pegs));
    let groups = &whole.groups;
    let mut table = Columns::new(&whole.heads);
    for row in whole.rows {
        table.row(row);
    }
    let mut out = look.wrapped(&worked_out(sizes, title), 0, 2);
    // The mark of the declared line and the size name a row.
    for part in table.parts(2, look.width, 2) {
        let lines = part.text(2);
        let mut lines = lines.lines();
        out.push('\n');
        out.push_str(lines.next().unwrap_or(""));
        out.push('\n');
        for (i, one) in lines.enumerate() {
            if let Some((_, choice)) = groups.iter().find(|(at, _)| *at == i) {
                out.push_str(&look.wrapped(&heading(*choice), 0, 2));
            }
            out.push_str(one);
            out.push('\n');
        }
    }
    out.push('\n');
    for line in &whole.notes {
        out.push_str(&look.wrapped(line, 0, 2));
    }
    out
}

fn cells(row: &SizeRow, priced: bool, changes: &mut Changes, say: Say) -> Vec<String> {
    let jets = match (row.jets, row.nozzle_diameter_m) {
        (0, _) => "machine".to_owned(),
        (n, Some(d)) => format!("{n} x {}", say.bore(d)),
        (n, None) => format!("{n} different"),
    };
    let (head, power) = row.shown.as_ref().map_or_else(
        || (say.head(row.net_head_m), say.power(row.water_power_w)),
        |s| {
            (
                say.head_sd(row.net_head_m, s.net_head_sd_m),
                say.power_sd(row.water_power_w, s.water_power_sd_w),
            )
        },
    );
    // Jets pass as the root of the head: half its doubt, share for share.
    let flow_sd = row.shown.as_ref().map_or(0.0, |s| {
        0.5 * row.flow_m3_per_s * s.net_head_sd_m / row.net_head_m
    });
    let flow = say.held(Quantity::Flow, row.flow_m3_per_s, flow_sd);
    let power_sd_w = row.shown.as_ref().map_or(0.0, |s| s.water_power_sd_w);
    let slimed = say.held(Quantity::Power, row.slimed_power_w, power_sd_w);
    let mut out = vec![
        if row.declared { ">" } else { "" }.to_owned(),
        format!("{} {}", row.family.grade, row.family.size_label),
        say.bore(row.bore_m),
        classes(row, changes),
        jets,
        flow,
        format!(
            "{head}{}",
            if row.limited_station_m.is_some() {
                "#"
            } else {
                ""
            }
        ),
        say.share(row.loss_share),
        format!(
            "{}{}",
            say.speed(row.velocity_m_per_s),
            if row.too_fast { "!" } else { "" }
        ),
        power,
        slimed,
        row.gain_next_w
            .map_or_else(|| "-".to_owned(), |w| format!("+{}", say.power(w.max(0.0)))),
        say.mass(row.mass_kg),
    ];
    if priced {
        out.push(
            row.price
                .map_or_else(|| "-".to_owned(), |p| format!("{p:.0}")),
        );
    }
    out.push(row.shown.as_ref().map_or_else(
        || "-".to_owned(),
        |s| format!("{}{}", say.share(s.margin), if s.vapour { "*" } else { "" }),
    ));
    out
}

fn notes(sizes: &Sizes, changes: &Changes, line: &Line, say: Say) -> Vec<String> {
    let rows = &sizes.rows;
    let mut out: Vec<String> = changes
        .0
        .iter()
        .enumerate()
        .map(|(i, at)| format!("{} the class changes at {}.", letter(i), say.stations(at)))
        .collect();
    out.push("> the pipeline as declared. Power is hydraulic power. Fouled: with fouled pipe walls. One size more: the gain with nozzles selected in the same way.".to_owned());
    out.push("Margin: the unused share of the allowable pressure in all conditions and valve operations, with the survey uncertainty included. A margin under 0 means: too weak.".to_owned());
    let mut parts: Vec<&str> = rows
        .iter()
        .filter_map(|r| r.shown.as_ref())
        .flat_map(|s| s.parts_in.iter().map(String::as_str))
        .collect();
    parts.sort_unstable();
    parts.dedup();
    if !parts.is_empty() {
        out.push(format!(
            "* column separation in: {}. Its pressure cannot be calculated, and the margin does not include it. Operate more slowly: see the minimum safe time of `steadyfall check`.",
            parts.join(", ")
        ));
    }
    if rows.iter().any(|r| r.limited_station_m.is_some()) {
        out.push(
            "# part-full flow: a high point above the hydraulic grade line, or the stream, limits the flow."
                .to_owned(),
        );
    }
    if rows.iter().any(|r| r.too_fast) {
        out.push(format!(
            "! velocity over the limit of {}.",
            say.speed(line.wishes.limits.velocity_m_per_s)
        ));
    }
    out.push("A head loss of 10 to 15 % is usual (common practice, no source).".to_owned());
    if let Some(largest) = &sizes.largest {
        out.push(largest_power(largest, None, line.outlet.as_ref(), say));
    }
    if let Some(share) = sizes.drop_in_doubt {
        let known = if share < 1.0 {
            format!("to {} only", say.share(share))
        } else {
            "to about its own size".to_owned()
        };
        out.push(format!(
            "The elevation difference is known {known}: select classes after a better survey."
        ));
    }
    if !sizes.set_aside.is_empty() {
        let of = |word: &str| {
            let count = sizes
                .set_aside
                .iter()
                .filter(|a| aside_word(&a.why) == word)
                .count();
            (count > 0).then(|| format!("{count} {word}"))
        };
        let why: Vec<String> = ASIDE.into_iter().filter_map(of).collect();
        out.push(format!("Excluded: {}.", why.join(", ")));
    }
    out
}
