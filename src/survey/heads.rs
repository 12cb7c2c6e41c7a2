//! The heads of a survey's sheet: which kind of book they make, and which are not used.

use crate::reading::Method;
use crate::text::{Fault, Place, Remark, Sheet, head_key, nearest};

/// Whether a sheet is kept in feet: more of its heads say so than say metres.
pub(super) fn in_feet(sheet: &Sheet) -> bool {
    let ends = |unit: &str| {
        sheet
            .heads
            .iter()
            .filter(|h| head_key(&h.text).ends_with(unit))
            .count()
    };
    ends("ft") > ends("m")
}

/// Heads by kind, without their units.
const HEADS: [(Method, &[&str]); 4] = [
    (
        Method::Level,
        &[
            "station",
            "bs",
            "is",
            "fs",
            "rise",
            "fall",
            "elevation",
            "point",
            "name",
            "setup",
            "remark",
        ],
    ),
    (
        Method::Gauge,
        &[
            "station",
            "pressure",
            "gauge_height",
            "water",
            "elevation",
            "point",
            "name",
            "remark",
        ],
    ),
    (
        Method::Angle,
        &[
            "from",
            "to",
            "point",
            "name",
            "tape",
            "slope",
            "horizontal",
            "angle",
            "grade",
            "one_in",
            "rise",
            "steps",
            "tube_a",
            "tube_b",
            "upper",
            "middle",
            "lower",
            "bearing",
            "eye",
            "target",
            "pull",
            "tape_temp",
            "elevation",
            "remark",
        ],
    ),
    (
        Method::Points,
        &[
            "station",
            "height",
            "elevation",
            "lat",
            "lon",
            "latitude",
            "longitude",
            "east",
            "north",
            "name",
            "point",
            "sd",
            "remark",
        ],
    ),
];

const UNITS: [&str; 16] = [
    "",
    "_m",
    "_ft",
    "_deg",
    "_percent",
    "_permille",
    "_psi",
    "_kpa",
    "_bar",
    "_c",
    "_f",
    "_n",
    "_lbf",
    "_kgf",
    "s",
    "_in",
];

fn has(sheet: &Sheet, base: &str) -> bool {
    UNITS
        .iter()
        .any(|u| sheet.column(&format!("{base}{u}")).is_some())
}

/// What kind of book a sheet is, by its columns.
pub(super) fn kind_of(sheet: &Sheet) -> Result<Method, Fault> {
    let any = |bases: &[&str]| bases.iter().any(|b| has(sheet, b));
    if any(&["bs", "fs"]) {
        Ok(Method::Level)
    } else if any(&["pressure"]) {
        Ok(Method::Gauge)
    } else if any(&["tape", "slope", "horizontal", "upper"]) {
        Ok(Method::Angle)
    } else if any(&["height", "lat", "east"]) || (has(sheet, "station") && has(sheet, "elevation"))
    {
        Ok(Method::Points)
    } else {
        if sheet.column("x").is_some() && sheet.column("y").is_some() {
            return Err(sheet
                .heads_fault("the heads X and Y do not show which one is east. Surveys use both")
                .expected("east_m and north_m, with height_m")
                .advice("use these heads. For feet, write `_ft` and not `_m`"));
        }
        let known: Vec<&str> = HEADS
            .iter()
            .flat_map(|(_, heads)| heads.iter().copied())
            .collect();
        let near = sheet
            .heads
            .iter()
            .find_map(|h| nearest(&base_of(&h.text), known.iter().copied()))
            .map(|n| format!(". One head is similar to \"{n}\""))
            .unwrap_or_default();
        Err(sheet
            .heads_fault(format!("these columns are not those of a survey sheet{near}"))
            .expected("level: station_m, bs_m, is_m, fs_m. Points: station_m, height_m. Angle: from, to, tape_m, angle_deg. Gauge: station_m, pressure_psi")
            .advice("write the column heads with their units in the first row. `steadyfall new` writes blank sheets"))
    }
}

/// A head without its unit.
fn base_of(head: &str) -> String {
    let head = head.trim().to_lowercase().replace(' ', "_");
    UNITS
        .iter()
        .filter(|u| u.starts_with('_'))
        .find_map(|u| head.strip_suffix(u).map(str::to_owned))
        .unwrap_or(head)
}

/// Columns that nothing is read from.
pub(super) fn unused(sheet: &Sheet, kind: Method) -> Vec<Remark> {
    let heads = HEADS
        .iter()
        .find(|(k, _)| *k == kind)
        .map_or(&[][..], |(_, h)| h);
    let known: Vec<String> = heads
        .iter()
        .flat_map(|h| UNITS.iter().map(move |u| format!("{h}{u}")))
        .collect();
    let known: Vec<&str> = known.iter().map(String::as_str).collect();
    sheet
        .unknown_heads(&known)
        .into_iter()
        .filter_map(|column| sheet.heads.get(column))
        .map(|head| {
            let near = nearest(&base_of(&head.text), heads.iter().copied())
                .map(|n| format!(". Did you mean {n}?"))
                .unwrap_or_default();
            Remark::new(
                Place::line(&sheet.file, head.line).column(head.column),
                format!("the column {} is not used{near}", head.text),
            )
        })
        .collect()
}
