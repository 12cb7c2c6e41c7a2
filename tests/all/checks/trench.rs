//! Checkers for tests/checks/trench.csv.

use super::anchor::{WATER, pe, soil};
use crate::ledger::{Answer, Checker, Inputs};
use steadyfall::anchor::COVER_SAFETY;
use steadyfall::anchor::buoyant::{cover_for_m, drowned_n_per_m3, fill_area_m2, safety};

/// Pound-force a cubic foot, N/m3.
const POUND_A_CUBIC_FOOT: f64 = 157.087_463_8;

/// The quantities of this topic.
pub fn checkers() -> Vec<Checker> {
    vec![
        of(
            "fill that rises with a pipe",
            "anchor::buoyant::fill_area_m2",
            |i| Ok(fill_area_m2(i.number("od_m")?, i.number("cover_m")?).into()),
        ),
        of(
            "fill under water",
            "anchor::buoyant::drowned_n_per_m3",
            |i| Ok((drowned_n_per_m3(soil(i)?) / POUND_A_CUBIC_FOOT).into()),
        ),
        of(
            "safety asked against uplift",
            "anchor::buoyant::COVER_SAFETY",
            |_| Ok(COVER_SAFETY.into()),
        ),
        of("safety against uplift", "anchor::buoyant::safety", |i| {
            let fill = drowned_n_per_m3(soil(i)?);
            Ok(safety(&pe(i)?, fill, i.number("cover_m")?, WATER).into())
        }),
        of(
            "cover against uplift",
            "anchor::buoyant::cover_for_m",
            |i| {
                let fill = drowned_n_per_m3(soil(i)?);
                let cover = cover_for_m(&pe(i)?, fill, COVER_SAFETY, WATER);
                Ok(cover.ok_or("no cover does")?.into())
            },
        ),
    ]
}

fn of(
    quantity: &'static str,
    of: &'static str,
    work: fn(&Inputs) -> Result<Answer, String>,
) -> Checker {
    Checker { quantity, of, work }
}
