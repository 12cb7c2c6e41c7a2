//! How much wider the witnesses err than their own doubt says, from how they part among themselves.

use super::slow_filter::VarianceFactors;
use super::strand::{Axis, Strand, Strands};
use super::weigh::WindowLikelihood;
use crate::numeric::{DescentOptions, Minimum, math, minimise};

/// A figure that is asked for: the surveys that share it, which of their factors it is, and how far off 1 it may be, on the natural log.
struct AskedFactor {
    surveys: [bool; 2],
    factor: fn(&mut VarianceFactors) -> &mut f64,
    sd: f64,
}

/// How far off the survey's own figures may be, on the natural log: slow part, looks' own part, time. As far as receivers differ (docs/basis/heights.md): walks of a survey hardly show the form of their errors, and two surveys together do.
const UP_SD: [f64; 3] = [1.2, 1.2, 0.9];
const ASIDE_SD: [f64; 3] = [1.5, 1.5, 1.2];
/// The part that is not smooth, upwards: beside the slow part, its time.
const QUICK_SD: [f64; 2] = [1.5, 0.9];
/// Factors are held within this of 1, on the natural log.
const MOST: f64 = 5.0;

/// So many starts are followed to their end.
const FOLLOWED: usize = 2;
/// How the cost is come down: figures are in units of what is expected of them beforehand, the cost in twice a logarithm.
const SEARCH: DescentOptions = DescentOptions {
    step: 0.01,
    longest: 1.5,
    close: 0.05,
    most: 40,
};

/// Factors of both surveys, and twice the negative logarithm of how likely everything is with them.
#[derive(Debug, Clone)]
pub(super) struct FittedFactors {
    pub(super) scales: [VarianceFactors; 2],
    pub(super) cost: f64,
    /// Where the search ended, in what it is searched by.
    at: Vec<f64>,
}

/// Factors of both surveys by the likelihood of everything that was seen where nothing moved (the ground and the offsets taken out: restricted likelihood), held to the survey's own figures.
///
/// `windows`: nodes of the windows that are asked; `moved`: reaches whose later looks are left out, so that a movement does not pass for error. `known`: the same surveys told with other looks: the search begins there too, and is followed once.
pub(super) fn fitted(
    strands: &Strands,
    windows: &[&[f64]],
    axis: Axis,
    bend: f64,
    moved: &[(f64, f64)],
    known: Option<&FittedFactors>,
) -> FittedFactors {
    let wanders = |k: &Vec<Strand>| k.iter().any(|s| s.wanders);
    let mut asked: Vec<AskedFactor> = Vec::new();
    let mut ask = |surveys, sd, factor| {
        asked.push(AskedFactor {
            surveys,
            factor,
            sd,
        });
    };
    let is_up = axis == Axis::Up;
    let [slow_sd, own_sd, time_sd] = if is_up { UP_SD } else { ASIDE_SD };
    // The times where anything wanders, each survey's own part, and its slow parts where it has them.
    let walked = strands.each_ref().map(wanders);
    if walked.contains(&true) {
        ask(walked, time_sd, |f| &mut f.time);
        if is_up {
            ask(walked, QUICK_SD[1], |f| &mut f.quick_time);
        }
    }
    for (only, walked) in [[true, false], [false, true]].into_iter().zip(walked) {
        ask(only, own_sd, |f| &mut f.own);
        if walked {
            ask(only, slow_sd, |f| &mut f.slow);
            if is_up {
                ask(only, QUICK_SD[0], |f| &mut f.quick);
            }
        }
    }
    let scales = |x: &[f64]| -> [VarianceFactors; 2] {
        let mut out = [VarianceFactors::ONE; 2];
        for (asked, v) in asked.iter().zip(x) {
            let by = math::exp((v * asked.sd).clamp(-MOST, MOST));
            for (scale, _) in out.iter_mut().zip(asked.surveys).filter(|s| s.1) {
                *(asked.factor)(scale) = by;
            }
        }
        out
    };
    let mut starts = if is_up && walked.contains(&true) {
        starts(&asked)
    } else {
        vec![vec![0.0; asked.len()]]
    };
    starts.extend(known.map(|k| k.at.clone()));
    let followed = if known.is_some() { 1 } else { FOLLOWED };
    let windows: Vec<WindowLikelihood<'_>> = windows
        .iter()
        .map(|node_m| WindowLikelihood {
            strands,
            node_m,
            bend,
            moved,
            kept: Default::default(),
        })
        .collect();
    let found = likeliest(&starts, followed, |x| {
        let scales = scales(x);
        let seen: f64 = windows.iter().map(|w| w.cost(scales)).sum();
        seen + x.iter().map(|v| v * v).sum::<f64>()
    });
    FittedFactors {
        scales: scales(&found.at),
        cost: found.value,
        at: found.at,
    }
}

/// The lowest cost from the likeliest of some starts, of which so many are followed to their end.
fn likeliest(starts: &[Vec<f64>], followed: usize, cost: impl Fn(&[f64]) -> f64) -> Minimum {
    let mut begins: Vec<(f64, &Vec<f64>)> = starts.iter().map(|s| (cost(s), s)).collect();
    begins.sort_by(|a, b| a.0.total_cmp(&b.0));
    let ends = begins
        .iter()
        .take(followed)
        .map(|(_, start)| minimise(start, SEARCH, &cost));
    let lowest = ends.min_by(|a, b| a.value.total_cmp(&b.value));
    lowest.unwrap_or_else(|| minimise(&[], SEARCH, &cost))
}

/// Where the search begins: one form of error passes for another on the way down, so many forms are looked at first. The quick part may be slower than usual and be most of the error, with more or less of the looks' own.
fn starts(asked: &[AskedFactor]) -> Vec<Vec<f64>> {
    let mut out = vec![vec![0.0; asked.len()]];
    for quick_time in [0.0, 1.2, 2.4, 3.6] {
        for growth in [-1.0, 0.0, 1.0, 2.0] {
            for own in [-1.0, 0.5, 2.0] {
                for slow in [0.0, -2.0] {
                    let start = VarianceFactors {
                        slow,
                        own,
                        time: 0.0,
                        quick: quick_time + growth - slow,
                        quick_time,
                    };
                    let log = |a: &AskedFactor| {
                        let mut start = start;
                        *(a.factor)(&mut start) / a.sd
                    };
                    out.push(asked.iter().map(log).collect());
                }
            }
        }
    }
    out
}
