//! Rules that read results: kind, reach, typed figures, certainty, severity; no words.

mod buried;
mod cause;
mod gauging;
mod hold;
mod kind;
mod lighter;
mod order;
mod rules;
mod rust;
mod since;
mod slip;
mod solid;
mod starting;
mod step;
mod trial;
mod with_marks;

pub use buried::Buried;
pub use cause::PressureCause;
pub use gauging::Gauging;
pub use hold::{HoldWanted, Unheld};
pub use kind::Kind;
pub use lighter::{Lighter, LighterZones};
pub use order::{CODES, Harm};
pub use rules::{HELD_BY_RULE_N, cause, of_study, of_survey, part};
pub use rust::Rust;
pub use since::{Since, since};
pub use slip::Slip;
pub use solid::Solid;
pub use starting::Starting;
pub use step::DeclaredStep;
pub use trial::TestOutcome;
pub use with_marks::WithMarks;

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
#[non_exhaustive]
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
    /// In a comparison: when it came up.
    pub since: Option<Since>,
    /// What the wanted marks do to it, where that is not simply to cure it.
    pub with_marks: Option<WithMarks>,
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
            since: None,
            with_marks: None,
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

impl Finding {
    /// Whether it says that the survey does not settle something that decides.
    pub fn is_unsettled(&self) -> bool {
        self.severity == Severity::Fix
            && matches!(
                self.kind,
                Kind::StartNotSettled(_)
                    | Kind::PressureNotSettled { .. }
                    | Kind::CollapseNotSettled { .. }
                    | Kind::JointNotSettled { .. }
                    | Kind::ClimbDoubtful { .. }
                    | Kind::NotRecorded { .. }
                    | Kind::TerrainModel
            )
    }

    /// Whether something that is lacking must stand before the line may run: what holds an end, what lets air in before it empties.
    pub fn runs_only_once(&self) -> bool {
        self.severity == Severity::Fix
            && match &self.kind {
                Kind::NeedsAir { wanted, .. } => *wanted > 0,
                Kind::HoldWanted(hold) => hold.why == crate::anchor::HoldWhy::PullOut,
                _ => false,
            }
    }
}

/// Findings in order of harm, numbered: the most severe first; among equals what harms people, then the plant, then its power; then the gravest kind, the most certain, then down the line.
pub fn in_order(mut findings: Vec<Finding>) -> Vec<Finding> {
    findings.sort_by(|a, b| {
        b.severity
            .cmp(&a.severity)
            .then(a.kind.harm().cmp(&b.kind.harm()))
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
    } else if findings.iter().any(Finding::is_unsettled) {
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_harms_people_comes_before_the_plant_and_that_before_its_power() {
        let fix = |kind| Finding::new(Severity::Fix, kind, 0.0, 1.0);
        let lacks = Kind::NeedsAir {
            stand: 0,
            wanted: 1,
        };
        let short = Kind::LossHigh {
            case: crate::pipe::RunState::AllJets,
            share: 0.4,
        };
        let over = Kind::SurgeOver {
            movement: "m".to_owned(),
            pressure_pa: 2.0,
            allowed_pa: 1.0,
            safe_s: None,
            law: crate::pipe::Law::Stroke,
            at_once: false,
        };
        let gravest = Finding::new(
            Severity::Stop,
            Kind::NoHead { gross_head_m: -1.0 },
            0.0,
            1.0,
        );
        let watched = Finding::new(Severity::Watch, Kind::SurgeNotValid, 0.0, 1.0);
        let told = in_order(vec![watched, fix(short), fix(lacks), gravest, fix(over)]);
        let codes: Vec<&str> = told.iter().map(|f| f.kind.code()).collect();
        assert_eq!(
            codes,
            [
                "no-head",
                "surge-over",
                "air-inlet-lacking",
                "loss-high",
                "surge-not-valid"
            ]
        );
        assert_eq!(told.last().map(|f| f.number), Some(5));
        assert_eq!(verdict(&told), Verdict::Stop);
    }
}
