//! Before and after: what moved, what it broke, what to do tonight.

use super::html::{list, section};
use crate::report::account::StormAccount;
use crate::report::words::{Say, storm};

/// What to do tonight, the most pressing first.
pub(super) fn tonight(account: &StormAccount) -> Vec<String> {
    storm::tonight(
        &account.compared,
        &account.after.study.line,
        Say(account.after.units),
    )
}

pub(super) fn block(account: &StormAccount) -> String {
    let say = Say(account.after.units);
    let compared = &account.compared;
    let line = &account.after.study.line;
    let moved: Vec<String> = compared
        .moved
        .iter()
        .map(|m| storm::moved(m, say))
        .collect();
    let mut changed: Vec<String> = compared
        .climbs
        .iter()
        .filter_map(|c| storm::climb(c, say))
        .collect();
    changed.extend(compared.start.map(storm::start));
    changed.extend(compared.cases.iter().map(|c| storm::case(c, say)));
    changed.extend(
        compared
            .off_line
            .iter()
            .map(|o| storm::off_line(o, line, say)),
    );
    let moved = if moved.is_empty() {
        "<p>Nothing moved beyond the doubt of the two surveys.</p>".to_owned()
    } else {
        list(&moved)
    };
    format!(
        "{}{}{}",
        section("tonight", "Tonight", &list(&tonight(account))),
        section("moved", "What moved", &moved),
        section("changed", "Before and now", &list(&changed))
    )
}
