use super::Trouble;
use super::arguments::{Pipes, UnitsWord};
use super::exit::print;
use crate::pipe::{self, Pipe, SizeTrap, size_trap};
use crate::report::Columns;
use crate::unit::{Figure, Quantity, Units};
use std::process::ExitCode;

/// Lists and searches the catalogue.
pub fn run(arguments: &Pipes) -> Result<ExitCode, Trouble> {
    let words = arguments.words.join(" ");
    let found: Vec<&Pipe> = pipe::search(&words)
        .into_iter()
        .filter(|p| !arguments.verified || !unverified(p))
        .collect();
    if arguments.json {
        let rows: Vec<serde_json::Value> = found.iter().map(|p| row_json(p)).collect();
        print(&serde_json::to_string_pretty(&rows).map_err(|e| Trouble::other(e.to_string()))?)?;
        return Ok(ExitCode::SUCCESS);
    }
    if found.is_empty() {
        print(&format!(
            "No row of the catalogue has \"{}\".\nTry fewer words: a material (PE100, PVC, steel), a series (SDR 11, PN 16, schedule 40) or a size (110, 4 in).",
            crate::text::neutral(&words)
        ))?;
        return Ok(ExitCode::SUCCESS);
    }
    let units = match arguments.units {
        Some(UnitsWord::Us) => Units::Us,
        Some(UnitsWord::Metric) => Units::Metric,
        None => Units::Metric,
    };
    print(&table(&found, units))?;
    Ok(ExitCode::SUCCESS)
}

fn unverified(pipe: &Pipe) -> bool {
    pipe.how_dims.is_unverified() || pipe.how_rating.is_unverified()
}

fn table(found: &[&Pipe], units: Units) -> String {
    let show = |quantity, value| Figure::new(quantity, value).show(units);
    let mut columns = Columns::new(&[
        "pipe",
        ">outside",
        ">wall",
        ">bore",
        ">may take",
        ">mass",
        "standard",
        "",
    ]);
    let mut doubtful = 0;
    for pipe in found {
        let mark = if pipe.refused.is_some() {
            "not pressure pipe"
        } else if unverified(pipe) {
            doubtful += 1;
            "*"
        } else {
            ""
        };
        columns.row([
            pipe.spec.clone(),
            show(Quantity::Bore, pipe.outer_diameter_m),
            show(Quantity::Bore, pipe.wall_m),
            show(Quantity::Bore, pipe.inner_diameter_m),
            pipe.rating_pa
                .map_or_else(|| "-".to_owned(), |pa| show(Quantity::Pressure, pa)),
            show(Quantity::MassPerLength, pipe.mass_kg_per_m),
            pipe.standard.clone(),
            mark.to_owned(),
        ]);
    }
    let mut out = columns.text(0);
    out.push_str(&format!("\n{} rows. The wall is the least allowed, the bore the one to compute with; \"may take\" holds at the standard's own temperature.\n", found.len()));
    out.push_str(&traps(found, units));
    if doubtful > 0 {
        out.push_str(&format!("* {doubtful} rows are not verified against their standard: check the marking on the pipe (--verified leaves them out).\n"));
    }
    out
}

/// What misleads in the names of sizes that were listed, each told once with the first pipe it holds for.
fn traps(found: &[&Pipe], units: Units) -> String {
    let mut told: [Option<String>; 4] = [const { None }; 4];
    let show = |m| Figure::new(Quantity::Bore, m).show(units);
    for pipe in found {
        let (slot, text) = match size_trap(pipe) {
            Some(SizeTrap::InchName {
                nominal_in,
                outside_m,
            }) => (
                0,
                format!(
                    "A size in inches is a name: {nominal_in} in pipe measures {} outside.",
                    show(outside_m)
                ),
            ),
            Some(SizeTrap::OutsideNotBore { bore_m }) => (
                1,
                format!(
                    "DN/OD is the outside: the bore of {} is {}.",
                    pipe.spec,
                    show(bore_m)
                ),
            ),
            Some(SizeTrap::SteelName { outside_m }) => (
                2,
                format!(
                    "NPS and DN of steel are names: {} measures {} outside.",
                    pipe.size_label,
                    show(outside_m)
                ),
            ),
            Some(SizeTrap::InsideOnly) => (
                3,
                "SIDR pipe is made to its inside: only insert fittings of its own size fit."
                    .to_owned(),
            ),
            None => continue,
        };
        if let Some(place) = told.get_mut(slot) {
            place.get_or_insert(text);
        }
    }
    told.into_iter().flatten().map(|t| t + "\n").collect()
}

fn row_json(pipe: &Pipe) -> serde_json::Value {
    crate::report::json::rounded(serde_json::json!({
        "id": pipe.id, "spec": pipe.spec, "standard": pipe.standard, "grade": pipe.grade, "size": pipe.size_label, "series": pipe.series,
        "outer_diameter_m": pipe.outer_diameter_m, "wall_m": pipe.wall_m, "inner_diameter_m": pipe.inner_diameter_m,
        "rating_pa": pipe.rating_pa, "rating_basis": pipe.rating_basis, "rating_temp_c": pipe.rating_temp_c, "mass_kg_per_m": pipe.mass_kg_per_m,
        "verified": !unverified(pipe), "refused": pipe.refused, "source": pipe.source, "note": pipe.note,
    }))
}
