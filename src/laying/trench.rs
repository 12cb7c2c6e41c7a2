//! What is bought for the trenches of buried pipe.

use super::shopping::{Count, Item, Row, Why, row};
use crate::anchor::Anchor;
use crate::anchor::floods::CONCRETE_KG_PER_M3 as BALLAST_KG_PER_M3;
use crate::line::Line;
use crate::pipe::Surround;
use crate::strength::bedded;

/// Ground that settles and is lost when it is tamped (common practice, no source).
const TAMPED_LOST: f64 = 0.15;

/// What is bought for the trenches of pipe that is still to be laid: surround that is not dug on the spot, and marker tape.
pub(super) fn trench_rows(line: &Line) -> Vec<Row> {
    let all = bedded(line);
    let to_lay = || all.iter().filter(|b| b.to_lay);
    let bought = [Surround::Sand, Surround::Stone].into_iter().map(|kind| {
        let of = || to_lay().filter(move |b| b.surround == kind);
        let volume: f64 = of().filter_map(|b| b.volumes).map(|v| v.surround_m3).sum();
        Row {
            count: volume,
            unit: Count::CubicMetres,
            spare: TAMPED_LOST * volume,
            ..row(
                line,
                Item::Surround(kind),
                of().map(|b| b.from_m).collect(),
                Why::Declared,
            )
        }
    });
    let tape = Row {
        count: to_lay().map(|b| b.to_m - b.from_m).sum(),
        unit: Count::Metres,
        ..row(
            line,
            Item::MarkerTape,
            to_lay().map(|b| b.from_m).collect(),
            Why::Declared,
        )
    };
    bought.chain([tape]).filter(|r| r.count > 0.0).collect()
}

/// Concrete weights for each reach that its fill does not keep from floating.
pub(super) fn weight_rows(line: &Line, anchor: &Anchor) -> Vec<Row> {
    let afloat = anchor.afloat.iter().filter(|a| a.floats());
    afloat
        .map(|a| Row {
            count: a.ballast_kg() / BALLAST_KG_PER_M3,
            unit: Count::CubicMetres,
            mass_kg: Some(a.ballast_kg()),
            ..row(line, Item::Weights, vec![a.from_m], Why::Forces)
        })
        .collect()
}
