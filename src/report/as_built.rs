//! What lies where, after laying: pipes, joints, fittings and devices down the line, by the survey that was made of them.

use super::account::Report;
use super::measure::Measures;
use super::pegged::Stations;
use super::words::{device_word, joint_label, kind_label, label};
use super::{Csv, CsvCell};
use crate::line::Line;
use crate::text::Fault;

/// One thing that lies or stands.
#[derive(Debug, Clone, PartialEq)]
pub struct AsBuilt {
    /// Where, m.
    pub station_m: f64,
    /// What.
    pub what: String,
    /// What the user calls it, or which pipe.
    pub name: String,
}

/// Everything that was declared as laid or standing, down the line; empty where no record is asked for or a pipe is not laid yet.
pub fn built(line: &Line) -> Vec<AsBuilt> {
    if line.works.record.is_none()
        || line.reaches.is_empty()
        || line.reaches.iter().any(|r| !r.is_laid)
    {
        return Vec::new();
    }
    let one = |station_m: f64, what: &str, name: &str| AsBuilt {
        station_m,
        what: what.to_owned(),
        name: name.to_owned(),
    };
    let mut out: Vec<AsBuilt> = Vec::new();
    for reach in &line.reaches {
        out.push(one(reach.from_m, "start of pipe", &reach.pipe.spec));
        out.extend(
            reach
                .joints_at_m
                .iter()
                .map(|s| one(*s, "joint", joint_label(reach.joint))),
        );
        out.push(one(reach.to_m, "end of pipe", &reach.pipe.spec));
    }
    out.extend(
        line.fittings
            .iter()
            .map(|f| one(f.station_m, f.kind.word(), &f.name)),
    );
    let stands = line
        .stands
        .iter()
        .filter(|s| s.state != crate::pipe::WorkingState::Planned);
    out.extend(stands.map(|s| {
        let what = s
            .device
            .map_or_else(|| kind_label(s.kind), |d| label(device_word(d)));
        one(s.station_m, what, &s.name)
    }));
    out.sort_by(|a, b| a.station_m.total_cmp(&b.station_m));
    out
}

/// Standard deviation of the height at a station, m: of the next one of the grid.
pub fn sd_m(line: &Line, station_m: f64) -> Option<f64> {
    let next = line
        .geometry
        .heights
        .station_m
        .partition_point(|s| *s < station_m - 1e-9);
    line.geometry
        .heights
        .sd_m
        .get(next)
        .or(line.geometry.heights.sd_m.last())
        .copied()
}

/// The sheet as-built.csv; `None` where it is not asked for.
///
/// # Errors
/// None in practice: the sheet is in memory.
pub fn sheet(account: &Report) -> Result<Option<Vec<u8>>, Fault> {
    let line = &account.study.line;
    let all = built(line);
    if all.is_empty() {
        return Ok(None);
    }
    let m = Measures::of(account.units).length;
    let places = Stations::of(account.say());
    let mut heads = places.heads("station");
    heads.extend([
        "what".to_owned(),
        "name".to_owned(),
        m.head("elevation"),
        m.head("sd"),
        "lat".to_owned(),
        "lon".to_owned(),
    ]);
    let mut sheet = Csv::of(&heads)?;
    for b in &all {
        let lat_lon = line.lat_lon_deg(b.station_m);
        let mut row = places.cells(Some(b.station_m), 2);
        row.extend([
            CsvCell::text(&b.what),
            CsvCell::text(&b.name),
            m.cell(Some(line.elevation_m(b.station_m)), 3),
            m.cell(sd_m(line, b.station_m), 3),
            CsvCell::maybe(lat_lon.map(|p| p.0), 8),
            CsvCell::maybe(lat_lon.map(|p| p.1), 8),
        ]);
        sheet.row(&row)?;
    }
    sheet.bytes().map(Some)
}
