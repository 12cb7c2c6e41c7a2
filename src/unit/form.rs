use super::exact::{FOOT_M, INCH_M};
use super::table::find;
use super::{Misread, QuantityKind, form};
use crate::numeric::math;
use crate::text::{NoNumber, number};

/// Blanks made one, typographic minus, fractions and quotes made plain.
pub(super) fn clean(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        let fraction = match c {
            '\u{bd}' => Some("1/2"),
            '\u{bc}' => Some("1/4"),
            '\u{be}' => Some("3/4"),
            '\u{215b}' => Some("1/8"),
            '\u{215c}' => Some("3/8"),
            '\u{215d}' => Some("5/8"),
            '\u{215e}' => Some("7/8"),
            _ => None,
        };
        match (fraction, c) {
            (Some(words), _) => {
                if out.ends_with(|d: char| d.is_ascii_digit()) {
                    out.push(' ');
                }
                out.push_str(words);
            }
            (None, '\u{2212}') => out.push('-'),
            (None, '\u{2018}' | '\u{2019}' | '\u{2032}') => out.push('\''),
            (None, '\u{201c}' | '\u{201d}' | '\u{2033}') => out.push('"'),
            (None, c) if c.is_whitespace() => out.push(' '),
            (None, c) => out.push(c),
        }
    }
    out.split(' ')
        .filter(|w| !w.is_empty())
        .collect::<Vec<_>>()
        .join(" ")
}

/// Splits "1 1/2 in" into its figure and its unit. The figure may be empty.
pub(super) fn split(text: &str) -> (&str, &str) {
    let end = figure_end(text);
    let (figure, unit) = text.split_at_checked(end).unwrap_or((text, ""));
    (figure.trim(), unit.trim())
}

/// Where the figure ends: sign, digits, points and commas, an exponent, then a fraction behind a blank or a hyphen.
fn figure_end(text: &str) -> usize {
    let bytes = text.as_bytes();
    let at = |i: usize| bytes.get(i).copied().unwrap_or(0);
    let digits = |mut i: usize, marks: &[u8]| {
        while at(i).is_ascii_digit() || (marks.contains(&at(i)) && at(i) != 0) {
            i += 1;
        }
        i
    };
    let mut i = usize::from(matches!(at(0), b'+' | b'-'));
    let start = i;
    i = digits(i, b".,");
    if i == start {
        return 0;
    }
    if matches!(at(i), b'e' | b'E') {
        let sign = usize::from(matches!(at(i + 1), b'+' | b'-'));
        if at(i + 1 + sign).is_ascii_digit() {
            i = digits(i + 1 + sign, b"");
        }
    }
    // "1/4", "1 1/4", "1-1/4"
    let whole = if at(i) == b'/' { start } else { i + 1 };
    let below = digits(whole, b"");
    let is_part = at(i) == b'/' || matches!(at(i), b' ' | b'-');
    if is_part && below > whole && at(below) == b'/' && at(below + 1).is_ascii_digit() {
        return digits(below + 1, b"");
    }
    i
}

/// The value of a figure that may hold a fraction.
pub(super) fn fraction(figure: &str) -> Result<f64, NoNumber> {
    let Some((above, below)) = figure.split_once('/') else {
        return number(figure);
    };
    let below = number(below)?;
    let above = above.trim();
    let (whole, above) = match above.rsplit_once([' ', '-']) {
        Some((whole, above)) if !whole.trim().is_empty() => (number(whole)?, number(above)?),
        _ => (0.0, number(above)?),
    };
    let value = if figure.starts_with('-') && whole != 0.0 {
        whole - above / below
    } else {
        whole + above / below
    };
    if value.is_finite() {
        Ok(value)
    } else {
        Err(NoNumber::NotFinite)
    }
}

/// The forms that are more than a number and a unit; `None` where the text is none of them.
pub(super) fn compound(kind: QuantityKind, text: &str) -> Option<Result<f64, Misread>> {
    match kind {
        QuantityKind::Length => feet_and_inches(text),
        QuantityKind::Station => plus(text),
        QuantityKind::Angle => degrees_and_minutes(text),
        QuantityKind::Grade => grade(text),
        _ => None,
    }
}

