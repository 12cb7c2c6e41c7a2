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
mod laying;
mod markup;
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

use crate::drawing::LongSection;
use crate::finding::Severity;
use crate::report::account::{Report, StormReport, SurveyReport};
use crate::report::answer::{self, Answer, Question};
use crate::report::first_screen::{self, class, class_of_survey, tonight};
use crate::view::{plan as plan_view, section};
use crate::words::{metal_lines, survey_line, verdict_line};
pub use book::of_book;
use markup::{HtmlPart, finish, fold, list, paper_fold, paper_more};
use maud::{DOCTYPE, Markup, PreEscaped, html};
use top::HtmlPage;

/// The page of a check.
pub fn of_check(account: &Report) -> String {
    whole(account, &section::of_check(account), &[], Vec::new())
}

/// The page of a comparison: the line as it lies now, with what moved on top.
pub fn of_storm(account: &StormReport) -> String {
    whole(
        &account.after,
        &section::of_storm(account),
        &tonight(account),
        storm::parts(account),
    )
}

fn whole(
    account: &Report,
    section: &LongSection,
    tonight: &[String],
    storm: Vec<HtmlPart>,
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
        Question::Falls => html! {
            (paper_fold("climbs", "Rising sections", tables::climbs(account, say)))
            (paper_fold("stakes", "Regrading: set-out stakes", tables_set::stakes(study, say)))
        },
        Question::Strong => html! {
            (paper_fold("strength", "Strength of the pipe", strong::strength(account, say)))
            (fold("metals", "Metals and corrosion", list(&metal_lines(study))))
        },
        Question::Jets => html! {
            (fold("values", "Main values", top::key(&first_screen::of_check(study, say))))
            (fold("running", "Operating conditions", running::running(study, say)))
            (fold("supply", "Stream and intake", supply::supply(study, say)))
            (fold("gauges", "Gauges", gauges::gauges(study, say)))
            (fold("restart", "Restart after draining", air::restart(account, say)))
        },
        Question::Valves => paper_fold("surges", "Surge (water hammer)", surges::whole(study, say)),
        Question::SetOut => html! {
            (paper_fold("marks", "Existing and required devices", tables_set::marks(account, say)))
            (fold("air", "Where air collects", air::stays(account, say)))
            (fold("vents", "Vents and drains", air::devices(account, say)))
            (fold("holds", "Anchors, thrust blocks and supports", held::whole(study, say)))
        },
        Question::Work => html! {
            (paper_fold("shopping", "Material list", tables_set::shopping(study, say)))
            (fold("laying", "Pipe-laying schedule", laying::section(account, say)))
            (paper_fold("work", "Procedures", html! { (air::fill(account, say)) (work::order(study, say)) }))
            (paper_fold("record", "Commissioning record", record::record(study, say)))
            (paper_fold("cautions", "Cautions", caution::list(study)))
        },
        Question::Unknown => html! {
            (fold("taken", "Assumed values, excluded data, remarks", tables::taken(study, say)))
            (fold("stations", "Every station", drawn::every()))
            (fold("basis", "Calculation methods", basis::notes(&account.findings, basis::CHECK)))
        },
    };
    let after = !storm.is_empty();
    let mut parts = storm;
    parts.extend(answer::of_check(account).into_iter().map(|a| {
        let own = answer::findings(&account.findings, a.question);
        let stops = own.clone().any(|f| f.severity == Severity::Stop);
        let shown = if stops || after { 1 } else { SHOWN };
        let findings = found::list(own, say, drawn.has_plan());
        asked(&a, shown, findings, folds(a.question))
    }));
    page(&HtmlPage {
        title: &study.line.heading.title,
        say,
        findings: &account.findings,
        tonight,
        line: verdict_line(&account.findings, say),
        class: class(account.verdict()),
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
        Question::Falls => html! {
            (paper_fold("values", "Main values", top::key(&first_screen::of_survey(surveyed, say))))
            (paper_fold("climbs", "Rising sections", tables::shape(&surveyed.profile, &[], say)))
        },
        _ => html! {
            (fold("taken", "Remarks", tables::noticed(&surveyed.route, say)))
            (paper_fold("cautions", "Cautions", list(caution::WALK)))
            (fold("stations", "Every station", drawn::every()))
            (fold("basis", "Calculation methods", basis::notes(&account.findings, basis::SURVEY)))
        },
    };
    let parts = answer::of_survey(account)
        .into_iter()
        .map(|a| {
            // A survey has two questions: what is not of the first belongs to the second.
            let own = account.findings.iter().filter(|f| {
                (Question::of(&f.kind) == Question::Falls) == (a.question == Question::Falls)
            });
            let findings = found::list(own, say, drawn.has_plan());
            asked(&a, SHOWN, findings, folds(a.question))
        })
        .collect();
    page(&HtmlPage {
        title: &account.title,
        say,
        findings: &account.findings,
        tonight: &[],
        line: survey_line(surveyed, say),
        class: class_of_survey(surveyed.falls()),
        parts,
        drawn: Some(&drawn),
    })
}

