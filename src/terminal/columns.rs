/// A table for the terminal: columns as wide as they need be, figures to the right, words to the left.
#[derive(Debug, Clone, Default)]
pub struct Columns {
    heads: Vec<String>,
    right: Vec<bool>,
    rows: Vec<Vec<String>>,
}

/// Fewer columns beside a row's heads hold no words.
const LEAST_BESIDE: usize = 10;

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
            let last = row.last().map_or("", String::as_str);
            if rest + LEAST_BESIDE > width {
                // No room beside the heads: what they head stands below them.
                out.push_str(&look.wrapped(first.trim(), indent, indent + 2));
                out.push_str(&look.wrapped(last, indent + 2, indent + 2));
                continue;
            }
            let last = look.wrapped(last, rest, rest);
            out.push_str(first.trim_end());
            match last.get(first.trim_end().len()..) {
                Some(words) if last.is_char_boundary(first.trim_end().len()) => out.push_str(words),
                _ => out.push_str(&last),
            }
        }
        out
    }

    /// The table in parts, none wider than a width: the first columns, which name a row, begin each part.
    pub fn parts(&self, indent: usize, width: usize, named_by: usize) -> Vec<Self> {
        let wide = |i: usize| self.wide(i) + 2;
        let own: usize = indent + (0..named_by).map(wide).sum::<usize>();
        let mut parts: Vec<Vec<usize>> = Vec::new();
        let mut used = usize::MAX;
        for i in named_by..self.heads.len() {
            used = used.saturating_add(wide(i));
            match parts.last_mut() {
                Some(part) if used.saturating_sub(2) <= width => part.push(i),
                _ => {
                    parts.push((0..named_by).chain([i]).collect());
                    used = own + wide(i);
                }
            }
        }
        let some = |of: &[String], part: &[usize]| -> Vec<String> {
            part.iter().filter_map(|i| of.get(*i).cloned()).collect()
        };
        parts
            .iter()
            .map(|part| Self {
                heads: some(&self.heads, part),
                right: part
                    .iter()
                    .filter_map(|i| self.right.get(*i).copied())
                    .collect(),
                rows: self.rows.iter().map(|row| some(row, part)).collect(),
            })
            .collect()
    }

    /// Letters of the widest cell of a column.
    fn wide(&self, column: usize) -> usize {
        std::iter::once(&self.heads)
            .chain(&self.rows)
            .filter_map(|r| r.get(column))
            .map(|c| c.chars().count())
            .max()
            .unwrap_or(0)
    }

    /// The lines, each indented by so many blanks.
    pub fn text(&self, indent: usize) -> String {
        let widths: Vec<usize> = (0..self.heads.len()).map(|i| self.wide(i)).collect();
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
    fn a_wide_table_goes_on_below_with_its_names() {
        let mut table = Columns::new(&["size", ">flow", ">head", ">power"]);
        table.row(["DN 90", "8 L/s", "55 m", "4 kW"].map(str::to_owned));
        let lines: Vec<String> = table
            .parts(2, 20, 1)
            .iter()
            .flat_map(|p| p.text(2).lines().map(str::to_owned).collect::<Vec<_>>())
            .collect();
        assert_eq!(
            lines,
            [
                "  size    flow  head",
                "  DN 90  8 L/s  55 m",
                "  size   power",
                "  DN 90   4 kW",
            ]
        );
        assert_eq!(table.parts(2, 96, 1).len(), 1, "what fits stays whole");
        assert_eq!(table.parts(2, 5, 1).len(), 3, "one column at least");
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
