//! What the data hold: a matched filter to which the stations and the noise of every fix are known, and only place, width and size of the movement are not.

use super::Receiver;
use super::precision::{Instant, Precision};
use nalgebra::{Cholesky, DMatrix, DVector};
use std::f64::consts::PI;
use steadyfall::numeric::Rng;
use steadyfall::receiver::Errors;

/// Where a fix truly stood, and how far its height is off the ground before anything moved, m.
#[derive(Debug, Clone, Copy)]
pub(super) struct Fixed {
    pub(super) clock_s: f64,
    pub(super) station_m: f64,
    pub(super) off_m: f64,
}

/// Nodes, m apart, and how many.
const NODE_M: f64 = 5.0;
const NODES: usize = 121;
/// Half widths that are looked for, m.
const HALVES_M: [f64; 7] = [6.0, 9.0, 13.0, 20.0, 30.0, 45.0, 70.0];
const DRAWS: usize = 500;

/// Information of walks on the nodes and what it points to, m.
fn held(walks: &[Vec<Fixed>], receiver: &Receiver) -> (DMatrix<f64>, DVector<f64>) {
    // The drift of these walks is an Ornstein-Uhlenbeck process: the fast part of the errors; there is no other.
    let errors = Errors {
        slow_sd_m: 1e-3,
        slow_time_s: 100.0,
        fast_sd_m: receiver.drift_m,
        fast_time_s: receiver.drift_s,
        white_sd_m: receiver.white_m,
    };
    let mut p = DMatrix::zeros(NODES, NODES);
    let mut y = DVector::zeros(NODES);
    for walk in walks {
        let at: Vec<Instant> = walk
            .iter()
            .map(|f| Instant { clock_s: f.clock_s })
            .collect();
        let precision = Precision::new(&errors, &at);
        let mut columns = vec![vec![0.0; walk.len()]; NODES];
        for (i, f) in walk.iter().enumerate() {
            let at = (f.station_m / NODE_M).clamp(0.0, (NODES - 1) as f64 - 1e-9);
            let node = at as usize;
            columns[node][i] = 1.0 - at.fract();
            columns[node + 1][i] = at.fract();
        }
        let values: Vec<f64> = walk.iter().map(|f| f.off_m).collect();
        let weighed = precision.times(&values);
        let information = precision.information(&columns);
        for (a, column) in columns.iter().enumerate() {
            y[a] += column.iter().zip(&weighed).map(|(x, w)| x * w).sum::<f64>();
            for b in 0..NODES {
                p[(a, b)] += information[a][b];
            }
        }
    }
    (p, y)
}

/// Chance that walks as these show as much where nothing moved: the largest T of all raised cosines; an empty list before is ground that is known.
pub(super) fn limit(
    before: &[Vec<Fixed>],
    after: &[Vec<Fixed>],
    first: &Receiver,
    then: &Receiver,
) -> f64 {
    let (pa, ya) = held(after, then);
    let (q, v) = if before.is_empty() {
        (pa, ya)
    } else {
        let (pb, yb) = held(before, first);
        let whole = &pa + &pb + DMatrix::from_diagonal_element(NODES, NODES, 1e-6);
        let factor = Cholesky::new(whole).expect("information");
        let q = &pa - &pa * factor.solve(&pa);
        let v = &ya - &pa * factor.solve(&(&ya + &yb));
        (q, v)
    };
    let mut templates: Vec<DVector<f64>> = Vec::new();
    for half in HALVES_M {
        for middle in 0..NODES {
            let share = |i: usize| {
                let x = (i as f64 - middle as f64) * NODE_M / half;
                if x.abs() < 1.0 {
                    0.5 * (1.0 + (PI * x).cos())
                } else {
                    0.0
                }
            };
            let s = DVector::from_fn(NODES, |i, _| share(i));
            let root = s.dot(&(&q * &s)).max(0.0).sqrt();
            if root > 1e-3 {
                templates.push(s / root);
            }
        }
    }
    let bank = DMatrix::from_columns(&templates).transpose();
    let most = |v: &DVector<f64>| (&bank * v).amax();
    let even = DMatrix::from_diagonal_element(NODES, NODES, 1e-6);
    let l = Cholesky::new((&q + q.transpose()) * 0.5 + even)
        .expect("information of the difference")
        .l();
    let seen = most(&v);
    let mut draws = Rng::new(77);
    let as_much = (0..DRAWS)
        .filter(|_| {
            let x = DVector::from_fn(NODES, |_, _| draws.normal());
            most(&(&l * x)) >= seen
        })
        .count();
    as_much as f64 / DRAWS as f64
}
