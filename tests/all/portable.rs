//! Fifty random sites, for `.ci/portable.sh`: the same seed writes the same files, which every build of the program then checks.

use crate::invented::{Setting, Walk};
use crate::program::{program, room};
use std::fmt::Write;
use std::fs;
use std::path::Path;
use steadyfall::numeric::Rng;
use steadyfall::reading::Data;

const SITES: u64 = 50;
const SEED: u64 = 20_261_125;

const PIPES: [&str; 6] = [
    "PE100 SDR11 90",
    "PE100 SDR17 110",
    "PVC SDR26 4 in",
    "PE4710 DR11 3 in IPS",
    "PE100 SDR21 110",
    "PE100 SDR11 63",
];
const LAWS: [&str; 2] = ["area", "stroke"];

/// Walks as a file of tracks; some without times.
fn tracks(walk: &Walk, times: bool) -> String {
    let Data::Walks(passes) = walk.reading().data else {
        unreachable!()
    };
    let mut out = String::from(
        "<?xml version=\"1.0\"?>\n<gpx version=\"1.1\" creator=\"random\" xmlns=\"http://www.topografix.com/GPX/1/1\">\n",
    );
    for pass in &passes {
        writeln!(out, "<trk><name>{}</name><trkseg>", pass.name).unwrap();
        for fix in pass.segments.iter().flatten() {
            write!(
                out,
                "<trkpt lat=\"{:.7}\" lon=\"{:.7}\"><ele>{:.2}</ele>",
                fix.lat_deg,
                fix.lon_deg,
                fix.elevation_m.unwrap()
            )
            .unwrap();
            if times {
                let second = fix.time_s.unwrap() - 1.7e9;
                let (hour, minute) = (second as u64 / 3600, second as u64 / 60 % 60);
                write!(
                    out,
                    "<time>2026-05-{:02}T{:02}:{minute:02}:{:06.3}Z</time>",
                    14 + hour / 24,
                    hour % 24,
                    second % 60.0
                )
                .unwrap();
            }
            out.push_str("</trkpt>\n");
        }
        out.push_str("</trkseg></trk>\n");
    }
    out + "</gpx>\n"
}

fn walked(draws: &mut Rng) -> (&'static str, String, &'static str) {
    let setting = Setting {
        length_m: draws.between(120.0, 400.0),
        drop_m: draws.between(15.0, 60.0),
        passes: 1 + draws.below(3),
        spikes: [0.0, 0.01][draws.below(2)],
        two_receivers: draws.below(3) == 0,
        terrain: draws.below(6) == 0,
        ..Setting::default()
    };
    let times = draws.below(4) > 0;
    let text = tracks(&Walk::new(&setting, draws.bits()), times);
    ("walk.gpx", text, "kind = \"gpx\"\n")
}

/// Legs down a hill: length along the slope, fall as an angle, direction; here and there one that climbs.
fn legs(draws: &mut Rng) -> Vec<(f64, f64, f64)> {
    let mut heading = draws.between(0.0, 360.0);
    (0..6 + draws.below(10))
        .map(|leg| {
            heading += draws.between(-25.0, 25.0);
            let climbs = leg > 0 && draws.below(7) == 0;
            let angle_deg = if climbs {
                draws.between(0.2, 2.0)
            } else {
                -draws.between(1.5, 15.0)
            };
            (
                draws.between(8.0, 35.0),
                angle_deg,
                heading.rem_euclid(360.0),
            )
        })
        .collect()
}

fn points(draws: &mut Rng) -> (&'static str, String, &'static str) {
    let (mut e, mut n, mut z) = (0.0, 0.0, 500.0);
    let mut out = format!("east_m,north_m,height_m\n{e:.3},{n:.3},{z:.3}\n");
    for (long, angle, heading) in legs(draws) {
        let level = long * angle.to_radians().cos();
        e += level * heading.to_radians().sin();
        n += level * heading.to_radians().cos();
        z += long * angle.to_radians().sin();
        writeln!(out, "{e:.3},{n:.3},{z:.3}").unwrap();
    }
    (
        "book.csv",
        out,
        "kind = \"points\"\ntaped = \"slope\"\npoint_sd = \"0.02 m\"\n",
    )
}

fn angles(draws: &mut Rng) -> (&'static str, String, &'static str) {
    let mut out = String::from("from,to,tape_m,angle_deg,bearing_deg\n");
    for (i, (long, angle, heading)) in legs(draws).into_iter().enumerate() {
        writeln!(out, "P{i},P{},{long:.2},{angle:.2},{heading:.0}", i + 1).unwrap();
    }
    ("angles.csv", out, "kind = \"angle\"\n")
}

