//! What the water passes before it is in the pipe, as the user declared it.

use crate::pipe::{Cleaner, ScreenKind};
use crate::site::Site;

/// The screen before the pipe inlet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Screen {
    /// What it is made of.
    pub kind: ScreenKind,
    /// Clear width of an opening, m.
    pub opening_m: f64,
    /// Thickness of a bar or wire, m.
    pub bar_m: Option<f64>,
    /// Open share of its face, where the user said.
    pub open_share: Option<f64>,
    /// Width and wetted length of its face, m.
    pub face_m: Option<(f64, f64)>,
    /// How steeply it stands, rad from the horizontal.
    pub slope_rad: Option<f64>,
    /// What keeps it clear.
    pub cleaned: Option<Cleaner>,
    /// Narrowest passage of the machine behind the nozzles, m.
    pub least_clearance_m: Option<f64>,
}

/// The screen, where one was declared.
pub(super) fn screen(site: &Site) -> Option<Screen> {
    site.screen.as_ref().map(|s| Screen {
        kind: s.kind,
        opening_m: s.opening_m,
        bar_m: s.bar_m,
        open_share: s.open_share,
        face_m: s.width_m.zip(s.length_m),
        slope_rad: s.slope_rad,
        cleaned: s.cleaned,
        least_clearance_m: s.least_clearance_m,
    })
}
