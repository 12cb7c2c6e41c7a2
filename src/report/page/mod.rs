//! report.html: one file that answers, on a phone and on paper. No network, nothing from a file ever runs.

mod air;
mod basis;
mod book;
mod carried;
mod caution;
mod drawn;
mod found;
mod gauges;
mod held;
mod html;
mod laying;
mod notes;
mod picture;
mod record;
mod running;
mod start;
mod storm;
mod strong;
mod supply;
mod surges;
mod tables;
mod tables_set;
mod top;
mod trench;
mod work;

use super::account::{Report, StormReport, SurveyReport};
use super::answer::{self, Answer, Question};
use super::words::{Say, metal_lines, survey_line, verdict_line};
use super::{plan_view, section};
use crate::drawing::LongSection;
use crate::finding::{Finding, Severity};
pub use book::of_book;
use html::{Fold, fold, list, section as part};
pub use html::{escaped, typeset};
pub(super) use storm::tonight;
pub(super) use top::{
    class, class_of_survey, first, of_check as figures_of_check, of_survey as figures_of_survey,
};

/// The page of a check.
pub fn of_check(account: &Report) -> String {
    whole(account, &section::of_check(account), &[], Vec::new())
}

/// The page of a comparison: the line as it lies now, with what moved on top.
pub fn of_storm(account: &StormReport) -> String {
    whole(
        &account.after,
        &section::of_storm(account),
        &storm::tonight(account),
        storm::parts(account),
    )
}

fn whole(
    account: &Report,
    section: &LongSection,
    tonight: &[String],
    storm: Vec<String>,
) -> String {
    let study = &account.study;
    let say = account.say();
    let badges = picture::badges(&account.findings, say);
    let drawn = drawn::PageDrawings::of(
        section,
        plan_view::of_check(account).as_ref(),
        drawn::grade_line(study),
        account.paper,
        &badges,
    );
    let folds = |question| match question {
        Question::Falls => [
            fold(
                "climbs",
                "Rising sections",
                &tables::climbs(account, say),
                Fold::Paper,
            ),
            fold(
                "stakes",
                "Regrading: set-out stakes",
                &tables_set::stakes(study, say),
                Fold::Paper,
            ),
        ]
        .concat(),
        Question::Strong => [
            fold(
                "strength",
                "Strength of the pipe",
                &strong::strength(account, say),
                Fold::Paper,
            ),
            fold(
                "metals",
                "Metals and corrosion",
                &list(&metal_lines(study)),
                Fold::Screen,
            ),
        ]
        .concat(),
        Question::Jets => [
            fold(
                "values",
                "Main values",
                &top::key(&top::of_check(study, say)),
                Fold::Screen,
            ),
            fold(
                "running",
                "Operating conditions",
                &running::running(study, say),
                Fold::Screen,
            ),
            fold(
                "supply",
                "Stream and intake",
                &supply::supply(study, say),
                Fold::Screen,
            ),
            fold(
                "gauges",
                "Gauges",
                &gauges::gauges(study, say),
                Fold::Screen,
            ),
            fold(
                "restart",
                "Restart after draining",
                &air::restart(account, say),
                Fold::Screen,
            ),
        ]
        .concat(),
        Question::Valves => fold(
            "surges",
            "Surge (water hammer)",
            &surges::whole(study, say),
            Fold::Paper,
        ),
        Question::SetOut => [
            fold(
                "marks",
                "Existing and required devices",
                &tables_set::marks(account, say),
                Fold::Paper,
            ),
            fold(
                "air",
                "Where air collects",
                &air::stays(account, say),
                Fold::Screen,
            ),
            fold(
                "vents",
                "Vents and drains",
                &air::devices(account, say),
                Fold::Screen,
            ),
            fold(
                "holds",
                "Anchors, thrust blocks and supports",
                &held::whole(study, say),
                Fold::Screen,
            ),
        ]
        .concat(),
        Question::Work => [
            fold(
                "shopping",
                "Material list",
                &tables_set::shopping(study, say),
                Fold::Paper,
            ),
            fold(
                "laying",
                "Pipe-laying schedule",
                &laying::section(account, say),
                Fold::Screen,
            ),
            fold(
                "work",
                "Procedures",
                &(air::fill(account, say) + &work::order(study, say)),
                Fold::Paper,
            ),
            fold(
                "record",
                "Commissioning record",
                &record::record(study, say),
                Fold::Paper,
            ),
            fold("cautions", "Cautions", &caution::list(study), Fold::Paper),
        ]
        .concat(),
        Question::Unknown => [
            fold(
                "taken",
                "Assumed values, excluded data, remarks",
                &tables::taken(study, say),
                Fold::Screen,
            ),
            fold("stations", "Every station", drawn::EVERY, Fold::Screen),
            fold(
                "basis",
                "Calculation methods",
                &basis::notes(&account.findings, basis::CHECK),
                Fold::Screen,
            ),
        ]
        .concat(),
    };
    let after = !storm.is_empty();
    let mut parts = storm;
    parts.extend(answer::of_check(account).iter().map(|a| {
        let own = answer::findings(&account.findings, a.question);
        let stops = own.clone().any(|f| f.severity == Severity::Stop);
        asked(
            a,
            if stops || after { 1 } else { SHOWN },
            &found::list(own, say, drawn.has_plan()),
            &folds(a.question),
        )
    }));
    page(&HtmlPage {
        title: &study.line.heading.title,
        say,
        findings: &account.findings,
        tonight,
        line: verdict_line(&account.findings, say),
        class: top::class(account.verdict()),
        parts,
        drawn: Some(&drawn),
    })
}

