//! Rules that read results: kind, reach, typed figures, certainty, severity; no words.

mod all;
mod cause;
mod found;
mod kind;
mod one;
mod order;
mod row;
mod rules;
mod serial;
mod since;
mod step;
mod verdict;
mod with_marks;

pub use all::{of_study, of_survey};
pub use cause::{PressureCause, cause};
pub use found::Severity;
pub use kind::*;
pub use one::{Finding, Since, WithMarks};
pub use order::{CODES, in_order};
pub use row::Harm;
pub use rules::hold_wanted::HELD_BY_RULE_N;
pub use rules::not_full::AlsoHeld;
pub use rules::over_pressure::part;
pub use rules::reaches::setups;
pub use rules::zones_would_do::ClassZone;
pub use since::since;
pub use step::DeclaredStep;
pub use verdict::{Verdict, missing, verdict};
