//! What is said of the trench of buried pipe: traffic over it, water in it.

use super::Say;
use crate::anchor::{NoFill, WetBy};
use crate::finding::Buried;
use crate::pipe::{Surround, Tamped};
use crate::strength::NoDeflection;
use crate::unit::{Figure, Quantity};

/// What was found.
pub(super) fn harm(found: &Buried, at: &str, say: Say) -> String {
    match found {
        Buried::Floats {
            by,
            lift_n_per_m,
            safety,
            asked_safety,
            ..
        } => format!(
            "{} lifts the empty pipe {at} with {}. Pipe and fill are {} times as heavy as the water that they displace. {} times is required. The empty pipe can float out of its trench.",
            water(*by),
            along(*lift_n_per_m, say),
            factor(*safety),
            factor(*asked_safety)
        ),
        Buried::FloatNotJudged {
            why, lift_n_per_m, ..
        } => format!(
            "Water lifts the empty pipe {at} with {}. Whether the fill keeps it down is not calculated: {}.",
            along(*lift_n_per_m, say),
            no_fill(*why)
        ),
        Buried::Deflects {
            share,
            allowed,
            surround,
            tamped,
        } => format!(
            "Soil and traffic deflect the buried pipe {at} by {} of its diameter. {} is allowable. The surround is {}, {}.",
            percent(*share),
            percent(*allowed),
            surround.word(),
            tamped.word()
        ),
        Buried::DeflectionNotJudged { why } => format!(
            "The deflection of the buried pipe {at} is not calculated: {}.",
            no_deflection(*why)
        ),
        Buried::StonesAgainst { largest_m } => format!(
            "Broken rock lies against the pipe {at}. It scores and dents the pipe. The largest stone allowed there is {}.",
            say.bore(*largest_m)
        ),
        Buried::FloatsOpen {
            lift_n_per_m,
            full_lift_n_per_m,
            ..
        } => format!(
            "In the open trench {at}, water lifts the empty pipe with {}.{}",
            along(*lift_n_per_m, say),
            full_lift_n_per_m.map_or_else(String::new, |n| format!(
                " Full of water it is still lifted, with {}.",
                along(n, say)
            ))
        ),
    }
}

/// What to do about it.
pub(super) fn mend(found: &Buried, say: Say) -> String {
    match found {
        Buried::Floats {
            wanted_cover_m: Some(cover),
            ballast_kg_per_m,
            ..
        } => format!(
            "Give the pipe a cover of {}. Or fasten concrete weights to it, {} in air. Until then, do not empty the pipe while the ground is wet.",
            say.at_least(Quantity::Head, *cover),
            weights(*ballast_kg_per_m, say)
        ),
        Buried::Floats {
            ballast_kg_per_m, ..
        } => format!(
            "No cover of peat keeps it down. Fasten concrete weights to the pipe, {} in air. Or move the route out of the peat. Until then, do not empty the pipe while the ground is wet.",
            weights(*ballast_kg_per_m, say)
        ),
        Buried::FloatNotJudged {
            why,
            wanted_cover_m,
            ..
        } => {
            let cover = wanted_cover_m.map_or_else(
                || "In peat, fasten weights to the pipe: no cover keeps it down.".to_owned(),
                |m| {
                    format!(
                        "A cover of {} is sufficient{}.",
                        say.at_least(Quantity::Head, m),
                        if *why == NoFill::ScourUnknown {
                            ", below the deepest scour"
                        } else {
                            " in soil other than peat"
                        }
                    )
                },
            );
            let give = match why {
                NoFill::CoverUnknown => "Give the cover in the site file.",
                NoFill::SoilUnknown => "Give the soil in the site file.",
                NoFill::ScourUnknown => {
                    "Ask locally how deep floods move the stream bed. Give this depth with the key `scour`."
                }
            };
            format!("{give} {cover}")
        }
        Buried::Deflects {
            surround: Surround::Stone,
            tamped: Tamped::Light | Tamped::Well,
            ..
        } => "Select a class with a thicker wall. Or lay the pipe less deep, or keep vehicles away.".to_owned(),
        Buried::Deflects { .. } => format!(
            "Put crushed stone or clean sand beside the pipe, and tamp it in layers of {} up to its top. Or select a class with a thicker wall.",
            say.bore(LAYER_M)
        ),
        Buried::DeflectionNotJudged {
            why: NoDeflection::SoilTooSoft,
        } => "Peat and soft clay do not hold the surround. Choose another route. Or have an engineer design a wide trench with a geotextile.".to_owned(),
        Buried::DeflectionNotJudged { .. } => "Give the cover, the soil and the wall thickness in the site file.".to_owned(),
        Buried::StonesAgainst { largest_m } => format!(
            "Put sand or fine gravel with stones up to {} below, beside and above the pipe. Keep rock out of the first {} above it.",
            say.bore(*largest_m),
            say.bore(TAPE_M)
        ),
        Buried::FloatsOpen {
            full_lift_n_per_m,
            ballast_kg_per_m,
            ..
        } => format!(
            "Lay the pipe on a dry day, or pump the trench. Fill the trench on the same day. Before water can enter, {} {} in air. Stay out of a trench that fills with water.",
            if full_lift_n_per_m.is_some() {
                "fasten concrete weights to the pipe,"
            } else {
                "fill the pipe with water, or fasten concrete weights to it,"
            },
            weights(*ballast_kg_per_m, say)
        ),
    }
}

/// Layers that fill is tamped in, and how far over the pipe its tape is laid, m (common practice, no source).
pub const LAYER_M: f64 = 0.15;
/// The tape.
pub const TAPE_M: f64 = 0.3;

/// The water, at the beginning of a sentence.
fn water(by: WetBy) -> &'static str {
    match by {
        WetBy::Trench => "Water in the trench",
        WetBy::Stream => "Water under the stream bed",
        WetBy::Flood => "Flood water",
    }
}

/// Why it is not known what the fill does.
pub fn no_fill(why: NoFill) -> &'static str {
    match why {
        NoFill::CoverUnknown => "the cover is not given",
        NoFill::SoilUnknown => "the soil is not given",
        NoFill::ScourUnknown => "the scour depth of the stream bed is not given",
    }
}

/// Why it is not known how far a pipe deflects.
pub fn no_deflection(why: NoDeflection) -> &'static str {
    match why {
        NoDeflection::NothingSaid => "the surround is not given",
        NoDeflection::CoverUnknown => "the cover is not given",
        NoDeflection::SoilUnknown => "the soil is not given",
        NoDeflection::SoilTooSoft => "peat and soft clay hold no surround",
        NoDeflection::WallUnknown => "the wall thickness is not known",
    }
}

/// A share in per cent with one decimal.
fn percent(share: f64) -> String {
    format!("{:.1} %", 100.0 * share)
}

fn along(n_per_m: f64, say: Say) -> String {
    Figure::new(Quantity::ForcePerLength, n_per_m).show(say.units)
}

/// A safety rounded down: what is told is there.
fn factor(safety: f64) -> String {
    format!("{:.2}", (safety * 100.0 + 1e-9).floor() / 100.0)
}

/// Weights rounded up: what is told does.
fn weights(kg_per_m: f64, say: Say) -> String {
    say.at_least(Quantity::MassPerLength, kg_per_m)
}
