//! The chart of a gauge book.

use crate::drawing::{Align, Colour, Dash, Ink, Item, PaperSheet, Pen, Role, Text, svg};
use crate::gauge_book::{ChannelKind, JudgedBook, Readings};
use crate::line::Geometry;
use crate::unit::Units;
use crate::unit::date;
use crate::words::{Say, gauge_book as words};

/// Height of one panel and of what stands round it, mm.
const PANEL_MM: f64 = 46.0;
const WIDTH_MM: f64 = 190.0;
const LEFT_MM: f64 = 22.0;
const HEAD_MM: f64 = 12.0;
const FOOT_MM: f64 = 12.0;
/// Soft grey of the band, and the pens.
const BAND: Colour = Colour("#e3e3e3");

/// The chart: a panel for what is read in each state, with the band that the changes found explain, and the days they begin and end.
pub fn chart(judged: &JudgedBook, title: &str, units: Units, geometry: &Geometry) -> String {
    svg(&curves(judged, title, Say::on(units, &geometry.pegs)))
}

/// The same before it is written out.
pub(crate) fn curves(judged: &JudgedBook, title: &str, say: Say) -> PaperSheet {
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
            format!("{} {}", r.kind.word(), words::in_state(&r.state)),
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
