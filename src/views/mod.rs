//! What the drawings show: the longitudinal section, the plan, and both after a storm, in figures with their words; `drawing` lays them out.

mod drawn;
mod moved_part;
/// What the overlay of a comparison shows.
pub mod moved_view;
mod plan_push;
/// What the plan shows.
pub mod plan_view;
/// What the longitudinal section shows.
pub mod section;
mod section_line;
mod section_row;
mod section_tag;

pub(crate) use section_row::running;
