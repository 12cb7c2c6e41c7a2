use super::CliError;
use super::arguments::{PipesArguments, UnitsWord};
use super::exit::print;
use super::screen::look;
use crate::pipe::{self, Pipe, SizeTrap, size_trap};
use crate::terminal::Columns;
use crate::terminal::look::Look;
use crate::unit::{Figure, Quantity, Units};
use std::process::ExitCode;

/// Lists and searches the catalogue.
pub fn run(arguments: &PipesArguments) -> Result<ExitCode, CliError> {
    let words = arguments.words.join(" ");
    let found: Vec<&Pipe> = pipe::search(&words)
        .into_iter()
        .filter(|p| !arguments.verified || !unverified(p))
        .collect();
    let units = match arguments.units {
        Some(UnitsWord::Us) => Units::Us,
        Some(UnitsWord::Metric) => Units::Metric,
        None => Units::Metric,
    };
    if arguments.json {
        let rows: Vec<serde_json::Value> = found.iter().map(|p| row_json(p, units)).collect();
        print(&serde_json::to_string_pretty(&rows).map_err(|e| CliError::other(e.to_string()))?)?;
        return Ok(ExitCode::SUCCESS);
    }
    if found.is_empty() {
        print(&format!(
            "No row of the catalogue has \"{}\".\nUse fewer words: a material (PE100, PVC, steel), a series (SDR 11, PN 16, schedule 40) or a size (110, 4 in).",
            crate::text::neutral(&words)
        ))?;
        return Ok(ExitCode::SUCCESS);
    }
    print(&table(&found, units, &look()))?;
    Ok(ExitCode::SUCCESS)
}

/// What is said of a row whose figures were not read in its standard.
const UNVERIFIED: &str = "not verified against the standard: check the marking on the pipe";

fn unverified(pipe: &Pipe) -> bool {
    pipe.how_dims.is_unverified() || pipe.how_rating.is_unverified()
}

fn table(found: &[&Pipe], units: Units, look: &Look) -> String {
    // A pipe that must not be used is listed so that its name is recognised; what its document does not fix stays open.
    let known = |quantity, value: Option<f64>| {
        value
            .filter(|v| *v > 0.0)
            .map_or_else(|| "-".to_owned(), |v| Figure::new(quantity, v).show(units))
    };
    let mut columns = Columns::new(&[
        "pipe",
        "",
        ">outside",
        ">wall",
        ">bore",
        ">allowable",
        ">mass",
        "standard",
    ]);
    let (mut doubtful, mut refused) = (0, 0);
    for pipe in found {
        let mark = if pipe.refused.is_some() {
            refused += 1;
            "x"
        } else if unverified(pipe) {
            doubtful += 1;
            "*"
        } else {
            ""
        };
        columns.row([
            pipe.spec.clone(),
            mark.to_owned(),
            known(Quantity::Bore, Some(pipe.outer_diameter_m)),
            known(Quantity::Bore, Some(pipe.wall_m)),
            known(Quantity::Bore, Some(pipe.inner_diameter_m)),
            known(Quantity::Pressure, pipe.rating_pa),
            known(Quantity::MassPerLength, Some(pipe.mass_kg_per_m)),
            pipe.standard.clone(),
        ]);
    }
    let parts: Vec<String> = columns
        .parts(0, look.width, 2)
        .iter()
        .map(|part| part.text(0))
        .collect();
    let mut out = parts.join("\n");
    let rows = |n: usize| {
        if n == 1 {
            "1 row".to_owned()
        } else {
            format!("{n} rows")
        }
    };
    out.push('\n');
    let mut say = |words: &str| out.push_str(&look.wrapped(words, 0, 2));
    say(&format!(
        "{}. The wall is the minimum wall, and the inside diameter is for calculation. \"allowable\" is the allowable pressure at the temperature of the standard.",
        rows(found.len())
    ));
    for trap in traps(found, units) {
        say(&trap);
    }
    if refused > 0 {
        say(&format!(
            "x {} not pressure pipe: not accepted in a site file.",
            rows(refused)
        ));
    }
    if doubtful > 0 {
        say(&format!(
            "* {} {UNVERIFIED}. The option --verified excludes these rows.",
            rows(doubtful)
        ));
    }
    out
}

/// What misleads in the names of sizes that were listed, each told once with the first pipe it holds for.
fn traps(found: &[&Pipe], units: Units) -> Vec<String> {
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
                    "A size in inches is a name: {nominal_in} in pipe has an outside diameter of {}.",
                    show(outside_m)
                ),
            ),
            Some(SizeTrap::OutsideNotBore { bore_m }) => (
                1,
                format!(
                    "DN/OD is the outside diameter: the inside diameter of {} is {}.",
                    pipe.spec,
                    show(bore_m)
                ),
            ),
            Some(SizeTrap::SteelName { outside_m }) => (
                2,
                format!(
                    "NPS and DN of steel are names: {} has an outside diameter of {}.",
                    pipe.size_label,
                    show(outside_m)
                ),
            ),
            Some(SizeTrap::InsideOnly) => (
                3,
                "SIDR pipe has a fixed inside diameter: use only insert fittings of its own size."
                    .to_owned(),
            ),
            None => continue,
        };
        if let Some(place) = told.get_mut(slot) {
            place.get_or_insert(text);
        }
    }
    told.into_iter().flatten().collect()
}

fn row_json(pipe: &Pipe, units: Units) -> serde_json::Value {
    let known = |v: f64| (v > 0.0).then_some(v);
    crate::json::rounded(serde_json::json!({
        "id": pipe.id, "spec": pipe.spec, "standard": pipe.standard, "grade": pipe.grade, "size": pipe.size_label, "series": pipe.series,
        "outer_diameter_m": known(pipe.outer_diameter_m), "wall_m": known(pipe.wall_m), "inner_diameter_m": known(pipe.inner_diameter_m),
        "rating_pa": pipe.rating_pa, "rating_basis": pipe.rating_basis, "rating_temp_c": pipe.rating_temp_c, "mass_kg_per_m": known(pipe.mass_kg_per_m),
        "shown": shown(pipe, units),
        "verified": !unverified(pipe), "caution": unverified(pipe).then_some(UNVERIFIED), "refused": pipe.refused, "source": pipe.source, "note": pipe.note,
    }))
}

/// The measures of a pipe in words: what tells it from the one beside it.
fn shown(pipe: &Pipe, units: Units) -> serde_json::Value {
    let show = |quantity, value: Option<f64>| {
        value
            .filter(|v| *v > 0.0)
            .map(|v| Figure::new(quantity, v).show(units))
    };
    serde_json::json!({
        "outside": show(Quantity::Bore, Some(pipe.outer_diameter_m)),
        "bore": show(Quantity::Bore, Some(pipe.inner_diameter_m)),
        "allowable": show(Quantity::Pressure, pipe.rating_pa),
    })
}
