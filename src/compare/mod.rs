//! Two surveys of one pipe held against each other: what moved, what it broke, what to do tonight.
//!
//! The road: [`align`] brings the later survey onto the earlier one, [`moved`] lists the reaches that moved, [`laid_on`] gives the line as it lies now
//! in the earlier survey's reckoning, and [`compared`] holds two studies against each other.

mod action;
mod align;
mod alignment;
mod along;
mod bank;
mod change;
mod detection_limit;
mod error_form;
mod estimate;
mod laid_on;
mod least_move;
mod moved;
mod noise;
mod off_line;
mod offset;
mod parts;
mod plan;
mod pulled;
mod scan;
mod seam;
mod search;
mod shape;
mod slow_filter;
mod strand;
mod urgent_action;
mod weigh;

pub use action::{ClimbAir, Missing, UrgentAction};
pub use align::align;
pub use alignment::{AlignOptions, Alignment, Apart, By, Matched};
pub use change::compared;
pub use detection_limit::DetectionLimit;
pub use laid_on::laid_on;
pub use moved::{Moved, MovedVerdict, OtherReach, moved, told};
pub use parts::{
    CaseChange, ClimbChange, Climbing, Compared, Equipment, NewLow, OffLine, StrengthChange,
    Sucked, Tight,
};
pub use urgent_action::FoundCounts;
