//! A book of gauge readings, for the terminal.

use super::look::{Look, Tone};
use crate::gauge_book::{GaugeBook, JudgedBook};
use crate::line::Line;
use crate::unit::Units;
use crate::words::{Say, gauge_book as words};

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
    for row in words::alone(judged, book) {
        out.push_str(&look.wrapped(&row, 0, 2));
    }
    for remark in &book.remarks {
        out.push_str(&look.wrapped(&units.say(&remark.text), 0, 2));
    }
    out.push_str(&look.wrapped(words::CAUTION, 0, 2));
    out
}