/// Sentences that stand open beside an answer, one where a finding is open or what moved stands above; the others are behind a fold.
const SHOWN: usize = 2;

/// A question with its answer, what was found that belongs to it, and its tables behind folds.
fn asked(answer: &Answer, shown: usize, findings: Markup, folds: Markup) -> HtmlPart {
    let (shown, rest) = answer.more.split_at(answer.more.len().min(shown));
    let body = html! {
        p class="answer" { (answer.line) }
        (list(shown))
        (findings)
        (paper_more("More in short", list(rest)))
        (folds)
    };
    HtmlPart::new(answer.question.id(), answer.question.asked(), body)
}

/// No read-out along the pipe.
const NO_FIGURES: &str = "{\"rows\":{},\"along\":[],\"sheets\":[]}";

/// What stands below the questions: every finding, and the drawings for paper.
fn rest(page: &HtmlPage<'_>, drawn: &drawn::PageDrawings) -> Markup {
    let all = format!(
        "All findings, in order of severity ({})",
        page.findings.len()
    );
    let body = html! {
        (fold("found", &all, found::index(page.findings, page.say)))
        (paper_fold("sheet", "Longitudinal section, for paper", drawn.sheets()))
        (paper_fold("plan", "Plan, for paper", drawn.plan()))
    };
    html! {
        (HtmlPart::new("rest", "Findings and drawings", body))
        p class="onpaper" { "The other tables are in report.html, on the screen." } "\n"
    }
}

/// Nothing may be fetched from anywhere, whatever stands in the page.
const POLICY: &str = concat!(
    "default-src 'none';",
    " style-src 'unsafe-inline';",
    " script-src 'unsafe-inline';",
    " base-uri 'none';",
    " form-action 'none'",
);

/// Doubt, told at the foot of every page.
const FOOT: &str = concat!(
    env!("CARGO_PKG_NAME"),
    " ",
    env!("CARGO_PKG_VERSION"),
    ". The value after ± is the expanded uncertainty: the true value is inside with a probability of 95 % (two standard deviations). Local codes and licensed practice have priority over this page."
);

fn page(page: &HtmlPage<'_>) -> String {
    let figures = page
        .drawn
        .map_or_else(|| NO_FIGURES.to_owned(), drawn::PageDrawings::figures);
    finish(html! {
        (DOCTYPE) "\n"
        html lang="en" { "\n"
            head { "\n"
                meta charset="utf-8"; "\n"
                meta http-equiv="Content-Security-Policy" content=(POLICY); "\n"
                meta name="viewport" content="width=device-width, initial-scale=1"; "\n"
                meta name="referrer" content="no-referrer"; "\n"
                title { (page.title) } "\n"
                // Our own style: a browser reads no escapes in it.
                style { (PreEscaped(include_str!("page.css"))) } "\n"
            } "\n"
            body { "\n"
                (top::head(page))
                main { "\n"
                    @if let Some(drawn) = page.drawn { (HtmlPart::new("picture", "Profile", drawn.picture())) }
                    (ways(&page.parts))
                    @for part in &page.parts { (part) }
                    @if let Some(drawn) = page.drawn { (rest(page, drawn)) }
                } "\n"
                footer { p { (FOOT) } } "\n"
                // JSON in which no tag can begin or end: no escapes are read in a script.
                script type="application/json" id="figures" { (PreEscaped(figures)) } "\n"
                // Our own script, likewise.
                script { (PreEscaped(include_str!("page.js"))) } "\n"
            } "\n"
        } "\n"
    })
}

/// Links to the parts that are there.
fn ways(parts: &[HtmlPart]) -> Markup {
    html! {
        nav aria-label="parts of this page" {
            ul {
                @for part in parts.iter().filter(|p| !p.body.0.is_empty()) {
                    li { a href={ "#" (part.id) } { (part.heading) } }
                }
            }
        } "\n"
    }
}
