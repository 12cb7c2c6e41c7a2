//! Files and folders that mean harm, or that harm was done to: the program says what is wrong, loses nothing and never hangs.

use crate::program::{home, program, room};
use crate::schema::ill_figures;
use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

/// Runs the program on arguments; it must end within a few seconds, without a panic, and say something useful where it refuses.
fn survives(folder: &Path, args: &[&str]) -> (i32, String, String) {
    let began = Instant::now();
    let mut child = Command::new(assert_cmd::cargo::cargo_bin("steadyfall"))
        .current_dir(folder)
        .args(args)
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    // A hang is a failure; the bound is wide because a debug build on a busy machine is slow.
    let watch = std::thread::spawn({
        let id = child.id();
        move || {
            std::thread::sleep(Duration::from_secs(240));
            id
        }
    });
    let out = child.stdout.take().unwrap();
    let err = child.stderr.take().unwrap();
    let read = |mut from: Box<dyn std::io::Read + Send>| {
        std::thread::spawn(move || {
            let mut bytes = Vec::new();
            from.read_to_end(&mut bytes).unwrap();
            String::from_utf8_lossy(&bytes).into_owned()
        })
    };
    let (out, err) = (read(Box::new(out)), read(Box::new(err)));
    let status = loop {
        if let Some(status) = child.try_wait().unwrap() {
            break status;
        }
        if watch.is_finished() {
            child.kill().unwrap();
            panic!("{args:?} hangs");
        }
        std::thread::sleep(Duration::from_millis(5));
    };
    let (out, err) = (out.join().unwrap(), err.join().unwrap());
    assert!(
        !err.contains("panicked"),
        "{args:?} after {:?}: {err}",
        began.elapsed()
    );
    (status.code().expect("ended by itself"), out, err)
}

/// A refusal: status 2, a first line with the file, and advice.
fn refused(folder: &Path, args: &[&str], file: &str) -> String {
    let (code, out, err) = survives(folder, args);
    assert_eq!(code, 2, "{args:?}: {out}{err}");
    assert!(out.is_empty(), "{out}");
    assert!(err.lines().next().unwrap().contains(file), "{err}");
    err
}

fn gpx(body: &str) -> String {
    format!(
        "<?xml version=\"1.0\"?>\n<gpx version=\"1.1\" creator=\"t\" xmlns=\"http://www.topografix.com/GPX/1/1\">{body}</gpx>\n"
    )
}

/// An even walk of so many points, 1 m apart, falling 1 in 8.
fn walk(points: usize, name: &str) -> String {
    use std::fmt::Write as _;
    let mut body = format!(
        "<wpt lat=\"46.0\" lon=\"9.0\"><name>{name}</name></wpt><trk><name>{name}</name><trkseg>"
    );
    for i in 0..points {
        let _ = write!(
            body,
            "<trkpt lat=\"{:.7}\" lon=\"9.0\"><ele>{:.2}</ele></trkpt>",
            46.0 + i as f64 * 9.0e-6,
            900.0 - i as f64 * 0.125
        );
    }
    body.push_str("</trkseg></trk>");
    gpx(&body)
}

#[test]
fn xml_that_expands_or_nests_without_end_is_refused() {
    let dir = room("bombs");
    let lol: String = (1..20)
        .map(|i| format!("<!ENTITY l{i} \"&l{};&l{};&l{};\">", i - 1, i - 1, i - 1))
        .collect();
    let cases = [
        (
            "entities.gpx",
            format!(
                "<?xml version=\"1.0\"?><!DOCTYPE gpx [<!ENTITY l0 \"ha\">{lol}]><gpx>&l19;</gpx>"
            ),
        ),
        (
            "external.gpx",
            "<!DOCTYPE gpx SYSTEM \"file:///etc/passwd\"><gpx/>".to_owned(),
        ),
        ("deep.gpx", gpx(&"<a>".repeat(200_000))),
        (
            "xmlns.gpx",
            gpx(&(0..20_000)
                .map(|i| format!("<a xmlns:n{i}=\"u\">"))
                .collect::<String>()),
        ),
        ("long-name.gpx", format!("<{}", "g".repeat(3_000_000))),
        (
            "huge-attribute.gpx",
            format!("<gpx creator=\"{}\">", "x".repeat(30_000_000)),
        ),
        (
            "attributes.gpx",
            format!(
                "<gpx {}>",
                (0..200_000)
                    .map(|i| format!("a{i}=\"\" "))
                    .collect::<String>()
            ),
        ),
        ("cut.gpx", walk(200, "a")[..4000].to_owned()),
    ];
    for (name, text) in cases {
        fs::write(dir.join(name), text).unwrap();
        let err = refused(&dir, &["survey", name], name);
        assert!(err.contains("do:") || err.contains("expected:"), "{err}");
    }
}

