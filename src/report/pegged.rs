//! Both reckonings of a place wherever figures are written: along the pipe, and on the pegs beside it where the user has some.

use super::CsvCell;
use super::measure::{ColumnUnit, Measures};
use crate::route::Reckoning;
use crate::words::Say;
use serde_json::Value;

/// Columns of stations in a sheet.
pub(crate) struct Stations<'a> {
    say: Say<'a>,
    length: ColumnUnit,
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

/// Keys of result.json that hold stations and do not end in `station_m`.
const PLACES: [&str; 14] = [
    "crest_from_m",
    "crest_to_m",
    "level_from_m",
    "level_to_m",
    "vapour_from_m",
    "vapour_to_m",
    "covers_from_m",
    "covers_to_m",
    "joint_m",
    "vents_needed",
    "stations_m",
    "crests_m",
    "loops_m",
    "anchors_m",
];

/// Whether the value of a key is a place on the line.
pub(crate) fn is_place(key: &str) -> bool {
    key.ends_with("station_m") || PLACES.contains(&key)
}

/// A result with what every place in it is on the pegs, under the same key with `peg_` before it; as it is where there are no pegs.
pub fn on_pegs(mut result: Value, pegs: &Reckoning) -> Value {
    if pegs.has_pegs() {
        beside(&mut result, pegs);
    }
    result
}

fn beside(value: &mut Value, pegs: &Reckoning) {
    match value {
        Value::Array(list) => list.iter_mut().for_each(|v| beside(v, pegs)),
        Value::Object(map) => {
            let mut told = Vec::new();
            for (at, (key, value)) in map.iter_mut().enumerate() {
                if let Some(place) = is_place(key).then(|| turned(value, pegs)).flatten() {
                    told.push((at, format!("peg_{key}"), place));
                }
                beside(value, pegs);
            }
            // from behind, so that no place before it moves
            for (at, key, place) in told.into_iter().rev() {
                map.shift_insert(at + 1, key, place);
            }
        }
        _ => {}
    }
}

/// A station, or a list of them, on the pegs; `None` for anything else.
fn turned(value: &Value, pegs: &Reckoning) -> Option<Value> {
    match value {
        Value::Array(list) => list.iter().map(|v| turned(v, pegs)).collect(),
        Value::Number(n) => Some(Value::from(pegs.on_pegs(n.as_f64()?).0)),
        _ => None,
    }
}
