//! Days of the book.

/// Seconds of a day.
const DAY_S: f64 = 86_400.0;

/// Days since the start of 1970 of a date, with or without a time: `2026-05-14`, `2026-05-14 07:30`, `2026-05-14T07:30:00Z`. `None` where it is no date.
pub(super) fn day(text: &str) -> Option<f64> {
    crate::unit::clock_s(text.trim()).map(|s| s / DAY_S)
}

/// The date of a day, as ISO 8601 writes it.
pub fn date(day: f64) -> String {
    let (year, month, of_month) = civil(day.floor());
    format!("{year:04}-{month:02}-{of_month:02}")
}

/// Year, month and day of the month in the Gregorian calendar, from days since the start of 1970; years counted from March, so that a leap day ends its year.
fn civil(day: f64) -> (i64, i64, i64) {
    // a book's days lie far within the whole numbers
    #[expect(clippy::cast_possible_truncation, reason = "dates of four digits")]
    let z = day as i64 + 719_468;
    let era = z.div_euclid(146_097);
    let of_era = z.rem_euclid(146_097);
    let year_of_era = (of_era - of_era / 1460 + of_era / 36_524 - of_era / 146_096) / 365;
    let of_year = of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
    let from_march = (5 * of_year + 2) / 153;
    let month = if from_march < 10 {
        from_march + 3
    } else {
        from_march - 9
    };
    let year = year_of_era + era * 400 + i64::from(month <= 2);
    (year, month, of_year - (153 * from_march + 2) / 5 + 1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_day_of_four_centuries_is_written_as_it_is_read() {
        for n in 0..146_097_i32 {
            let n = f64::from(n) - 20_000.0;
            assert_eq!(day(&date(n)), Some(n), "{}", date(n));
        }
        assert_eq!(date(day("2024-02-29 23:59").unwrap()), "2024-02-29");
    }
}
