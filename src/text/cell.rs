//! A row of a sheet and its cells.

/// A row of a sheet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    /// Line it begins on, from 1.
    pub line: u32,
    /// One cell a head.
    pub cells: Vec<Cell>,
    /// The line as it stands, for the caret.
    pub source_line: String,
}

/// A cell with its place.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Cell {
    /// Its text, without blanks round it.
    pub text: String,
    /// Line, from 1.
    pub line: u32,
    /// Column in characters, from 1.
    pub column: u32,
}
