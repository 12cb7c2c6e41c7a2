//! The words of sizes side by side: which jets, and why one cannot serve.

use crate::size::{JetChoice, SizeRefusal};

/// How the jets were chosen, in words.
pub fn choice_word(choice: JetChoice) -> String {
    match choice {
        JetChoice::Declared => "as declared".to_owned(),
        JetChoice::Loss(share) => format!("for {:.0} % loss", share * 100.0),
        JetChoice::Stream => "for the stream".to_owned(),
        JetChoice::Largest => "most power".to_owned(),
    }
}

/// The pipe is too weak.
pub const TOO_WEAK: &str = "too weak for what stands, or to live through draining";

/// The pipe gets too warm.
pub const TOO_WARM: &str = "hotter in the sun than their tables speak of";

/// Nothing would run.
pub const NOT_RUN: &str = "with which nothing would run";

/// Why a size cannot serve.
pub fn aside_word(why: &SizeRefusal) -> &'static str {
    match why {
        SizeRefusal::NotStrongEnough => TOO_WEAK,
        SizeRefusal::TooWarm => TOO_WARM,
        SizeRefusal::NotRun(_) => NOT_RUN,
    }
}
