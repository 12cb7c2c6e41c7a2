//! What everybody asks of a plant, each question with its answer in a line: the page and the terminal say the same.

mod question;
pub(crate) mod rows;
mod set_out;
mod strong;
mod valves;

pub use question::{Question, findings};

use super::account::{Report, SurveyReport};
use crate::profile::{ClimbVerdict, Profile};
use crate::study::{Falls, Study};
use crate::words::{Say, capital, label, survey_line};
use question::{listed, why_not};

/// A question with its answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Answer {
    /// The question.
    pub question: Question,
    /// The answer, in a line.
    pub line: String,
    /// What belongs to it, in sentences.
    pub more: Vec<String>,
}

/// Every question of a check.
pub fn of_check(account: &Report) -> Vec<Answer> {
    let say = account.say();
    let study = &account.study;
    Question::ALL
        .into_iter()
        .map(|question| {
            let (line, more) = match question {
                Question::Falls => falls(study, say),
                Question::Strong => strong::answer(account, say),
                Question::Jets => jets(study, say),
                Question::Valves => valves::answer(study, say),
                Question::SetOut => set_out::answer(account, say),
                Question::Work => set_out::work(account, say),
                Question::Unknown => unknown(account, say),
            };
            Answer {
                question,
                line,
                more,
            }
        })
        .collect()
}

/// The questions that a survey alone answers.
pub fn of_survey(account: &SurveyReport) -> Vec<Answer> {
    let surveyed = &account.surveyed;
    let say = account.say();
    let yes = match surveyed.falls() {
        Falls::Falls => "Yes.",
        Falls::Climbs => "No.",
        Falls::CannotTell => "",
    };
    let mut unknown = Vec::new();
    if surveyed.falls() == Falls::CannotTell {
        unknown.push(survey_line(surveyed, say));
    }
    unknown.push(remarks(surveyed.route.remarks.len()));
    let line = unknown.remove(0);
    vec![
        Answer {
            question: Question::Falls,
            line: format!("{yes} {}", survey_line(surveyed, say))
                .trim_start()
                .to_owned(),
            more: Vec::new(),
        },
        Answer {
            question: Question::Unknown,
            line,
            more: unknown,
        },
    ]
}

fn falls(study: &Study, say: Say) -> (String, Vec<String>) {
    let rises = rises(&study.profile, say);
    let doubtful: Vec<(f64, f64)> = study
        .profile
        .climbs
        .iter()
        .filter(|c| c.verdict == ClimbVerdict::CannotTell)
        .map(|c| (c.reach_from_m, c.reach_to_m))
        .chain(study.route.unrecorded.iter().copied())
        .collect();
    let unsure = if doubtful.is_empty() {
        String::new()
    } else {
        format!(" Not certain: {}.", say.reaches(&doubtful))
    };
    let line = match (rises.as_slice(), doubtful.is_empty()) {
        ([], true) => "Yes, within the accuracy of the survey.".to_owned(),
        ([], false) => format!(
            "Not certain: the survey is not accurate enough {}.",
            say.reaches(&doubtful)
        ),
        (all, _) => format!("No. It rises {}.{unsure}", listed(all, 2)),
    };
    let lies = &study.line.geometry;
    let mut more = vec![format!(
        "Length {}, elevation difference {}.",
        say.head_sd(lies.length_m(), lies.length_sd_m),
        say.head_sd(lies.drop_m(), lies.heights.drop_sd_m)
    )];
    // More of them are read in the table.
    if (3..=4).contains(&rises.len()) {
        more.push(format!("All rising sections: {}.", rises.join(", ")));
    }
    (line, more)
}

/// Each certain rising section with its rise.
fn rises(profile: &Profile, say: Say) -> Vec<String> {
    profile
        .climbs
        .iter()
        .filter(|c| c.verdict == ClimbVerdict::Climbs)
        .map(|c| {
            format!(
                "{} by {}",
                say.between(c.low_station_m, c.crest_station_m),
                say.head_sd(c.rise_m, c.rise_sd_m)
            )
        })
        .collect()
}

