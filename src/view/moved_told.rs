//! What is told on every drawing of a comparison.

use crate::regrade::Stake;
use crate::report::account::StormReport;
use crate::words::Say;

/// What the drawing is.
pub(super) const KIND: &str = "Before and now";

pub(super) fn stakes(account: &StormReport) -> &[Stake] {
    account
        .compared
        .regrade
        .first()
        .map_or(&[], |p| p.stakes.as_slice())
}

/// How the surveys lie on each other.
pub(super) fn aligned(account: &StormReport, say: Say) -> (String, String) {
    let alignment = &account.compared.alignment;
    (
        "fitted".to_owned(),
        format!(
            "{}, {}",
            alignment.by.word(),
            say.reach(alignment.from_m, alignment.to_m)
        ),
    )
}
