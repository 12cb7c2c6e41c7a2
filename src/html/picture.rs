//! What was found, as numbers on the picture.

use super::found;
use crate::drawing::Badge;
use crate::finding::{Finding, Severity};
use crate::words::Say;

/// A number for each finding, the gravest first.
pub(super) fn badges(findings: &[Finding], say: Say) -> Vec<Badge> {
    findings
        .iter()
        .map(|f| Badge {
            number: f.number,
            from_m: f.from_m,
            to_m: f.to_m,
            grave: f.severity > Severity::Watch,
            name: format!("{}: {}", f.number, found::name(f, say)),
        })
        .collect()
}
