//! The first screen: the verdict in words, what to do first, the figures a person carries in the head.

use super::markup::escaped;
use crate::finding::{Finding, Severity, Verdict};
use crate::study::{Falls, Study, Surveyed};
use crate::unit::Quantity;
use crate::words::{Say, advice, start_word};

/// How many things to do first are named on the first screen.
const FIRST: usize = 3;

/// The class that colours a verdict.
pub(super) fn class(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Runs => "runs",
        Verdict::Fix => "fix",
        Verdict::Stop => "stop",
        Verdict::NotSettled => "unsettled",
    }
}

/// The same of a survey alone.
pub(super) fn class_of_survey(falls: Falls) -> &'static str {
    match falls {
        Falls::Falls => "runs",
        Falls::Climbs => "fix",
        Falls::CannotTell => "unsettled",
    }
}

pub(super) fn head(
    title: &str,
    line: &str,
    class: &str,
    findings: &[Finding],
    tonight: &[String],
    say: Say,
) -> String {
    let mut first: Vec<String> = Vec::new();
    for finding in findings.iter().filter(|f| f.severity > Severity::Watch) {
        let words = if finding.is_unsettled() {
            advice(finding, say)
        } else {
            format!(
                "{} {}: {}",
                capital(finding.kind.word()),
                say.reach(finding.from_m, finding.to_m),
                advice(finding, say)
            )
        };
        if !first.contains(&words) {
            first.push(words);
        }
    }
    if !tonight.is_empty() {
        first = tonight.to_vec();
    }
    // Findings stand in full below; tonight's lines, ten at most, are read here.
    let most = if tonight.is_empty() {
        FIRST
    } else {
        first.len()
    };
    let rest = first.len().saturating_sub(most);
    first.truncate(most);
    let mut todo: String = first
        .iter()
        .map(|w| format!("<li>{}</li>", escaped(w)))
        .collect();
    if rest > 0 {
        todo.push_str(&format!("<li><a href=\"#found\">and {rest} more</a></li>"));
    }
    let todo = if todo.is_empty() {
        "<p>Nothing was found that is to be put right first. Read the cautions before filling.</p>"
            .to_owned()
    } else {
        format!(
            "<p><strong>{}</strong></p><ol class=\"first\"{}>{todo}</ol>",
            if tonight.is_empty() {
                "Do first"
            } else {
                "Tonight"
            },
            if tonight.is_empty() {
                ""
            } else {
                " id=\"tonight\""
            }
        )
    };
    format!(
        "<header><h1>{}</h1>\n<div class=\"verdict {class}\" role=\"status\"><p>{}</p>{todo}</div></header>\n",
        escaped(title),
        escaped(line)
    )
}

fn capital(words: &str) -> String {
    let mut words = words.to_owned();
    if let Some(letter) = words.get_mut(0..1) {
        letter.make_ascii_uppercase();
    }
    words
}

/// The key figures.
pub(super) fn key(figures: &[(String, String, String)]) -> String {
    let rows: String = figures
        .iter()
        .map(|(head, value, small)| {
            let small = if small.is_empty() {
                String::new()
            } else {
                format!("<small>{}</small>", escaped(small))
            };
            format!(
                "<div><dt>{}</dt><dd>{}{small}</dd></div>",
                escaped(head),
                escaped(value)
            )
        })
        .collect();
    format!("<dl class=\"key\">{rows}</dl>\n")
}

pub(super) fn of_check(study: &Study, say: Say) -> Vec<(String, String, String)> {
    let line = &study.line;
    let mut out = vec![
        row("length", say.head_sd(line.length_m(), line.length_sd_m), ""),
        row(
            "drop",
            say.head_sd(line.drop_m(), line.heights.drop_sd_m),
            "",
        ),
    ];
    if let Some(shut) = study.cases.shut() {
        out.push(row(
            "head",
            say.head_sd(shut.gross_head_m, shut.gross_head_sd_m),
            "still water to the nozzles",
        ));
        out.push(row(
            "standing pressure",
            say.pressure_sd(shut.pressure_turbine_pa, shut.pressure_turbine_sd_pa),
            "at the turbine, shut",
        ));
    }
    if let Some(run) = study.cases.largest_flow().filter(|r| r.flows()) {
        let flow = say.flow_sd(run.flow_m3_per_s, run.flow_sd_m3_per_s);
        out.push(row("flow", flow, &run.state().to_string()));
        out.push(row(
            "net head",
            say.head_sd(run.net_head_m, run.net_head_sd_m),
            &format!("{} lost on the way", say.share(run.loss_share())),
        ));
        out.push(row(
            "running pressure",
            say.pressure_sd(run.pressure_turbine_pa, run.pressure_turbine_sd_pa),
            "at the turbine",
        ));
        out.push(row(
            "power of the water",
            say.power_sd(run.water_power_w, run.water_power_sd_w),
            "",
        ));
        if let Some(s) = run.slimed {
            out.push(row(
                "slimed",
                say.held(Quantity::Power, s.water_power_w, run.water_power_sd_w),
                &format!(
                    "in the water, at {}",
                    say.held(Quantity::Flow, s.flow_m3_per_s, run.flow_sd_m3_per_s)
                ),
            ));
        }
        if let Some(e) = run.electrical {
            let (middle, (low, high)) = say.electrical_parts(&e);
            out.push(row("electrical", middle, &format!("{low} to {high}")));
        }
    }
    if let Some(air) = &study.air {
        out.push(row(
            "start after draining",
            start_word(air.start.verdict).to_owned(),
            &format!("with nobody there: {}", start_word(air.unattended.verdict)),
        ));
    }
    if let Some(strength) = &study.strength {
        let worst = strength
            .reaches
            .iter()
            .filter_map(|r| r.use_high)
            .reduce(f64::max);
        if let Some(worst) = worst {
            out.push(row(
                "pipe in use",
                say.share(worst),
                "of what it may take, doubt counted",
            ));
        }
    }
    out
}

pub(super) fn of_survey(surveyed: &Surveyed, say: Say) -> Vec<(String, String, String)> {
    let route = &surveyed.route;
    let drop = route
        .heights
        .mean_m
        .first()
        .zip(route.heights.mean_m.last())
        .map_or(0.0, |(a, b)| a - b);
    vec![
        row(
            "length",
            say.head_sd(
                route.nodes.last().map_or(0.0, |n| n.station_m),
                route.length_sd_m,
            ),
            "",
        ),
        row("drop", say.head_sd(drop, route.heights.drop_sd_m), ""),
        row(
            "climbs somewhere",
            say.share(surveyed.profile.climb_probability),
            "sure",
        ),
        row(
            "judged by",
            say.bore(surveyed.bore_m),
            "a climb is a rise of more than half this bore",
        ),
    ]
}

fn row(head: &str, value: String, small: &str) -> (String, String, String) {
    (head.to_owned(), value, small.to_owned())
}
