//! as-built.csv: what lies where, after laying.

use crate::report::account::Report;
use crate::report::built::{built, sd_m};
use crate::report::measure::Measures;
use crate::report::pegged::Stations;
use crate::report::{Csv, CsvCell};
use crate::text::Fault;

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
        let lat_lon = line.geometry.lat_lon_deg(b.station_m);
        let mut row = places.cells(Some(b.station_m), 2);
        row.extend([
            CsvCell::text(&b.what),
            CsvCell::text(&b.name),
            m.cell(Some(line.geometry.elevation_m(b.station_m)), 3),
            m.cell(sd_m(&line.geometry, b.station_m), 3),
            CsvCell::maybe(lat_lon.map(|p| p.0), 8),
            CsvCell::maybe(lat_lon.map(|p| p.1), 8),
        ]);
        sheet.row(&row)?;
    }
    sheet.bytes().map(Some)
}
