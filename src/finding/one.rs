//! A finding with its place among the others.

use super::found::{Found, Severity};
use super::kind::{Kind, Starting};
use crate::air::StartVerdict;

crate::text::words! {
    /// When a finding of a comparison came up.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
    pub enum Since {
        /// It stood before, and as gravely.
        Before = "before",
        /// It was not there, or less grave.
        New = "new",
    }
}

crate::text::words! {
    /// What the wanted marks do to a finding.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
    pub enum WithMarks {
        /// All of them stand and it is there as before: something else must cure it.
        Stays = "stays",
        /// It is not there today and comes with them.
        Brought = "brought",
    }
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

impl From<Found<Kind>> for Finding {
    fn from(found: Found<Kind>) -> Self {
        Self {
            number: 0,
            kind: found.what,
            severity: found.severity,
            from_m: found.from_m,
            to_m: found.to_m,
            certainty: found.certainty,
            from_memory: found.from_memory,
            since: None,
            with_marks: None,
        }
    }
}

impl Finding {
    /// Whether it says that the survey does not settle something that decides.
    pub fn is_unsettled(&self) -> bool {
        self.severity == Severity::Fix
            && matches!(
                self.kind,
                Kind::Starting(Starting {
                    verdict: StartVerdict::CannotTell,
                    ..
                }) | Kind::PressureNotSettled { .. }
                    | Kind::CollapseNotSettled { .. }
                    | Kind::JointNotSettled { .. }
                    | Kind::ClimbDoubtful { .. }
                    | Kind::NotRecorded { .. }
                    | Kind::TerrainModel(_)
            )
    }

    /// Whether something that is lacking must stand before the line may run: what holds an end, what lets air in before it empties.
    pub fn runs_only_once(&self) -> bool {
        self.severity == Severity::Fix
            && match &self.kind {
                Kind::NeedsAir(vents) => vents.wanted > 0,
                Kind::HoldWanted(hold) => hold.why == crate::anchor::HoldWhy::PullOut,
                _ => false,
            }
    }
}
