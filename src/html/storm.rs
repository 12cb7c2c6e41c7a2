//! Before and after: what moved, what it broke, what to do tonight.

use super::drawn::figure;
use super::markup::{HtmlCell, HtmlPart, list, paper_fold, table};
use crate::report::account::StormReport;
use crate::report::first_screen::tonight;
use crate::view::moved::overlay;
use crate::words::consequence::consequences;
use crate::words::storm;
use maud::{Markup, html};

/// Results that stand open; the others are behind a fold.
const SHOWN: usize = 2;

/// What moved, what it broke, and both drawn: the first parts of the page.
pub(super) fn parts(account: &StormReport) -> Vec<HtmlPart> {
    let say = account.after.say();
    let compared = &account.compared;
    let moved: Vec<String> = compared
        .moved
        .iter()
        .map(|m| storm::moved(m, say))
        .collect();
    // Where what to do tonight says what stays unseen, the page does not say it twice.
    let unseen = storm::unseen(compared.sight, say);
    let is_told = tonight(account).iter().any(|line| line.contains(&unseen));
    let moved = html! {
        @if moved.is_empty() { p { "No movement beyond the uncertainty of the two surveys." } }
        (list(&moved))
        @if !is_told { p { (unseen) } }
    };
    let rows: Vec<Vec<HtmlCell>> = consequences(
        compared,
        &account.after.study.line.fittings,
        &account.after.study.line.stands,
        say,
    )
    .into_iter()
    .map(|c| [c.what, c.before, c.now, c.act].map(HtmlCell::words).into())
    .collect();
    let (worst, others) = rows.split_at(rows.len().min(SHOWN));
    let more = format!("{} other results before and now", others.len());
    let drawn = overlay(account);
    let changed = html! {
        (changed("Before and now, the worse results first", worst))
        @if !others.is_empty() { (paper_fold("changed-more", &more, changed(&more, others))) }
        (paper_fold("overlay", "Both surveys, drawn: the plan, and each section that moved", html! { @for sheet in &drawn { (figure(sheet, None)) } }))
    };
    vec![
        HtmlPart::new("moved", "What moved", moved),
        HtmlPart::new("changed", "What is affected", changed),
    ]
}

fn changed(caption: &str, rows: &[Vec<HtmlCell>]) -> Markup {
    let heads = ["what", "before", "now", "action"];
    html! { div class="stack" { (table(caption, &heads, rows.to_vec())) } }
}
