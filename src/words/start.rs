//! The start of a drained line, and what to do about it.

use super::Say;
use crate::finding::Starting;

/// It does not start.
pub(super) fn locks(start: &Starting, say: Say) -> String {
    let when = if start.unattended_only {
        "With nobody there to open the hand cocks: "
    } else {
        ""
    };
    if start.margin_compressed_m >= 0.0 {
        return format!(
            "{when}After draining it does not start in {} of the lines that fit the survey, though by the mean heights alone it would.",
            say.share(1.0 - start.probability_compressed)
        );
    }
    if start.margin_m >= 0.0 {
        return format!(
            "{when}After draining it does not start: {} of head is lacking with the air of the falling legs squeezed.",
            say.head(-start.margin_compressed_m)
        );
    }
    format!(
        "{when}After draining it does not start: {} of head is lacking with the falling legs full of air, {} still with that air squeezed.",
        say.head(-start.margin_m),
        say.head(-start.margin_compressed_m)
    )
}

/// It may start: because only the doubt of the heights speaks against it, or because the air squeezes.
pub(super) fn may_start(start: &Starting, say: Say) -> String {
    if start.in_doubt_only() {
        return format!(
            "After draining it starts by the mean heights, with {} of head to spare; but that is {} sure and no more: the survey's doubt speaks against it.",
            say.head(start.margin_m),
            say.share(start.probability_starts)
        );
    }
    format!(
        "After draining it may start, but only because the air squeezes: {} of head is lacking with the falling legs full of air{}.",
        say.head(-start.margin_m),
        if start.margin_compressed_m > 0.0 {
            format!(
                ", {} is to spare with it squeezed",
                say.head(start.margin_compressed_m)
            )
        } else {
            format!(
                "; with it squeezed {} of the lines that fit the survey start",
                say.share(start.probability_compressed)
            )
        }
    )
}

/// Nobody can tell.
pub(super) fn not_settled(start: &Starting, say: Say) -> String {
    format!(
        "Whether it starts after draining the survey cannot tell: {} of the lines that fit it do.",
        say.share(start.probability_starts)
    )
}

/// What to do about a line that locks.
pub(super) fn unlock(start: &Starting, say: Say) -> String {
    match (start.vents_m.is_empty(), start.unattended_only) {
        (true, true) => "No vents that work by themselves cure it: where they would be wanted they draw air in while it runs, or they are not enough. Let somebody open the cocks at each filling, or lay the line so that it falls.".to_owned(),
        (true, false) => "Vents alone do not cure it: lay the line so that it falls.".to_owned(),
        (false, _) if !start.vents_enough => format!(
            "Vents at {} help and do not cure it: lay the line so that it falls.",
            say.stations(&start.vents_m)
        ),
        (false, _) => format!(
            "Set vents at {}; fill slowly with the lower end cracked open.",
            say.stations(&start.vents_m)
        ),
    }
}

/// What to do about a line that may start.
pub(super) fn make_sure(start: &Starting, say: Say) -> String {
    let fill = "Fill slowly with the lower end cracked open; after a part draining, drain it all before filling again.";
    let vents = (!start.vents_m.is_empty()).then(|| say.stations(&start.vents_m));
    match (start.in_doubt_only(), vents) {
        (true, Some(vents)) => format!(
            "{}, or set vents at {vents} so that it starts every time.",
            level(start, say)
        ),
        (true, None) => format!("{}; until then: {}", level(start, say), lower(fill)),
        (false, Some(vents)) if start.vents_enough => {
            format!("Set vents at {vents} so that it starts every time.")
        }
        (false, Some(vents)) => {
            format!("Vents at {vents} help and do not make it sure. {fill}")
        }
        (false, None) => fill.to_owned(),
    }
}

/// What settles it.
pub(super) fn settle(start: &Starting, say: Say) -> String {
    format!("{}, or walk the line again twice.", level(start, say))
}

fn level(start: &Starting, say: Say) -> String {
    let reaches: Vec<String> = start
        .level_m
        .iter()
        .map(|(a, b)| say.reach(*a, *b))
        .collect();
    let setups = if start.setups == 1 {
        "1 set-up".to_owned()
    } else {
        format!("{} set-ups", start.setups)
    };
    if reaches.is_empty() {
        "Level the doubtful reaches with level and staff".to_owned()
    } else {
        format!(
            "Level {} with level and staff (about {setups})",
            reaches.join(", ")
        )
    }
}

fn lower(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_lowercase().chain(letters).collect()
    })
}
