//! The page of a gauge book: what changed, what fits, the curve of each operating condition.

use super::drawn::figure;
use super::html::{Cell, list, section as part, table};
use super::top::key;
use super::{Page, basis, page};
use crate::gauge_book::{Book, Episode, Judged, Kind, Readings, date};
use crate::line::Line;
use crate::report::gauge_book::{CAUTION, alone, curves};
use crate::report::words::{Say, gauge_book as words};
use crate::text::neutral;
use crate::unit::Units;

/// Pages that a book rests on.
const BASIS: &[&str] = &["gauge-book", "gauges", "running"];

/// The page of a gauge book.
pub fn of_book(judged: &Judged, book: &Book, line: &Line, units: Units) -> String {
    let say = Say::on(units, &line.pegs);
    let title = format!("{}: gauge book", line.title);
    let now: Vec<&Episode> = judged.episodes.iter().filter(|e| e.on_now).collect();
    let mut first: Vec<String> = Vec::new();
    for e in &now {
        let so = words::so(e, say);
        if !so.is_empty() && !first.contains(&so) {
            first.push(so);
        }
    }
    if first.is_empty() {
        first.push("Continue to read the gauge in the same operating conditions.".to_owned());
    }
    let forecast = judged
        .forecast
        .as_ref()
        .map_or_else(Vec::new, |f| vec![words::forecast(f, say)]);
    let mut remarks = alone(judged, book);
    remarks.extend(book.remarks.iter().map(|r| units.say(&r.text)));
    page(&Page {
        title: &title,
        say,
        findings: &[],
        tonight: &first,
        line: words::verdict(judged, say),
        class: if now.is_empty() { "runs" } else { "fix" },
        parts: vec![
            part("values", "Main values", &key(&figures(judged, book, say))),
            part("changes", "Changes and their causes", &changes(judged, say)),
            part("forecast", "Forecast", &list(&forecast)),
            part(
                "curves",
                "Curve of each operating condition",
                &figure(&curves(judged, &neutral(&line.title), say), None),
            ),
            part(
                "read",
                "Readings",
                &(list(&words::read(judged, book.rows, say)) + &readings(judged, say)),
            ),
            part("taken", "Excluded readings, remarks", &list(&remarks)),
            part("cautions", "Cautions", &list(&[CAUTION.to_owned()])),
            part("basis", "Calculation methods", &basis::notes(&[], BASIS)),
        ],
        drawn: None,
    })
}

fn figures(judged: &Judged, book: &Book, say: Say) -> Vec<(String, String, String)> {
    let row = |head: &str, value: String| (head.to_owned(), value, String::new());
    let mut out = vec![
        row("readings", book.rows.to_string()),
        row("first", date(judged.days.0)),
        row("last", date(judged.days.1)),
    ];
    if let Some(lost) = judged.lost_now() {
        out.push(row("power loss now", say.share(lost)));
    }
    for (head, day) in [
        (
            "5 % power loss on",
            judged.forecast.as_ref().and_then(|f| f.five),
        ),
        (
            "10 % power loss on",
            judged.forecast.as_ref().and_then(|f| f.ten),
        ),
    ] {
        if let Some((_, likeliest, _)) = day {
            out.push(row(head, date(likeliest)));
        }
    }
    out
}

fn changes(judged: &Judged, say: Say) -> String {
    let mut out = String::new();
    if judged.episodes.is_empty() {
        return list(&[words::NO_CHANGE.to_owned()]);
    }
    for e in &judged.episodes {
        out.push_str(&list(&[words::change(e, judged.largest.as_ref(), say)]));
        let rows: Vec<Vec<Cell>> = e
            .suspects
            .iter()
            .map(|s| {
                vec![
                    Cell::words(words::suspect(s, judged.largest.as_ref(), say)),
                    Cell::maybe(s.shut_m, |m| say.head(m)),
                    Cell::maybe(s.running_m, |m| say.head(m)),
                    Cell::maybe(s.power_lost, |l| say.share(l)),
                ]
            })
            .collect();
        out.push_str(&table(
            &format!("Possible causes of the change from {}", date(e.course.from)),
            &[
                "probability: cause (size)",
                ">gauge, valve closed",
                ">gauge, operating",
                ">power loss",
            ],
            &rows,
        ));
    }
    out
}

fn readings(judged: &Judged, say: Say) -> String {
    judged.rows.iter().map(|r| one(r, say)).collect()
}

fn one(r: &Readings, say: Say) -> String {
    let figure = |v: f64| match r.kind {
        Kind::Pressure => say.head(v),
        Kind::Flow | Kind::Fed => say.flow(v),
        Kind::Power => say.power(v),
    };
    let rows: Vec<Vec<Cell>> = r
        .points
        .iter()
        .map(|p| {
            vec![
                Cell::figure(p.day, date(p.day)),
                Cell::figure(p.read, figure(p.read)),
                Cell::figure(p.explained, figure(p.explained)),
                Cell::words(if p.alone { "outlier, not used" } else { "" }),
            ]
        })
        .collect();
    table(
        &format!("{} {}", words::kind_word(r.kind), words::in_state(&r.state)),
        &["date", ">reading", ">expected with the changes", ""],
        &rows,
    )
}
