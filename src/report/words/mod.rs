//! The words for what was found: one place, so that terminal, page, sheet and result.json say the same.

mod air;
mod assumed;
mod buried;
mod climb;
/// What a storm changed, before and now.
pub mod consequence;
mod figure;
mod flow;
mod force;
/// What a book of gauge readings says.
pub mod gauge_book;
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
pub mod storm;
mod trial;
mod verdict;
mod wheel;
mod work;

pub use air::{gathers_word, relation_word, start_label, start_word, vent_fault, vent_why_word};
pub use assumed::{AssumedValue, taken};
pub use buried::{LAYER_M, TAPE_M, no_deflection, no_fill, surround_word, tamped_word, wet_word};
pub use figure::Say;
pub use flow::{
    cause_word, doubt_word, largest_power, limited_word, most, next_reading, regime_word, remedy,
    remedy_word, submergence_word, unused_word,
};
pub use force::{
    block_side, block_word, no_block, push_way, pushes_word, sense_word, soil_word, table_short,
    table_word, towards_word,
};
pub use gauging::{method_word, note_word, with_doubt};
pub use harm::{pressure_cause, text};
pub use label::{joint_label, kind_label, label};
pub use lacks::{lacks, why_not};
pub use mend::advice;
pub use name::{
    act_cautions, bed_word, device_word, elbow_words, joint_word, kind_word, plan_word,
    severity_word, standing_word, states, traffic_word, why_word,
};
pub use refused::{Refused, apart, no_sizes};
pub use runaway::runaway_line;
pub use rust::{metal_lines, metal_row, soil_class_word};
pub use solid::{grit_lines, grit_row, screen_lines, screen_row};
pub use trial::{proof_line, proof_word};
pub use verdict::{falls_word, survey_line, verdict_line, verdict_word};
pub use wheel::no_wheel;
pub use work::{act, job_word};
