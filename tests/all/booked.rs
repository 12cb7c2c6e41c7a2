//! Books through a site file: what is said of tape, compass, clinometer and closing reaches the heights; the blank sheets are filled in and read back.

use crate::program::{program, room};
use std::fs;
use std::path::Path;
use steadyfall::form;
use steadyfall::reading::{Data, Method, ReadOptions};
use steadyfall::route::Route;
use steadyfall::site;
use steadyfall::study;
use steadyfall::survey;
use steadyfall::unit::Units;

/// A site of one book, with more lines under `[survey]`.
fn written(name: &str, book: &str, lines: &str) -> std::path::PathBuf {
    let dir = room(name);
    fs::write(dir.join("book.csv"), book).unwrap();
    fs::write(
        dir.join("site.toml"),
        format!("format = 1\n[survey]\nfiles = [\"book.csv\"]\n{lines}\n"),
    )
    .unwrap();
    dir
}

fn route_in(dir: &Path) -> Result<Route, String> {
    let site = site::read_file(&dir.join("site.toml")).map_err(|f| f[0].to_string())?;
    study::read_route(&site).map_err(|f| f.to_string())
}

fn route(name: &str, book: &str, lines: &str) -> Route {
    route_in(&written(name, book, lines)).unwrap_or_else(|fault| panic!("{fault}"))
}

fn drop_m(route: &Route) -> f64 {
    let heights = &route.heights.mean_m;
    heights.first().unwrap() - heights.last().unwrap()
}

fn drop_sd_m(route: &Route) -> f64 {
    let drops: Vec<f64> = route
        .heights
        .draws
        .iter()
        .map(|d| d.first().unwrap() - d.last().unwrap())
        .collect();
    let mean = drops.iter().sum::<f64>() / drops.len() as f64;
    (drops.iter().map(|d| (d - mean).powi(2)).sum::<f64>() / drops.len() as f64).sqrt()
}

const LEGS: &str = "from,to,tape_m,angle_deg\nA,B,50,-10\nB,C,50,-20\n";

#[test]
fn an_index_error_is_taken_off_every_angle_and_its_doubt_shrinks() {
    let plain = route("index-none", LEGS, "taped = \"slope\"");
    let set = route(
        "index-set",
        LEGS,
        "taped = \"slope\"\nindex_error = \"0.5 deg\"",
    );
    let want =
        |index: f64| 50.0 * ((10.0 + index).to_radians().sin() + (20.0 + index).to_radians().sin());
    assert!((drop_m(&plain) - want(0.0)).abs() < 1e-6);
    assert!((drop_m(&set) - want(0.5)).abs() < 1e-6, "{}", drop_m(&set));
    assert!(drop_sd_m(&set) < 0.9 * drop_sd_m(&plain));
    let known = route(
        "index-known",
        LEGS,
        "taped = \"slope\"\nindex_error = \"0.5 deg\"\nindex_sd = \"0.02 deg\"",
    );
    assert!(drop_sd_m(&known) < drop_sd_m(&set));
}

#[test]
fn declination_turns_the_plan_and_a_part_may_have_its_own() {
    let book = "from,to,horizontal_m,angle_deg,bearing_deg\nA,B,100,-10,90\nB,C,100,-10,90\n";
    let east_north = |route: &Route| {
        let at = |i: usize| route.nodes[i].plan.unwrap();
        let (a, b) = (at(0), at(route.nodes.len() - 1));
        (b.east_m - a.east_m, b.north_m - a.north_m)
    };
    let (east, north) = east_north(&route("declined", book, "declination = \"-10 deg\""));
    // Magnetic 90 is true 80 where the needle points 10 degrees west of north.
    assert!(
        (east - 200.0 * 80f64.to_radians().sin()).abs() < 1e-6,
        "{east}"
    );
    assert!(
        (north - 200.0 * 80f64.to_radians().cos()).abs() < 1e-6,
        "{north}"
    );
    let dir = room("declined-part");
    fs::write(dir.join("book.csv"), book).unwrap();
    fs::write(
        dir.join("site.toml"),
        "format = 1\n[survey]\ndeclination = \"5 deg\"\n[[survey.part]]\nfiles = [\"book.csv\"]\nkind = \"angle\"\ndeclination = \"-10 deg\"\n",
    )
    .unwrap();
    let (_, again) = east_north(&route_in(&dir).unwrap());
    assert!((again - north).abs() < 1e-6);
}