fn jets(study: &Study, say: Say) -> (String, Vec<String>) {
    let mut more: Vec<String> = Vec::new();
    if let Some(run) = study.cases.shut() {
        more.push(format!(
            "Static: gross head {}, pressure at the turbine {}.",
            say.head_sd(run.gross_head_m, run.gross_head_sd_m),
            say.pressure_sd(run.pressure_turbine_pa, run.pressure_turbine_sd_pa)
        ));
    }
    let line = match study.cases.largest_flow().filter(|r| r.flows()) {
        Some(run) => {
            more.push(format!(
                "Operating pressure at the turbine {}, head loss {}.",
                say.pressure_sd(run.pressure_turbine_pa, run.pressure_turbine_sd_pa),
                say.share(run.loss_share())
            ));
            let electrical = run.electrical.map_or_else(String::new, |e| {
                let (middle, (low, high)) = say.electrical_parts(&e);
                format!(", electrical {middle} ({low} to {high})")
            });
            format!(
                "{} ({}) at a net head of {}: hydraulic power {}{electrical}.",
                say.flow_sd(run.flow_m3_per_s, run.flow_sd_m3_per_s),
                run.state(),
                say.head_sd(run.net_head_m, run.net_head_sd_m),
                say.power_sd(run.water_power_w, run.water_power_sd_w)
            )
        }
        None => format!("Not calculated: {}.", why_not(study, "cases", say)),
    };
    for (head, words) in rows::more(study, say) {
        more.push(format!("{}: {words}.", capital(head)));
    }
    (line, more)
}

fn unknown(account: &Report, say: Say) -> (String, Vec<String>) {
    let study = &account.study;
    let count = |n: usize, one: &str, many: &str| match n {
        0 => None,
        1 => Some(format!("1 {one}")),
        n => Some(format!("{n} {many}")),
    };
    let unsettled: Vec<String> = account
        .findings
        .iter()
        .filter(|f| f.is_unsettled())
        .map(|f| format!("{} {}", label(f.kind.word()), say.reach(f.from_m, f.to_m)))
        .collect();
    let memory = account.findings.iter().filter(|f| f.from_memory).count();
    let parts: Vec<String> = [
        count(
            unsettled.len(),
            "result is not decided",
            "results are not decided",
        ),
        count(
            study.line.assumed.len(),
            "value is assumed",
            "values are assumed",
        ),
        count(
            study.not_computed.len(),
            "result is not calculated",
            "results are not calculated",
        ),
        count(
            memory,
            "finding uses an unverified value",
            "findings use unverified values",
        ),
    ]
    .into_iter()
    .flatten()
    .collect();
    let line = if parts.is_empty() {
        "All inputs were given, and all results were calculated.".to_owned()
    } else {
        format!("{}.", capital(&parts.join(", ")))
    };
    let mut more = Vec::new();
    if !unsettled.is_empty() {
        more.push(format!("Not decided: {}.", listed(&unsettled, 6)));
    }
    more.push(remarks(study.route.remarks.len()));
    (line, more)
}

fn remarks(n: usize) -> String {
    match n {
        0 => "No remarks on the survey.".to_owned(),
        1 => "1 remark on the survey.".to_owned(),
        n => format!("{n} remarks on the survey."),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_list_says_how_many_more() {
        let all: Vec<String> = ["a", "b", "c"].map(str::to_owned).to_vec();
        assert_eq!(listed(&all, 3), "a, b, c");
        assert_eq!(listed(&all, 2), "a, b, and 1 more");
    }

    #[test]
    fn no_two_questions_share_a_name() {
        for (i, a) in Question::ALL.iter().enumerate() {
            for b in &Question::ALL[i + 1..] {
                assert_ne!(a.id(), b.id());
                assert_ne!(a.asked(), b.asked());
                assert_ne!(a.short(), b.short());
            }
        }
    }
}
