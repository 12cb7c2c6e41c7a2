//! What is said of the pressure test.

use super::Say;
use crate::finding::TestOutcome;
use crate::proof::{MAY_LOSE_PA, Proof, TestDoubt, TestMethod, TestVerdict};

/// What was found.
pub(super) fn harm(trial: &TestOutcome, say: Say) -> String {
    match trial {
        TestOutcome::Leaks {
            slope: Some(slope),
            most: Some(most),
            ..
        } => format!(
            "The pressure test shows a leak: the pressure fell with a slope of {slope:.3} at the end. The slope of a tight pipe is {most:.2} or less."
        ),
        TestOutcome::Leaks {
            lost_pa: Some(lost),
            limit_pa: Some(most),
            ..
        } => format!(
            "The pressure test shows a leak: the pressure fell by {} in an hour. The allowable loss is {}.",
            say.pressure(*lost),
            say.pressure(*most)
        ),
        TestOutcome::Leaks { .. } => "The pressure test shows a leak.".to_owned(),
        TestOutcome::Air { slope, least } => format!(
            "The pipe had too much air in the pressure test: the pressure fell with a slope of only {slope:.3}. Without air, the slope is {least:.2} or more. The test is not valid."
        ),
        TestOutcome::NotCertain { doubt } => {
            format!("The pressure test does not decide: {}.", why(*doubt))
        }
        TestOutcome::Low {
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
pub(super) fn mend(trial: &TestOutcome) -> String {
    match trial {
        TestOutcome::Leaks { .. } => "Release the pressure first. Then inspect mechanical joints, then welds. Stay away from ends and bends while the pipe is under pressure. Repeat the test after the repair.",
        TestOutcome::Air { .. } => "Release the pressure and the air. Wait four times as long as the test took, so that the pipe recovers. Then fill slowly and repeat the test.",
        TestOutcome::NotCertain { doubt: TestDoubt::Readings } => "Polyethylene: read at one, seven and fifteen loading times, or later. Other pipe: read for one hour.",
        TestOutcome::NotCertain { doubt: TestDoubt::Gauge } => "Repeat the test with a more accurate gauge, or read for a longer time.",
        TestOutcome::NotCertain { doubt: TestDoubt::Backfill } => "Write backfilled = true or false in [pressure_test].",
        TestOutcome::NotCertain { doubt: TestDoubt::Mixed } => "Test the polyethylene and the other pipe separately.",
        TestOutcome::Low { .. } => "Repeat the test at the required pressure, with water only. Stand clear of ends, bends and joints.",
    }
    .to_owned()
}

fn why(doubt: TestDoubt) -> &'static str {
    match doubt {
        TestDoubt::Readings => "readings are missing",
        TestDoubt::Gauge => "the limit of error of the gauge is too large for these readings",
        TestDoubt::Backfill => "the site file does not say if the pipe was backfilled",
        TestDoubt::Mixed => "polyethylene and other pipe were tested together",
    }
}

/// The test on one line, for a person.
pub fn proof_line(proof: &Proof, say: Say) -> String {
    let figures = match proof.method {
        TestMethod::Creep(Some(c)) => {
            format!("slopes {:.3} and {:.3}", c.first.mean, c.second.mean)
        }
        TestMethod::Drop(Some(d)) => format!(
            "lost {} in an hour, allowable {}",
            say.pressure(d.lost_pa),
            say.pressure(MAY_LOSE_PA)
        ),
        _ => "no result".to_owned(),
    };
    let verdict = match proof.verdict {
        TestVerdict::Passes => "passed",
        TestVerdict::Leaks => "a leak",
        TestVerdict::Air => "not valid, too much air",
        TestVerdict::CannotTell(_) => "not certain",
    };
    format!(
        "{verdict}: {figures}, begun at {}",
        say.pressure(proof.first_pa)
    )
}
