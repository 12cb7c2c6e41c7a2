//! stakes.csv: what to set out for each regrade plan.

use crate::regrade::RegradePlan;
use crate::report::measure::Measures;
use crate::report::pegged::Stations;
use crate::report::{Csv, CsvCell};
use crate::text::Fault;
use crate::words::Say;

/// The sheet, in the units of the site; `None` where there is nothing to regrade.
///
/// # Errors
/// None in practice: the sheet is in memory.
pub fn sheet(plans: &[RegradePlan], say: Say) -> Result<Option<Vec<u8>>, Fault> {
    if plans.iter().all(|p| p.stakes.is_empty()) {
        return Ok(None);
    }
    let m = Measures::of(say.units).length;
    let places = Stations::of(say);
    let bases = [
        "now", "wanted", "change", "extra", "ground", "trench", "prop",
    ];
    let heads: Vec<String> = std::iter::once("plan".to_owned())
        .chain(places.heads("station"))
        .chain(bases.iter().map(|b| m.head(b)))
        .collect();
    let mut sheet = Csv::of(&heads)?;
    for plan in plans {
        for stake in &plan.stakes {
            let mut row = vec![CsvCell::text(plan.kind.word())];
            row.extend(places.cells(Some(stake.station_m), 1));
            row.extend([
                m.cell(Some(stake.now_m), 2),
                m.cell(Some(stake.wanted_m), 2),
                m.cell(Some(stake.change_m), 2),
                m.cell(stake.extra_m, 2),
                m.cell(stake.ground_m, 2),
                m.cell(stake.trench_m(), 2),
                m.cell(stake.prop_m(), 2),
            ]);
            sheet.row(&row)?;
        }
    }
    sheet.bytes().map(Some)
}
