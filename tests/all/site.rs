//! Whole-program tests: the site file. Every key is read; every fault has its own first line, its place and its advice.

use proptest::prelude::*;
use std::collections::BTreeSet;
use std::time::{Duration, Instant};
use steadyfall::form::keys;
use steadyfall::pipe::WaterLevel;
use steadyfall::site::{
    CaseRuns, DeclaredPlace, GaugeAt, KeyForm, Mover, Site, WaterWay, read_file, read_text,
};
use steadyfall::unit::OnPegs;

const EVERY_KEY: &str = include_str!("../sites/every-key.toml");

fn close(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-9 * b.abs().max(1e-9)
}

fn every_key() -> Site {
    read_text("every-key.toml", EVERY_KEY).unwrap_or_else(|faults| panic!("{}", faults[0]))
}

#[test]
fn every_key_is_read() {
    let site = every_key();
    assert_eq!(site.survey.files.len(), 2);
    assert_eq!(site.survey.date.unwrap().to_string(), "2026-05-14");
    assert!(close(site.survey.doubts.setup_sd_m.unwrap(), 0.002));
    assert!(close(
        site.survey.doubts.index_sd_rad.unwrap().to_degrees(),
        1.0 / 6.0
    ));
    assert!(
        matches!(site.survey.intake.as_ref().unwrap().value, DeclaredPlace::LatLon { lat_deg, .. } if lat_deg == -47.1012)
    );
    assert!(
        matches!(&site.survey.turbine.as_ref().unwrap().value, DeclaredPlace::Name(n) if n == "powerhouse")
    );
    assert!(site.survey.parts[0].replaces);
    let booked = site.survey.booked;
    assert!(close(booked.staff_m.unwrap(), 4.8768) && close(booked.eye_m.unwrap(), 1.6256));
    assert!(close(booked.declination_rad.unwrap().to_degrees(), -2.5));
    assert!(close(booked.index_error_rad.unwrap().to_degrees(), 0.3));
    let legs = site.survey.parts[1].booked;
    assert!(close(legs.declination_rad.unwrap().to_degrees(), 12.0));
    let tape = legs.tape.unwrap();
    assert!(close(tape.true_m, 30.473_904));
    assert!(close(tape.field_c.unwrap(), 5.0));
    assert!(close(tape.section_m2.unwrap(), 0.006_35 * 0.000_508));
    assert!(close(tape.standard_pull_n.unwrap(), 53.378_659_383_126));
    assert!(close(site.survey.ties[0].elevation_m, 412.3));
    assert!(close(site.survey.pegs[0].station.0, 310.0));
    assert_eq!(site.situation.coldest_air_c, Some(-12.0));
    assert!(close(site.water.temperature_c.unwrap(), 70.0 / 9.0));
    assert!(close(
        site.intake.as_ref().unwrap().flood_level_m.unwrap(),
        1.2192
    ));
    let screen = site.screen.as_ref().unwrap();
    assert!(close(screen.bar_m.unwrap(), 0.003175) && close(screen.face_m.unwrap().0, 0.6096));
    assert!(close(screen.slope_rad.unwrap().to_degrees(), 60.0));
    let grit = site.grit.as_ref().unwrap();
    assert!(close(grit.grain_m, 0.0003) && close(grit.worn.unwrap().head_m.unwrap(), 60.0));
    let basin = site.basin.as_ref().unwrap();
    assert!(close(basin.width_m, 1.2192) && close(basin.flush.unwrap().1, 0.05));
    let test = site.pressure_test.as_ref().unwrap();
    assert!(close(test.loading_s, 720.0) && close(test.readings[2].0, 10_800.0));
    assert!(close(test.readings[1].1, 850e3) && test.backfilled == Some(true));
    assert_eq!(site.record.as_ref().unwrap().witness.as_str(), "B. Owner");
    let corrosion = site.corrosion.as_ref().unwrap();
    assert!(close(corrosion.soil_ohm_m.unwrap(), 80.0) && close(corrosion.water.unwrap().ph, 6.8));
    assert!(site.metals[0].insulated);
    let [upper, lower] = site.pipes.as_slice() else {
        panic!("two pipes")
    };
    assert_eq!(upper.spec.as_ref().unwrap().value, "PE100 SDR11 90");
    assert_eq!(upper.joints_at.len(), 2);
    assert!(close(upper.joint_rating_pa.unwrap(), 1e6));
    assert!(close(lower.own.wall_m.unwrap(), 0.0054864));
    assert!(close(lower.own.modulus_pa.unwrap(), 200e9));
    assert!(matches!(&site.marks[1].at.value, DeclaredPlace::Name(n) if n == "bend tree"));
    assert!(matches!(site.marks[2].at.value, DeclaredPlace::Station(OnPegs(s)) if close(s, 381.0)));
    let turbine = site.turbine.as_ref().unwrap();
    let WaterWay::Jets(jets) = &turbine.way else {
        panic!("jets")
    };
    assert_eq!(
        jets.iter()
            .map(|j| j.discharge_coefficient.unwrap())
            .collect::<Vec<_>>(),
        [0.95, 0.9]
    );
    assert!(close(jets[1].nozzle_diameter_m, 0.009525));
    assert_eq!(site.cases[0].runs, CaseRuns::Jets(vec![0]));
    assert_eq!(site.cases[0].fittings_open[0].0.value, "head valve");
    assert_eq!(site.cases[1].runs, CaseRuns::Jets(vec![0, 1]));
    assert_eq!(site.cases[2].level, WaterLevel::Flood);
    assert!(matches!(site.cases[2].runs, CaseRuns::Flow(q) if close(q, 20.0 * 4.54609e-3 / 60.0)));
    assert_eq!(site.stream.as_ref().unwrap().flow_m3_per_s.len(), 12);
    assert_eq!(site.movements[1].of.value, Mover::Fitting(0));
    assert!(close(site.movements[1].over_s, 30.0));
    assert_eq!(site.gauges[0].at.value, GaugeAt::Turbine);
    assert!(close(site.gauges[1].pressure_pa, 117_679.8));
    assert!(close(site.regrade.least_grade, 0.01));
    assert!(close(site.limits.suction_m.unwrap(), 3.0));
    assert_eq!(site.fixed.len(), 1);
    let place = &site.pipes[0].spec.as_ref().unwrap().place;
    assert_eq!(
        (place.line, place.column, place.key.as_deref()),
        (Some(149), Some(8), Some("pipe.spec"))
    );
}

