//! Rules that read results: kind, reach, typed figures, certainty, severity; no words.

mod cause;
mod hold;
mod kind;
mod order;
mod rules;

pub use cause::Cause;
pub use hold::HoldWanted;
pub use kind::Kind;
pub use rules::{cause, of_study, of_survey, part};

/// How much a finding harms.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Severity {
    /// Look at it; nothing breaks today.
    Watch,
    /// Put it right before relying on the plant.
    Fix,
    /// Do not fill or run before this is put right.
    Stop,
}

/// One thing found, with its figures.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// Number in order of harm, from 1.
    pub number: usize,
    /// What it is, with its figures.
    pub kind: Kind,
    /// How much it harms.
    pub severity: Severity,
    /// Where it begins, m.
    pub from_m: f64,
    /// Where it ends, m.
    pub to_m: f64,
    /// How sure it is, 0 to 1.
    pub certainty: f64,
    /// A figure behind it is known from memory or from a secondary source only.
    pub from_memory: bool,
}

impl Finding {
    /// A certain finding over a reach.
    pub fn new(severity: Severity, kind: Kind, from_m: f64, to_m: f64) -> Self {
        Self {
            number: 0,
            kind,
            severity,
            from_m,
            to_m,
            certainty: 1.0,
            from_memory: false,
        }
    }

    /// With how sure it is.
    #[must_use]
    pub fn certainty(mut self, certainty: f64) -> Self {
        self.certainty = certainty.clamp(0.0, 1.0);
        self
    }

    /// With whether a figure behind it is not verified.
    #[must_use]
    pub fn from_memory(mut self, from_memory: bool) -> Self {
        self.from_memory = from_memory;
        self
    }
}

/// What the findings together say of the plant.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Verdict {
    /// Nothing to fix.
    Runs,
    /// Something to fix.
    Fix,
    /// Something forbids filling or running.
    Stop,
    /// The survey cannot tell something that decides.
    NotSettled,
}

/// Findings in order of harm, numbered: most severe first; among equals what keeps the water from coming before what may break when a valve is thrown, then the most certain, then down the line.
pub fn in_order(mut findings: Vec<Finding>) -> Vec<Finding> {
    findings.sort_by(|a, b| {
        b.severity
            .cmp(&a.severity)
            .then(a.kind.rank().cmp(&b.kind.rank()))
            .then(b.certainty.total_cmp(&a.certainty))
            .then(a.from_m.total_cmp(&b.from_m))
    });
    for (i, finding) in findings.iter_mut().enumerate() {
        finding.number = i + 1;
    }
    findings
}

/// The verdict: stop before anything, then what is not settled, then what is to fix.
pub fn verdict(findings: &[Finding]) -> Verdict {
    let has = |severity| findings.iter().any(|f| f.severity == severity);
    if has(Severity::Stop) {
        Verdict::Stop
    } else if findings.iter().any(|f| f.kind.is_unsettled()) {
        Verdict::NotSettled
    } else if has(Severity::Fix) {
        Verdict::Fix
    } else {
        Verdict::Runs
    }
}

/// Set-ups of a level that settle a reach: sights of 25 m, rounded up, at least one.
pub fn setups(from_m: f64, to_m: f64) -> usize {
    const SIGHT_M: f64 = 25.0;
    // A count of sights: small and never negative.
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a count of sights along a pipe"
    )]
    let count = ((to_m - from_m) / SIGHT_M).ceil().clamp(1.0, 1e6) as usize;
    count
}
