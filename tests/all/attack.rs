//! The kinds of an attack from outside: links, stale sheets, files of the user's in the way, equal passes, slow legal input, races; what was judged is told, and a slip is asked about.
//! Work is counted, not timed: sizes and numbers are bounded, so that the same input is cut off at the same place everywhere.

use crate::program::{home, program, room};
use serde_json::Value;
use std::fmt::Write as _;
use std::fs;
use std::path::Path;

const OPTIONS: [&str; 6] = [
    "--pipe",
    "PE100 SDR11 110",
    "--jets",
    "4 x 9 mm",
    "--water-level",
    "0.6 m",
];

/// A walk down an even slope, from one point to another of a line of 0.000009 degrees (1 m) a fix.
fn pass(from: i32, to: i32, begin_s: i32) -> String {
    let mut out = String::from("<trk><trkseg>");
    let step = if to > from { 1 } else { -1 };
    let (mut i, mut clock) = (from, begin_s);
    while i != to {
        // A receiver's wander, the same in every run.
        let wander = f64::from((i * 7919 + begin_s).rem_euclid(13) - 6) * 0.02;
        let _ = write!(
            out,
            "<trkpt lat=\"{:.7}\" lon=\"9.0\"><ele>{:.2}</ele><time>2026-05-14T{:02}:{:02}:{:02}Z</time></trkpt>",
            46.0 + f64::from(i) * 9.0e-6,
            900.0 - f64::from(i) * 0.2 + wander,
            8 + clock / 3600,
            clock / 60 % 60,
            clock % 60
        );
        i += step;
        clock += 1;
    }
    out + "</trkseg></trk>"
}

fn gpx(body: &str) -> String {
    format!(
        "<?xml version=\"1.0\"?>\n<gpx version=\"1.1\" creator=\"t\" xmlns=\"http://www.topografix.com/GPX/1/1\">{body}</gpx>\n"
    )
}

fn waypoint(at: i32, name: &str) -> String {
    format!(
        "<wpt lat=\"{:.7}\" lon=\"9.0\"><ele>1</ele><name>{name}</name></wpt>",
        46.0 + f64::from(at) * 9.0e-6
    )
}

fn result(dir: &Path, args: &[&str]) -> Value {
    let out = program(dir).args(args).arg("--json").assert().success();
    serde_json::from_slice(&out.get_output().stdout).unwrap()
}

fn remarks(result: &Value) -> String {
    let all = result["survey"]["remarks"].as_array().unwrap();
    all.iter()
        .map(|r| r["text"].as_str().unwrap())
        .collect::<Vec<_>>()
        .join("\n")
}

/// Names in a folder, parted by blanks.
fn names(dir: &Path) -> String {
    let mut all: Vec<String> = fs::read_dir(dir)
        .unwrap()
        .map(|e| e.unwrap().file_name().into_string().unwrap())
        .collect();
    all.sort();
    all.join(" ")
}

#[test]
fn the_site_file_lies_beside_the_walk_and_is_never_written_over_once_it_is_the_users() {
    let dir = room("beside");
    let walk = home("sample-surveys/otter-gill/walk.gpx");
    fs::create_dir(dir.join("trip")).unwrap();
    fs::copy(&walk, dir.join("trip/walk.gpx")).unwrap();
    let run = || {
        program(&dir)
            .args(["check", "trip/walk.gpx"])
            .args(OPTIONS)
            .assert()
            .success()
    };
    let said = run();
    let said = String::from_utf8_lossy(&said.get_output().stdout).into_owned();
    assert!(said.contains("walk-site.toml"), "{said}");
    assert_eq!(
        names(&dir.join("trip")),
        "walk-results walk-site.toml walk.gpx"
    );
    assert!(!names(&dir.join("trip/walk-results")).contains(".toml"));
    let site = dir.join("trip/walk-site.toml");
    let first = fs::read_to_string(&site).unwrap();
    assert!(first.contains("files = [\"walk.gpx\"]"), "{first}");
    // It says the same as the options did.
    let by_options = fs::read_to_string(dir.join("trip/walk-results/result.json")).unwrap();
    let by_options: Value = serde_json::from_str(&by_options).unwrap();
    let by_site = result(&dir, &["check", "trip/walk-site.toml"]);
    for key in ["cases", "route", "climbs", "findings"] {
        assert_eq!(by_options[key], by_site[key], "{key}");
    }
    // As it stands it is written anew; once it was changed it stays.
    run();
    assert_eq!(fs::read_to_string(&site).unwrap(), first);
    let mine = format!("{first}# what I measured\n");
    fs::write(&site, &mine).unwrap();
    let said = run();
    let said = String::from_utf8_lossy(&said.get_output().stderr).into_owned();
    assert!(said.contains("It is kept"), "{said}");
    assert_eq!(fs::read_to_string(&site).unwrap(), mine);
    assert_eq!(
        fs::read_to_string(dir.join("trip/walk-site-2.toml")).unwrap(),
        first
    );
    // What is only printed leaves nothing behind.
    fs::create_dir(dir.join("only")).unwrap();
    fs::copy(&walk, dir.join("only/walk.gpx")).unwrap();
    program(&dir)
        .args(["check", "only/walk.gpx", "--json"])
        .args(OPTIONS)
        .assert()
        .success();
    assert_eq!(names(&dir.join("only")), "walk.gpx");
}

