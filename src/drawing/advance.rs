//! Widths of letters, so that a sheet comes out the same on every machine: nothing is asked of the machine's own fonts.

/// Advance widths of the printable ASCII letters in thousandths of the type size, from the blank on: a plain sans serif of the common proportions.
const ADVANCE: [u16; 95] = [
    278, 278, 355, 556, 556, 889, 667, 191, 333, 333, 389, 584, 278, 333, 278, 278, 556, 556, 556,
    556, 556, 556, 556, 556, 556, 556, 278, 278, 584, 584, 584, 556, 1015, 667, 667, 722, 722, 667,
    611, 778, 722, 278, 500, 667, 556, 833, 722, 778, 667, 778, 722, 667, 611, 722, 667, 944, 667,
    667, 611, 278, 278, 278, 469, 556, 333, 556, 556, 500, 556, 556, 278, 556, 556, 222, 222, 500,
    222, 833, 556, 556, 556, 556, 333, 500, 278, 556, 500, 722, 500, 500, 500, 334, 260, 334, 584,
];

/// Fonts differ by a few per cent; text is given that much more room than the table says.
const ROOM: f64 = 1.06;

/// Bold letters are wider.
const BOLD: f64 = 1.08;

/// Width of a letter in type sizes.
fn advance(letter: char) -> f64 {
    let code = u32::from(letter);
    let ascii = code
        .checked_sub(32)
        .and_then(|i| usize::try_from(i).ok())
        .and_then(|i| ADVANCE.get(i));
    match ascii {
        Some(thousandths) => f64::from(*thousandths) / 1000.0,
        // Combining marks take no room of their own; Latin letters with signs take that of the widest small ones; the rest is taken full square.
        None if (0x0300..0x0370).contains(&code) => 0.0,
        None if code < 0x0590 => 0.75,
        None => 1.1,
    }
}

/// Width of a text, mm.
pub fn text_width(text: &str, size_mm: f64, bold: bool) -> f64 {
    let sizes: f64 = text.chars().map(advance).sum();
    sizes * size_mm * ROOM * if bold { BOLD } else { 1.0 }
}

/// A text cut with an ellipsis so that it fits into so many millimetres.
pub fn fitted(text: &str, size_mm: f64, bold: bool, room_mm: f64) -> String {
    if text_width(text, size_mm, bold) <= room_mm {
        return text.to_owned();
    }
    let mut out = String::new();
    let mut long = text_width("\u{2026}", size_mm, bold);
    for letter in text.chars() {
        long += text_width(letter.encode_utf8(&mut [0; 4]), size_mm, bold);
        if long > room_mm {
            break;
        }
        out.push(letter);
    }
    out.truncate(out.trim_end().len());
    out.push('\u{2026}');
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_text_is_cut_to_its_room() {
        assert_eq!(fitted("vent", 2.5, false, 20.0), "vent");
        let cut = fitted("a very long name of a place", 2.5, false, 20.0);
        assert!(
            cut.ends_with('\u{2026}') && text_width(&cut, 2.5, false) <= 20.0,
            "{cut}"
        );
        assert!(text_width("WWW", 2.5, false) > text_width("iii", 2.5, false));
    }
}