#[test]
fn every_sample_reads() {
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-surveys");
    let mut read = 0;
    for folder in std::fs::read_dir(root).unwrap().flatten() {
        let Ok(files) = std::fs::read_dir(folder.path()) else {
            continue;
        };
        for file in files.flatten().map(|f| f.path()) {
            if file.extension().is_some_and(|e| e == "toml") {
                let faults = read_file(&file).err();
                assert!(faults.is_none(), "{}", faults.unwrap()[0]);
                read += 1;
            }
        }
    }
    assert!(read > 0);
}

#[test]
fn a_file_that_is_not_there_is_told() {
    let faults = read_file(std::path::Path::new("no/such/site.toml")).unwrap_err();
    let said = faults[0].to_string();
    assert!(
        said.starts_with("no/such/site.toml: there is no such file"),
        "{said}"
    );
    assert!(faults[0].advice.is_some());
    let faults = read_file(std::path::Path::new(env!("CARGO_MANIFEST_DIR"))).unwrap_err();
    assert!(faults[0].to_string().contains(": this is not a file"));
}

/// The least that reads; `{}` is replaced by what is tried.
fn with(rest: &str) -> String {
    format!("[survey]\nfiles = [\"walk.gpx\"]\n{rest}\n")
}

/// What is tried, and the first line it must give. Lines count from the two that `with` puts before.
const BAD: &[(&str, &str)] = &[
    (
        "[water]\ntemperature = 8",
        "s.toml:4:15: temperature: a temperature needs its unit",
    ),
    (
        "[water]\ntemperature = \"8\"",
        "s.toml:4:15: temperature: a temperature needs its unit",
    ),
    (
        "[water]\ntemperature = nan",
        "s.toml:4:15: temperature: a temperature needs its unit",
    ),
    (
        "[water]\ntemperature = \"nan C\"",
        "s.toml:4:15: temperature: not a finite number",
    ),
    (
        "[water]\ntemperature = \"90 C\"",
        "s.toml:4:15: \"temperature\" must be a temperature of flowing water, 0 C to 60 C",
    ),
    (
        "[water]\ntemperature = \"8 bar\"",
        "s.toml:4:15: temperature: found a pressure, where a temperature is needed",
    ),
    (
        "[water]\ncoldest = \"9 C\"\nwarmest = \"3 C\"",
        "s.toml:4:11: the coldest water is warmer than the warmest",
    ),
    (
        "[water]\ncoldest = \"9 C\"\ntemperature = \"3 C\"",
        "s.toml:5:15: the normal temperature is not between coldest and warmest",
    ),
    (
        "[watr]\ntemperature = \"8 C\"",
        "s.toml:3:2: there is no key \"watr\" at the top of the file",
    ),
    (
        "[water]\ntemprature = \"8 C\"",
        "s.toml:4:1: there is no key \"temprature\" in [water]",
    ),
    (
        "[site]\nlatitude = 95",
        "s.toml:4:12: \"latitude\" must be from -90 to 90 degrees",
    ),
    (
        "[site]\nlatitude = \"56\"",
        "s.toml:4:12: \"latitude\" is not a number without quotes",
    ),
    (
        "[site]\nlatitude = inf",
        "s.toml:4:12: \"latitude\" is not a finite number",
    ),
    (
        "[site]\nsun = \"yes\"",
        "s.toml:4:7: \"sun\" is not true or false",
    ),
    (
        "[site]\nhottest_air = \"5 C\"\ncoldest_air = \"9 C\"",
        "s.toml:5:15: the coldest air is warmer than the hottest",
    ),
    (
        "[site]\naltitude = \"12,5 m\"",
        "s.toml:4:12: altitude: a decimal comma",
    ),
    (
        "[[site]]\nlatitude = 50",
        "s.toml:3:1: more than one [site]",
    ),
    (
        "[[turbine]]\njets = 1",
        "s.toml:3:1: only one turbine site is possible",
    ),
    (
        "[intake]\nwater_level = \"-1 m\"",
        "s.toml:4:15: the water level is below the pipe inlet",
    ),
    (
        "[intake]\nlow_level = \"2 m\"\nwater_level = \"1 m\"",
        "s.toml:4:13: the low level is above the normal or the flood level",
    ),
    (
        "[intake]\nentrance = \"rond\"",
        "s.toml:4:12: \"rond\" is not a value of \"entrance\"",
    ),
    (
        "[grit]\ngrain = \"0.3 mm\"\nworn_hours = 3000",
        "s.toml:3:1: [grit] needs \"worn_by\"",
    ),
    (
        "[basin]\nwidth = \"1 m\"\nlength = \"5 m\"",
        "s.toml:3:1: [basin] needs \"depth\"",
    ),
    (
        "[pressure_test]\nloading = \"10 min\"\ntimes = [\"10 min\"]\npressures = []",
        "s.toml:6:13: times and pressures differ in number",
    ),
    (
        "[corrosion]\nwater_ph = 7.0\nwater_solids_mg_per_l = 60\nwater_calcium_mg_per_l = 20",
        "s.toml:3:1: [corrosion] needs \"water_alkalinity_mg_per_l\"",
    ),
    (
        "[[metal]]\nat = \"20 m\"",
        "s.toml:3:1: [[metal]] needs \"metal\"",
    ),
    (
        "[screen]\nkind = \"mesh\"",
        "s.toml:3:1: [screen] needs \"opening\"",
    ),
    (
        "[screen]\nkind = \"mesh\"\nopening = \"4 mm\"\nwidth = \"1 m\"",
        "s.toml:3:1: [screen] needs \"length\"",
    ),
    (
        "[intake]\nentrance = \"sharp\"\nentrance_k = 0.5",
        "s.toml:5:14: entrance and entrance_k both give the inlet loss",
    ),
    (
        "[pipe]\nspec = \"x\"",
        "s.toml:3:1: \"pipe\" is not a list of [[pipe]]",
    ),
    (
        "[[pipe]]\nto = \"9 m\"",
        "s.toml:3:1: [[pipe]] needs \"spec\"",
    ),
    (
        "[[pipe]]\nspec = \"\"",
        "s.toml:4:8: \"spec\" is not a text that is not empty",
    ),
    (
        "[[pipe]]\nspec = \"x\"\nto = 90",
        "s.toml:5:6: to: a station needs its unit",
    ),
    (
        "[[pipe]]\nspec = \"x\"\nto = \"90 mm\"",
        "s.toml:5:6: to: found a length, where a station is needed",
    ),
    (
        "[[pipe]]\nspec = \"x\"\npiece = \"-100 m\"",
        "s.toml:5:9: \"piece\" must be more than 0, at most 100 km",
    ),
    (
        "[[pipe]]\nspec = \"x\"\nderate = 1.5",
        "s.toml:5:10: \"derate\" must be more than 0, at most 1",
    ),
    (
        "[[pipe]]\nspec = \"x\"\njoint = \"fussed\"",
        "s.toml:5:9: \"fussed\" is not a value of \"joint\"",
    ),
    (
        "[[pipe]]\nspec = \"x\"\ncoil = 1",
        "s.toml:5:8: \"coil\" is not true or false",
    ),
    (
        "[[pipe]]\nspec = \"x\"\njoints_at = \"5 m\"",
        "s.toml:5:13: \"joints_at\" is not a list",
    ),
    (
        "[[pipe]]\nmaterial = \"pe\"\nouter_diameter = \"3 in\"\nwall = \"5 mm\"",
        "s.toml:5:18: this outside diameter is a nominal size",
    ),
    (
        "[[pipe]]\nmaterial = \"pe\"\nouter_diameter = \"90 mm\"",
        "s.toml:5:18: a pipe by its own keys needs two of outer diameter, wall and inner diameter",
    ),
    (
        "[[pipe]]\nouter_diameter = \"90 mm\"\nwall = \"8 mm\"",
        "s.toml:3:1: a pipe by its own keys needs a material",
    ),
    (
        "[[pipe]]\nmaterial = \"pe\"\nouter_diameter = \"90 mm\"\nwall = \"50 mm\"",
        "s.toml:5:18: the outside diameter, the wall and the inside diameter do not agree",
    ),
    (
        "[[pipe]]\nmaterial = \"pe\"\nouter_diameter = \"90 mm\"\nwall = \"8 mm\"\ninner_diameter = \"60 mm\"",
        "s.toml:7:18: the outside diameter and the wall give an inside diameter of 74.0 mm, not 60.0 mm",
    ),
    (
        "[[pipe]]\nspec = \"x\"\nmaterial = \"pe\"",
        "s.toml:5:12: spec and material both give the pipe material",
    ),
    (
        "[[pipe]]\nspec = \"x\"\n[[pipe]]\nspec = \"y\"",
        "s.toml:3:1: [[pipe]] needs \"to\", because another pipe follows",
    ),
    (
        "[[laid]]\nfrom = \"0 m\"\nto = \"9 m\"\nhow = \"span\"\ncover = \"1 m\"",
        "s.toml:7:9: \"cover\" belongs to pipe that is buried",
    ),
    (
        "[[laid]]\nto = \"9 m\"\nhow = \"span\"",
        "s.toml:3:1: [[laid]] needs \"from\"",
    ),
    (
        "[[fitting]]\nkind = \"gate valve\"",
        "s.toml:3:1: [[fitting]] needs \"at\"",
    ),
    (
        "[[fitting]]\nat = \"2 m\"",
        "s.toml:3:1: [[fitting]] needs \"kind\"",
    ),
    (
        "[[fitting]]\nat = \"2 m\"\nkind = \"elbow\"",
        "s.toml:3:1: [[fitting]] needs \"angle\"",
    ),
    (
        "[[fitting]]\nat = \"2 m\"\nkind = \"gate valve\"\nopen = 2",
        "s.toml:6:8: \"open\" must be from 0 to 1",
    ),
    (
        "[[fitting]]\nat = \"2 m\"\nkind = \"gate valve\"\nname = \"All jets\"",
        "s.toml:6:8: \"All jets\" is a reserved name",
    ),
    (
        "[[fitting]]\nat = \"2 m\"\nk = 1\nname = \"v\"\n[[fitting]]\nat = \"3 m\"\nk = 1\nname = \"v\"",
        "s.toml:10:8: two [[fitting]] are called \"v\"",
    ),
    (
        "[[fitting]]\nat = \"95.2, 7.1\"\nk = 1",
        "s.toml:4:6: \"at\" is not a position on the earth",
    ),
    (
        "[[fitting]]\nat = \"12,5\"\nk = 1",
        "s.toml:4:6: at: a decimal comma",
    ),
    (
        "[[fitting]]\nat = \"12+5 ft\"\nk = 1",
        "s.toml:4:6: at: the plus of a station is followed by two or three digits",
    ),
    (
        "[[mark]]\nat = \"2 m\"\nkind = \"vnt\"",
        "s.toml:5:8: \"vnt\" is not a value of \"kind\"",
    ),
    (
        "[[mark]]\nat = \"2 m\"\nkind = \"drain\"\ndevice = \"standpipe\"",
        "s.toml:6:10: \"device\" belongs to a vent",
    ),
    (
        "[[mark]]\nat = \"2 m\"\nkind = \"relief\"",
        "s.toml:3:1: [[mark]] needs \"opens_at\"",
    ),
    (
        "[turbine]\njets = 0\nnozzle_diameter = \"9 mm\"",
        "s.toml:4:8: \"jets\" is not a whole number from 1 to 24",
    ),
    (
        "[turbine]\njets = 4",
        "s.toml:3:1: [turbine] needs \"nozzle_diameter\"",
    ),
    (
        "[turbine]\njets = 4\nnozzle_diameter = \"9 mm\"\nflow = \"6 L/s\"",
        "s.toml:6:8: the flow of the turbine is given twice",
    ),
    (
        "[turbine]\njets = 4\nnozzle_diameter = 9",
        "s.toml:5:19: nozzle_diameter: a length needs its unit",
    ),
    (
        "[turbine]\nnozzle_height = \"1 m\"",
        "s.toml:3:1: [turbine] needs \"jets\"",
    ),
    (
        "[turbine]\nflow = \"6 L/s\"\nwater_to_wire = 55",
        "s.toml:5:17: \"water_to_wire\" must be more than 0, at most 1",
    ),
    (
        "[turbine]\njets = 1\nnozzle_diameter = \"9 mm\"\nmachine = \"other\"",
        "s.toml:6:11: a machine without jets needs a flow",
    ),
    (
        "[[jet]]\nname = \"one jet\"\nnozzle_diameter = \"9 mm\"",
        "s.toml:4:8: \"one jet\" is a reserved name",
    ),
    (
        "[[jet]]\nname = \"A\"\nnozzle_diameter = \"9 mm\"\n[[jet]]\nname = \"A\"\nnozzle_diameter = \"9 mm\"",
        "s.toml:3:1: two jets are called \"A\"",
    ),
    (
        "[[draw]]\nat = \"2 m\"\nflow = \"0 L/s\"",
        "s.toml:5:8: \"flow\" must be more than 0, at most 1000 m3/s",
    ),
    (
        "[[case]]\nname = \"shut\"",
        "s.toml:4:8: \"shut\" is a reserved name",
    ),
    (
        "[[case]]\nname = \"c\"\njets = 2",
        "s.toml:5:8: more jets are open than exist",
    ),
    (
        "[[jet]]\nname = \"A\"\nnozzle_diameter = \"9 mm\"\n[[case]]\nname = \"c\"\nopen = [\"B\"]",
        "s.toml:8:9: no jet is called \"B\"",
    ),
    (
        "[[case]]\nname = \"c\"\nflow = \"1 L/s\"\nopen = [\"B\"]",
        "s.toml:6:8: this case gives its nozzles or flow twice",
    ),
    (
        "[[case]]\nname = \"c\"\n[case.fittings]\nv = 0.5",
        "s.toml:6:1: no fitting is called \"v\"",
    ),
    (
        "[stream]\nmonths = [\"1 L/s\"]",
        "s.toml:4:10: months does not have twelve values",
    ),
    (
        "[stream]\nleave = \"1 L/s\"",
        "s.toml:3:1: [stream] needs \"flow\"",
    ),
    (
        "[[movement]]\nname = \"m\"\nof = \"jets\"\nfrom = 1\nto = 0\nover = \"1 s\"",
        "s.toml:5:6: there are no jets to operate",
    ),
    (
        "[[fitting]]\nat = \"2 m\"\nkind = \"union\"\nname = \"u\"\n[[movement]]\nname = \"m\"\nof = \"u\"\nfrom = 1\nto = 0\nover = \"1 s\"",
        "s.toml:9:6: \"u\" cannot be closed",
    ),
    (
        "[turbine]\nflow = \"1 L/s\"\n[[movement]]\nname = \"m\"\nof = \"jets\"\nfrom = 1\nto = 1\nover = \"1 s\"",
        "s.toml:9:6: from and to are equal",
    ),
    (
        "[turbine]\nflow = \"1 L/s\"\n[[movement]]\nname = \"m\"\nof = \"jets\"\nfrom = 1\nto = 0\nover = \"0 s\"",
        "s.toml:10:8: \"over\" must be more than 0, at most 28 hours",
    ),
    (
        "[[gauge]]\nat = \"turbine\"\nstate = \"all jets\"\npressure = \"5 bar\"",
        "s.toml:5:9: no state is called \"all jets\"",
    ),
    (
        "[[gauge]]\nat = \"turbine\"\nstate = \"shut\"\npressure = \"5 bar\"\nlimit = \"1 psi\"\nsd = \"1 psi\"",
        "s.toml:8:6: limit and sd both give the uncertainty of the reading",
    ),
    (
        "[[gauge]]\nat = \"turbine\"\nstate = \"shut\"\npressure = 68",
        "s.toml:6:12: pressure: a pressure needs its unit",
    ),
    (
        "[[ground]]\nfrom = \"0 m\"\nto = \"5 m\"\nsoil = \"mud\"",
        "s.toml:6:8: \"mud\" is not a value of \"soil\"",
    ),
    (
        "[[flood]]\nfrom = \"0 m\"\nto = \"5 m\"\nspeed = \"2 m/s\"",
        "s.toml:3:1: [[flood]] needs \"depth\"",
    ),
    (
        "[regrade]\nleast_grade = 0.01",
        "s.toml:4:15: least_grade: a grade needs its unit",
    ),
    (
        "[[fixed]]\nfrom = \"0 m\"",
        "s.toml:3:1: [[fixed]] needs \"to\"",
    ),
    (
        "[limits]\nsuction = \"20 m head\"",
        "s.toml:4:11: \"suction\" must be a head from 0 to 10.33 m below atmospheric pressure",
    ),
    (
        "[[survey.tie]]\nat = \"0 m\"",
        "s.toml:3:1: [[survey.tie]] needs \"elevation\"",
    ),
    (
        "[[survey.part]]\nfiles = [\"b.csv\"]\nreplaces = true",
        "s.toml:5:12: a part that replaces needs from and to",
    ),
    ("date = \"yesterday\"", "s.toml:3:8: \"date\" is not a day"),
    (
        "files = [\"b.gpx\"]",
        "s.toml:3:1: this is not TOML: duplicate key",
    ),
    (
        "kind = gpx",
        "s.toml:3:8: this is not TOML: string values must be quoted, expected literal string",
    ),
    (
        "from = \"top\"",
        "s.toml:3:8: \"top\" is not a value of \"from\"",
    ),
    (
        "kind = \"gpx\"\ntaped = \"slope\"",
        "s.toml:4:9: a GPS track is not taped",
    ),
];

