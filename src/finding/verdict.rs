//! What the findings together say.

use super::found::Severity;
use super::kind::Kind;
use super::one::Finding;
use super::rules::hold_wanted::HoldWanted;
use super::rules::needs_air::NeedsAir;
use crate::compare::Missing;

crate::text::words! {
    /// What the findings together say of the plant.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
    pub enum Verdict {
        /// Nothing to fix.
        Runs = "runs",
        /// Something to fix.
        Fix = "fix",
        /// Something forbids filling or running.
        Stop = "stop",
        /// The survey cannot tell something that decides.
        NotSettled = "not settled",
    }
}

/// The verdict: stop before anything, then what is not settled, then what is to fix.
pub fn verdict(findings: &[Finding]) -> Verdict {
    let has = |severity| findings.iter().any(|f| f.severity == severity);
    if has(Severity::Stop) {
        Verdict::Stop
    } else if findings.iter().any(Finding::is_unsettled) {
        Verdict::NotSettled
    } else if has(Severity::Fix) {
        Verdict::Fix
    } else {
        Verdict::Runs
    }
}

/// What must stand before the line may run and does not.
pub fn missing(findings: &[Finding]) -> Missing {
    let mut missing = Missing::default();
    for finding in findings.iter().filter(|f| f.runs_only_once()) {
        match &finding.kind {
            Kind::HoldWanted(HoldWanted { count, .. }) => missing.anchors += count,
            Kind::NeedsAir(NeedsAir { wanted, .. }) => {
                missing.inlets = missing.inlets.max(*wanted);
            }
            _ => {}
        }
    }
    missing
}
