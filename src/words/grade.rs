//! Words for a grade that a pipe may be.

use super::Say;
use crate::strength::MayTake;
use crate::unit::Quantity;

/// A grade that a pipe may be, with what it would take and how much of that is in use: "PE100 (ISO 4427-2), would take 16.0 bar, 62 % of it in use".
pub(super) fn grade(of: &MayTake, say: Say) -> String {
    let used = of
        .use_high
        .map_or_else(String::new, |u| format!(", utilization {}", say.share(u)));
    format!(
        "{} ({}): allowable pressure {}{used}",
        of.grade.grade,
        of.grade.standard,
        say.at_most(Quantity::Pressure, of.grade.rating_pa)
    )
}
