//! What stands round a drawing: title, legend, scale bars, title block.

use super::advance::{fitted, text_width};
use super::ink::{Ink, Pen};
use super::item::{Align, Box, Item, PaperPoint, Role, Text};
use super::paper::EDGE_MM;
use crate::numeric::math;

/// Type of the sheet, mm: what is read at arm's length.
pub(super) const TYPE_MM: f64 = 2.6;
/// Type of heads.
pub(super) const HEAD_MM: f64 = 2.5;
/// Type of the title.
pub(super) const TITLE_MM: f64 = 5.2;
/// Height of the strip with the title.
pub(super) const TITLE_STRIP_MM: f64 = 13.0;

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
    /// Head of the pressure axis.
    pub pressures: String,
    /// What everybody who carries the sheet to the site must heed.
    pub caution: String,
    /// Head of a sheet of rising sections.
    pub rises: String,
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

/// A line with short strokes under it, as ground is drawn.
pub(super) fn ground_line(points: &[PaperPoint]) -> Vec<Item> {
    let strokes = Strokes {
        first_mm: 1.0,
        every_mm: 2.2,
        by: (-0.8, 1.0),
    };
    vec![
        Item::line(points.to_vec(), Ink::GROUND_PEN),
        Item::lines(strokes.along(points), Pen::new(Ink::EARTH, 0.18)),
    ]
}

/// The limit of a pipe: a heavy broken line with strokes on the side that is forbidden.
pub(super) fn rating_line(points: &[PaperPoint]) -> Vec<Item> {
    let strokes = Strokes {
        first_mm: 2.0,
        every_mm: 6.2,
        by: (0.9, -1.3),
    };
    vec![
        Item::line(points.to_vec(), Ink::RATING_PEN),
        Item::lines(strokes.along(points), Pen::new(Ink::RATING, 0.25)),
    ]
}

/// Short strokes at even distances along a line, all to one side.
struct Strokes {
    first_mm: f64,
    every_mm: f64,
    /// From the line to a stroke's free end, across and down.
    by: (f64, f64),
}

impl Strokes {
    fn along(&self, points: &[PaperPoint]) -> Vec<Vec<PaperPoint>> {
        let mut strokes = Vec::new();
        let mut carried = self.first_mm;
        for pair in points.windows(2) {
            let [(x0, y0), (x1, y1)] = pair else { continue };
            let long = math::hypot(x1 - x0, y1 - y0);
            while carried < long {
                let share = carried / long;
                let (x, y) = (x0 + share * (x1 - x0), y0 + share * (y1 - y0));
                strokes.push(vec![(x, y), (x + self.by.0, y + self.by.1)]);
                carried += self.every_mm;
            }
            carried -= long;
        }
        strokes
    }
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
