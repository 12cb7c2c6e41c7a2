//! What stands under a drawing: legend, scale bars, title block.

use super::advance::{fitted, text_width};
use super::frame::{HEAD_MM, TYPE_MM, Words, ground_line, hatched, rating_line};
use super::ink::{Ink, Pen};
use super::item::{Align, Box, Item, PaperPoint, Role, Text};
use super::paper::EDGE_MM;
use super::plan_push::{PushWay, arrow};
use super::scale::{DrawingScale, ruling};
use super::section::{LegendKey, SectionLine};
use crate::pipe::MarkKind;

/// Height of the foot, mm.
pub(super) const FOOT_MM: f64 = 36.4;
/// Room of the line of cautions under it, mm.
const CAUTION_MM: f64 = 3.4;
/// Width of the title block.
const BLOCK_MM: f64 = 84.0;
/// Width kept for the scale bars.
const BARS_MM: f64 = 36.0;
/// Distance of signs in the legend.
const SIGN_MM: f64 = 4.7;

/// What a foot holds.
pub(super) struct Footer<'a> {
    pub(super) legend: &'a [(LegendKey, String)],
    pub(super) notes: &'a [(String, String)],
    pub(super) words: &'a Words,
    /// The scales in words.
    pub(super) scale: String,
    pub(super) across: &'a DrawingScale,
    pub(super) up: Option<&'a DrawingScale>,
}

/// The foot.
pub(super) fn foot(of: &Footer<'_>, width: f64, height: f64) -> Vec<Item> {
    let edge = height - EDGE_MM;
    let top = edge - FOOT_MM;
    let bottom = edge - CAUTION_MM;
    let block = Box {
        left: width - EDGE_MM - BLOCK_MM,
        top,
        right: width - EDGE_MM,
        bottom,
    };
    let mut told = vec![(of.words.scale_head.clone(), of.scale.clone())];
    told.extend(of.notes.iter().cloned());
    let unit = &of.words.unit;
    let mut items = vec![Item::Text(
        Text::new(
            (EDGE_MM, edge - 0.4),
            HEAD_MM,
            Role::Word,
            fitted(&of.words.caution, HEAD_MM, true, width - 2.0 * EDGE_MM),
        )
        .bold(),
    )];
    let signs_end = match of.up {
        Some(up) => {
            let bars = block.left - BARS_MM;
            items.extend(scale_bar(of.across, (bars + 3.0, bottom - 4.4), 22.0, unit));
            items.extend(height_bar(up, (bars + 2.4, bottom - 9.4), 20.0, unit));
            items.extend(notes(&told, block, 0.0));
            bars
        }
        None => {
            items.extend(scale_bar(
                of.across,
                (block.left + 5.0, bottom - 4.6),
                44.0,
                unit,
            ));
            items.extend(notes(&told, block, 7.5));
            block.left
        }
    };
    items.extend(legend(
        of.legend,
        Box {
            left: EDGE_MM,
            top,
            right: signs_end - 2.0,
            bottom,
        },
    ));
    items
}

/// Legend in columns inside a box; what finds no room is left out, the least common last.
fn legend(keys: &[(LegendKey, String)], room: Box) -> Vec<Item> {
    const SAMPLE_MM: f64 = 10.0;
    let rows = rows_in(room, SIGN_MM);
    let mut out = Vec::new();
    let mut left = room.left;
    for column in keys.chunks(rows.max(1)) {
        let widest = column
            .iter()
            .map(|(_, t)| text_width(t, TYPE_MM, false))
            .fold(0.0, f64::max);
        let text_room = widest.min(room.right - left - SAMPLE_MM - 1.5);
        if text_room < 8.0 {
            break;
        }
        for (row, (key, text)) in column.iter().enumerate() {
            let y = room.top + SIGN_MM * (row as f64 + 0.5);
            out.extend(sample(*key, (left, y)));
            out.push(Item::Text(Text::new(
                (left + SAMPLE_MM + 1.5, y + 0.9),
                TYPE_MM,
                Role::Word,
                fitted(text, TYPE_MM, false, text_room),
            )));
        }
        left += SAMPLE_MM + 1.5 + text_room + 2.6;
    }
    out
}

fn rows_in(room: Box, pitch_mm: f64) -> usize {
    ((room.bottom - room.top) / pitch_mm).floor().max(0.0) as usize
}

