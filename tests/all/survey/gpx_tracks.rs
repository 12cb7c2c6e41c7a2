//! Real tracks: each reads as an independent library reads it, and gives a sane route or a clear refusal.

use super::passes;
use std::fs;
use std::path::{Path, PathBuf};
use steadyfall::earth::LatLon;
use steadyfall::heights::HeightsOptions;
use steadyfall::reading::{Fix, Pass, Reading};
use steadyfall::route::{End, Route, RouteOptions, Spot, WrittenSpot};
use steadyfall::text::Place;
use steadyfall::track::gpx::read;

/// The tracks lie in the repository and not in the package: there nothing is asked of them.
fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/tracks")
}

pub fn files() -> Vec<(String, Vec<u8>)> {
    let folder = folder();
    if !folder.exists() {
        return Vec::new();
    }
    let mut paths: Vec<PathBuf> = fs::read_dir(folder)
        .unwrap()
        .flatten()
        .map(|e| e.path())
        .filter(|p| p.extension().is_some_and(|e| e == "gpx"))
        .collect();
    paths.sort();
    paths
        .into_iter()
        .map(|p| {
            let name = p.file_name().unwrap().to_string_lossy().into_owned();
            (name, fs::read(&p).unwrap())
        })
        .collect()
}

/// Holds a reading against what the gpx crate made of the same bytes, point for point.
pub fn agrees(ours: &Reading, theirs: &gpx::Gpx) -> Result<(), String> {
    let ours_lines: Vec<&Pass> = passes(ours).iter().collect();
    let tracks = theirs.tracks.iter().map(|t| {
        let segments: Vec<&Vec<gpx::Waypoint>> = t.segments.iter().map(|s| &s.points).collect();
        (false, segments)
    });
    let routes = theirs.routes.iter().map(|r| (true, vec![&r.points]));
    let mut theirs_lines: Vec<(bool, Vec<&Vec<gpx::Waypoint>>)> = tracks.chain(routes).collect();
    for line in &mut theirs_lines {
        line.1.retain(|s| !s.is_empty());
    }
    theirs_lines.retain(|l| !l.1.is_empty());
    // The other library sorts tracks before routes; ours keeps the order of the file.
    let (ours_tracks, ours_routes): (Vec<&Pass>, Vec<&Pass>) =
        ours_lines.into_iter().partition(|p| !p.drawn);
    let ours_lines: Vec<&Pass> = ours_tracks.into_iter().chain(ours_routes).collect();
    if ours_lines.len() != theirs_lines.len() {
        return Err(format!(
            "{} lines for {}",
            ours_lines.len(),
            theirs_lines.len()
        ));
    }
    for (a, (drawn, b)) in ours_lines.iter().zip(&theirs_lines) {
        if a.drawn != *drawn || a.segments.len() != b.len() {
            return Err("another number of segments".into());
        }
        for (fixes, points) in a.segments.iter().zip(b) {
            if fixes.len() != points.len() {
                return Err(format!("{} points for {}", fixes.len(), points.len()));
            }
            for (fix, point) in fixes.iter().zip(points.iter()) {
                same(fix, point)?;
            }
        }
    }
    if ours.places.len() != theirs.waypoints.len() {
        return Err("another number of waypoints".into());
    }
    for (place, point) in ours.places.iter().zip(&theirs.waypoints) {
        let at = point.point();
        if place.lat_deg != at.y()
            || place.lon_deg != at.x()
            || place.elevation_m != point.elevation
        {
            return Err(format!("waypoint {place:?}"));
        }
    }
    Ok(())
}

fn same(fix: &Fix, point: &gpx::Waypoint) -> Result<(), String> {
    let at = point.point();
    let time = point.time.map(|t| {
        let text = t.format().unwrap();
        // Only the fraction and the zone may be written in another way.
        text[..19].to_owned()
    });
    let ours = fix.time_s.map(|t| civil(t.floor()));
    if fix.lat_deg == at.y()
        && fix.lon_deg == at.x()
        && fix.elevation_m == point.elevation
        && ours == time
    {
        Ok(())
    } else {
        Err(format!(
            "line {}: {fix:?} ({ours:?}) for {at:?} {:?} {time:?}",
            fix.line, point.elevation
        ))
    }
}

