//! Remarks of the survey in the user's units.
//!
//! The survey and route rooms tell lengths as they reckon, in metres, or in the unit of a book kept in feet. What is shown to a user of US units has feet.

use super::Say;
use crate::unit::Units;
use crate::unit::exact::FOOT_M;

/// A remark's text with its metres told in the user's unit; what stands in quotes is the user's own and stays.
pub fn remark(text: &str, say: Say) -> String {
    if say.0 == Units::Metric {
        return text.to_owned();
    }
    let mut out = String::with_capacity(text.len());
    let mut words = text.split_inclusive(' ').peekable();
    let mut quoted = false;
    while let Some(word) = words.next() {
        let opens = quoted;
        quoted ^= word.matches('"').count() % 2 == 1;
        let unit = words.peek().copied().and_then(metres);
        match (opens || quoted, feet(word), unit) {
            (false, Some(figure), Some(rest)) => {
                out.push_str(&figure);
                out.push_str(" ft");
                out.push_str(rest);
                words.next();
            }
            _ => out.push_str(word),
        }
    }
    out
}

/// What follows the letter m in a word that is nothing else: a mark, a blank.
fn metres(word: &str) -> Option<&str> {
    word.strip_prefix('m').filter(|rest| {
        !rest.starts_with(|c: char| c.is_alphanumeric() || "/^\u{b2}\u{b3}".contains(c))
    })
}

/// A figure of metres in feet, with as many decimals as it has, one less where it tells millimetres; what stands before it stays.
fn feet(word: &str) -> Option<String> {
    let figure = word.strip_suffix(' ')?;
    let bare = figure.trim_start_matches(['(', '+']);
    let (before, _) = figure.split_at(figure.len() - bare.len());
    let metres: f64 = bare.parse().ok().filter(|m: &f64| m.is_finite())?;
    if !bare.ends_with(|c: char| c.is_ascii_digit()) {
        return None;
    }
    let decimals = bare.split_once('.').map_or(0, |(_, d)| d.len()).min(2);
    Some(format!("{before}{:.decimals$}", metres / FOOT_M + 0.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn metres_become_feet_and_names_stay() {
        let us = |t| remark(t, Say(Units::Us));
        for (metric, feet) in [
            (
                "a stretch of 40 m that lies off the line is left out",
                "a stretch of 131 ft that lies off the line is left out",
            ),
            (
                "from 380.0 m to 430.5 m this part rules; more",
                "from 1246.7 ft to 1412.4 ft this part rules; more",
            ),
            (
                "the known height stands +0.12 m off the book, 4 times",
                "the known height stands +0.39 ft off the book, 4 times",
            ),
            (
                "the book closes to -0.012 m (computed less known), allowed 0.024 m; spread",
                "the book closes to -0.04 ft (computed less known), allowed 0.08 ft; spread",
            ),
            (
                "\"walk 12 m up\" lies 25 m off",
                "\"walk 12 m up\" lies 82 ft off",
            ),
            (
                "3 miles and 4 men, 2 m/s, 0.5 ft",
                "3 miles and 4 men, 2 m/s, 0.5 ft",
            ),
            ("(1.5 m), 2 m", "(4.9 ft), 7 ft"),
        ] {
            assert_eq!(us(metric), feet);
            assert_eq!(remark(metric, Say(Units::Metric)), metric);
        }
    }
}
