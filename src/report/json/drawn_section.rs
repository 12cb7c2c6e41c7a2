use crate::drawing::{LongSection, PaperSize, columns as chosen};
use serde_json::{Value, json};

/// The columns of the table under the drawn section: station, height, the fall to the next one, and the pressures of its rows.
pub fn columns(section: &LongSection, paper: PaperSize) -> Value {
    let at: Vec<(usize, f64, f64)> = chosen(section, paper)
        .into_iter()
        .filter_map(|i| Some((i, *section.station_m.get(i)?, *section.elevation_m.get(i)?)))
        .collect();
    let figure = |row: &str, i: usize| {
        let row = section.rows.iter().find(|r| r.name == row)?;
        row.figures.get(i).copied().flatten()
    };
    at.iter()
        .enumerate()
        .map(|(k, (i, s, z))| {
            let next = at.get(k + 1);
            json!({
                "station_m": s, "elevation_m": z, "fall": next.map(|(_, s1, z1)| (z - z1) / (s1 - s)),
                "standing_pa": figure("static", *i), "running_pa": figure("operating", *i), "surge_pa": figure("surge", *i),
            })
        })
        .collect()
}
