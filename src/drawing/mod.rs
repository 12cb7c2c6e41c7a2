//! The sheet: a longitudinal section and a plan, drawn as neutral marks in millimetres on paper, then written as SVG.
//!
//! Nothing is computed here and nothing is put into words: a [`LongSection`] or a [`PlanView`] brings figures and the words for them, the room lays them out.

mod advance;
mod cut;
mod foot;
mod form;
mod frame;
mod ink;
mod inset;
mod item;
mod label;
mod paper;
mod plan;
mod plan_chart;
mod plan_grid;
mod plan_label;
mod plan_moved;
mod plan_push;
mod profile;
mod profile_chart;
mod profile_heads;
mod profile_table;
mod profile_tag;
mod rises;
mod scale;
mod section;
mod section_frame;
mod strip;
mod strip_plan;
mod svg;
mod swing;
mod symbol;

pub use advance::{fitted, text_width};
pub use form::{FieldForm, form};
pub use frame::Words;
pub use ink::{Colour, Dash, Ink, Pen};
pub use item::{Align, Box as TextBox, Item, PaperSheet, Role, Text};
pub use label::{LabelRequest, spread};
pub use paper::PaperSize;
pub use plan::plan;
pub use plan_chart::{PlanArrow, PlanBend, PlanMoved, PlanReach, PlanTag, PlanView};
pub use plan_label::{crosses, room_beside};
pub use plan_push::{PlanPush, PushWay};
pub use profile::{ProfileSheet, columns, profile};
pub use profile_table::TableColumn;
pub use rises::rises;
pub use scale::DrawingScale;
pub use section::{
    ClimbReach, LegendKey, LongSection, PipeBand, SectionLine, Series, TableRow, Tag, Write,
};
pub use section_frame::Frame;
pub use strip::{Badge, Strip, strip};
pub use strip_plan::strip_plan;
pub use svg::svg;
pub use swing::{Swing, SwingLine, swing};
pub use symbol::Symbol;
