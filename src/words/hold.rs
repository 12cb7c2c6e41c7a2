use super::Say;
use super::name::kind_word;
use crate::anchor::HoldWhy;
use crate::finding::{HELD_BY_RULE_N, HoldWanted};
use crate::pipe::MarkKind;
use crate::unit::Quantity;

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
    if let (MarkKind::ExpansionJoint, Some(moves)) = (kind, slack_m) {
        return format!(
            "{what} wanted {at}: steel above the ground moves {} at most between two holds, from the hottest empty day to the coldest water, and held tight it presses and pulls with all that its wall can. The list of anchors and blocks counts on them.",
            say.at_least(Quantity::Head, *moves)
        );
    }
    if let Some(slack) = slack_m {
        return format!(
            "{what} of slack wanted {at}, {each}giving {}: so much the pipe moves between the day it lies empty in the sun and the night it is filled cold.",
            say.at_least(Quantity::Head, *slack)
        );
    }
    let reason = match why {
        HoldWhy::Thrust => "take the thrust of pressure",
        HoldWhy::PullOut => "keep the end from pulling out",
        HoldWhy::Slope => "keep the pipe from sliding",
        HoldWhy::Flood => "hold the pipe in a flood",
        HoldWhy::Jointed => "hold the steel between two expansion joints",
        HoldWhy::Heat => "keep the pipe from snaking in the sun",
        HoldWhy::Span => "carry the pipe",
    };
    let tight = without_slack_n.map_or_else(String::new, |n| {
        format!(
            " That counts on the loops or expansion joints beside them; held tight, cold pulls with up to {}.",
            say.at_least(Quantity::Force, n)
        )
    });
    if *why == HoldWhy::Slope && *force_n < HELD_BY_RULE_N {
        return format!(
            "{what} wanted {at} to {reason}: spaced by the handbook's rule for joints that slide; the pull on each is small."
        );
    }
    format!(
        "{what} wanted {at} to {reason}, {each}for up to {}.{tight}",
        say.at_least(Quantity::Force, *force_n)
    )
}
