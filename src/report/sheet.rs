use crate::text::{Fault, Place};

/// Builds a CSV sheet: heads, then rows of cells.
pub struct Csv {
    writer: csv::Writer<Vec<u8>>,
}

impl Csv {
    /// A sheet with these heads.
    ///
    /// # Errors
    /// None in practice: the sheet is in memory.
    pub fn new(heads: &[&str]) -> Result<Self, Fault> {
        let mut writer = csv::WriterBuilder::new()
            .terminator(csv::Terminator::Any(b'\n'))
            .from_writer(Vec::new());
        writer.write_record(heads).map_err(|e| failed(&e))?;
        Ok(Self { writer })
    }

    /// The same with heads that were made.
    ///
    /// # Errors
    /// None in practice: the sheet is in memory.
    pub fn of(heads: &[String]) -> Result<Self, Fault> {
        Self::new(&heads.iter().map(String::as_str).collect::<Vec<_>>())
    }

    /// Adds a row.
    ///
    /// # Errors
    /// A row with another number of cells than there are heads.
    pub fn row(&mut self, cells: &[CsvCell]) -> Result<(), Fault> {
        self.writer
            .write_record(cells.iter().map(CsvCell::written))
            .map_err(|e| failed(&e))
    }

    /// The bytes.
    ///
    /// # Errors
    /// None in practice: the sheet is in memory.
    pub fn bytes(self) -> Result<Vec<u8>, Fault> {
        self.writer
            .into_inner()
            .map_err(|e| Fault::new(Place::file("sheet"), e.to_string()))
    }
}

fn failed(error: &csv::Error) -> Fault {
    Fault::new(
        Place::file("sheet"),
        "a row of a sheet could not be written",
    )
    .found(error.to_string())
}

/// A cell of a sheet.
#[derive(Debug, Clone, PartialEq)]
pub enum CsvCell {
    /// A figure with so many decimals.
    Figure(f64, usize),
    /// Free text, kept from running as a formula in a spreadsheet.
    Text(String),
    /// Nothing.
    Empty,
}

impl CsvCell {
    /// A figure where there is one.
    pub fn maybe(value: Option<f64>, decimals: usize) -> Self {
        value.map_or(Self::Empty, |v| Self::Figure(v, decimals))
    }

    /// Text.
    pub fn text(text: impl Into<String>) -> Self {
        Self::Text(text.into())
    }

    pub(super) fn written(&self) -> String {
        match self {
            Self::Figure(v, decimals) if v.is_finite() => {
                let text = format!("{v:.decimals$}");
                if text
                    .trim_start_matches('-')
                    .chars()
                    .all(|c| c == '0' || c == '.')
                {
                    text.trim_start_matches('-').to_owned()
                } else {
                    text
                }
            }
            Self::Text(text) => guarded(text),
            Self::Figure(..) | Self::Empty => String::new(),
        }
    }
}

/// Text that a spreadsheet would run (it begins with = + - @, a tab or a return) gets an apostrophe before it.
pub fn guarded(text: &str) -> String {
    let runs = text
        .trim_start_matches([' ', '\u{a0}', '\u{feff}'])
        .starts_with([
            '=', '+', '-', '@', '\t', '\r', '\n', '\u{ff1d}', '\u{ff0b}', '\u{ff0d}', '\u{ff20}',
        ]);
    if runs {
        format!("'{text}")
    } else {
        text.to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_that_would_run_are_kept_from_it_and_figures_are_not() {
        let mut sheet = Csv::new(&["a", "b"]).unwrap();
        sheet
            .row(&[CsvCell::text("=1+1"), CsvCell::Figure(-1.25, 1)])
            .unwrap();
        sheet
            .row(&[CsvCell::text("a, \"b\""), CsvCell::Figure(-0.001, 2)])
            .unwrap();
        assert_eq!(
            String::from_utf8(sheet.bytes().unwrap()).unwrap(),
            "a,b\n'=1+1,-1.2\n\"a, \"\"b\"\"\",0.00\n"
        );
    }
}
