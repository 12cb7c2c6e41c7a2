//! Findings in order of harm, each with what to do and what it rests on.

use super::html::escaped;
use crate::basis;
use crate::finding::{Finding, Since};
use crate::report::words::{Say, advice, label, severity_word, text};

pub(super) fn list(findings: &[Finding], say: Say) -> String {
    if findings.is_empty() {
        return "<p>No findings.</p>".to_owned();
    }
    findings.iter().map(|f| one(f, say)).collect()
}

fn one(finding: &Finding, say: Say) -> String {
    let severity = severity_word(finding.severity);
    let topic = finding.kind.basis();
    let note = if basis::page(topic).is_some() {
        format!("<a href=\"#basis-{topic}\">calculation method</a>")
    } else {
        String::new()
    };
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
    format!(
        "<article class=\"finding {severity}\" id=\"F{n}\"><h3><span class=\"tag\">{tag}</span>F{n}: {} {}</h3><p>{}</p><p class=\"do\">{}</p><p class=\"small\">{old}{sure}{memory}{note}</p></article>",
        escaped(label(finding.kind.word())),
        escaped(&say.reach(finding.from_m, finding.to_m)),
        escaped(&text(finding, say)),
        escaped(&advice(finding, say)),
        tag = label(severity),
        n = finding.number,
    )
}
