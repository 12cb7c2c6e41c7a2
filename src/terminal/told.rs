//! What the terminal says: the verdict first, the figures a person carries in the head, then what was found in order of harm.

use super::Columns;
use super::look::{Look, Tone};
use super::profile as terminal_profile;
use super::short as terminal_short;
use crate::finding::{Finding, Severity, Since};
use crate::flow::Run;
use crate::report::account::{Report, StormReport, SurveyReport, worst};
use crate::report::answer::{self, Answer, rows};
use crate::text::{Remark, neutral};
use crate::words::consequence::consequences;
use crate::words::{
    AssumedValue, Say, advice, label, storm, survey_line, taken, text, verdict_line,
};

/// The summary of a check.
pub fn of_check(account: &Report, look: &Look) -> String {
    let study = &account.study;
    let line = &study.line;
    let say = account.say();
    let mut out = top(
        &line.heading.title,
        &judged(&account.findings, say, look),
        look,
    );
    if !look.full {
        let head = top_lines(
            &line.heading.title,
            &judged(&account.findings, say, look),
            look,
        );
        return terminal_short::of_check(account, &head, look);
    }
    out.push_str(&answers(&answer::of_check(account), look));
    let mut rows = Columns::new(&["", ""]);
    rows.row([
        "length".into(),
        say.head_sd(line.geometry.length_m(), line.geometry.length_sd_m),
    ]);
    rows.row([
        "elevation difference".into(),
        say.head_sd(line.geometry.drop_m(), line.geometry.heights.drop_sd_m),
    ]);
    if let Some(run) = study.cases.shut() {
        rows.row([
            "gross head".into(),
            format!(
                "{}, from the static water level to the nozzles",
                say.head_sd(run.gross_head_m, run.gross_head_sd_m)
            ),
        ]);
    }
    if let Some(run) = study.cases.largest_flow().filter(|r| r.flows()) {
        running(&mut rows, run, study.cases.shut(), say);
    }
    for (head, words) in rows::more(study, say) {
        rows.row([head.to_owned(), words]);
    }
    out.push_str(&rows.folded(2, look.width));
    out.push('\n');
    out.push_str(&terminal_profile::drawn(
        &line.geometry.heights.station_m,
        &line.geometry.heights.mean_m,
        &study.profile.climbs,
        &study.route.unrecorded,
        say,
        look,
    ));
    out.push_str(&found(&account.findings, say, look));
    out.push_str(&remarks(&study.route.remarks, say, look));
    if !line.assumed.is_empty() {
        out.push('\n');
        out.push_str(&look.head("Assumed values (no input was given):"));
        for AssumedValue { what, value, why } in line.assumed.iter().map(|a| taken(a, say)) {
            out.push_str(&look.wrapped(&format!("{what}: {value} ({why})"), 2, 4));
        }
    }
    out
}

fn running(rows: &mut Columns, run: &Run, shut: Option<&Run>, say: Say) {
    rows.row([
        "flow".into(),
        format!(
            "{} ({})",
            say.flow_sd(run.flow_m3_per_s, run.flow_sd_m3_per_s),
            run.state()
        ),
    ]);
    rows.row([
        "net head".into(),
        format!(
            "{}, head loss {}",
            say.head_sd(run.net_head_m, run.net_head_sd_m),
            say.share(run.loss_share())
        ),
    ]);
    let electrical = run.electrical.map_or_else(String::new, |e| {
        let (middle, (low, high)) = say.electrical_parts(&e);
        format!(", electrical {middle} ({low} to {high})")
    });
    rows.row([
        "power".into(),
        format!(
            "hydraulic {}{electrical}",
            say.power_sd(run.water_power_w, run.water_power_sd_w)
        ),
    ]);
    rows.row([
        "turbine pressure".into(),
        format!(
            "{}operating {}",
            shut.map_or_else(String::new, |shut| format!(
                "static {}, ",
                say.pressure_sd(shut.pressure_turbine_pa, shut.pressure_turbine_sd_pa)
            )),
            say.pressure_sd(run.pressure_turbine_pa, run.pressure_turbine_sd_pa)
        ),
    ]);
}

/// The summary of a survey alone.
pub fn of_survey(account: &SurveyReport, look: &Look) -> String {
    let surveyed = &account.surveyed;
    let route = &surveyed.route;
    let say = account.say();
    let mut out = top(
        &account.title,
        &toned(&survey_line(surveyed, say), account.worst(), look),
        look,
    );
    if !look.full {
        let verdict = toned(&survey_line(surveyed, say), account.worst(), look);
        let head = top_lines(&account.title, &verdict, look);
        return terminal_short::of_survey(account, &head, look);
    }
    let mut rows = Columns::new(&["", ""]);
    let ends = route
        .heights
        .mean_m
        .first()
        .zip(route.heights.mean_m.last());
    rows.row([
        "length".into(),
        say.head_sd(route.length_m(), route.length_sd_m),
    ]);
    rows.row([
        "elevation difference".into(),
        ends.map_or_else(String::new, |(a, b)| {
            say.head_sd(a - b, route.heights.drop_sd_m)
        }),
    ]);
    rows.row([
        "threshold".into(),
        format!(
            "a rise of more than half the inside diameter ({}) is a rising section",
            say.bore(surveyed.bore_m)
        ),
    ]);
    rows.row([
        "any rise".into(),
        format!(
            "probability {} that the pipe rises somewhere",
            say.share(surveyed.profile.climb_probability)
        ),
    ]);
    out.push_str(&rows.folded(2, look.width));
    out.push('\n');
    out.push_str(&terminal_profile::drawn(
        &route.heights.station_m,
        &route.heights.mean_m,
        &surveyed.profile.climbs,
        &route.unrecorded,
        say,
        look,
    ));
    out.push_str(&found(&account.findings, say, look));
    out.push_str(&remarks(&route.remarks, say, look));
    out
}

