//! The answer in short, for a page that shows it beside what can be changed: the verdict, what to do first, the figures that people carry in
//! the head, and what stands ready to be tried. The words and figures are those of the report.

use super::account::{Report, StormReport, SurveyReport};
use super::first_screen as shown;
use crate::finding::Finding;
use crate::mark::{Mark, Status};
use crate::pipe::MarkKind;
use crate::unit::{OnPegs, Quantity};
use crate::words::{Say, label, survey_line, typeset, verdict_line, why_word};
use serde_json::{Map, Value, json};

/// Of a check.
pub fn of_check(account: &Report) -> Value {
    whole(account, &[])
}

/// Of a comparison: the line as it lies now.
pub fn of_storm(account: &StormReport) -> Value {
    whole(&account.after, &shown::tonight(account))
}

/// Of a survey alone.
pub fn of_survey(account: &SurveyReport) -> Value {
    let say = account.say();
    brief(&Brief {
        title: &account.title,
        class: shown::class_of_survey(account.surveyed.falls()),
        line: survey_line(&account.surveyed, say),
        findings: &account.findings,
        first: shown::first(&account.findings, &[], say),
        figures: shown::of_survey(&account.surveyed, say),
        tries: Vec::new(),
    })
}

fn whole(account: &Report, tonight: &[String]) -> Value {
    let say = account.say();
    let vents = account
        .marks
        .iter()
        .filter(|m| m.standing == Status::Proposed && m.kind == MarkKind::Vent);
    brief(&Brief {
        title: &account.study.line.heading.title,
        class: shown::class(account.verdict()),
        line: verdict_line(&account.findings, say),
        findings: &account.findings,
        first: shown::first(&account.findings, tonight, say),
        figures: shown::of_check(&account.study, say),
        tries: vents
            .map(|m| {
                vent(
                    m,
                    account.study.line.geometry.pegs.on_pegs(m.station_m),
                    say,
                )
            })
            .collect(),
    })
}

struct Brief<'a> {
    title: &'a str,
    class: &'static str,
    line: String,
    findings: &'a [Finding],
    first: (Vec<String>, usize),
    figures: Vec<(String, String, String)>,
    tries: Vec<Value>,
}

fn brief(of: &Brief<'_>) -> Value {
    let (first, more) = &of.first;
    let figures: Vec<Value> = of
        .figures
        .iter()
        .map(|(what, shown, note)| json!({"what": what, "shown": typeset(shown), "note": typeset(note)}))
        .collect();
    json!({
        "title": of.title,
        "class": of.class,
        "line": typeset(&of.line),
        "found": of.findings.len(),
        "first": first.iter().map(|f| typeset(f)).collect::<Vec<_>>(),
        "more": more,
        "figures": figures,
        "tries": of.tries,
    })
}

/// A vent that is wanted: what it is, and the keys of the site file that declare it.
fn vent(mark: &Mark, OnPegs(peg_m): OnPegs, say: Say) -> Value {
    let device = mark.device.map(crate::pipe::Device::word);
    let keys = [
        ("kind", Some("vent".to_owned())),
        ("at", Some(format!("{peg_m:.1} m"))),
        ("device", device.map(str::to_owned)),
        ("bore", mark.bore_m.map(|m| format!("{:.1} mm", m * 1000.0))),
        ("top", mark.top_m.map(|m| format!("{m:.2} m"))),
    ];
    let keys: Map<String, Value> = keys
        .into_iter()
        .filter_map(|(key, value)| Some((key.to_owned(), value?.into())))
        .collect();
    let words = [
        Some(say.station(mark.station_m)),
        device.map(|d| label(d).to_owned()),
        mark.bore_m.map(|m| say.bore(m)),
        mark.top_m.map(|m| say.held(Quantity::Length, m, 0.0)),
    ];
    let words: Vec<String> = words.into_iter().flatten().collect();
    json!({"table": "mark", "keys": keys, "text": words.join(", "), "why": why_word(mark.why)})
}
