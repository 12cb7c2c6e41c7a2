//! A route as points in one plane, and the nearest point of it.

use crate::earth::{LatLon, Plane};
use crate::numeric::math;
use crate::numeric::series;
use crate::route::{Node, Route};

/// A line in plan: stations and positions.
#[derive(Debug, Clone, Default)]
pub(super) struct PlanShape {
    pub(super) station_m: Vec<f64>,
    pub(super) at: Vec<(f64, f64)>,
    /// Tied to the earth: then it is not turned by the fit.
    pub(super) on_earth: bool,
}

/// The foot of a point on a line.
#[derive(Debug, Clone, Copy)]
pub(super) struct ShapeFoot {
    pub(super) station_m: f64,
    /// How far the point lies to the left of the line, m.
    pub(super) left_m: f64,
    /// Direction of the line there, unit.
    pub(super) along: (f64, f64),
    /// The nearest point is an end of the line.
    pub(super) is_end: bool,
}

impl PlanShape {
    /// The positions of two routes in one plane: by latitude and longitude where both have them, else each on its own grid. `None` where either has no plan.
    pub(super) fn both(before: &Route, after: &Route) -> Option<(Self, Self)> {
        let earth = |r: &Route| {
            r.nodes
                .iter()
                .all(|n| n.plan.is_some_and(|p| p.lat_lon_deg.is_some()))
        };
        if earth(before) && earth(after) {
            let first = before.nodes.first()?.plan?.lat_lon_deg?;
            let height = series::first(&before.heights.mean_m);
            let plane = Plane::new(LatLon::new(first.0, first.1), height);
            let place = |n: &Node| {
                let (lat, lon) = n.plan?.lat_lon_deg?;
                let [east, north, _] = plane.local(LatLon::new(lat, lon), height);
                Some((east, north))
            };
            return Some((
                Self::of(before, place, true)?,
                Self::of(after, place, true)?,
            ));
        }
        let grid = |n: &Node| n.plan.map(|p| (p.east_m, p.north_m));
        Some((
            Self::of(before, grid, false)?,
            Self::of(after, grid, false)?,
        ))
    }

    fn of(
        route: &Route,
        place: impl Fn(&Node) -> Option<(f64, f64)>,
        on_earth: bool,
    ) -> Option<Self> {
        let mut shape = Self {
            on_earth,
            ..Self::default()
        };
        for node in &route.nodes {
            shape.station_m.push(node.station_m);
            shape.at.push(place(node)?);
        }
        (shape.at.len() >= 2).then_some(shape)
    }

    /// Points at most so many, evenly along the line, for fitting.
    pub(super) fn thinned(&self, most: usize) -> Vec<(f64, (f64, f64))> {
        let (Some(&first), Some(&last)) = (self.station_m.first(), self.station_m.last()) else {
            return Vec::new();
        };
        let count = most
            .min(((last - first) / 1.0).ceil().max(2.0) as usize)
            .max(2);
        (0..count)
            .map(|i| {
                let s = first + (last - first) * i as f64 / (count - 1) as f64;
                (s, self.point(s))
            })
            .collect()
    }

    /// Position at a station.
    pub(super) fn point(&self, station_m: f64) -> (f64, f64) {
        let above = self
            .station_m
            .partition_point(|s| *s < station_m)
            .clamp(1, self.station_m.len().max(2) - 1);
        let pair = |i: usize| self.station_m.get(i).copied().zip(self.at.get(i).copied());
        match (pair(above - 1), pair(above)) {
            (Some((s0, a)), Some((s1, b))) if s1 > s0 => {
                let t = ((station_m - s0) / (s1 - s0)).clamp(0.0, 1.0);
                (a.0 + t * (b.0 - a.0), a.1 + t * (b.1 - a.1))
            }
            (Some((_, a)), _) => a,
            _ => (0.0, 0.0),
        }
    }

    /// The nearest point of the line to a point, among stations of a range.
    pub(super) fn foot(&self, point: (f64, f64), within: (f64, f64)) -> Option<ShapeFoot> {
        let mut best: Option<(f64, ShapeFoot)> = None;
        let from = self
            .station_m
            .partition_point(|s| *s < within.0)
            .saturating_sub(1);
        let to = (self.station_m.partition_point(|s| *s <= within.1) + 1).min(self.station_m.len());
        let legs = self
            .station_m
            .get(from..to)?
            .windows(2)
            .zip(self.at.get(from..to)?.windows(2));
        let last = self.station_m.len().saturating_sub(2);
        for (k, (s, p)) in legs.enumerate() {
            let ([s0, s1], [a, b]) = (s, p) else { continue };
            let d = (b.0 - a.0, b.1 - a.1);
            let length = math::hypot(d.0, d.1);
            if length <= 0.0 {
                continue;
            }
            let along = (d.0 / length, d.1 / length);
            let off = (point.0 - a.0, point.1 - a.1);
            let free = (off.0 * along.0 + off.1 * along.1) / length;
            let t = free.clamp(0.0, 1.0);
            let at = (a.0 + t * d.0, a.1 + t * d.1);
            let (x, y) = (point.0 - at.0, point.1 - at.1);
            let distance = math::hypot(x, y);
            if best.as_ref().is_none_or(|(least, _)| distance < *least) {
                let side = along.0 * y - along.1 * x;
                let i = from + k;
                best = Some((
                    distance,
                    ShapeFoot {
                        station_m: s0 + t * (s1 - s0),
                        left_m: if side < 0.0 { -distance } else { distance },
                        along,
                        is_end: (i == 0 && free < 0.0) || (i == last && free > 1.0),
                    },
                ));
            }
        }
        best.map(|(_, foot)| foot)
    }
}
