use super::{Fault, Place, Sentence};

/// A text with its lines counted, so that a byte offset becomes a line and a column without reading the text again.
///
/// Lines end with LF, CR LF or a lone CR; lines and columns count from 1 and a column counts characters.
#[derive(Debug, Clone)]
pub struct Lines<'a> {
    file: &'a str,
    text: &'a str,
    starts: Vec<usize>,
}

impl<'a> Lines<'a> {
    /// Counts the lines of a text that came from `file`.
    pub fn new(file: &'a str, text: &'a str) -> Self {
        let bytes = text.as_bytes();
        let starts = std::iter::once(0)
            .chain(
                bytes
                    .iter()
                    .enumerate()
                    .filter(|&(at, &b)| {
                        b == b'\n' || (b == b'\r' && bytes.get(at + 1) != Some(&b'\n'))
                    })
                    .map(|(at, _)| at + 1),
            )
            .collect();
        Self { file, text, starts }
    }

    /// Line and column of a byte offset; an offset inside a character counts as that character, one past the end as the end.
    pub fn position(&self, byte: usize) -> (u32, u32) {
        let byte = byte.min(self.text.len());
        let line = self.starts.partition_point(|&s| s <= byte).max(1);
        let start = line
            .checked_sub(1)
            .and_then(|i| self.starts.get(i))
            .copied()
            .unwrap_or(0);
        let before = self.text.get(start..).map_or(0, |rest| {
            rest.char_indices()
                .take_while(|&(at, c)| start + at + c.len_utf8() <= byte)
                .count()
        });
        (count(line), count(before + 1))
    }

    /// The line a byte offset stands on, without its end.
    pub fn line_at(&self, byte: usize) -> &'a str {
        let (line, _) = self.position(byte);
        self.line(line)
    }

    /// A line by its number from 1, without its end; empty where there is none.
    pub fn line(&self, number: u32) -> &'a str {
        let index = (number as usize).saturating_sub(1);
        let Some(&start) = self.starts.get(index) else {
            return "";
        };
        let end = self
            .starts
            .get(index + 1)
            .copied()
            .unwrap_or(self.text.len());
        self.text
            .get(start..end)
            .unwrap_or("")
            .trim_end_matches(['\n', '\r'])
    }

    /// The byte offset of a line and column; the end of the line where it is shorter.
    pub fn byte(&self, line: u32, column: u32) -> usize {
        let index = (line as usize).saturating_sub(1);
        let start = self.starts.get(index).copied().unwrap_or(self.text.len());
        let chars = self.line(line).chars();
        start
            + chars
                .take((column as usize).saturating_sub(1))
                .map(char::len_utf8)
                .sum::<usize>()
    }

    /// The place of a byte offset.
    pub fn place(&self, byte: usize) -> Place {
        let (line, column) = self.position(byte);
        Place::line(self.file, line).column(column)
    }

    /// A fault at a byte offset, with its line for the caret.
    pub fn fault(&self, byte: usize, text: impl Into<Sentence>) -> Fault {
        Fault::new(self.place(byte), text).source_line(self.line_at(byte))
    }
}

/// A count as it stands in a place; a file of more than 4 thousand million lines is out of reach.
pub(super) fn count(n: usize) -> u32 {
    u32::try_from(n).unwrap_or(u32::MAX)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_ending_makes_a_line() {
        let text = "a\nb\r\nc\rd";
        let lines = Lines::new("f", text);
        assert_eq!(lines.position(0), (1, 1));
        assert_eq!(lines.position(2), (2, 1));
        assert_eq!(lines.position(5), (3, 1));
        assert_eq!(lines.position(7), (4, 1));
        assert_eq!(lines.line(2), "b");
        assert_eq!(lines.line(4), "d");
        assert_eq!(lines.line(9), "");
    }

    #[test]
    fn a_column_counts_characters() {
        let lines = Lines::new("f", "°C = x");
        assert_eq!(lines.position(6), (1, 6));
        assert_eq!(lines.position(1), (1, 1));
        assert_eq!(lines.position(99), (1, 7));
        assert_eq!(lines.byte(1, 6), 6);
    }
}
