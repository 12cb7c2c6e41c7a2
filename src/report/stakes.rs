//! stakes.csv: what to set out for each regrade plan.

use super::json::plan_word;
use super::{Cell, Csv};
use crate::regrade::Plan;
use crate::text::Fault;

/// The sheet; `None` where there is nothing to regrade.
///
/// # Errors
/// None in practice: the sheet is in memory.
pub fn sheet(plans: &[Plan]) -> Result<Option<Vec<u8>>, Fault> {
    if plans.iter().all(|p| p.stakes.is_empty()) {
        return Ok(None);
    }
    let mut sheet = Csv::new(&[
        "plan",
        "station_m",
        "now_m",
        "wanted_m",
        "change_m",
        "extra_m",
    ])?;
    for plan in plans {
        for stake in &plan.stakes {
            sheet.row(&[
                Cell::text(plan_word(plan.kind)),
                Cell::Figure(stake.station_m, 1),
                Cell::Figure(stake.now_m, 2),
                Cell::Figure(stake.wanted_m, 2),
                Cell::Figure(stake.change_m, 2),
                Cell::maybe(stake.extra_m, 2),
            ])?;
        }
    }
    sheet.bytes().map(Some)
}