/// A time in seconds as a date, by counting days: the years of the tests are few.
fn civil(seconds: f64) -> String {
    let total = seconds as i64;
    let (mut day, second) = (total.div_euclid(86_400), total.rem_euclid(86_400));
    let leap = |y: i64| (y % 4 == 0 && y % 100 != 0) || y % 400 == 0;
    let mut year = 1970;
    while day < 0 {
        year -= 1;
        day += if leap(year) { 366 } else { 365 };
    }
    while day >= if leap(year) { 366 } else { 365 } {
        day -= if leap(year) { 366 } else { 365 };
        year += 1;
    }
    let february = if leap(year) { 29 } else { 28 };
    let mut month = 1;
    for days in [31, february, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31] {
        if day < days {
            break;
        }
        day -= days;
        month += 1;
    }
    format!(
        "{year:04}-{month:02}-{:02}T{:02}:{:02}:{:02}",
        day + 1,
        second / 3600,
        second / 60 % 60,
        second % 60
    )
}

#[test]
fn wherever_the_other_library_accepts_a_file_ours_agrees() {
    let mut accepted = 0;
    for (name, bytes) in files() {
        let Ok(theirs) = gpx::read(bytes.as_slice()) else {
            continue;
        };
        accepted += 1;
        let ours = read(&bytes, &name).unwrap_or_else(|f| panic!("{f}"));
        agrees(&ours, &theirs).unwrap_or_else(|e| panic!("{name}: {e}"));
    }
    assert!(
        accepted > 20 || !folder().exists(),
        "only {accepted} files were compared"
    );
}

/// Rows of tests/tracks/reference.csv, computed with gpxpy 1.6.2.
#[test]
fn counts_and_lengths_are_those_of_gpxpy() {
    let path = folder().join("reference.csv");
    if !path.exists() {
        return;
    }
    let mut reader = csv::Reader::from_path(path).unwrap();
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    let mut compared = 0;
    for (name, bytes) in files() {
        let row = rows
            .iter()
            .find(|r| r[0] == name)
            .unwrap_or_else(|| panic!("{name} has no row"));
        if row[1].is_empty() {
            continue;
        }
        compared += 1;
        let reading = read(&bytes, &name).unwrap_or_else(|f| panic!("{f}"));
        let number = |i: usize| row[i].parse::<f64>().unwrap();
        assert_eq!(reading.points_read as f64, number(1), "{name}: points");
        assert_eq!(reading.places.len() as f64, number(2), "{name}: waypoints");
        let fixes: Vec<&Fix> = passes(&reading)
            .iter()
            .flat_map(|p| p.segments.iter().flatten())
            .collect();
        let heights = fixes.iter().filter(|f| f.elevation_m.is_some()).count();
        assert_eq!(heights as f64, number(3), "{name}: heights");
        let level: f64 = passes(&reading)
            .iter()
            .filter(|p| !p.drawn)
            .flat_map(|p| &p.segments)
            .map(|s| raw_length(s))
            .sum();
        // gpxpy takes the earth as a ball of 6378.1 km: up to 0.7 % off the ellipsoid, most of it northward at the equator.
        assert!(
            (level - number(4)).abs() <= 0.2 + 0.007 * number(4),
            "{name}: {level} m for {} m",
            number(4)
        );
    }
    assert!(compared > 30);
}

fn raw_length(fixes: &[Fix]) -> f64 {
    let at = |f: &Fix| LatLon::new(f.lat_deg, f.lon_deg);
    fixes
        .windows(2)
        .map(|w| at(&w[0]).distance_m(at(&w[1])))
        .sum()
}

