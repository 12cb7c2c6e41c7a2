//! A book held to known heights.

use super::course::BookLine;
use crate::numeric::math;
use crate::text::{Place, Remark, Sentence};
use nalgebra::{DMatrix, DVector};

/// Doubt of the datum of a book that hangs on no known height, once it is brought near, m.
const DATUM_SD_M: f64 = 10.0;

/// A known height that misses the book by more than this many standard deviations is remarked on.
const MISS: f64 = 3.5;

/// A known height on the line.
pub(super) struct BookTie {
    pub(super) level_m: f64,
    pub(super) height_m: f64,
    pub(super) sd_m: f64,
    pub(super) place: Place,
}

/// Heights and their doubt after the known heights are taken in.
pub(super) struct Conditioned {
    pub(super) heights_m: Vec<f64>,
    pub(super) sd_m: Vec<f64>,
    pub(super) factors: Vec<Vec<f64>>,
    pub(super) remarks: Vec<Remark>,
}

/// Least squares with the book's own errors: each known height is one observation of the line there, straight between points.
///
/// The errors of the points next to a known height join the shared ones, so that what is learnt of them is kept exactly.
/// The posterior of the shared errors `g ~ N(0, I)` given `y = H g + e` is `N(K y, I - K H)` with `K = H' (H H' + R)^-1`; its root makes the new factors.
pub(super) fn condition(course: &BookLine, known: &[BookTie], tied: bool) -> Conditioned {
    let mut out = Conditioned {
        heights_m: course.heights_m(),
        sd_m: course.rows.iter().map(|r| r.sd_m).collect(),
        factors: course.factors.clone(),
        remarks: Vec::new(),
    };
    if known.is_empty() || course.rows.is_empty() {
        return out;
    }
    let count = course.rows.len();
    let weights: Vec<[(usize, f64); 2]> = known
        .iter()
        .map(|k| beside(&course.level_m, k.level_m))
        .collect();
    let at = |values: &[f64], w: &[(usize, f64); 2]| -> f64 {
        w.iter()
            .map(|&(i, share)| share * values.get(i).copied().unwrap_or(0.0))
            .sum()
    };
    if !tied {
        let off: f64 = known
            .iter()
            .zip(&weights)
            .map(|(k, w)| k.height_m - at(&out.heights_m, w))
            .sum();
        let shift = off / known.len() as f64;
        for height in &mut out.heights_m {
            *height += shift;
        }
        out.factors.push(vec![DATUM_SD_M; count]);
    }
    // The points beside a known height give their own error a factor.
    let mut own: Vec<usize> = weights
        .iter()
        .flatten()
        .filter(|w| w.1 > 0.0)
        .map(|w| w.0)
        .collect();
    own.sort_unstable();
    own.dedup();
    for &i in &own {
        if let Some(sd) = out.sd_m.get_mut(i) {
            let mut factor = vec![0.0; count];
            if let Some(f) = factor.get_mut(i) {
                *f = *sd;
            }
            out.factors.push(factor);
            *sd = 0.0;
        }
    }
    let k = out.factors.len();
    let h = DMatrix::from_fn(known.len(), k, |row, col| {
        weights
            .get(row)
            .zip(out.factors.get(col))
            .map_or(0.0, |(w, f)| at(f, w))
    });
    let y = DVector::from_iterator(
        known.len(),
        known
            .iter()
            .zip(&weights)
            .map(|(k, w)| k.height_m - at(&out.heights_m, w)),
    );
    let noise = DVector::from_iterator(
        known.len(),
        known.iter().map(|k| math::powi(k.sd_m.max(1e-4), 2)),
    );
    let seen = &h * h.transpose() + DMatrix::from_diagonal(&noise);
    out.remarks = misses(known, &y, &seen);
    let Some(root) = seen.clone().cholesky() else {
        return out;
    };
    let gain = root.solve(&h).transpose();
    let learnt = &gain * y;
    let left = DMatrix::identity(k, k) - &gain * &h;
    let symmetric = (&left + left.transpose()) * 0.5;
    let eigen = symmetric.symmetric_eigen();
    for (i, height) in out.heights_m.iter_mut().enumerate() {
        let off: f64 = out
            .factors
            .iter()
            .zip(learnt.iter())
            .map(|(f, g)| g * f.get(i).copied().unwrap_or(0.0))
            .sum();
        *height += off;
    }
    let mut fresh = Vec::new();
    for (value, direction) in eigen
        .eigenvalues
        .iter()
        .zip(eigen.eigenvectors.column_iter())
    {
        let scale = value.max(0.0).sqrt();
        if scale < 1e-9 {
            continue;
        }
        let factor: Vec<f64> = (0..count)
            .map(|i| {
                let sum: f64 = out
                    .factors
                    .iter()
                    .zip(direction.iter())
                    .map(|(f, v)| v * f.get(i).copied().unwrap_or(0.0))
                    .sum();
                scale * sum
            })
            .collect();
        fresh.push(factor);
    }
    out.factors = fresh;
    out
}

/// The two points beside a level station with their shares.
fn beside(level_m: &[f64], level: f64) -> [(usize, f64); 2] {
    let last = level_m.len().saturating_sub(1);
    let after = level_m
        .partition_point(|&l| l < level)
        .clamp(1.min(last), last);
    let before = after.saturating_sub(1);
    let (a, b) = (
        level_m.get(before).copied().unwrap_or(0.0),
        level_m.get(after).copied().unwrap_or(0.0),
    );
    let share = if b > a {
        ((level - a) / (b - a)).clamp(0.0, 1.0)
    } else {
        1.0
    };
    [(before, 1.0 - share), (after, share)]
}

fn misses(known: &[BookTie], y: &DVector<f64>, seen: &DMatrix<f64>) -> Vec<Remark> {
    known
        .iter()
        .enumerate()
        .filter_map(|(i, k)| {
            let off = y.get(i).copied()?;
            let sd = seen.get((i, i)).copied()?.sqrt();
            (off.abs() > MISS * sd).then(|| {
                Remark::new(
                    k.place.clone(),
                    Sentence::from("the known height differs from the book by ")
                        .offset(off, 2)
                        .words(format!(
                            ". This is {:.0} times the standard uncertainty of the difference",
                            (off / sd).abs()
                        )),
                )
            })
        })
        .collect()
}
