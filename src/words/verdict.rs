//! The verdict, as said first.

use super::{Say, label};
use crate::compare::Missing;
use crate::finding::{Finding, Kind, Severity, Verdict, missing, verdict};
use crate::study::{Falls, JudgedSurvey};

/// The verdict in one line: "2 points to correct.", "Not decided. Survey 380 to 430 m with a level.", "STOP. Do not fill or operate: pressure too high at 612 m."
pub fn verdict_line(findings: &[Finding], say: Say) -> String {
    let count = |severity| findings.iter().filter(|f| f.severity == severity).count();
    let line = match verdict(findings) {
        Verdict::Stop => {
            let first = findings.iter().find(|f| f.severity == Severity::Stop);
            return first.map_or_else(
                || "STOP. Do not fill or operate.".to_owned(),
                |f| {
                    format!(
                        "STOP. Do not fill or operate: {} {}.",
                        label(f.kind.word()),
                        say.reach(f.from_m, f.to_m)
                    )
                },
            );
        }
        Verdict::NotSettled => not_settled(findings, say),
        Verdict::Fix => format!("{} to correct.", things(count(Severity::Fix))),
        Verdict::Runs => match count(Severity::Watch) {
            0 => "No problem found that stops operation.".to_owned(),
            n => format!(
                "No problem found that stops operation. {} to check.",
                things(n)
            ),
        },
    };
    match only_once(missing(findings)) {
        Some(once) => format!("{once} {line}"),
        None => line,
    }
}

fn things(n: usize) -> String {
    if n == 1 {
        "1 point".to_owned()
    } else {
        format!("{n} points")
    }
}

/// What must stand before it runs, in a sentence; `None` where nothing is lacking.
pub(super) fn only_once(missing: Missing) -> Option<String> {
    let Missing { anchors, inlets } = missing;
    let some = |n: usize, one: &str, many: &str| match n {
        0 => None,
        1 => Some(format!("the {one}")),
        n => Some(format!("{n} {many}")),
    };
    let lacking: Vec<String> = [
        some(anchors, "end anchor", "end anchors"),
        some(inlets, "vent that lets air in", "vents that let air in"),
    ]
    .into_iter()
    .flatten()
    .collect();
    let are = if anchors + inlets == 1 { "is" } else { "are" };
    let lacking = (!lacking.is_empty()).then(|| lacking.join(" and "))?;
    Some(format!("Operate only when {lacking} {are} installed."))
}

/// What to level, in order down the line, each metre once.
fn not_settled(findings: &[Finding], say: Say) -> String {
    let mut level: Vec<(f64, f64)> = findings
        .iter()
        .filter(|f| f.is_unsettled())
        .flat_map(|f| match &f.kind {
            Kind::Starting(start) => start.level_m.clone(),
            // what hangs below the mouth's water is as sure as the heights down to it
            Kind::CollapseNotSettled { .. } | Kind::JointNotSettled { .. } => vec![(0.0, f.to_m)],
            Kind::ClimbDoubtful { .. } | Kind::NotRecorded { .. } | Kind::TerrainModel(_) => {
                vec![(f.from_m, f.to_m)]
            }
            _ => Vec::new(),
        })
        .collect();
    level.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut reaches: Vec<(f64, f64)> = Vec::new();
    for (from, to) in level {
        match reaches.last_mut() {
            Some(last) if from <= last.1 => last.1 = last.1.max(to),
            _ => reaches.push((from, to)),
        }
    }
    if reaches.is_empty() {
        return "Not decided. The survey is not accurate enough.".to_owned();
    }
    let reaches: Vec<String> = reaches.iter().map(|(a, b)| say.reach(*a, *b)).collect();
    format!("Not decided. Survey {} with a level.", reaches.join(", "))
}

/// What a survey alone says, in one line.
pub fn survey_line(surveyed: &JudgedSurvey, say: Say) -> String {
    let of = |falls: Falls| -> Vec<String> {
        surveyed
            .reaches()
            .iter()
            .filter(|r| r.falls == falls)
            .map(|r| say.reach(r.from_m, r.to_m))
            .collect()
    };
    let doubtful = of(Falls::CannotTell);
    match surveyed.falls() {
        Falls::Falls => "The pipe falls all the way.".to_owned(),
        Falls::Climbs => format!(
            "The pipe rises at {}.{}",
            of(Falls::Climbs).join(", "),
            if doubtful.is_empty() {
                String::new()
            } else {
                format!(" Not certain: {}.", doubtful.join(", "))
            }
        ),
        Falls::CannotTell if doubtful.is_empty() => format!(
            "Not certain that the pipe falls all the way. The probability of a rise somewhere is {}, at no particular place.",
            say.share(surveyed.profile.climb_probability)
        ),
        Falls::CannotTell => format!(
            "Not certain that the pipe falls at {}.",
            doubtful.join(", ")
        ),
    }
}
