//! The words for what was found: one place, so that terminal, page, sheet and result.json say the same.

/// A study with what was found in it.
pub mod account;
mod air;
mod assumed;
/// What a storm changed, before and now.
pub mod consequence;
mod figure;
mod flow;
mod force;
mod grade;
mod harm;
mod hold;
mod lacks;
/// The laying list.
pub mod laying;
mod losses;
mod marked;
mod mend;
mod name;
/// The words of the shopping list.
pub mod shopping;
mod size;
mod start;
/// Words for what a storm did.
pub mod storm;
mod verdict;
mod work;

pub use air::{gathers_word, relation_word, start_word, vent_fault, vent_why_word};
pub use assumed::{AssumedValue, taken};
pub use figure::Say;
pub use flow::{
    cause_word, doubt_word, largest_power, limited_word, most, next_reading, regime_word, remedy,
    remedy_word, submergence_word, unused_word,
};
pub use force::{
    at_word, bearing_deg, block_side, block_word, no_block, place_word, push_way, pushes_word,
    sense_word, soil_word, table_short, table_word, towards_word,
};
pub use harm::{no_wheel, text};
pub use lacks::{lacks, why_not};
pub use losses::losses;
pub use marked::{Marked, vented_by, vents_on};
pub use mend::advice;
pub use name::{
    act_cautions, bed_word, device_word, elbow_words, joint_word, kind_word, load_word, plan_word,
    severity_word, standing_word, states, traffic_word, why_word,
};
pub use size::{NOT_RUN, TOO_WARM, TOO_WEAK, aside_word, choice_word};
pub use verdict::{falls_word, survey_line, verdict_line, verdict_word};
pub use work::{act, job_word};
