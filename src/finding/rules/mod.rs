//! The rules, one file a subject; each reads results and gives findings.

mod air;
mod buried;
mod gauging;
mod held;
mod lighter;
mod metals;
mod running;
mod shape;
mod slips;
mod solids;
mod strong;
mod trials;
mod unsure;

pub use held::HELD_BY_RULE_N;
pub use strong::{cause, part};

use super::with_marks::held_against;
use super::{DeclaredStep, Finding};
use crate::study::{JudgedSurvey, Study};

/// Everything found in a study, in order of harm; with what the wanted marks leave and what they bring.
pub fn of_study(study: &Study) -> Vec<Finding> {
    let mut found = as_it_is(study);
    if let Some(advised) = study.as_advised.as_deref() {
        held_against(&mut found, as_it_is(advised));
    }
    super::in_order(found)
}

/// Everything found on a line, in the order of the rules.
fn as_it_is(study: &Study) -> Vec<Finding> {
    let mut found = shape::climbs(
        &study.profile,
        Some(|climb| air::vented_by(study, climb)),
        |climb| air::at_crest(study, climb),
        |climb| air::cock_only(study, climb),
        |climb| air::is_siphon(study, climb),
        |climb| DeclaredStep::of(study, study.profile.climbs.get(climb)?),
        &study.route,
    );
    found.extend(shape::flats(&study.profile));
    found.extend(shape::survey(&study.route));
    found.extend(running::cases(study));
    found.extend(running::stream(study));
    found.extend(gauging::days(study));
    found.extend(running::readings(study));
    found.extend(running::intake(study));
    found.extend(solids::screen(study));
    found.extend(solids::grit(study));
    found.extend(running::bends(study));
    found.extend(air::start(study));
    found.extend(air::vents(study));
    found.extend(air::gathers(study));
    found.extend(air::drains(study));
    found.extend(air::left_in(study));
    found.extend(held::holds(study));
    found.extend(buried::trenches(study));
    found.extend(strong::strength(study));
    found.extend(strong::surges(study));
    found.extend(unsure::low(study));
    found.extend(trials::tested(study));
    found.extend(metals::attacked(study));
    found.extend(slips::asked(&study.line));
    found
}

/// Everything found in a survey alone, in order of harm.
pub fn of_survey(surveyed: &JudgedSurvey) -> Vec<Finding> {
    let mut found = shape::climbs(
        &surveyed.profile,
        None::<fn(usize) -> Option<String>>,
        |_| air::AtCrest::default(),
        |_| false,
        |_| false,
        |_| None,
        &surveyed.route,
    );
    found.extend(shape::flats(&surveyed.profile));
    found.extend(shape::survey(&surveyed.route));
    super::in_order(found)
}
