use super::Say;
use super::label::kind_label;
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
        ..
    } = wanted;
    let word = kind_label(*kind);
    let what = if *count == 1 {
        format!("1 {word}")
    } else {
        format!("{count} {word}s")
    };
    if let (MarkKind::ExpansionJoint, Some(moves)) = (kind, slack_m) {
        return format!(
            "{what} required {at}. Above-ground steel pipe moves up to {} between two anchors, from the hottest empty day to the coldest water. If it cannot move, it pushes and pulls with the full strength of its wall. The list of anchors and thrust blocks assumes these joints.",
            say.at_least(Quantity::Head, *moves)
        );
    }
    if let Some(slack) = slack_m {
        let each = if *count == 1 { "It " } else { "Each " };
        return format!(
            "{what} required {at}. {each}must allow {} of movement. The pipe moves this much between a hot day when it is empty and a cold night when it is full.",
            say.at_least(Quantity::Head, *slack)
        );
    }
    let reason = match why {
        HoldWhy::Thrust => "resist the pressure thrust",
        HoldWhy::PullOut => "prevent pull-out of the pipe end",
        HoldWhy::Slope => "prevent sliding of the pipe",
        HoldWhy::Flood => "hold the pipe in a flood",
        HoldWhy::Jointed => "anchor the steel pipe between two expansion joints",
        HoldWhy::Heat => "prevent snaking of the pipe in the sun",
        HoldWhy::Span => "support the pipe",
    };
    let each = if *count == 1 { "" } else { " of each" };
    let tight = without_slack_n.map_or_else(String::new, |n| {
        format!(
            " This force is correct only with the expansion loops or expansion joints next to them. Without these, a cold pipe pulls with up to {}.",
            say.at_least(Quantity::Force, n)
        )
    });
    let Some(force_n) = *force_n else {
        return format!("{what} required {at} to {reason}.");
    };
    if *why == HoldWhy::Slope && force_n < HELD_BY_RULE_N {
        return format!(
            "{what} required {at} to {reason}. The handbook's rule for sliding joints gives the spacing. The pull on each is small."
        );
    }
    format!(
        "{what} required {at} to {reason}. Design force{each}: {}.{tight}",
        say.at_least(Quantity::Force, force_n)
    )
}
