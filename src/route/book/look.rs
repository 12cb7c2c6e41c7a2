//! Names, stations and positions looked up on a book's course.

use super::course::BookLine;
use crate::earth::LatLon;
use crate::reading::Reading;
use crate::route::ladder::ChainageMap;
use crate::route::options::{Spot, WrittenSpot};
use crate::route::spot;
use crate::text::{Fault, nearest};
use crate::unit::OnPegs;

/// Looks places up on a course.
pub(super) struct BookLook<'a> {
    pub(super) course: &'a BookLine,
    pub(super) readings: &'a [Reading],
}

impl BookLook<'_> {
    /// Level station of a name or a position; `None` for a station.
    pub(super) fn foot(&self, at: &WrittenSpot) -> Result<Option<f64>, Fault> {
        if let Spot::Name(name) = &at.spot
            && let Some(level) = self.course.named(name, at)?
        {
            return Ok(Some(level));
        }
        let found =
            spot::position(at, self.readings).map_err(|fault| self.with_near_name(fault, at));
        let Some(position) = found? else {
            return Ok(None);
        };
        let Some((level, off_m)) = self.course.nearest(position) else {
            return Err(Fault::new(
                at.place.clone(),
                "this survey has no latitudes and longitudes",
            )
            .found("a position with latitude and longitude")
            .expected("a station, or the name of a point in the survey")
            .advice("give a station"));
        };
        spot::refuse_off(at, off_m)?;
        Ok(Some(level))
    }

    /// A fault about an unknown name, with the nearest name of the book where one is near.
    fn with_near_name(&self, fault: Fault, at: &WrittenSpot) -> Fault {
        let Spot::Name(name) = &at.spot else {
            return fault;
        };
        let names = self.course.rows.iter().map(|r| r.name.as_str());
        match nearest(name, names.filter(|n| !n.is_empty())) {
            Some(near) => fault.advice(format!("did you mean \"{near}\"?")),
            None => fault,
        }
    }

    /// Level station of any place, before anything was turned: only to tell the ends apart.
    pub(super) fn end(&self, at: &WrittenSpot) -> Result<Option<f64>, Fault> {
        match (&at.spot, self.foot(at)?) {
            (_, Some(level)) => Ok(Some(level)),
            (Spot::Station(own), None) => Ok(self.course.level_of_own(own.0)),
            _ => Ok(None),
        }
    }

    pub(super) fn plan_of(&self, at: &WrittenSpot, ladder: &ChainageMap) -> Result<f64, Fault> {
        if let Some(level) = self.foot(at)? {
            return Ok(level);
        }
        let Spot::Station(OnPegs(own)) = at.spot else {
            return Ok(0.0);
        };
        let ends = (ladder.own_m.first(), ladder.own_m.last());
        let (a, b) = (
            ends.0.copied().unwrap_or(0.0),
            ends.1.copied().unwrap_or(0.0),
        );
        let (low, high) = (a.min(b), a.max(b));
        let slack = 0.5_f64.max(0.005 * (high - low));
        if own < low - slack || own > high + slack {
            return Err(spot::beyond(at, own, (low, high)));
        }
        Ok(ladder.plan_of_own(own))
    }

    /// Names of the book and of waypoints with their level stations.
    pub(super) fn places(&self, from: f64, to: f64) -> Vec<(String, f64, f64)> {
        let own = self
            .course
            .rows
            .iter()
            .zip(&self.course.level_m)
            .filter(|(r, _)| !r.name.is_empty())
            .map(|(r, &level)| (r.name.clone(), level, 0.0));
        let others = self
            .readings
            .iter()
            .flat_map(|r| &r.places)
            .filter_map(|p| {
                let (level, off_m) = self.course.nearest(LatLon::new(p.lat_deg, p.lon_deg))?;
                Some((p.name.clone(), level, off_m))
            });
        let mut out: Vec<(String, f64, f64)> = own
            .chain(others)
            .filter(|(_, level, _)| *level >= from - 1e-6 && *level <= to + 1e-6)
            .collect();
        out.sort_by(|a, b| a.1.total_cmp(&b.1));
        out
    }
}
