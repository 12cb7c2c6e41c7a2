//! The notes behind the figures: what is worked out, from which source, within which limits.

use super::markup::escaped;
use super::notes::markup;
use crate::basis;
use crate::finding::Finding;

/// Notes that every check rests on.
pub(super) const CHECK: &[&str] = &[
    "heights", "climbs", "running", "friction", "air", "start-up", "surge", "strength", "collapse",
    "pipes",
];

/// Notes that a survey alone rests on.
pub(super) const SURVEY: &[&str] = &["survey-gps", "survey-books", "heights", "climbs"];

/// The notes of the findings first, in order of harm, then those that the figures rest on anyway; each once.
pub(super) fn notes(findings: &[Finding], always: &[&str]) -> String {
    let mut topics: Vec<&str> = Vec::new();
    for topic in findings
        .iter()
        .map(|f| f.kind.basis())
        .chain(always.iter().copied())
    {
        if !topics.contains(&topic) {
            topics.push(topic);
        }
    }
    let mut out = String::from(
        "<p class=\"small\">A source that is marked \"from memory\" was not read again for this project; figures that rest on it are marked in the findings. Formulas and their limits stand in SI, whatever units the rest of the page has.</p>",
    );
    for page in topics.into_iter().filter_map(basis::page) {
        out.push_str(&format!(
            "<details id=\"basis-{}\"><summary>{}</summary>",
            page.topic,
            escaped(page.title())
        ));
        let mut rest = page.text;
        if let Some((_, after)) = rest.split_once('\n') {
            rest = after;
        }
        for part in rest.split("\n## ") {
            let (heading, body) = if part.starts_with('\n') || rest.starts_with(part) {
                ("", part)
            } else {
                part.split_once('\n').unwrap_or((part, ""))
            };
            // Which tests hold it is of use to those who build the program.
            if heading == "Checks" {
                continue;
            }
            if !heading.is_empty() {
                out.push_str(&format!("<h3>{}</h3>", escaped(heading)));
            }
            out.push_str(&markup(body));
        }
        out.push_str("</details>");
    }
    out
}
