//! Findings in order of harm, each with what to do and what it rests on.

use super::html::escaped;
use crate::basis;
use crate::finding::{Finding, Severity, Since};
use crate::report::words::{Say, advice, label, text};

/// A finding folded to a line; the first that forbids filling is open, and then the lesser ones are behind folds.
pub(super) fn list<'a>(
    findings: impl Iterator<Item = &'a Finding>,
    say: Say,
    plan: bool,
) -> String {
    let all: Vec<&Finding> = findings.collect();
    let first = all.iter().find(|f| f.severity == Severity::Stop);
    let told = |watch: bool| -> Vec<String> {
        all.iter()
            .filter(|f| (f.severity == Severity::Watch) == watch)
            .map(|f| one(f, say, plan, first.is_some_and(|s| s.number == f.number)))
            .collect()
    };
    let (grave, watch) = (told(false), told(true));
    if first.is_some() && all.len() > 2 {
        let stops = all.iter().filter(|f| f.severity == Severity::Stop).count();
        let (open, folded) = grave.split_at(stops.min(MOST_GRAVE));
        return together(open)
            + &behind(
                &[folded, watch.as_slice()].concat(),
                ("more finding", "more findings"),
            );
    }
    if all.len() <= MOST_OPEN || (watch.len() < 2 && grave.len() <= MOST_GRAVE) {
        return together(&[grave, watch].concat());
    }
    let (open, folded) = grave.split_at(grave.len().min(MOST_GRAVE));
    together(open)
        + &behind(
            folded,
            ("other point to correct", "other points to correct"),
        )
        + &behind(&watch, ("point to check", "points to check"))
}

/// Findings that stand in columns on paper.
fn together(all: &[String]) -> String {
    if all.is_empty() {
        return String::new();
    }
    format!("<div class=\"findings\">{}</div>", all.concat())
}

/// The same behind a fold that says how many there are.
fn behind(all: &[String], what: (&str, &str)) -> String {
    if all.is_empty() {
        return String::new();
    }
    let (one, many) = what;
    let what = if all.len() == 1 { one } else { many };
    format!(
        "<details class=\"fold paper\"><summary>{} {what}</summary>{}</details>",
        all.len(),
        together(all)
    )
}

/// More findings to correct than this have the others behind a fold: a question is one screen.
const MOST_GRAVE: usize = 8;

/// More findings of a question have those that are only to be checked behind a fold.
const MOST_OPEN: usize = 4;

/// Every finding in order of severity, each leading to where it is told.
pub(super) fn index(findings: &[Finding], say: Say) -> String {
    if findings.is_empty() {
        return "<p>No findings.</p>".to_owned();
    }
    let rows: String = findings
        .iter()
        .map(|f| {
            format!(
                "<li><a href=\"#F{n}\">F{n} {tag}: {}</a></li>",
                escaped(&name(f, say)),
                n = f.number,
                tag = label(f.severity.word()),
            )
        })
        .collect();
    format!("<ul class=\"index\">{rows}</ul>")
}

/// What a finding is called: its kind and its place.
pub(super) fn name(finding: &Finding, say: Say) -> String {
    format!(
        "{} {}",
        label(finding.kind.word()),
        say.reach(finding.from_m, finding.to_m)
    )
}

fn one(finding: &Finding, say: Say, plan: bool, is_open: bool) -> String {
    let severity = finding.severity.word();
    let topic = finding.kind.basis();
    let mut links = format!(
        "<a href=\"#at-F{}\">show it on the profile</a>",
        finding.number
    );
    if plan {
        links.push_str(&format!(
            " <a href=\"#plan-F{}\">on the plan</a>",
            finding.number
        ));
    }
    if basis::page(topic).is_some() {
        links.push_str(&format!(
            " <a href=\"#basis-{topic}\">calculation method</a>"
        ));
    }
    let old = match finding.since {
        Some(Since::Before) => "Existed before. ",
        Some(Since::New) => "New. ",
        None => "",
    };
    let sure = if finding.certainty < 0.995 && !finding.is_unsettled() {
        format!("Probability {}. ", say.share(finding.certainty))
    } else {
        String::new()
    };
    let memory = if finding.from_memory {
        "It uses a value that is not verified against its document. "
    } else {
        ""
    };
    let open = if is_open { " open" } else { "" };
    format!(
        "<details class=\"finding {severity}\"{open}><summary><span class=\"tag\">{tag}</span>F{n}: {}</summary><div id=\"F{n}\"><p>{}</p><p class=\"do\">{}</p><p class=\"small\">{old}{sure}{memory}<span class=\"links\">{links}</span></p></div></details>",
        escaped(&name(finding, say)),
        escaped(&text(finding, say)),
        escaped(&advice(finding, say)),
        tag = label(severity),
        n = finding.number,
    )
}
