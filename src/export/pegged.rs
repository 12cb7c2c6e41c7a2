//! Both reckonings of a place wherever figures are written: along the pipe, and on the pegs beside it where the user has some.

use super::CsvCell;
use crate::export::measure::{Measure, Measures};
use crate::words::Say;

/// Columns of stations in a sheet.
pub(crate) struct Stations<'a> {
    say: Say<'a>,
    length: Measure,
}

impl<'a> Stations<'a> {
    /// In a user's units.
    pub(crate) fn of(say: Say<'a>) -> Self {
        let length = Measures::of(say.units).length;
        Self { say, length }
    }

    /// The heads of a station's columns: "station_m", and "peg_station_m".
    pub(crate) fn heads(&self, base: &str) -> Vec<String> {
        let pegged = self.say.has_pegs().then(|| format!("peg_{base}"));
        std::iter::once(base.to_owned())
            .chain(pegged)
            .map(|base| self.length.head(&base))
            .collect()
    }

    /// Their cells.
    pub(crate) fn cells(&self, station_m: Option<f64>, decimals: usize) -> Vec<CsvCell> {
        let both = [
            Some(station_m),
            self.say
                .has_pegs()
                .then(|| station_m.map(|s| self.say.place_m(s))),
        ];
        let cell = |m| self.length.cell(m, decimals);
        both.into_iter().flatten().map(cell).collect()
    }

    /// Cells of several stations, whole.
    pub(crate) fn listed(&self, stations_m: &[f64]) -> Vec<CsvCell> {
        let rows: Vec<Vec<CsvCell>> = stations_m.iter().map(|s| self.cells(Some(*s), 0)).collect();
        (0..self.heads("").len())
            .map(|column| {
                let all = rows.iter().filter_map(|r| r.get(column));
                CsvCell::text(all.map(CsvCell::written).collect::<Vec<_>>().join(" "))
            })
            .collect()
    }
}