#[test]
fn bytes_that_are_no_text_and_figures_that_are_none() {
    let dir = room("bytes");
    let bad: Vec<(&str, Vec<u8>)> = vec![
        ("ff.gpx", vec![0xff; 4096]),
        ("nul.csv", b"station_m,height_m\n0,\0\n".to_vec()),
        ("ff.csv", b"station_m,height_m\n0,1\xff0\n".to_vec()),
        ("nan.csv", b"station_m,height_m\n0,NaN\n10,5\n".to_vec()),
        ("huge.csv", b"station_m,height_m\n0,1e400\n10,5\n".to_vec()),
        ("inf.gpx", gpx("<trk><trkseg><trkpt lat=\"46\" lon=\"9\"><ele>1e400</ele></trkpt><trkpt lat=\"46.001\" lon=\"9\"><ele>1</ele></trkpt></trkseg></trk>").into_bytes()),
        ("empty.gpx", Vec::new()),
        ("empty.csv", Vec::new()),
        ("zip.gpx", b"PK\x03\x04\x00\x00".to_vec()),
    ];
    for (name, bytes) in bad {
        fs::write(dir.join(name), bytes).unwrap();
        refused(&dir, &["survey", name], name);
    }
    let site =
        b"format = 1\n[survey]\nfiles = [\"walk.gpx\"]\n[intake]\nwater_level = \"1e400 m\"\n";
    fs::write(dir.join("site.toml"), site).unwrap();
    refused(&dir, &["check", "site.toml"], "site.toml:5");
    fs::write(dir.join("ff.toml"), b"format = 1 # \xff\n").unwrap();
    refused(&dir, &["check", "ff.toml"], "ff.toml:1");
}

#[test]
fn what_is_no_file_is_refused() {
    let dir = room("no-file");
    fs::create_dir(dir.join("folder.gpx")).unwrap();
    fs::create_dir(dir.join("folder.toml")).unwrap();
    refused(&dir, &["survey", "folder.gpx"], "folder.gpx");
    refused(&dir, &["check", "folder.toml"], "folder.toml");
    refused(&dir, &["check", "absent.toml"], "absent.toml");
    refused(&dir, &["survey", "/dev/zero"], "/dev/zero");
    if Command::new("mkfifo")
        .arg(dir.join("fifo.gpx"))
        .status()
        .is_ok_and(|s| s.success())
    {
        refused(&dir, &["survey", "fifo.gpx"], "fifo.gpx");
    }
    // The survey that a site file names.
    fs::write(
        dir.join("site.toml"),
        "format = 1\n[survey]\nfiles = [\"folder.gpx\"]\n",
    )
    .unwrap();
    survives(&dir, &["check", "site.toml"]);
    fs::write(
        dir.join("site.toml"),
        "format = 1\n[survey]\nfiles = [\"/dev/zero\"]\n",
    )
    .unwrap();
    let (code, _, _) = survives(&dir, &["check", "site.toml"]);
    assert_eq!(code, 2);
}

#[test]
fn more_points_or_bytes_than_fit_are_refused_with_the_limit() {
    let dir = room("endless");
    let points = "<trkpt lat=\"1\" lon=\"2\"/>".repeat(2_500_001);
    fs::write(
        dir.join("points.gpx"),
        gpx(&format!("<trk><trkseg>{points}</trkseg></trk>")),
    )
    .unwrap();
    let err = refused(&dir, &["survey", "points.gpx"], "points.gpx");
    assert!(err.contains("at most 2500000 points"), "{err}");
    let rows: String = (0..=20_000).map(|i| format!("{i},5\n")).collect();
    fs::write(dir.join("rows.csv"), format!("station_m,height_m\n{rows}")).unwrap();
    let err = refused(&dir, &["survey", "rows.csv"], "rows.csv:20002");
    assert!(err.contains("at most 20000 rows"), "{err}");
    for (name, command) in [("long.gpx", "survey"), ("long.toml", "check")] {
        let file = fs::File::create(dir.join(name)).unwrap();
        file.set_len(600 << 20).unwrap();
        let err = refused(&dir, &[command, name], name);
        assert!(
            err.contains("629145600 bytes") && err.contains("at most"),
            "{err}"
        );
    }
}

