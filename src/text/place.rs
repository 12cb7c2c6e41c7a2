use std::fmt;

/// Where something stood: a file, and inside it a line, a column and a key or column name where they are known.
///
/// Lines and columns count from 1; a column counts characters, not bytes.
#[derive(Debug, Clone, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Place {
    /// The file as the user named it; empty when the text came from the command line.
    pub file: String,
    /// Line, from 1.
    pub line: Option<u32>,
    /// Column in characters, from 1.
    pub column: Option<u32>,
    /// The key of a site file, the column of a sheet, or the option of the command line.
    pub key: Option<String>,
}

impl Place {
    /// A whole file.
    pub fn file(file: impl Into<String>) -> Self {
        Self {
            file: file.into(),
            ..Self::default()
        }
    }

    /// A line of a file.
    pub fn line(file: impl Into<String>, line: u32) -> Self {
        Self {
            file: file.into(),
            line: Some(line),
            ..Self::default()
        }
    }

    /// The same place, narrowed to a column.
    #[must_use]
    pub fn column(mut self, column: u32) -> Self {
        self.column = Some(column);
        self
    }

    /// The same place, narrowed to a key or a column name.
    #[must_use]
    pub fn key(mut self, key: impl Into<String>) -> Self {
        self.key = Some(key.into());
        self
    }
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let file = if self.file.is_empty() {
            "command line"
        } else {
            &self.file
        };
        write!(f, "{file}")?;
        if let (true, None, Some(option)) = (self.file.is_empty(), self.line, &self.key) {
            write!(f, ": {option}")?;
        }
        if let Some(line) = self.line {
            write!(f, ":{line}")?;
            if let Some(column) = self.column {
                write!(f, ":{column}")?;
            }
        }
        Ok(())
    }
}