/// "5' 6\"", "5 ft 6 in".
fn feet_and_inches(text: &str) -> Option<Result<f64, Misread>> {
    let lower = text.to_lowercase();
    let (feet, inches) = ["feet", "foot", "ft.", "ft", "'"]
        .into_iter()
        .find_map(|mark| lower.split_once(mark))?;
    let inches = inches.trim().trim_start_matches([',', '-']);
    if inches.is_empty() || inches.starts_with('\'') {
        return None;
    }
    let (count, unit) = split(inches);
    if count.is_empty() || !["\"", "''", "in", "in.", "inch", "inches"].contains(&unit) {
        return Some(Err(Misread::unreadable(QuantityKind::Length, text)));
    }
    let read = |figure: &str| {
        fraction(figure.trim()).map_err(|e| match e {
            NoNumber::DecimalComma => Misread::decimal_comma(QuantityKind::Length, text),
            NoNumber::NotFinite => Misread::not_finite(QuantityKind::Length, text),
            _ => Misread::unreadable(QuantityKind::Length, text),
        })
    };
    Some(read(feet).and_then(|feet| {
        let inches = read(count)?;
        if !(0.0..12.0).contains(&inches) {
            return Err(Misread::new(
                QuantityKind::Length,
                "inches beside feet are less than 12",
                text,
                "add whole feet to the feet, or write inches only",
            ));
        }
        let size = feet.abs() * FOOT_M + inches * INCH_M;
        Ok(if feet.is_sign_negative() { -size } else { size })
    }))
}

/// "12+50 ft", "0+250 m".
fn plus(text: &str) -> Option<Result<f64, Misread>> {
    let (before, after) = text.split_once('+')?;
    if before.is_empty() || !before.trim().bytes().all(|b| b.is_ascii_digit()) {
        return None;
    }
    let (figure, unit) = split(after.trim());
    if unit.is_empty() {
        return Some(Err(Misread::bare(QuantityKind::Station, text)));
    }
    let scale = match unit.to_lowercase().as_str() {
        "m" | "metre" | "metres" | "meter" | "meters" => 1.0,
        "ft" | "ft." | "foot" | "feet" | "'" => FOOT_M,
        _ => return Some(Err(Misread::unit(QuantityKind::Station, text, unit))),
    };
    let stations = plus_station(&format!("{}+{figure}", before.trim()))?;
    Some(stations.map(|s| s * scale))
}

/// A figure such as "12+50" in its own unit: two digits behind the plus count hundreds before it, three count thousands. `None` where there is no plus.
///
/// Hundreds are the habit where feet are used, thousands where metres are; the number of digits tells them apart either way.
pub fn plus_station(text: &str) -> Option<Result<f64, Misread>> {
    let (before, after) = text.trim().split_once('+')?;
    let (before, after) = (before.trim(), after.trim());
    let wrong = |what: &str, advice: &str| Misread::new(QuantityKind::Station, what, text, advice);
    let digits = after.split('.').next().unwrap_or("");
    let all_digits = |s: &str| !s.is_empty() && s.bytes().all(|b| b.is_ascii_digit());
    let (Ok(count), Ok(rest)) = (number(before), number(after)) else {
        return Some(Err(if text.contains(',') {
            Misread::decimal_comma(QuantityKind::Station, text)
        } else {
            Misread::unreadable(QuantityKind::Station, text)
        }));
    };
    if !all_digits(before) || !all_digits(digits) {
        return Some(Err(Misread::unreadable(QuantityKind::Station, text)));
    }
    match digits.len() {
        2 => Some(Ok(count * 100.0 + rest)),
        3 => Some(Ok(count * 1000.0 + rest)),
        _ => Some(Err(wrong(
            "the plus of a station is followed by two or three digits",
            "write \"12+50\" for 1250 in hundreds, \"1+250\" in thousands, or the plain number",
        ))),
    }
}

