//! Reads a sheet of measurements of the stream.

use super::float::{FloatRun, Sounding};
use super::group::{self, HeadColumns};
use super::salt::{CalibrationStep, WaveReading};
use super::weir::{Plate, Weir};
use super::{Gauged, GaugingMethod, Note, bucket, float, salt, weir};
use crate::text::{self, Fault, FileExpectation, Row, Sheet, decode};
use crate::unit::exact::{FOOT_M, INCH_M, US_GALLON_M3};
use std::path::Path;

const WANTED: FileExpectation<'_> = FileExpectation {
    what: "a sheet of stream flow measurements: CSV",
    largest_bytes: 4 << 20,
    advice: "check the name and the folder; `steadyfall new` writes blank sheets",
};

/// Most rows of a sheet: a conductivity every second for five hours.
const MOST_ROWS: usize = 20_000;

const VOLUMES: [(&str, f64); 2] = [("volume_l", 1e-3), ("volume_gal", US_GALLON_M3)];
const DISTANCES: [(&str, f64); 2] = [("distance_m", 1.0), ("distance_ft", FOOT_M)];
const ACROSS: [(&str, f64); 2] = [("across_m", 1.0), ("across_ft", FOOT_M)];
const DEPTHS: [(&str, f64); 4] = [
    ("depth_m", 1.0),
    ("depth_cm", 0.01),
    ("depth_ft", FOOT_M),
    ("depth_in", INCH_M),
];
const SALTS: [(&str, f64); 3] = [("salt_g", 1e3), ("salt_kg", 1e6), ("salt_lb", 453_592.37)];
const CONDUCTIVITIES: [(&str, f64); 2] = [
    ("conductivity_us_per_cm", 1.0),
    ("conductivity_ms_per_cm", 1e3),
];
const CALIBRATIONS: [(&str, f64); 2] =
    [("calibration_mg_per_l", 1.0), ("calibration_g_per_l", 1e3)];
const HEADS: [(&str, f64); 5] = [
    ("head_mm", 1e-3),
    ("head_cm", 0.01),
    ("head_m", 1.0),
    ("head_in", INCH_M),
    ("head_ft", FOOT_M),
];
const WIDTHS: [(&str, f64); 3] = [("width_m", 1.0), ("width_mm", 1e-3), ("width_ft", FOOT_M)];
const CHANNELS: [(&str, f64); 2] = [("channel_m", 1.0), ("channel_ft", FOOT_M)];
const CRESTS: [(&str, f64); 2] = [("height_m", 1.0), ("height_ft", FOOT_M)];

/// Reads a sheet of measurements from a file.
///
/// # Errors
/// Where the file cannot be read, or a row is no measurement: the place, what was found, what was expected, what to do.
pub fn read(path: &Path, gravity_m_per_s2: f64) -> Result<Vec<Gauged>, Fault> {
    let bytes = text::read_bytes(path, &WANTED)?;
    read_text(&bytes, &path.display().to_string(), gravity_m_per_s2)
}

/// Reads a sheet of measurements from bytes, as [`read`] does; `file` is only what faults call it.
///
/// # Errors
/// As [`read`].
pub fn read_text(bytes: &[u8], file: &str, gravity_m_per_s2: f64) -> Result<Vec<Gauged>, Fault> {
    let decoded = decode(file, bytes)?;
    let sheet = Sheet::read(file, &decoded.text)?;
    if sheet.rows.len() > MOST_ROWS {
        return Err(sheet
            .heads_fault("too many rows for a measurement of a stream")
            .expected(format!("at most {MOST_ROWS} rows"))
            .advice("give one file for each measurement"));
    }
    let heads = HeadColumns::of(&sheet)?;
    let work: SheetWork = if heads.has(&VOLUMES) {
        buckets
    } else if heads.has(&SALTS) || heads.has(&CONDUCTIVITIES) {
        salted
    } else if heads.has(&HEADS) {
        weirs
    } else if heads.has(&DISTANCES) {
        floats
    } else {
        return Err(sheet
            .heads_fault("no known method of stream flow measurement")
            .expected(
                "a column volume_l (bucket), distance_m (float), salt_g (salt) or head_mm (weir)",
            )
            .advice("`steadyfall new` writes a blank sheet for each method"));
    };
    let mut out = Vec::new();
    for group in group::by_day(&sheet, &heads)? {
        let day = MeasuredDay {
            sheet: &sheet,
            heads: &heads,
            rows: &group.rows,
            gravity_m_per_s2,
        };
        let (method, (flow_m3_per_s, sd_m3_per_s, notes), readings) = work(&day)?;
        out.push(Gauged {
            file: file.to_owned(),
            date: group.date,
            day: group.day,
            method,
            flow_m3_per_s,
            sd_m3_per_s,
            readings,
            notes,
        });
    }
    if out.is_empty() {
        return Err(sheet
            .heads_fault("no measurement in this sheet")
            .expected("rows with a date and readings")
            .advice("fill in the readings, one in each row"));
    }
    Ok(out)
}

