use crate::numeric::math;
use crate::route::{Reckoning, Route};
use crate::site::{DeclaredPlace, Located};
use crate::text::{Fault, Sentence};
use crate::unit::OnPegs;

/// Finds places of the site file on the line.
pub(super) struct PlaceFinder<'a> {
    route: &'a Route,
    pegs: Reckoning,
    length_m: f64,
}

/// A position may lie this far off the line, m: a receiver's error and a shortcut, not another valley.
const FARTHEST_OFF_M: f64 = 30.0;

/// "a place within 30 m of the line".
fn within(what: &str) -> Sentence {
    Sentence::from(what)
        .words(" within ")
        .length(FARTHEST_OFF_M, 0)
        .words(" of the pipeline")
}

impl<'a> PlaceFinder<'a> {
    /// On a surveyed route.
    pub(super) fn new(route: &'a Route) -> Self {
        Self {
            route,
            pegs: Reckoning::of(route),
            length_m: route.length_m(),
        }
    }

    /// Length of the line, m.
    pub(super) fn length_m(&self) -> f64 {
        self.length_m
    }

    /// How far past an end a station may be said and still mean the end, m: the line's own doubt, never less than 2 m or 2 %.
    pub(super) fn slack_m(&self) -> f64 {
        (3.0 * self.route.length_sd_m)
            .max(0.02 * self.length_m)
            .max(2.0)
    }

    /// Whether a station lies above the end of the line by more than that.
    pub(super) fn falls_short(&self, station_m: f64) -> bool {
        station_m < self.length_m - self.slack_m()
    }

    /// The station along the pipe, m.
    ///
    /// # Errors
    /// A name that is not on the survey, a position far off the line, a station past its end.
    pub(super) fn station_m(&self, at: &Located<DeclaredPlace>) -> Result<f64, Fault> {
        match &at.value {
            DeclaredPlace::Station(on_pegs) => self.of_pegs(*on_pegs, at),
            DeclaredPlace::Name(name) => self.named(name, at),
            DeclaredPlace::LatLon { lat_deg, lon_deg } => self.nearest(*lat_deg, *lon_deg, at),
        }
    }

    /// What stands at single places, down the line: each with its station, m, and its place in the site file. What is not found is told.
    pub(super) fn in_order<'t, T>(
        &self,
        all: &'t [T],
        at: fn(&T) -> &Located<DeclaredPlace>,
        faults: &mut Vec<Fault>,
    ) -> Vec<(f64, usize, &'t T)> {
        let mut out = Vec::new();
        for (i, said) in all.iter().enumerate() {
            match self.station_m(at(said)) {
                Ok(station_m) => out.push((station_m, i, said)),
                Err(fault) => faults.push(fault),
            }
        }
        out.sort_by(|a, b| a.0.total_cmp(&b.0));
        out
    }

    /// Which way the pegs count, and what one reckoning is in the other.
    pub(super) fn pegs(&self) -> &Reckoning {
        &self.pegs
    }

    fn of_pegs(&self, on_pegs: OnPegs, at: &Located<DeclaredPlace>) -> Result<f64, Fault> {
        let (OnPegs(low), OnPegs(high)) = self.pegs.ends().unwrap_or_default();
        let OnPegs(own_m) = on_pegs;
        if own_m < low - self.slack_m() || own_m > high + self.slack_m() {
            return Err(at
                .fault(
                    Sentence::from("the station ")
                        .short(own_m)
                        .words(" is not on the pipeline"),
                )
                .found(Sentence::default().short(own_m))
                .expected(
                    Sentence::from("a station from ")
                        .length(low, 1)
                        .words(" to ")
                        .length(high, 1)
                        .words(", as measured in the survey"),
                )
                .advice("correct the station, or extend the survey to it"));
        }
        Ok(self.pegs.station_m(on_pegs))
    }

    fn named(&self, name: &str, at: &Located<DeclaredPlace>) -> Result<f64, Fault> {
        let wanted = name.trim().to_lowercase();
        let found = self
            .route
            .places
            .iter()
            .find(|p| p.name.trim().to_lowercase() == wanted);
        match found {
            Some(place) if place.off_m <= FARTHEST_OFF_M => {
                Ok(place.station_m.clamp(0.0, self.length_m))
            }
            Some(place) => Err(at
                .fault(
                    Sentence::from(format!("\"{name}\" lies "))
                        .length(place.off_m, 0)
                        .words(" away from the pipeline"),
                )
                .expected(within("a place"))
                .advice("give the station instead")),
            None => Err(at.not_found(self.route.places.iter().map(|p| p.name.as_str()))),
        }
    }

    fn nearest(
        &self,
        lat_deg: f64,
        lon_deg: f64,
        at: &Located<DeclaredPlace>,
    ) -> Result<f64, Fault> {
        // Over the length of a pipe a degree is as long everywhere: enough to say which point of the line is nearest.
        const METRES_A_DEGREE: f64 = 111_195.0;
        let narrow = math::cos(lat_deg.to_radians());
        let local: Vec<(f64, f64, f64)> = self
            .route
            .nodes
            .iter()
            .filter_map(|n| {
                let (lat, lon) = n.plan?.lat_lon_deg?;
                Some((
                    (lon - lon_deg) * METRES_A_DEGREE * narrow,
                    (lat - lat_deg) * METRES_A_DEGREE,
                    n.station_m,
                ))
            })
            .collect();
        let best = local
            .windows(2)
            .filter_map(|pair| match pair {
                [(x0, y0, s0), (x1, y1, s1)] => {
                    let (dx, dy) = (x1 - x0, y1 - y0);
                    let long = dx * dx + dy * dy;
                    let share = if long > 0.0 {
                        (-(x0 * dx + y0 * dy) / long).clamp(0.0, 1.0)
                    } else {
                        0.0
                    };
                    Some((
                        math::hypot(x0 + share * dx, y0 + share * dy),
                        s0 + share * (s1 - s0),
                    ))
                }
                _ => None,
            })
            .min_by(|a, b| a.0.total_cmp(&b.0));
        match best {
            Some((off, station)) if off <= FARTHEST_OFF_M => Ok(station),
            Some((off, _)) => Err(at
                .fault(
                    Sentence::from("the position is ")
                        .length(off, 0)
                        .words(" away from the pipeline"),
                )
                .expected(within("a position"))
                .advice("check latitude and longitude, or give the station")),
            None => Err(at
                .fault("the survey has no geographic positions")
                .expected("a station with its unit, or a point's name")
                .advice("write the station, such as \"250 m\"")),
        }
    }
}
