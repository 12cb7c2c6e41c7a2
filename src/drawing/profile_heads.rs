//! Pressures in a panel of their own under the ground: heads over the pipe, on the same stations.

use super::advance::fitted;
use super::frame::HEAD_MM;
use super::ink::{Ink, Pen};
use super::item::{Align, Item, Role, Text};
use super::profile_chart::lines;
use super::scale::{round_step, ruling, unit_m};
use super::section::{LongSection, SectionLine, Series};
use super::section_frame::Frame;

/// Room between the two panels, mm.
const GAP_MM: f64 = 2.4;

/// The panel under the ground; none where there are no pressures.
pub(super) fn heads_frame(section: &LongSection, ground: &Frame, bottom_mm: f64) -> Option<Frame> {
    let inside = |s: f64| s >= ground.from_m - 1e-6 && s <= ground.to_m + 1e-6;
    let (mut low, mut high, mut limit) = (0.0_f64, 0.0_f64, f64::INFINITY);
    for series in section.series.iter().filter(|s| s.trace.is_head()) {
        for (s, head) in series.chains_m.iter().flatten().filter(|p| inside(p.0)) {
            let over = head - section.elevation_at(*s);
            if !over.is_finite() {
                continue;
            }
            if series.trace == SectionLine::Rating {
                limit = limit.min(over);
            } else {
                low = low.min(over);
                high = high.max(over);
            }
        }
    }
    // The limit is shown where it comes near: within half as much again.
    if limit.is_finite() && limit <= 1.5 * high {
        high = high.max(limit);
    }
    let top_mm = ground.bottom_mm + GAP_MM;
    let span = 1.08 * (high - low);
    (span > 0.0 && bottom_mm - top_mm > 8.0).then(|| Frame {
        top_mm,
        bottom_mm,
        base_m: low - 0.04 * (high - low),
        up_mm_per_m: (bottom_mm - top_mm) / span,
        ..*ground
    })
}

/// The panel with its lines.
pub(super) fn heads(section: &LongSection, frame: &Frame) -> Vec<Item> {
    let units = section.units;
    let unit = unit_m(units);
    let step = round_step(7.0 / frame.up_mm_per_m / unit) * unit;
    let top_m = frame.base_m + (frame.bottom_mm - frame.top_mm) / frame.up_mm_per_m;
    let mut items = Vec::new();
    let mut head = (frame.base_m / step).ceil() * step;
    while head <= top_m {
        let y = frame.y(head);
        let pen = if head.abs() < 1e-9 {
            Pen::new(Ink::GREY, 0.25)
        } else {
            Pen::new(Ink::FAINT, 0.18)
        };
        items.push(Item::line(
            vec![(frame.left_mm, y), (frame.right_mm, y)],
            pen,
        ));
        if y < frame.bottom_mm - 0.8 && y > frame.top_mm + 1.6 {
            let words = ruling(head, step, units);
            let at = (frame.left_mm - 1.4, y + 0.9);
            items.push(Item::Text(
                Text::new(at, HEAD_MM, Role::Ruling, words).align(Align::End),
            ));
        }
        head += step;
    }
    let room = frame.bottom_mm - frame.top_mm;
    items.push(Item::Text(
        Text::new(
            (frame.left_mm - 17.5, 0.5 * (frame.top_mm + frame.bottom_mm)),
            HEAD_MM,
            Role::Word,
            fitted(&section.words.pressures, HEAD_MM, false, room),
        )
        .align(Align::Middle)
        .turned()
        .colour(Ink::GREY),
    ));
    let over: Vec<Series> = section
        .series
        .iter()
        .filter(|s| s.trace.is_head())
        .map(|s| Series {
            chains_m: s
                .chains_m
                .iter()
                .map(|c| {
                    c.iter()
                        .map(|(at, h)| (*at, h - section.elevation_at(*at)))
                        .collect()
                })
                .collect(),
            ..s.clone()
        })
        .collect();
    let all: Vec<&Series> = over.iter().collect();
    items.extend(lines(section, &all, frame));
    items.push(Item::rectangle(
        frame.area(),
        Some(Pen::new(Ink::BLACK, 0.35)),
        None,
    ));
    items
}
