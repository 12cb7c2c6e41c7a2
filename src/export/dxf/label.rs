//! Room for the texts of a drawing, so that none stands over another. As on paper, down is more: a room's top is less than its bottom.

use super::drawing::{Drawing, Layer};
use crate::drawing::TextBox;

/// Width of a letter over its height: programs that draw on have fonts of their own, the widest common ones are as wide as high.
const WIDTH: f64 = 1.0;
/// What hangs below the line of writing, over the height of a letter.
const BELOW: f64 = 0.35;

/// Width and height of a text on one line.
pub(super) fn size(text: &str, letter: f64) -> (f64, f64) {
    let count = text.chars().count() as f64;
    (WIDTH * count * letter, (1.0 + BELOW) * letter)
}

/// The room with its top left corner at a place.
pub(super) fn room((left, top): (f64, f64), (wide, high): (f64, f64)) -> TextBox {
    TextBox {
        left,
        top,
        right: left + wide,
        bottom: top + high,
    }
}

/// Writes a text into its room.
pub(super) fn write(drawing: &mut Drawing, layer: Layer, room: &TextBox, letter: f64, text: &str) {
    let line = -(room.top + letter);
    drawing.text(layer, [room.left, line], letter, 0.0, text);
}

/// Whether a room is free of those taken, with a gap of a fifth of a letter.
pub(super) fn free(room: &TextBox, taken: &[TextBox], letter: f64) -> bool {
    let wide = grown(room, 0.2 * letter);
    !taken.iter().any(|t| t.meets(&wide))
}

/// A room with so much more on each side.
pub(super) fn grown(of: &TextBox, by: f64) -> TextBox {
    TextBox {
        left: of.left - by,
        top: of.top - by,
        right: of.right + by,
        bottom: of.bottom + by,
    }
}
