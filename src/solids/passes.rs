use crate::line::{Discharge, Outlet, Works};

/// Share of a passage from which on what passes the screen can bridge it: two pieces side by side, or one that is long (common practice, no source).
pub const BRIDGES: f64 = 0.5;

/// A passage behind the screen.
#[derive(Debug, Clone, PartialEq)]
pub struct Passage {
    /// The jet's name; empty for the machine's narrowest passage.
    pub jet: String,
    /// Its width, m.
    pub width_m: f64,
    /// Largest thickness that passes the screen, over it.
    pub share: f64,
}

impl Passage {
    fn of(jet: &str, width_m: f64, opening_m: f64) -> Self {
        Self {
            jet: jet.to_owned(),
            width_m,
            share: opening_m / width_m,
        }
    }

    /// One stone that passes the screen can block it.
    pub fn blocks(&self) -> bool {
        self.share >= 1.0
    }

    /// No single stone can, but several or a long piece.
    pub fn bridges(&self) -> bool {
        !self.blocks() && self.share > BRIDGES
    }
}

/// What passes the screen, held against what lies behind it.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct ScreenPasses {
    /// Clear width of an opening, m.
    pub opening_m: f64,
    /// The narrowest nozzle that is open.
    pub jet: Option<Passage>,
    /// The narrowest passage of the machine behind the nozzles, where it was said.
    pub clearance: Option<Passage>,
    /// Widest opening that bridges none of them, m.
    pub wanted_m: Option<f64>,
}

/// Holds the screen's openings against the nozzles and the least clearance. `None`: no screen was declared.
///
/// A ball as thick as an opening is wide passes; the nozzle is its hole, whatever a needle leaves of it.
pub fn passes(outlet: Option<&Outlet>, works: &Works) -> Option<ScreenPasses> {
    let screen = works.screen.as_ref()?;
    let opening_m = screen.opening_m;
    let jet = match outlet.map(|o| &o.how) {
        Some(Discharge::Jets(jets)) => jets
            .iter()
            .filter(|j| j.open > 0.0)
            .min_by(|a, b| a.nozzle_diameter_m.total_cmp(&b.nozzle_diameter_m))
            .map(|j| Passage::of(&j.name, j.nozzle_diameter_m, opening_m)),
        _ => None,
    };
    let clearance = screen
        .least_clearance_m
        .map(|width_m| Passage::of("", width_m, opening_m));
    let wanted_m = jet
        .iter()
        .chain(&clearance)
        .map(|p| BRIDGES * p.width_m)
        .min_by(f64::total_cmp);
    Some(ScreenPasses {
        opening_m,
        jet,
        clearance,
        wanted_m,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        /// The opening that is asked for blocks nothing and bridges nothing.
        #[test]
        fn what_is_asked_for_does(width in 0.002..0.2_f64, opening in 0.001..0.2_f64) {
            let now = Passage::of("1", width, opening);
            prop_assert!(!(now.blocks() && now.bridges()));
            let then = Passage::of("1", width, BRIDGES * width);
            prop_assert!(!then.blocks() && !then.bridges());
        }
    }
}
