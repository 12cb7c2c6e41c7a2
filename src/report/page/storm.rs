//! Before and after: what moved, what it broke, what to do tonight.

use super::html::{Fold, HtmlCell, fold, list, section, table};
use crate::report::account::StormReport;
use crate::report::words::consequence::consequences;
use crate::report::words::storm;

/// What to do tonight, the most pressing first.
pub(in crate::report) fn tonight(account: &StormReport) -> Vec<String> {
    storm::tonight(
        &account.compared,
        &account.after.study.line,
        account.after.say(),
    )
}

/// Results that stand open; the others are behind a fold.
const SHOWN: usize = 2;

/// What moved, what it broke, and both drawn: the first parts of the page.
pub(super) fn parts(account: &StormReport) -> Vec<String> {
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
    let (worst, others) = rows.split_at(rows.len().min(SHOWN));
    let changed = |caption: &str, rows: &[Vec<HtmlCell>]| -> String {
        let table = table(caption, &["what", "before", "now", "action"], rows);
        format!("<div class=\"stack\">{table}</div>")
    };
    let broke = changed("Before and now, the worse results first", worst);
    let broke = match others {
        [] => broke,
        others => {
            let heading = format!("{} other results before and now", others.len());
            broke
                + &fold(
                    "changed-more",
                    &heading,
                    &changed(&heading, others),
                    Fold::Paper,
                )
        }
    };
    let moved = if moved.is_empty() {
        "<p>No movement beyond the uncertainty of the two surveys.</p>".to_owned()
    } else {
        list(&moved)
    };
    // Where the list above says what stays unseen, the page does not say it twice.
    let unseen = storm::unseen(compared.sight, say);
    let moved = if tonight(account).iter().any(|line| line.contains(&unseen)) {
        moved
    } else {
        format!("{moved}<p>{unseen}</p>")
    };
    let drawn: Vec<String> = crate::report::moved_view::overlay(account)
        .iter()
        .map(|sheet| super::drawn::figure(sheet, None))
        .collect();
    let overlay = fold(
        "overlay",
        "Both surveys, drawn: the plan, and each section that moved",
        &drawn.concat(),
        Fold::Paper,
    );
    vec![
        section("moved", "What moved", &moved),
        section("changed", "What is affected", &(broke + &overlay)),
    ]
}