#[test]
fn the_file_that_was_judged_is_named_with_its_size_and_digest() {
    let dir = room("judged");
    let bytes = fs::read(home("sample-surveys/otter-gill/walk.gpx")).unwrap();
    let site = fs::read_to_string(home("sample-surveys/otter-gill/site.toml")).unwrap();
    fs::create_dir(dir.join("trip")).unwrap();
    fs::write(dir.join("walk.gpx"), &bytes).unwrap();
    fs::write(
        dir.join("trip/site.toml"),
        site.replace("\"walk.gpx\"", "\"../walk.gpx\""),
    )
    .unwrap();
    let judged = result(&dir, &["check", "trip/site.toml", "--out", "out"]);
    let file = &judged["survey"]["files"][0];
    let sha = steadyfall::text::digest(&bytes);
    assert_eq!(file["bytes"], bytes.len());
    assert_eq!(file["sha256"], sha.as_str());
    assert!(!remarks(&judged).contains("another file of that name"));
    let page = fs::read_to_string(dir.join("out/report.html")).unwrap();
    assert!(page.contains(&sha) && page.contains(&format!("{} bytes", bytes.len())));
    // Another of that name beside the site file: it is said which one was judged.
    fs::write(dir.join("trip/walk.gpx"), gpx(&pass(0, 400, 0))).unwrap();
    let judged = result(&dir, &["check", "trip/site.toml"]);
    assert_eq!(judged["survey"]["files"][0]["sha256"], sha.as_str());
    assert!(
        remarks(&judged).contains("another file of that name"),
        "{}",
        remarks(&judged)
    );
    // Where it is not as written it is looked for nowhere else.
    fs::remove_file(dir.join("walk.gpx")).unwrap();
    let out = program(&dir)
        .args(["check", "trip/site.toml"])
        .assert()
        .code(2);
    let err = String::from_utf8_lossy(&out.get_output().stderr).into_owned();
    assert!(err.contains("does not exist"), "{err}");
}

#[test]
fn waypoints_at_the_ends_cut_off_the_way_from_the_truck() {
    let dir = room("truck");
    // 200 m from the truck to the intake, 400 m of pipe, 50 m beyond; back along the pipe alone.
    let walks = |first: &str, last: &str| {
        gpx(&format!(
            "{}{}{}{}",
            waypoint(200, first),
            waypoint(600, last),
            pass(0, 650, 0),
            pass(650, 0, 1_000)
        ))
    };
    for (i, (first, last)) in [
        ("intake", "powerhouse"),
        ("Intake", "TURBINE"),
        ("START", "end"),
        // Who walked up calls it the other way.
        ("End", "Start"),
        ("intake", "Power House"),
    ]
    .into_iter()
    .enumerate()
    {
        let name = format!("{i}.gpx");
        fs::write(dir.join(&name), walks(first, last)).unwrap();
        let judged = result(&dir, &["survey", &name]);
        let length = judged["route"]["length_m"].as_f64().unwrap();
        assert!((length - 408.0).abs() < 15.0, "{first}, {last}: {length} m");
        let said = remarks(&judged);
        assert!(
            said.contains(first) && said.contains("not used") && said.contains("intake end"),
            "{said}"
        );
    }
    // One that lies off the walk, or stands twice, is not taken, and that is said.
    fs::write(
        dir.join("off.gpx"),
        gpx(&format!(
            "<wpt lat=\"46.003\" lon=\"9.02\"><ele>1</ele><name>intake</name></wpt>{}",
            pass(0, 400, 0)
        )),
    )
    .unwrap();
    let judged = result(&dir, &["survey", "off.gpx"]);
    assert!(judged["route"]["length_m"].as_f64().unwrap() > 390.0);
    assert!(
        remarks(&judged).contains("does not use it as an end"),
        "{}",
        remarks(&judged)
    );
}

