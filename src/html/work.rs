//! The order of work, job by job.

use super::markup::escaped;
use crate::study::Study;
use crate::words::{Say, act, act_cautions, job_word};

pub(super) fn order(study: &Study, say: Say) -> String {
    let Some(air) = &study.air else {
        return String::new();
    };
    let mut out = String::new();
    for steps in air.work.chunk_by(|a, b| a.job == b.job) {
        let Some(first) = steps.first() else { continue };
        let mut job = job_word(first.job).to_owned();
        if let Some(letter) = job.get_mut(0..1) {
            letter.make_ascii_uppercase();
        }
        out.push_str(&format!("<h3>{}</h3><ol class=\"work\">", escaped(&job)));
        for step in steps {
            out.push_str(&format!("<li>{}", escaped(&act(&step.act, say))));
            if step.from_memory {
                out.push_str(" <span class=\"small\">(a figure in it is not verified against its document)</span>");
            }
            if !step.cautions.is_empty() {
                let all: String = step
                    .cautions
                    .iter()
                    .map(|c| format!("<li>{}</li>", escaped(act_cautions(*c))))
                    .collect();
                out.push_str(&format!("<ul>{all}</ul>"));
            }
            out.push_str("</li>");
        }
        out.push_str("</ol>");
    }
    out
}
