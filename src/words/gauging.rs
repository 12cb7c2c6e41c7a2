//! What is said of the stream as it was measured.

use super::Say;
use crate::finding::Gauging;
use crate::unit::{Figure, Quantity};

/// A flow with its doubt, 95 %.
pub fn with_doubt(flow_m3_per_s: f64, sd_m3_per_s: f64, say: Say) -> String {
    Figure::new(Quantity::Flow, flow_m3_per_s)
        .sd(sd_m3_per_s)
        .show(say.units)
}

/// What was found.
pub(super) fn harm(found: &Gauging, say: Say) -> String {
    match found {
        Gauging::Short {
            case,
            date,
            flow_m3_per_s,
            flow_sd_m3_per_s,
            wanted_m3_per_s,
            left_m3_per_s,
            short_days,
            days,
            ..
        } => {
            let left = if *left_m3_per_s > 0.0 {
                format!("It would leave {} in the stream.", say.flow(*left_m3_per_s))
            } else {
                "It would leave nothing in the stream.".to_owned()
            };
            format!(
                "On {date} the measured stream flow was {}. {case} requires {}, with the compensation flow. {left} This applies to {short_days} of {days} measured days.",
                with_doubt(*flow_m3_per_s, *flow_sd_m3_per_s, say),
                say.flow(*wanted_m3_per_s)
            )
        }
        Gauging::Doubtful {
            case,
            date,
            flow_m3_per_s,
            flow_sd_m3_per_s,
            wanted_m3_per_s,
            ..
        } => format!(
            "On {date} the measured stream flow was {}. {case} requires {}, with the compensation flow. The measurement is not accurate enough to show that this is sufficient.",
            with_doubt(*flow_m3_per_s, *flow_sd_m3_per_s, say),
            say.flow(*wanted_m3_per_s)
        ),
        Gauging::Over {
            given_m3_per_s,
            month,
            flow_m3_per_s,
            flow_sd_m3_per_s,
            date,
        } => format!(
            "The site file gives a stream flow of {}{}. The largest measured flow{} is {}, on {date}.",
            say.flow(*given_m3_per_s),
            month.map_or_else(String::new, |m| format!(" for month {m}")),
            if month.is_some() {
                " of that month"
            } else {
                ""
            },
            with_doubt(*flow_m3_per_s, *flow_sd_m3_per_s, say)
        ),
    }
}

/// What to do about it.
pub(super) fn mend(found: &Gauging) -> String {
    match found {
        Gauging::Short {
            feeds: Some(feeds), ..
        } => format!(
            "On such days, operate {feeds} or less. The compensation flow has priority. Measure the stream at its lowest before you select nozzles and pipe."
        ),
        Gauging::Short { feeds: None, .. } => "On such days, shut down, or use a smaller nozzle. The compensation flow has priority. Measure the stream at its lowest before you select nozzles and pipe.".to_owned(),
        Gauging::Doubtful { .. } => "Measure again on a dry day, with a more accurate method: a bucket or a thin-plate weir for small streams, salt for rough ones. Stay out of fast water.".to_owned(),
        Gauging::Over { .. } => "Check the given flow. Measure on more days, in each season. Use the lower value until then.".to_owned(),
    }
}
