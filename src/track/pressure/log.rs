use crate::text::{self, Fault, FileExpectation, Place, Remark, Row, Sheet, decode};
use crate::unit::clock_s;
use crate::unit::has_zone;
use std::path::Path;

/// What a log must be: a day at a hundred readings a second.
const WANTED: FileExpectation<'_> = FileExpectation {
    what: "a log of the air pressure (CSV)",
    largest_bytes: 256 << 20,
    advice: "check the name and the folder",
};

/// A log of the pressure of the air, one value a second or so.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct PressureLog {
    /// The file.
    pub file: String,
    /// Times, s since 1970 UTC, strictly rising.
    pub time_s: Vec<f64>,
    /// Pressures, Pa.
    pub pressure_pa: Vec<f64>,
    /// Middle of the temperatures it holds, C.
    pub air_c: Option<f64>,
    /// Whether its times say their zone, or count from 1970; else they are read as UTC until the walk tells otherwise.
    pub zone_said: bool,
    /// What was done to it.
    pub remarks: Vec<Remark>,
}

/// Pressures that air on land has, Pa.
const CAN_BE_PA: std::ops::RangeInclusive<f64> = 30_000.0..=110_000.0;
/// Readings of one such time are taken together, s.
const TOGETHER_S: f64 = 1.0;
/// A pressure that stands off the middle of those some seconds round it by so many robust standard deviations is a gust or a door.
const OFF: f64 = 5.0;
/// Least robust standard deviation, Pa: a quarter of a metre.
const LEAST_PA: f64 = 3.0;

/// Reads a log: a column of times and one of pressures, a temperature if there is one.
///
/// Times: `time` or `timestamp` as ISO 8601 (with no zone: the walk tells how far it stands off UTC, see `lay`) or as seconds, milliseconds, microseconds or nanoseconds since 1970. Pressures: the head names the unit (`pressure_hpa`, `_mbar`, `_kpa`, `_pa`, `_inhg`), or the figures tell it.
///
/// # Errors
/// Where the file cannot be read, a column lacks, or no pressure of air stands in it.
pub fn read_log(path: &Path) -> Result<PressureLog, Fault> {
    let bytes = text::read_bytes(path, &WANTED)?;
    read_log_bytes(&bytes, &path.display().to_string())
}

/// The same of bytes that are at hand; `file` is how it is told.
///
/// # Errors
/// As `read_log`.
pub fn read_log_bytes(bytes: &[u8], file: &str) -> Result<PressureLog, Fault> {
    let decoded = decode(file, bytes)?;
    let sheet = Sheet::read(file, &decoded.text)?;
    let time = sheet
        .column_of(&["time", "timestamp", "time_s", "time_ms", "time_ns", "datetime", "date_time", "utc"])
        .ok_or_else(|| {
            sheet
                .heads_fault("the log has no time column")
                .expected("time, for example 2026-05-14T09:30:00Z, or seconds since 1970")
                .advice("export the log with date and time. Seconds since the start of the log are not sufficient")
        })?;
    let (pressure, unit) = pressure_column(&sheet)?;
    let temperature = sheet.column_of(&["temperature_c", "temp_c", "air_c", "temperature"]);
    let mut rows: Vec<(f64, f64)> = Vec::with_capacity(sheet.rows.len());
    let mut degrees = Vec::new();
    let mut zone_said = true;
    for row in &sheet.rows {
        let Some(value) = sheet.number(row, pressure)? else {
            continue;
        };
        rows.push((time_of(&sheet, row, time)?, value));
        let text = sheet.text(row, time);
        zone_said &= text.trim().parse::<f64>().is_ok() || has_zone(text);
        if let Some(t) = temperature.and_then(|c| sheet.number(row, c).ok().flatten()) {
            degrees.push(t);
        }
    }
    if rows.len() < 10 {
        return Err(sheet
            .heads_fault("the log has fewer than ten pressures")
            .expected("one pressure every few seconds")
            .advice("give the log that was recorded during the walk"));
    }
    let mut values: Vec<f64> = rows.iter().map(|r| r.1).collect();
    let unit = unit
        .or_else(|| told_by(middle(&mut values)))
        .ok_or_else(|| {
            sheet
                .head_fault(pressure, "the unit of the pressures is not known")
                .expected("pressure_hpa, pressure_kpa, pressure_pa or pressure_inhg")
                .advice("write the unit in the column head")
        })?;
    rows.iter_mut().for_each(|r| r.1 *= unit);
    let all = rows.len();
    rows.retain(|r| CAN_BE_PA.contains(&r.1));
    rows.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (time_s, pressure_pa) = together(&rows);
    let mut log = PressureLog {
        file: file.to_owned(),
        air_c: (!degrees.is_empty())
            .then(|| middle(&mut degrees))
            .filter(|t| (-60.0..60.0).contains(t)),
        zone_said,
        remarks: Vec::new(),
        time_s,
        pressure_pa,
    };
    let gusts = log.still();
    if log.time_s.len() < 10 {
        return Err(sheet
            .head_fault(
                pressure,
                "almost no value in this column is an air pressure",
            )
            .expected("300 to 1100 hPa")
            .advice("write the unit in the column head"));
    }
    for (n, what) in [
        (all - rows.len(), "not possible for air"),
        (gusts, "caused by gusts of wind or doors"),
    ] {
        if n > 0 {
            log.remarks.push(Remark::new(
                Place::file(file),
                format!(
                    "not used: {n} {} {what}",
                    if n == 1 { "pressure" } else { "pressures" }
                ),
            ));
        }
    }
    Ok(log)
}