/// A plant of 400 m to which lists are added.
const PLAIN: &str = "format = 1\n[survey]\nfiles = [\"book.csv\"]\nkind = \"points\"\ntaped = \"slope\"\nfrom = \"intake\"\n[turbine]\njets = 2\nnozzle_diameter = \"8 mm\"\n[[pipe]]\nspec = \"PE100 SDR11 90\"\n";

#[test]
fn lists_without_end_are_refused_with_the_limit() {
    let dir = room("lists");
    fs::write(dir.join("book.csv"), "station_m,height_m\n0,100\n400,50\n").unwrap();
    let lists = [
        ("case", 50, "name = \"c#\"\njets = 1\n"),
        (
            "movement",
            50,
            "name = \"m#\"\nof = \"jets\"\nduring = \"all jets\"\nfrom = 1.0\nto = 0.0\nover = \"9 s\"\n",
        ),
        ("draw", 50, "at = \"# m\"\nflow = \"0.001 L/s\"\n"),
        ("fitting", 100, "at = \"# m\"\nk = 0.1\n"),
        (
            "mark",
            500,
            "kind = \"drain\"\nat = \"# m\"\nbore = \"20 mm\"\n",
        ),
        (
            "gauge",
            200,
            "at = \"# m\"\nstate = \"shut\"\npressure = \"1 bar\"\nlimit = \"0.1 bar\"\n",
        ),
    ];
    for (list, most, body) in lists {
        let tables: String = (0..=most)
            .map(|i| format!("[[{list}]]\n{}", body.replace('#', &i.to_string())))
            .collect();
        let name = format!("{list}.toml");
        fs::write(dir.join(&name), format!("{PLAIN}{tables}")).unwrap();
        let err = refused(&dir, &["check", &name], &name);
        assert!(
            err.contains(&format!("too many of [[{list}]]"))
                && err.contains(&format!("at most {most}")),
            "{err}"
        );
        assert_eq!(err.matches("too many").count(), 1, "{err}");
    }
    let valves: String = (0..25)
        .map(|i| format!("[[fitting]]\nat = \"{i} m\"\nkind = \"gate valve\"\n"))
        .collect();
    fs::write(dir.join("valves.toml"), format!("{PLAIN}{valves}")).unwrap();
    let err = refused(&dir, &["check", "valves.toml"], "valves.toml");
    assert!(err.contains("too many valves"), "{err}");
    let files: Vec<String> = (0..51).map(|i| format!("\"{i}.gpx\"")).collect();
    let site = format!("format = 1\n[survey]\nfiles = [{}]\n", files.join(", "));
    fs::write(dir.join("files.toml"), site).unwrap();
    let err = refused(&dir, &["check", "files.toml"], "files.toml:3");
    assert!(
        err.contains("too many of files") && err.contains("at most 50"),
        "{err}"
    );
}

#[test]
fn a_site_file_that_is_wrong_everywhere_is_refused_in_short() {
    let dir = room("wrong-everywhere");
    let lines =
        |count: usize, line: &dyn Fn(usize) -> String| -> String { (0..count).map(line).collect() };
    let cases = [
        ("keys.toml", lines(60_000, &|i| format!("k{i} = 1\n"))),
        ("tables.toml", lines(60_000, &|i| format!("[a{i}]\n"))),
        ("again.toml", "format = 1\n".repeat(60_000)),
        ("brackets.toml", format!("x = {}", "[".repeat(15_000))),
        ("dots.toml", format!("{} = 1", ["a"; 9_000].join("."))),
        (
            "line.toml",
            format!("[survey]\nfiles = [{}]\n", "\"a\",".repeat(200_000)),
        ),
    ];
    for (name, text) in cases {
        fs::write(dir.join(name), format!("format = 1\n{text}")).unwrap();
        let err = refused(&dir, &["check", name], name);
        assert!(err.len() < 100_000, "{name}: {} bytes", err.len());
    }
    let long = fs::read_to_string(dir.join("line.toml")).unwrap();
    assert!(long.len() < 1_000_000);
    let err = refused(&dir, &["check", "line.toml"], "line.toml:3:1");
    assert!(
        err.contains("this row is too long") && err.contains("at most 20000 bytes"),
        "{err}"
    );
    let err = refused(&dir, &["check", "keys.toml"], "keys.toml:1:1");
    assert!(err.contains("the list of errors ends here"), "{err}");
}

