/// A table for the terminal: columns as wide as they need be, figures to the right, words to the left.
#[derive(Debug, Clone, Default)]
pub struct Columns {
    heads: Vec<String>,
    right: Vec<bool>,
    rows: Vec<Vec<String>>,
}

impl Columns {
    /// A table; a head that begins with `>` sets its column to the right.
    pub fn new(heads: &[&str]) -> Self {
        Self {
            heads: heads
                .iter()
                .map(|h| h.trim_start_matches('>').to_owned())
                .collect(),
            right: heads.iter().map(|h| h.starts_with('>')).collect(),
            rows: Vec::new(),
        }
    }

    /// Adds a row; what came from a file is made harmless for a terminal.
    pub fn row(&mut self, cells: impl IntoIterator<Item = String>) {
        self.rows.push(
            cells
                .into_iter()
                .map(|c| crate::text::neutral(&c))
                .collect(),
        );
    }

    /// Whether there is no row.
    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    /// The lines, each indented by so many blanks and no longer than a width: the last column's words go on under themselves.
    pub fn folded(&self, indent: usize, width: usize) -> String {
        let look = super::look::Look {
            width,
            ..super::look::Look::default()
        };
        let heads = self.heads.len().saturating_sub(1);
        let longest = |i: usize| {
            let cells = self.rows.iter().filter_map(|r| r.get(i));
            cells.map(|c| c.chars().count()).max().unwrap_or(0)
        };
        let rest = indent + (0..heads).map(|i| longest(i) + 2).sum::<usize>();
        let mut out = String::new();
        for row in &self.rows {
            let mut first = " ".repeat(indent);
            for (i, cell) in row.iter().take(heads).enumerate() {
                let pad = (longest(i) + 2).saturating_sub(cell.chars().count());
                first.push_str(cell);
                first.push_str(&" ".repeat(pad));
            }
            let last = look.wrapped(row.last().map_or("", String::as_str), rest, rest);
            out.push_str(first.trim_end());
            match last.get(first.trim_end().len()..) {
                Some(words) if last.is_char_boundary(first.trim_end().len()) => out.push_str(words),
                _ => out.push_str(&last),
            }
        }
        out
    }

    /// The lines, each indented by so many blanks.
    pub fn text(&self, indent: usize) -> String {
        let width = |i: usize| {
            std::iter::once(&self.heads)
                .chain(&self.rows)
                .filter_map(|r| r.get(i))
                .map(|c| c.chars().count())
                .max()
                .unwrap_or(0)
        };
        let widths: Vec<usize> = (0..self.heads.len()).map(width).collect();
        let mut out = String::new();
        let heads = self
            .heads
            .iter()
            .any(|h| !h.is_empty())
            .then_some(&self.heads);
        for row in heads.into_iter().chain(&self.rows) {
            let mut line = " ".repeat(indent);
            for ((cell, width), right) in row.iter().zip(&widths).zip(&self.right) {
                let pad = " ".repeat(width.saturating_sub(cell.chars().count()));
                if *right {
                    line.push_str(&pad);
                    line.push_str(cell);
                } else {
                    line.push_str(cell);
                    line.push_str(&pad);
                }
                line.push_str("  ");
            }
            out.push_str(line.trim_end());
            out.push('\n');
        }
        out
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_words_go_on_under_themselves() {
        let mut table = Columns::new(&["", ""]);
        table.row(["drop".to_owned(), "78 m".to_owned()]);
        table.row([
            "net head".to_owned(),
            "67 m, 13 % lost on the way down".to_owned(),
        ]);
        assert_eq!(
            table.folded(2, 30),
            "  drop      78 m\n  net head  67 m, 13 % lost on\n            the way down\n"
        );
    }

    #[test]
    fn figures_stand_right_and_words_left() {
        let mut table = Columns::new(&["name", ">head"]);
        table.row(["a".to_owned(), "7.5 m".to_owned()]);
        table.row(["longer".to_owned(), "12 m".to_owned()]);
        assert_eq!(
            table.text(2),
            "  name     head\n  a       7.5 m\n  longer   12 m\n"
        );
    }
}