fn pressure_column(sheet: &Sheet) -> Result<(usize, Option<f64>), Fault> {
    // Inch of mercury: NIST SP 811, 2008, Appendix B (conventional).
    const UNITS: [(&str, f64); 5] = [
        ("hpa", 100.0),
        ("mbar", 100.0),
        ("kpa", 1000.0),
        ("pa", 1.0),
        ("inhg", 3_386.389),
    ];
    for base in ["pressure", "baro", "barometer"] {
        for (unit, pa) in UNITS {
            if let Some(column) = sheet.column(&format!("{base}_{unit}")) {
                return Ok((column, Some(pa)));
            }
        }
    }
    sheet
        .column_of(&["pressure", "baro", "barometer", "air_pressure"])
        .map(|column| (column, None))
        .ok_or_else(|| {
            sheet
                .heads_fault("the log has no pressure column")
                .expected("pressure_hpa (or _kpa, _pa, _mbar, _inhg)")
                .advice("write the column heads time and pressure_hpa")
        })
}

/// Pascals in the unit that the middle of the figures speaks of.
fn told_by(middle: f64) -> Option<f64> {
    [100.0, 1000.0, 1.0, 3_386.389]
        .into_iter()
        .find(|pa| CAN_BE_PA.contains(&(middle * pa)))
}

fn time_of(sheet: &Sheet, row: &Row, column: usize) -> Result<f64, Fault> {
    let text = sheet.text(row, column);
    let plain = text.trim().parse::<f64>().ok().filter(|v| v.is_finite());
    let since_1970 = |v: f64| {
        [1.0, 1e-3, 1e-6, 1e-9]
            .into_iter()
            .map(|unit| v * unit)
            // 1990 to 2100.
            .find(|s| (6.3e8..4.1e9).contains(s))
    };
    plain.map_or_else(|| clock_s(text), since_1970).ok_or_else(|| {
        sheet
            .fault(row, column, "this time cannot be read")
            .expected("2026-05-14T09:30:00Z, or seconds (or milliseconds) since 1970")
            .advice("export the log with date and time. Seconds since the start of the log are not sufficient")
    })
}

/// The value in the middle of a list; 0 where there is none.
pub(super) fn middle(values: &mut [f64]) -> f64 {
    values.sort_by(f64::total_cmp);
    values.get(values.len() / 2).copied().unwrap_or(0.0)
}

/// The middle of what was read within each second.
fn together(rows: &[(f64, f64)]) -> (Vec<f64>, Vec<f64>) {
    let (mut time_s, mut pressure_pa) = (Vec::new(), Vec::new());
    let mut rest = rows;
    while let Some(first) = rest.first() {
        let end = rest.partition_point(|r| r.0 < first.0 + TOGETHER_S);
        let (now, later) = rest.split_at(end.max(1));
        let mut values: Vec<f64> = now.iter().map(|r| r.1).collect();
        time_s.push(now.iter().map(|r| r.0).sum::<f64>() / now.len() as f64);
        pressure_pa.push(middle(&mut values));
        rest = later;
    }
    (time_s, pressure_pa)
}

impl PressureLog {
    /// The same with its clock put back.
    pub(super) fn earlier(&self, by_s: f64) -> Self {
        Self {
            time_s: self.time_s.iter().map(|t| t - by_s).collect(),
            ..self.clone()
        }
    }

    /// Leaves out gusts and doors: what stands off the middle of the fifteen values round it. Gives how many there were.
    fn still(&mut self) -> usize {
        let round = |i: usize| {
            let mut near: Vec<f64> = self
                .pressure_pa
                .get(i.saturating_sub(7)..(i + 8).min(self.pressure_pa.len()))
                .unwrap_or_default()
                .to_vec();
            middle(&mut near)
        };
        let off: Vec<f64> = self
            .pressure_pa
            .iter()
            .enumerate()
            .map(|(i, p)| (p - round(i)).abs())
            .collect();
        let limit = OFF * (1.4826 * middle(&mut off.clone())).max(LEAST_PA);
        let keep: Vec<bool> = off.iter().map(|o| *o <= limit).collect();
        let kept = |values: &[f64]| {
            values
                .iter()
                .zip(&keep)
                .filter(|(_, k)| **k)
                .map(|(v, _)| *v)
                .collect()
        };
        self.time_s = kept(&self.time_s);
        self.pressure_pa = kept(&self.pressure_pa);
        keep.iter().filter(|k| !**k).count()
    }

    /// Pressure at a time, Pa, straight between two readings no farther apart than `most_s`.
    pub(super) fn at(&self, time_s: f64, most_s: f64) -> Option<f64> {
        let after = self.time_s.partition_point(|t| *t < time_s);
        let of = |i: usize| Some((*self.time_s.get(i)?, *self.pressure_pa.get(i)?));
        let (t1, p1) = of(after)?;
        if t1 == time_s {
            return Some(p1);
        }
        let (t0, p0) = of(after.checked_sub(1)?)?;
        (t1 - t0 <= most_s).then(|| p0 + (p1 - p0) * (time_s - t0) / (t1 - t0))
    }
}
