use super::{Place, Sentence};
use std::fmt;

/// Input that cannot be used: where it stands, what is wrong, what was found, what was expected and what to do.
///
/// It prints as `file:line:column: text`, the line with a caret under the place, then the three answers.
/// Everything in it that came from a file is made harmless for a terminal when it is printed.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Fault {
    /// Where it stands.
    pub place: Place,
    /// What is wrong, in one line.
    pub text: Sentence,
    /// What was found there.
    pub found: Option<Sentence>,
    /// What was expected instead.
    pub expected: Option<Sentence>,
    /// What the user can do about it.
    pub advice: Option<Sentence>,
    /// The key of the site file that would settle it, where it is asked for: "survey.taped".
    pub asks: Option<&'static str>,
    /// What may stand there instead, word for word, where that is a list.
    pub choices: Vec<String>,
    /// The whole line of the file, for the caret.
    pub source_line: Option<String>,
}

impl Fault {
    /// A fault with a place and a first line.
    pub fn new(place: Place, text: impl Into<Sentence>) -> Self {
        Self {
            place,
            text: text.into(),
            found: None,
            expected: None,
            advice: None,
            asks: None,
            choices: Vec::new(),
            source_line: None,
        }
    }

    /// With what was found.
    #[must_use]
    pub fn found(mut self, found: impl Into<Sentence>) -> Self {
        self.found = Some(found.into());
        self
    }

    /// With what was expected.
    #[must_use]
    pub fn expected(mut self, expected: impl Into<Sentence>) -> Self {
        self.expected = Some(expected.into());
        self
    }

    /// With what to do.
    #[must_use]
    pub fn advice(mut self, advice: impl Into<Sentence>) -> Self {
        self.advice = Some(advice.into());
        self
    }

    /// With the key of the site file that would settle it.
    #[must_use]
    pub fn asks(mut self, key: &'static str) -> Self {
        self.asks = Some(key);
        self
    }

    /// With the words that may stand there; they are what was expected, too, where nothing else is said of that.
    #[must_use]
    pub fn choices<W: Into<String>>(mut self, choices: impl IntoIterator<Item = W>) -> Self {
        self.choices = choices.into_iter().map(Into::into).collect();
        let words = self.choices.join(", ");
        self.expected.get_or_insert(words.into());
        self
    }

    /// With the line of the file it stands on.
    #[must_use]
    pub fn source_line(mut self, line: impl Into<String>) -> Self {
        self.source_line = Some(line.into());
        self
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{}: {}",
            shown(&self.place.to_string()),
            shown(&self.text)
        )?;
        if let Some(line) = &self.source_line {
            write_caret(f, line, &self.place)?;
        }
        for (label, value) in [
            ("found", &self.found),
            ("expected", &self.expected),
            ("do", &self.advice),
        ] {
            if let Some(value) = value {
                write!(f, "\n  {label}: {}", shown(value))?;
            }
        }
        Ok(())
    }
}

impl std::error::Error for Fault {}

/// As much of a text as helps: what a file says may be millions of letters long.
fn shown(text: &str) -> String {
    const LONGEST: usize = 500;
    match text.char_indices().nth(LONGEST) {
        Some((cut, _)) => format!("{} ...", neutral(text.get(..cut).unwrap_or(text))),
        None => neutral(text),
    }
}

/// The line with a caret under its column; a long line is cut to a window round the caret. The name of the column stands beside the caret where the line itself does not show it.
fn write_caret(f: &mut fmt::Formatter<'_>, line: &str, place: &Place) -> fmt::Result {
    const WINDOW: usize = 100;
    let at = place.column.map_or(0, |c| c.saturating_sub(1) as usize);
    let skip = if at > WINDOW - 20 { at - WINDOW / 2 } else { 0 };
    let shown: String = line.chars().skip(skip).take(WINDOW).collect();
    write!(f, "\n  | {}", neutral(&shown))?;
    if place.column.is_some() {
        write!(f, "\n  | {}^", " ".repeat(at - skip))?;
        let shows = |key: &str| line.contains(key.rsplit('.').next().unwrap_or(key));
        if let Some(key) = place.key.as_deref().filter(|k| !shows(k)) {
            write!(f, " {}", neutral(key))?;
        }
    }
    Ok(())
}

/// Text from a file made harmless for a terminal: control characters and the marks that turn the writing direction become a visible replacement.
pub fn neutral(text: &str) -> String {
    text.chars()
        .map(|c| match c {
            '\t' => ' ',
            c if c.is_control() || matches!(c, '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}') => '\u{fffd}',
            c => c,
        })
        .collect()
}

/// Something the reader did or noticed that the user should know, but that stops nothing.
#[derive(Debug, Clone, PartialEq)]
pub struct Remark {
    /// Where it was noticed.
    pub place: Place,
    /// What was noticed or done.
    pub text: Sentence,
}

impl Remark {
    /// A remark with its place.
    pub fn new(place: Place, text: impl Into<Sentence>) -> Self {
        Self {
            place,
            text: text.into(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn caret_stands_under_the_column() {
        let fault = Fault::new(Place::line("a.toml", 3).column(5), "no unit")
            .source_line("to = 90")
            .found("90")
            .expected("a length with its unit")
            .advice("write \"90 mm\"");
        assert_eq!(
            fault.to_string(),
            "a.toml:3:5: no unit\n  | to = 90\n  |     ^\n  found: 90\n  expected: a length with its unit\n  do: write \"90 mm\""
        );
    }

    #[test]
    fn the_column_of_a_sheet_is_named_beside_the_caret() {
        let fault = Fault::new(Place::line("b.csv", 3).column(5).key("fs_m"), "too long")
            .source_line("30,,5.6");
        assert_eq!(
            fault.to_string(),
            "b.csv:3:5: too long\n  | 30,,5.6\n  |     ^ fs_m"
        );
    }

    #[test]
    fn escapes_from_a_file_stay_text() {
        let fault = Fault::new(Place::file("x"), "name \u{1b}[31mred");
        assert!(!fault.to_string().contains('\u{1b}'));
    }
}
