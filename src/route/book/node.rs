//! Nodes of a book's line.

use super::course::BookLine;
use crate::route::{Node, Plan};
use crate::unit::OnPegs;

pub(super) fn nodes(
    course: &BookLine,
    slope_m: &[f64],
    level_m: &[f64],
    own_m: &[f64],
) -> Vec<Node> {
    let origin = course.rows.iter().find_map(|r| r.plan).unwrap_or_default();
    course
        .rows
        .iter()
        .zip(slope_m)
        .zip(level_m.iter().zip(own_m))
        .map(|((row, &station_m), (&horizontal_m, &own_m))| Node {
            station_m,
            horizontal_m,
            on_pegs: OnPegs(own_m),
            plan: row.plan.map(|[east, north]| Plan {
                east_m: east - origin[0],
                north_m: north - origin[1],
                lat_lon_deg: course.lat_lon_deg([east, north]),
            }),
            surveyed: row.surveyed,
        })
        .collect()
}
