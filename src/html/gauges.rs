//! Gauges: each reading against the line, what could explain them, the next reading.

use super::markup::{HtmlCell, list, table};
use crate::flow::{GaugeReading, Gauges};
use crate::study::Study;
use crate::words::{Say, label, next_reading, unused_word};
use maud::{Markup, html};

pub(super) fn gauges(study: &Study, say: Say) -> Markup {
    let Some(gauges) = &study.gauges else {
        return Markup::default();
    };
    let rows = gauges.readings.iter().map(|r| reading(r, study, say));
    let readings = table(
        "Readings",
        &[
            "where",
            "condition",
            ">reading",
            ">expected",
            ">difference",
            ">head loss above it",
            ">calculated",
            "result",
        ],
        rows,
    );
    let rows = gauges.explanations.iter().map(|e| {
        vec![
            HtmlCell::words(label(e.cause.word())),
            HtmlCell::figure(e.head_m, say.head_sd(e.head_m, e.sd_m)),
            HtmlCell::figure(e.fit, say.share(e.fit)),
            HtmlCell::figure(e.alike as f64, format!("{}", e.alike + 1)),
            HtmlCell::words(match (e.crests_m.is_empty(), e.came_later) {
                (true, _) => String::new(),
                (false, false) => say.stations(&e.crests_m),
                (false, true) => format!(
                    "{}, more air than filling leaves",
                    say.stations(&e.crests_m)
                ),
            }),
        ]
    });
    let causes = table(
        if gauges.ranked {
            "Possible causes for all readings together, the best fit first"
        } else {
            "Possible causes: the readings cannot separate them"
        },
        &[
            "cause",
            ">head loss",
            ">fit",
            ">group (same number: not separable)",
            "below the rising sections at",
        ],
        rows,
    );
    html! { (readings) (causes) (list(&said(gauges, study, say))) }
}

fn reading(r: &GaugeReading, study: &Study, say: Say) -> Vec<HtmlCell> {
    let gauge = study.line.measured.gauges.get(r.gauge);
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
            "agrees within its uncertainty".to_owned()
        } else if r.flow_measured {
            format!(
                "differs; measured flow {}, calculated flow {}",
                say.flow(r.flow_m3_per_s),
                say.flow(r.flow_expected_m3_per_s)
            )
        } else {
            "differs".to_owned()
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
                .measured
                .gauges
                .get(*i)
                .map_or_else(String::new, |g| g.state.to_string());
            format!("Reading \"{state}\" not used: {}.", unused_word(*why))
        })
        .collect();
    if gauges.readings.iter().any(|r| r.shut) {
        lines.push("Static means: the turbine valve is closed, the upper valve is open and the pipe is full. With the upper valve closed, a gauge does not show the head.".to_owned());
    }
    if let Some(next) = &gauges.next {
        lines.push(format!("Next reading: {}.", next_reading(next, say)));
    }
    lines
}
