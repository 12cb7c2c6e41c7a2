//! stakes.csv: what to set out for each regrade plan.

use super::json::plan_word;
use super::measure::Measures;
use super::{Cell, Csv};
use crate::regrade::Plan;
use crate::text::Fault;
use crate::unit::Units;

/// The sheet, in the units of the site; `None` where there is nothing to regrade.
///
/// # Errors
/// None in practice: the sheet is in memory.
pub fn sheet(plans: &[Plan], units: Units) -> Result<Option<Vec<u8>>, Fault> {
    if plans.iter().all(|p| p.stakes.is_empty()) {
        return Ok(None);
    }
    let m = Measures::of(units).length;
    let bases = [
        "station", "now", "wanted", "change", "extra", "ground", "trench", "prop",
    ];
    let heads: Vec<String> = std::iter::once("plan".to_owned())
        .chain(bases.iter().map(|b| m.head(b)))
        .collect();
    let mut sheet = Csv::new(&heads.iter().map(String::as_str).collect::<Vec<_>>())?;
    for plan in plans {
        for stake in &plan.stakes {
            sheet.row(&[
                Cell::text(plan_word(plan.kind)),
                m.cell(Some(stake.station_m), 1),
                m.cell(Some(stake.now_m), 2),
                m.cell(Some(stake.wanted_m), 2),
                m.cell(Some(stake.change_m), 2),
                m.cell(stake.extra_m, 2),
                m.cell(stake.ground_m, 2),
                m.cell(stake.trench_m(), 2),
                m.cell(stake.prop_m(), 2),
            ])?;
        }
    }
    sheet.bytes().map(Some)
}
