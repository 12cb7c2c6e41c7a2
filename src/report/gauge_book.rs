//! A book of gauge readings: the text for the terminal, its JSON and the chart.

use super::look::{Look, Tone};
use super::pegged::on_pegs;
use super::words::{Say, gauge_book as words};
use crate::drawing::{Align, Colour, Dash, Ink, Item, PaperSheet, Pen, Role, Text, svg};
use crate::gauge_book::{ChannelKind, Episode, GaugeBook, JudgedBook, Readings, Suspect, date};
use crate::line::Line;
use crate::unit::Units;
use serde_json::{Value, json};

/// The text for the terminal.
pub fn text(
    judged: &JudgedBook,
    book: &GaugeBook,
    line: &Line,
    units: Units,
    look: &Look,
) -> String {
    let say = Say::on(units, &line.geometry.pegs);
    let mut out = look.head(&format!("{}: gauge book", line.heading.title));
    out.push('\n');
    for row in words::read(judged, book.rows, say) {
        out.push_str(&look.wrapped(&row, 2, 4));
    }
    out.push('\n');
    if judged.episodes.is_empty() {
        out.push_str(&look.wrapped(words::NO_CHANGE, 0, 2));
    }
    for e in &judged.episodes {
        let mark = if e.on_now { "now  " } else { "past " };
        let tone = if e.on_now { Tone::Fix } else { Tone::Watch };
        out.push_str(&look.marked(tone, mark, &words::change(e, judged.largest.as_ref(), say)));
        for s in e.suspects.iter().take(3) {
            out.push_str(&look.wrapped(&words::suspect(s, judged.largest.as_ref(), say), 5, 10));
        }
        if e.on_now {
            out.push_str(&look.wrapped(&words::so(e, say), 5, 5));
        }
    }
    if let Some(f) = &judged.forecast {
        out.push('\n');
        out.push_str(&look.wrapped(&words::forecast(f, say), 0, 2));
    }
    for row in alone(judged, book) {
        out.push_str(&look.wrapped(&row, 0, 2));
    }
    for remark in &book.remarks {
        out.push_str(&look.wrapped(&units.say(&remark.text), 0, 2));
    }
    out.push_str(&look.wrapped(CAUTION, 0, 2));
    out
}

/// Said wherever somebody is sent to a gauge.
pub(super) const CAUTION: &str = "Stored pressure: do not open a part under pressure. Close the valve and release the pressure before you inspect. Never stand in front of a jet.";

pub(super) fn alone(judged: &JudgedBook, book: &GaugeBook) -> Vec<String> {
    judged
        .alone
        .iter()
        .filter_map(|i| book.entries.get(*i))
        .map(|e| {
            format!(
                "The reading of {} (row {}) is an outlier between readings that agree. It is not used. Check that it was written correctly.",
                date(e.day),
                e.line
            )
        })
        .collect()
}

/// The JSON of a book.
pub fn value(judged: &JudgedBook, book: &GaugeBook, line: &Line) -> Value {
    let out = json!({
        "format": super::json::FORMAT,
        "program": { "name": env!("CARGO_PKG_NAME"), "version": env!("CARGO_PKG_VERSION") },
        "title": line.heading.title,
        "gauge_book": of(judged, book),
    });
    on_pegs(out, &line.geometry.pegs)
}

fn of(judged: &JudgedBook, book: &GaugeBook) -> Value {
    json!({
        "rows_read": book.rows,
        "from_logger": book.logged,
        "from_date": date(judged.days.0),
        "to_date": date(judged.days.1),
        "wander_m": judged.wander_m,
        "readings": judged.rows.iter().map(readings).collect::<Vec<_>>(),
        "changes": judged.episodes.iter().map(episode).collect::<Vec<_>>(),
        "alone_rows": judged.alone.iter().filter_map(|i| book.entries.get(*i)).map(|e| e.line).collect::<Vec<_>>(),
        "forecast": judged.forecast.map(|f| json!({
            "cause": words::change_word(f.cause),
            "power_lost_now": f.lost_now,
            "five_percent": f.five.map(dates),
            "ten_percent": f.ten.map(dates),
            "readings": f.readings,
        })),
        "remarks": book.remarks.iter().map(|r| r.text.to_string()).collect::<Vec<_>>(),
    })
}

