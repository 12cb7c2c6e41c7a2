//! The words for what was found: one place, so that terminal, page, sheet and result.json say the same.

mod air;
mod aside;
mod assumed;
mod bought;
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
mod typeset;
mod verdict;
mod wheel;
mod work;

pub(crate) use air::{start_label, vent_fault, vent_why_word};
pub(crate) use aside::{ASIDE, aside_word};
pub(crate) use assumed::{AssumedValue, taken};
pub(crate) use bought::item_word;
pub(crate) use buried::{LAYER_M, TAPE_M, no_deflection, no_fill};
pub use figure::Say;
pub(crate) use flow::{largest_power, most, next_reading};
pub(crate) use flow::{losses, remedy, unused_word};
pub(crate) use force::{block_side, no_block, push_way, table_short};
pub(crate) use gauging::with_doubt;
pub(crate) use harm::pressure_cause;
pub use harm::text;
pub use label::label;
pub(crate) use label::{joint_label, kind_label};
pub(crate) use lacks::lacks;
pub(crate) use lacks::why_not;
pub use mend::advice;
pub(crate) use name::states;
pub(crate) use name::{act_cautions, elbow_words, why_word};
pub use refused::Refused;
#[cfg(feature = "cli")]
pub(crate) use refused::{apart, no_sizes};
pub(crate) use runaway::runaway_line;
pub(crate) use rust::{metal_lines, metal_row};
pub(crate) use solid::{grit_lines, grit_row, screen_lines, screen_row};
pub(crate) use trial::proof_line;
pub(crate) use typeset::capital;
pub use typeset::typeset;
pub(crate) use verdict::{survey_line, verdict_line};
pub(crate) use wheel::no_wheel;
pub(crate) use work::act;