/// The rows of one measurement.
struct MeasuredDay<'a> {
    sheet: &'a Sheet,
    heads: &'a HeadColumns<'a>,
    rows: &'a [&'a Row],
    gravity_m_per_s2: f64,
}

type SheetAnswer = (f64, f64, Vec<Note>);
type SheetWork = fn(&MeasuredDay<'_>) -> Result<(GaugingMethod, SheetAnswer, usize), Fault>;

impl MeasuredDay<'_> {
    fn positive(&self, row: &Row, of: &[(&str, f64)]) -> Result<Option<f64>, Fault> {
        self.heads.positive(row, of)
    }

    fn time(&self, row: &Row) -> Result<Option<f64>, Fault> {
        self.heads
            .not_negative(row, &[("time_s", 1.0), ("time_min", 60.0)])
    }

    /// The fault of a measurement that lacks something, at its first row.
    fn lacks(&self, what: &str, expected: &str, advice: &str) -> Fault {
        let row = self.rows.first().copied();
        let fault = match row {
            Some(row) => self.sheet.fault(row, self.heads.date, what),
            None => self.sheet.heads_fault(what),
        };
        fault.expected(expected).advice(advice)
    }
}

fn buckets(day: &MeasuredDay<'_>) -> Result<(GaugingMethod, SheetAnswer, usize), Fault> {
    let mut fillings = Vec::new();
    for row in day.rows {
        match (day.positive(row, &VOLUMES)?, day.time(row)?) {
            (Some(volume_m3), Some(time_s)) if time_s > 0.0 => {
                fillings.push(bucket::BucketFilling { volume_m3, time_s });
            }
            _ => {
                return Err(day.heads.row_fault(
                    row,
                    "a filling needs its volume and its time",
                    "volume_l and time_s, both more than 0",
                ));
            }
        }
    }
    let answer = bucket::flow(&fillings).ok_or_else(|| {
        day.lacks(
            "no filling",
            "volume_l and time_s",
            "write one filling a row",
        )
    })?;
    Ok((GaugingMethod::Bucket, answer, fillings.len()))
}

fn floats(day: &MeasuredDay<'_>) -> Result<(GaugingMethod, SheetAnswer, usize), Fault> {
    let (mut runs, mut sections): (Vec<FloatRun>, Vec<(String, Vec<Sounding>)>) =
        Default::default();
    for row in day.rows {
        let distance = day.positive(row, &DISTANCES)?;
        let across = day.heads.not_negative(row, &ACROSS)?;
        let depth = day.heads.not_negative(row, &DEPTHS)?;
        match (distance, day.time(row)?, across.zip(depth)) {
            (Some(distance_m), Some(time_s), None) if time_s > 0.0 => {
                runs.push(FloatRun { distance_m, time_s });
            }
            (None, None, Some((across_m, depth_m))) => {
                let name = day.heads.text(row, "section");
                let sounding = Sounding { across_m, depth_m };
                match sections.iter_mut().find(|s| s.0 == name) {
                    Some((_, all)) => all.push(sounding),
                    None => sections.push((name, vec![sounding])),
                }
            }
            _ => {
                return Err(day.heads.row_fault(
                    row,
                    "neither a float nor a sounding",
                    "distance_m and time_s of a float, or across_m and depth_m of a sounding",
                ));
            }
        }
    }
    for (_, all) in &mut sections {
        all.sort_by(|a, b| a.across_m.total_cmp(&b.across_m));
    }
    let areas: Vec<f64> = sections.iter().map(|s| float::area_m2(&s.1)).collect();
    let widths: Vec<f64> = sections
        .iter()
        .filter_map(|(_, s)| Some(s.last()?.across_m - s.first()?.across_m))
        .collect();
    let width_m = super::mean(&widths).map_or(0.0, |m| m.0);
    let answer = float::flow(&runs, &areas, width_m).ok_or_else(|| {
        day.lacks(
            "floats without a cross-section, or a cross-section without floats",
            "rows with distance_m and time_s, and rows with across_m and depth_m from bank to bank",
            "measure the depth at three or more places across the stream",
        )
    })?;
    Ok((GaugingMethod::Float, answer, runs.len()))
}

