//! A piece of a line while it is put together.

use crate::earth::LatLon;
use crate::numeric::Rng;
use crate::numeric::series::interpolate;
use crate::route::options::{RouteOptions, Spot, WrittenSpot};
use crate::route::spot::{self, ON_LINE_M};
use crate::route::{Node, Plan, Reckoning, Route};
use crate::text::{Fault, Place, Sentence};
use crate::unit::OnPegs;

/// A route, and how well its datum is known.
#[derive(Debug, Clone)]
pub(super) struct RoutePiece {
    pub(super) route: Route,
    pub(super) rank: u8,
}

impl RoutePiece {
    /// Own stations of both ends, m.
    pub(super) fn own_ends_m(&self) -> (f64, f64) {
        let own = |n: Option<&Node>| n.map_or(0.0, |n| n.on_pegs.0);
        (own(self.route.nodes.first()), own(self.route.nodes.last()))
    }

    /// Lowest and highest of its own stations, m.
    pub(super) fn own_reach_m(&self) -> (f64, f64) {
        let (first, last) = self.own_ends_m();
        (first.min(last), first.max(last))
    }

    /// The same piece with its own reckoning, which way it ever counts, beginning at a station.
    pub(super) fn begin_at(mut self, own_m: f64) -> Self {
        let (first, last) = self.own_ends_m();
        for node in &mut self.route.nodes {
            node.on_pegs.0 += own_m - first.min(last);
        }
        self
    }

    /// The same piece counted along the pipe from a station on, up the hill or down it.
    pub(super) fn count_from(&mut self, low_m: f64, up: bool) {
        let length_m = self.route.length_m();
        for node in &mut self.route.nodes {
            let along = if up {
                length_m - node.station_m
            } else {
                node.station_m
            };
            node.on_pegs = OnPegs(low_m + along);
        }
    }

    /// The part of it between two own stations.
    pub(super) fn cut(&self, from_own_m: f64, to_own_m: f64) -> Self {
        let pegs = Reckoning::of(&self.route);
        let (a, b) = (
            pegs.station_m(OnPegs(from_own_m)),
            pegs.station_m(OnPegs(to_own_m)),
        );
        Self {
            route: cut(&self.route, a.min(b), a.max(b)),
            rank: self.rank,
        }
    }
}

/// The part of a route between two stations, stations from 0 again.
fn cut(route: &Route, from: f64, to: f64) -> Route {
    let inside = |s: f64| s > from + 1e-6 && s < to - 1e-6;
    let nodes: Vec<Node> = std::iter::once(node_at(route, from))
        .chain(route.nodes.iter().copied().filter(|n| inside(n.station_m)))
        .chain(std::iter::once(node_at(route, to)))
        .collect();
    let stations: Vec<f64> = nodes.iter().map(|n| n.station_m).collect();
    let level = nodes.first().map_or(0.0, |n| n.horizontal_m);
    let origin = nodes.first().and_then(|n| n.plan);
    let mut heights = route.heights.on(&stations);
    heights.station_m = stations.iter().map(|s| s - from).collect();
    heights.drop_sd_m = drop_sd(&heights.draws);
    heights.backed = route.heights.backed.cut(from, to, -from);
    let mut out = Route {
        nodes: nodes
            .iter()
            .map(|n| Node {
                station_m: n.station_m - from,
                horizontal_m: n.horizontal_m - level,
                plan: n.plan.map(|p| Plan {
                    east_m: p.east_m - origin.map_or(0.0, |o| o.east_m),
                    north_m: p.north_m - origin.map_or(0.0, |o| o.north_m),
                    ..p
                }),
                ..*n
            })
            .collect(),
        heights,
        ..route.clone()
    };
    out.witnesses = route.witnesses.iter().map(|w| w.cut(from, to)).collect();
    out.bends.retain(|b| inside(b.station_m));
    for bend in &mut out.bends {
        bend.station_m -= from;
    }
    out.places
        .retain(|p| (from - 1e-6..=to + 1e-6).contains(&p.station_m));
    for place in &mut out.places {
        place.station_m -= from;
    }
    out
}

/// A node at a station: one that is there, else straight between its neighbours.
fn node_at(route: &Route, station: f64) -> Node {
    let nodes = &route.nodes;
    if let Some(node) = nodes.iter().find(|n| (n.station_m - station).abs() < 1e-6) {
        return *node;
    }
    let of = |pick: fn(&Node) -> f64| {
        let at: Vec<f64> = nodes.iter().map(|n| n.station_m).collect();
        let values: Vec<f64> = nodes.iter().map(pick).collect();
        interpolate(&at, &values, station)
    };
    let after = nodes.partition_point(|n| n.station_m < station);
    let beside = after
        .checked_sub(1)
        .and_then(|i| nodes.get(i))
        .zip(nodes.get(after));
    let plan = beside.and_then(|(a, b)| {
        let (p, q) = a.plan.zip(b.plan)?;
        let t = (station - a.station_m) / (b.station_m - a.station_m);
        let mix = |x: f64, y: f64| x + t * (y - x);
        Some(Plan {
            east_m: mix(p.east_m, q.east_m),
            north_m: mix(p.north_m, q.north_m),
            lat_lon_deg: p
                .lat_lon_deg
                .zip(q.lat_lon_deg)
                .map(|(x, y)| (mix(x.0, y.0), mix(x.1, y.1))),
        })
    });
    Node {
        station_m: station,
        horizontal_m: of(|n| n.horizontal_m),
        on_pegs: OnPegs(of(|n| n.on_pegs.0)),
        plan,
        surveyed: false,
    }
}

