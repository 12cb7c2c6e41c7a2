use super::cell::{Cell, Row};
use super::lines::count;
use super::records::Records;
use super::{Fault, Lines, NoNumber, Place, Remark, Sentence, number};

/// A sheet of cells: one row of heads and rows under it, each cell knowing where it stood.
///
/// Cells are parted by comma, semicolon or tab, told from the row of heads. Lines that begin with `#`, blank lines, rows of empty cells
/// and heads that are repeated further down are passed over. Every row has as many cells as there are heads.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    /// The file, as the user named it.
    pub file: String,
    /// The heads as they stand.
    pub heads: Vec<Cell>,
    /// The rows under them.
    pub rows: Vec<Row>,
    /// What parts the cells.
    pub delimiter: char,
    /// What was passed over that the user may want to know.
    pub remarks: Vec<Remark>,
    /// Lines that begin with `#`, without the mark, with their number.
    pub comments: Vec<(u32, String)>,
    keys: Vec<String>,
    head_line: String,
}

impl Sheet {
    /// Reads a sheet from text.
    pub fn read(file: &str, text: &str) -> Result<Self, Fault> {
        Self::read_at(file, text, preamble(text))
    }

    /// Reads a sheet whose heads stand below some lines of its text: what a spreadsheet writes above them.
    ///
    /// # Errors
    /// As [`Sheet::read`].
    pub fn read_below(file: &str, text: &str, lines: usize) -> Result<Self, Fault> {
        let above: usize = text.split_inclusive('\n').take(lines).map(str::len).sum();
        Self::read_at(file, text, (preamble(text).0, above))
    }

    fn read_at(
        file: &str,
        text: &str,
        (told, head_at): (Option<u8>, usize),
    ) -> Result<Self, Fault> {
        let lines = Lines::new(file, text);
        let delimiter = told.unwrap_or_else(|| tell_delimiter(text, head_at));
        let mut records = Records::new(&lines, text, head_at, delimiter);
        let Some(head) = records.next_record()? else {
            return Err(
                Fault::new(Place::line(file, 1).column(1), "the sheet is empty")
                    .expected("one row of heads, then rows of cells")
                    .advice("give a CSV file whose first row names its columns"),
            );
        };
        let mut sheet = Self::under(file, head, char::from(delimiter))?;
        while let Some(row) = records.next_record()? {
            sheet.take(row)?;
        }
        sheet.comments = records.comments;
        Ok(sheet)
    }

    /// A sheet whose rows were cells from the start: a spreadsheet's. A decimal comma is taken in its text.
    ///
    /// # Errors
    /// A head that stands twice, or more cells than heads in a row.
    pub fn of_rows(
        file: &str,
        head: Row,
        rows: impl IntoIterator<Item = Row>,
    ) -> Result<Self, Fault> {
        let mut sheet = Self::under(file, head, '\t')?;
        for row in rows {
            sheet.take(row)?;
        }
        Ok(sheet)
    }

    fn under(file: &str, head: Row, delimiter: char) -> Result<Self, Fault> {
        let keys: Vec<String> = head.cells.iter().map(|c| head_key(&c.text)).collect();
        let sheet = Self {
            file: file.to_owned(),
            heads: head.cells,
            rows: Vec::new(),
            delimiter,
            remarks: Vec::new(),
            comments: Vec::new(),
            keys,
            head_line: head.source_line,
        };
        sheet.refuse_twice()?;
        Ok(sheet)
    }

    /// Lets columns be found by other names than their heads, which stay as they stand; `None` leaves a head its own.
    ///
    /// # Errors
    /// Two columns that mean the same.
    pub fn know_as(&mut self, names: &[Option<String>]) -> Result<(), Fault> {
        for (key, name) in self.keys.iter_mut().zip(names) {
            if let Some(name) = name {
                *key = head_key(name);
            }
        }
        self.refuse_twice()
    }

