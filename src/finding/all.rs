//! Everything that is found.

use super::kind::{in_survey, on_line};
use super::one::Finding;
use super::order::in_order;
use super::with_marks::held_against;
use crate::study::{JudgedSurvey, Study};

/// Everything found in a study, in order of harm; with what the wanted marks leave and what they bring.
pub fn of_study(study: &Study) -> Vec<Finding> {
    let told = |of| on_line(of).into_iter().map(Finding::from).collect();
    let mut found: Vec<Finding> = told(study);
    if let Some(advised) = study.as_advised.as_deref() {
        held_against(&mut found, told(advised));
    }
    in_order(found)
}

/// Everything found in a survey alone, in order of harm.
pub fn of_survey(surveyed: &JudgedSurvey) -> Vec<Finding> {
    in_order(in_survey(surveyed).into_iter().map(Finding::from).collect())
}
