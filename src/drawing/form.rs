//! A blank sheet to write on by hand: heads, ruled rows, room for who and when.

use super::advance::{fitted, text_width};
use super::foot::broken;
use super::ink::{Ink, Pen};
use super::item::{Align, Box, Item, PaperSheet, Role, Text};
use super::paper::{EDGE_MM, PaperSize};

/// What a blank sheet asks for.
#[derive(Debug, Clone)]
pub struct FieldForm {
    /// Its title.
    pub title: String,
    /// What to write into the head: site, day, who.
    pub asks: Vec<String>,
    /// Heads of the columns.
    pub heads: Vec<String>,
    /// How to write it, line by line.
    pub hints: Vec<String>,
}

/// Height of a row that a cold hand can write in, mm.
const ROW_MM: f64 = 8.0;

/// The sheet, upright.
pub fn form(form: &FieldForm, paper: PaperSize) -> PaperSheet {
    let (high, wide) = paper.size_mm();
    let right = wide - EDGE_MM;
    let pen = Pen::new(Ink::BLACK, 0.25);
    let mut items = vec![Item::Text(
        Text::new(
            (EDGE_MM, EDGE_MM + 5.0),
            5.2,
            Role::Word,
            fitted(&form.title, 5.2, true, right - EDGE_MM),
        )
        .bold(),
    )];
    // Heads to fill in, two a line, each with a line to write on.
    let mut y = EDGE_MM + 15.0;
    for pair in form.asks.chunks(2) {
        for (i, ask) in pair.iter().enumerate() {
            let left = if i == 0 { EDGE_MM } else { 0.5 * wide + 2.0 };
            let end = if i == 0 { 0.5 * wide - 2.0 } else { right };
            items.push(Item::Text(
                Text::new((left, y), 3.2, Role::Word, ask.clone()).colour(Ink::GREY),
            ));
            items.push(Item::line(
                vec![
                    (left + text_width(ask, 3.2, false) + 2.0, y + 0.6),
                    (end, y + 0.6),
                ],
                pen,
            ));
        }
        y += 8.5;
    }
    for line in form
        .hints
        .iter()
        .flat_map(|h| broken(h, 2.8, right - EDGE_MM, 3))
    {
        items.push(Item::Text(Text::new((EDGE_MM, y), 2.8, Role::Word, line)));
        y += 4.2;
    }
    y += 2.0;
    // A column has the room its head needs; what is left is shared out.
    let needs: Vec<f64> = form
        .heads
        .iter()
        .map(|h| text_width(h, 3.0, true) + 3.0)
        .collect();
    let spare = (right - EDGE_MM - needs.iter().sum::<f64>()).max(0.0);
    let share = spare / form.heads.len().max(1) as f64;
    let bottom = y + ROW_MM * ((high - EDGE_MM - y) / ROW_MM).floor();
    let mut x = EDGE_MM;
    let mut columns = vec![vec![(x, y), (x, bottom)]];
    for (head, need) in form.heads.iter().zip(&needs) {
        let room = need + share;
        items.push(Item::Text(
            Text::new((x + 0.5 * room, y + 5.2), 3.0, Role::Word, head.clone())
                .align(Align::Middle)
                .bold(),
        ));
        x += room;
        columns.push(vec![(x, y), (x, bottom)]);
    }
    let mut rows = Vec::new();
    let mut row = y + ROW_MM;
    while row < bottom - 0.1 {
        rows.push(vec![(EDGE_MM, row), (x, row)]);
        row += ROW_MM;
    }
    items.push(Item::lines(rows, Pen::new(Ink::PALE, 0.2)));
    items.push(Item::lines(columns, pen));
    items.push(Item::rectangle(
        Box {
            left: EDGE_MM,
            top: y,
            right: x,
            bottom,
        },
        Some(Pen::new(Ink::BLACK, 0.4)),
        None,
    ));
    items.push(Item::line(
        vec![(EDGE_MM, y + ROW_MM), (x, y + ROW_MM)],
        Pen::new(Ink::BLACK, 0.4),
    ));
    PaperSheet {
        width_mm: wide,
        height_mm: high,
        title: form.title.clone(),
        description: form.hints.join(" "),
        items,
    }
}