/// Stations count from the end that the file begins at; where it begins below, only names or a key say which end that is.
#[test]
fn waypoints_at_the_walks_own_ends_say_which_is_the_intake() {
    let dir = room("own-ends");
    let zones = [
        "--pipe",
        "PE100 SDR17 110 to 100 m",
        "--pipe",
        "PE100 SDR11 110",
    ];
    let up_first = pass(400, 0, 0) + &pass(0, 400, 1_000);
    let names = waypoint(0, "Intake") + &waypoint(400, "powerhouse");
    fs::write(dir.join("named.gpx"), gpx(&(names.clone() + &up_first))).unwrap();
    fs::write(dir.join("bare.gpx"), gpx(&up_first)).unwrap();
    let args = [&["check", "named.gpx"][..], &zones].concat();
    let judged = result(&dir, &args);
    let points = judged["route"]["points"].as_array().unwrap();
    let height = |p: &Value| p["elevation_m"].as_f64().unwrap();
    assert!(height(&points[0]) > height(&points[points.len() - 1]) + 60.0);
    let said = remarks(&judged);
    assert!(said.contains("\"Intake\" as the intake end"), "{said}");
    let out = program(&dir)
        .args(["check", "bare.gpx"])
        .args(zones)
        .assert()
        .code(2);
    let err = String::from_utf8_lossy(&out.get_output().stderr).into_owned();
    assert!(err.contains("which end is the intake"), "{err}");
    // Down first and up again: nothing is asked, whichever of the two the line is made from.
    let down_first = pass(0, 400, 0) + &pass(400, 0, 1_000) + &pass(0, 400, 2_000);
    fs::write(dir.join("down.gpx"), gpx(&down_first)).unwrap();
    result(&dir, &[&["check", "down.gpx"][..], &zones].concat());
}

#[test]
fn examples_in_feet_and_letter_paper() {
    let dir = room("new-us");
    program(&dir)
        .args(["new", "us", "--units", "us"])
        .assert()
        .success();
    program(&dir).args(["new", "metric"]).assert().success();
    assert_eq!(names(&dir.join("us")), names(&dir.join("metric")));
    let read = |name: &str| fs::read_to_string(dir.join(name)).unwrap();
    assert!(read("us/site.toml").contains("\nunits = \"us\""));
    assert!(read("us/level-book.csv").contains("bs_ft"));
    assert!(
        read("us/level-book.svg").contains("279.4mm")
            || read("us/level-book.svg").contains("215.9mm")
    );
    assert!(read("metric/level-book.svg").contains("210mm"));
}

#[test]
fn equal_passes_make_no_longer_line() {
    let dir = room("equal");
    let one = pass(0, 400, 0);
    // Copies of one walk, with their times and without.
    let timeless = without_times(&one);
    for (name, body) in [("timed", &one), ("timeless", &timeless)] {
        let file = format!("{name}.gpx");
        fs::write(dir.join(&file), gpx(&body.repeat(8))).unwrap();
        let out = program(&dir)
            .args(["survey", &file, "--json"])
            .output()
            .unwrap();
        // A copy says nothing new: the line is as long as it is, or what came of the copies is refused.
        if out.status.success() {
            let judged: Value = serde_json::from_slice(&out.stdout).unwrap();
            let length = judged["route"]["length_m"].as_f64().unwrap();
            assert!((length - 407.0).abs() < 15.0, "{name}: {length} m");
        } else {
            assert_eq!(out.status.code(), Some(2), "{name}");
            let err = String::from_utf8_lossy(&out.stderr).into_owned();
            assert!(err.contains("do:") && !err.contains("panicked"), "{err}");
        }
    }
}

/// The same without times.
fn without_times(body: &str) -> String {
    body.split("<time>")
        .map(|part| part.split_once("</time>").map_or(part, |(_, rest)| rest))
        .collect()
}