/// Standard deviation of the drop over draws, m.
pub(super) fn drop_sd(draws: &[Vec<f64>]) -> f64 {
    let drops: Vec<f64> = draws
        .iter()
        .filter_map(|d| Some(d.first()? - d.last()?))
        .collect();
    spread(&drops)
}

/// Standard deviation of some figures.
pub(super) fn spread(values: &[f64]) -> f64 {
    let count = values.len().max(1) as f64;
    let mean = values.iter().sum::<f64>() / count;
    (values.iter().map(|v| (v - mean) * (v - mean)).sum::<f64>() / count).sqrt()
}

/// Station on the pegs of a named place or a position on a route.
pub(super) fn on_pegs(route: &Route, at: &WrittenSpot) -> Result<OnPegs, Fault> {
    let found = match &at.spot {
        Spot::Station(own) => return Ok(*own),
        Spot::Name(name) => {
            let wanted = name.trim().to_lowercase();
            route
                .places
                .iter()
                .find(|p| p.name.trim().to_lowercase() == wanted)
                .map(|p| p.station_m)
        }
        Spot::Position { lat_deg, lon_deg } => nearest(route, LatLon::new(*lat_deg, *lon_deg)),
    };
    found
        .map(|s| Reckoning::of(route).on_pegs(s))
        .ok_or_else(|| {
            Fault::new(at.place.clone(), "this place is not on the route")
                .expected(
                    Sentence::from("a station, a name in the survey, or a position within ")
                        .length(ON_LINE_M, 0)
                        .words(" of the route"),
                )
                .advice("give a station")
        })
}

fn nearest(route: &Route, position: LatLon) -> Option<f64> {
    let off = |n: &Node| {
        n.plan
            .and_then(|p| p.lat_lon_deg)
            .map(|(lat, lon)| (position.distance_m(LatLon::new(lat, lon)), n.station_m))
    };
    let best = route
        .nodes
        .iter()
        .filter_map(off)
        .min_by(|a, b| a.0.total_cmp(&b.0))?;
    (best.0 <= ON_LINE_M).then_some(best.1)
}

/// Holds the joined line to known heights, draw by draw: each draw is moved by what it misses, straight between known heights and evenly beyond them.
pub(super) fn hold(route: &mut Route, options: &RouteOptions) -> Result<(), Fault> {
    let mut known = Vec::new();
    for tie in &options.ties {
        let on_pegs = on_pegs(route, &tie.at)?;
        known.push((
            Reckoning::of(route).station_m(on_pegs),
            tie.elevation_m,
            tie.sd_m,
        ));
    }
    if known.is_empty() {
        return Ok(());
    }
    known.sort_by(|a, b| a.0.total_cmp(&b.0));
    let at: Vec<f64> = known.iter().map(|k| k.0).collect();
    let stations = route.heights.station_m.clone();
    let move_line = |line: &mut Vec<f64>, errors: &[f64]| {
        let misses: Vec<f64> = known
            .iter()
            .zip(errors)
            .map(|(k, e)| k.1 + e - interpolate(&stations, line, k.0))
            .collect();
        for (z, &s) in line.iter_mut().zip(&stations) {
            *z += interpolate(&at, &misses, s);
        }
    };
    move_line(&mut route.heights.mean_m, &vec![0.0; known.len()]);
    let mut source = Rng::new(options.heights.seed ^ 0x71e5);
    for draw in &mut route.heights.draws {
        let errors: Vec<f64> = known.iter().map(|k| k.2 * source.normal()).collect();
        move_line(draw, &errors);
    }
    refresh(route);
    Ok(())
}

/// Standard deviations from the draws as they now are.
pub(super) fn refresh(route: &mut Route) {
    let draws = &route.heights.draws;
    if draws.is_empty() {
        return;
    }
    route.heights.sd_m = (0..route.heights.station_m.len())
        .map(|i| {
            spread(
                &draws
                    .iter()
                    .filter_map(|d| d.get(i).copied())
                    .collect::<Vec<_>>(),
            )
        })
        .collect();
    route.heights.drop_sd_m = drop_sd(draws);
}

/// Cuts the joined line to intake and turbine.
pub(super) fn trim(route: Route, options: &RouteOptions) -> Result<Route, Fault> {
    let end = |at: &Option<WrittenSpot>, default: f64| -> Result<f64, Fault> {
        at.as_ref().map_or(Ok(default), |at| {
            Ok(Reckoning::of(&route).station_m(on_pegs(&route, at)?))
        })
    };
    let length = route.nodes.last().map_or(0.0, |n| n.station_m);
    let (from, to) = (end(&options.intake, 0.0)?, end(&options.turbine, length)?);
    if from <= 1e-6 && to >= length - 1e-6 {
        return Ok(route);
    }
    let least = 1e-3 * length;
    if to - from < least {
        return Err(spot::no_pipe_between(
            options,
            Place::default(),
            (to - from, least),
        ));
    }
    Ok(cut(&route, from, to))
}
