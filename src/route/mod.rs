//! Everything that was surveyed to one line: from walks, from a book, from parts; its stations, plan, heights and bends.

mod bend;
mod book;
mod join;
mod ladder;
mod longest;
mod options;
mod peg;
mod reckoning;
mod spot;
mod surveyed;
mod walked;
mod witness;

pub use options::{End, KnownHeight, Peg, RouteOptions, Spot, SurveyPart, WrittenSpot};
pub use reckoning::Reckoning;
pub use surveyed::{Bend, Node, Plan, Route, StationedPlace};
pub use witness::{Errs, Slow, Witness, WitnessLook};

use crate::reading::{Data, Method, Reading};
use crate::text::{Fault, Place};
use longest::{HIGHEST_M, refuse_no_ground, refuse_too_long};

impl Route {
    /// One line from everything that was surveyed: several walks are passes over the same line, a book gives its points, `options.parts` are laid in.
    ///
    /// # Errors
    /// Where no line can be made: nothing was surveyed, the walks do not lie on one line, heights are lacking, or it is not certain which end is the intake.
    pub fn from(readings: &[Reading], options: &RouteOptions) -> Result<Self, Fault> {
        let mut route = Self::of_any(readings, options)?;
        let first = readings.first().map_or("", |r| r.file.as_str());
        refuse_no_ground(&route.heights.mean_m, -HIGHEST_M, Place::file(first))?;
        let of_parts = options.parts.iter().flat_map(|p| &p.readings);
        route.files = readings
            .iter()
            .chain(of_parts)
            .map(|r| r.source.clone())
            .collect();
        Ok(route)
    }

    fn of_any(readings: &[Reading], options: &RouteOptions) -> Result<Self, Fault> {
        if readings.iter().any(|r| matches!(r.data, Data::Walks(_))) {
            return walked::walked(readings, options);
        }
        let route = if options.parts.is_empty() {
            book::booked(readings, options)
        } else {
            join::joined(readings, options)
        }?;
        let length_m = route.length_m();
        let mut files = readings
            .iter()
            .chain(options.parts.iter().flat_map(|p| &p.readings));
        let file = files.next().map_or("", |r| r.file.as_str());
        refuse_too_long(length_m, Place::file(file))?;
        Ok(route)
    }

    /// Length along the pipe, m; a route without points has none.
    pub fn length_m(&self) -> f64 {
        self.nodes.last().map_or(0.0, |n| n.station_m)
    }

    /// Whether more walks with a receiver would tell more of its heights: not of a book, nor of heights that were looked up in a terrain model.
    pub fn more_walks_tell(&self) -> bool {
        let walked = matches!(self.method, Some(Method::Gpx | Method::Mixed));
        walked && !self.terrain_model
    }
}
