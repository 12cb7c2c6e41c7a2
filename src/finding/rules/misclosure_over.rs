//! A book that does not close.

use super::{Found, Severity, rows};
use crate::route::Route;

rows! {
    /// The book does not close.
    pub struct MisclosureOver {
        /// Found, m.
        #[serde(rename = "misclosure_m")]
        pub found_m: f64,
        /// Allowed, m.
        #[serde(rename = "misclosure_allowed_m")]
        pub allowed_m: f64,
    }
    _ => "misclosure", "misclosure", "survey-books", Plant;
}

pub(in crate::finding) fn found(route: &Route) -> Option<Found<MisclosureOver>> {
    let closing = route.misclosure.filter(|m| m.found_m.abs() > m.allowed_m)?;
    let what = MisclosureOver {
        found_m: closing.found_m,
        allowed_m: closing.allowed_m,
    };
    Some(Found::new(Severity::Fix, what, 0.0, route.length_m()))
}
