use super::Say;
use super::name::kind_word;
use crate::anchor::HoldWhy;
use crate::finding::{HELD_BY_RULE_N, HoldWanted};

/// What is wanted to hold the pipe, and for what.
pub(super) fn hold(wanted: &HoldWanted, at: &str, say: Say) -> String {
    let HoldWanted {
        kind,
        force_n,
        count,
        why,
        without_slack_n,
        slack_m,
    } = wanted;
    let word = kind_word(*kind);
    let what = if *count == 1 {
        format!("1 {word}")
    } else {
        format!("{count} {word}s")
    };
    let each = if *count == 1 { "" } else { "each " };
    if let Some(slack) = slack_m {
        return format!(
            "{what} of slack wanted {at}, {each}giving {}: so much the pipe moves between the day it lies empty in the sun and the night it is filled cold.",
            say.head(*slack)
        );
    }
    let reason = match why {
        HoldWhy::Thrust => "take the thrust of pressure",
        HoldWhy::PullOut => "keep the end from pulling out",
        HoldWhy::Slope => "keep the pipe from sliding",
        HoldWhy::Flood => "hold the pipe in a flood",
        HoldWhy::Heat => "keep the pipe from snaking in the sun",
        HoldWhy::Span => "carry the pipe",
    };
    let tight = without_slack_n.map_or_else(String::new, |n| {
        format!(
            " That counts on the loops or expansion joints beside them; held tight, cold pulls with up to {}.",
            say.force(n)
        )
    });
    if *why == HoldWhy::Slope && *force_n < HELD_BY_RULE_N {
        return format!(
            "{what} wanted {at} to {reason}: spaced by the handbook's rule for joints that slide; the pull on each is small."
        );
    }
    format!(
        "{what} wanted {at} to {reason}, {each}for up to {}.{tight}",
        say.force(*force_n)
    )
}
