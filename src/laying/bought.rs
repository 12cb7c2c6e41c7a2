//! What the things on the list must take where they are, what belongs to a flange, and what is dug.

use super::result::Laying;
use super::shopping_row::{ShoppingItem, ShoppingRow, Why, row};
use crate::line::{Geometry, Reaches};
use crate::pipe::{Joint, Pipe, is_in_inches};

/// What each thing must take: the largest pressure at its places in any state and in the test, and not the class of its pipe. What takes no pressure has none.
pub fn meet_pressures(
    laying: &mut Laying,
    geometry: &Geometry,
    reaches: &Reaches,
    largest_pa: &[f64],
) {
    let stations = &geometry.heights.station_m;
    if stations.len() != largest_pa.len() {
        return;
    }
    for row in &mut laying.shopping {
        row.rating_pa = match row.item {
            ShoppingItem::Coil | ShoppingItem::Stick => continue,
            ShoppingItem::Anchor
            | ShoppingItem::Strap
            | ShoppingItem::Support
            | ShoppingItem::Guide
            | ShoppingItem::Concrete
            | ShoppingItem::Trench
            | ShoppingItem::Bolt
            | ShoppingItem::Surround(_)
            | ShoppingItem::MarkerTape
            | ShoppingItem::Weights
            | ShoppingItem::Screen
            | ShoppingItem::ScreenBar
            | ShoppingItem::Basin
            | ShoppingItem::FlushGate => None,
            _ => row
                .stations_m
                .iter()
                .map(|s| crate::numeric::series::interpolate(stations, largest_pa, *s))
                .reduce(f64::max)
                .map(|pa| pa.max(0.0)),
        };
    }
    laying.shopping = std::mem::take(&mut laying.shopping)
        .into_iter()
        .flat_map(|row| {
            let bolts = (row.item == ShoppingItem::Gasket).then(|| bolt_row(reaches, &row));
            [Some(row), bolts.flatten()].into_iter().flatten()
        })
        .collect();
}

