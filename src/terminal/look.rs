//! How text is laid out for whoever reads it: how wide, and whether some of it stands out.

use crate::text::neutral;

/// Why a piece of text stands out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Tone {
    /// A heading.
    Head,
    /// Stop: do not fill or run.
    Stop,
    /// Something to fix.
    Fix,
    /// Something to watch.
    Watch,
}

/// Width and paint of a terminal. Words never depend on the paint.
#[derive(Debug, Clone, Copy)]
pub struct Look {
    /// Columns that lines are broken at.
    pub width: usize,
    /// Sets a piece of text off; as it is where nothing is painted.
    pub paint: fn(Tone, &str) -> String,
    /// Everything is told; else what fits one screen.
    pub full: bool,
}

impl Look {
    /// Width where nothing says another.
    pub const WIDTH: usize = 96;
    /// Less is not read: lines are then as long as this.
    pub const LEAST: usize = 20;
    /// More is not read either: the eye does not find the next line.
    pub const MOST: usize = 120;

    /// Text without paint, of a width within what is read.
    pub fn plain(width: usize) -> Self {
        Self {
            width: width.clamp(Self::LEAST, Self::MOST),
            paint: |_, text| text.to_owned(),
            full: true,
        }
    }

    /// A heading in a line of its own.
    pub fn head(&self, text: &str) -> String {
        let lines = self.wrapped(text, 0, 2);
        let mut out = (self.paint)(Tone::Head, lines.trim_end_matches('\n'));
        out.push('\n');
        out
    }

    /// Text broken into lines, the first indented by so much and the others by so much.
    pub fn wrapped(&self, text: &str, first: usize, rest: usize) -> String {
        let text = neutral(text);
        let mut out = " ".repeat(first);
        let mut at = first;
        // Leading blanks of the text itself (a column of figures) stay.
        let lead = text.chars().take_while(|c| *c == ' ').count();
        out.push_str(&" ".repeat(lead));
        at += lead;
        let mut fresh = true;
        for word in text.split(' ').filter(|w| !w.is_empty()) {
            let long = word.chars().count();
            if !fresh && at + 1 + long > self.width {
                out.push('\n');
                out.push_str(&" ".repeat(rest));
                at = rest;
                fresh = true;
            }
            if !fresh {
                out.push(' ');
                at += 1;
            }
            out.push_str(word);
            at += long;
            fresh = false;
        }
        out.push('\n');
        out
    }

    /// The same with its beginning, a number and a word, painted.
    pub fn marked(&self, tone: Tone, mark: &str, text: &str) -> String {
        let whole = self.wrapped(&format!("{mark}{text}"), 0, mark.chars().count());
        match whole.strip_prefix(mark.trim_end()) {
            Some(rest) => format!("{}{rest}", (self.paint)(tone, mark.trim_end())),
            None => whole,
        }
    }
}

impl Default for Look {
    fn default() -> Self {
        Self::plain(Self::WIDTH)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn lines_keep_to_their_width_and_no_word_is_lost(text in "[a-z]{1,12}( [a-z]{1,12}){0,30}", width in 0usize..150) {
            let look = Look::plain(width);
            let out = look.wrapped(&text, 2, 6);
            prop_assert!(out.lines().all(|l| l.chars().count() <= look.width));
            let words: Vec<&str> = out.split_whitespace().collect();
            prop_assert_eq!(words.join(" "), text);
        }
    }

    #[test]
    fn paint_changes_no_word() {
        let painted = Look {
            paint: |_, text| format!("<{text}>"),
            ..Look::plain(40)
        };
        let plain = Look::plain(40);
        let (mark, text) = (
            "  1 fix   ",
            "the pipe climbs 376 to 416 m and nothing lets the air out",
        );
        let with = painted.marked(Tone::Fix, mark, text);
        assert_eq!(
            with.replace(['<', '>'], ""),
            plain.marked(Tone::Fix, mark, text)
        );
        assert!(with.starts_with("<  1 fix>"));
    }
}