fn dates((soon, likely, late): (f64, f64, f64)) -> Value {
    json!({
        "earliest": date(soon),
        "likeliest": date(likely),
        "latest": late.is_finite().then(|| date(late.min(likely + 3650.0))),
    })
}

/// The ending of a figure's key by what is read.
fn ending(kind: ChannelKind) -> &'static str {
    match kind {
        ChannelKind::Pressure => "m",
        ChannelKind::Flow | ChannelKind::Fed => "m3_per_s",
        ChannelKind::Power => "w",
    }
}

fn readings(r: &Readings) -> Value {
    let unit = ending(r.kind);
    let mut out = serde_json::Map::new();
    out.insert("kind".into(), json!(words::kind_word(r.kind)));
    out.insert("state".into(), json!(r.state.to_string()));
    out.insert("station_m".into(), json!(r.station_m));
    out.insert(format!("computed_{unit}"), json!(r.computed));
    out.insert(format!("computed_sd_{unit}"), json!(r.computed_sd));
    out.insert(format!("off_{unit}"), json!(r.off));
    out.insert(format!("noise_{unit}"), json!(r.noise));
    let points: Vec<Value> = r
        .points
        .iter()
        .map(|p| {
            let mut point = serde_json::Map::new();
            point.insert("date".into(), json!(date(p.day)));
            point.insert(format!("read_{unit}"), json!(p.read));
            point.insert(format!("explained_{unit}"), json!(p.explained));
            if p.alone {
                point.insert("alone".into(), json!(true));
            }
            Value::Object(point)
        })
        .collect();
    out.insert("points".into(), Value::Array(points));
    Value::Object(out)
}

fn episode(e: &Episode) -> Value {
    json!({
        "from_date": date(e.course.from),
        "full_date": date(e.course.full),
        "until_date": (!e.on_now).then(|| date(e.course.until)),
        "log_likelihood_ratio": e.ratio,
        "told_apart": e.alike().len() == 1,
        "causes": e.suspects.iter().map(suspect).collect::<Vec<_>>(),
        "next_reading": e.next.as_ref().map(|n| {
            let unit = ending(n.kind);
            let mut out = serde_json::Map::new();
            out.insert("kind".into(), json!(words::kind_word(n.kind)));
            out.insert("state".into(), json!(n.state.to_string()));
            out.insert(format!("if_first_{unit}"), json!(n.expected.0));
            out.insert(format!("if_rival_{unit}"), json!(n.expected.1));
            out.insert("rival".into(), json!(words::change_word(n.rival)));
            Value::Object(out)
        }),
    })
}

fn suspect(s: &Suspect) -> Value {
    json!({
        "cause": words::change_word(s.cause),
        "chance": s.chance,
        "size": s.size,
        "size_sd": s.size_sd,
        "gauge_shut_m": s.shut_m,
        "gauge_running_m": s.running_m,
        "power_lost": s.power_lost,
    })
}

/// Height of one panel and of what stands round it, mm.
const PANEL_MM: f64 = 46.0;
const WIDTH_MM: f64 = 190.0;
const LEFT_MM: f64 = 22.0;
const HEAD_MM: f64 = 12.0;
const FOOT_MM: f64 = 12.0;
/// Soft grey of the band, and the pens.
const BAND: Colour = Colour("#e3e3e3");

/// The chart: a panel for what is read in each state, with the band that the changes found explain, and the days they begin and end.
pub fn chart(judged: &JudgedBook, title: &str, units: Units, line: &Line) -> String {
    svg(&curves(judged, title, Say::on(units, &line.geometry.pegs)))
}

