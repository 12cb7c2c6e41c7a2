//! The catalogue of pipe by open standard, the vocabulary of parts, and what a pipe can take.

mod allowance;
mod bend;
mod catalogue;
mod collapse;
mod facts;
mod joint;
mod kind;
mod known;
mod lengths;
mod machine;
mod mark_kind;
mod may_be;
mod modulus;
mod own;
pub mod parts;
mod roughness;
mod running;
mod supports;
mod table;
mod temperature;
mod trap;
mod trench;
pub mod wave;
mod words;

pub use allowance::surge_allowance;
pub use bend::{InBend, RING_JOINT_RAD, least_radius_m};
pub use catalogue::{NotOne, catalogue, find, is_in_inches, search};
pub use collapse::{
    COLLAPSE_SAFETY, COVER_THAT_COUNTS_M, Outside, Ring, RingGround, collapse_pa, expected_ovality,
    ovality_factor, soil_supported_pa,
};
pub use facts::{density_kg_per_m3, length_change_m, poisson, rusts, thermal_expansion_per_k};
pub use joint::{JointLimit, Pull, joint_limit};
pub use kind::Pipe;
pub use known::Known;
pub use lengths::{COIL_END_M, Pieces, usual_pieces};
pub use machine::Machine;
pub use mark_kind::MarkKind;
pub use may_be::{MayBe, may_be};
pub use modulus::{FIFTY_YEARS_H, Lasting, lasting_modulus_pa};
pub use own::{Own, OwnFault, own};
pub use parts::*;
pub use roughness::{Roughness, roughness};
pub use running::RunState;
pub use supports::{SupportSpan, support_spacing_m};
pub use temperature::{hottest_wall_c, sun_wall_c, temperature_factor};
pub use trap::{SizeTrap, outside_of_name_m, size_trap};
pub use trench::{Surround, Tamped, Trench, Wet};
