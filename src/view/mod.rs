//! What a drawing shows, in figures and words: the longitudinal section, the plan, what moved, curves of a gauge.

pub(crate) mod bearing;
pub(crate) mod drawn;
pub mod gauge_curves;
/// What the overlay of a comparison shows.
pub mod moved;
mod moved_part;
mod moved_told;
/// What the plan shows.
pub mod plan;
mod plan_push;
/// What the longitudinal section shows.
pub mod section;
pub(crate) mod section_line;
mod section_row;
mod section_tag;
