//! What the wanted marks do to what is found.

use super::found::Severity;
use super::one::{Finding, WithMarks};
use super::since::is_same;

/// Holds what is found on the line as declared against what is found once everything that is wanted stands: says of what stays that it does, and names beforehand what comes up and is to fix at least.
///
/// What comes forbids nothing today: it is told as something to put right with the marks.
pub(super) fn held_against(found: &mut Vec<Finding>, then: Vec<Finding>) {
    for finding in found.iter_mut().filter(|f| f.severity > Severity::Watch) {
        if then
            .iter()
            .any(|t| is_same(finding, t) && t.severity == finding.severity)
        {
            finding.with_marks = Some(WithMarks::Stays);
        }
    }
    let new = then.into_iter().filter(|t| t.severity > Severity::Watch);
    let new: Vec<Finding> = new
        .filter(|t| !found.iter().any(|f| is_same(f, t)))
        .map(|t| Finding {
            severity: Severity::Fix,
            with_marks: Some(WithMarks::Brought),
            ..t
        })
        .collect();
    found.extend(new);
}
