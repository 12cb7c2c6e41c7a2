//! What is said of traffic that is not judged.

use crate::strength::NoWheel;

/// Why traffic is not judged.
pub fn no_wheel(why: NoWheel) -> &'static str {
    match why {
        NoWheel::CoverUnknown => "the cover is not given",
        NoWheel::CoverTooThin => {
            "the cover is too thin for the formula, in which the wheel is a point far above the pipe"
        }
        NoWheel::SoilUnknown => "the soil is not given",
        NoWheel::SoilTooSoft => "peat, mud and soft clay do not support a flexible pipe",
        NoWheel::WallUnknown => "the wall thickness of the pipe is not known",
    }
}