fn salted(day: &MeasuredDay<'_>) -> Result<(GaugingMethod, SheetAnswer, usize), Fault> {
    let (mut salt_mg, mut wave, mut steps) = (
        0.0,
        Vec::<WaveReading>::new(),
        Vec::<CalibrationStep>::new(),
    );
    for row in day.rows {
        let poured = day.positive(row, &SALTS)?;
        salt_mg += poured.unwrap_or(0.0);
        let step = day.heads.not_negative(row, &CALIBRATIONS)?;
        let conductivity = day.heads.not_negative(row, &CONDUCTIVITIES)?;
        match (conductivity, step, day.time(row)?) {
            (Some(conductivity), Some(salt_mg_per_l), None) => steps.push(CalibrationStep {
                salt_mg_per_l,
                conductivity,
            }),
            (Some(conductivity), None, Some(time_s)) => {
                if wave.last().is_some_and(|l| l.time_s >= time_s) {
                    return Err(day.heads.row_fault(
                        row,
                        "the time of this row is not after the time of the row above",
                        "rows in order of time",
                    ));
                }
                wave.push(WaveReading {
                    time_s,
                    conductivity,
                });
            }
            (None, None, None) if poured.is_some() => {}
            _ => {
                return Err(day.heads.row_fault(
                    row,
                    "neither a reading of the wave nor a calibration",
                    "time_s and conductivity_us_per_cm, or calibration_mg_per_l and conductivity_us_per_cm",
                ));
            }
        }
    }
    if salt_mg <= 0.0 {
        return Err(day.lacks(
            "the mass of the salt is missing",
            "salt_g in one row of this day",
            "weigh the dry salt before you dissolve it",
        ));
    }
    let own = salt::calibrated(&steps);
    if own.is_none() && !steps.is_empty() {
        return Err(day.lacks(
            "this calibration does not rise with the salt",
            "two or more steps, with more conductivity for more salt",
            "check the columns calibration_mg_per_l and conductivity_us_per_cm",
        ));
    }
    let answer = salt::flow(salt_mg, &wave, own).ok_or_else(|| {
        day.lacks(
            "there is no wave of salt above the background",
            "readings before, during and after the wave",
            "read every five seconds until the conductivity is back where it started",
        )
    })?;
    Ok((GaugingMethod::Salt, answer, wave.len()))
}

fn weirs(day: &MeasuredDay<'_>) -> Result<(GaugingMethod, SheetAnswer, usize), Fault> {
    let mut heads_m = Vec::new();
    let mut built: Option<Weir> = None;
    for row in day.rows {
        let head = day.positive(row, &HEADS)?.ok_or_else(|| {
            day.heads
                .row_fault(row, "no head in this row", "head_mm, more than 0")
        })?;
        if head > 3.0 {
            return Err(day.heads.row_fault(
                row,
                "a head that no small weir has",
                "at most 3 m; the unit is in the head of the column",
            ));
        }
        heads_m.push(head);
        let angle = day.positive(row, &[("angle_deg", 1.0)])?;
        let width_m = day.positive(row, &WIDTHS)?;
        let plate = match (angle, width_m) {
            (Some(deg), None) if deg < 180.0 => Some(Plate::V {
                angle_rad: deg.to_radians(),
            }),
            (None, Some(width_m)) => Some(Plate::Level { width_m }),
            (None, None) => None,
            _ => {
                return Err(day.heads.row_fault(
                    row,
                    "this weir has an angle and a width, or its angle is too large",
                    "angle_deg of a V-notch below 180, or width_m of a rectangular notch",
                ));
            }
        };
        let here = plate.or(built.map(|b| b.plate)).ok_or_else(|| {
            day.heads.row_fault(
                row,
                "the notch of this weir is not given",
                "angle_deg of a V-notch, or width_m of a rectangular notch",
            )
        })?;
        if built.is_some_and(|b| b.plate != here) {
            return Err(day.heads.row_fault(
                row,
                "two notches on one day",
                "one weir a day; put the other weir in its own file",
            ));
        }
        built = Some(Weir {
            plate: here,
            channel_m: day
                .positive(row, &CHANNELS)?
                .or(built.and_then(|b| b.channel_m)),
            crest_m: day
                .positive(row, &CRESTS)?
                .or(built.and_then(|b| b.crest_m)),
        });
    }
    let answer = built.and_then(|w| weir::flow(&w, &heads_m, day.gravity_m_per_s2).map(|a| (w, a)));
    let (weir, answer) =
        answer.ok_or_else(|| day.lacks("no head", "head_mm", "write one head a row"))?;
    if let Plate::Level { width_m } = weir.plate
        && weir.channel_m.is_some_and(|c| c < width_m)
    {
        return Err(day.lacks(
            "the notch is wider than the channel",
            "channel_m of at least width_m",
            "check the two values",
        ));
    }
    let method = match weir.plate {
        Plate::V { .. } => GaugingMethod::VNotch,
        Plate::Level { .. } => GaugingMethod::Notch,
    };
    Ok((method, answer, heads_m.len()))
}
