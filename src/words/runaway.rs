//! What is said of a machine that has lost its load.

use super::Say;
use crate::line::Runaway;

/// Its speed, its flow, in what time, and what must withstand it.
pub fn runaway_line(runaway: &Runaway, say: Say) -> String {
    let speed = match runaway.machine.runaway_speed() {
        Some((least, most)) => format!(
            "the runner accelerates to {least:.1} to {most:.1} times its speed (values that are not verified)"
        ),
        None => "the runner accelerates to its runaway speed".to_owned(),
    };
    let (least, most) = (say.share(runaway.flow.0), say.share(runaway.flow.1));
    let flow = if least == most {
        format!("The flow changes to {least} of its value.")
    } else {
        format!("The flow changes to between {least} and {most} of its value.")
    };
    format!(
        "If the load is lost, {speed} in {}. {flow} Generator and belts must withstand this speed. Stay away from a machine that runs away.",
        say.time(runaway.over_s)
    )
}
