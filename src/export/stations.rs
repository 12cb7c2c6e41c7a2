use crate::report::account::{Report, SurveyReport};
use crate::report::measure::Measures;
use crate::report::pegged::Stations;
use crate::report::{Csv, CsvCell};
use crate::text::Fault;

/// stations.csv of a check: the line's grid with what stands and runs at each station, in the site's units as the heads say.
///
/// # Errors
/// None in practice: the sheet is in memory.
pub fn of_check(account: &Report) -> Result<Vec<u8>, Fault> {
    let study = &account.study;
    let line = &study.line;
    let shut = study.cases.shut();
    let running = study.cases.largest_flow().filter(|r| r.flows());
    let by = Measures::of(account.units);
    let (m, p) = (by.length, by.pressure);
    let us = usize::from(by.is_us());
    let places = Stations::of(account.say());
    let mut heads = places.heads("station");
    heads.extend([
        m.head("horizontal"),
        m.head("elevation"),
        m.head("sd"),
        m.head("ground"),
        "lat".to_owned(),
        "lon".to_owned(),
        "fall".to_owned(),
        "pipe".to_owned(),
        p.head("standing_pressure"),
        "running_case".to_owned(),
        m.head("running_grade_line"),
        p.head("running_pressure"),
        p.head("surge_pressure_max"),
        p.head("surge_pressure_min"),
    ]);
    let mut sheet = Csv::of(&heads)?;
    let stations = &line.geometry.heights.station_m;
    for (i, &s) in stations.iter().enumerate() {
        let at = |list: &[f64]| list.get(i).copied();
        let lat_lon = line
            .geometry
            .plan
            .get(i)
            .copied()
            .flatten()
            .and_then(|p| p.lat_lon_deg);
        let next = stations
            .get(i + 1)
            .copied()
            .zip(line.geometry.heights.mean_m.get(i + 1).copied())
            .zip(at(&line.geometry.heights.mean_m));
        let fall = next.map(|((s1, z1), z0)| (z0 - z1) / (s1 - s));
        let run = running.and_then(|r| r.points.get(i));
        let surge = |pick: fn(&crate::surge::SurgePoint) -> Option<f64>, most: bool| {
            let all = study
                .surges
                .iter()
                .flat_map(|s| &s.runs)
                .filter_map(|r| r.points.get(i))
                .filter_map(pick);
            if most {
                all.max_by(f64::total_cmp)
            } else {
                all.min_by(f64::total_cmp)
            }
        };
        let mut row = places.cells(Some(s), 2);
        row.extend([
            m.cell(at(&line.geometry.horizontal_m), 2),
            m.cell(at(&line.geometry.heights.mean_m), 3),
            m.cell(at(&line.geometry.heights.sd_m), 3),
            m.cell(line.geometry.ground_m.get(i).copied().flatten(), 3),
            CsvCell::maybe(lat_lon.map(|p| p.0), 8),
            CsvCell::maybe(lat_lon.map(|p| p.1), 8),
            CsvCell::maybe(fall, 4),
            CsvCell::text(line.reaches.at(s).map_or("", |r| r.pipe.spec.as_str())),
            p.cell(
                shut.and_then(|r| r.points.get(i)).map(|q| q.pressure_pa),
                us,
            ),
            CsvCell::text(running.map_or_else(String::new, |r| r.state().to_string())),
            m.cell(run.map(|q| q.grade_line_m), 3),
            p.cell(run.map(|q| q.pressure_pa), us),
            p.cell(surge(|q| Some(q.pressure_max_pa), true), us),
            p.cell(surge(|q| q.pressure_min_pa, false), us),
        ]);
        sheet.row(&row)?;
    }
    sheet.bytes()
}

/// stations.csv of a survey alone.
///
/// # Errors
/// None in practice: the sheet is in memory.
pub fn of_survey(account: &SurveyReport) -> Result<Vec<u8>, Fault> {
    let route = &account.surveyed.route;
    let m = Measures::of(account.units).length;
    let places = Stations::of(account.say());
    let mut heads = places.heads("station");
    heads.extend([
        m.head("horizontal"),
        m.head("elevation"),
        m.head("sd"),
        "lat".to_owned(),
        "lon".to_owned(),
    ]);
    let mut sheet = Csv::of(&heads)?;
    for ((node, z), sd) in route
        .nodes
        .iter()
        .zip(&route.heights.mean_m)
        .zip(&route.heights.sd_m)
    {
        let lat_lon = node.plan.and_then(|p| p.lat_lon_deg);
        let mut row = places.cells(Some(node.station_m), 2);
        row.extend([
            m.cell(Some(node.horizontal_m), 2),
            m.cell(Some(*z), 3),
            m.cell(Some(*sd), 3),
            CsvCell::maybe(lat_lon.map(|p| p.0), 8),
            CsvCell::maybe(lat_lon.map(|p| p.1), 8),
        ]);
        sheet.row(&row)?;
    }
    sheet.bytes()
}