    /// The column under a head, case, blanks and underscores aside.
    pub fn column(&self, name: &str) -> Option<usize> {
        let wanted = head_key(name);
        self.keys.iter().position(|k| *k == wanted)
    }

    /// The first of several heads that is there.
    pub fn column_of(&self, names: &[&str]) -> Option<usize> {
        names.iter().find_map(|n| self.column(n))
    }

    /// Heads that are none of the known ones: their columns.
    pub fn unknown_heads(&self, known: &[&str]) -> Vec<usize> {
        let known: Vec<String> = known.iter().map(|k| head_key(k)).collect();
        (0..self.keys.len())
            .filter(|&i| {
                self.keys
                    .get(i)
                    .is_some_and(|k| !k.is_empty() && !known.contains(k))
            })
            .collect()
    }

    /// The text of a cell; empty where there is no such column.
    pub fn text<'a>(&self, row: &'a Row, column: usize) -> &'a str {
        row.cells.get(column).map_or("", |c| c.text.as_str())
    }

    /// Where a cell stands.
    pub fn place(&self, row: &Row, column: usize) -> Place {
        let mut place = Place::line(&self.file, row.line);
        if let Some(cell) = row.cells.get(column) {
            place = Place::line(&self.file, cell.line).column(cell.column);
        }
        if let Some(head) = self.heads.get(column) {
            place = place.key(&head.text);
        }
        place
    }

    /// A fault at a cell, with its line and what stands there.
    pub fn fault(&self, row: &Row, column: usize, text: impl Into<Sentence>) -> Fault {
        let fault = Fault::new(self.place(row, column), text).source_line(&row.source_line);
        match self.text(row, column) {
            "" => fault.found("an empty cell"),
            found => fault.found(found),
        }
    }

    /// A fault at a head.
    pub fn head_fault(&self, column: usize, text: impl Into<Sentence>) -> Fault {
        let head = self.heads.get(column).cloned().unwrap_or_default();
        Fault::new(
            Place::line(&self.file, head.line)
                .column(head.column)
                .key(&head.text),
            text,
        )
        .source_line(&self.head_line)
        .found(head.text)
    }

    /// A fault of the heads as a whole.
    pub fn heads_fault(&self, text: impl Into<Sentence>) -> Fault {
        let heads: Vec<&str> = self.heads.iter().map(|h| h.text.as_str()).collect();
        self.head_fault(0, text).found(heads.join(", "))
    }

    /// The number in a cell; `None` where it is empty. A decimal comma is taken where commas do not part the cells.
    pub fn number(&self, row: &Row, column: usize) -> Result<Option<f64>, Fault> {
        let text = self.text(row, column);
        let read = match number(text) {
            Err(NoNumber::DecimalComma) if self.delimiter != ',' => number(&text.replace(',', ".")),
            other => other,
        };
        let (what, advice) = match read {
            Ok(value) => return Ok(Some(value)),
            Err(NoNumber::Empty) => return Ok(None),
            Err(NoNumber::DecimalComma) => (
                "a decimal comma in a sheet with commas between the cells",
                "write a decimal point, or separate the cells with semicolons",
            ),
            Err(NoNumber::NotFinite) => (
                "not a finite number",
                "leave the cell empty if nothing was measured",
            ),
            Err(NoNumber::NotANumber) => (
                "not a number",
                "write the number only: the unit is in the head, and words go into a remark column",
            ),
        };
        Err(self
            .fault(row, column, what)
            .expected("a number")
            .advice(advice))
    }

    fn refuse_twice(&self) -> Result<(), Fault> {
        for (i, key) in self.keys.iter().enumerate() {
            let before = self.keys.iter().take(i).position(|k| k == key);
            let Some(before) = before.filter(|_| !key.is_empty()) else {
                continue;
            };
            let other = self.heads.get(before).map_or("", |h| h.text.as_str());
            let text = match self.heads.get(i) {
                Some(own) if head_key(&own.text) != head_key(other) => {
                    format!("this head has the same meaning as {other}")
                }
                _ => "this head occurs twice".to_owned(),
            };
            return Err(self
                .head_fault(i, text)
                .expected("each column once")
                .advice("rename or remove one of the two columns"));
        }
        Ok(())
    }

    fn take(&mut self, mut row: Row) -> Result<(), Fault> {
        if row.cells.iter().all(|c| c.text.is_empty()) {
            return Ok(());
        }
        let heads = self.keys.iter().zip(&row.cells);
        if row.cells.len() == self.keys.len()
            && heads.clone().all(|(key, c)| head_key(&c.text) == *key)
        {
            self.remarks.push(Remark::new(
                Place::line(&self.file, row.line),
                "the heads are repeated here; this row is ignored",
            ));
            return Ok(());
        }
        while row.cells.len() > self.heads.len()
            && row.cells.last().is_some_and(|c| c.text.is_empty())
        {
            row.cells.pop();
        }
        if let Some(extra) = row.cells.get(self.heads.len()) {
            let fault = Fault::new(
                Place::line(&self.file, extra.line).column(extra.column),
                "more cells than heads in this row",
            )
            .source_line(&row.source_line)
            .found(format!(
                "{} cells under {} heads",
                row.cells.len(),
                self.heads.len()
            ))
            .expected("at most one cell under each head");
            return Err(fault.advice(if self.delimiter == ',' {
                "for a decimal comma, separate the cells with semicolons; write quotes around text with a comma"
            } else {
                "write quotes around text that contains the separator"
            }));
        }
        let end = Cell {
            text: String::new(),
            line: row.line,
            column: count(row.source_line.chars().count() + 1),
        };
        row.cells.resize(self.heads.len(), end);
        self.rows.push(row);
        Ok(())
    }
}