/// Bolts of a flange by the outside diameter of its pipe, mm: how many, and which thread.
type Bolts = [(f64, usize, &'static str)];

/// EN 1092-1, PN 10, to DN 250; from memory.
const PN_10: [(f64, usize, &str); 9] = [
    (34.0, 4, "M12"),
    (63.5, 4, "M16"),
    (115.0, 8, "M16"),
    (142.0, 8, "M16"),
    (181.0, 8, "M20"),
    (226.0, 8, "M20"),
    (281.0, 12, "M20"),
    (326.0, 12, "M20"),
    (361.0, 16, "M20"),
];

/// EN 1092-1, PN 16; from memory.
const PN_16: [(f64, usize, &str); 9] = [
    (34.0, 4, "M12"),
    (63.5, 4, "M16"),
    (115.0, 8, "M16"),
    (142.0, 8, "M16"),
    (181.0, 8, "M20"),
    (226.0, 12, "M20"),
    (281.0, 12, "M24"),
    (326.0, 12, "M24"),
    (361.0, 16, "M24"),
];

/// EN 1092-1, PN 25; from memory.
const PN_25: [(f64, usize, &str); 8] = [
    (34.0, 4, "M12"),
    (63.5, 4, "M16"),
    (90.5, 8, "M16"),
    (115.0, 8, "M20"),
    (181.0, 8, "M24"),
    (226.0, 12, "M24"),
    (281.0, 12, "M27"),
    (326.0, 16, "M27"),
];

/// EN 1092-1, PN 40, to DN 150 as PN 25; from memory.
const PN_40: [(f64, usize, &str); 5] = [
    (34.0, 4, "M12"),
    (63.5, 4, "M16"),
    (90.5, 8, "M16"),
    (115.0, 8, "M20"),
    (181.0, 8, "M24"),
];

/// ASME B16.5, class 150, NPS 1/2 to 12; from memory.
const CLASS_150: [(f64, usize, &str); 5] = [
    (49.0, 4, "1/2 in"),
    (89.5, 4, "5/8 in"),
    (115.0, 8, "5/8 in"),
    (220.0, 8, "3/4 in"),
    (325.0, 12, "7/8 in"),
];

/// ASME B16.5, class 300, NPS 1/2 to 10; from memory.
const CLASS_300: [(f64, usize, &str); 8] = [
    (22.0, 4, "1/2 in"),
    (43.0, 4, "5/8 in"),
    (49.0, 4, "3/4 in"),
    (61.0, 8, "5/8 in"),
    (142.0, 8, "3/4 in"),
    (169.0, 12, "3/4 in"),
    (220.0, 12, "7/8 in"),
    (274.0, 16, "1 in"),
];

/// What steel flanges of class 150 and 300 take cold, Pa: 285 and 740 psi (ASME B16.5, material group 1.1; from memory).
const CLASSES_PA: [f64; 2] = [1.965e6, 5.102e6];

/// The class of flange for a pressure, Pa, and its bolts: in inches on pipe whose standard is in inches.
fn flange(pipe: &Pipe, pa: f64) -> Option<(&'static str, &'static Bolts)> {
    let classes: &[(f64, &str, &Bolts)] = if is_in_inches(pipe) {
        &[
            (CLASSES_PA[0], "class 150", &CLASS_150),
            (CLASSES_PA[1], "class 300", &CLASS_300),
        ]
    } else {
        &[
            (1.0e6, "PN 10", &PN_10),
            (1.6e6, "PN 16", &PN_16),
            (2.5e6, "PN 25", &PN_25),
            (4.0e6, "PN 40", &PN_40),
        ]
    };
    let class = classes.iter().find(|c| pa <= c.0 * (1.0 + 1e-6))?;
    Some((class.1, class.2))
}

/// Spare gaskets and bolts: one in so many, at least one (common practice, no source).
const SPARES: f64 = 20.0;

/// So many more on top.
fn spare(n: f64) -> f64 {
    (n / SPARES).ceil()
}

/// Gaskets of the flanges on the list; their bolts follow once their pressure is known.
pub(super) fn gasket_rows(reaches: &Reaches, joints: &[ShoppingRow]) -> Vec<ShoppingRow> {
    let flanged = joints
        .iter()
        .filter(|r| r.item == ShoppingItem::Joint(Joint::Flange));
    flanged
        .map(|f| ShoppingRow {
            spec: f.spec.clone(),
            spare: spare(f.count),
            ..row(
                reaches,
                ShoppingItem::Gasket,
                f.stations_m.clone(),
                Why::Laying,
            )
        })
        .collect()
}

/// Bolts of the flanges whose gaskets these are; flanges larger or stronger than the tables are left to their maker.
fn bolt_row(reaches: &Reaches, gaskets: &ShoppingRow) -> Option<ShoppingRow> {
    let pipe = &reaches.at(*gaskets.stations_m.first()?)?.pipe;
    let (class, bolts) = flange(pipe, gaskets.rating_pa?)?;
    let outside_mm = 1e3 * pipe.outer_diameter_m;
    let (_, each, thread) = bolts.iter().find(|b| outside_mm <= b.0)?;
    let count = gaskets.count * f64::from(u32::try_from(*each).unwrap_or(u32::MAX));
    Some(ShoppingRow {
        spec: format!("{thread}, {each} to a {class} flange of {}", gaskets.spec),
        count,
        spare: spare(count),
        rating_pa: None,
        ..row(
            reaches,
            ShoppingItem::Bolt,
            gaskets.stations_m.clone(),
            Why::Laying,
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::line::Line;
    use crate::pipe::find;

    /// Worked by the standards' tables, from memory: EN 1092-1 and ASME B16.5.
    #[test]
    fn bolts_go_by_size_and_by_the_pressure_at_the_place() {
        let of = |spec: &str, pa: f64| {
            let line = Line::plain(&[(0.0, 100.0), (200.0, 60.0)], &find(spec).unwrap());
            let gaskets = ShoppingRow {
                rating_pa: Some(pa),
                ..row(&line.reaches, ShoppingItem::Gasket, vec![0.0], Why::Laying)
            };
            bolt_row(&line.reaches, &gaskets).map(|r| (r.count, r.spare, r.spec))
        };
        let told = |spec: &str, pa: f64| of(spec, pa).unwrap().2;
        assert_eq!(of("PE100 SDR 11 90", 8e5).unwrap().0, 8.0);
        assert!(told("PE100 SDR 11 90", 8e5).starts_with("M16, 8 to a PN 10 flange"));
        assert!(told("PE100 SDR 11 200", 9e5).starts_with("M20, 8 to a PN 10 flange"));
        assert!(told("PE100 SDR 11 200", 12e5).starts_with("M20, 12 to a PN 16 flange"));
        let steel = "steel Schedule 40 NPS 4";
        assert!(told(steel, 15e5).starts_with("5/8 in, 8 to a class 150 flange"));
        assert!(told(steel, 25e5).starts_with("3/4 in, 8 to a class 300 flange"));
        assert_eq!(of(steel, 60e5), None);
    }
}
