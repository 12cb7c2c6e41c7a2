//! Reads a book of readings, or the file of a logger.

use super::entry::Entry;
use super::plant::Plant;
use super::spells;
use crate::flow::{Dial, PlantChange, respond};
use crate::line::{Discharge, Geometry, Line};
use crate::pipe::RunState;
use crate::text::{
    Fault, FileExpectation, Place, Remark, Row, Sentence, Sheet, decode, head_key, nearest,
};
use crate::unit::OnPegs;
use crate::unit::exact::{FOOT_M, IMPERIAL_GALLON_M3, INCH_M, METRE_HEAD_PA, PSI_PA, US_GALLON_M3};
use crate::{text, unit};
use std::path::Path;

/// A year of a logger that reads every minute is half a million rows.
const WANTED: FileExpectation<'_> = FileExpectation {
    what: "a gauge book (CSV)",
    largest_bytes: 64 << 20,
    advice: "check the name and the folder",
};

/// Heads of pressures, and Pa in their unit.
const PRESSURES: [(&str, f64); 6] = [
    ("pressure_psi", PSI_PA),
    ("pressure_kpa", 1e3),
    ("pressure_bar", 1e5),
    ("pressure_pa", 1.0),
    ("pressure_m", METRE_HEAD_PA),
    ("pressure_ft", METRE_HEAD_PA * FOOT_M),
];

/// Heads of flows, and m3/s in their unit.
const FLOWS: [(&str, f64); 6] = [
    ("flow_l_per_s", 1e-3),
    ("flow_lps", 1e-3),
    ("flow_gpm", US_GALLON_M3 / 60.0),
    ("flow_igpm", IMPERIAL_GALLON_M3 / 60.0),
    ("flow_m3_per_s", 1.0),
    ("flow_m3_per_h", 1.0 / 3600.0),
];

const POWERS: [(&str, f64); 2] = [("power_w", 1.0), ("power_kw", 1e3)];
const LEVELS: [(&str, f64); 4] = [
    ("stream_level_m", 1.0),
    ("stream_level_cm", 0.01),
    ("stream_level_ft", FOOT_M),
    ("stream_level_in", INCH_M),
];
const HEIGHTS: [(&str, f64); 2] = [("gauge_height_m", 1.0), ("gauge_height_ft", FOOT_M)];
const FED: [(&str, f64); 3] = [("fed_l", 1e-3), ("fed_gal", US_GALLON_M3), ("fed_ml", 1e-6)];
const OVER: [(&str, f64); 2] = [("over_min", 60.0), ("over_s", 1.0)];

/// A book as it was read.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct GaugeBook {
    /// The file, as the user named it.
    pub file: String,
    /// Its readings, in order of time.
    pub entries: Vec<Entry>,
    /// Rows of the file that held a reading.
    pub rows: usize,
    /// It is a logger's: readings are steady spells of it.
    pub logged: bool,
    /// What the reader may want to know.
    pub remarks: Vec<Remark>,
}

impl GaugeBook {
    /// Puts the readings of another book to these, in order of time.
    pub fn add(&mut self, other: Self) {
        if self.file.is_empty() {
            self.file = other.file;
        }
        self.rows += other.rows;
        self.logged |= other.logged;
        self.entries.extend(other.entries);
        self.entries.sort_by(|a, b| a.day.total_cmp(&b.day));
        self.remarks.extend(other.remarks);
    }
}

/// Reads a book of readings from a file.
///
/// # Errors
/// Where the file cannot be read, or a row is no reading: the place, what was found, what was expected, what to do.
pub fn read(path: &Path, line: &Line) -> Result<GaugeBook, Fault> {
    let bytes = text::read_bytes(path, &WANTED)?;
    read_text(&bytes, &path.display().to_string(), line)
}