#[test]
fn a_slip_in_a_station_does_not_make_a_pipe_round_the_earth() {
    let dir = room("round-the-earth");
    for (station, height) in [("1e12", "5"), ("40000000", "5"), ("100001", "-5")] {
        fs::write(
            dir.join("book.csv"),
            format!("station_m,height_m\n0,100\n10,99\n{station},{height}\n"),
        )
        .unwrap();
        let err = refused(
            &dir,
            &[
                "check",
                "book.csv",
                "--taped",
                "slope",
                "--from",
                "intake",
                "--pipe",
                "PE100 SDR11 63",
                "--jets",
                "8 mm",
            ],
            "book.csv",
        );
        assert!(err.contains("at most 100 km"), "{err}");
    }
}

#[test]
fn a_name_with_markup_or_escapes_stays_text_everywhere() {
    let dir = room("markup");
    let evil = "&lt;script&gt;alert(1)&lt;/script&gt;&#x202e;&quot;&gt;&lt;img src=x onerror=alert(2)&gt;=cmd()";
    fs::write(dir.join("walk.gpx"), walk(300, evil)).unwrap();
    fs::write(
        dir.join("site.toml"),
        "format = 1\ntitle = \"<script>alert(3)</script>\\u001b[31m\"\n[survey]\nfiles = [\"walk.gpx\"]\n[[pipe]]\nspec = \"PE100 SDR11 90\"\n[turbine]\njets = 2\nnozzle_diameter = \"9 mm\"\n\
         [[mark]]\nkind = \"vent\"\nat = \"20 m\"\nname = \"=HYPERLINK(1)<b>\\u001b]0;x\\u0007\"\ndevice = \"standpipe\"\n",
    )
    .unwrap();
    let (code, out, err) = survives(&dir, &["check", "site.toml"]);
    assert_eq!(code, 0, "{err}");
    assert!(
        !out.contains('\u{1b}') && !out.contains('\u{202e}'),
        "{out}"
    );
    let results = dir.join("site-results");
    for name in ["report.html", "profile.svg", "plan.svg", "marks.gpx"] {
        let text = fs::read_to_string(results.join(name)).unwrap();
        for tag in ["<script>alert", "<img src=x", "<b>"] {
            // A result embedded in the page as data may hold the letters, never the tag as markup.
            assert!(!text.contains(tag), "{tag} in {name}");
        }
        assert!(!text.contains('\u{1b}'), "{name}");
    }
    for name in ["stations.csv", "shopping.csv"] {
        if let Ok(mut reader) = csv::Reader::from_path(results.join(name)) {
            for cell in reader
                .records()
                .flatten()
                .flat_map(|r| r.iter().map(str::to_owned).collect::<Vec<_>>())
            {
                let runs = cell.starts_with(['=', '+', '@'])
                    || (cell.starts_with('-') && cell.parse::<f64>().is_err());
                assert!(!runs, "{name}: {cell}");
            }
        }
    }
    let gpx = gpx::read(fs::File::open(results.join("marks.gpx")).unwrap()).unwrap();
    assert!(gpx.waypoints.iter().any(|w| {
        w.name
            .as_deref()
            .is_some_and(|n| n.contains("=HYPERLINK(1)<b>"))
    }));
}

#[test]
fn every_figure_of_an_odd_line_is_a_number() {
    let dir = room("odd");
    let books = [
        "station_m,height_m\n0,100\n0.5,99.9\n",
        "station_m,height_m\n0,100\n100,100\n200,100\n",
        "station_m,height_m\n0,10\n100,50\n200,5\n",
        "station_m,height_m\n0,4000\n10,3990.2\n5000,1\n",
        "station_m,height_m\n0,100\n0.001,99\n300,10\n",
    ];
    for (i, book) in books.iter().enumerate() {
        fs::write(dir.join("book.csv"), book).unwrap();
        fs::write(
            dir.join("site.toml"),
            "format = 1\n[survey]\nfiles = [\"book.csv\"]\nkind = \"points\"\ntaped = \"slope\"\nfrom = \"intake\"\n[intake]\nwater_level = \"0.5 m\"\n[[pipe]]\nspec = \"PE100 SDR11 63\"\n[turbine]\njets = 1\nnozzle_diameter = \"8 mm\"\n",
        )
        .unwrap();
        let (code, out, err) = survives(&dir, &["check", "site.toml", "--json"]);
        if code == 0 {
            let result: serde_json::Value = serde_json::from_str(&out).unwrap();
            let mut wrong = Vec::new();
            ill_figures(&result, "$", &mut wrong);
            assert!(wrong.is_empty(), "book {i}: {wrong:?}");
        } else {
            assert_eq!(code, 2, "book {i}: {err}");
        }
    }
}