#[test]
fn every_fault_has_its_own_first_line() {
    let mut wrong = Vec::new();
    for (tried, first) in BAD {
        let text = with(tried);
        match read_text("s.toml", &text) {
            Ok(_) => wrong.push(format!("{tried}\n  was taken, wanted {first}")),
            Err(faults) => {
                let fault = &faults[0];
                let said = fault.to_string();
                let line = said.lines().next().unwrap();
                if line != *first {
                    wrong.push(format!("{tried}\n  gave   {line}\n  wanted {first}"));
                }
                let silent = fault.expected.is_none()
                    || fault.advice.is_none()
                    || fault.source_line.is_none();
                if silent || fault.advice.as_deref() == Some("") {
                    wrong.push(format!("{tried}\n  says too little: {fault:?}"));
                }
            }
        }
    }
    assert!(
        wrong.is_empty(),
        "{} of {}:\n{}",
        wrong.len(),
        BAD.len(),
        wrong.join("\n")
    );
}

#[test]
fn faults_of_the_top_of_the_file() {
    for (text, first) in [
        ("", "s.toml:1:1: the file has no survey"),
        ("title = \"x\"", "s.toml:1:1: the file has no survey"),
        (
            "format = 2\n[survey]\nfiles = [\"a\"]",
            "s.toml:1:10: this format of site file is not known",
        ),
        (
            "units = \"feet\"\n[survey]\nfiles = [\"a\"]",
            "s.toml:1:9: \"feet\" is not a value of \"units\"",
        ),
        ("[survey]\nfiles = []", "s.toml:2:9: no file is given"),
        (
            "[survey]\nkind = \"gpx\"",
            "s.toml:1:1: [survey] needs \"files\"",
        ),
        (
            "[survey]\nfiles = \"a\"",
            "s.toml:2:9: \"files\" is not a list",
        ),
        (
            "[survey]\nfiles = [\"a\", \"a\"]",
            "s.toml:2:15: this file is given twice",
        ),
        ("survey = 5", "s.toml:1:10: \"survey\" is not a table"),
    ] {
        let faults = read_text("s.toml", text).unwrap_err();
        assert_eq!(
            faults[0].to_string().lines().next().unwrap(),
            first,
            "{text}"
        );
    }
}