/// The page of a survey alone.
pub fn of_survey(account: &SurveyReport) -> String {
    let surveyed = &account.surveyed;
    let say = account.say();
    let badges = picture::badges(&account.findings, say);
    let drawn = drawn::PageDrawings::of(
        &section::of_survey(account),
        plan_view::of_survey(account).as_ref(),
        None,
        account.paper,
        &badges,
    );
    let folds = |question| match question {
        Question::Falls => [
            fold(
                "values",
                "Main values",
                &top::key(&top::of_survey(surveyed, say)),
                Fold::Paper,
            ),
            fold(
                "climbs",
                "Rising sections",
                &tables::shape(&surveyed.profile, &[], say),
                Fold::Paper,
            ),
        ]
        .concat(),
        _ => [
            fold(
                "taken",
                "Remarks",
                &tables::noticed(&surveyed.route, say),
                Fold::Screen,
            ),
            fold("cautions", "Cautions", caution::WALK, Fold::Paper),
            fold("stations", "Every station", drawn::EVERY, Fold::Screen),
            fold(
                "basis",
                "Calculation methods",
                &basis::notes(&account.findings, basis::SURVEY),
                Fold::Screen,
            ),
        ]
        .concat(),
    };
    let parts = answer::of_survey(account)
        .iter()
        .map(|a| {
            // A survey has two questions: what is not of the first belongs to the second.
            let own = account.findings.iter().filter(|f| {
                (Question::of(&f.kind) == Question::Falls) == (a.question == Question::Falls)
            });
            asked(
                a,
                SHOWN,
                &found::list(own, say, drawn.has_plan()),
                &folds(a.question),
            )
        })
        .collect();
    page(&HtmlPage {
        title: &account.title,
        say,
        findings: &account.findings,
        tonight: &[],
        line: survey_line(surveyed, say),
        class: top::class_of_survey(surveyed.falls()),
        parts,
        drawn: Some(&drawn),
    })
}

/// Sentences that stand open beside an answer, one where a finding is open or what moved stands above; the others are behind a fold.
const SHOWN: usize = 2;

