//! What is said of the pressure test.

use super::Say;
use crate::finding::Trial;
use crate::proof::{Doubt, MAY_LOSE_PA, Method, Proof, Verdict};

/// What was found.
pub(super) fn harm(trial: &Trial, say: Say) -> String {
    match trial {
        Trial::Leaks {
            slope: Some((slope, most)),
            ..
        } => format!(
            "The pressure test shows a leak: the pressure fell with a slope of {slope:.3} at the end. The slope of a tight pipe is {most:.2} or less."
        ),
        Trial::Leaks {
            lost_pa: Some((lost, most)),
            ..
        } => format!(
            "The pressure test shows a leak: the pressure fell by {} in an hour. The allowable loss is {}.",
            say.pressure(*lost),
            say.pressure(*most)
        ),
        Trial::Leaks { .. } => "The pressure test shows a leak.".to_owned(),
        Trial::Air { slope, least } => format!(
            "The pipe had too much air in the pressure test: the pressure fell with a slope of only {slope:.3}. Without air, the slope is {least:.2} or more. The test is not valid."
        ),
        Trial::NotCertain(doubt) => format!("The pressure test does not decide: {}.", why(*doubt)),
        Trial::Low {
            pressure_pa,
            asked_pa,
        } => format!(
            "The pressure test began at {}. The procedure requires {} at the lower end.",
            say.pressure(*pressure_pa),
            say.pressure(*asked_pa)
        ),
    }
}

/// What to do about it.
pub(super) fn mend(trial: &Trial) -> String {
    match trial {
        Trial::Leaks { .. } => "Release the pressure first. Then inspect mechanical joints, then welds. Stay away from ends and bends while the pipe is under pressure. Repeat the test after the repair.",
        Trial::Air { .. } => "Release the pressure and the air. Wait four times as long as the test took, so that the pipe recovers. Then fill slowly and repeat the test.",
        Trial::NotCertain(Doubt::Readings) => "Polyethylene: read at one, seven and fifteen loading times, or later. Other pipe: read for one hour.",
        Trial::NotCertain(Doubt::Gauge) => "Repeat the test with a more accurate gauge, or read for a longer time.",
        Trial::NotCertain(Doubt::Backfill) => "Write backfilled = true or false in [pressure_test].",
        Trial::NotCertain(Doubt::Mixed) => "Test the polyethylene and the other pipe separately.",
        Trial::Low { .. } => "Repeat the test at the required pressure, with water only. Stand clear of ends, bends and joints.",
    }
    .to_owned()
}

fn why(doubt: Doubt) -> &'static str {
    match doubt {
        Doubt::Readings => "readings are missing",
        Doubt::Gauge => "the limit of error of the gauge is too large for these readings",
        Doubt::Backfill => "the site file does not say if the pipe was backfilled",
        Doubt::Mixed => "polyethylene and other pipe were tested together",
    }
}

/// The word of a verdict, for programs.
pub fn proof_word(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Passes => "passes",
        Verdict::Leaks => "leaks",
        Verdict::Air => "air",
        Verdict::CannotTell(_) => "cannot tell",
    }
}

/// The test on one line, for a person.
pub fn proof_line(proof: &Proof, say: Say) -> String {
    let figures = match proof.method {
        Method::Creep(Some(c)) => format!("slopes {:.3} and {:.3}", c.first.mean, c.second.mean),
        Method::Drop(Some(d)) => format!(
            "lost {} in an hour, allowable {}",
            say.pressure(d.lost_pa),
            say.pressure(MAY_LOSE_PA)
        ),
        _ => "no result".to_owned(),
    };
    let verdict = match proof.verdict {
        Verdict::Passes => "passed",
        Verdict::Leaks => "a leak",
        Verdict::Air => "not valid, too much air",
        Verdict::CannotTell(_) => "not certain",
    };
    format!(
        "{verdict}: {figures}, begun at {}",
        say.pressure(proof.first_pa)
    )
}
