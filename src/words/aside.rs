use crate::size::SizeRefusal;

const TOO_WEAK: &str = "too weak for the pressure, or for the vacuum during draining";
const TOO_WARM: &str = "hotter in the sun than the limit of their tables";
const NOT_RUN: &str = "with no flow";

/// Why a size cannot serve.
pub fn aside_word(why: &SizeRefusal) -> &'static str {
    match why {
        SizeRefusal::NotStrongEnough => TOO_WEAK,
        SizeRefusal::TooWarm => TOO_WARM,
        SizeRefusal::NotRun(_) => NOT_RUN,
    }
}

/// All of these words.
pub const ASIDE: [&str; 3] = [TOO_WEAK, TOO_WARM, NOT_RUN];
