//! The notes behind the figures: what is worked out, from which source, within which limits.

use super::notes::markup;
use crate::basis;
use crate::finding::Finding;
use maud::{Markup, html};

/// Notes that every check rests on.
pub(super) const CHECK: &[&str] = &[
    "heights", "climbs", "running", "friction", "air", "start-up", "surge", "strength", "collapse",
    "pipes",
];

/// Notes that a survey alone rests on.
pub(super) const SURVEY: &[&str] = &["survey-gps", "survey-books", "heights", "climbs"];

/// The notes of the findings first, in order of harm, then those that the figures rest on anyway; each once.
pub(super) fn notes(findings: &[Finding], always: &[&str]) -> Markup {
    let mut topics: Vec<&str> = Vec::new();
    let own = findings.iter().map(|f| f.kind.basis());
    for topic in own.chain(always.iter().copied()) {
        if !topics.contains(&topic) {
            topics.push(topic);
        }
    }
    html! {
        p class="small" { "A source marked \"from memory\" was not read again for this project. The findings mark each value that depends on it. Formulas and their limits are in SI units in all reports." }
        @for page in topics.into_iter().filter_map(basis::page) {
            details id={ "basis-" (page.topic) } { summary { (page.title()) } (sections(page.text)) }
        }
    }
}

/// A page below its title; which tests hold it is of use to those who build the program.
fn sections(text: &str) -> Markup {
    let below = text.split_once('\n').map_or(text, |(_, below)| below);
    html! {
        @for (i, part) in below.split("\n## ").enumerate() {
            @let (heading, body) = match i {
                0 => ("", part),
                _ => part.split_once('\n').unwrap_or((part, "")),
            };
            @if heading != "Checks" {
                @if !heading.is_empty() { h3 { (heading) } }
                (markup(body))
            }
        }
    }
}
