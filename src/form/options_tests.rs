use super::*;
use crate::form::print::options_text;
use crate::site::read_text;
use crate::unit::OnPegs;
use proptest::prelude::*;

fn wish() -> SiteOptions {
    SiteOptions {
        files: vec!["walk \"one\".gpx".to_owned(), r"C:\maps\two.gpx".to_owned()],
        title: Some("walk".to_owned()),
        units: Some(Units::Us),
        pipes: vec![
            "PE100 SDR17 110 to 330 m".to_owned(),
            "PE100 SDR11 110".to_owned(),
        ],
        jets: Some("4 x 9 mm".to_owned()),
        water_level: Some("0.6 m".to_owned()),
        ..SiteOptions::default()
    }
}

/// A site without the places where it was said.
fn declared(mut site: Site) -> Site {
    let blank = || Located {
        value: (),
        place: Place::default(),
        source_line: String::new(),
    };
    let survey = &mut site.survey;
    let logs = survey.pressure_log.iter_mut().chain(&mut survey.base_log);
    for file in survey.files.iter_mut().chain(logs) {
        *file = blank().with(file.value.clone());
    }
    for pipe in &mut site.pipes {
        pipe.said = blank();
        pipe.spec = pipe.spec.take().map(|s| blank().with(s.value));
        pipe.to = pipe.to.take().map(|s| blank().with(s.value));
    }
    if let Some(turbine) = &mut site.turbine {
        turbine.said = blank();
    }
    site
}

/// The site, once the text that is printed of it was seen to declare the same.
fn made(wish: &SiteOptions) -> Site {
    let site = from_options(wish).unwrap();
    let text = options_text(&site);
    let read = read_text("", &text).unwrap_or_else(|f| panic!("{}\n{text}", f[0]));
    assert_eq!(declared(read), declared(site.clone()), "{text}");
    site
}

#[test]
fn the_text_reads_back_as_what_was_said() {
    let site = made(&wish());
    let files: Vec<&str> = site.survey.files.iter().map(|f| f.value.as_str()).collect();
    assert_eq!(files, ["walk \"one\".gpx", r"C:\maps\two.gpx"]);
    assert_eq!(site.units, Some(Units::Us));
    assert_eq!(site.intake.unwrap().water_level_m, Some(0.6));
    assert_eq!(site.pipes.len(), 2);
    let spec = site.pipes[0].spec.as_ref().unwrap();
    assert_eq!(spec.value, "PE100 SDR17 110");
    let to = site.pipes[0].to.as_ref().unwrap();
    assert_eq!(to.value, DeclaredPlace::Station(OnPegs(330.0)));
    assert!(
        matches!(site.turbine.unwrap().way, WaterWay::Jets(j) if j.len() == 4 && j[0].nozzle_diameter_m == 0.009)
    );
}

#[test]
fn the_text_says_lengths_as_people_do() {
    let text = options_text(&made(&wish()));
    for line in [
        "water_level = \"0.6 m\"",
        "to = \"330 m\"",
        "nozzle_diameter = \"9 mm\"",
        "jets = 4",
    ] {
        assert!(text.contains(line), "{line}: {text}");
    }
    let feet = SiteOptions {
        pipes: vec![
            "PE100 SDR17 110 to 1251 ft".to_owned(),
            "PE100 SDR11 110".to_owned(),
        ],
        ..wish()
    };
    assert!(options_text(&made(&feet)).contains("to = \"1251 ft\""));
    let named = SiteOptions {
        pipes: vec![
            "PE100 SDR17 110 to crest".to_owned(),
            "PE100 SDR11 110".to_owned(),
        ],
        ..wish()
    };
    assert!(options_text(&made(&named)).contains("to = \"crest\""));
}

#[test]
fn jets_in_other_forms() {
    for (words, sizes) in [
        ("9 mm", vec![0.009]),
        ("2x1/4 in", vec![0.00635; 2]),
        ("2 \u{d7} 9 mm, 8 mm", vec![0.009, 0.009, 0.008]),
        ("2 x 9 mm, 9 mm", vec![0.009; 3]),
    ] {
        let wish = SiteOptions {
            jets: Some(words.to_owned()),
            ..wish()
        };
        let WaterWay::Jets(jets) = made(&wish).turbine.unwrap().way else {
            panic!("jets")
        };
        let got: Vec<f64> = jets.iter().map(|j| j.nozzle_diameter_m).collect();
        assert_eq!(got, sizes, "{words}");
    }
}

