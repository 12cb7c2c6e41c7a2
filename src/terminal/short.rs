//! One screen of the terminal: the verdict, every question with its answer, the gravest findings in a line each.

use super::look::{Look, Tone};
use super::profile as terminal_profile;
use crate::finding::{Finding, Severity};
use crate::report::account::{Report, StormReport, SurveyReport};
use crate::report::answer::{self, Answer};
use crate::text::neutral;
use crate::words::{Say, label, storm};

/// Lines of a screen that a terminal has at least, less the two that name the report.
pub const LINES: usize = 22;

/// Lines of an answer at most.
const MOST: usize = 2;

/// A check below its title and verdict.
pub(super) fn of_check(account: &Report, head: &str, look: &Look) -> String {
    let mut out = format!("{head}\n");
    out.push_str(&answers(&answer::of_check(account), look));
    findings(&mut out, &account.findings, account.say(), look);
    out
}

/// A survey alone below its title and verdict.
pub(super) fn of_survey(account: &SurveyReport, head: &str, look: &Look) -> String {
    let surveyed = &account.surveyed;
    let mut out = format!("{head}\n");
    out.push_str(&answers(&answer::of_survey(account), look));
    let drawn = terminal_profile::drawn(
        &surveyed.route.heights.station_m,
        &surveyed.route.heights.mean_m,
        &surveyed.profile.climbs,
        &surveyed.route.unrecorded,
        account.say(),
        look,
    );
    if out.lines().count() + drawn.lines().count() < LINES {
        out.push_str(&drawn);
    }
    findings(&mut out, &account.findings, account.say(), look);
    out
}

/// A comparison: what to do first, and what moved.
pub(super) fn of_storm(account: &StormReport, look: &Look) -> String {
    let say = account.after.say();
    let line = &account.after.study.line;
    let mut out = look.head(&format!("{}, surveyed again", neutral(&line.heading.title)));
    out.push_str(&look.head("Do this first:"));
    for (i, text) in storm::tonight(&account.compared, &line.stands, say)
        .iter()
        .enumerate()
    {
        let lines = look.wrapped(&format!("{:>3} {text}", i + 1), 0, 4);
        out.push_str(&clipped(&lines, 1, look.width));
    }
    out.push_str(&look.head("Moved:"));
    let moved = &account.compared.moved;
    if moved.is_empty() {
        out.push_str("  no movement beyond the uncertainty of the two surveys\n");
    }
    for m in moved.iter().take(3) {
        let lines = look.wrapped(&storm::moved(m, say), 2, 4);
        out.push_str(&clipped(&lines, 1, look.width));
    }
    findings(&mut out, &account.after.findings, say, look);
    out
}

/// Each question in a word, and its answer.
fn answers(all: &[Answer], look: &Look) -> String {
    let widest = all.iter().map(|a| a.question.short().len()).max();
    let beside = widest.unwrap_or(0) + 4;
    all.iter()
        .map(|a| {
            let head = format!("  {:<1$}", a.question.short(), beside - 2);
            let lines = look.wrapped(&a.line, beside, beside);
            let rest = lines.get(beside..).unwrap_or_default();
            clipped(&format!("{head}{rest}"), MOST, look.width)
        })
        .collect()
}

/// At most so many lines; what is cut off says so.
fn clipped(text: &str, most: usize, width: usize) -> String {
    let all: Vec<&str> = text.lines().collect();
    let mut out = String::new();
    for (i, line) in all.iter().take(most).enumerate() {
        let cut = i + 1 == most && all.len() > most;
        if cut {
            let kept: String = line.chars().take(width.saturating_sub(4)).collect();
            out.push_str(kept.trim_end());
            out.push_str(" ...\n");
        } else {
            out.push_str(line);
            out.push('\n');
        }
    }
    out
}

/// The gravest findings, a line each as far as there is room, and where the rest is.
fn findings(out: &mut String, all: &[Finding], say: Say, look: &Look) {
    let counted: Vec<String> = [Severity::Stop, Severity::Fix, Severity::Watch]
        .into_iter()
        .filter_map(|s| {
            let n = all.iter().filter(|f| f.severity == s).count();
            (n > 0).then(|| format!("{n} {}", label(s.word())))
        })
        .collect();
    let last = if all.is_empty() {
        "No findings. Add --full for the other results.".to_owned()
    } else {
        format!(
            "Findings: {}. Add --full for all of them and the other results.",
            counted.join(", ")
        )
    };
    let last = look.wrapped(&last, 0, 2);
    let used = out.lines().count() + last.lines().count();
    let room = LINES.saturating_sub(used + 1);
    if room > 0 && !all.is_empty() {
        out.push('\n');
    }
    for f in all.iter().take(room) {
        let tone = match f.severity {
            Severity::Stop => Tone::Stop,
            Severity::Fix => Tone::Fix,
            Severity::Watch => Tone::Watch,
        };
        let mark = format!("{:>3} {:<7} ", f.number, label(f.severity.word()));
        let words = format!("{} {}", label(f.kind.word()), say.reach(f.from_m, f.to_m));
        let room = look.width.saturating_sub(mark.chars().count());
        let words: String = words.chars().take(room).collect();
        out.push_str(&look.marked(tone, &mark, &words));
    }
    out.push_str(&last);
}