/// The sign itself, 10 mm wide, its middle at a height.
fn sample(key: LegendKey, at: PaperPoint) -> Vec<Item> {
    let (x, y) = at;
    let across = |pen| Item::line(vec![(x, y), (x + 10.0, y)], pen);
    let patch = Box {
        left: x + 1.0,
        top: y - 1.7,
        right: x + 9.0,
        bottom: y + 1.7,
    };
    match key {
        LegendKey::Pipe => vec![across(Ink::PIPE_PEN)],
        LegendKey::Doubt => vec![
            Item::rectangle(patch, None, Some(Ink::DOUBT)),
            across(Ink::PIPE_PEN),
        ],
        LegendKey::Ground => ground_line(&[(x, y), (x + 10.0, y)]),
        LegendKey::Trace(SectionLine::Rating) => rating_line(&[(x, y), (x + 10.0, y)]),
        LegendKey::Trace(trace) => vec![across(trace.pen())],
        LegendKey::Climb => vec![
            Item::rectangle(patch, None, Some(Ink::CLIMB)),
            Item::area(
                vec![(x + 2.5, y + 0.6), (x + 5.0, y - 1.0), (x + 7.5, y + 0.6)],
                Ink::AIR,
            ),
            Item::line(
                vec![
                    (x + 1.0, y - 0.4),
                    (x + 2.5, y + 0.6),
                    (x + 5.0, y - 1.0),
                    (x + 9.0, y + 1.6),
                ],
                Ink::PIPE_PEN,
            ),
        ],
        LegendKey::Unsure => {
            let mut items = hatched(patch);
            items.push(across(Ink::UNSURE_PIPE_PEN));
            items
        }
        LegendKey::PlanClimb => vec![
            Item::line(vec![(x, y), (x + 10.0, y)], Pen::new(Ink::AIR, 2.4)),
            across(Ink::PIPE_PEN),
        ],
        LegendKey::PlanUnsure => vec![
            Item::line(vec![(x, y), (x + 10.0, y)], Pen::new(Ink::CLIMB, 2.4)),
            across(Ink::UNSURE_PIPE_PEN),
        ],
        LegendKey::Bend => vec![
            across(Ink::PIPE_PEN),
            Item::Circle {
                at: (x + 5.0, y),
                radius_mm: 1.9,
                pen: Some(Pen::new(Ink::STILL, 0.35)),
                fill: None,
            },
        ],
        LegendKey::Push(carried) => arrow(
            PushWay::Level {
                bearing_rad: std::f64::consts::FRAC_PI_2,
                share: 0.45,
            },
            carried,
            (x - 0.4, y),
        ),
        LegendKey::Moved => super::plan_moved::drawn((x + 1.0, y), (x + 7.0, y), 1.8, true),
        LegendKey::Stands(symbol) => symbol.items((x + 5.0, y + lifted(symbol)), false),
        LegendKey::Wanted(symbol) => symbol.items((x + 5.0, y + lifted(symbol)), true),
    }
}

/// How far a symbol's foot lies under its middle, mm.
fn lifted(symbol: super::Symbol) -> f64 {
    use super::Symbol;
    match symbol {
        Symbol::Mark(MarkKind::Vent) | Symbol::Mark(MarkKind::Relief) | Symbol::Gauge => 2.0,
        Symbol::Mark(MarkKind::Drain) => -2.2,
        Symbol::Mark(MarkKind::Anchor) | Symbol::Mark(MarkKind::Support) => -1.8,
        Symbol::Mark(MarkKind::Block) => -1.4,
        Symbol::Low => 1.9,
        Symbol::Crest => -1.9,
        Symbol::Mark(MarkKind::Stake) => 1.3,
        Symbol::Intake => 0.6,
        _ => 0.0,
    }
}

/// The round length that a bar shows: as long as has room.
fn bar_m(scale: &DrawingScale, longest_mm: f64) -> f64 {
    let step_m = scale.step_m(longest_mm / 2.5);
    if step_m * scale.mm_per_m() > longest_mm {
        scale.step_m(longest_mm / 5.0)
    } else {
        step_m
    }
}

