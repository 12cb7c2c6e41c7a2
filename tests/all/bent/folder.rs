//! A whole site folder in one file, run through everything that the program does with one, into memory.
//!
//! The parts stand behind lines `==== NAME`: site.toml first, then the surveys it names; the surveys behind `==== after NAME` are a later survey of the same pipe.
//! A line `==== sizes` asks for the sizes side by side too.

use super::readers::fit_to_be_shown;
use serde_json::Value;
use steadyfall::compare::{self, AlignOptions};
use steadyfall::export;
use steadyfall::folder::ResultFile;
use steadyfall::reading::{ReadOptions, Reading};
use steadyfall::report::account::{Report, StormReport, SurveyReport};
use steadyfall::route::{Route, RouteOptions};
use steadyfall::site::{self, Site};
use steadyfall::study::{self, Study, read_route_from};
use steadyfall::survey;
use steadyfall::terminal::look::Look;
use steadyfall::text::{Fault, Place};
use steadyfall::{json, line, size, terminal};

struct Parts<'a> {
    site: &'a str,
    surveys: Vec<(&'a str, &'a str)>,
    after: Vec<(&'a str, &'a str)>,
    sizes: bool,
}

impl<'a> Parts<'a> {
    fn of(text: &'a str) -> Option<Self> {
        let mut out = Self {
            site: "",
            surveys: Vec::new(),
            after: Vec::new(),
            sizes: false,
        };
        let text = text.strip_prefix("==== ")?;
        for part in text.split("\n==== ") {
            let (name, body) = part.split_once('\n').unwrap_or((part, ""));
            match name.trim() {
                "site.toml" => out.site = body,
                "sizes" => out.sizes = true,
                name => match name.strip_prefix("after ") {
                    Some(name) => out.after.push((name, body)),
                    None => out.surveys.push((name, body)),
                },
            }
        }
        Some(out)
    }

    /// The survey of a name; where none has it, the first: a bent name must not end the run at the door.
    fn survey(&self, name: &str) -> Option<&'a str> {
        self.surveys
            .iter()
            .find(|(n, _)| *n == name)
            .or(self.surveys.first())
            .map(|s| s.1)
    }
}

/// Any site folder: judged with figures that are figures and files that are whole, or refused with a word.
pub fn folder(bytes: &[u8]) {
    let text = String::from_utf8_lossy(bytes);
    let Some(parts) = Parts::of(&text) else {
        return;
    };
    let site = match site::read_text("site.toml", parts.site) {
        Ok(site) => site,
        Err(faults) => {
            assert!(!faults.is_empty(), "refused without a word");
            return faults.iter().for_each(fit_to_be_shown);
        }
    };
    if let Err(faults) = judge(&site, &parts, &text) {
        assert!(!faults.is_empty(), "refused without a word");
        faults.iter().for_each(fit_to_be_shown);
    }
}

fn judge(site: &Site, parts: &Parts<'_>, input: &str) -> Result<(), Vec<Fault>> {
    let units = site.units.unwrap_or_default();
    let one = |fault: Fault| vec![fault];
    let route = read_route_from(site, &|path, kind, options| {
        let name = path.to_string_lossy();
        let body = parts
            .survey(&name)
            .ok_or_else(|| Fault::new(Place::file(name.clone()), "the folder lacks this survey"))?;
        survey::read_bytes(body.as_bytes(), &name, kind, options)
    })
    .map_err(one)?;
    let alone = SurveyReport::of(
        study::survey(route.clone(), study::BORE_WITHOUT_PIPE_M),
        "alone".to_owned(),
        units,
    );
    sound(&export::survey_sheets(&alone).map_err(one)?, input);
    readable(&terminal::of_survey(&alone, &Look::default()), input);

    let laid = line::build(site, &route)?;
    if parts.sizes {
        let options = size::SizeOptions {
            of: None,
            show: 3,
            march: true,
        };
        if let Ok(sizes) = size::study(&laid, &options) {
            figures(&json::rounded(json::size::value(&sizes, &laid)), "$");
            readable(
                &terminal::size::text(
                    &sizes,
                    &steadyfall::text::neutral(&laid.heading.title),
                    &laid,
                    units,
                    &Look::default(),
                ),
                input,
            );
        }
    }
    let before = Report::of(Study::of(route.clone(), laid), units);
    sound(&export::sheets(&before).map_err(one)?, input);
    readable(&terminal::of_check(&before, &Look::default()), input);
    if parts.after.is_empty() {
        return Ok(());
    }

    let along_slope = site.survey.taped.map(|t| t == site::Taped::Slope);
    let readings: Vec<Reading> = parts
        .after
        .iter()
        .map(|(name, body)| {
            let options = ReadOptions {
                along_slope,
                ..ReadOptions::default()
            };
            survey::read_bytes(body.as_bytes(), name, None, &options)
        })
        .collect::<Result<_, Fault>>()
        .map_err(one)?;
    let options = RouteOptions {
        along_slope,
        ..RouteOptions::default()
    };
    let resurvey = Route::from(&readings, &options).map_err(one)?;
    let options = AlignOptions {
        same_heights: site.survey.ties.len() > 1,
        ..AlignOptions::default()
    };
    let Ok(alignment) = compare::align(&route, &resurvey, &options) else {
        return Ok(());
    };
    let lies = compare::laid_on(&route, &resurvey, &alignment);
    let after_line = line::build(site, &lies)?;
    let after = Report::of(Study::of(lies, after_line), units);
    let Ok(compared) = compare::compared(&before.study, &after.study, &resurvey, &options) else {
        return Ok(());
    };
    let storm = StormReport::of(before, after, compared);
    sound(&export::storm_sheets(&storm).map_err(one)?, input);
    readable(&terminal::of_storm(&storm, &Look::default()), input);
    Ok(())
}