/// "12° 30'", "12°30'36\"", "12 deg 30 min".
fn degrees_and_minutes(text: &str) -> Option<Result<f64, Misread>> {
    let lower = text.to_lowercase();
    let (degrees, rest) = ["degrees", "degree", "deg", "\u{b0}", "\u{ba}"]
        .into_iter()
        .find_map(|mark| lower.split_once(mark))?;
    if rest.trim().is_empty() {
        return None;
    }
    let wrong = || Misread::unreadable(QuantityKind::Angle, text);
    let (minutes, seconds) = match ["minutes", "min", "'"]
        .into_iter()
        .find_map(|mark| rest.split_once(mark))
    {
        Some((minutes, seconds)) => (minutes, seconds.trim()),
        None => return Some(Err(wrong())),
    };
    let seconds = if seconds.is_empty() {
        Ok(0.0)
    } else {
        match ["seconds", "sec", "\"", "''"]
            .into_iter()
            .find_map(|mark| seconds.strip_suffix(mark))
        {
            Some(figure) => number(figure),
            None => return Some(Err(wrong())),
        }
    };
    let (Ok(whole), Ok(minutes), Ok(seconds)) = (number(degrees), number(minutes), seconds) else {
        return Some(Err(if text.contains(',') {
            Misread::decimal_comma(QuantityKind::Angle, text)
        } else {
            wrong()
        }));
    };
    if !(0.0..60.0).contains(&minutes) || !(0.0..60.0).contains(&seconds) {
        return Some(Err(Misread::new(
            QuantityKind::Angle,
            "minutes and seconds of an angle are less than 60",
            text,
            "write whole degrees and minutes, or decimal degrees",
        )));
    }
    let size = (whole.abs() + minutes / 60.0 + seconds / 3600.0).to_radians();
    Some(Ok(if degrees.trim().starts_with('-') {
        -size
    } else {
        size
    }))
}

/// "1 in 40", "1:40", "1.4 deg".
fn grade(text: &str) -> Option<Result<f64, Misread>> {
    let lower = text.to_lowercase();
    if let Some((one, run)) = lower.split_once(" in ").or_else(|| lower.split_once(':')) {
        let (Ok(one), Ok(run)) = (number(one), number(run)) else {
            return Some(Err(Misread::unreadable(QuantityKind::Grade, text)));
        };
        if one.abs() != 1.0 {
            return Some(Err(Misread::new(
                QuantityKind::Grade,
                "a grade of this form begins with 1",
                text,
                "write the horizontal distance for one up or down: \"1 in 40\"",
            )));
        }
        return Some(Ok(one / run));
    }
    if text.ends_with(['%', '\u{2030}']) || !lower.contains(['d', '\u{b0}', '\u{ba}']) {
        return None;
    }
    let angle = match degrees_and_minutes(text).unwrap_or_else(|| simple(QuantityKind::Angle, text))
    {
        Ok(angle) => angle,
        Err(_) => return None,
    };
    if angle.abs() > 89f64.to_radians() {
        return Some(Err(Misread::new(
            QuantityKind::Grade,
            "a grade is less than 89 degrees",
            text,
            "give the angle from the horizontal",
        )));
    }
    Some(Ok(math::tan(angle)))
}

/// A number and a unit.
pub(super) fn simple(kind: QuantityKind, clean: &str) -> Result<f64, Misread> {
    let (figure, unit) = form::split(clean);
    if figure.is_empty() {
        return Err(match number(clean.split(' ').next().unwrap_or("")) {
            Err(NoNumber::NotFinite) => Misread::not_finite(kind, clean),
            _ => Misread::unreadable(kind, clean),
        });
    }
    let value = form::fraction(figure).map_err(|e| match e {
        NoNumber::NotFinite => Misread::not_finite(kind, clean),
        NoNumber::DecimalComma => Misread::decimal_comma(kind, clean),
        NoNumber::Empty | NoNumber::NotANumber if figure.contains(',') => {
            Misread::decimal_comma(kind, clean)
        }
        NoNumber::Empty | NoNumber::NotANumber => Misread::unreadable(kind, clean),
    })?;
    if unit.is_empty() {
        return Err(Misread::bare(kind, clean));
    }
    let unit = find(kind, unit).ok_or_else(|| Misread::unit(kind, clean, unit))?;
    Ok(unit.to_si(value))
}
