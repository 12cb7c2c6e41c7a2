//! Labels on the plan: each beside its place where there is room, further off with a leader where there is none, never over another.

use super::advance::text_width;
use super::cut::cut;
use super::ink::{Colour, Ink, Pen};
use super::item::{Box, Item, PaperPoint, Role, Text};

/// A label that wants a place.
pub(super) struct PlanLabel {
    /// What it speaks of.
    pub(super) at: PaperPoint,
    /// Its words.
    pub(super) text: String,
    /// What it is for.
    pub(super) role: Role,
    /// How far its symbol reaches, mm.
    pub(super) reach_mm: f64,
    /// It is set further off with a leader rather than left out.
    pub(super) must: bool,
    /// Its colour.
    pub(super) colour: Colour,
}

/// Directions tried round a place, in order of liking.
const ROUND: [(f64, f64); 8] = [
    (1.0, 0.0),
    (-1.0, 0.0),
    (0.7, -0.7),
    (-0.7, -0.7),
    (0.7, 0.7),
    (-0.7, 0.7),
    (0.0, -1.0),
    (0.0, 1.0),
];

/// The labels, in the order wanted: the first has the first choice.
pub(super) fn placed(
    wanted: &[PlanLabel],
    line: &[PaperPoint],
    kept_free: &[Box],
    area: &Box,
    size_mm: f64,
) -> Vec<Item> {
    let mut taken: Vec<Box> = kept_free.to_vec();
    let mut items = Vec::new();
    for label in wanted {
        let (wide, high) = (text_width(&label.text, size_mm, false), 0.96 * size_mm);
        let far: &[f64] = if label.must {
            &[0.0, 3.5, 7.0, 11.0, 16.0, 22.0, 29.0, 37.0]
        } else {
            &[0.0]
        };
        let fits = |room: &Box| {
            area.holds(&grown(room, 0.6))
                && !taken.iter().any(|t| t.meets(&grown(room, 0.4)))
                && !crosses(line, &grown(room, 0.5))
        };
        let found = room_beside(
            label.at,
            (wide, high),
            label.reach_mm,
            far.iter().copied(),
            fits,
        );
        let Some((room, off)) = found else { continue };
        taken.push(room);
        if off > 0.0 {
            let to = (
                label.at.0.clamp(room.left, room.right),
                label.at.1.clamp(room.top, room.bottom),
            );
            items.push(Item::line(vec![label.at, to], Pen::new(Ink::PALE, 0.16)));
        }
        items.push(Item::Text(
            Text::new(
                (room.left, room.top + 0.74 * size_mm),
                size_mm,
                label.role,
                label.text.clone(),
            )
            .colour(label.colour),
        ));
    }
    items
}

/// Room for a label of a width and a height round a place that reaches so far: the nearest that fits, and how much further off it is.
pub fn room_beside(
    at: PaperPoint,
    (wide, high): (f64, f64),
    reach: f64,
    off: impl IntoIterator<Item = f64>,
    fits: impl Fn(&Box) -> bool,
) -> Option<(Box, f64)> {
    off.into_iter().find_map(|off| {
        ROUND.iter().find_map(|(dx, dy)| {
            let reach = reach + off;
            let (x, y) = (at.0 + dx * reach, at.1 + dy * reach);
            let left = x + wide * (dx.signum() * f64::from(u8::from(*dx != 0.0)) - 1.0) / 2.0;
            let top = y + high * (dy - 1.0) / 2.0;
            let room = Box {
                left,
                top,
                right: left + wide,
                bottom: top + high,
            };
            fits(&room).then_some((room, off))
        })
    })
}

fn grown(of: &Box, by: f64) -> Box {
    Box {
        left: of.left - by,
        top: of.top - by,
        right: of.right + by,
        bottom: of.bottom + by,
    }
}

/// Whether the line runs through a rectangle.
pub fn crosses(line: &[PaperPoint], area: &Box) -> bool {
    line.windows(2).any(|pair| match pair {
        [p, q] => cut(*p, *q, area).is_some(),
        _ => false,
    })
}
