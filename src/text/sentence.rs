use std::fmt::{self, Write as _};
use std::ops::{Deref, Range};

/// Words for a user whose lengths are kept as figures beside them.
///
/// By itself it reads in metres. Whoever knows the user's units says it in those
/// ([`crate::unit::Units::say`]): no word of it is looked at for that, so what a file calls a thing stays as it is.
///
/// ```
/// use steadyfall::{text::Sentence, unit::Units};
///
/// let told = Sentence::from("\"2 m rock\" lies ").length(25.0, 0).words(" off the line");
/// assert_eq!(&*told, "\"2 m rock\" lies 25 m off the line");
/// assert_eq!(Units::Us.say(&told), "\"2 m rock\" lies 82 ft off the line");
/// ```
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Sentence {
    text: String,
    lengths: Vec<(Range<usize>, Length)>,
}

/// A length in a sentence.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Length {
    /// The length, m.
    pub metres: f64,
    /// How it is written.
    pub form: LengthForm,
}

/// How a length in a sentence is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LengthForm {
    /// With so many decimals of a metre.
    Decimals(usize),
    /// The same with its sign, plus or minus.
    Signed(usize),
    /// As a user would write it: as many decimals as it needs, at most two.
    Short,
}

impl Length {
    /// The figure in a unit of so many metres, without the unit's name.
    pub fn figure(self, unit_m: f64) -> String {
        let value = self.metres / unit_m + 0.0;
        match self.form {
            LengthForm::Decimals(d) => format!("{value:.d$}"),
            LengthForm::Signed(d) => format!("{value:+.d$}"),
            LengthForm::Short => {
                let text = format!("{value:.2}");
                text.trim_end_matches('0').trim_end_matches('.').to_owned()
            }
        }
    }

    /// The same length with no more than so many decimals.
    #[must_use]
    pub fn at_most(mut self, decimals: usize) -> Self {
        self.form = match self.form {
            LengthForm::Decimals(d) => LengthForm::Decimals(d.min(decimals)),
            LengthForm::Signed(d) => LengthForm::Signed(d.min(decimals)),
            LengthForm::Short => LengthForm::Short,
        };
        self
    }
}

impl Sentence {
    /// Goes on with words.
    #[must_use]
    pub fn words(mut self, words: impl fmt::Display) -> Self {
        let _ = write!(self.text, "{words}");
        self
    }

    /// Goes on with a length, m, written with so many decimals of a metre.
    #[must_use]
    pub fn length(self, metres: f64, decimals: usize) -> Self {
        self.figure(metres, LengthForm::Decimals(decimals))
    }

    /// Goes on with a length that lies to one side or the other, m: its sign is written.
    #[must_use]
    pub fn offset(self, metres: f64, decimals: usize) -> Self {
        self.figure(metres, LengthForm::Signed(decimals))
    }

    /// Goes on with a length, m, as a user would write it.
    #[must_use]
    pub fn short(self, metres: f64) -> Self {
        self.figure(metres, LengthForm::Short)
    }

    /// Goes on with another sentence and its lengths.
    #[must_use]
    pub fn and(mut self, other: &Self) -> Self {
        let before = self.text.len();
        self.text.push_str(&other.text);
        let moved =
            |(at, length): &(Range<usize>, Length)| (at.start + before..at.end + before, *length);
        self.lengths.extend(other.lengths.iter().map(moved));
        self
    }

    fn figure(mut self, metres: f64, form: LengthForm) -> Self {
        let length = Length { metres, form };
        let start = self.text.len();
        let _ = write!(self.text, "{} m", length.figure(1.0));
        self.lengths.push((start..self.text.len(), length));
        self
    }

    /// The sentence with each length as `told` says it.
    pub fn told(&self, told: impl Fn(Length) -> String) -> String {
        let mut out = String::with_capacity(self.text.len());
        let mut at = 0;
        for (range, length) in &self.lengths {
            out.push_str(self.text.get(at..range.start).unwrap_or_default());
            out.push_str(&told(*length));
            at = range.end;
        }
        out.push_str(self.text.get(at..).unwrap_or_default());
        out
    }
}

/// The words in metres.
impl Deref for Sentence {
    type Target = str;

    fn deref(&self) -> &str {
        &self.text
    }
}

impl fmt::Display for Sentence {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}

impl From<String> for Sentence {
    fn from(text: String) -> Self {
        Self {
            text,
            lengths: Vec::new(),
        }
    }
}

impl From<&str> for Sentence {
    fn from(text: &str) -> Self {
        text.to_owned().into()
    }
}

impl From<&String> for Sentence {
    fn from(text: &String) -> Self {
        text.clone().into()
    }
}

impl PartialEq<str> for Sentence {
    fn eq(&self, other: &str) -> bool {
        self.text == other
    }
}

impl PartialEq<&str> for Sentence {
    fn eq(&self, other: &&str) -> bool {
        self.text == *other
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_are_told_anew_and_nothing_else() {
        let reach = Sentence::from("from ")
            .length(380.0, 1)
            .words(" to ")
            .length(430.5, 1);
        let told = Sentence::from("\"12 m up\": ")
            .and(&reach)
            .words("; off by ")
            .offset(-0.12, 2);
        assert_eq!(told, "\"12 m up\": from 380.0 m to 430.5 m; off by -0.12 m");
        let chains = |l: Length| format!("{} ch", l.at_most(1).figure(20.116_8));
        assert_eq!(
            told.told(chains),
            "\"12 m up\": from 18.9 ch to 21.4 ch; off by -0.0 ch"
        );
        assert_eq!(Sentence::from("no length").told(chains), "no length");
    }

    #[test]
    fn a_length_is_written_as_short_as_it_is() {
        for (metres, text) in [
            (310.0, "310"),
            (0.5, "0.5"),
            (12.345, "12.35"),
            (100.0, "100"),
            (-0.0, "0"),
        ] {
            assert_eq!(Sentence::default().short(metres), &*format!("{text} m"));
        }
    }
}
