use super::{Site, read_text};
use crate::text::{Fault, Place};
use crate::unit::{Misread, QuantityKind, Units, parse};
use std::fmt::Write as _;

/// A site as options of the command line give it: what `check FILE... --pipe ... --jets ...` says.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Wish {
    /// Survey files, as they are to stand in the text.
    pub files: Vec<String>,
    /// Title.
    pub title: Option<String>,
    /// How results are shown.
    pub units: Option<Units>,
    /// Kind of survey.
    pub kind: Option<String>,
    /// How the tape lay.
    pub taped: Option<String>,
    /// Which end comes first.
    pub from: Option<String>,
    /// Pipes in order, each in words of the catalogue; all but the last with an end: "PE100 SDR17 110 to 330 m".
    pub pipes: Vec<String>,
    /// Jets: "4 x 9 mm", "9 mm", "2 x 9 mm, 1 x 8 mm".
    pub jets: Option<String>,
    /// Still water above the pipe's centre at its mouth.
    pub water_level: Option<String>,
}

/// The text of the site file that says the same as the options, and the site it reads as.
pub fn from_options(wish: &Wish) -> Result<(String, Site), Vec<Fault>> {
    let text = options_text(wish).map_err(|fault| vec![fault])?;
    let site = read_text("", &text)?;
    Ok((text, site))
}

/// The text of the site file that says the same as the options.
pub fn options_text(wish: &Wish) -> Result<String, Fault> {
    let mut out = String::from(
        "# Made from the options of the command line. Add to it and run `check` on it.\nformat = 1\n",
    );
    let mut line = |words: String| {
        out.push_str(&words);
        out.push('\n');
    };
    if let Some(title) = &wish.title {
        line(format!("title = {}", quoted(title)));
    }
    if let Some(units) = wish.units {
        let word = match units {
            Units::Metric => "metric",
            Units::Us => "us",
        };
        line(format!("units = \"{word}\""));
    }
    let files: Vec<String> = wish.files.iter().map(|f| quoted(f)).collect();
    line(format!("\n[survey]\nfiles = [{}]", files.join(", ")));
    for (key, value) in [
        ("kind", &wish.kind),
        ("from", &wish.from),
        ("taped", &wish.taped),
    ] {
        if let Some(value) = value {
            line(format!("{key} = {}", quoted(value)));
        }
    }
    if let Some(level) = &wish.water_level {
        parse(QuantityKind::Length, level).map_err(|m| at_option(m, "--water-level"))?;
        line(format!("\n[intake]\nwater_level = {}", quoted(level)));
    }
    for (i, pipe) in wish.pipes.iter().enumerate() {
        line(format!(
            "\n[[pipe]]\n{}",
            pipe_lines(pipe, i + 1 == wish.pipes.len())?
        ));
    }
    if let Some(jets) = &wish.jets {
        line(format!("\n{}", jets_lines(jets)?));
    }
    Ok(out)
}

/// A fault of an option.
fn at_option(misread: Misread, option: &str) -> Fault {
    let mut fault = misread.at(Place::default().key(option));
    fault.text = format!("{option}: {}", fault.text).into();
    fault
}

/// "PE100 SDR17 110 to 330 m".
fn pipe_lines(words: &str, is_last: bool) -> Result<String, Fault> {
    let (spec, end) = match words.rsplit_once(" to ") {
        Some((spec, end)) => (spec.trim(), Some(end.trim())),
        None => (words.trim(), None),
    };
    let fault = |text: &str| {
        Fault::new(Place::default().key("--pipe"), format!("--pipe: {text}"))
            .found(words)
            .expected(
                "words of the catalogue, with \"to\" and a station where another pipe follows",
            )
            .advice(
                "write for example --pipe \"PE100 SDR17 110 to 330 m\" --pipe \"PE100 SDR11 110\"",
            )
    };
    if spec.is_empty() {
        return Err(fault("no pipe is named"));
    }
    if end.is_none() && !is_last {
        return Err(fault("another pipe follows, so this one needs its end"));
    }
    if let Some(end) = end {
        parse(QuantityKind::Station, end).map_err(|m| at_option(m, "--pipe"))?;
    }
    let mut out = format!("spec = {}", quoted(spec));
    if let Some(end) = end {
        let _ = write!(out, "\nto = {}", quoted(end));
    }
    Ok(out)
}

/// "4 x 9 mm" in the short form; several groups as one table a jet.
fn jets_lines(words: &str) -> Result<String, Fault> {
    let groups: Vec<&str> = words.split(',').map(str::trim).collect();
    let mut jets = Vec::new();
    for group in &groups {
        let (count, size) = match group.split_once(['x', 'X', '\u{d7}', '*']) {
            Some((count, size)) => (count.trim(), size.trim()),
            None => ("1", *group),
        };
        let count = match crate::text::whole_number(count) {
            Ok(n) if (1..=24).contains(&n) => n,
            _ => {
                return Err(Fault::new(
                    Place::default().key("--jets"),
                    "--jets: not a number of jets",
                )
                .found(words)
                .expected("a number from 1 to 24, then x and the diameter of the hole")
                .advice("write for example --jets \"4 x 9 mm\""));
            }
        };
        parse(QuantityKind::Length, size).map_err(|m| at_option(m, "--jets"))?;
        jets.push((count, size));
    }
    if let [(count, size)] = jets.as_slice() {
        return Ok(format!(
            "[turbine]\njets = {count}\nnozzle_diameter = {}",
            quoted(size)
        ));
    }
    let mut out = String::new();
    for (count, size) in jets {
        for _ in 0..count {
            let _ = writeln!(out, "[[jet]]\nnozzle_diameter = {}", quoted(size));
        }
    }
    Ok(out)
}

