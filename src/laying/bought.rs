//! What the things on the list must take where they are, what belongs to a flange, and what is dug.

use super::plan::Laying;
use super::shopping::{Count, Item, Row, Why, row};
use crate::line::Line;
use crate::pipe::{Bed, Joint};

/// A trench is so much wider than its pipe, m: room to join it and to tamp beside it (common practice, no source).
const WIDER_M: f64 = 0.4;

/// Bedding under the pipe, m (common practice, no source).
const BEDDING_M: f64 = 0.1;

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

/// The trench of planned buried pipe whose cover is known.
pub(super) fn trench_row(line: &Line) -> Option<Row> {
    let (mut volume_m3, mut from) = (0.0, Vec::new());
    for laid in line.laid.iter().filter(|l| l.bed == Bed::Buried) {
        let Some(cover_m) = laid.cover_m else {
            continue;
        };
        for reach in line.reaches.iter().filter(|r| !r.is_laid) {
            let long = laid.to_m.min(reach.to_m) - laid.from_m.max(reach.from_m);
            if long > 0.0 {
                let outside_m = reach.pipe.outer_diameter_m;
                volume_m3 += long * (outside_m + WIDER_M) * (cover_m + outside_m + BEDDING_M);
                from.push(laid.from_m.max(reach.from_m));
            }
        }
    }
    (volume_m3 > 0.0).then(|| Row {
        count: volume_m3,
        unit: Count::CubicMetres,
        rating_pa: None,
        ..row(line, Item::Trench, from, Why::Laying)
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::line::Laid;
    use crate::pipe::{self, Traffic};

    #[test]
    fn a_trench_is_as_long_as_the_buried_pipe_that_is_not_laid() {
        let pipe = pipe::find("PE100 SDR 11 90").unwrap();
        let mut line = Line::plain(&[(0.0, 100.0), (200.0, 60.0)], &pipe);
        line.reaches[0].is_laid = false;
        line.laid = vec![Laid {
            from_m: 50.0,
            to_m: 150.0,
            bed: Bed::Buried,
            cover_m: Some(0.6),
            height_m: None,
            traffic: Traffic::None,
        }];
        // 100 m of 0.49 m by 0.79 m.
        let row = trench_row(&line).unwrap();
        assert!((row.count - 38.71).abs() < 1e-6, "{}", row.count);
        line.reaches[0].is_laid = true;
        assert_eq!(trench_row(&line), None);
    }
}
