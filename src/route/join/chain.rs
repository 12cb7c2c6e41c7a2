//! Pieces hung on each other's ends.

use super::piece::{RoutePiece, refresh};
use crate::earth::{LatLon, Plane};
use crate::heights::Heights;
use crate::numeric::math;
use crate::reading::Method;
use crate::route::{Node, Plan, Route};

/// One route from pieces in order: stations run on, and each piece's draws begin where the draws of the one before it end.
pub(super) fn chain(pieces: &[RoutePiece]) -> Route {
    let Some(first) = pieces.first() else {
        return Route::default();
    };
    let draws = pieces
        .iter()
        .map(|p| p.route.heights.draws.len())
        .max()
        .unwrap_or(0);
    let mut route = Route {
        nodes: Vec::new(),
        heights: Heights {
            draws: vec![Vec::new(); draws],
            ..Heights::default()
        },
        bends: Vec::new(),
        places: Vec::new(),
        witnesses: Vec::new(),
        remarks: Vec::new(),
        ..first.route.clone()
    };
    route.points_read = 0;
    route.points_used = 0;
    let mut variance = 0.0;
    let mut counted: Vec<&str> = Vec::new();
    let plane = plane_of(pieces);
    for piece in pieces {
        append(&mut route, &piece.route, plane.as_ref());
        variance += math::powi(piece.route.length_sd_m, 2);
        // A base that was cut into pieces is one survey: it is told and counted once.
        let key = piece
            .route
            .remarks
            .first()
            .map_or("", |r| r.place.file.as_str());
        if !counted.contains(&key) || key.is_empty() {
            counted.push(key);
            route.points_read += piece.route.points_read;
            route.points_used += piece.route.points_used;
        }
        for remark in &piece.route.remarks {
            if !route.remarks.contains(remark) {
                route.remarks.push(remark.clone());
            }
        }
    }
    if pieces.len() > 1 {
        route.method = Some(Method::Mixed);
    }
    route.length_sd_m = variance.sqrt();
    route.passes = pieces.iter().map(|p| p.route.passes).max().unwrap_or(0);
    route.terrain_model = pieces.iter().any(|p| p.route.terrain_model);
    route.station_sd_m = pieces
        .iter()
        .map(|p| p.route.station_sd_m)
        .fold(0.0, f64::max);
    let walks = pieces
        .iter()
        .map(|p| p.route.heights.walks)
        .filter(|&w| w > 0);
    route.heights.walks = walks.min().unwrap_or(0);
    route.misclosure = pieces
        .iter()
        .filter_map(|p| p.route.misclosure)
        .max_by(|a, b| a.found_m.abs().total_cmp(&b.found_m.abs()));
    to_datum(&mut route, pieces);
    refresh(&mut route);
    route
}

/// Adds a piece at the end of the line.
fn append(route: &mut Route, piece: &Route, plane: Option<&Plane>) {
    let end = route.nodes.last().copied();
    let (station, level) = end.map_or((0.0, 0.0), |n| (n.station_m, n.horizontal_m));
    let skip = usize::from(end.is_some());
    let begin = piece.nodes.first().and_then(|n| n.plan);
    for node in piece.nodes.iter().skip(skip) {
        let on_earth = node.plan.and_then(|p| p.lat_lon_deg).zip(plane);
        let plan = match (on_earth, node.plan, end, begin) {
            (Some(((lat, lon), plane)), ..) => {
                let [east_m, north_m] = plane.east_north(LatLon::new(lat, lon));
                Some(Plan {
                    east_m,
                    north_m,
                    lat_lon_deg: Some((lat, lon)),
                })
            }
            // A local grid is taken as running on from the end of the line, its north as the same.
            (None, Some(p), Some(Node { plan: Some(e), .. }), Some(b)) => Some(Plan {
                east_m: e.east_m + p.east_m - b.east_m,
                north_m: e.north_m + p.north_m - b.north_m,
                lat_lon_deg: None,
            }),
            (None, plan, None, _) => plan,
            _ => None,
        };
        route.nodes.push(Node {
            station_m: station + node.station_m,
            horizontal_m: level + node.horizontal_m,
            plan,
            ..*node
        });
    }
    let stations = piece.heights.station_m.iter().skip(skip);
    route
        .heights
        .station_m
        .extend(stations.map(|s| station + s));
    // What was levelled, or walked more than once, needs nothing beside it.
    let end_m = piece.heights.station_m.last().copied().unwrap_or(0.0);
    let mut backed = piece.heights.backed.cut(0.0, end_m, station);
    if piece.heights.walks != 1 && backed.without.is_empty() {
        backed.reaches_m.push((station, station + end_m));
    }
    route.heights.backed.join(backed);
    extend(&mut route.heights.mean_m, &piece.heights.mean_m);
    let count = piece.heights.draws.len();
    for (k, draw) in route.heights.draws.iter_mut().enumerate() {
        let of_piece = k
            .checked_rem(count)
            .and_then(|i| piece.heights.draws.get(i));
        extend(draw, of_piece.unwrap_or(&piece.heights.mean_m));
    }
    route
        .bends
        .extend(piece.bends.iter().map(|b| crate::route::Bend {
            station_m: b.station_m + station,
            ..*b
        }));
    let on = piece.witnesses.iter().map(|w| w.moved_on(station));
    route.witnesses.extend(on);
    route
        .places
        .extend(piece.places.iter().map(|p| crate::route::StationedPlace {
            station_m: p.station_m + station,
            ..p.clone()
        }));
}

/// Adds heights at the end of a line, brought to its end; the common point stands once.
fn extend(line: &mut Vec<f64>, piece: &[f64]) {
    match (line.last().copied(), piece.first().copied()) {
        (Some(end), Some(begin)) => {
            line.extend(piece.iter().skip(1).map(|z| z - begin + end));
        }
        _ => line.extend(piece),
    }
}

/// A plane at the first place on the earth.
fn plane_of(pieces: &[RoutePiece]) -> Option<Plane> {
    let all = || pieces.iter().flat_map(|p| &p.route.nodes);
    let (lat, lon) = all().find_map(|n| n.plan?.lat_lon_deg)?;
    let height = pieces
        .first()?
        .route
        .heights
        .mean_m
        .first()
        .copied()
        .unwrap_or(0.0);
    Some(Plane::new(LatLon::new(lat, lon), height))
}

/// Brings the chained heights to the datum of the piece that knows it best.
fn to_datum(route: &mut Route, pieces: &[RoutePiece]) {
    let Some(best) = pieces.iter().map(|p| p.rank).max() else {
        return;
    };
    let Some(index) = pieces.iter().position(|p| p.rank == best) else {
        return;
    };
    if index == 0 {
        return;
    }
    let at: usize = pieces
        .iter()
        .take(index)
        .map(|p| p.route.nodes.len() - 1)
        .sum();
    let Some(piece) = pieces.get(index) else {
        return;
    };
    let shift = |line: &mut Vec<f64>, known: &[f64]| {
        let off = known.first().zip(line.get(at)).map_or(0.0, |(k, z)| k - z);
        for z in line.iter_mut() {
            *z += off;
        }
    };
    shift(&mut route.heights.mean_m, &piece.route.heights.mean_m);
    let count = piece.route.heights.draws.len();
    for (k, draw) in route.heights.draws.iter_mut().enumerate() {
        if let Some(known) = k
            .checked_rem(count)
            .and_then(|i| piece.route.heights.draws.get(i))
        {
            shift(draw, known);
        }
    }
}
