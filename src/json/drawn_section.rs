use super::block::block;
use crate::drawing::{LongSection, PaperSize, columns as chosen};

block! {
    struct ColumnJson of (section: &LongSection, at: usize, station: f64, elevation: f64, next: Option<&(usize, f64, f64)>) with {
        let figure = |row: &str| {
            let row = section.rows.iter().find(|r| r.name == row)?;
            row.figures.get(at).copied().flatten()
        };
    } {
        station_m: f64 = station,
        elevation_m: f64 = elevation,
        /// Fall divided by length of pipe; negative where the pipe rises.
        fall: Option<f64> = next.map(|(_, s1, z1)| (elevation - z1) / (s1 - station)),
        /// Static pressure, Pa.
        standing_pa: Option<f64> = figure("static"),
        /// Operating pressure, Pa.
        running_pa: Option<f64> = figure("operating"),
        surge_pa: Option<f64> = figure("surge"),
    }
}

/// The columns of the table under the drawn section: station, height, the fall to the next one, and the pressures of its rows.
pub(super) fn columns(section: &LongSection, paper: PaperSize) -> Vec<ColumnJson> {
    let at: Vec<(usize, f64, f64)> = chosen(section, paper)
        .into_iter()
        .filter_map(|i| Some((i, *section.station_m.get(i)?, *section.elevation_m.get(i)?)))
        .collect();
    at.iter()
        .enumerate()
        .map(|(k, &(i, s, z))| ColumnJson::of(section, i, s, z, at.get(k + 1)))
        .collect()
}