/// The summary of a comparison: tonight first, then what moved, what it changed, and what was found on the line as it lies now.
pub fn of_storm(account: &StormReport, look: &Look) -> String {
    if !look.full {
        return terminal_short::of_storm(account, look);
    }
    let say = account.after.say();
    let compared = &account.compared;
    let line = &account.after.study.line;
    let mut out = look.head(&format!("{}, surveyed again", neutral(&line.heading.title)));
    out.push('\n');
    out.push_str(&look.head("Do this first:"));
    for (i, text) in storm::tonight(compared, &line.stands, say)
        .iter()
        .enumerate()
    {
        out.push_str(&look.wrapped(&format!("{:>3} {text}", i + 1), 0, 4));
    }
    out.push('\n');
    out.push_str(&look.head("Moved:"));
    if compared.moved.is_empty() {
        out.push_str("  no movement beyond the uncertainty of the two surveys\n");
    }
    for m in &compared.moved {
        out.push_str(&look.wrapped(&storm::moved(m, say), 2, 4));
    }
    out.push_str(&look.wrapped(&storm::unseen(compared.sight, say), 2, 4));
    out.push('\n');
    out.push_str(&look.head("Before and now, the worse results first:"));
    for c in consequences(compared, &line.fittings, &line.stands, say) {
        let told = format!("{}: {} -> {}", c.what, none(&c.before), c.now);
        out.push_str(&look.wrapped(&told, 2, 6));
        out.push_str(&look.wrapped(&format!("do: {}", c.act), 6, 10));
    }
    out.push('\n');
    out.push_str(&judged(&account.after.findings, say, look));
    out.push_str(&found(&account.after.findings, say, look));
    out
}

fn none(text: &str) -> &str {
    if text.is_empty() { "-" } else { text }
}

/// The title and the verdict.
fn top(title: &str, verdict: &str, look: &Look) -> String {
    format!("{}{verdict}\n", look.head(&neutral(title)))
}

/// The same without the blank line, for one screen.
fn top_lines(title: &str, verdict: &str, look: &Look) -> String {
    format!("{}{verdict}", look.head(&neutral(title)))
}

/// Every question with its answer.
fn answers(all: &[Answer], look: &Look) -> String {
    let mut rows = Columns::new(&["", ""]);
    for a in all {
        rows.row([a.question.short().to_owned(), a.line.clone()]);
    }
    format!("{}\n", rows.folded(2, look.width))
}

/// The verdict, set off by the worst of what was found.
fn judged(findings: &[Finding], say: Say, look: &Look) -> String {
    toned(&verdict_line(findings, say), worst(findings), look)
}

fn toned(verdict: &str, worst: Option<Severity>, look: &Look) -> String {
    let lines = look.wrapped(verdict, 0, 2);
    match worst {
        Some(severity @ (Severity::Stop | Severity::Fix)) => {
            format!(
                "{}\n",
                (look.paint)(tone(severity), lines.trim_end_matches('\n'))
            )
        }
        _ => lines,
    }
}

fn tone(severity: Severity) -> Tone {
    match severity {
        Severity::Stop => Tone::Stop,
        Severity::Fix => Tone::Fix,
        Severity::Watch => Tone::Watch,
    }
}

/// Findings in order of harm with what to do.
fn found(findings: &[Finding], say: Say, look: &Look) -> String {
    if findings.is_empty() {
        return "\nNo findings.\n".to_owned();
    }
    let mut out = format!(
        "\n{}",
        look.head("Findings, in order of severity. Read all of them before you operate a valve.")
    );
    for f in findings {
        let memory = if f.from_memory {
            " (It uses a value that is not verified.)"
        } else {
            ""
        };
        let old = if f.since == Some(Since::Before) {
            "Existed before: "
        } else {
            ""
        };
        let mark = format!("{:>3} {:<7} ", f.number, label(f.severity.word()));
        out.push_str(&look.marked(
            tone(f.severity),
            &mark,
            &format!("{old}{}{memory}", text(f, say)),
        ));
        out.push_str(&look.wrapped(
            &format!("-> {}", advice(f, say)),
            mark.chars().count(),
            mark.chars().count() + 3,
        ));
    }
    out
}

fn remarks(remarks: &[Remark], say: Say, look: &Look) -> String {
    if remarks.is_empty() {
        return String::new();
    }
    let mut out = format!("\n{}", look.head("Remarks on the survey:"));
    for remark in remarks {
        out.push_str(&look.wrapped(
            &format!("{}: {}", remark.place, say.units.say(&remark.text)),
            2,
            4,
        ));
    }
    out
}
