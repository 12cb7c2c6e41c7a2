//! Before and after: what moved, what it broke, what to do tonight.

use super::markup::{HtmlCell, list, section, table};
use crate::words::account::StormAccount;
use crate::words::consequence::consequences;
use crate::words::storm;

/// What to do tonight, the most pressing first.
pub(super) fn tonight(account: &StormAccount) -> Vec<String> {
    storm::tonight(
        &account.compared,
        &account.after.study.line,
        account.after.say(),
    )
}

/// What moved, what it broke, and both drawn: the first parts of the page.
pub(super) fn parts(account: &StormAccount) -> Vec<String> {
    let say = account.after.say();
    let compared = &account.compared;
    let line = &account.after.study.line;
    let moved: Vec<String> = compared
        .moved
        .iter()
        .map(|m| storm::moved(m, say))
        .collect();
    let rows: Vec<Vec<HtmlCell>> = consequences(compared, line, say)
        .into_iter()
        .map(|c| {
            vec![
                HtmlCell::words(c.what),
                HtmlCell::words(c.before),
                HtmlCell::words(c.now),
                HtmlCell::words(c.act),
            ]
        })
        .collect();
    let changed = table(
        "Before and now, what got worse first",
        &["what", "before", "now", "what to do"],
        &rows,
    );
    let moved = if moved.is_empty() {
        "<p>Nothing moved beyond the doubt of the two surveys.</p>".to_owned()
    } else {
        list(&moved)
    };
    let moved = format!("{moved}<p>{}.</p>", storm::unseen(compared.sight, say));
    let overlay: String = crate::views::moved_view::overlay(account)
        .iter()
        .map(|sheet| super::drawn::figure(sheet, None))
        .collect();
    let broke = format!("<div class=\"stack\">{changed}</div>");
    vec![
        section("moved", "What moved", &moved),
        section("changed", "What it broke", &broke),
        section("overlay", "Before and now, drawn", &overlay),
    ]
}
