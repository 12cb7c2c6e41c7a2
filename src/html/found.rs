//! Findings in order of harm, each with what to do and what it rests on.

use super::markup::paper_more;
use crate::basis;
use crate::finding::{Finding, Severity, Since};
use crate::words::{Say, advice, label, text};
use maud::{Markup, html};

/// A finding folded to a line; the first that forbids filling is open, and then the lesser ones are behind folds.
pub(super) fn list<'a>(
    findings: impl Iterator<Item = &'a Finding>,
    say: Say,
    plan: bool,
) -> Markup {
    let all: Vec<&Finding> = findings.collect();
    let first = all.iter().find(|f| f.severity == Severity::Stop);
    let told = |watch: bool| -> Vec<Markup> {
        all.iter()
            .filter(|f| (f.severity == Severity::Watch) == watch)
            .map(|f| one(f, say, plan, first.is_some_and(|s| s.number == f.number)))
            .collect()
    };
    let (grave, watch) = (told(false), told(true));
    if first.is_some() && all.len() > 2 {
        let stops = all.iter().filter(|f| f.severity == Severity::Stop).count();
        let (open, folded) = grave.split_at(stops.min(MOST_GRAVE));
        return html! {
            (together(open))
            (behind(&[folded, watch.as_slice()].concat(), ("more finding", "more findings")))
        };
    }
    if all.len() <= MOST_OPEN || (watch.len() < 2 && grave.len() <= MOST_GRAVE) {
        return together(&[grave, watch].concat());
    }
    let (open, folded) = grave.split_at(grave.len().min(MOST_GRAVE));
    html! {
        (together(open))
        (behind(folded, ("other point to correct", "other points to correct")))
        (behind(&watch, ("point to check", "points to check")))
    }
}

/// Findings that stand in columns on paper.
fn together(all: &[Markup]) -> Markup {
    html! { @if !all.is_empty() { div class="findings" { @for one in all { (one) } } } }
}

/// The same behind a fold that says how many there are.
fn behind(all: &[Markup], (one, many): (&str, &str)) -> Markup {
    let what = if all.len() == 1 { one } else { many };
    paper_more(&format!("{} {what}", all.len()), together(all))
}

/// More findings to correct than this have the others behind a fold: a question is one screen.
const MOST_GRAVE: usize = 8;

/// More findings of a question have those that are only to be checked behind a fold.
const MOST_OPEN: usize = 4;

/// Every finding in order of severity, each leading to where it is told.
pub(super) fn index(findings: &[Finding], say: Say) -> Markup {
    if findings.is_empty() {
        return html! { p { "No findings." } };
    }
    html! {
        ul class="index" {
            @for f in findings {
                li { a href={ "#F" (f.number) } { "F" (f.number) " " (label(f.severity.word())) ": " (name(f, say)) } }
            }
        }
    }
}

/// What a finding is called: its kind and its place.
pub(super) fn name(finding: &Finding, say: Say) -> String {
    format!(
        "{} {}",
        label(finding.kind.word()),
        say.reach(finding.from_m, finding.to_m)
    )
}

fn one(finding: &Finding, say: Say, plan: bool, is_open: bool) -> Markup {
    let n = finding.number;
    let severity = finding.severity.word();
    let topic = finding.kind.basis();
    html! {
        details class={ "finding " (severity) } open[is_open] {
            summary { span class="tag" { (label(severity)) } "F" (n) ": " (name(finding, say)) }
            div id={ "F" (n) } {
                p { (text(finding, say)) }
                p class="do" { (advice(finding, say)) }
                p class="small" {
                    @match finding.since {
                        Some(Since::Before) => { "Existed before. " }
                        Some(Since::New) => { "New. " }
                        None => {}
                    }
                    @if finding.certainty < 0.995 && !finding.is_unsettled() { "Probability " (say.share(finding.certainty)) ". " }
                    @if finding.from_memory { "It uses a value that is not verified against its document. " }
                    span class="links" {
                        a href={ "#at-F" (n) } { "show it on the profile" }
                        @if plan { " " a href={ "#plan-F" (n) } { "on the plan" } }
                        @if basis::page(topic).is_some() { " " a href={ "#basis-" (topic) } { "calculation method" } }
                    }
                }
            }
        }
    }
}
