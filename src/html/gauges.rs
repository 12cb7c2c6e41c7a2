//! Gauges: each reading against the line, what could explain them, the next reading.

use super::markup::{HtmlCell, list, table};
use crate::flow::{Gauges, Reading};
use crate::study::Study;
use crate::words::{Say, cause_word, next_reading, unused_word};

pub(super) fn gauges(study: &Study, say: Say) -> String {
    let Some(gauges) = &study.gauges else {
        return String::new();
    };
    let rows: Vec<Vec<HtmlCell>> = gauges
        .readings
        .iter()
        .map(|r| reading(r, study, say))
        .collect();
    let mut out = table(
        "Readings",
        &[
            "where",
            "state",
            ">showed",
            ">should show",
            ">off",
            ">lost above it",
            ">computed",
            "so",
        ],
        &rows,
    );
    let rows: Vec<Vec<HtmlCell>> = gauges
        .explanations
        .iter()
        .map(|e| {
            vec![
                HtmlCell::words(cause_word(e.cause)),
                HtmlCell::figure(e.head_m, say.head_sd(e.head_m, e.sd_m)),
                HtmlCell::figure(e.fit, say.share(e.fit)),
                HtmlCell::figure(e.alike as f64, format!("{}", e.alike + 1)),
                HtmlCell::words(match (e.crests_m.is_empty(), e.came_later) {
                    (true, _) => String::new(),
                    (false, false) => say.stations(&e.crests_m),
                    (false, true) => format!(
                        "{}; more than filling leaves: some came in later",
                        say.stations(&e.crests_m)
                    ),
                }),
            ]
        })
        .collect();
    out.push_str(&table(
        if gauges.ranked {
            "What could explain all readings together, the best fit first"
        } else {
            "What could explain the readings: they cannot tell these apart"
        },
        &[
            "cause",
            ">takes",
            ">fits",
            ">alike (one number: look the same)",
            "below the climbs at",
        ],
        &rows,
    ));
    out.push_str(&list(&said(gauges, study, say)));
    out
}

fn reading(r: &Reading, study: &Study, say: Say) -> Vec<HtmlCell> {
    let gauge = study.line.gauges.get(r.gauge);
    let lost = |m: f64| {
        if r.shut {
            HtmlCell::words("")
        } else {
            HtmlCell::figure(m, say.head(m))
        }
    };
    vec![
        HtmlCell::maybe(gauge.map(|g| g.station_m), |s| say.station(s)),
        HtmlCell::words(gauge.map_or_else(String::new, |g| g.state.to_string())),
        HtmlCell::maybe(gauge.map(|g| g.pressure_pa), |p| say.pressure(p)),
        HtmlCell::figure(r.expected_pa, say.pressure(r.expected_pa)),
        HtmlCell::figure(r.off_m, say.head_sd(r.off_m, r.off_sd_m)),
        lost(r.loss_m),
        lost(r.loss_expected_m),
        HtmlCell::words(if r.agrees {
            "agrees within its doubt".to_owned()
        } else if r.flow_measured {
            format!(
                "off; flow measured {}, computed {}",
                say.flow(r.flow_m3_per_s),
                say.flow(r.flow_expected_m3_per_s)
            )
        } else {
            "off".to_owned()
        }),
    ]
}

fn said(gauges: &Gauges, study: &Study, say: Say) -> Vec<String> {
    let mut lines: Vec<String> = gauges
        .unused
        .iter()
        .map(|(i, why)| {
            let state = study
                .line
                .gauges
                .get(*i)
                .map_or_else(String::new, |g| g.state.to_string());
            format!(
                "Set aside, the reading in \"{state}\": {}.",
                unused_word(*why)
            )
        })
        .collect();
    if gauges.readings.iter().any(|r| r.shut) {
        lines.push("Shut means: shut at the turbine, the valve at the top open and the pipe full. With the upper valve shut a gauge shows nothing of the head.".to_owned());
    }
    if let Some(next) = &gauges.next {
        lines.push(format!("Read next: {}.", next_reading(next, say)));
    }
    lines
}
