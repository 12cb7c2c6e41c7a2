//! What stands on the first screen, in the page and in brief: how the verdict is coloured, what to do first, the figures a person carries in the head.

use super::account::StormReport;
use crate::finding::{Finding, Severity, Verdict};
use crate::numeric::series;
use crate::study::{Falls, JudgedSurvey, Study};
use crate::unit::Quantity;
use crate::words::{Say, advice, capital, label, start_label, storm};

/// How many things to do first are named on the first screen.
const FIRST: usize = 3;

/// The class that colours a verdict.
pub(crate) fn class(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Runs => "runs",
        Verdict::Fix => "fix",
        Verdict::Stop => "stop",
        Verdict::NotSettled => "unsettled",
    }
}

/// The same of a survey alone.
pub(crate) fn class_of_survey(falls: Falls) -> &'static str {
    match falls {
        Falls::Falls => "runs",
        Falls::Climbs => "fix",
        Falls::CannotTell => "unsettled",
    }
}

/// What to do tonight, the most pressing first.
pub(crate) fn tonight(account: &StormReport) -> Vec<String> {
    storm::tonight(
        &account.compared,
        &account.after.study.line.stands,
        account.after.say(),
    )
}

/// What to do first, and how many more things there are to do.
pub(crate) fn first(findings: &[Finding], tonight: &[String], say: Say) -> (Vec<String>, usize) {
    // What asks for the same is told once, with each of its places.
    let mut told: Vec<(Vec<String>, String)> = Vec::new();
    for finding in findings.iter().filter(|f| f.severity > Severity::Watch) {
        let place = (!finding.is_unsettled()).then(|| {
            format!(
                "{} {}",
                label(finding.kind.word()),
                say.reach(finding.from_m, finding.to_m)
            )
        });
        let act = advice(finding, say);
        match told.iter_mut().find(|(_, other)| *other == act) {
            Some((places, _)) => places.extend(place),
            None => told.push((place.into_iter().collect(), act)),
        }
    }
    let mut first: Vec<String> = told
        .into_iter()
        .map(|(mut places, act)| {
            places.dedup();
            if places.is_empty() {
                act
            } else {
                format!("{}: {act}", capital(&places.join("; ")))
            }
        })
        .collect();
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
    (first, rest)
}

/// The key figures of a check: what, how much, and a note.
pub(crate) fn of_check(study: &Study, say: Say) -> Vec<(String, String, String)> {
    let line = &study.line;
    let mut out = vec![
        row(
            "length",
            say.head_sd(line.geometry.length_m(), line.geometry.length_sd_m),
            "",
        ),
        row(
            "elevation difference",
            say.head_sd(line.geometry.drop_m(), line.geometry.heights.drop_sd_m),
            "",
        ),
    ];
    if let Some(shut) = study.cases.shut() {
        out.push(row(
            "gross head",
            say.head_sd(shut.gross_head_m, shut.gross_head_sd_m),
            "static water level to the nozzles",
        ));
        out.push(row(
            "static pressure",
            say.pressure_sd(shut.pressure_turbine_pa, shut.pressure_turbine_sd_pa),
            "at the turbine, no flow",
        ));
    }
    if let Some(run) = study.cases.largest_flow().filter(|r| r.flows()) {
        let flow = say.flow_sd(run.flow_m3_per_s, run.flow_sd_m3_per_s);
        out.push(row("flow", flow, &run.state().to_string()));
        out.push(row(
            "net head",
            say.head_sd(run.net_head_m, run.net_head_sd_m),
            &format!("head loss {}", say.share(run.loss_share())),
        ));
        out.push(row(
            "operating pressure",
            say.pressure_sd(run.pressure_turbine_pa, run.pressure_turbine_sd_pa),
            "at the turbine",
        ));
        out.push(row(
            "hydraulic power",
            say.power_sd(run.water_power_w, run.water_power_sd_w),
            "",
        ));
        if let Some(s) = run.aged {
            out.push(row(
                "fouled pipe",
                say.held(Quantity::Power, s.water_power_w, run.water_power_sd_w),
                &format!(
                    "hydraulic power, at {}",
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
            "restart after draining",
            start_label(air.start.verdict).to_owned(),
            &format!("with nobody there: {}", start_label(air.unattended.verdict)),
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
                "pipe utilization",
                say.share(worst),
                "of the allowable pressure, with uncertainty included",
            ));
        }
    }
    out
}

/// The same of a survey alone.
pub(crate) fn of_survey(surveyed: &JudgedSurvey, say: Say) -> Vec<(String, String, String)> {
    let route = &surveyed.route;
    let drop = series::first(&route.heights.mean_m) - series::last(&route.heights.mean_m);
    vec![
        row(
            "length",
            say.head_sd(route.length_m(), route.length_sd_m),
            "",
        ),
        row(
            "elevation difference",
            say.head_sd(drop, route.heights.drop_sd_m),
            "",
        ),
        row(
            "rises somewhere",
            say.share(surveyed.profile.climb_probability),
            "probability",
        ),
        row(
            "threshold",
            say.bore(surveyed.bore_m),
            "a rising section rises more than half this inside diameter",
        ),
    ]
}

fn row(head: &str, value: String, small: &str) -> (String, String, String) {
    (head.to_owned(), value, small.to_owned())
}
