//! The sheet: a longitudinal section and a plan, drawn as neutral marks in millimetres on paper, then written as SVG.
//!
//! Nothing is computed here and nothing is put into words: a [`LongSection`] or a [`PlanView`] brings figures and the words for them, the room lays them out.

mod advance;
mod cut;
mod foot;
mod form;
mod frame;
mod ink;
mod item;
mod label;
mod paper;
mod plan;
mod plan_chart;
mod plan_grid;
mod plan_label;
mod plan_moved;
mod plan_push;
mod plan_view;
mod profile;
mod profile_chart;
mod profile_frame;
mod profile_table;
mod profile_tag;
mod scale;
mod section;
mod svg;
mod swing;
mod symbol;

pub use advance::{fitted, text_width};
pub use form::{FieldForm, form};
pub use frame::Words;
pub use ink::{Colour, Dash, Ink, Pen};
pub use item::{Align, Box as TextBox, Item, PaperSheet, Role, Text};
pub use paper::Paper;
pub use plan::plan;
pub use plan_moved::{PlanArrow, PlanMoved};
pub use plan_push::{PlanPush, PushWay};
pub use plan_view::{PlanBend, PlanReach, PlanTag, PlanView};
pub use profile::{ProfileSheet, columns, profile};
pub use profile_frame::Frame;
pub use profile_table::TableColumn;
pub use scale::Scale;
pub use section::{ClimbReach, Key, LongSection, PipeBand, Series, TableRow, Tag, Trace, Write};
pub use svg::svg;
pub use swing::{Swing, SwingLine, swing};
pub use symbol::Symbol;
