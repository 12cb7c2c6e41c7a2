//! What stands round a drawing: title, legend, scale bars, title block.

use super::advance::{fitted, text_width};
use super::ink::{Ink, Pen};
use super::item::{Align, At, Box, Item, Role, Text};
use super::paper::EDGE_MM;
use super::scale::{Scale, ruling};
use super::section::{Key, Trace};

/// Type of the sheet, mm: what is read at arm's length.
pub(super) const TYPE_MM: f64 = 2.6;
/// Type of heads.
pub(super) const HEAD_MM: f64 = 2.5;
/// Type of the title.
pub(super) const TITLE_MM: f64 = 5.2;
/// Height of the strip with the title.
pub(super) const TITLE_STRIP_MM: f64 = 13.0;
/// Height of the strip with legend, scale bars and title block.
pub(super) const FOOT_STRIP_MM: f64 = 31.0;

/// Words of a frame.
#[derive(Debug, Clone)]
pub struct Words {
    /// Name of the site.
    pub title: String,
    /// What is said of it in one line.
    pub verdict: String,
    /// What the drawing is.
    pub kind: String,
    /// Both scales in words.
    pub scales: fn(&str, &str) -> String,
    /// One scale in words.
    pub scale: fn(&str) -> String,
    /// Head of the scales in the title block.
    pub scale_head: String,
    /// Which sheet of how many.
    pub sheet_of: fn(usize, usize) -> String,
    /// Head of the height axis.
    pub heights: String,
    /// Head of the station axis.
    pub stations: String,
    /// Head of the row of pipes.
    pub pipes: String,
    /// Unit of length.
    pub unit: String,
    /// Said where what the pipe may take lies above the sheet.
    pub rating_above: String,
}

/// Title above, with a rule under it.
pub(super) fn title(words: &Words, which: &str, width_mm: f64) -> Vec<Item> {
    let right = width_mm - EDGE_MM;
    let kind = if which.is_empty() {
        words.kind.clone()
    } else {
        format!("{}, {which}", words.kind)
    };
    let kind_width = text_width(&kind, 3.2, false);
    let room = right - EDGE_MM - kind_width - 6.0;
    vec![
        Item::Text(
            Text::new(
                (EDGE_MM, EDGE_MM + 4.4),
                TITLE_MM,
                Role::Word,
                fitted(&words.title, TITLE_MM, true, room),
            )
            .bold(),
        ),
        Item::Text(
            Text::new((right, EDGE_MM + 4.4), 3.2, Role::Ruling, kind)
                .align(Align::End)
                .colour(Ink::GREY),
        ),
        Item::Text(Text::new(
            (EDGE_MM, EDGE_MM + 10.0),
            3.4,
            Role::Figure,
            fitted(&words.verdict, 3.4, false, right - EDGE_MM),
        )),
        Item::line(
            vec![
                (EDGE_MM, EDGE_MM + TITLE_STRIP_MM - 0.6),
                (right, EDGE_MM + TITLE_STRIP_MM - 0.6),
            ],
            Pen::new(Ink::BLACK, 0.5),
        ),
    ]
}

/// Legend in columns inside a box; what finds no room is left out, the least common last.
pub(super) fn legend(keys: &[(Key, String)], room: Box) -> Vec<Item> {
    const SAMPLE_MM: f64 = 10.0;
    let rows = rows_in(room, 4.9);
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
            #[expect(clippy::cast_precision_loss, reason = "a number of rows")]
            let y = room.top + 4.9 * (row as f64 + 0.5);
            out.extend(sample(*key, (left, y)));
            out.push(Item::Text(Text::new(
                (left + SAMPLE_MM + 1.5, y + 0.9),
                TYPE_MM,
                Role::Word,
                fitted(text, TYPE_MM, false, text_room),
            )));
        }
        left += SAMPLE_MM + 1.5 + text_room + 4.0;
    }
    out
}

fn rows_in(room: Box, pitch_mm: f64) -> usize {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a number of rows"
    )]
    let rows = ((room.bottom - room.top) / pitch_mm).floor().max(0.0) as usize;
    rows
}