/// A bar of a round length of ground, in fifths, lying at a place; gives its length too, mm.
fn scale_bar(scale: &DrawingScale, at: PaperPoint, longest_mm: f64, unit: &str) -> Vec<Item> {
    let (x, y) = at;
    let step_m = bar_m(scale, longest_mm);
    let long = step_m * scale.mm_per_m();
    let mut items: Vec<Item> = (0..5)
        .map(|i| {
            let from = x + long * f64::from(i) / 5.0;
            let patch = Box {
                left: from,
                top: y - 1.2,
                right: from + long / 5.0,
                bottom: y,
            };
            let fill = if i % 2 == 0 { Ink::BLACK } else { Ink::WHITE };
            Item::rectangle(patch, Some(Pen::new(Ink::BLACK, 0.2)), Some(fill))
        })
        .collect();
    items.push(Item::Text(
        Text::new((x, y + 3.0), HEAD_MM, Role::Ruling, "0").align(Align::Middle),
    ));
    items.push(Item::Text(
        Text::new(
            (x + long, y + 3.0),
            HEAD_MM,
            Role::Ruling,
            format!("{} {unit}", ruling(step_m, step_m, scale.units)),
        )
        .align(Align::Middle),
    ));
    items
}

/// A standing bar of a round height.
fn height_bar(scale: &DrawingScale, at: PaperPoint, longest_mm: f64, unit: &str) -> Vec<Item> {
    let (x, y) = at;
    let step_m = bar_m(scale, longest_mm);
    let long = step_m * scale.mm_per_m();
    let mut items: Vec<Item> = (0..5)
        .map(|i| {
            let from = y - long * f64::from(i) / 5.0;
            let patch = Box {
                left: x,
                top: from - long / 5.0,
                right: x + 1.2,
                bottom: from,
            };
            let fill = if i % 2 == 0 { Ink::BLACK } else { Ink::WHITE };
            Item::rectangle(patch, Some(Pen::new(Ink::BLACK, 0.2)), Some(fill))
        })
        .collect();
    items.push(Item::Text(Text::new(
        (x + 2.2, y),
        HEAD_MM,
        Role::Ruling,
        "0",
    )));
    items.push(Item::Text(Text::new(
        (x + 2.2, y - long + 1.9),
        HEAD_MM,
        Role::Ruling,
        format!("{} {unit}", ruling(step_m, step_m, scale.units)),
    )));
    items
}

/// Title block: what it is, and the words, broken into lines where they are long; so much is kept free below.
fn notes(notes: &[(String, String)], room: Box, kept_mm: f64) -> Vec<Item> {
    const PITCH_MM: f64 = 3.7;
    let head_room = notes
        .iter()
        .map(|(h, _)| text_width(h, HEAD_MM, false))
        .fold(0.0, f64::max)
        + 2.0;
    let text_room = room.right - room.left - head_room - 3.5;
    let mut left = rows_in(
        Box {
            top: room.top + 1.2,
            bottom: room.bottom - kept_mm,
            ..room
        },
        PITCH_MM,
    );
    let mut out = vec![Item::rectangle(
        room,
        Some(Pen::new(Ink::BLACK, 0.35)),
        None,
    )];
    let mut y = room.top + 3.9;
    for (i, (head, text)) in notes.iter().enumerate() {
        if left == 0 {
            break;
        }
        // One line is kept for each note still to come.
        let may_take = left.saturating_sub(notes.len() - i - 1).clamp(1, 3);
        let lines = broken(text, HEAD_MM, text_room, may_take);
        out.push(Item::Text(
            Text::new((room.left + 1.8, y), HEAD_MM, Role::Word, head.clone()).colour(Ink::GREY),
        ));
        for line in lines {
            out.push(Item::Text(Text::new(
                (room.left + 1.8 + head_room, y),
                HEAD_MM,
                Role::Ruling,
                line,
            )));
            y += PITCH_MM;
            left = left.saturating_sub(1);
        }
    }
    out
}

/// A text broken into at most so many lines; the last is cut with an ellipsis where it must be.
pub(super) fn broken(text: &str, size_mm: f64, room_mm: f64, most: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::new();
    for word in text.split_whitespace() {
        let longer = if line.is_empty() {
            word.to_owned()
        } else {
            format!("{line} {word}")
        };
        if lines.len() + 1 >= most
            || line.is_empty()
            || text_width(&longer, size_mm, false) <= room_mm
        {
            line = longer;
        } else {
            lines.push(std::mem::replace(&mut line, word.to_owned()));
        }
    }
    lines.push(line);
    lines
        .iter()
        .map(|l| fitted(l, size_mm, false, room_mm))
        .collect()
}
