//! A drawing on layers.

/// What something is drawn on: a layer, its colour by the format's index, whether it is dashed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Layer {
    pub(super) name: &'static str,
    pub(super) colour: u8,
    pub(super) dashed: bool,
}

/// A drawing while it is made. Places are given in metres and stand in the file in metres or feet.
pub(super) struct Drawing {
    pub(super) scale: f64,
    pub(super) layers: Vec<Layer>,
    pub(super) entities: String,
    pub(super) least: [f64; 2],
    pub(super) most: [f64; 2],
}