/// Every file of a folder: figures that are figures, markup that closes.
fn sound(sheets: &[ResultFile], input: &str) {
    for (name, bytes) in sheets {
        let text = std::str::from_utf8(bytes).unwrap_or_else(|e| panic!("{name}: {e}"));
        match name.rsplit('.').next() {
            Some("json" | "geojson") => {
                let value: Value =
                    serde_json::from_str(text).unwrap_or_else(|e| panic!("{name}: {e}"));
                figures(&value, name);
            }
            Some("svg" | "gpx" | "kml") => closes(name, text),
            _ => {}
        }
        numbers(name, text, input);
    }
}

/// No figure is missing, and none is a negative zero.
pub fn figures(value: &Value, at: &str) {
    match value {
        Value::Null => panic!("{at} is null"),
        Value::Number(n) => {
            let number = n.as_f64().unwrap_or(f64::NAN);
            assert!(number.is_finite(), "{at} is {n}");
            assert!(number != 0.0 || number.is_sign_positive(), "{at} is -0");
        }
        Value::Array(list) => list
            .iter()
            .enumerate()
            .for_each(|(i, v)| figures(v, &format!("{at}[{i}]"))),
        Value::Object(map) => map
            .iter()
            .for_each(|(k, v)| figures(v, &format!("{at}.{k}"))),
        _ => {}
    }
}

/// Every element that opens is closed.
pub fn closes(name: &str, text: &str) {
    let mut reader = quick_xml::Reader::from_str(text);
    let mut open = 0_usize;
    loop {
        match reader.read_event() {
            Ok(quick_xml::events::Event::Start(_)) => open += 1,
            Ok(quick_xml::events::Event::End(_)) => open -= 1,
            Ok(quick_xml::events::Event::Eof) => break,
            Ok(_) => {}
            Err(error) => panic!("{name}: {error}"),
        }
    }
    assert_eq!(open, 0, "{name} is cut");
}

/// Nothing that is no number is printed as one; words of the input may hold the letters.
pub fn numbers(name: &str, text: &str, input: &str) {
    for word in ["NaN", "inf"] {
        let named = input
            .to_ascii_lowercase()
            .contains(&word.to_ascii_lowercase());
        let stands = |at: usize| {
            let letter = |c: Option<char>| c.is_some_and(char::is_alphanumeric);
            let (before, after) = (
                text[..at].chars().next_back(),
                text[at + word.len()..].chars().next(),
            );
            !letter(before) && !letter(after)
        };
        if !named && let Some((at, _)) = text.match_indices(word).find(|(at, _)| stands(*at)) {
            let from = text[..at].char_indices().rev().nth(60).map_or(0, |c| c.0);
            panic!(
                "{name} prints what is no number: {}",
                &text[from..at + word.len()]
            );
        }
    }
}

/// What the terminal shows: numbers, and nothing that steers it.
fn readable(text: &str, input: &str) {
    assert!(
        !text.chars().any(|c| c.is_control() && c != '\n'),
        "the terminal is steered: {text:?}"
    );
    numbers("the terminal", text, input);
}
