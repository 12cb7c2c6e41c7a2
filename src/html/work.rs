//! The order of work, job by job.

use super::markup::list;
use crate::study::Study;
use crate::words::{Say, act, act_cautions, capital};
use maud::{Markup, html};

pub(super) fn order(study: &Study, say: Say) -> Markup {
    let work = study.air.as_ref().map_or(&[][..], |air| &air.work);
    let cautions = |of: &[_]| -> Vec<&str> { of.iter().map(|c| act_cautions(*c)).collect() };
    html! {
        @for steps in work.chunk_by(|a, b| a.job == b.job) {
            h3 { @if let Some(first) = steps.first() { (capital(first.job.word())) } }
            ol class="work" {
                @for step in steps {
                    li {
                        (act(&step.act, say))
                        @if step.from_memory { " " span class="small" { "(it uses a value that is not verified against its document)" } }
                        (list(&cautions(&step.cautions)))
                    }
                }
            }
        }
    }
}
