//! How much wider the witnesses err than their own doubt says, from how they part among themselves.
#![expect(clippy::indexing_slicing, reason = "two surveys, by number")]

use super::strand::{Axis, Strand, Strands};
use super::weigh::{VarianceFactors, cost};
use crate::numeric::math;
use crate::numeric::{SimplexOptions, minimise};

/// A figure that is asked for: the surveys that share it, which of their factors it is, and how far off 1 it may be, on the natural log.
struct AskedFactor {
    surveys: [bool; 2],
    factor: fn(&mut VarianceFactors) -> &mut f64,
    sd: f64,
}

/// How far off the survey's own figures may be, on the natural log: slow part, looks' own part, time.
const UP_SD: [f64; 3] = [0.5, 0.5, 0.3];
const ASIDE_SD: [f64; 3] = [0.8, 0.8, 0.7];
/// One walk does not show how it errs, and its figures are what is expected of receivers: as far as receivers differ (docs/basis/heights.md).
const ALONE_SD: [f64; 3] = [1.2, 1.2, 0.9];
/// Then the part that is not smooth is asked for too: beside the slow part, its time.
const QUICK_SD: [f64; 2] = [1.5, 0.9];
/// How much of the search is done.
const SEARCH: SimplexOptions = SimplexOptions {
    step: 0.4,
    close: 0.15,
    most: 45,
};
/// Steps of the search for each figure where many are asked.
const EACH: usize = 30;
/// Factors are held within this of 1, on the natural log.
const MOST: f64 = 2.5;

/// Factors of both surveys, and twice the negative logarithm of how likely everything is with them.
pub(super) struct FittedFactors {
    pub(super) scales: [VarianceFactors; 2],
    pub(super) cost: f64,
}

/// Factors of both surveys by the likelihood of everything that was seen where nothing moved (the ground and the offsets taken out: restricted likelihood), held to the survey's own figures.
///
/// `windows`: nodes of the windows that are asked; `moved`: reaches whose later looks are left out, so that a movement does not pass for error.
pub(super) fn fitted(
    strands: &Strands,
    windows: &[&[f64]],
    axis: Axis,
    bend: f64,
    moved: &[(f64, f64)],
) -> FittedFactors {
    let wanders = |k: &Vec<Strand>| k.iter().any(|s| s.wanders);
    let alone = |k: &Vec<Strand>| axis == Axis::Up && k.iter().any(|s| s.is_alone);
    let mut asked: Vec<AskedFactor> = Vec::new();
    let mut ask = |surveys, sd, factor| {
        asked.push(AskedFactor {
            surveys,
            factor,
            sd,
        });
    };
    // The time where anything wanders, each survey's own part, and its slow part where it has one.
    for is_alone in [false, true] {
        let [slow_sd, own_sd, time_sd] = match axis {
            _ if is_alone => ALONE_SD,
            Axis::Up => UP_SD,
            Axis::Aside => ASIDE_SD,
        };
        let of = strands.each_ref().map(|s| alone(s) == is_alone);
        let walked = [0, 1].map(|k| of[k] && wanders(&strands[k]));
        if walked.contains(&true) {
            ask(walked, time_sd, |f| &mut f.time);
            if is_alone {
                ask(walked, QUICK_SD[1], |f| &mut f.quick_time);
            }
        }
        for k in 0..2 {
            let only = |yes: bool| [yes && k == 0, yes && k == 1];
            if of[k] {
                ask(only(true), own_sd, |f| &mut f.own);
            }
            if walked[k] {
                ask(only(true), slow_sd, |f| &mut f.slow);
            }
            if walked[k] && is_alone {
                ask(only(true), QUICK_SD[0], |f| &mut f.quick);
            }
        }
    }
    let many = strands.iter().any(alone);
    // Where receivers may differ much, a step is as long as they do.
    let unit = |a: &AskedFactor| if many { a.sd } else { 1.0 };
    let scales = |x: &[f64]| -> [VarianceFactors; 2] {
        let mut out = [VarianceFactors::ONE; 2];
        for (asked, v) in asked.iter().zip(x) {
            let by = math::exp((v * unit(asked)).clamp(-MOST, MOST));
            for (scale, _) in out.iter_mut().zip(asked.surveys).filter(|s| s.1) {
                *(asked.factor)(scale) = by;
            }
        }
        out
    };
    let asked_cost = |x: &[f64]| -> f64 {
        let scales = scales(x);
        let seen: f64 = windows
            .iter()
            .map(|w| cost(strands, w, scales, bend, moved))
            .sum();
        let prior: f64 = asked
            .iter()
            .zip(x)
            .map(|(a, v)| math::powi(v * unit(a) / a.sd, 2))
            .sum();
        seen + prior
    };
    let search = SimplexOptions {
        most: if many {
            EACH * asked.len()
        } else {
            SEARCH.most
        },
        step: if many { 0.9 } else { SEARCH.step },
        ..SEARCH
    };
    let found = minimise(&vec![0.0; asked.len()], search, asked_cost);
    FittedFactors {
        scales: scales(&found.at),
        cost: found.value,
    }
}
