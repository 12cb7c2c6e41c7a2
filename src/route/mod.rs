//! Surveys to one line: stations, plan, heights as a posterior, bends.

mod bend;
mod book;
pub mod earth;
pub mod heights;
mod join;
mod ladder;
mod options;
mod peg;
mod spot;
mod track;
mod walk;

pub use options::{At, End, KnownHeight, Part, Peg, RouteOptions, Spot};
pub(crate) use track::interpolate;
pub use track::{Bend, Heights, Node, Plan, Route, StationedPlace};
pub use walk::{WalkedPlan, plan_of_walks};

use crate::survey::{Data, Reading};
use crate::text::Fault;

impl Route {
    /// One line from everything that was surveyed: several walks are passes over the same line, a book gives its points, `options.parts` are laid in.
    ///
    /// # Errors
    /// Where no line can be made: nothing was surveyed, the walks do not lie on one line, heights are lacking, or it is not certain which end is the intake.
    pub fn from(readings: &[Reading], options: &RouteOptions) -> Result<Self, Fault> {
        if readings.iter().any(|r| matches!(r.data, Data::Walks(_))) {
            walk::walked(readings, options)
        } else if options.parts.is_empty() {
            book::booked(readings, options)
        } else {
            join::joined(readings, options)
        }
    }
}
