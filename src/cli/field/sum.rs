//! What the walks so far can show, and what one more would bring: the survey's own doubt.

use super::track::HEIGHTS;
use crate::form;
use crate::form::SiteOptions;
use crate::numeric::series;
use crate::report;
use crate::report::account::SurveyReport;
use crate::study::{self, BORE_WITHOUT_PIPE_M};
use crate::text::Faults;
use crate::unit::{Figure, Quantity, Units};
use crate::words::typeset;
use serde_json::{Value, json};
use std::path::PathBuf;

/// The survey in short, with what one more walk gives.
pub fn of(files: &[PathBuf], units: Units) -> Result<Value, Faults> {
    let site = form::from_options(&SiteOptions {
        files: files.iter().map(|f| f.display().to_string()).collect(),
        ..SiteOptions::default()
    })?;
    let route = study::read_route(&site).map_err(|fault| units.fault(fault))?;
    let walks = route.passes;
    let heights = &route.heights.mean_m;
    let (drop_m, drop_sd_m) = (
        series::first(heights) - series::last(heights),
        route.heights.drop_sd_m,
    );
    let tells = route.more_walks_tell();
    let title = String::new();
    let account = SurveyReport::of(study::survey(route, BORE_WITHOUT_PIPE_M), title, units);
    let mut said = vec![format!(
        "{} the elevation difference: {}.",
        if walks == 1 {
            "1 walk gives".to_owned()
        } else {
            format!("{walks} walks give")
        },
        figure(drop_m, drop_sd_m, units)
    )];
    if tells && walks > 0 {
        // The errors of walks are independent, so their mean narrows by the root of their number.
        let one_more = drop_sd_m * (walks as f64 / (walks as f64 + 1.0)).sqrt();
        said.push(format!(
            "With one more walk: about {}.",
            figure(drop_m, one_more, units)
        ));
    }
    said.extend(mixed(files));
    let mut brief = report::brief::of_survey(&account);
    if let Some(brief) = brief.as_object_mut() {
        brief.insert("said".to_owned(), json!(said));
        brief.insert("walks".to_owned(), json!(walks));
    }
    Ok(brief)
}

fn figure(drop_m: f64, sd_m: f64, units: Units) -> String {
    typeset(&Figure::new(Quantity::Head, drop_m).sd(sd_m).show(units))
}

/// What is to be said where the walks were recorded by phones that count heights from different surfaces.
fn mixed(files: &[PathBuf]) -> Option<String> {
    let texts: Vec<String> = files
        .iter()
        .filter_map(|f| std::fs::read_to_string(f).ok())
        .collect();
    let kinds = HEIGHTS
        .iter()
        .filter(|(_, words)| texts.iter().any(|t| t.contains(words)))
        .count();
    (kinds > 1).then(|| {
        "These walks are from two kinds of phone. Their heights count from different surfaces: compare the shapes, not the heights.".to_owned()
    })
}