#[test]
fn a_sheet_of_paper_names_no_more_waypoints_than_it_can() {
    let dir = room("waypoints");
    let many: String = (0..5_000)
        .map(|i| waypoint(i % 400, &format!("w{i}")))
        .collect();
    fs::write(
        dir.join("many.gpx"),
        gpx(&format!("{many}{}", pass(0, 400, 0))),
    )
    .unwrap();
    program(&dir)
        .args(["survey", "many.gpx", "--quiet"])
        .assert()
        .success();
    for name in ["profile.svg", "plan.svg"] {
        let sheet = fs::read_to_string(dir.join("many-survey-results").join(name)).unwrap();
        let named = sheet
            .matches("<title>w")
            .count()
            .max(sheet.matches(">w").count());
        assert!(
            named <= 250 && sheet.len() < 1_000_000,
            "{name}: {named}, {} bytes",
            sheet.len()
        );
    }
}

#[test]
fn a_movement_over_a_day_and_movements_without_end_are_told_and_not_marched() {
    let dir = room("slow");
    fs::write(
        dir.join("line.csv"),
        "station_m,height_m\n0,100\n100,80\n300,40\n400,20\n",
    )
    .unwrap();
    let site = |more: &str| {
        format!(
            "format = 1\n[survey]\nfiles = [\"line.csv\"]\ntaped = \"slope\"\n[intake]\nwater_level = \"0.6 m\"\n[[pipe]]\nspec = \"PE100 SDR11 90\"\njoint = \"fused\"\n[turbine]\njets = 4\nnozzle_diameter = \"9 mm\"\n{more}"
        )
    };
    let day = "[[movement]]\nname = \"all day\"\nof = \"jets\"\nduring = \"all jets\"\nfrom = 1.0\nto = 0.0\nover = \"86400 s\"\n";
    fs::write(dir.join("day.toml"), site(day)).unwrap();
    let judged = result(&dir, &["check", "day.toml"]);
    let surges = judged["surges"].as_array().unwrap();
    assert!(surges.iter().any(|s| s["movement"] == "jets closing"));
    assert!(surges.iter().all(|s| s["movement"] != "all day"));
    assert!(judged["not_computed"].to_string().contains("all day"));
}

#[test]
fn a_book_of_more_rows_than_a_line_has_is_refused_and_the_longest_keeps_few_draws() {
    let dir = room("rows");
    let rows = |n: u32| {
        (0..n).fold(String::from("station_m,height_m\n"), |mut all, i| {
            let _ = writeln!(
                all,
                "{},{:.2}",
                f64::from(i) * 2.0,
                4000.0 - f64::from(i) * 0.1
            );
            all
        })
    };
    fs::write(dir.join("many.csv"), rows(20_001)).unwrap();
    let out = program(&dir)
        .args(["survey", "many.csv", "--taped", "slope"])
        .assert()
        .code(2);
    let err = String::from_utf8_lossy(&out.get_output().stderr).into_owned();
    assert!(err.contains("at most 20000 rows"), "{err}");
    let reading = steadyfall::survey::read_bytes(
        rows(15_000).as_bytes(),
        "b.csv",
        None,
        &steadyfall::reading::ReadOptions {
            along_slope: Some(true),
            ..Default::default()
        },
    )
    .unwrap();
    let route = steadyfall::route::Route::from(&[reading], &Default::default()).unwrap();
    let held: usize = route.heights.draws.iter().map(Vec::len).sum();
    assert!(held <= 10_100_000, "{held} heights");
}

#[test]
fn what_a_calculating_sheet_writes_is_a_station() {
    let dir = room("exponent");
    fs::write(
        dir.join("e.csv"),
        "station_m,height_m\n0.0E+00,100\n3.0E+01,90\n6.0E+01,80\n",
    )
    .unwrap();
    let judged = result(&dir, &["survey", "e.csv", "--taped", "slope"]);
    assert_eq!(judged["route"]["points"][1]["station_m"], 30.0);
}

#[test]
fn heights_that_no_ground_has_are_told_as_such() {
    let dir = room("high");
    let high = pass(0, 100, 0)
        .replace("<ele>8", "<ele>208")
        .replace("<ele>9", "<ele>209");
    fs::write(dir.join("high.gpx"), gpx(&high)).unwrap();
    let out = program(&dir).args(["survey", "high.gpx"]).assert().code(2);
    let err = String::from_utf8_lossy(&out.get_output().stderr).into_owned();
    assert!(err.contains("No ground has such a height"), "{err}");
}

