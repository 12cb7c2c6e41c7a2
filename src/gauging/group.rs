//! Columns with their units, and the rows of one measurement.

use crate::text::{Fault, Row, Sheet, head_key};
use crate::unit::clock_s;

/// Seconds of a day.
const DAY_S: f64 = 86_400.0;

/// Columns of a sheet, each found by its name and unit.
pub(super) struct HeadColumns<'a> {
    sheet: &'a Sheet,
    pub(super) date: usize,
}

/// The rows of one measurement.
pub(super) struct Group<'a> {
    pub(super) date: String,
    pub(super) day: f64,
    run: String,
    pub(super) rows: Vec<&'a Row>,
}

/// Words that begin a head with a unit.
const MEASURED: [&str; 12] = [
    "volume",
    "time",
    "distance",
    "across",
    "depth",
    "salt",
    "conductivity",
    "calibration",
    "head",
    "width",
    "channel",
    "height",
];

/// Heads that may stand in a sheet.
const KNOWN: [&str; 36] = [
    "date",
    "run",
    "section",
    "remark",
    "remarks",
    "note",
    "name",
    "volume_l",
    "volume_gal",
    "time_s",
    "time_min",
    "distance_m",
    "distance_ft",
    "across_m",
    "across_ft",
    "depth_m",
    "depth_cm",
    "depth_ft",
    "depth_in",
    "salt_g",
    "salt_kg",
    "salt_lb",
    "conductivity_us_per_cm",
    "conductivity_ms_per_cm",
    "calibration_mg_per_l",
    "calibration_g_per_l",
    "head_mm",
    "head_cm",
    "head_m",
    "head_in",
    "head_ft",
    "angle_deg",
    "width_m",
    "width_mm",
    "width_ft",
    "place",
];

/// Heads of the channel of a weir.
const CHANNEL: [&str; 4] = ["channel_m", "channel_ft", "height_m", "height_ft"];

impl<'a> HeadColumns<'a> {
    /// The columns of a sheet.
    ///
    /// # Errors
    /// No column of dates, or a measured column whose unit is not known.
    pub(super) fn of(sheet: &'a Sheet) -> Result<Self, Fault> {
        let Some(date) = sheet.column_of(&["date", "day"]) else {
            return Err(sheet
                .heads_fault("a sheet without the column date")
                .expected("date and the columns of the method")
                .advice("write the day of each measurement, as 2026-05-14"));
        };
        let known: Vec<&str> = KNOWN.iter().chain(&CHANNEL).copied().collect();
        for column in sheet.unknown_heads(&known) {
            let key = sheet
                .heads
                .get(column)
                .map_or_else(String::new, |h| head_key(&h.text));
            if MEASURED.iter().any(|word| key.starts_with(word)) {
                let like: Vec<&str> = known
                    .iter()
                    .copied()
                    .filter(|k| {
                        MEASURED
                            .iter()
                            .any(|w| k.starts_with(w) && key.starts_with(w))
                    })
                    .collect();
                return Err(sheet
                    .head_fault(column, "a column with a unit that is not known")
                    .expected(like.join(", "))
                    .advice("write the unit in the head, as time_s"));
            }
        }
        Ok(Self { sheet, date })
    }

    fn column(&self, of: &[(&str, f64)]) -> Option<(usize, f64)> {
        of.iter()
            .find_map(|(head, factor)| Some((self.sheet.column(head)?, *factor)))
    }

    /// Whether the sheet has one of some columns.
    pub(super) fn has(&self, of: &[(&str, f64)]) -> bool {
        self.column(of).is_some()
    }

    /// The words of a cell; empty where there is no such column.
    pub(super) fn text(&self, row: &Row, head: &str) -> String {
        let column = self.sheet.column(head);
        column.map_or_else(String::new, |c| self.sheet.text(row, c).to_owned())
    }

    /// A figure in SI that is more than 0; `None` where the cell is empty.
    pub(super) fn positive(&self, row: &Row, of: &[(&str, f64)]) -> Result<Option<f64>, Fault> {
        self.bounded(row, of, "a value that is not more than 0", |v| v > 0.0)
    }

    /// A figure in SI that is 0 or more; `None` where the cell is empty.
    pub(super) fn not_negative(&self, row: &Row, of: &[(&str, f64)]) -> Result<Option<f64>, Fault> {
        self.bounded(row, of, "a negative value", |v| v >= 0.0)
    }

    fn bounded(
        &self,
        row: &Row,
        of: &[(&str, f64)],
        wrong: &str,
        holds: fn(f64) -> bool,
    ) -> Result<Option<f64>, Fault> {
        let Some((column, factor)) = self.column(of) else {
            return Ok(None);
        };
        let Some(value) = self.sheet.number(row, column)? else {
            return Ok(None);
        };
        if !holds(value) || value.abs() > LARGEST {
            let wrong = if holds(value) {
                "a value that is too large"
            } else {
                wrong
            };
            return Err(self
                .sheet
                .fault(row, column, wrong)
                .expected(format!("a measured value, at most {LARGEST:.0}"))
                .advice("leave the cell empty if nothing was measured"));
        }
        Ok(Some(value * factor))
    }

    /// The fault of a whole row.
    pub(super) fn row_fault(&self, row: &Row, text: &str, expected: &str) -> Fault {
        Fault::new(self.sheet.place(row, self.date), text)
            .source_line(&row.source_line)
            .expected(expected)
            .advice("correct the row, or remove it")
    }
}

/// No column of such a sheet holds more.
const LARGEST: f64 = 1e6;

/// The rows of each day, or of each run of a day where the sheet has a column for it, in order of time. A row without a date belongs to the day above it.
pub(super) fn by_day<'a>(
    sheet: &'a Sheet,
    heads: &HeadColumns<'_>,
) -> Result<Vec<Group<'a>>, Fault> {
    let mut out: Vec<Group<'a>> = Vec::new();
    let mut last: Option<(String, f64)> = None;
    for row in &sheet.rows {
        let text = sheet.text(row, heads.date).trim();
        let (date, day) = match (text, &last) {
            ("", Some(above)) => above.clone(),
            _ => match clock_s(text) {
                Some(s) => {
                    let day = (s / DAY_S).floor();
                    (text.chars().take(10).collect(), day)
                }
                None => {
                    return Err(sheet
                        .fault(row, heads.date, "not a date that can be read for certain")
                        .expected("year, month, day: 2026-05-14")
                        .advice("write the year first, so that day and month cannot be confused"));
                }
            },
        };
        last = Some((date.clone(), day));
        let run = heads.text(row, "run");
        match out.iter_mut().find(|g| g.day == day && g.run == run) {
            Some(group) => group.rows.push(row),
            None => out.push(Group {
                date,
                day,
                run,
                rows: vec![row],
            }),
        }
    }
    out.sort_by(|a, b| a.day.total_cmp(&b.day));
    Ok(out)
}
