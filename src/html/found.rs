//! Findings in order of harm, each with what to do and what it rests on.

use super::markup::escaped;
use crate::basis;
use crate::finding::{Finding, Since};
use crate::words::{Say, advice, severity_word, text};

pub(super) fn list(findings: &[Finding], say: Say) -> String {
    if findings.is_empty() {
        return "<p>Nothing was found.</p>".to_owned();
    }
    findings.iter().map(|f| one(f, say)).collect()
}

fn one(finding: &Finding, say: Say) -> String {
    let severity = severity_word(finding.severity);
    let topic = finding.kind.basis();
    let note = if basis::page(topic).is_some() {
        format!("<a href=\"#basis-{topic}\">how it is worked out</a>")
    } else {
        String::new()
    };
    let old = match finding.since {
        Some(Since::Before) => "Stood before. ",
        Some(Since::New) => "New. ",
        None => "",
    };
    let sure = if finding.certainty < 0.995 && !finding.is_unsettled() {
        format!("{} sure. ", say.share(finding.certainty))
    } else {
        String::new()
    };
    let memory = if finding.from_memory {
        "Rests on a figure that is not verified against its document. "
    } else {
        ""
    };
    format!(
        "<article class=\"finding {severity}\" id=\"F{n}\"><h3><span class=\"tag\">{severity}</span>F{n}: {} {}</h3><p>{}</p><p class=\"do\">{}</p><p class=\"small\">{old}{sure}{memory}{note}</p></article>",
        escaped(finding.kind.word()),
        escaped(&say.reach(finding.from_m, finding.to_m)),
        escaped(&text(finding, say)),
        escaped(&advice(finding, say)),
        n = finding.number,
    )
}