#[test]
fn completions_go_into_no_folder() {
    let dir = room("shell");
    let out = program(&dir)
        .args(["shell", "bash", "--out", "x"])
        .assert()
        .code(2);
    assert!(out.get_output().stdout.is_empty());
    assert_eq!(names(&dir), "");
    program(&dir)
        .args(["shell", "man", "--out", "x"])
        .assert()
        .success();
    assert!(names(&dir.join("x")).contains("steadyfall.1"));
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_standard_output_is_told_in_words() {
    let dir = room("dev-full");
    let full = fs::OpenOptions::new()
        .write(true)
        .open("/dev/full")
        .unwrap();
    let out = std::process::Command::new(assert_cmd::cargo::cargo_bin("steadyfall"))
        .current_dir(&dir)
        .arg("pipes")
        .stdout(full)
        .output()
        .unwrap();
    assert_eq!(out.status.code(), Some(1));
    let err = String::from_utf8_lossy(&out.stderr).into_owned();
    assert!(
        err.starts_with("standard output cannot be written") && err.contains("do:"),
        "{err}"
    );
}

#[test]
fn lines_keep_to_the_columns_that_are_asked() {
    let dir = room("narrow");
    fs::write(dir.join("l.csv"), "station_m,height_m\n0,100\n100,80\n").unwrap();
    let out = program(&dir)
        .env("COLUMNS", "20")
        .args(["survey", "l.csv", "--taped", "slope"])
        .assert()
        .success();
    let text = String::from_utf8_lossy(&out.get_output().stdout).into_owned();
    let long: Vec<&str> = text
        .lines()
        // The path to open is one word.
        .filter(|l| l.chars().count() > 20 && !l.starts_with("Open "))
        .collect();
    assert!(long.is_empty(), "{long:#?}");
}

/// Somebody puts links in the place of every name that a run uses, again and again while it runs; meanwhile two run into one folder.
#[cfg(unix)]
#[test]
fn links_that_come_and_go_while_runs_meet_are_never_followed() {
    use std::os::unix::fs::symlink;
    use std::sync::atomic::{AtomicBool, AtomicU32, Ordering};
    let dir = room("races");
    fs::write(dir.join("walk.gpx"), gpx(&pass(0, 200, 0))).unwrap();
    fs::create_dir(dir.join("theirs")).unwrap();
    fs::write(dir.join("theirs/dear.txt"), "letter").unwrap();
    fs::write(
        dir.join("theirs/result.json"),
        "{\"program\":{\"name\":\"steadyfall\"}}",
    )
    .unwrap();
    let (done, swaps) = (AtomicBool::new(false), AtomicU32::new(0));
    let mut codes = Vec::new();
    std::thread::scope(|scope| {
        scope.spawn(|| {
            while !done.load(Ordering::Relaxed) {
                for name in ["out", ".out.partial", ".out.old", ".out.lock"] {
                    let at = dir.join(name);
                    let link = |at: &Path| at.symlink_metadata().is_ok_and(|m| m.is_symlink());
                    if symlink(dir.join("theirs"), &at).is_ok() {
                        swaps.fetch_add(1, Ordering::Relaxed);
                        std::thread::sleep(std::time::Duration::from_micros(300));
                    }
                    if link(&at) {
                        let _ = fs::remove_file(&at);
                    }
                }
                std::thread::sleep(std::time::Duration::from_micros(500));
            }
        });
        let run = || {
            std::process::Command::new(assert_cmd::cargo::cargo_bin("steadyfall"))
                .current_dir(&dir)
                .args(["survey", "walk.gpx", "--out", "out", "--quiet"])
                .stderr(std::process::Stdio::null())
                .spawn()
                .unwrap()
        };
        for _ in 0..10 {
            for mut child in [run(), run()] {
                codes.push(child.wait().unwrap().code());
            }
        }
        done.store(true, Ordering::Relaxed);
    });
    assert!(swaps.load(Ordering::Relaxed) > 20, "{swaps:?}");
    assert!(
        codes.iter().all(|c| matches!(c, Some(0..=2))),
        "a run ended by itself: {codes:?}"
    );
    assert_eq!(names(&dir.join("theirs")), "dear.txt result.json");
    assert_eq!(
        fs::read_to_string(dir.join("theirs/dear.txt")).unwrap(),
        "letter"
    );
    // Left in peace it writes again, whatever the race left.
    for name in ["out", ".out.partial", ".out.old", ".out.lock"] {
        let at = dir.join(name);
        if at.symlink_metadata().is_ok_and(|m| m.is_symlink()) {
            fs::remove_file(at).unwrap();
        }
    }
    program(&dir)
        .args(["survey", "walk.gpx", "--out", "out", "--quiet"])
        .assert()
        .success();
    let text = fs::read_to_string(dir.join("out/result.json")).unwrap();
    assert!(serde_json::from_str::<Value>(&text).is_ok());
}
