//! How many elbows of each kind are bought.

use super::result::Laying;
use super::shopping_row::{ShoppingItem, ShoppingRow, Why, row};
use crate::capacity::{BendMethod, elbows};
use crate::line::Reaches;
use std::collections::BTreeMap;

/// Elbows to buy, like ones of one pipe together.
pub(super) fn elbow_rows(reaches: &Reaches, plan: &Laying) -> Vec<ShoppingRow> {
    let mut kinds: BTreeMap<(String, i64), (f64, Vec<f64>)> = BTreeMap::new();
    for bend in &plan.bends {
        let BendMethod::Elbow(turn_rad) = bend.way else {
            continue;
        };
        let spec = reaches
            .at(bend.station_m)
            .map_or(String::new(), |r| r.pipe.spec.clone());
        for angle in elbows(turn_rad) {
            let key = (spec.clone(), (angle.to_degrees() * 100.0).round() as i64);
            let kind = kinds.entry(key).or_insert((angle, Vec::new()));
            kind.1.push(bend.station_m);
        }
    }
    kinds
        .into_values()
        .map(|(angle, stations)| row(reaches, ShoppingItem::Elbow(angle), stations, Why::Laying))
        .collect()
}