/// A text as TOML writes it in quotes.
fn quoted(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 2);
    out.push('"');
    for c in text.chars() {
        match c {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            c if c.is_control() => {
                let _ = write!(out, "\\u{:04X}", u32::from(c));
            }
            c => out.push(c),
        }
    }
    out.push('"');
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::site::{At, WaterWay};
    use crate::unit::OnPegs;
    use proptest::prelude::*;

    fn wish() -> Wish {
        Wish {
            files: vec!["walk \"one\".gpx".to_owned(), r"C:\maps\two.gpx".to_owned()],
            title: Some("walk".to_owned()),
            units: Some(Units::Us),
            pipes: vec![
                "PE100 SDR17 110 to 330 m".to_owned(),
                "PE100 SDR11 110".to_owned(),
            ],
            jets: Some("4 x 9 mm".to_owned()),
            water_level: Some("0.6 m".to_owned()),
            ..Wish::default()
        }
    }

    #[test]
    fn the_text_reads_back_as_what_was_said() {
        let (text, site) = from_options(&wish()).unwrap();
        assert_eq!(read_text("", &text).unwrap(), site);
        let files: Vec<&str> = site.survey.files.iter().map(|f| f.value.as_str()).collect();
        assert_eq!(files, ["walk \"one\".gpx", r"C:\maps\two.gpx"]);
        assert_eq!(site.units, Some(Units::Us));
        assert_eq!(site.intake.unwrap().water_level_m, Some(0.6));
        assert_eq!(site.pipes.len(), 2);
        assert_eq!(
            site.pipes[0].spec.as_ref().unwrap().value,
            "PE100 SDR17 110"
        );
        assert_eq!(
            site.pipes[0].to.as_ref().unwrap().value,
            At::Station(OnPegs(330.0))
        );
        assert!(
            matches!(site.turbine.unwrap().way, WaterWay::Jets(j) if j.len() == 4 && j[0].nozzle_diameter_m == 0.009)
        );
    }

    #[test]
    fn jets_in_other_forms() {
        for (words, sizes) in [
            ("9 mm", vec![0.009]),
            ("2x1/4 in", vec![0.00635; 2]),
            ("2 \u{d7} 9 mm, 8 mm", vec![0.009, 0.009, 0.008]),
        ] {
            let wish = Wish {
                jets: Some(words.to_owned()),
                ..wish()
            };
            let WaterWay::Jets(jets) = from_options(&wish).unwrap().1.turbine.unwrap().way else {
                panic!("jets")
            };
            let got: Vec<f64> = jets.iter().map(|j| j.nozzle_diameter_m).collect();
            assert_eq!(got, sizes, "{words}");
        }
    }

    #[test]
    fn a_bad_option_is_named() {
        for (change, first) in [
            (
                Wish {
                    jets: Some("4 x 9".to_owned()),
                    ..wish()
                },
                "command line: --jets: a length needs its unit",
            ),
            (
                Wish {
                    jets: Some("four x 9 mm".to_owned()),
                    ..wish()
                },
                "command line: --jets: not a number of jets",
            ),
            (
                Wish {
                    water_level: Some("0.6".to_owned()),
                    ..wish()
                },
                "command line: --water-level: a length needs its unit",
            ),
            (
                Wish {
                    pipes: vec!["a".to_owned(), "b".to_owned()],
                    ..wish()
                },
                "command line: --pipe: another pipe follows, so this one needs its end",
            ),
            (
                Wish {
                    pipes: vec!["a to 3 bar".to_owned()],
                    ..wish()
                },
                "command line: --pipe: a pressure stands where a station belongs",
            ),
            (
                Wish {
                    files: Vec::new(),
                    ..wish()
                },
                "command line:7:9: no file is named",
            ),
        ] {
            let faults = from_options(&change).unwrap_err();
            assert_eq!(faults[0].to_string().lines().next().unwrap(), first);
        }
    }

    proptest! {
        #[test]
        fn any_file_name_comes_back(name in "\\PC{0,20}[a-z]\\PC{0,3}") {
            let wish = Wish { files: vec![name.clone()], ..wish() };
            let site = from_options(&wish).unwrap().1;
            prop_assert_eq!(&site.survey.files[0].value, &name);
        }

        #[test]
        fn no_option_panics(pipe in "\\PC{0,20}", jets in "[0-9x ,m.\\PC]{0,12}", level in "\\PC{0,10}") {
            let _ = from_options(&Wish { pipes: vec![pipe], jets: Some(jets), water_level: Some(level), ..wish() });
        }
    }
}