/// The sign itself, 10 mm wide, its middle at a height.
fn sample(key: Key, at: At) -> Vec<Item> {
    let (x, y) = at;
    let across = |pen| Item::line(vec![(x, y), (x + 10.0, y)], pen);
    let patch = Box {
        left: x + 1.0,
        top: y - 1.7,
        right: x + 9.0,
        bottom: y + 1.7,
    };
    match key {
        Key::Pipe => vec![across(Ink::PIPE_PEN)],
        Key::Doubt => vec![
            Item::rectangle(patch, None, Some(Ink::DOUBT)),
            across(Ink::PIPE_PEN),
        ],
        Key::Ground => ground_line(&[(x, y), (x + 10.0, y)]),
        Key::Trace(Trace::Rating) => rating_line(&[(x, y), (x + 10.0, y)]),
        Key::Trace(trace) => vec![across(trace.pen())],
        Key::Climb => vec![
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
        Key::Unsure => {
            let mut items = hatched(patch);
            items.push(across(Ink::UNSURE_PIPE_PEN));
            items
        }
        Key::PlanClimb => vec![
            Item::line(vec![(x, y), (x + 10.0, y)], Pen::new(Ink::AIR, 2.4)),
            across(Ink::PIPE_PEN),
        ],
        Key::PlanUnsure => vec![
            Item::line(vec![(x, y), (x + 10.0, y)], Pen::new(Ink::CLIMB, 2.4)),
            across(Ink::UNSURE_PIPE_PEN),
        ],
        Key::Bend => vec![
            across(Ink::PIPE_PEN),
            Item::Circle {
                at: (x + 5.0, y),
                radius_mm: 1.9,
                pen: Some(Pen::new(Ink::STILL, 0.35)),
                fill: None,
            },
        ],
        Key::Stands(symbol) => symbol.items((x + 5.0, y + lifted(symbol)), false),
        Key::Wanted(symbol) => symbol.items((x + 5.0, y + lifted(symbol)), true),
    }
}

/// How far a symbol's foot lies under its middle, mm.
fn lifted(symbol: super::Symbol) -> f64 {
    use super::Symbol;
    match symbol {
        Symbol::Vent | Symbol::Relief | Symbol::Gauge => 2.0,
        Symbol::Drain => -2.2,
        Symbol::Anchor | Symbol::Support => -1.8,
        Symbol::Block | Symbol::Low => -1.4,
        Symbol::Stake | Symbol::Crest => 1.3,
        Symbol::Intake => 0.6,
        _ => 0.0,
    }
}

/// A line with short strokes under it, as ground is drawn.
pub(super) fn ground_line(points: &[At]) -> Vec<Item> {
    let mut strokes = Vec::new();
    let mut carried = 1.0;
    for pair in points.windows(2) {
        let [(x0, y0), (x1, y1)] = pair else { continue };
        let long = (x1 - x0).hypot(y1 - y0);
        while carried < long {
            let share = carried / long;
            let (x, y) = (x0 + share * (x1 - x0), y0 + share * (y1 - y0));
            strokes.push(vec![(x, y), (x - 0.8, y + 1.0)]);
            carried += 2.2;
        }
        carried -= long;
    }
    vec![
        Item::line(points.to_vec(), Ink::GROUND_PEN),
        Item::lines(strokes, Pen::new(Ink::EARTH, 0.18)),
    ]
}

/// The limit of a pipe: a heavy broken line with strokes on the side that is forbidden.
pub(super) fn rating_line(points: &[At]) -> Vec<Item> {
    let mut strokes = Vec::new();
    let mut carried = 2.0;
    for pair in points.windows(2) {
        let [(x0, y0), (x1, y1)] = pair else { continue };
        let long = (x1 - x0).hypot(y1 - y0);
        while carried < long {
            let share = carried / long;
            let (x, y) = (x0 + share * (x1 - x0), y0 + share * (y1 - y0));
            strokes.push(vec![(x, y), (x + 0.9, y - 1.3)]);
            carried += 6.2;
        }
        carried -= long;
    }
    vec![
        Item::line(points.to_vec(), Ink::RATING_PEN),
        Item::lines(strokes, Pen::new(Ink::RATING, 0.25)),
    ]
}

/// A rectangle hatched: what the survey cannot tell.
pub(super) fn hatched(of: Box) -> Vec<Item> {
    const PITCH_MM: f64 = 1.9;
    let (wide, high) = (of.right - of.left, of.bottom - of.top);
    let mut strokes = Vec::new();
    let mut along = PITCH_MM / 2.0;
    // Strokes rise to the right; each is cut to the rectangle.
    while along < wide + high {
        let (x0, y0) = if along <= high {
            (of.left, of.top + along)
        } else {
            (of.left + along - high, of.bottom)
        };
        let (x1, y1) = if along <= wide {
            (of.left + along, of.top)
        } else {
            (of.right, of.top + along - wide)
        };
        strokes.push(vec![(x0, y0), (x1, y1)]);
        along += PITCH_MM;
    }
    let edges = vec![
        vec![(of.left, of.top), (of.left, of.bottom)],
        vec![(of.right, of.top), (of.right, of.bottom)],
    ];
    vec![
        Item::lines(strokes, Pen::new(Ink::UNSURE, 0.16)),
        Item::lines(
            edges,
            Pen::new(Ink::UNSURE, 0.25).dashed(super::ink::Dash::Short),
        ),
    ]
}

/// A bar of a round length of ground, in fifths, lying at a place; gives its length too, mm.
pub(super) fn scale_bar(scale: &Scale, at: At, longest_mm: f64, unit: &str) -> Vec<Item> {
    let (x, y) = at;
    let mut step_m = scale.step_m(longest_mm / 2.5);
    if step_m * scale.mm_per_m() > longest_mm {
        step_m = scale.step_m(longest_mm / 5.0);
    }
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
pub(super) fn height_bar(scale: &Scale, at: At, longest_mm: f64, unit: &str) -> Vec<Item> {
    let (x, y) = at;
    let mut step_m = scale.step_m(longest_mm / 2.5);
    if step_m * scale.mm_per_m() > longest_mm {
        step_m = scale.step_m(longest_mm / 5.0);
    }
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

/// Title block: what it is, and the words, broken into lines where they are long.
pub(super) fn notes(notes: &[(String, String)], room: Box) -> Vec<Item> {
    const PITCH_MM: f64 = 3.75;
    let head_room = notes
        .iter()
        .map(|(h, _)| text_width(h, HEAD_MM, false))
        .fold(0.0, f64::max)
        + 2.0;
    let text_room = room.right - room.left - head_room - 3.5;
    let mut left = rows_in(
        Box {
            top: room.top + 1.2,
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