/// A level book of turning points alone; the last one closes it.
fn levels(draws: &mut Rng) -> (&'static str, String, &'static str) {
    let (mut station, mut z) = (0.0, 300.0);
    let mut turns = vec![(station, z)];
    for (long, angle, _) in legs(draws) {
        let drop = long * angle.to_radians().sin();
        let steps = 1 + (drop.abs() / 2.5) as usize;
        for _ in 0..steps {
            station += long / steps as f64;
            z += drop / steps as f64;
            turns.push((station, z));
        }
    }
    let mut out = String::from("station_m,bs_m,is_m,fs_m,elevation_m,point\n");
    let mut eye = 0.0;
    for (i, &(station, z)) in turns.iter().enumerate() {
        let fore = (i > 0).then(|| format!("{:.3}", eye - z));
        let back = if draws.below(8) == 0 { 2.4 } else { 0.4 };
        eye = z + back;
        let back = (i + 1 < turns.len()).then(|| format!("{back:.3}"));
        let known = if i == 0 { "300.000" } else { "" };
        writeln!(
            out,
            "{station:.2},{},,{},{known},",
            back.unwrap_or_default(),
            fore.unwrap_or_default()
        )
        .unwrap();
    }
    ("book.csv", out, "kind = \"level\"\ntaped = \"slope\"\n")
}

/// Writes one site: its file and its survey.
fn write(folder: &Path, seed: u64) {
    let mut draws = Rng::new(SEED + seed);
    let (file, survey, kind) = match seed % 10 {
        0..=4 => walked(&mut draws),
        5 | 6 => points(&mut draws),
        7 | 8 => levels(&mut draws),
        _ => angles(&mut draws),
    };
    let mut site = format!(
        "format = 1\ntitle = \"random {seed}\"\nunits = \"{}\"\n[survey]\nfiles = [\"{file}\"]\nfrom = \"intake\"\n{kind}",
        ["metric", "us"][draws.below(2)]
    );
    writeln!(
        site,
        "[site]\nlatitude = {:.1}\naltitude = \"{:.0} m\"\nhottest_air = \"{:.0} C\"\ncoldest_air = \"-{:.0} C\"",
        draws.between(-50.0, 60.0),
        draws.between(50.0, 2500.0),
        draws.between(18.0, 38.0),
        draws.between(1.0, 20.0)
    )
    .unwrap();
    writeln!(
        site,
        "[water]\ncoldest = \"{:.1} C\"\nwarmest = \"{:.1} C\"\n[intake]\nwater_level = \"{:.2} m\"\n[[pipe]]\nspec = \"{}\"",
        draws.between(0.5, 6.0),
        draws.between(8.0, 20.0),
        draws.between(0.2, 1.2),
        PIPES[draws.below(PIPES.len())]
    )
    .unwrap();
    site += "[[fitting]]\nat = \"1 m\"\nkind = \"gate valve\"\nname = \"head valve\"\n";
    writeln!(
        site,
        "[turbine]\njets = {}\nnozzle_diameter = \"{:.1} mm\"\nnozzle_height = \"{:.2} m\"\nwater_to_wire = 0.5",
        1 + draws.below(4),
        draws.between(4.0, 11.0),
        draws.between(0.1, 0.8)
    )
    .unwrap();
    writeln!(
        site,
        "[[movement]]\nname = \"needles\"\nof = \"jets\"\nduring = \"all jets\"\nfrom = 1.0\nto = 0.0\nover = \"{:.1} s\"\nlaw = \"{}\"\noften = \"routine\"",
        draws.between(1.0, 12.0),
        LAWS[draws.below(2)]
    )
    .unwrap();
    fs::create_dir_all(folder).unwrap();
    fs::write(folder.join("site.toml"), site).unwrap();
    fs::write(folder.join(file), survey).unwrap();
}

/// `STEADYFALL_SITES` names a folder to write all of them into; without it one of each kind is checked here.
#[test]
fn random_sites_are_written_and_checked() {
    if let Some(folder) = std::env::var_os("STEADYFALL_SITES") {
        for seed in 0..SITES {
            write(&Path::new(&folder).join(format!("{seed:02}")), seed);
        }
        return;
    }
    let dir = room("random-sites");
    for seed in [5, 7, 9, 10] {
        let folder = dir.join(seed.to_string());
        write(&folder, seed);
        program(&folder)
            .args(["check", "site.toml", "--quiet"])
            .assert()
            .success();
        assert!(folder.join("site-results/result.json").is_file());
    }
}
