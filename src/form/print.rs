use crate::site::{DeclaredJet, DeclaredPlace, PipeRun, Site, WaterWay, words as w};
use crate::unit::{QuantityKind, parse};
use std::fmt::Write as _;

/// The text of a site file that declares the same: of a site that was made from options, which says no more than options can.
pub fn options_text(site: &Site) -> String {
    let mut out = String::from(
        "# Made from the options of the command line. Add your data to it, then run `check` on it.\nformat = 1\n",
    );
    let mut line = |words: String| {
        out.push_str(&words);
        out.push('\n');
    };
    if let Some(title) = &site.title {
        line(format!("title = {}", quoted(title)));
    }
    if let Some(units) = site.units {
        line(format!(
            "units = {}",
            word(crate::unit::Units::WORDS, &units)
        ));
    }
    let survey = &site.survey;
    let files: Vec<String> = survey.files.iter().map(|f| quoted(&f.value)).collect();
    line(format!("\n[survey]\nfiles = [{}]", files.join(", ")));
    let said = [
        ("kind", survey.kind.map(|k| word(w::SURVEY_KINDS, &k))),
        (
            "from",
            survey
                .from
                .map(|f| word(crate::site::DeclaredEnd::WORDS, &f)),
        ),
        (
            "taped",
            survey.taped.map(|t| word(crate::site::Taped::WORDS, &t)),
        ),
    ];
    let logs = [
        ("pressure_log", &survey.pressure_log),
        ("base_log", &survey.base_log),
    ];
    let logs = logs.map(|(key, file)| (key, file.as_ref().map(|f| quoted(&f.value))));
    for (key, value) in said.into_iter().chain(logs) {
        if let Some(value) = value {
            line(format!("{key} = {value}"));
        }
    }
    if let Some(barometer) = survey.barometer {
        line(format!("barometer = {barometer}"));
    }
    if let Some(level_m) = site.intake.as_ref().and_then(|i| i.water_level_m) {
        line(format!(
            "\n[intake]\nwater_level = {}",
            told(QuantityKind::Length, level_m)
        ));
    }
    for pipe in &site.pipes {
        line(pipe_lines(pipe));
    }
    if let Some(WaterWay::Jets(jets)) = site.turbine.as_ref().map(|t| &t.way) {
        line(jets_lines(jets));
    }
    out
}

fn pipe_lines(pipe: &PipeRun) -> String {
    let mut out = String::from("\n[[pipe]]");
    if let Some(spec) = &pipe.spec {
        let _ = write!(out, "\nspec = {}", quoted(&spec.value));
    }
    if let Some(to) = &pipe.to {
        let to = match &to.value {
            DeclaredPlace::Station(on_pegs) => told(QuantityKind::Station, on_pegs.0),
            at => quoted(&at.told().to_string()),
        };
        let _ = write!(out, "\nto = {to}");
    }
    out
}

/// Equal jets in the short form; others as one table a jet.
fn jets_lines(jets: &[DeclaredJet]) -> String {
    let size = |jet: &DeclaredJet| told(QuantityKind::Length, jet.nozzle_diameter_m);
    match jets {
        [first, rest @ ..] if rest.iter().all(|j| size(j) == size(first)) => format!(
            "\n[turbine]\njets = {}\nnozzle_diameter = {}",
            jets.len(),
            size(first)
        ),
        _ => jets.iter().fold(String::new(), |mut out, jet| {
            let _ = write!(out, "\n[[jet]]\nnozzle_diameter = {}\n", size(jet));
            out
        }),
    }
}

/// A length or station in the unit in which it is shortest and reads back as the very same figure.
fn told(kind: QuantityKind, si_m: f64) -> String {
    let exact = format!("{si_m} m");
    let short = [("mm", 1e-3), ("m", 1.0), ("in", 0.0254), ("ft", 0.3048)]
        .into_iter()
        .map(|(unit, unit_m)| format!("{} {unit}", (si_m / unit_m * 1e6).round() / 1e6))
        .filter(|text| parse(kind, text).is_ok_and(|m| m.to_bits() == si_m.to_bits()))
        .min_by_key(String::len);
    quoted(&short.unwrap_or(exact))
}

/// The first word that means this.
fn word<T: PartialEq>(words: &[(&str, T)], meant: &T) -> String {
    let named = words.iter().find(|(_, value)| value == meant);
    quoted(named.map_or("", |(word, _)| *word))
}

/// A text as TOML writes it in quotes.
pub(super) fn quoted(text: &str) -> String {
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
