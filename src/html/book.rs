//! The page of a gauge book: what changed, what fits, the curve of each operating condition.

use super::drawn::figure;
use super::markup::{HtmlCell, HtmlPart, list, table};
use super::top::{HtmlPage, key};
use super::{basis, page};
use crate::gauge_book::{ChannelKind, Episode, GaugeBook, JudgedBook, Readings};
use crate::line::Line;
use crate::text::neutral;
use crate::unit::Units;
use crate::unit::date;
use crate::view::gauge_curves::curves;
use crate::words::{Say, gauge_book as words};
use maud::{Markup, html};

/// Pages that a book rests on.
const BASIS: &[&str] = &["gauge-book", "gauges", "running"];

/// The page of a gauge book.
pub fn of_book(judged: &JudgedBook, book: &GaugeBook, line: &Line, units: Units) -> String {
    let say = Say::on(units, &line.geometry.pegs);
    let title = format!("{}: gauge book", line.heading.title);
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
    let mut remarks = words::alone(judged, book);
    remarks.extend(book.remarks.iter().map(|r| units.say(&r.text)));
    let curves = curves(judged, &neutral(&line.heading.title), say);
    let readings = html! {
        (list(&words::read(judged, book.rows, say)))
        @for row in &judged.rows { (one(row, say)) }
    };
    page(&HtmlPage {
        title: &title,
        say,
        findings: &[],
        tonight: &first,
        line: words::verdict(judged, say),
        class: if now.is_empty() { "runs" } else { "fix" },
        parts: vec![
            HtmlPart::new("values", "Main values", key(&figures(judged, book, say))),
            HtmlPart::new("changes", "Changes and their causes", changes(judged, say)),
            HtmlPart::new("forecast", "Forecast", list(&forecast)),
            HtmlPart::new(
                "curves",
                "Curve of each operating condition",
                figure(&curves, None),
            ),
            HtmlPart::new("read", "Readings", readings),
            HtmlPart::new("taken", "Excluded readings, remarks", list(&remarks)),
            HtmlPart::new("cautions", "Cautions", list(&[words::CAUTION])),
            HtmlPart::new("basis", "Calculation methods", basis::notes(&[], BASIS)),
        ],
        drawn: None,
    })
}

fn figures(judged: &JudgedBook, book: &GaugeBook, say: Say) -> Vec<(String, String, String)> {
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

fn changes(judged: &JudgedBook, say: Say) -> Markup {
    if judged.episodes.is_empty() {
        return list(&[words::NO_CHANGE]);
    }
    html! {
        @for e in &judged.episodes {
            (list(&[words::change(e, judged.largest.as_ref(), say)]))
            (suspects(e, judged, say))
        }
    }
}

fn suspects(e: &Episode, judged: &JudgedBook, say: Say) -> Markup {
    let rows = e.suspects.iter().map(|s| {
        vec![
            HtmlCell::words(words::suspect(s, judged.largest.as_ref(), say)),
            HtmlCell::maybe(s.shut_m, |m| say.head(m)),
            HtmlCell::maybe(s.running_m, |m| say.head(m)),
            HtmlCell::maybe(s.power_lost, |l| say.share(l)),
        ]
    });
    table(
        &format!("Possible causes of the change from {}", date(e.course.from)),
        &[
            "probability: cause (size)",
            ">gauge, valve closed",
            ">gauge, operating",
            ">power loss",
        ],
        rows,
    )
}

fn one(r: &Readings, say: Say) -> Markup {
    let figure = |v: f64| match r.kind {
        ChannelKind::Pressure => say.head(v),
        ChannelKind::Flow | ChannelKind::Fed => say.flow(v),
        ChannelKind::Power => say.power(v),
    };
    let rows = r.points.iter().map(|p| {
        vec![
            HtmlCell::figure(p.day, date(p.day)),
            HtmlCell::figure(p.read, figure(p.read)),
            HtmlCell::figure(p.explained, figure(p.explained)),
            HtmlCell::words(if p.alone { "outlier, not used" } else { "" }),
        ]
    });
    table(
        &format!("{} {}", r.kind.word(), words::in_state(&r.state)),
        &["date", ">reading", ">expected with the changes", ""],
        rows,
    )
}
