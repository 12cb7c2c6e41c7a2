use super::{as_built, dxf, laying, places, shopping, stakes, stations};
use crate::drawing;
use crate::drawing::{LongSection, PaperSize, PlanView};
use crate::folder::ResultFile;
use crate::report::account::{Report, StormReport, SurveyReport};
use crate::text::Fault;
use crate::view::moved::overlay;
use crate::view::{plan as plan_view, section};
use crate::{html as page, json};

/// Every file of a check's folder. A file whose content was not computed is not there.
///
/// # Errors
/// Where a file could not be made.
pub fn sheets(account: &Report) -> Result<Vec<ResultFile>, Fault> {
    let say = account.say();
    let line = &account.study.line;
    let mut out: Vec<ResultFile> = vec![("stations.csv".into(), stations::of_check(account)?)];
    let centre: Vec<(f64, f64, f64)> = line
        .geometry
        .plan
        .iter()
        .zip(&line.geometry.heights.mean_m)
        .filter_map(|(plan, z)| {
            plan.and_then(|p| p.lat_lon_deg)
                .map(|(lat, lon)| (lat, lon, *z))
        })
        .collect();
    out.extend(
        places::gpx(&line.heading.title, &account.marks, say)?
            .map(|bytes| ("marks.gpx".to_owned(), bytes)),
    );
    out.extend(
        places::geojson(&line.heading.title, &account.marks, &centre, say)
            .map(|bytes| ("marks.geojson".to_owned(), bytes)),
    );
    out.extend(
        places::kml(&line.heading.title, &account.marks, &centre, say)
            .map(|bytes| ("marks.kml".to_owned(), bytes)),
    );
    out.extend(drawings(
        &section::of_check(account),
        plan_view::of_check(account).as_ref(),
        account.paper,
    ));
    out.extend(as_built::sheet(account)?.map(|b| ("as-built.csv".to_owned(), b)));
    out.extend(stakes::sheet(&account.study.regrade, say)?.map(|b| ("stakes.csv".to_owned(), b)));
    if let Some(laying) = &account.study.laying {
        out.extend(shopping::sheet(laying, say)?.map(|b| ("shopping.csv".to_owned(), b)));
        out.extend(laying::sheet(account)?.map(|b| ("laying.csv".to_owned(), b)));
    }
    out.push(("report.html".into(), page::of_check(account).into_bytes()));
    out.push((
        "result.json".into(),
        json::printed(&json::of_check(account)).into_bytes(),
    ));
    Ok(out)
}

/// Every file of a survey's folder.
///
/// # Errors
/// Where a file could not be made.
pub fn survey_sheets(account: &SurveyReport) -> Result<Vec<ResultFile>, Fault> {
    let mut out: Vec<ResultFile> = vec![("stations.csv".into(), stations::of_survey(account)?)];
    out.extend(drawings(
        &section::of_survey(account),
        plan_view::of_survey(account).as_ref(),
        account.paper,
    ));
    out.push(("report.html".into(), page::of_survey(account).into_bytes()));
    out.push((
        "result.json".into(),
        json::printed(&json::of_survey(account)).into_bytes(),
    ));
    Ok(out)
}

/// The drawings as files: profile.svg (and profile-2.svg and on for a long line), plan.svg, and both in true units as DXF.
fn drawings(section: &LongSection, plan: Option<&PlanView>, paper: PaperSize) -> Vec<ResultFile> {
    let mut out: Vec<ResultFile> = drawing::profile(section, paper)
        .iter()
        .enumerate()
        .map(|(i, p)| {
            let name = match i {
                0 => "profile.svg".to_owned(),
                _ => format!("profile-{}.svg", i + 1),
            };
            (name, drawing::svg(&p.sheet).into_bytes())
        })
        .collect();
    out.extend(
        drawing::rises(section, paper)
            .iter()
            .enumerate()
            .map(|(i, s)| {
                let name = match i {
                    0 => "rises.svg".to_owned(),
                    _ => format!("rises-{}.svg", i + 1),
                };
                (name, drawing::svg(s).into_bytes())
            }),
    );
    out.extend(
        plan.and_then(|view| drawing::plan(view, paper))
            .map(|sheet| ("plan.svg".to_owned(), drawing::svg(&sheet).into_bytes())),
    );
    out.extend(dxf::section(section).map(|bytes| ("profile.dxf".to_owned(), bytes)));
    out.extend(plan.map(|view| {
        let heights = (&section.station_m[..], &section.elevation_m[..]);
        ("plan.dxf".to_owned(), dxf::plan(view, heights))
    }));
    out
}

/// Every file of a comparison's folder.
///
/// # Errors
/// Where a file could not be made.
pub fn storm_sheets(account: &StormReport) -> Result<Vec<ResultFile>, Fault> {
    let mut out = sheets(&account.after)?;
    // What speaks of both surveys takes the place of what speaks of the later one alone.
    out.retain(|(name, _)| {
        !matches!(
            name.as_str(),
            "result.json" | "shopping.csv" | "laying.csv" | "report.html"
        ) && !name.starts_with("profile")
            && !name.starts_with("rises")
    });
    out.extend(drawings(
        &section::of_storm(account),
        None,
        account.after.paper,
    ));
    out.extend(overlay(account).into_iter().enumerate().map(|(i, sheet)| {
        let name = match i {
            0 => "moved.svg".to_owned(),
            _ => format!("moved-{}.svg", i + 1),
        };
        (name, drawing::svg(&sheet).into_bytes())
    }));
    out.push(("report.html".into(), page::of_storm(account).into_bytes()));
    out.push((
        "result.json".into(),
        json::printed(&json::of_storm(account)).into_bytes(),
    ));
    Ok(out)
}
