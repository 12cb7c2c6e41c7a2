//! A results folder from a study: every sheet with its name, put together from the rooms that write them.

mod sheets;

pub use sheets::{sheets, storm_sheets, survey_sheets};