/// Reads a book of readings from bytes, as [`read`] does; `file` is only what faults call it.
///
/// # Errors
/// As [`read`].
pub fn read_text(bytes: &[u8], file: &str, line: &Line) -> Result<GaugeBook, Fault> {
    let decoded = decode(file, bytes)?;
    let sheet = Sheet::read(file, &decoded.text)?;
    let plant = Plant::of(line, &[]);
    let heads = BookHeads::of(&sheet)?;
    let mut book = GaugeBook {
        file: file.to_owned(),
        entries: Vec::new(),
        rows: 0,
        logged: heads.state.is_none(),
        remarks: sheet.remarks.clone(),
    };
    if book.logged {
        let samples = samples(&sheet, &heads, &plant)?;
        book.rows = samples.len();
        let dial = super::channel::at_the_end(&line.geometry);
        book.entries = spells::spells(&plant, dial, &samples);
        if book.entries.is_empty() {
            return Err(sheet
                .heads_fault("no steady period in this log")
                .expected("pressures that are constant for ten minutes or more")
                .advice("use a logging interval of five minutes or less. If you read the gauge by hand, add the column state"));
        }
        return Ok(book);
    }
    for row in &sheet.rows {
        if let Some(entry) = entry(&sheet, &heads, &plant, row)? {
            book.entries.push(entry);
        }
    }
    book.rows = book.entries.len();
    if book.entries.is_empty() {
        return Err(sheet
            .heads_fault("this book has no readings")
            .expected("a row for each reading: date, state, pressure")
            .advice("write one reading in each row"));
    }
    book.entries.sort_by(|a, b| a.day.total_cmp(&b.day));
    let before = book.entries.len();
    book.entries.dedup_by(|b, a| a.same_reading(b));
    if before > book.entries.len() {
        let text = format!(
            "{} rows occur two times in this book. The program uses them once",
            before - book.entries.len()
        );
        book.remarks.push(Remark::new(Place::file(file), text));
    }
    Ok(book)
}

/// A column with the factor to SI.
type FactorColumn = Option<(usize, f64)>;

struct BookHeads {
    date: usize,
    clock: Option<usize>,
    state: Option<usize>,
    pressure: FactorColumn,
    at: Option<usize>,
    height: FactorColumn,
    flow: FactorColumn,
    power: FactorColumn,
    level: FactorColumn,
    fed: FactorColumn,
    over: FactorColumn,
    gauge: Option<usize>,
    remark: Option<usize>,
}

impl BookHeads {
    fn of(sheet: &Sheet) -> Result<Self, Fault> {
        let one_of = |known: &[(&str, f64)]| {
            known
                .iter()
                .find_map(|(head, factor)| Some((sheet.column(head)?, *factor)))
        };
        let day = sheet.column_of(&["date", "day"]);
        let clock = sheet.column_of(&["time", "timestamp", "datetime"]);
        let Some(date) = day.or(clock) else {
            return Err(sheet
                .heads_fault("this book has no date column")
                .expected(
                    "date, state, pressure_psi (or _kpa, _bar, _m). For a logger: time, pressure_kpa",
                )
                .advice("write the day of each reading, for example 2026-05-14"));
        };
        let out = Self {
            date,
            clock: day.and(clock),
            state: sheet.column("state"),
            pressure: one_of(&PRESSURES),
            at: sheet.column_of(&["at", "station", "station_m"]),
            height: one_of(&HEIGHTS),
            flow: one_of(&FLOWS),
            power: one_of(&POWERS),
            level: one_of(&LEVELS),
            fed: one_of(&FED),
            over: one_of(&OVER),
            gauge: sheet.column("gauge"),
            remark: sheet.column_of(&["remark", "remarks", "note"]),
        };
        // a head that means to be one of these but says no unit, or another
        for (i, head) in sheet.heads.iter().enumerate() {
            let key = head_key(&head.text);
            for (word, known) in [
                ("pressure", &PRESSURES[..]),
                ("flow", &FLOWS[..]),
                ("power", &POWERS[..]),
                ("stream_level", &LEVELS[..]),
                ("fed", &FED[..]),
            ] {
                if key.starts_with(&head_key(word)) && known.iter().all(|(k, _)| head_key(k) != key)
                {
                    let names: Vec<&str> = known.iter().map(|(k, _)| *k).collect();
                    return Err(sheet
                        .head_fault(i, format!("the column {word} has no known unit"))
                        .expected(names.join(", "))
                        .advice("write the unit in the column head, for example pressure_psi"));
                }
            }
        }
        if out.pressure.is_none() && out.fed.is_none() {
            return Err(sheet
                .heads_fault("this book has no pressure column")
                .expected("pressure_psi, pressure_kpa, pressure_bar or pressure_m")
                .advice("write the pressures that the gauge shows, with the unit of the gauge in the column head"));
        }
        Ok(out)
    }
}

