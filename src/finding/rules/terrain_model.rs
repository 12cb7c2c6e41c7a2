//! Heights that look copied from a terrain model.

use super::{Found, Severity, rows};
use crate::route::Route;

rows! {
    /// Heights look copied from a terrain model.
    pub struct TerrainModel {}
    _ => "terrain-model", "terrain model", "survey-gps", Plant;
}

pub(in crate::finding) fn found(route: &Route) -> Option<Found<TerrainModel>> {
    let end = route.length_m();
    (route.terrain_model).then(|| Found::new(Severity::Fix, TerrainModel {}, 0.0, end))
}