#[test]
fn several_faults_come_at_once_in_the_order_of_the_file() {
    let text = with(
        "[water]\ntemperature = 8\n[[pipe]]\nspec = \"x\"\nderate = 7\n[site]\nlatitude = 100",
    );
    let faults = read_text("s.toml", &text).unwrap_err();
    let lines: Vec<_> = faults.iter().map(|f| f.place.line.unwrap()).collect();
    assert_eq!(lines, [4, 7, 9]);
}

#[test]
fn a_fault_shows_its_caret_and_its_advice() {
    let faults = read_text("s.toml", &with("[turbine]\njtes = 4")).unwrap_err();
    let said = faults
        .iter()
        .find(|f| f.text.contains("jtes"))
        .unwrap()
        .to_string();
    assert!(said.contains("\n  | jtes = 4\n  | ^"), "{said}");
    assert!(said.contains("did you mean \"jets\"?"), "{said}");
}

#[test]
fn the_nominal_size_is_told_with_what_it_measures() {
    let text = with("[[pipe]]\nmaterial = \"pvc\"\nouter_diameter = \"3\\\"\"\nwall = \"5 mm\"");
    let fault = &read_text("s.toml", &text).unwrap_err()[0];
    assert!(fault.to_string().contains("3.500 in"), "{fault}");
    // The same measure in millimetres is a measure.
    let text = with("[[pipe]]\nmaterial = \"pvc\"\nouter_diameter = \"76.2 mm\"\nwall = \"5 mm\"");
    assert!(read_text("s.toml", &text).is_ok());
}

