//! The time of day.

use crate::unit::date;

/// A time as ISO 8601 writes it, to the millisecond.
pub(super) fn iso(time_s: f64) -> String {
    let ms = (time_s * 1000.0).round();
    let day = (ms / 86_400_000.0).floor();
    let s = (ms - day * 86_400_000.0) / 1000.0;
    let (h, m) = ((s / 3600.0).floor(), (s / 60.0).floor() % 60.0);
    format!(
        "{}T{h:02.0}:{m:02.0}:{:06.3}Z",
        date(day),
        s - 3600.0 * h - 60.0 * m
    )
}

/// The time of day of it.
pub(super) fn clock(time_s: f64) -> String {
    iso(time_s).get(11..19).unwrap_or("").to_owned()
}
