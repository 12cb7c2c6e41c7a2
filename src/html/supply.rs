//! What the stream gives and how the water enters: months, states, the mouth, the siphon, the first metres.

use super::markup::{HtmlCell, list, table, with_caution};
use crate::flow::{IntakeCheck, StreamUse, Submergence};
use crate::study::Study;
use crate::words::{Say, grit_lines, screen_lines, with_doubt};
use maud::{Markup, html};

pub(super) fn supply(study: &Study, say: Say) -> Markup {
    let screen = study
        .line
        .works
        .screen
        .is_some()
        .then(|| screen_lines(study, say));
    let screen: Vec<String> = screen.into_iter().flatten().map(|l| l.1).collect();
    html! {
        @if let Some(stream) = &study.stream {
            (months(stream, say)) (takes(stream, say)) (measured(stream, study, say))
        }
        @if let Some(intake) = &study.intake { (mouth(intake, say)) }
        (list(&screen))
        (list(&grit_lines(study, say)))
    }
}

fn months(stream: &StreamUse, say: Say) -> Markup {
    const NAMES: [&str; 12] = [
        "January",
        "February",
        "March",
        "April",
        "May",
        "June",
        "July",
        "August",
        "September",
        "October",
        "November",
        "December",
    ];
    let all_year = stream.months.len() == 1;
    let rows = stream
        .months
        .iter()
        .zip(NAMES)
        .enumerate()
        .map(|(i, (m, name))| {
            let feeds = m.feeds.and_then(|f| stream.takes.get(f));
            let mut words = feeds.map_or_else(|| "none".to_owned(), |t| t.state.to_string());
            if i == stream.driest && !all_year {
                words.push_str(" (driest month)");
            }
            vec![
                HtmlCell::words(if all_year { "as given" } else { name }),
                HtmlCell::figure(m.flow_m3_per_s, say.flow(m.flow_m3_per_s)),
                HtmlCell::figure(m.may_take_m3_per_s, say.flow(m.may_take_m3_per_s)),
                HtmlCell::words(words),
            ]
        });
    table(
        &format!(
            "Available flow: {} stays in the stream as compensation flow",
            say.flow(stream.leave_m3_per_s)
        ),
        &[
            "month",
            ">stream",
            ">available flow",
            "nozzles supplied with full pipe",
        ],
        rows,
    )
}

fn takes(stream: &StreamUse, say: Say) -> Markup {
    let rows = stream.takes.iter().map(|t| {
        vec![
            HtmlCell::words(t.state.to_string()),
            HtmlCell::figure(t.at_intake_m3_per_s, say.flow(t.at_intake_m3_per_s)),
            HtmlCell::figure(t.stream_m3_per_s, say.flow(t.stream_m3_per_s)),
        ]
    });
    table(
        "Minimum flow to keep the pipe full",
        &["condition", ">at the intake", ">required in the stream"],
        rows,
    )
}

/// The stream as it was measured, day by day.
fn measured(stream: &StreamUse, study: &Study, say: Say) -> Markup {
    let days = stream.days.iter();
    let rows = days
        .filter_map(|d| Some((d, study.line.measured.gauged.get(d.gauged)?)))
        .map(|(d, g)| {
            let feeds = d.feeds.and_then(|i| stream.takes.get(i));
            let notes: Vec<&str> = g.notes.iter().map(|n| n.word()).collect();
            vec![
                HtmlCell::words(g.date.clone()),
                HtmlCell::words(g.method.word()),
                HtmlCell::figure(
                    g.flow_m3_per_s,
                    with_doubt(g.flow_m3_per_s, g.sd_m3_per_s, say),
                ),
                HtmlCell::words(feeds.map_or_else(|| "none".to_owned(), |t| t.state.to_string())),
                HtmlCell::maybe(d.left_m3_per_s, |left| {
                    if left < 0.0 {
                        "nothing".to_owned()
                    } else {
                        say.flow(left)
                    }
                }),
                HtmlCell::words(notes.join("; ")),
            ]
        });
    with_caution(
        table(
            "Measured stream flow",
            &[
                "date",
                "method",
                ">flow (95 %)",
                "certainly supplied",
                ">left in the stream at the largest flow",
                "remarks",
            ],
            rows,
        ),
        "Do not measure in fast or rising water, or alone. Use cooking salt only, and only where local codes permit it. Remove a weir plate after the measurement: it dams the stream and stops fish.",
    )
}

fn mouth(intake: &IntakeCheck, say: Say) -> Markup {
    let rows = intake.formulas.iter().map(|(by, cover_m)| {
        vec![
            HtmlCell::words(by.word()),
            HtmlCell::figure(*cover_m, say.head(*cover_m)),
            HtmlCell::words(match by {
                Submergence::GordonUneven => "used, at least one inside diameter",
                _ if by.is_from_memory() => "for comparison, not verified",
                _ => "for comparison",
            }),
        ]
    });
    let mut lines = vec![match intake.cover_m {
        Some(cover_m) => format!(
            "Submergence of the pipe crown at the inlet, at the low water level: {}. Required with {} at {} in the inlet: {}.",
            say.head(cover_m),
            intake.case,
            say.speed(intake.velocity_m_per_s),
            say.head(intake.wanted_m)
        ),
        None => format!(
            "The submergence cannot be checked, because no water level was given. Required above the pipe crown with {}: {}.",
            intake.case,
            say.head(intake.wanted_m)
        ),
    }];
    if let Some(siphon) = intake.siphon {
        lines.push(format!(
            "Siphon: its high point at {} is {} above the low water level. In operation, the head there is {} below atmospheric pressure. The limit is {}: it {}.",
            say.station(siphon.crest_station_m),
            say.head(siphon.lift_m),
            say.head(-siphon.gauge_m),
            say.head(-siphon.working_limit_m),
            if siphon.holds { "works" } else { "does not work" }
        ));
    }
    lines.push(format!(
        "First section: the pipe has fallen by one inside diameter at {}. The lowest pressure head before that is {} at {}, with {}.",
        say.station(intake.first.to_m),
        say.head(intake.first.least_gauge_m),
        say.station(intake.first.least_station_m),
        intake.case
    ));
    let formulas = table(
        "Required submergence of the inlet crown, by formula",
        &["formula", ">submergence", "use"],
        rows,
    );
    html! { (list(&lines)) (formulas) }
}
