use crate::drawing::{Paper, Section, columns as chosen};
use crate::unit::Units;
use serde_json::{Value, json};

/// The columns of the table under the drawn section: station, height and the fall to the next one.
pub fn columns(section: &Section, units: Units) -> Value {
    let at: Vec<(f64, f64)> = chosen(section, Paper::usual(units))
        .into_iter()
        .filter_map(|i| Some((*section.station_m.get(i)?, *section.elevation_m.get(i)?)))
        .collect();
    at.iter()
        .enumerate()
        .map(|(i, (s, z))| {
            let next = at.get(i + 1);
            json!({"station_m": s, "elevation_m": z, "fall": next.map(|(s1, z1)| (z - z1) / (s1 - s))})
        })
        .collect()
}
