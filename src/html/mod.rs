//! report.html: one file that answers, on a phone and on paper. No network, nothing from a file ever runs.

mod air;
mod basis;
mod carried;
mod caution;
mod drawn;
mod found;
mod gauges;
mod held;
mod laying;
mod markup;
mod notes;
mod running;
mod start;
mod storm;
mod strong;
mod supply;
mod surges;
mod tables;
mod tables_set;
mod top;
mod work;

use crate::drawing::LongSection;
use crate::finding::Finding;
use crate::views::{plan_view, section};
use crate::words::account::{Report, StormAccount, SurveyAccount};
use crate::words::{Say, survey_line, verdict_line};
use markup::section as part;

pub use markup::escaped;

/// The page of a check.
pub fn of_check(account: &Report) -> String {
    whole(account, &section::of_check(account), &[], Vec::new())
}

/// The page of a comparison: the line as it lies now, with what moved on top.
pub fn of_storm(account: &StormAccount) -> String {
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
    let drawn = drawn::Drawn::of(
        section,
        plan_view::of_check(account).as_ref(),
        drawn::grade_line(study),
        account.paper,
    );
    let mut parts = storm;
    parts.push(part(
        "found",
        "What was found",
        &found::list(&account.findings, say),
    ));
    parts.push(part("sheet", "Longitudinal section", &drawn.sheets()));
    parts.push(part("plan", "Plan", &drawn.plan()));
    parts.push(part("running", "Running", &running::running(study, say)));
    parts.push(part(
        "supply",
        "Stream and intake",
        &supply::supply(study, say),
    ));
    parts.push(part("gauges", "Gauges", &gauges::gauges(study, say)));
    parts.push(part(
        "climbs",
        "Climbs and air",
        &(tables::climbs(account, say) + &air::air(account, say)),
    ));
    parts.push(part(
        "strength",
        "Strength of the pipe",
        &strong::strength(account, say),
    ));
    parts.push(part("surges", "Surges", &surges::whole(study, say)));
    parts.push(part(
        "holds",
        "What holds the pipe",
        &held::whole(study, say),
    ));
    parts.push(part(
        "marks",
        "What stands and what is wanted",
        &tables_set::marks(account, say),
    ));
    parts.push(part(
        "stakes",
        "Putting the line right: stakes",
        &tables_set::stakes(study, say),
    ));
    parts.push(part(
        "laying",
        "Laying list",
        &laying::section(account, say),
    ));
    parts.push(part(
        "shopping",
        "Shopping list",
        &tables_set::shopping(study, say),
    ));
    parts.push(part("work", "Order of work", &work::order(study, say)));
    parts.push(part("cautions", "Cautions", &caution::list(study)));
    parts.push(part(
        "taken",
        "Taken, left out, noticed",
        &tables::taken(study, say),
    ));
    parts.push(part("stations", "Every station", drawn::EVERY));
    parts.push(part(
        "basis",
        "How the figures are worked out",
        &basis::notes(&account.findings, basis::CHECK),
    ));
    page(&HtmlPage {
        title: &study.line.title,
        say,
        findings: &account.findings,
        tonight,
        line: verdict_line(&account.findings, say),
        class: top::class(account.verdict()),
        key: top::of_check(study, say),
        parts,
        figures: drawn.figures(),
    })
}

/// The page of a survey alone.
pub fn of_survey(account: &SurveyAccount) -> String {
    let surveyed = &account.surveyed;
    let say = account.say();
    let drawn = drawn::Drawn::of(
        &section::of_survey(account),
        plan_view::of_survey(account).as_ref(),
        None,
        account.paper,
    );
    let parts = vec![
        part(
            "found",
            "What was found",
            &found::list(&account.findings, say),
        ),
        part("sheet", "Longitudinal section", &drawn.sheets()),
        part("plan", "Plan", &drawn.plan()),
        part(
            "climbs",
            "Climbs",
            &tables::shape(&surveyed.profile, &[], say),
        ),
        part(
            "taken",
            "Noticed",
            &tables::noticed(&surveyed.route.remarks, say),
        ),
        part("cautions", "Cautions", caution::WALK),
        part("stations", "Every station", drawn::EVERY),
        part(
            "basis",
            "How the figures are worked out",
            &basis::notes(&account.findings, basis::SURVEY),
        ),
    ];
    page(&HtmlPage {
        title: &account.title,
        say,
        findings: &account.findings,
        tonight: &[],
        line: survey_line(surveyed, say),
        class: top::class_of_survey(surveyed.falls()),
        key: top::of_survey(surveyed, say),
        parts,
        figures: drawn.figures(),
    })
}

struct HtmlPage<'a> {
    title: &'a str,
    say: Say<'a>,
    findings: &'a [Finding],
    tonight: &'a [String],
    line: String,
    class: &'a str,
    key: Vec<(String, String, String)>,
    parts: Vec<String>,
    figures: String,
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
    out.push_str(&top::key(&page.key));
    out.push_str(&ways(&page.parts));
    for part in &page.parts {
        out.push_str(part);
    }
    out.push_str("</main>\n");
    out.push_str(&format!(
        "<footer><p>{} {}. A figure after ± is two standard deviations: nineteen times in twenty the truth lies within. Local codes and licensed practice go before this page.</p></footer>\n",
        env!("CARGO_PKG_NAME"),
        env!("CARGO_PKG_VERSION")
    ));
    out.push_str(&format!(
        "<script type=\"application/json\" id=\"figures\">{}</script>\n",
        page.figures
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
