//! A written time as seconds since 1970, a day as its date. The calendar is the crate `time`'s; what receivers and people write for a time is wider than any one standard, so that is read here.

use time::{Date, Month};

/// 1970-01-01 as a Julian day.
const EPOCH: i32 = 2_440_588;

/// A time as ISO 8601 writes it (`2026-05-14T09:30:00.5Z`), in seconds since the start of 1970 UTC.
///
/// A time without a zone is taken as UTC, as GPX demands. A day without a time is its midnight. `None` where the text is no such time.
/// A fraction may follow a point or a comma; a leap second (60) is the first second of the next minute.
pub fn clock_s(text: &str) -> Option<f64> {
    let (date, rest) = text.trim().split_at_checked(10)?;
    let [year, month, day] = three(date, b'-')?;
    let month = Month::try_from(u8::try_from(month).ok()?).ok()?;
    let date = Date::from_calendar_date(i32::try_from(year).ok()?, month, u8::try_from(day).ok()?);
    let midnight = i64::from(date.ok()?.to_julian_day() - EPOCH) * 86_400;
    if rest.is_empty() {
        return exact(midnight);
    }
    let (clock, rest) = rest.strip_prefix(['T', 't', ' '])?.split_at_checked(5)?;
    let hour = two(clock.get(..2)?)?;
    let minute = two(clock.strip_prefix(clock.get(..2)?)?.strip_prefix(':')?)?;
    let (second, fraction, zone) = seconds_part(rest)?;
    if hour > 24 || minute > 59 || second > 60 {
        return None;
    }
    let whole = midnight + hour * 3600 + minute * 60 + second - zone_seconds(zone)?;
    Some(exact(whole)? + fraction)
}

/// Days since the start of 1970 of a date, with or without a time: `2026-05-14`, `2026-05-14 07:30`, `2026-05-14T07:30:00Z`. `None` where it is no date.
pub(crate) fn day(text: &str) -> Option<f64> {
    clock_s(text).map(|s| s / 86_400.0)
}

/// The date of a day since the start of 1970, as ISO 8601 writes it; a day beyond the year 9999 is its last.
pub fn date(day: f64) -> String {
    let date = Date::from_julian_day((day.floor() as i32).saturating_add(EPOCH));
    let date = date.unwrap_or(if day < 0.0 { Date::MIN } else { Date::MAX });
    let (year, month, of_month) = date.to_calendar_date();
    format!("{year:04}-{:02}-{of_month:02}", u8::from(month))
}

/// Whether a time says its zone.
pub(crate) fn has_zone(text: &str) -> bool {
    let clock = text.trim().get(10..).unwrap_or_default();
    clock.contains(['Z', 'z', '+', '-'])
}

/// Seconds, their fraction, and what follows.
fn seconds_part(text: &str) -> Option<(i64, f64, &str)> {
    let Some(after) = text.strip_prefix(':') else {
        return Some((0, 0.0, text));
    };
    let (second, rest) = after.split_at_checked(2)?;
    let second = two(second)?;
    let Some(digits) = rest.strip_prefix(['.', ',']) else {
        return Some((second, 0.0, rest));
    };
    let end = digits
        .find(|c: char| !c.is_ascii_digit())
        .unwrap_or(digits.len());
    let (fraction, zone) = digits.split_at_checked(end)?;
    let shown = fraction.get(..fraction.len().min(9))?;
    let mut value = 0.0;
    for digit in shown.bytes().rev() {
        value = (value + f64::from(digit - b'0')) / 10.0;
    }
    Some((second, value, zone))
}

/// What a zone adds to UTC, s: `Z`, `+02:00`, `-0530`, `+01`, or nothing.
fn zone_seconds(text: &str) -> Option<i64> {
    let text = text.trim();
    if text.is_empty() || text == "Z" || text == "z" {
        return Some(0);
    }
    let sign = match text.as_bytes().first()? {
        b'+' => 1,
        b'-' => -1,
        _ => return None,
    };
    let hour = two(text.get(1..3)?)?;
    let rest = text.get(3..)?;
    let rest = rest.strip_prefix(':').unwrap_or(rest);
    let minute = if rest.is_empty() { 0 } else { two(rest)? };
    (hour <= 18 && minute <= 59).then_some(sign * (hour * 3600 + minute * 60))
}

