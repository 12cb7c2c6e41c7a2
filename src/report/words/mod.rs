//! The words for what was found: one place, so that terminal, page, sheet and result.json say the same.

mod air;
mod assumed;
mod buried;
mod climb;
/// What a storm changed, before and now.
pub(crate) mod consequence;
mod figure;
mod flow;
mod force;
/// What a book of gauge readings says.
pub(crate) mod gauge_book;
mod gauging;
mod grade;
mod harm;
mod hold;
mod label;
mod lacks;
mod mend;
mod name;
mod refused;
mod runaway;
mod rust;
mod slip;
mod solid;
mod start;
/// Words for what a storm did.
pub(crate) mod storm;
mod trial;
mod verdict;
mod wheel;
mod work;

pub(crate) use air::{relation_word, start_label, start_word, vent_fault, vent_why_word};
pub(crate) use assumed::{AssumedValue, taken};
pub(crate) use buried::{LAYER_M, TAPE_M, no_deflection, no_fill};
pub use figure::Say;
pub(crate) use flow::{
    doubt_word, limited_word, regime_word, remedy, remedy_word, submergence_word, unused_word,
};
pub(crate) use flow::{largest_power, most, next_reading};
pub(crate) use force::{
    block_side, block_word, no_block, push_way, soil_word, table_short, table_word,
};
pub(crate) use gauging::{method_word, note_word, with_doubt};
pub(crate) use harm::pressure_cause;
pub use harm::text;
pub use label::label;
pub(crate) use label::{joint_label, kind_label};
pub(crate) use lacks::lacks;
pub(crate) use lacks::why_not;
pub use mend::advice;
pub(crate) use name::states;
pub(crate) use name::{
    act_cautions, device_word, elbow_words, plan_word, standing_word, traffic_word, why_word,
};
pub use refused::Refused;
#[cfg(feature = "cli")]
pub(crate) use refused::{apart, no_sizes};
pub(crate) use runaway::runaway_line;
pub use rust::soil_class_word;
pub(crate) use rust::{metal_lines, metal_row};
pub(crate) use solid::{grit_lines, grit_row, screen_lines, screen_row};
pub(crate) use trial::{proof_line, proof_word};
pub(crate) use verdict::{falls_word, survey_line, verdict_line, verdict_word};
pub(crate) use wheel::no_wheel;
pub(crate) use work::act;
pub(crate) use work::job_word;
