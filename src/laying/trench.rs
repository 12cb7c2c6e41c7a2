//! What is bought for the trenches of buried pipe.

use super::shopping_row::{Count, ShoppingItem, ShoppingRow, Why, row};
use crate::anchor::Anchor;
use crate::anchor::floods::CONCRETE_KG_PER_M3 as BALLAST_KG_PER_M3;
use crate::line::{Environment, Reaches};
use crate::pipe::Surround;
use crate::strength::bedded;

/// Ground that settles and is lost when it is tamped (common practice, no source).
const TAMPED_LOST: f64 = 0.15;

/// What is bought for the trenches of pipe that is still to be laid: surround that is not dug on the spot, and marker tape.
pub(super) fn trench_rows(reaches: &Reaches, environment: &Environment) -> Vec<ShoppingRow> {
    let all = bedded(reaches, environment);
    let to_lay = || all.iter().filter(|b| b.to_lay);
    let bought = [Surround::Sand, Surround::Stone].into_iter().map(|kind| {
        let of = || to_lay().filter(move |b| b.surround == kind);
        let volume: f64 = of().filter_map(|b| b.volumes).map(|v| v.surround_m3).sum();
        ShoppingRow {
            count: volume,
            unit: Count::CubicMetres,
            spare: TAMPED_LOST * volume,
            ..row(
                reaches,
                ShoppingItem::Surround(kind),
                of().map(|b| b.from_m).collect(),
                Why::Declared,
            )
        }
    });
    let dug = ShoppingRow {
        count: to_lay().filter_map(|b| b.volumes).map(|v| v.dug_m3).sum(),
        unit: Count::CubicMetres,
        ..row(
            reaches,
            ShoppingItem::Trench,
            to_lay().map(|b| b.from_m).collect(),
            Why::Laying,
        )
    };
    let tape = ShoppingRow {
        count: to_lay().map(|b| b.to_m - b.from_m).sum(),
        unit: Count::Metres,
        ..row(
            reaches,
            ShoppingItem::MarkerTape,
            to_lay().map(|b| b.from_m).collect(),
            Why::Declared,
        )
    };
    bought
        .chain([tape, dug])
        .filter(|r| r.count > 0.0)
        .collect()
}

/// Concrete weights for each reach that its fill does not keep from floating.
pub(super) fn weight_rows(reaches: &Reaches, anchor: &Anchor) -> Vec<ShoppingRow> {
    let afloat = anchor.afloat.iter().filter(|a| a.floats());
    afloat
        .map(|a| ShoppingRow {
            count: a.ballast_kg() / BALLAST_KG_PER_M3,
            unit: Count::CubicMetres,
            mass_kg: Some(a.ballast_kg()),
            ..row(reaches, ShoppingItem::Weights, vec![a.from_m], Why::Forces)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::line::Laid;
    use crate::line::Line;
    use crate::pipe::{self, Bed, Traffic, Trench};

    #[test]
    fn a_trench_is_as_long_as_the_buried_pipe_that_is_not_laid() {
        let pipe = pipe::find("PE100 SDR 11 90").unwrap();
        let mut line = Line::plain(&[(0.0, 100.0), (200.0, 60.0)], &pipe);
        line.reaches[0].is_laid = false;
        line.environment.laid = vec![Laid {
            from_m: 50.0,
            to_m: 150.0,
            bed: Bed::Buried,
            cover_m: Some(0.6),
            height_m: None,
            traffic: Traffic::None,
            trench: Trench::default(),
        }];
        let dug = |line: &Line| {
            trench_rows(&line.reaches, &line.environment)
                .iter()
                .find(|r| r.item == ShoppingItem::Trench)
                .map(|r| r.count)
        };
        let size = bedded(&line.reaches, &line.environment)[0].size;
        let wanted =
            size.width_m * (0.6 + line.reaches[0].pipe.outer_diameter_m + size.bed_m) * 100.0;
        let of = dug(&line).unwrap();
        assert!((of - wanted).abs() < 1e-9, "{of} for {wanted}");
        line.reaches[0].is_laid = true;
        assert_eq!(dug(&line), None);
    }
}