/// `YYYY-MM-DD`.
fn three(text: &str, between: u8) -> Option<[i64; 3]> {
    let bytes = text.as_bytes();
    if bytes.get(4) != Some(&between) || bytes.get(7) != Some(&between) {
        return None;
    }
    let year = two(text.get(..2)?)? * 100 + two(text.get(2..4)?)?;
    Some([year, two(text.get(5..7)?)?, two(text.get(8..10)?)?])
}

/// Exactly two digits.
fn two(text: &str) -> Option<i64> {
    match *text.as_bytes() {
        [a, b] if a.is_ascii_digit() && b.is_ascii_digit() => {
            Some(i64::from(a - b'0') * 10 + i64::from(b - b'0'))
        }
        _ => None,
    }
}

/// A whole number of seconds of the years 0 to 9999: exact in a double.
fn exact(seconds: i64) -> Option<f64> {
    let high = i32::try_from(seconds.div_euclid(86_400)).ok()?;
    let low = i32::try_from(seconds.rem_euclid(86_400)).ok()?;
    Some(f64::from(high) * 86_400.0 + f64::from(low))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn times_as_receivers_write_them() {
        assert_eq!(clock_s("1970-01-01T00:00:00Z"), Some(0.0));
        assert_eq!(clock_s("2013-07-06T17:26:26Z"), Some(1_373_131_586.0));
        assert_eq!(clock_s(" 2013-07-06 17:26:26 "), Some(1_373_131_586.0));
        assert_eq!(clock_s("2013-07-06T19:26:26+02:00"), Some(1_373_131_586.0));
        assert_eq!(clock_s("2013-07-06T11:56:26-0530"), Some(1_373_131_586.0));
        assert_eq!(clock_s("2016-05-27T10:08:47.8Z"), Some(1_464_343_727.8));
        assert_eq!(clock_s("2000-02-29"), Some(951_782_400.0));
        assert_eq!(clock_s("1901-12-13T20:45:52Z"), Some(-2_147_483_648.0));
        assert_eq!(clock_s("2016-12-31T23:59:60Z"), Some(1_483_228_800.0));
    }

    #[test]
    fn what_is_no_time_is_none() {
        for text in [
            "",
            "today",
            "2013-02-29",
            "2013-13-01",
            "2013-7-6",
            "2013-07-06T1:2",
            "2013-07-06T25:00:00Z",
            "2013-07-06T10:61:00Z",
            "2013-07-06T10:00:00+2",
            "2013-07-06T10:00:00 Zulu",
            "-013-07-06",
            "2013-07-06T10:0\u{661}:00Z",
        ] {
            assert_eq!(clock_s(text), None, "{text}");
        }
    }

    #[test]
    fn every_day_of_four_centuries_is_written_as_it_is_read() {
        for n in 0..146_097_i32 {
            let n = f64::from(n) - 20_000.0;
            assert_eq!(day(&date(n)), Some(n), "{}", date(n));
        }
        assert_eq!(date(day("2024-02-29 23:59").unwrap()), "2024-02-29");
        assert_eq!(date(1e12), "9999-12-31");
    }

    fn days_in(year: i64, month: i64) -> i64 {
        match month {
            2 if year % 4 == 0 && (year % 100 != 0 || year % 400 == 0) => 29,
            2 => 28,
            4 | 6 | 9 | 11 => 30,
            _ => 31,
        }
    }

    proptest! {
        #[test]
        fn no_text_panics(text in "\\PC{0,40}") {
            let _ = clock_s(&text);
        }

        #[test]
        fn agrees_with_a_calendar_counted_day_by_day(at in -62_000_000_000i64..250_000_000_000) {
            let text = civil(at);
            prop_assert_eq!(clock_s(&text), exact(at), "{}", text);
        }
    }

    /// Plain search for the date: independent of the crate's calendar.
    fn civil(at: i64) -> String {
        let mut day = at.div_euclid(86_400);
        let second = at.rem_euclid(86_400);
        let mut year = 1970;
        let length = |y: i64| 337 + days_in(y, 2);
        while day < 0 {
            year -= 1;
            day += length(year);
        }
        while day >= length(year) {
            day -= length(year);
            year += 1;
        }
        let mut month = 1;
        while day >= days_in(year, month) {
            day -= days_in(year, month);
            month += 1;
        }
        format!(
            "{year:04}-{month:02}-{:02}T{:02}:{:02}:{:02}Z",
            day + 1,
            second / 3600,
            second / 60 % 60,
            second % 60
        )
    }
}