#[test]
fn the_eye_serves_steps_and_the_staff_its_length() {
    let steps = "from,to,tape_m,steps\nA,B,30,-4\nB,C,30,-3\n";
    let fault = route_in(&written("eye-none", steps, "")).unwrap_err();
    assert!(fault.contains("no eye height"), "{fault}");
    let stepped = route("eye", steps, "eye = \"5 ft 4 in\"");
    assert!((drop_m(&stepped) - 7.0 * 64.0 * 0.0254).abs() < 1e-6);

    let long = "station_m,bs_m,fs_m\n0,0.4,\n30,,5.6\n";
    let fault = route_in(&written("staff-none", long, "taped = \"slope\"")).unwrap_err();
    assert!(
        fault.contains("book.csv:3:5") && fault.contains("staff"),
        "{fault}"
    );
    let read = route("staff", long, "taped = \"slope\"\nstaff = \"6 m\"");
    assert!((drop_m(&read) - 5.2).abs() < 1e-6);
}

#[test]
fn a_misclosure_is_held_to_its_order_and_spread_as_said() {
    // Two set-ups, the first over 20 m and the second over 80 m, closing 8 mm off a known point.
    let book = "station_m,bs_m,fs_m,elevation_m,point\n0,1.000,,100.000,A\n20,1.000,2.000,,\n100,,2.008,98.000,B\n";
    let middle = |route: &Route| {
        let i = route
            .nodes
            .iter()
            .position(|n| (n.station_m - 20.0).abs() < 0.5)
            .unwrap();
        route.heights.mean_m[i]
    };
    let setups = route("spread-setups", book, "taped = \"slope\"");
    let distance = route(
        "spread-distance",
        book,
        "taped = \"slope\"\nspread = \"distance\"",
    );
    assert!(
        (middle(&setups) - 99.004).abs() < 2e-4,
        "{}",
        middle(&setups)
    );
    assert!(
        (middle(&distance) - 99.0016).abs() < 2e-4,
        "{}",
        middle(&distance)
    );
    // 12 mm per root km over 100 m is 3.8 mm; the user's own 20 mm is 6.3 mm, 30 mm is 9.5 mm.
    for (order, holds) in [
        ("accurate", false),
        ("20 mm per root km", false),
        ("30 mm per root km", true),
        ("0.125 ft per root mile", true),
    ] {
        let lines = format!("taped = \"slope\"\nmisclosure = \"{order}\"");
        let read = route_in(&written("order", book, &lines));
        assert_eq!(read.is_ok(), holds, "{order}: {read:?}");
        let limits = format!("taped = \"slope\"\n[limits]\nmisclosure = \"{order}\"");
        assert_eq!(route_in(&written("limit", book, &limits)).is_ok(), holds);
    }
}

#[test]
fn a_tape_is_corrected_for_length_warmth_pull_and_sag() {
    let book = "from,to,horizontal_m,rise_m,tape_temp_c,pull_n\nA,B,30,-1,-5,80\nB,C,30,-1,-5,80\n";
    let horizontal = |lines: &str| {
        let route = route("tape", book, lines);
        let remarks = route
            .remarks
            .iter()
            .map(|r| r.text.to_string())
            .collect::<String>();
        (route.nodes.last().unwrap().horizontal_m, remarks)
    };
    let tape = "[survey.tape]\nlength = \"30 m\"\ntrue_length = \"30.010 m\"\nstandard_pull = \"50 N\"\nwidth = \"10 mm\"\nthickness = \"0.3 mm\"\nweight = \"7.5 N\"\nspan = \"30 m\"";
    let (got, remarks) = horizontal(tape);
    // By hand for each 30 m: +10.0 mm; 1.16e-5 x 30 x -25 = -8.7 mm; 30 x 30 / (3e-6 x 2e11) = +1.5 mm; -(0.25)^2 30^3 / (24 x 80^2) = -10.99 mm.
    let each = 30.0 + 0.010 - 0.0087 + 0.0015 - 0.010_986;
    assert!((got - 2.0 * each).abs() < 1e-5, "{got}");
    assert!(remarks.contains("[survey.tape]"), "{remarks}");
    // A temperature alone means a steel tape true at 20 C, and that is said.
    let (warm, remarks) = horizontal("");
    assert!(
        (warm - 60.0 * (1.0 - 1.16e-5 * 25.0)).abs() < 1e-6,
        "{warm}"
    );
    assert!(remarks.contains("correct at 20 C"), "{remarks}");
    // The same warmth for the whole day, in Fahrenheit, where the book has no column.
    let plain = route(
        "tape-day",
        "from,to,horizontal_ft,rise_ft\nA,B,100,-4\n",
        "[survey.tape]\ntemperature = \"23 F\"\nstandard_temperature = \"68 F\"",
    );
    let want = 30.48 * (1.0 - 1.16e-5 * 25.0);
    assert!((plain.nodes.last().unwrap().horizontal_m - want).abs() < 1e-9);
}

