//! The start of a drained line, and what to do about it.

use super::Say;
use crate::air::StartVerdict;
use crate::finding::Starting;

/// What was found.
pub(super) fn harm(start: &Starting, say: Say) -> String {
    match start.verdict {
        StartVerdict::Locks => locks(start, say),
        StartVerdict::MayStart => may_start(start, say),
        StartVerdict::Starts | StartVerdict::CannotTell => not_settled(start, say),
    }
}

/// What to do about it.
pub(super) fn mend(start: &Starting, say: Say) -> String {
    match start.verdict {
        StartVerdict::Locks => unlock(start, say),
        StartVerdict::MayStart => make_sure(start, say),
        StartVerdict::Starts | StartVerdict::CannotTell => settle(start, say),
    }
}

/// It does not start.
fn locks(start: &Starting, say: Say) -> String {
    let when = if start.unattended_only {
        "With nobody there to open the air cocks: "
    } else {
        ""
    };
    if start.margin_compressed_m >= 0.0 {
        return format!(
            "{when}The pipeline does not restart after draining in {} of the pipe profiles that agree with the survey. At the mean heights it would restart.",
            say.share(1.0 - start.probability_compressed)
        );
    }
    if start.margin_m >= 0.0 {
        return format!(
            "{when}The pipeline does not restart after draining. With compressed air in the downhill sections, {} of head is missing.",
            say.head(-start.margin_compressed_m)
        );
    }
    format!(
        "{when}The pipeline does not restart after draining. With the downhill sections full of air, {} of head is missing. With the air compressed, {} is still missing.",
        say.head(-start.margin_m),
        say.head(-start.margin_compressed_m)
    )
}

/// It may start: because only the doubt of the heights speaks against it, or because the air squeezes.
fn may_start(start: &Starting, say: Say) -> String {
    if start.in_doubt_only() {
        return format!(
            "At the mean heights the pipeline restarts after draining, with a head margin of {}. With the survey uncertainty included, the probability is only {}.",
            say.head(start.margin_m),
            say.share(start.probability_starts)
        );
    }
    format!(
        "The pipeline can restart after draining, but only because the air compresses. With the downhill sections full of air, {} of head is missing. {}.",
        say.head(-start.margin_m),
        if start.margin_compressed_m > 0.0 {
            format!(
                "With the air compressed, the head margin is {}",
                say.head(start.margin_compressed_m)
            )
        } else {
            format!(
                "With the air compressed, it restarts in {} of the pipe profiles that agree with the survey",
                say.share(start.probability_compressed)
            )
        }
    )
}

/// Nobody can tell.
fn not_settled(start: &Starting, say: Say) -> String {
    format!(
        "The survey is not accurate enough to show if the pipeline restarts after draining. It restarts in {} of the pipe profiles that agree with the survey.",
        say.share(start.probability_starts)
    )
}

/// What to do about a line that locks.
fn unlock(start: &Starting, say: Say) -> String {
    match (start.vents_m.is_empty(), start.unattended_only) {
        (true, true) => "Automatic vents do not solve this: they would draw air in during operation, or they are not sufficient. Somebody must open the air cocks at each filling. Or lay the pipe so that it falls all the way.".to_owned(),
        (true, false) => "Vents alone do not solve this. Lay the pipe so that it falls all the way.".to_owned(),
        (false, _) if !start.vents_enough => format!(
            "Vents at {} help but are not sufficient. Lay the pipe so that it falls all the way.",
            say.stations(&start.vents_m)
        ),
        (false, _) => format!(
            "Install vents at {}. Fill slowly, with the lower end slightly open.",
            say.stations(&start.vents_m)
        ),
    }
}

/// What to do about a line that may start.
fn make_sure(start: &Starting, say: Say) -> String {
    let fill = "Fill slowly, with the lower end slightly open. After partial draining, drain the pipeline fully before you fill it again.";
    let vents = (!start.vents_m.is_empty()).then(|| say.stations(&start.vents_m));
    match (start.in_doubt_only(), vents) {
        (true, Some(vents)) => format!(
            "{}. Or install vents at {vents} for a reliable restart.",
            level(start, say)
        ),
        (true, None) => format!("{}. Until then: {}", level(start, say), lower(fill)),
        (false, Some(vents)) if start.vents_enough => {
            format!("Install vents at {vents} for a reliable restart.")
        }
        (false, Some(vents)) => {
            format!("Vents at {vents} help, but the restart stays uncertain. {fill}")
        }
        (false, None) => fill.to_owned(),
    }
}

/// What settles it.
fn settle(start: &Starting, say: Say) -> String {
    format!(
        "{}. Or walk the pipeline two more times.",
        level(start, say)
    )
}

fn level(start: &Starting, say: Say) -> String {
    let setups = if start.setups == 1 {
        "1 set-up".to_owned()
    } else {
        format!("{} set-ups", start.setups)
    };
    if start.level_m.is_empty() {
        "Survey the uncertain sections with level and staff".to_owned()
    } else {
        format!(
            "Survey {} with level and staff (about {setups})",
            say.reaches(&start.level_m)
        )
    }
}

fn lower(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_lowercase().chain(letters).collect()
    })
}
