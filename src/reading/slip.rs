use crate::text::{Fault, Sheet};

/// What is wrong in a book, by row and column of the sheet: the reductions know rows, only the reader knows the file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CellError {
    /// Row of the sheet, from 0 under the heads.
    pub row: usize,
    /// Head of the column it stands in, without its unit: `bs`, `is`, `fs`, `station`.
    pub column: &'static str,
    /// What is wrong.
    pub text: String,
    /// What was found, where it is not simply the cell.
    pub found: Option<String>,
    /// What was expected.
    pub expected: String,
    /// What to do.
    pub advice: String,
}

impl CellError {
    /// A slip in a row and column.
    pub fn new(row: usize, column: &'static str, text: impl Into<String>) -> Self {
        Self {
            row,
            column,
            text: text.into(),
            found: None,
            expected: String::new(),
            advice: String::new(),
        }
    }

    /// With what was found.
    #[must_use]
    pub fn found(mut self, found: impl Into<String>) -> Self {
        self.found = Some(found.into());
        self
    }

    /// With what was expected.
    #[must_use]
    pub fn expected(mut self, expected: impl Into<String>) -> Self {
        self.expected = expected.into();
        self
    }

    /// With what to do.
    #[must_use]
    pub fn advice(mut self, advice: impl Into<String>) -> Self {
        self.advice = advice.into();
        self
    }

    /// The fault with its place in the sheet.
    pub fn in_sheet(self, sheet: &Sheet) -> Fault {
        let column = column_of(sheet, self.column);
        let mut fault = match (sheet.rows.get(self.row), column) {
            (Some(row), Some(column)) => sheet.fault(row, column, self.text),
            (Some(row), None) => sheet
                .fault(row, 0, self.text)
                .found(format!("no column {}", self.column)),
            (None, _) => sheet.heads_fault(self.text),
        };
        if let Some(found) = self.found {
            fault = fault.found(found);
        }
        if !self.expected.is_empty() {
            fault = fault.expected(self.expected);
        }
        if !self.advice.is_empty() {
            fault = fault.advice(self.advice);
        }
        fault
    }
}

/// The column of a head given without its unit.
fn column_of(sheet: &Sheet, base: &str) -> Option<usize> {
    let with = |unit: &str| sheet.column(&format!("{base}_{unit}"));
    sheet
        .column(base)
        .or_else(|| with("m"))
        .or_else(|| with("ft"))
        .or_else(|| with("deg"))
        .or_else(|| with("percent"))
}
