use super::account::{Account, SurveyAccount};
use super::{Cell, Csv};
use crate::text::Fault;

/// stations.csv of a check: the line's grid with what stands and runs at each station, in SI as the heads say.
///
/// # Errors
/// None in practice: the sheet is in memory.
pub fn of_check(account: &Account) -> Result<Vec<u8>, Fault> {
    let study = &account.study;
    let line = &study.line;
    let shut = study.cases.named("shut");
    let running = study.cases.largest_flow().filter(|r| r.flows());
    let mut sheet = Csv::new(&[
        "station_m",
        "horizontal_m",
        "elevation_m",
        "sd_m",
        "ground_m",
        "lat",
        "lon",
        "fall",
        "pipe",
        "standing_pressure_pa",
        "running_case",
        "running_grade_line_m",
        "running_pressure_pa",
        "surge_pressure_max_pa",
        "surge_pressure_min_pa",
    ])?;
    let stations = &line.heights.station_m;
    for (i, &s) in stations.iter().enumerate() {
        let at = |list: &[f64]| list.get(i).copied();
        let lat_lon = line
            .plan
            .get(i)
            .copied()
            .flatten()
            .and_then(|p| p.lat_lon_deg);
        let next = stations
            .get(i + 1)
            .copied()
            .zip(line.heights.mean_m.get(i + 1).copied())
            .zip(at(&line.heights.mean_m));
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
        sheet.row(&[
            Cell::Figure(s, 2),
            Cell::maybe(at(&line.horizontal_m), 2),
            Cell::maybe(at(&line.heights.mean_m), 3),
            Cell::maybe(at(&line.heights.sd_m), 3),
            Cell::maybe(line.ground_m.get(i).copied().flatten(), 3),
            Cell::maybe(lat_lon.map(|p| p.0), 8),
            Cell::maybe(lat_lon.map(|p| p.1), 8),
            Cell::maybe(fall, 4),
            Cell::text(line.reach_at(s).map_or("", |r| r.pipe.spec.as_str())),
            Cell::maybe(shut.and_then(|r| r.points.get(i)).map(|p| p.pressure_pa), 0),
            Cell::text(running.map_or("", |r| r.name.as_str())),
            Cell::maybe(run.map(|p| p.grade_line_m), 3),
            Cell::maybe(run.map(|p| p.pressure_pa), 0),
            Cell::maybe(surge(|p| Some(p.pressure_max_pa), true), 0),
            Cell::maybe(surge(|p| p.pressure_min_pa, false), 0),
        ])?;
    }
    sheet.bytes()
}

/// stations.csv of a survey alone.
///
/// # Errors
/// None in practice: the sheet is in memory.
pub fn of_survey(account: &SurveyAccount) -> Result<Vec<u8>, Fault> {
    let route = &account.surveyed.route;
    let mut sheet = Csv::new(&[
        "station_m",
        "own_station_m",
        "horizontal_m",
        "elevation_m",
        "sd_m",
        "lat",
        "lon",
    ])?;
    for ((node, z), sd) in route
        .nodes
        .iter()
        .zip(&route.heights.mean_m)
        .zip(&route.heights.sd_m)
    {
        let lat_lon = node.plan.and_then(|p| p.lat_lon_deg);
        sheet.row(&[
            Cell::Figure(node.station_m, 2),
            Cell::Figure(node.own_station_m, 2),
            Cell::Figure(node.horizontal_m, 2),
            Cell::Figure(*z, 3),
            Cell::Figure(*sd, 3),
            Cell::maybe(lat_lon.map(|p| p.0), 8),
            Cell::maybe(lat_lon.map(|p| p.1), 8),
        ])?;
    }
    sheet.bytes()
}
