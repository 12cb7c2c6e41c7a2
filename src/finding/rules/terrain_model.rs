//! Heights that look copied from a terrain model.

use crate::finding::found::{Found, Severity};
use crate::finding::row::rows;
use crate::route::Route;
use serde::Serialize;

/// Heights look copied from a terrain model.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct TerrainModel {}

rows! { TerrainModel;
    _ => "terrain-model", "terrain model", "survey-gps", Plant;
}

pub(in crate::finding) fn found(route: &Route) -> Option<Found<TerrainModel>> {
    let end = route.length_m();
    (route.terrain_model).then(|| Found::new(Severity::Fix, TerrainModel {}, 0.0, end))
}