/// Each option with what it cannot be: its own fault, the option as it was written, and what it could be.
#[test]
fn a_bad_option_is_told_as_that_options_fault() {
    let some = |text: &str| Some(text.to_owned());
    let jets = |text: &str| SiteOptions {
        jets: some(text),
        ..wish()
    };
    let level = |text: &str| SiteOptions {
        water_level: some(text),
        ..wish()
    };
    let pipes = |all: &[&str]| SiteOptions {
        pipes: all.iter().map(|p| (*p).to_owned()).collect(),
        ..wish()
    };
    for (change, first, beside) in [
        (
            jets("4 x 9"),
            "--jets: a length needs its unit",
            "| --jets \"4 x 9\"",
        ),
        (
            jets("four x 9 mm"),
            "--jets: not a number of nozzles",
            "from 1 to 24",
        ),
        (
            jets("0 x 9 mm"),
            "--jets: not a number of nozzles",
            "from 1 to 24",
        ),
        (
            jets("20 x 9 mm, 5 x 8 mm"),
            "--jets: not a number of nozzles",
            "from 1 to 24",
        ),
        (
            jets("4 x 11 m"),
            "--jets: a length must be more than 0, at most 10 m",
            "found: 11 m",
        ),
        (
            level("0.6"),
            "--water-level: a length needs its unit",
            "expected: a length with its unit",
        ),
        (
            level("200 m"),
            "--water-level: a length must be from -100 m to 100 m",
            "found: 200 m",
        ),
        (
            level("-1 m"),
            "--water-level: the water level is below the pipe inlet",
            "found: -1 m",
        ),
        (
            pipes(&["a", "b"]),
            "--pipe: another pipe follows, so this pipe needs its lower end",
            "| --pipe \"a\"",
        ),
        (
            pipes(&["a to 3 bar"]),
            "--pipe: found a pressure, where a station is needed",
            "| --pipe \"a to 3 bar\"",
        ),
        (
            pipes(&[" "]),
            "--pipe: no pipe is given",
            "words of the catalogue",
        ),
        (
            pipes(&["a to 95, 200", "b"]),
            "--pipe: this is not a position on the earth",
            "found: 95, 200",
        ),
        (
            SiteOptions {
                kind: some("gps"),
                ..wish()
            },
            "--kind: \"gps\" is not a value of \"--kind\"",
            "do: did you mean \"gpx\"?",
        ),
        (
            SiteOptions {
                taped: some("slop"),
                ..wish()
            },
            "--taped: \"slop\" is not a value of \"--taped\"",
            "do: did you mean \"slope\"?",
        ),
        (
            SiteOptions {
                from: some(""),
                ..wish()
            },
            "--from: this option has no value",
            "remove the option",
        ),
        (
            SiteOptions {
                from: some("inlet"),
                ..wish()
            },
            "--from: \"inlet\" is not a value of \"--from\"",
            "expected: intake, turbine",
        ),
        (
            SiteOptions {
                kind: some("gpx"),
                taped: some("slope"),
                ..wish()
            },
            "--taped: a GPS track is not taped",
            "| --taped \"slope\"",
        ),
    ] {
        let faults = from_options(&change).unwrap_err();
        let told = faults[0].to_string();
        let line = told.lines().next().unwrap();
        assert_eq!(line, format!("command line: {first}"), "{told}");
        assert!(told.contains(beside), "{beside}: {told}");
        assert_eq!(faults.len(), 1, "{told}");
    }
    for files in [vec![], vec!["a.gpx".to_owned(); 51]] {
        let none = SiteOptions { files, ..wish() };
        let told = from_options(&none).unwrap_err();
        let told = told.last().unwrap().to_string();
        assert!(
            told.starts_with("command line: this number of survey files"),
            "{told}"
        );
    }
}

/// Several wrong options are told together.
#[test]
fn every_wrong_option_is_told() {
    let wrong = SiteOptions {
        pipes: vec!["a".to_owned(), "b".to_owned()],
        jets: Some("9".to_owned()),
        water_level: Some("x".to_owned()),
        ..wish()
    };
    let faults = from_options(&wrong).unwrap_err();
    let keys: Vec<_> = faults
        .iter()
        .filter_map(|f| f.place.key.as_deref())
        .collect();
    assert_eq!(keys, ["--water-level", "--pipe", "--jets"]);
}

proptest! {
    #[test]
    fn any_file_name_comes_back(name in "\\PC{0,20}[a-z]\\PC{0,3}") {
        let site = made(&SiteOptions { files: vec![name.clone()], ..wish() });
        prop_assert_eq!(&site.survey.files[0].value, &name);
    }

    #[test]
    fn no_option_panics(pipe in "\\PC{0,20}", jets in "[0-9x ,m.\\PC]{0,12}", level in "\\PC{0,10}") {
        let _ = from_options(&SiteOptions { pipes: vec![pipe], jets: Some(jets), water_level: Some(level), ..wish() });
    }

    /// Whatever the figures and units: the text declares the very same site.
    #[test]
    fn options_and_the_text_printed_of_them_declare_the_same(
        title in proptest::option::of("\\PC{0,12}"),
        from in proptest::option::of(prop_oneof!["intake", "turbine"]),
        kind in proptest::option::of(prop_oneof!["level", "angle", "points", "gauge"]),
        taped in proptest::option::of(prop_oneof!["slope", "Horizontal"]),
        barometer in proptest::bool::ANY,
        logs in proptest::option::of(("\\PC{0,8}[a-z]", proptest::option::of("\\PC{0,8}[a-z]"))),
        ends in proptest::collection::vec((1e-3..1e4_f64, prop_oneof!["m", "ft", "km"]), 0..4),
        jets in proptest::collection::vec((1..5_usize, 1e-3..9e2_f64, prop_oneof!["mm", "in", "m"]), 1..4),
        level in (0.0..99.0_f64, prop_oneof!["m", "ft", "cm"]),
        figures in 0..17_usize,
    ) {
        let written = |value: f64| format!("{value:.figures$}");
        let groups: Vec<String> = jets.iter().map(|(n, d, u)| format!("{n} x {} {u}", written(*d))).collect();
        let mut pipes: Vec<String> = ends.iter().map(|(s, u)| format!("PE100 SDR11 90 to {} {u}", written(*s))).collect();
        pipes.push("PVC SDR26 4 in".to_owned());
        let wish = SiteOptions {
            files: vec!["book.csv".to_owned()],
            units: None,
            title,
            from,
            kind,
            taped,
            barometer,
            pressure_log: logs.clone().map(|(carried, _)| carried),
            base_log: logs.and_then(|(_, still)| still),
            pipes,
            jets: Some(groups.join(", ")),
            water_level: Some(format!("{} {}", written(level.0), level.1)),
        };
        if from_options(&wish).is_ok() {
            made(&wish);
        }
    }
}
