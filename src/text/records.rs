use super::{Cell, Fault, Lines, Row};
use csv_core::{ReadFieldResult, ReaderBuilder};

/// Most columns of a sheet: a field book has a dozen.
const MOST_COLUMNS: usize = 256;

/// Walks the records of a text, keeping the place of every cell.
pub(super) struct Records<'a> {
    lines: &'a Lines<'a>,
    text: &'a str,
    at: usize,
    delimiter: u8,
    reader: csv_core::Reader,
    /// Comments so far, each with its line.
    pub(super) comments: Vec<(u32, String)>,
    /// The byte counted up to, and its line and column: each byte is counted once, however long a line is.
    counted: (usize, (u32, u32)),
}

impl<'a> Records<'a> {
    pub(super) fn new(lines: &'a Lines<'a>, text: &'a str, at: usize, delimiter: u8) -> Self {
        Self {
            lines,
            text,
            at,
            delimiter,
            reader: ReaderBuilder::new().delimiter(delimiter).build(),
            comments: Vec::new(),
            counted: (0, (1, 1)),
        }
    }

    pub(super) fn next_record(&mut self) -> Result<Option<Row>, Fault> {
        self.pass_over();
        if self.at >= self.text.len() {
            return Ok(None);
        }
        let (line, _) = self.lines.position(self.at);
        let source_line = self.lines.line(line).to_owned();
        let mut cells = Vec::new();
        loop {
            let (cell, is_last) = self.next_cell()?;
            if cells.len() == MOST_COLUMNS {
                return Err(too_wide(self.lines, &cell));
            }
            cells.push(cell);
            if is_last {
                return Ok(Some(Row {
                    line,
                    cells,
                    source_line,
                }));
            }
        }
    }

    /// Passes over blank lines and comments before a record.
    fn pass_over(&mut self) {
        loop {
            let rest = self.text.get(self.at..).unwrap_or("");
            let line = rest.split(['\n', '\r']).next().unwrap_or("");
            let is_blank = line.trim_matches([' ', '\u{a0}']).is_empty();
            let comment = line.trim_start().strip_prefix('#');
            if let Some(words) = comment {
                let (number, _) = self.lines.position(self.at);
                self.comments.push((number, words.trim().to_owned()));
            }
            if rest.is_empty() || !(is_blank || comment.is_some()) {
                return;
            }
            let ends = rest.get(line.len()..).map_or(0, |r| r.len().min(1));
            self.at += line.len() + ends;
        }
    }

    /// Line and column of a byte at or behind the last one asked for.
    fn place(&mut self, byte: usize) -> (u32, u32) {
        let (from, (line, column)) = self.counted;
        let between = self.text.get(from..byte);
        let place = match between.filter(|b| !b.contains(['\n', '\r'])) {
            Some(same_line) => (line, column + same_line.chars().count() as u32),
            None => self.lines.position(byte),
        };
        self.counted = (byte, place);
        place
    }

    fn next_cell(&mut self) -> Result<(Cell, bool), Fault> {
        let blanks = |c: char| c == ' ' || c == '\u{a0}' || (c == '\t' && self.delimiter != b'\t');
        let rest = self.text.get(self.at..).unwrap_or("");
        self.at += rest.len() - rest.trim_start_matches(blanks).len();
        let start = self.at;
        let mut bytes = Vec::new();
        let mut buffer = [0u8; 256];
        let is_last = loop {
            let input = self.text.as_bytes().get(self.at..).unwrap_or_default();
            let (result, read, written) = self.reader.read_field(input, &mut buffer);
            self.at += read;
            bytes.extend_from_slice(buffer.get(..written).unwrap_or_default());
            match result {
                ReadFieldResult::InputEmpty if input.is_empty() => break true,
                ReadFieldResult::InputEmpty | ReadFieldResult::OutputFull => {}
                ReadFieldResult::Field { record_end } => break record_end,
                ReadFieldResult::End => break true,
            }
        };
        let raw = self.text.get(start..self.at).unwrap_or("");
        if raw.starts_with('"') && raw.matches('"').count() % 2 == 1 {
            return Err(self
                .lines
                .fault(start, "a quoted cell is never closed")
                .expected("a second quote at the end of the cell")
                .advice("close the quote; double an inch mark in a quoted cell"));
        }
        let (line, column) = self.place(start);
        let text = String::from_utf8_lossy(&bytes).trim().to_owned();
        Ok((Cell { text, line, column }, is_last))
    }
}

fn too_wide(lines: &Lines<'_>, cell: &Cell) -> Fault {
    lines
        .fault(
            lines.byte(cell.line, cell.column),
            "the sheet has too many columns",
        )
        .found(format!("more than {MOST_COLUMNS}"))
        .expected(format!("at most {MOST_COLUMNS} columns"))
        .advice("give only the survey sheet, with one row for each point or sight")
}

#[cfg(test)]
mod tests {
    use super::super::Sheet;

    #[test]
    fn a_row_without_end_is_refused_and_a_long_line_is_counted_once() {
        let heads: Vec<String> = (0..300_000).map(|i| format!("h{i}")).collect();
        let fault = Sheet::read("b.csv", &(heads.join(",") + "\n0,1\n")).unwrap_err();
        assert!(fault.to_string().contains("at most 256 columns"), "{fault}");
        let long = format!(
            "a,b,c\n{},é{},\"x\ny\"\n1,2,3\n",
            "x".repeat(400_000),
            "y".repeat(400_000)
        );
        let sheet = Sheet::read("b.csv", &long).unwrap();
        assert_eq!(
            (sheet.rows[0].cells[2].line, sheet.rows[0].cells[2].column),
            (2, 800_004)
        );
        assert_eq!(
            (sheet.rows[1].cells[2].line, sheet.rows[1].cells[2].column),
            (4, 5)
        );
    }
}
