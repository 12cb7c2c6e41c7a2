//! The form of the slow error of receivers: as it is expected, or another that is clearly likelier.

use super::noise::FittedFactors;
use super::strand::{Strand, Strands};

/// Twice the logarithm of odds from which one form of error is taken for another.
const CLEARLY: f64 = 2.0;

/// A form of the slow error of receivers beside the one that is expected.
#[derive(Clone, Copy)]
pub(super) struct ErrorForm {
    /// A random walk that is held in place of a smooth one, or the other way.
    turned: bool,
    /// The walks of a survey alike.
    alike: bool,
}

pub(super) const TURNED: ErrorForm = ErrorForm {
    turned: true,
    alike: false,
};
pub(super) const ALIKE: ErrorForm = ErrorForm {
    turned: false,
    alike: true,
};
pub(super) const TURNED_ALIKE: ErrorForm = ErrorForm {
    turned: true,
    alike: true,
};

impl ErrorForm {
    fn of(self, expected: &Strands) -> Strands {
        let mut strands = expected.clone();
        if self.alike {
            strands = strands.map(Strand::alike);
        }
        if self.turned {
            let slow = strands
                .iter_mut()
                .flatten()
                .filter_map(|s| s.slow.first_mut());
            slow.for_each(|slow| slow.smooth = !slow.smooth);
        }
        strands
    }
}

/// The slow error of receivers in the form that was expected, or in another where that is clearly likelier. A receiver that filters its positions has hardly any quick error, and what it wanders over tens of metres would pass for movement; one whose heights drift like a random walk shows more of it over tens of metres than a smooth error lets expect. Which of two walks errs more their difference does not show, so what is expected of each may be far off. `told`: the size of the errors of such strands, from a search that may begin where an earlier one ended.
pub(super) fn likeliest(
    expected: Strands,
    told: impl Fn(&Strands, Option<&FittedFactors>) -> FittedFactors,
    forms: &[ErrorForm],
) -> (Strands, FittedFactors) {
    let noise = told(&expected, None);
    let first = noise.clone();
    let mut best = (noise.cost, expected.clone(), noise);
    if expected.iter().flatten().any(|s| s.wanders) {
        for form in forms {
            let strands = form.of(&expected);
            let noise = told(&strands, Some(&first));
            if noise.cost + CLEARLY < best.0 {
                best = (noise.cost + CLEARLY, strands, noise);
            }
        }
    }
    (best.1, best.2)
}

/// What positions that err make of the heights, as the fit aside shows it.
pub(super) fn tilted(up: &Strands, aside: Option<&FittedFactors>) -> Strands {
    let mut up = up.clone();
    if let Some(noise) = aside {
        for (strands, scale) in up.iter_mut().zip(noise.scales) {
            for strand in strands.iter_mut().filter(|s| s.wanders) {
                strand.along_sd_m *= scale.slow.sqrt();
                strand.along_time_s *= scale.time;
            }
        }
    }
    up
}