/// A head without case, blanks, underscores and brackets: "Station (m)" and "station_m" are the same.
pub fn head_key(head: &str) -> String {
    head.chars()
        .filter(|c| !c.is_whitespace() && !matches!(c, '_' | '(' | ')' | '[' | ']' | '\u{feff}'))
        .flat_map(char::to_lowercase)
        .collect()
}

/// The delimiter that a first line `sep=;` states, and where the heads begin.
fn preamble(text: &str) -> (Option<u8>, usize) {
    let first = text.lines().next().unwrap_or("");
    match first.strip_prefix("sep=").map(|s| s.trim_end().as_bytes()) {
        Some([d @ (b',' | b';' | b'\t')]) => (Some(*d), first.len()),
        _ => (None, 0),
    }
}

/// What parts the heads: a tab where there is one, else a semicolon, else a comma; marks inside quotes do not count.
fn tell_delimiter(text: &str, from: usize) -> u8 {
    let head = text
        .get(from..)
        .unwrap_or("")
        .split(['\n', '\r'])
        .find(|l| !l.trim().is_empty() && !l.trim_start().starts_with('#'))
        .unwrap_or("");
    let outside: String = head.split('"').step_by(2).collect();
    [b'\t', b';']
        .into_iter()
        .find(|&d| outside.trim().contains(char::from(d)))
        .unwrap_or(b',')
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn cells_know_their_place() {
        let sheet = Sheet::read(
            "b.csv",
            "# book of May\n\nStation (m), HEIGHT_M ,remark\n0,412.30,\"weir, left\"\n\n12.5, 411.9\nstation_m,height_m,remark\n,,\n20;5,1,\"a \"\"b\"\"\"\n",
        )
        .unwrap();
        assert_eq!(sheet.delimiter, ',');
        assert_eq!(sheet.column("height_m"), Some(1));
        assert_eq!(sheet.rows.len(), 3);
        assert_eq!(sheet.comments, [(1, "book of May".to_owned())]);
        let row = &sheet.rows[0];
        assert_eq!((row.line, row.cells[2].column), (4, 10));
        assert_eq!(row.cells[2].text, "weir, left");
        let second = &sheet.rows[1];
        assert_eq!((second.cells[1].line, second.cells[1].column), (6, 7));
        assert_eq!(sheet.number(second, 1).unwrap(), Some(411.9));
        assert_eq!(sheet.number(second, 2).unwrap(), None);
        assert_eq!(sheet.rows[2].cells[2].text, "a \"b\"");
        assert_eq!(sheet.remarks.len(), 1);
        let fault = sheet.number(&sheet.rows[2], 0).unwrap_err();
        assert!(
            fault.to_string().starts_with("b.csv:9:1: not a number"),
            "{fault}"
        );
    }

    #[test]
    fn a_decimal_comma_needs_semicolons() {
        let sheet = Sheet::read("b.csv", "station_m;height_m\r\n0;412,30\r\n").unwrap();
        assert_eq!(sheet.number(&sheet.rows[0], 1).unwrap(), Some(412.3));
        let fault = Sheet::read("b.csv", "station_m,height_m\n0,412,30\n").unwrap_err();
        assert!(
            fault
                .to_string()
                .starts_with("b.csv:2:7: more cells than heads"),
            "{fault}"
        );
        let quoted = Sheet::read("b.csv", "station_m,height_m\n0,\"412,30\"\n").unwrap();
        assert!(
            quoted
                .number(&quoted.rows[0], 1)
                .unwrap_err()
                .text
                .contains("decimal comma")
        );
    }

    #[test]
    fn tabs_and_a_stated_delimiter() {
        let sheet = Sheet::read("b.csv", "a\tb\n1\t2\n").unwrap();
        assert_eq!(sheet.delimiter, '\t');
        assert_eq!(sheet.text(&sheet.rows[0], 1), "2");
        let sheet = Sheet::read("b.csv", "sep=;\na;b\n1;2\n").unwrap();
        assert_eq!((sheet.delimiter, sheet.rows[0].line), (';', 3));
    }

    #[test]
    fn faults_of_the_sheet_itself() {
        for (text, first) in [
            ("", "b.csv:1:1: the sheet is empty"),
            ("# only words\n", "b.csv:1:1: the sheet is empty"),
            ("a, A \n1,2\n", "b.csv:1:4: this head occurs twice"),
            (
                "a,b\n1,\"2\n3,4\n",
                "b.csv:2:3: a quoted cell is never closed",
            ),
        ] {
            let fault = Sheet::read("b.csv", text).unwrap_err().to_string();
            assert!(fault.starts_with(first), "{fault}");
        }
    }

    proptest! {
        #[test]
        fn no_text_panics(text in "[a,;\"#\n\r\t 1°]{0,60}") {
            if let Ok(sheet) = Sheet::read("f", &text) {
                for row in &sheet.rows {
                    prop_assert_eq!(row.cells.len(), sheet.heads.len());
                }
            }
        }

        #[test]
        fn cells_come_back(cells in proptest::collection::vec("[a-z,;\" ]{0,8}", 2..5), rows in 1..4usize) {
            let heads: Vec<String> = (0..cells.len()).map(|i| format!("h{i}")).collect();
            let mut text = heads.join(",");
            let row: Vec<String> = cells.iter().map(|c| format!("\"{}\"", c.replace('"', "\"\""))).collect();
            for _ in 0..rows {
                text.push('\n');
                text.push_str(&row.join(","));
            }
            let sheet = Sheet::read("f", &text).unwrap();
            let want: Vec<&str> = cells.iter().map(|c| c.trim()).collect();
            if want.iter().any(|c| !c.is_empty()) {
                prop_assert_eq!(sheet.rows.len(), rows);
                let got: Vec<&str> = sheet.rows[0].cells.iter().map(|c| c.text.as_str()).collect();
                prop_assert_eq!(got, want);
            }
        }
    }
}