fn value(sheet: &Sheet, row: &Row, column: FactorColumn) -> Result<Option<f64>, Fault> {
    match column {
        Some((at, factor)) => Ok(sheet.number(row, at)?.map(|v| v * factor)),
        None => Ok(None),
    }
}

fn day(sheet: &Sheet, heads: &BookHeads, row: &Row) -> Result<f64, Fault> {
    let date = sheet.text(row, heads.date);
    let clock = heads.clock.map_or("", |c| sheet.text(row, c));
    let whole = if clock.is_empty() {
        date.to_owned()
    } else {
        format!("{date} {clock}")
    };
    unit::day(&whole).ok_or_else(|| {
        sheet
            .fault(row, heads.date, "this date is not clear")
            .expected("year, month, day: 2026-05-14, or with a time: 2026-05-14 07:30")
            .advice("write the year first, so that day and month cannot be confused")
    })
}

fn pressure_m(
    sheet: &Sheet,
    heads: &BookHeads,
    plant: &Plant<'_>,
    row: &Row,
) -> Result<Option<f64>, Fault> {
    let Some(pa) = value(sheet, row, heads.pressure)? else {
        return Ok(None);
    };
    let head_m = pa / plant.pa_per_m;
    let most = 2.0 * plant.static_m() + 10.0;
    if head_m > most || head_m < -11.0 {
        let at = heads.pressure.map_or(0, |(c, _)| c);
        return Err(sheet
            .fault(row, at, "this pressure is not possible in this pipe")
            .expected(
                Sentence::from("at most about ")
                    .length(most, 0)
                    .words(" of water. The static pressure of this pipeline is ")
                    .length(plant.static_m(), 0),
            )
            .advice("check the unit in the column head, and the decimal point"));
    }
    Ok(Some(head_m))
}

fn samples(
    sheet: &Sheet,
    heads: &BookHeads,
    plant: &Plant<'_>,
) -> Result<Vec<spells::LoggerRow>, Fault> {
    let mut out: Vec<spells::LoggerRow> = Vec::new();
    for row in &sheet.rows {
        if let Some(head_m) = pressure_m(sheet, heads, plant, row)? {
            let day = day(sheet, heads, row)?;
            if out.last().is_some_and(|l| l.day > day) {
                return Err(sheet
                    .fault(row, heads.date, "the time of this row is before the time of the row above")
                    .expected("rows in order of time")
                    .advice("sort the log by time. If the clock of the logger was set back, divide the file there"));
            }
            out.push(spells::LoggerRow {
                day,
                head_m,
                line: row.line,
            });
        }
    }
    Ok(out)
}