#[test]
fn names_may_be_digits_and_positions_need_two_numbers() {
    for (said, want) in [
        ("064", DeclaredPlace::Name("064".to_owned())),
        ("2 oaks", DeclaredPlace::Name("2 oaks".to_owned())),
        ("bend, lower", DeclaredPlace::Name("bend, lower".to_owned())),
        ("64 m", DeclaredPlace::Station(OnPegs(64.0))),
        ("-5 m", DeclaredPlace::Station(OnPegs(-5.0))),
        (
            "-33.5, 151.25",
            DeclaredPlace::LatLon {
                lat_deg: -33.5,
                lon_deg: 151.25,
            },
        ),
    ] {
        let text = with(&format!("[[fitting]]\nat = \"{said}\"\nk = 1"));
        let site = read_text("s.toml", &text).unwrap_or_else(|f| panic!("{}", f[0]));
        assert_eq!(site.fittings[0].at.value, want);
    }
}

/// Swaps, cuts and doubles pieces of a text by a fixed seed: what a slip of the hand, a bad transfer or a hostile hand may do.
fn mutate(text: &str, seed: u64) -> String {
    let mut state = seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1;
    let mut draw = |most: usize| {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        (state % most.max(1) as u64) as usize
    };
    let mut chars: Vec<char> = text.chars().collect();
    const BITS: [&str; 16] = [
        "\"",
        "[",
        "]",
        "=",
        "\n",
        "nan",
        "-",
        "1e999",
        "\u{0}",
        "é",
        ",",
        "[[",
        "'''",
        "{",
        "99999999999999999999",
        "\"\"",
    ];
    for _ in 0..=draw(3) {
        let at = draw(chars.len());
        let length = draw(12).min(chars.len() - at);
        match draw(4) {
            0 => {
                chars.drain(at..at + length);
            }
            1 => {
                let piece: Vec<char> = chars[at..at + length].to_vec();
                let to = draw(chars.len());
                chars.splice(to..to, piece);
            }
            2 => {
                chars.splice(at..at, BITS[draw(BITS.len())].chars());
            }
            _ => {
                chars.splice(at..at + length, BITS[draw(BITS.len())].chars());
            }
        }
        if chars.is_empty() {
            break;
        }
    }
    chars.into_iter().collect()
}

