//! profile.dxf and plan.dxf: the section and the plan for whoever draws on, in true units.

mod drawing;
mod label;
mod plan;
mod section;
mod writer;

pub use plan::of as plan;
pub use section::of as section;