#[test]
fn folders_that_are_not_ours_and_disks_that_are_full() {
    let dir = room("folders");
    let site = home("sample-surveys/juniper-draw/site.toml");
    let site = site.to_str().unwrap();
    fs::create_dir(dir.join("theirs")).unwrap();
    fs::write(dir.join("theirs/letter.txt"), "dear").unwrap();
    refused(&dir, &["check", site, "--out", "theirs"], "theirs");
    fs::write(dir.join("file"), "x").unwrap();
    refused(&dir, &["check", site, "--out", "file"], "file");
    #[cfg(unix)]
    {
        fs::create_dir(dir.join("real")).unwrap();
        std::os::unix::fs::symlink(dir.join("real"), dir.join("link")).unwrap();
        refused(&dir, &["check", site, "--out", "link"], "link");
        // Files of more than 64 blocks cannot be written: the results do not fit, and the old ones stay.
        program(&dir)
            .args(["check", site, "--out", "kept", "--quiet"])
            .assert()
            .success();
        let before = fs::read(dir.join("kept/result.json")).unwrap();
        let exe = assert_cmd::cargo::cargo_bin("steadyfall");
        let line = r#"trap '' XFSZ; ulimit -f 64; exec "$0" check "$1" --out kept --quiet"#;
        let out = Command::new("sh")
            .current_dir(&dir)
            .args(["-c", line])
            .args([exe.as_os_str(), site.as_ref()])
            .output()
            .unwrap();
        assert_eq!(out.status.code(), Some(2), "{out:?}");
        assert!(before == fs::read(dir.join("kept/result.json")).unwrap());
    }
}

#[cfg(unix)]
#[test]
fn killed_at_any_moment_the_old_results_stay_whole() {
    let dir = room("killed");
    let site = home("sample-surveys/juniper-draw/site.toml");
    let site = site.to_str().unwrap();
    let run = || {
        let mut command = Command::new(assert_cmd::cargo::cargo_bin("steadyfall"));
        command
            .current_dir(&dir)
            .args(["check", site, "--out", "out", "--quiet"])
            .stdout(Stdio::null())
            .stderr(Stdio::null());
        command
    };
    assert!(run().status().unwrap().success());
    fs::write(dir.join("out/notes.txt"), "mine").unwrap();
    let whole = Instant::now();
    assert!(run().status().unwrap().success());
    let whole = whole.elapsed();
    for i in 0..12u32 {
        let mut child = run().spawn().unwrap();
        // The last part of a run is where it writes.
        std::thread::sleep(whole.mul_f64(0.6 + 0.045 * f64::from(i)));
        let _ = child.kill();
        let _ = child.wait();
        // Between the two renames only the name with .old is there; the next run puts it right.
        let at = ["out", ".out.old"]
            .into_iter()
            .map(|n| dir.join(n))
            .find(|p| p.join("result.json").exists())
            .expect("results are somewhere whole");
        let text = fs::read_to_string(at.join("result.json")).unwrap();
        assert!(serde_json::from_str::<serde_json::Value>(&text).is_ok());
    }
    assert!(run().status().unwrap().success());
    assert_eq!(
        fs::read_to_string(dir.join("out/notes.txt")).unwrap(),
        "mine"
    );
    let left: Vec<_> = fs::read_dir(&dir)
        .unwrap()
        .flatten()
        .map(|e| e.file_name())
        .collect();
    assert_eq!(left.len(), 1, "{left:?}");
}

#[test]
fn two_runs_into_one_folder_leave_one_whole_result() {
    let dir = room("two-runs");
    let site = home("sample-surveys/juniper-draw/site.toml");
    let spawn = || {
        Command::new(assert_cmd::cargo::cargo_bin("steadyfall"))
            .current_dir(&dir)
            .args(["check", site.to_str().unwrap(), "--out", "out", "--quiet"])
            .stderr(Stdio::piped())
            .spawn()
            .unwrap()
    };
    let both = [spawn(), spawn()];
    let codes: Vec<Option<i32>> = both
        .into_iter()
        .map(|mut c| c.wait().unwrap().code())
        .collect();
    assert!(codes.contains(&Some(0)), "{codes:?}");
    assert!(codes.iter().all(|c| matches!(c, Some(0 | 2))), "{codes:?}");
    let text = fs::read_to_string(dir.join("out/result.json")).unwrap();
    assert!(serde_json::from_str::<serde_json::Value>(&text).is_ok());
}