/// A few seconds of changed files: none panics or hangs, every refusal has a place and says what to do.
#[test]
fn changed_files_are_read_or_refused() {
    let begun = Instant::now();
    let (mut taken, mut refused) = (0, 0);
    for seed in 0..4000 {
        let text = mutate(EVERY_KEY, seed);
        match read_text("s.toml", &text) {
            Ok(_) => taken += 1,
            Err(faults) => {
                refused += 1;
                assert!(!faults.is_empty(), "seed {seed} is refused without a word");
                for fault in faults {
                    assert!(
                        fault.place.line.is_some() && fault.advice.is_some(),
                        "seed {seed}: {fault}"
                    );
                }
            }
        }
        if begun.elapsed() > Duration::from_secs(20) {
            break;
        }
    }
    assert!(
        taken > 20 && refused > 200,
        "{taken} taken, {refused} refused"
    );
}

proptest! {
    #[test]
    fn no_text_panics(text in "\\PC{0,200}") {
        let _ = read_text("s.toml", &text);
    }

    #[test]
    fn no_value_panics(value in "\\PC{0,30}") {
        let quoted = value.replace(['\\', '"'], "");
        let text = with(&format!("[[pipe]]\nspec = \"{quoted}\"\nto = \"{quoted}\"\n[water]\ntemperature = {value}"));
        let _ = read_text("s.toml", &text);
    }
}

