//! The stations that all results share, with the heights and the plan on them.

use super::{Appurtenance, Fitting, Flood, Gauge, Geometry, Laid, Line, Reach, Tap, centre, grid};
use crate::heights::Heights;
use crate::route::{Plan, Route};
use crate::site::SurveyedLine;

/// What has a station of its own on the grid.
pub(super) struct OnIt<'a> {
    pub(super) reaches: &'a [Reach],
    pub(super) fittings: &'a [Fitting],
    pub(super) stands: &'a [Appurtenance],
    pub(super) taps: &'a [Tap],
    pub(super) gauges: &'a [Gauge],
    pub(super) laid: &'a [Laid],
    pub(super) floods: &'a [Flood],
}

impl OnIt<'_> {
    fn stations_m(&self) -> Vec<f64> {
        self.reaches
            .iter()
            .map(|r| r.to_m)
            .chain(self.fittings.iter().map(|f| f.station_m))
            .chain(self.stands.iter().map(|s| s.station_m))
            .chain(self.taps.iter().map(|t| t.station_m))
            .chain(self.gauges.iter().map(|g| g.station_m))
            .chain(self.laid.iter().flat_map(|l| [l.from_m, l.to_m]))
            .chain(self.floods.iter().flat_map(|l| [l.from_m, l.to_m]))
            .collect()
    }
}

/// The grid, and what the route is on it.
pub(super) struct Gridded {
    pub(super) heights: Heights,
    pub(super) horizontal_m: Vec<f64>,
    pub(super) plan: Vec<Option<Plan>>,
    pub(super) ground_m: Vec<Option<f64>>,
}

impl Gridded {
    pub(super) fn of(route: &Route, of: SurveyedLine, on_it: &OnIt<'_>) -> Self {
        let stations = grid::stations(
            &route.heights.station_m,
            &route.heights.mean_m,
            &on_it.stations_m(),
        );
        let surveyed = route.heights.on(&stations);
        let mut heights = surveyed.clone();
        centre::bring(&mut heights, of, on_it.reaches, on_it.laid);
        Self {
            ground_m: ground_line(of, &surveyed, &heights),
            horizontal_m: stations
                .iter()
                .filter_map(|&s| along(route, s, |n| Some(n.horizontal_m)))
                .collect(),
            plan: stations.iter().map(|&s| plan_at(route, s)).collect(),
            heights,
        }
    }
}

impl Line {
    /// The same line with other things standing on it, on the stations that it would have were they declared: what is computed on it is what a run of that site computes.
    ///
    /// `route` is the one that the line was built from; a line without one keeps its stations.
    #[must_use]
    pub fn with_stands(&self, route: &Route, mut stands: Vec<Appurtenance>) -> Self {
        stands.sort_by(|a, b| a.station_m.total_cmp(&b.station_m));
        let line = Self {
            stands,
            ..self.clone()
        };
        if route.heights.station_m.len() < 2 {
            return line;
        }
        let on_it = OnIt {
            reaches: &line.reaches,
            fittings: &line.fittings,
            stands: &line.stands,
            taps: &line.taps,
            gauges: &line.measured.gauges,
            laid: &line.environment.laid,
            floods: &line.environment.floods,
        };
        let Gridded {
            heights,
            horizontal_m,
            plan,
            ground_m,
        } = Gridded::of(route, line.geometry.of, &on_it);
        let geometry = Geometry {
            heights,
            horizontal_m,
            plan,
            ground_m,
            ..line.geometry
        };
        Self { geometry, ..line }
    }
}

/// The ground where it was surveyed and differs from the pipe's centre.
fn ground_line(of: SurveyedLine, surveyed: &Heights, pipe: &Heights) -> Vec<Option<f64>> {
    surveyed
        .mean_m
        .iter()
        .zip(&pipe.mean_m)
        .map(|(ground, centre)| {
            (of == SurveyedLine::Ground || (ground - centre).abs() > 0.25).then_some(*ground)
        })
        .collect()
}

/// A value of the route's nodes at a station, straight between them; `None` where a node beside it has none.
fn along(
    route: &Route,
    station_m: f64,
    value: impl Fn(&crate::route::Node) -> Option<f64>,
) -> Option<f64> {
    let above = route.nodes.partition_point(|n| n.station_m < station_m);
    match (
        above.checked_sub(1).and_then(|i| route.nodes.get(i)),
        route.nodes.get(above),
    ) {
        (Some(a), Some(b)) if b.station_m > a.station_m => {
            let (from, to) = (value(a)?, value(b)?);
            Some(from + (to - from) * (station_m - a.station_m) / (b.station_m - a.station_m))
        }
        (_, Some(n)) | (Some(n), None) => value(n),
        (None, None) => None,
    }
}

/// Positions are told only where every point of the survey has one.
fn plan_at(route: &Route, station_m: f64) -> Option<Plan> {
    let on_earth = |p: &Plan| p.lat_lon_deg.is_some();
    let all = |has: &dyn Fn(&Plan) -> bool| {
        let points = &route.nodes;
        points.iter().all(|n| n.plan.as_ref().is_some_and(has))
    };
    if !all(&|_| true) {
        return None;
    }
    let of = |pick: &dyn Fn(Plan) -> Option<f64>| along(route, station_m, |n| pick(n.plan?));
    let lat = of(&|p| p.lat_lon_deg.map(|l| l.0));
    let lon = of(&|p| p.lat_lon_deg.map(|l| l.1));
    Some(Plan {
        east_m: of(&|p| Some(p.east_m))?,
        north_m: of(&|p| Some(p.north_m))?,
        lat_lon_deg: lat.zip(lon).filter(|_| all(&on_earth)),
    })
}