#[test]
fn a_hose_takes_the_gauges_doubt_and_the_gravity_of_the_place() {
    let book = "station_m,pressure_kpa,gauge_height_m,water_f\n0,0,0,50\n100,98.0665,0,50\n";
    let doubtful = route("hose", book, "taped = \"slope\"\npressure_sd = \"10 kPa\"");
    let sure = route(
        "hose-sure",
        book,
        "taped = \"slope\"\npressure_sd = \"0.1 kPa\"\n[site]\nlatitude = 0.0",
    );
    assert!(drop_sd_m(&doubtful) > 10.0 * drop_sd_m(&sure));
    // Normal gravity is 9.780 at the equator, water at 10 C 999.7 kg/m3.
    assert!(
        (drop_m(&sure) - 98_066.5 / (999.70 * 9.780_33)).abs() < 2e-3,
        "{}",
        drop_m(&sure)
    );
}

/// The three lines of a small known book for each blank sheet, and the drop they make, m.
const FILLED: [(&str, &str, f64); 4] = [
    (
        "points.csv",
        "0,100.00,intake,,\n40,95.50,,0.01,big stone\n0+100,88.00,powerhouse,,end\n",
        12.0,
    ),
    (
        "level-book.csv",
        "0,0.500,,,250.000,A,1,mouth\n20,,2.10,,,,1,\n35,0.800,,3.700,,,2,change point\n60,,,3.600,244.000,B,2,\n",
        6.0,
    ),
    (
        "tape-and-clinometer.csv",
        "A,B,50,-10,85,,,\nB,C,50,-20 30,90,1.60,1.60,stump\n",
        26.192_7,
    ),
    (
        "gauge-readings.csv",
        "0,0,0.30,10,open end\n60,98,0.30,10,\n120,196,0.30,10,end\n",
        19.992_5,
    ),
];

#[test]
fn the_blank_sheets_are_filled_in_and_read_back() {
    let dir = room("blank-sheets");
    program(&dir).args(["new", "mine"]).assert().success();
    for (name, rows, drop_m) in FILLED {
        let path = dir.join("mine").join(name);
        let blank = fs::read_to_string(&path).unwrap();
        fs::write(&path, format!("{blank}{rows}")).unwrap();
        let out = program(&dir)
            .args([
                "survey",
                &format!("mine/{name}"),
                "--json",
                "--taped",
                "slope",
            ])
            .output()
            .unwrap();
        let fault = String::from_utf8_lossy(&out.stderr);
        assert!(out.status.success(), "{name}: {fault}");
        let result: serde_json::Value = serde_json::from_slice(&out.stdout).unwrap();
        let got = result["route"]["drop_m"].as_f64().unwrap();
        assert!((got - drop_m).abs() < 2e-3, "{name}: {got}");
        // No column of a blank sheet is one that the reader does not know.
        let remarks = result["survey"]["remarks"].to_string();
        assert!(!remarks.contains("is not used"), "{name}: {remarks}");
        // The site file that `new` wrote takes the sheet in place of its walk.
        let site = fs::read_to_string(dir.join("mine/site.toml")).unwrap();
        let site = site.replace(
            "files = [\"walk.gpx\"]",
            &format!("files = [\"{name}\"]\ntaped = \"slope\"\nfrom = \"intake\""),
        );
        fs::write(dir.join("mine/filled.toml"), site).unwrap();
        let out = program(&dir)
            .args(["check", "mine/filled.toml", "--json"])
            .output()
            .unwrap();
        assert!(
            out.status.success(),
            "{name}: {}",
            String::from_utf8_lossy(&out.stderr)
        );
    }
}

/// A sheet that was not filled in is refused with what to write, not judged as a line of nothing.
#[test]
fn an_empty_sheet_says_what_to_fill_in() {
    for kind in [Method::Points, Method::Level, Method::Angle, Method::Gauge] {
        let text = form::blank_sheet(kind, Units::Metric).unwrap();
        let fault = survey::read_bytes(text.as_bytes(), "b.csv", None, &ReadOptions::default())
            .expect_err("an empty sheet")
            .to_string();
        assert!(fault.contains("do: "), "{fault}");
    }
}

/// A printed sheet whose first rows alone were used still reads: blank rows are no points.
#[test]
fn blank_rows_are_no_points() {
    let text = format!(
        "{}0,1.0,,,,A,,\n,,,,,,,\n20,,,2.0,,B,,\n,,,,,,,\n",
        form::blank_sheet(Method::Level, Units::Metric).unwrap()
    );
    let read = survey::read_bytes(text.as_bytes(), "b.csv", None, &ReadOptions::default()).unwrap();
    let Data::Book(book) = read.data else {
        panic!("a book")
    };
    assert_eq!(book.points.len(), 2);
}