/// The words between backquotes.
fn named(text: &str) -> BTreeSet<&str> {
    text.split('`').skip(1).step_by(2).collect()
}

#[test]
fn the_page_of_columns_lists_what_a_book_has_no_column_for() {
    let page = include_str!("../../docs/columns.md");
    let table = page.split("| key | meaning |\n|---|---|\n").nth(1).unwrap();
    let rows = table
        .lines()
        .map_while(|l| l.strip_prefix("| ")?.split_once(" | "));
    let (tape, rows): (Vec<_>, Vec<_>) = rows.partition(|r| r.0 == "`[survey.tape]`");
    let all = keys();
    let of = |table: &str| -> BTreeSet<&str> {
        all.iter()
            .filter(|k| k.table == table)
            .map(|k| k.key)
            .collect()
    };
    let files = ["files", "kind", "of", "from", "to", "replaces"];
    let mut booked: BTreeSet<&str> = &of("survey.part") - &files.into();
    booked.insert("air_temperature");
    assert_eq!(
        rows.iter()
            .flat_map(|r| named(r.0))
            .collect::<BTreeSet<_>>(),
        booked
    );
    let heads = ["tape_temp_c", "pull_n"];
    assert_eq!(&named(tape[0].1) - &heads.into(), of("survey.tape"));
    for key in all.iter().filter(|k| k.table == "survey.part") {
        let row = rows.iter().find(|r| named(r.0).contains(key.key));
        if let (KeyForm::Words(words), Some(row)) = (&key.form, row) {
            let quoted: BTreeSet<&str> = row.1.split('"').collect();
            assert!(
                words.iter().all(|w| quoted.contains(w)),
                "{}: {}",
                key.key,
                row.1
            );
        }
    }
}