/// A question with its answer, what was found that belongs to it, and its tables behind folds.
fn asked(answer: &Answer, shown: usize, findings: &str, folds: &str) -> String {
    let question = answer.question;
    let (shown, rest) = answer.more.split_at(answer.more.len().min(shown));
    let more = match rest {
        [] => String::new(),
        rest => format!(
            "<details class=\"fold paper\"><summary>More in short</summary>{}</details>",
            list(rest)
        ),
    };
    let body = format!(
        "<p class=\"answer\">{}</p>{}{findings}{more}{folds}",
        escaped(&answer.line),
        list(shown),
    );
    part(question.id(), question.asked(), &body)
}

struct HtmlPage<'a> {
    title: &'a str,
    say: Say<'a>,
    findings: &'a [Finding],
    tonight: &'a [String],
    line: String,
    class: &'a str,
    parts: Vec<String>,
    /// `None`: nothing is drawn along the pipe.
    drawn: Option<&'a drawn::PageDrawings>,
}

/// No read-out along the pipe.
const NO_FIGURES: &str = "{\"rows\":{},\"along\":[],\"sheets\":[]}";

/// What stands below the questions: every finding, and the drawings for paper.
fn rest(page: &HtmlPage<'_>, drawn: &drawn::PageDrawings) -> String {
    let all = format!(
        "All findings, in order of severity ({})",
        page.findings.len()
    );
    let mut out = part(
        "rest",
        "Findings and drawings",
        &[
            fold(
                "found",
                &all,
                &found::index(page.findings, page.say),
                Fold::Screen,
            ),
            fold(
                "sheet",
                "Longitudinal section, for paper",
                &drawn.sheets(),
                Fold::Paper,
            ),
            fold("plan", "Plan, for paper", &drawn.plan(), Fold::Paper),
        ]
        .concat(),
    );
    out.push_str("<p class=\"onpaper\">The other tables are in report.html, on the screen.</p>\n");
    out
}

fn page(page: &HtmlPage<'_>) -> String {
    let title = escaped(page.title);
    let mut out =
        String::from("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n");
    // Nothing may be fetched from anywhere, whatever stands in the page.
    out.push_str("<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'; base-uri 'none'; form-action 'none'\">\n");
    out.push_str("<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<meta name=\"referrer\" content=\"no-referrer\">\n");
    out.push_str(&format!(
        "<title>{title}</title>\n<style>{}</style>\n</head>\n<body>\n",
        include_str!("page.css")
    ));
    out.push_str(&top::head(
        page.title,
        &page.line,
        page.class,
        page.findings,
        page.tonight,
        page.say,
    ));
    out.push_str("<main>\n");
    if let Some(drawn) = page.drawn {
        out.push_str(&part("picture", "Profile", &drawn.picture()));
    }
    out.push_str(&ways(&page.parts));
    for part in &page.parts {
        out.push_str(part);
    }
    if let Some(drawn) = page.drawn {
        out.push_str(&rest(page, drawn));
    }
    out.push_str("</main>\n");
    out.push_str(&format!(
        "<footer><p>{} {}. The value after ± is the expanded uncertainty: the true value is inside with a probability of 95 % (two standard deviations). Local codes and licensed practice have priority over this page.</p></footer>\n",
        env!("CARGO_PKG_NAME"),
        env!("CARGO_PKG_VERSION")
    ));
    out.push_str(&format!(
        "<script type=\"application/json\" id=\"figures\">{}</script>\n",
        page.drawn
            .map_or_else(|| NO_FIGURES.to_owned(), drawn::PageDrawings::figures)
    ));
    out.push_str(&format!(
        "<script>{}</script>\n</body>\n</html>\n",
        include_str!("page.js")
    ));
    out
}

/// Links to the parts that are there.
fn ways(parts: &[String]) -> String {
    let links: String = parts
        .iter()
        .filter_map(|p| {
            let id = p.split_once("<section id=\"")?.1.split_once('"')?.0;
            let heading = p
                .split_once("<h2 id=\"")?
                .1
                .split_once('>')?
                .1
                .split_once("</h2>")?
                .0;
            Some(format!("<li><a href=\"#{id}\">{heading}</a></li>"))
        })
        .collect();
    format!("<nav aria-label=\"parts of this page\"><ul>{links}</ul></nav>\n")
}