fn entry(
    sheet: &Sheet,
    heads: &BookHeads,
    plant: &Plant<'_>,
    row: &Row,
) -> Result<Option<Entry>, Fault> {
    let words = |column: Option<usize>| column.map_or("", |c| sheet.text(row, c)).to_owned();
    let head_m = pressure_m(sheet, heads, plant, row)?;
    let flow_m3_per_s = value(sheet, row, heads.flow)?;
    let power_w = value(sheet, row, heads.power)?;
    let fed = value(sheet, row, heads.fed)?;
    if head_m.is_none() && flow_m3_per_s.is_none() && power_w.is_none() && fed.is_none() {
        return Ok(None);
    }
    let day = day(sheet, heads, row)?;
    let state = state(sheet, heads, plant, row)?;
    for (column, read, least) in [
        (heads.flow, flow_m3_per_s, 0.0),
        (heads.power, power_w, 0.0),
    ] {
        if let (Some((at, _)), Some(v)) = (column, read)
            && v < least
        {
            return Err(sheet
                .fault(row, at, "this value is negative")
                .expected("0 or more")
                .advice("if there is no measurement, keep the cell empty"));
        }
    }
    let fed_m3_per_s = match (fed, value(sheet, row, heads.over)?) {
        (Some(fed), Some(over)) if over > 0.0 && fed >= 0.0 && state == RunState::Shut => {
            Some(fed / over)
        }
        (Some(_), _) => {
            return Err(sheet
                .fault(row, heads.fed.map_or(0, |(c, _)| c), "the volume of water fed in is not sufficient alone")
                .expected("the state shut, the volume (fed_l) and the time (over_min)")
                .advice("close the turbine valve, hold the pressure for half an hour or more, and write both"));
        }
        (None, _) => None,
    };
    Ok(Some(Entry {
        day,
        state,
        dial: Dial {
            station_m: at(sheet, heads, &plant.line.geometry, row)?,
            height_m: value(sheet, row, heads.height)?.unwrap_or_default(),
        },
        head_m,
        flow_m3_per_s: flow_m3_per_s.filter(|f| *f > 0.0),
        power_w: power_w.filter(|p| *p > 0.0),
        stream_level_m: value(sheet, row, heads.level)?,
        fed_m3_per_s,
        gauge: words(heads.gauge),
        remark: words(heads.remark),
        line: row.line,
    }))
}

fn state(
    sheet: &Sheet,
    heads: &BookHeads,
    plant: &Plant<'_>,
    row: &Row,
) -> Result<RunState, Fault> {
    let column = heads.state.unwrap_or_default();
    let said = sheet.text(row, column).trim().to_lowercase();
    let by_itself: Vec<RunState> = Discharge::states(plant.line.outlet.as_ref().map(|o| &o.how))
        .into_iter()
        .map(|(state, _)| state)
        .collect();
    // jets open as a number: "3"
    let told = match said.parse::<usize>() {
        Ok(0) => RunState::Shut.to_string(),
        Ok(1) if by_itself.contains(&RunState::Jets(1)) => RunState::Jets(1).to_string(),
        Ok(n) if by_itself.contains(&RunState::Jets(n)) => RunState::Jets(n).to_string(),
        Ok(_) => RunState::AllJets.to_string(),
        Err(_) => said.clone(),
    };
    let names: Vec<String> = plant.wishes().iter().map(|w| w.state.to_string()).collect();
    let known = names.iter().find(|n| n.to_lowercase() == told);
    let state = RunState::named(known.unwrap_or(&told), &by_itself);
    if let Some(wish) = plant.wish(&state) {
        let dial = super::channel::at_the_end(&plant.line.geometry);
        if respond(plant.line, wish, dial, &PlantChange::default()).is_ok() {
            return Ok(state);
        }
    }
    let advice = match nearest(&said, names.iter().map(String::as_str)) {
        Some(near) => format!("did you mean \"{near}\"?"),
        None => "write the operating condition: shut, or the name of a [[case]] in the site file"
            .to_owned(),
    };
    Err(sheet
        .fault(row, column, "this plant has no such operating condition")
        .expected(names.join(", "))
        .advice(advice))
}

fn at(sheet: &Sheet, heads: &BookHeads, geometry: &Geometry, row: &Row) -> Result<f64, Fault> {
    let Some(column) = heads.at else {
        return Ok(geometry.length_m());
    };
    let said = sheet.text(row, column);
    if said.is_empty() || said.eq_ignore_ascii_case("turbine") {
        return Ok(geometry.length_m());
    }
    let metres = match sheet.number(row, column) {
        Ok(Some(m)) => Ok(m),
        _ => unit::station_m(said).map_err(|m| m.at(sheet.place(row, column))),
    }?;
    let station_m = geometry.pegs.station_m(OnPegs(metres));
    if (-0.5..=geometry.length_m() + 0.5).contains(&station_m) {
        return Ok(station_m.clamp(0.0, geometry.length_m()));
    }
    Err(sheet
        .fault(row, column, "this gauge is not on the pipeline")
        .expected("a station on the pegs, or \"turbine\"")
        .advice("give the station of the gauge in metres"))
}
