//! What the things on the list must take where they are, what belongs to a flange, and what is dug.

use super::plan::Laying;
use super::shopping::{Item, Row, Why, row};
use crate::line::Line;
use crate::pipe::Joint;

/// What each thing must take: the largest pressure at its places in any state and in the test, and not the class of its pipe. What takes no pressure has none.
pub fn meet_pressures(laying: &mut Laying, line: &Line, largest_pa: &[f64]) {
    let stations = &line.heights.station_m;
    if stations.len() != largest_pa.len() {
        return;
    }
    for row in &mut laying.shopping {
        row.rating_pa = match row.item {
            Item::Coil | Item::Stick => continue,
            Item::Anchor
            | Item::Strap
            | Item::Support
            | Item::Guide
            | Item::Concrete
            | Item::Trench
            | Item::Bolt => None,
            _ => row
                .stations_m
                .iter()
                .map(|s| crate::route::interpolate(stations, largest_pa, *s))
                .reduce(f64::max)
                .map(|pa| pa.max(0.0)),
        };
    }
}

/// Bolts of a flange by the nominal size of its pipe: how many, and which thread. EN 1092-1 PN 10 and PN 16 agree up to DN 150; from memory.
const BOLTS: [(f64, usize, &str); 10] = [
    (34.0, 4, "M12"),
    (50.5, 4, "M16"),
    (63.5, 4, "M16"),
    (76.5, 4, "M16"),
    (90.5, 8, "M16"),
    (115.0, 8, "M16"),
    (142.0, 8, "M16"),
    (169.0, 8, "M20"),
    (226.0, 8, "M20"),
    (281.0, 12, "M20"),
];

/// Spare gaskets and bolts: one in so many, at least one (common practice, no source).
const SPARES: f64 = 20.0;

/// Gaskets and bolts of the flanges on the list; larger flanges than the table has are left to their maker.
pub(super) fn flange_rows(line: &Line, joints: &[Row]) -> Vec<Row> {
    let mut out = Vec::new();
    for flanged in joints
        .iter()
        .filter(|r| r.item == Item::Joint(Joint::Flange))
    {
        let spare = |n: f64| (n / SPARES).ceil();
        out.push(Row {
            spec: flanged.spec.clone(),
            spare: spare(flanged.count),
            ..row(line, Item::Gasket, flanged.stations_m.clone(), Why::Laying)
        });
        let outside_mm = flanged
            .stations_m
            .first()
            .and_then(|s| line.reach_at(*s))
            .map_or(f64::INFINITY, |r| 1e3 * r.pipe.outer_diameter_m);
        let Some((_, each, thread)) = BOLTS.iter().find(|b| outside_mm <= b.0) else {
            continue;
        };
        let count = flanged.count * f64::from(u32::try_from(*each).unwrap_or(u32::MAX));
        out.push(Row {
            spec: format!("{thread}, {each} to a flange of {}", flanged.spec),
            count,
            spare: spare(count),
            rating_pa: None,
            ..row(line, Item::Bolt, flanged.stations_m.clone(), Why::Laying)
        });
    }
    out
}
