use super::Said;
use crate::pipe::{Cleaner, ScreenKind};

/// `[screen]`: what stands before the pipe inlet.
#[derive(Debug, Clone, PartialEq)]
pub struct Screen {
    /// What it is made of.
    pub kind: ScreenKind,
    /// Clear width of an opening, m.
    pub opening_m: f64,
    /// Thickness of a bar or wire, m.
    pub bar_m: Option<f64>,
    /// Open share of its face, where said.
    pub open_share: Option<f64>,
    /// Width, m.
    pub width_m: Option<f64>,
    /// Wetted length along its face, m.
    pub length_m: Option<f64>,
    /// How steeply it stands, rad from the horizontal.
    pub slope_rad: Option<f64>,
    /// What keeps it clear.
    pub cleaned: Option<Cleaner>,
    /// Narrowest passage of the machine behind the nozzles, m.
    pub least_clearance_m: Option<f64>,
    /// Where it stands in the file.
    pub said: Said<()>,
}