#[test]
fn every_track_gives_a_sane_route_or_a_clear_refusal() {
    let (mut routes, mut refusals) = (Vec::new(), 0);
    for (name, bytes) in files() {
        let made = read(&bytes, &name).and_then(|reading| {
            // Of a ring most is taken: an end is named.
            let fixes: Vec<Fix> = passes(&reading)
                .iter()
                .flat_map(|p| p.segments.iter().flatten().copied())
                .collect();
            let end = fixes.get(fixes.len() / 8).map(|f| WrittenSpot {
                place: Place::default(),
                spot: Spot::Position {
                    lat_deg: f.lat_deg,
                    lon_deg: f.lon_deg,
                },
            });
            let with = |from: End, turbine: Option<WrittenSpot>| {
                let options = RouteOptions {
                    from: turbine.is_none().then_some(from),
                    turbine,
                    heights: HeightsOptions {
                        draws: Some(40),
                        ..HeightsOptions::default()
                    },
                    ..RouteOptions::default()
                };
                Route::from(std::slice::from_ref(&reading), &options)
            };
            // Whichever way it falls.
            with(End::Intake, None)
                .or_else(|_| with(End::Turbine, None))
                .or_else(|fault| {
                    if fault.to_string().contains("closed loop") {
                        with(End::Intake, end)
                    } else {
                        Err(fault)
                    }
                })
        });
        match made {
            Ok(route) => {
                is_sane(&name, &route, &bytes);
                routes.push(name);
            }
            Err(fault) => {
                assert!(fault.place.line.is_some(), "{name}: no line in {fault}");
                assert!(fault.advice.is_some(), "{name}: no advice in {fault}");
                refusals += 1;
            }
        }
    }
    assert!(
        routes.len() >= 7,
        "only {routes:?} gave a route, {refusals} were refused"
    );
}

fn is_sane(name: &str, route: &Route, bytes: &[u8]) {
    let reading = read(bytes, name).unwrap();
    let fixes: Vec<Fix> = passes(&reading)
        .iter()
        .flat_map(|p| p.segments.iter().flatten().copied())
        .collect();
    let lines = passes(&reading).iter().flat_map(|p| &p.segments);
    let raw: f64 = lines.map(|s| raw_length(s)).sum();
    let stations: Vec<f64> = route.nodes.iter().map(|n| n.station_m).collect();
    let length = *stations.last().unwrap();
    assert_eq!(stations[0], 0.0, "{name}");
    assert!(
        stations.windows(2).all(|w| w[1] > w[0]),
        "{name}: stations rise"
    );
    assert_eq!(route.heights.station_m, stations, "{name}");
    // Walks over the same ground twice are folded, wander is smoothed away; steps up and down lengthen the slope.
    assert!(
        length > 0.3 * raw && length < 1.35 * raw + 60.0,
        "{name}: {length} m of {raw} m walked"
    );
    let known: Vec<f64> = fixes
        .iter()
        .filter_map(|f| f.elevation_m)
        .filter(|&h| h != 0.0)
        .collect();
    let low = known.iter().copied().fold(f64::INFINITY, f64::min);
    let high = known.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    // Between fixes far apart the line may be anywhere near them, but its mean has no cause to leave what was read.
    let slack = 3.0 + 0.3 * (high - low);
    for (z, sd) in route.heights.mean_m.iter().zip(&route.heights.sd_m) {
        assert!(
            *z > low - slack && *z < high + slack,
            "{name}: {z} +- {sd} outside {low} to {high}"
        );
    }
    assert!(
        route
            .heights
            .sd_m
            .iter()
            .all(|s| s.is_finite() && *s >= 0.0),
        "{name}"
    );
    assert!(
        route
            .nodes
            .iter()
            .all(|n| n.horizontal_m <= n.station_m + 1e-6 && n.plan.is_some()),
        "{name}"
    );
    assert!(
        route.points_used <= route.points_read && route.points_used > 1,
        "{name}"
    );
    assert!(
        route.length_sd_m > 0.0 && route.length_sd_m.is_finite(),
        "{name}"
    );
}
