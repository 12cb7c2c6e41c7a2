//! The record of commissioning: the pressure test, filling and first running with places to sign, what lies where.

use super::markup::{HtmlCell, list, table};
use crate::air::{Air, Job};
use crate::line::{Line, PressureTest, Record};
use crate::report::built::{built, sd_m};
use crate::study::Study;
use crate::words::{Say, act, proof_line};
use maud::{Markup, html};

/// The part; nothing where neither a test nor a record was declared.
pub(super) fn record(study: &Study, say: Say) -> Markup {
    html! {
        @if let (Some(proof), Some(test)) = (&study.proof, &study.line.measured.pressure_test) {
            (list(&[format!("Pressure test: {}.", proof_line(proof, say))]))
            (readings(test, say))
        }
        @if let Some(record) = &study.line.works.record {
            (signed(record))
            @if let Some(air) = &study.air { (steps(air, say)) }
            (states(study, say))
            (as_built(&study.line, say))
        }
    }
}

fn readings(test: &PressureTest, say: Say) -> Markup {
    let rows = test.readings.iter().map(|(s, pa)| {
        vec![
            HtmlCell::figure(*s, say.time(*s)),
            HtmlCell::figure(*pa, say.pressure(*pa)),
        ]
    });
    table(
        "Readings of the pressure test",
        &[">time", ">pressure"],
        rows,
    )
}

/// Who did it, who saw it, and what holds for both.
fn signed(record: &Record) -> Markup {
    let named = |name: &str| {
        if name.is_empty() {
            "....................".to_owned()
        } else {
            name.to_owned()
        }
    };
    list(&[
        "Do not start a step before the step above it is signed. Test with water, never with air. Stand clear of ends, bends and joints while the pressure rises.".to_owned(),
        format!("Done by: {}", named(&record.by)),
        format!("Witness: {}", named(&record.witness)),
    ])
}

fn steps(air: &Air, say: Say) -> Markup {
    let first = [Job::Filling, Job::Testing, Job::Restarting];
    let rows = air
        .work
        .iter()
        .filter(|s| first.contains(&s.job))
        .map(|step| {
            vec![
                HtmlCell::words(step.job.word()),
                HtmlCell::words(act(&step.act, say)),
                HtmlCell::words("........"),
                HtmlCell::words("........"),
                HtmlCell::words("................"),
            ]
        });
    table(
        "Filling, pressure test and first operation",
        &["procedure", "step", "reading", "time", "signature"],
        rows,
    )
}

fn as_built(line: &Line, say: Say) -> Markup {
    let rows = built(line).into_iter().map(|b| {
        vec![
            HtmlCell::figure(b.station_m, say.station(b.station_m)),
            HtmlCell::words(b.what),
            HtmlCell::words(b.name),
            HtmlCell::maybe(sd_m(&line.geometry, b.station_m), |sd| {
                say.head_sd(line.geometry.elevation_m(b.station_m), sd)
            }),
            HtmlCell::words("........"),
        ]
    });
    table(
        "As built: from the survey after laying",
        &[">station", "what", "name", ">height", "checked"],
        rows,
    )
}

/// What gauge and flow must show in each state, with places for what they show.
fn states(study: &Study, say: Say) -> Markup {
    let rows = study.cases.runs.iter().map(|run| {
        vec![
            HtmlCell::words(run.state().to_string()),
            HtmlCell::figure(
                run.pressure_turbine_pa,
                say.pressure_sd(run.pressure_turbine_pa, run.pressure_turbine_sd_pa),
            ),
            HtmlCell::words("........"),
            HtmlCell::figure(
                run.flow_m3_per_s,
                say.flow_sd(run.flow_m3_per_s, run.flow_sd_m3_per_s),
            ),
            HtmlCell::words("........"),
            HtmlCell::words("................"),
        ]
    });
    table(
        "First operation: calculated and measured",
        &[
            "condition",
            ">turbine pressure",
            "measured",
            ">flow",
            "measured",
            "signature",
        ],
        rows,
    )
}
