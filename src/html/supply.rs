//! What the stream gives and how the water enters: months, states, the mouth, the siphon, the first metres.

use super::markup::{HtmlCell, list, table};
use crate::flow::{Intake, StreamUse, Submergence};
use crate::study::Study;
use crate::words::{Say, submergence_word};

pub(super) fn supply(study: &Study, say: Say) -> String {
    let mut out = String::new();
    if let Some(stream) = &study.stream {
        out.push_str(&months(stream, say));
        out.push_str(&takes(stream, say));
    }
    if let Some(intake) = &study.intake {
        out.push_str(&mouth(intake, say));
    }
    out
}

fn months(stream: &StreamUse, say: Say) -> String {
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
    let rows: Vec<Vec<HtmlCell>> = stream
        .months
        .iter()
        .zip(NAMES)
        .enumerate()
        .map(|(i, (m, name))| {
            let feeds = m.feeds.and_then(|f| stream.takes.get(f));
            let mut words = feeds.map_or_else(
                || "not even the smallest".to_owned(),
                |t| t.state.to_string(),
            );
            if i == stream.driest && !all_year {
                words.push_str(" (leanest month)");
            }
            vec![
                HtmlCell::words(if all_year { "as given" } else { name }),
                HtmlCell::figure(m.flow_m3_per_s, say.flow(m.flow_m3_per_s)),
                HtmlCell::figure(m.may_take_m3_per_s, say.flow(m.may_take_m3_per_s)),
                HtmlCell::words(words),
            ]
        })
        .collect();
    table(
        &format!(
            "What may be taken: {} stays in the stream",
            say.flow(stream.leave_m3_per_s)
        ),
        &["month", ">stream", ">may be taken", "feeds, the pipe full"],
        &rows,
    )
}

fn takes(stream: &StreamUse, say: Say) -> String {
    let rows: Vec<Vec<HtmlCell>> = stream
        .takes
        .iter()
        .map(|t| {
            vec![
                HtmlCell::words(t.state.to_string()),
                HtmlCell::figure(t.at_intake_m3_per_s, say.flow(t.at_intake_m3_per_s)),
                HtmlCell::figure(t.stream_m3_per_s, say.flow(t.stream_m3_per_s)),
            ]
        })
        .collect();
    table(
        "With less than this the intake can no longer keep the pipe full",
        &["state", ">at the intake", ">stream must carry"],
        &rows,
    )
}

fn mouth(intake: &Intake, say: Say) -> String {
    let rows: Vec<Vec<HtmlCell>> = intake
        .formulas
        .iter()
        .map(|(by, cover_m)| {
            vec![
                HtmlCell::words(submergence_word(*by)),
                HtmlCell::figure(*cover_m, say.head(*cover_m)),
                HtmlCell::words(match by {
                    Submergence::GordonUneven => "used, never less than a bore",
                    _ if by.is_from_memory() => "beside it; from memory or second hand",
                    _ => "beside it",
                }),
            ]
        })
        .collect();
    let mut lines = vec![match intake.cover_m {
        Some(cover_m) => format!(
            "Water over the crown of the pipe at its mouth, at the lowest level: {}; wanted with {} at {} in the mouth: {}.",
            say.head(cover_m),
            intake.case,
            say.speed(intake.velocity_m_per_s),
            say.head(intake.wanted_m)
        ),
        None => format!(
            "Whether the mouth lies deep enough cannot be told: no water level was given. Wanted over its crown with {}: {}.",
            intake.case,
            say.head(intake.wanted_m)
        ),
    }];
    if let Some(siphon) = intake.siphon {
        lines.push(format!(
            "Siphon: its crest at {} stands {} above the lowest water; running, the head there is {} below the air's, {} can be worked with: it {}.",
            say.station(siphon.crest_station_m),
            say.head(siphon.lift_m),
            say.head(-siphon.gauge_m),
            say.head(-siphon.working_limit_m),
            if siphon.holds { "holds" } else { "does not hold" }
        ));
    }
    lines.push(format!(
        "First metres: the pipe has fallen by a bore at {}; the least pressure head before that is {} at {}, with {}.",
        say.station(intake.first.to_m),
        say.head(intake.first.least_gauge_m),
        say.station(intake.first.least_station_m),
        intake.case
    ));
    format!(
        "{}{}",
        list(&lines),
        table(
            "Water wanted over the crown of the mouth, by formula",
            &["formula", ">cover", "how it is taken"],
            &rows
        )
    )
}