/// The same before it is written out.
pub(super) fn curves(judged: &JudgedBook, title: &str, say: Say) -> PaperSheet {
    let rows: Vec<&Readings> = judged.rows.iter().filter(|r| r.points.len() > 1).collect();
    let height_mm = HEAD_MM + PANEL_MM * rows.len().max(1) as f64 + FOOT_MM;
    let (first, last) = judged.days;
    let days = (last - first).max(1.0);
    let x = |day: f64| LEFT_MM + (WIDTH_MM - LEFT_MM - 6.0) * (day - first) / days;
    let mut items = vec![Item::Text(
        Text::new((6.0, 7.0), 3.6, Role::Word, format!("{title}: gauge book")).bold(),
    )];
    for (i, r) in rows.iter().enumerate() {
        let top = HEAD_MM + PANEL_MM * i as f64;
        items.extend(panel(r, top, &x, say));
        for e in &judged.episodes {
            for day in [e.course.from, e.course.until] {
                if (first..=last).contains(&day) {
                    let pen = Pen {
                        dash: Dash::Short,
                        ..Pen::new(Ink::GREY, 0.25)
                    };
                    items.push(Item::line(
                        vec![(x(day), top + 5.0), (x(day), top + PANEL_MM - 3.0)],
                        pen,
                    ));
                }
            }
        }
    }
    let foot = height_mm - 7.0;
    for share in [0.0, 0.25, 0.5, 0.75, 1.0] {
        let day = first + share * days;
        let hung = match share {
            0.0 => Align::Start,
            1.0 => Align::End,
            _ => Align::Middle,
        };
        items.push(Item::Text(
            Text::new((x(day), foot), 2.6, Role::Ruling, date(day)).align(hung),
        ));
    }
    PaperSheet {
        width_mm: WIDTH_MM,
        height_mm,
        title: format!("{title}: gauge book"),
        description: "Readings over time, one panel for each operating condition. The grey band shows the expected readings with the changes that were found. Dashed lines show the days on which a change begins and ends.".to_owned(),
        items,
    }
}

fn panel(r: &Readings, top: f64, x: &dyn Fn(f64) -> f64, say: Say) -> Vec<Item> {
    let shown = r.points.iter().filter(|p| !p.alone);
    let (low, high) = shown.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), p| {
        (
            l.min(p.read).min(p.explained - 2.0 * r.noise),
            h.max(p.read).max(p.explained + 2.0 * r.noise),
        )
    });
    let span = (high - low).max(1e-9);
    let (upper, lower) = (top + 6.0, top + PANEL_MM - 4.0);
    let y = |v: f64| lower - (lower - upper) * ((v - low) / span).clamp(0.0, 1.0);
    let figure = |v: f64| match r.kind {
        ChannelKind::Pressure => say.head(v),
        ChannelKind::Flow | ChannelKind::Fed => say.flow(v),
        ChannelKind::Power => say.power(v),
    };
    let band = |side: f64| {
        r.points
            .iter()
            .map(move |p| (p.day, p.explained + side * 2.0 * r.noise))
    };
    let mut around: Vec<(f64, f64)> = band(1.0).map(|(d, v)| (x(d), y(v))).collect();
    let back: Vec<(f64, f64)> = band(-1.0).map(|(d, v)| (x(d), y(v))).collect();
    around.extend(back.into_iter().rev());
    let mut out = vec![
        Item::Text(Text::new(
            (6.0, top + 3.4),
            2.8,
            Role::Word,
            format!("{} {}", words::kind_word(r.kind), words::in_state(&r.state)),
        )),
        Item::area(around, BAND),
        Item::line(
            vec![(LEFT_MM, lower), (WIDTH_MM - 6.0, lower)],
            Pen::new(Ink::GREY, 0.2),
        ),
    ];
    for v in [low, 0.5 * (low + high), high] {
        out.push(Item::Text(
            Text::new((LEFT_MM - 1.5, y(v) + 0.9), 2.4, Role::Figure, figure(v)).align(Align::End),
        ));
    }
    out.extend(r.points.iter().map(|p| Item::Circle {
        at: (x(p.day), y(p.read)),
        radius_mm: if p.alone { 0.9 } else { 0.55 },
        pen: Some(Pen::new(Ink::BLACK, 0.2)),
        fill: (!p.alone).then_some(Ink::BLACK),
    }));
    out
}
