//! The record of commissioning: the pressure test, filling and first running with places to sign, what lies where.

use super::html::{HtmlCell, list, table};
use crate::air::Job;
use crate::report::as_built::{built, sd_m};
use crate::report::words::{Say, act, job_word, proof_line};
use crate::study::Study;

/// The part; nothing where neither a test nor a record was declared.
pub(super) fn record(study: &Study, say: Say) -> String {
    let mut out = String::new();
    if let (Some(proof), Some(test)) = (&study.proof, &study.line.measured.pressure_test) {
        out.push_str(&list(&[format!(
            "Pressure test: {}.",
            proof_line(proof, say)
        )]));
        let rows: Vec<Vec<HtmlCell>> = test
            .readings
            .iter()
            .map(|(s, pa)| {
                vec![
                    HtmlCell::figure(*s, say.time(*s)),
                    HtmlCell::figure(*pa, say.pressure(*pa)),
                ]
            })
            .collect();
        out.push_str(&table(
            "Readings of the pressure test",
            &[">time", ">pressure"],
            &rows,
        ));
    }
    let Some(record) = &study.line.works.record else {
        return out;
    };
    let named = |name: &str| {
        if name.is_empty() {
            "....................".to_owned()
        } else {
            name.to_owned()
        }
    };
    out.push_str(&list(&[
        "Do not start a step before the step above it is signed. Test with water, never with air. Stand clear of ends, bends and joints while the pressure rises.".to_owned(),
        format!("Done by: {}", named(&record.by)),
        format!("Witness: {}", named(&record.witness)),
    ]));
    if let Some(air) = &study.air {
        let first = [Job::Filling, Job::Testing, Job::Restarting];
        let rows: Vec<Vec<HtmlCell>> = air
            .work
            .iter()
            .filter(|s| first.contains(&s.job))
            .map(|step| {
                vec![
                    HtmlCell::words(job_word(step.job)),
                    HtmlCell::words(act(&step.act, say)),
                    HtmlCell::words("........"),
                    HtmlCell::words("........"),
                    HtmlCell::words("................"),
                ]
            })
            .collect();
        out.push_str(&table(
            "Filling, pressure test and first operation",
            &["procedure", "step", "reading", "time", "signature"],
            &rows,
        ));
    }
    out.push_str(&states(study, say));
    let line = &study.line;
    let rows: Vec<Vec<HtmlCell>> = built(line)
        .iter()
        .map(|b| {
            vec![
                HtmlCell::figure(b.station_m, say.station(b.station_m)),
                HtmlCell::words(b.what.clone()),
                HtmlCell::words(b.name.clone()),
                HtmlCell::maybe(sd_m(line, b.station_m), |sd| {
                    say.head_sd(line.elevation_m(b.station_m), sd)
                }),
                HtmlCell::words("........"),
            ]
        })
        .collect();
    out.push_str(&table(
        "As built: from the survey after laying",
        &[">station", "what", "name", ">height", "checked"],
        &rows,
    ));
    out
}

/// What gauge and flow must show in each state, with places for what they show.
fn states(study: &Study, say: Say) -> String {
    let rows: Vec<Vec<HtmlCell>> = study
        .cases
        .runs
        .iter()
        .map(|run| {
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
        })
        .collect();
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
        &rows,
    )
}
