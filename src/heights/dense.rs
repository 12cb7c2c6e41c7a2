//! The passes down and up the line against the same Gaussian written out densely: walks over parts of the line, with and without times, ties, a levelled reach, one drift for all.

use super::gather::GatheredForms;
use super::given::ForwardRun;
use super::layout::Layout;
use super::screen::OfferScreen;
use super::{HeightsOptions, Levelled, ReadingBlock, Tie};
use crate::numeric::Rng;
use crate::numeric::math;
use crate::receiver::Errors;
use nalgebra::{DMatrix, DVector};

const Q: f64 = 2e-3;
const WHITE_M: f64 = 0.3;
/// Walks of one receiver that err by more and by less.
const ERRORS: [Errors; 3] = [errors(1.4, 0.5), errors(0.6, 0.2), errors(4.0, 0.9)];

const fn errors(slow_sd_m: f64, fast_sd_m: f64) -> Errors {
    Errors {
        slow_sd_m,
        slow_time_s: 60.0,
        fast_sd_m,
        fast_time_s: 9.0,
        white_sd_m: WHITE_M,
    }
}

/// A reading for the dense sum: station, height, white variance, offset and its variance, drift and its clock.
struct DenseReading {
    station_m: f64,
    height_m: f64,
    white_var: f64,
    offset: Option<(usize, f64)>,
    drift: Option<(usize, f64)>,
}

fn ground(a: f64, b: f64) -> f64 {
    let (m, n) = (a.min(b), a.max(b));
    1e4 + a * b + Q * m * m * (3.0 * n - m) / 6.0
}

fn invented(
    draws: &mut Rng,
    shared: bool,
) -> (Vec<ReadingBlock>, Vec<Tie>, Levelled, Vec<DenseReading>) {
    let (mut blocks, mut rows) = (Vec::new(), Vec::new());
    for pass in 0..3usize {
        let timed = pass != 1;
        let (mut s, mut t) = (draws.between(0.0, 40.0), draws.between(0.0, 500.0));
        let end = draws.between(60.0, 100.0);
        let uphill = pass == 2;
        let mut list = Vec::new();
        while s < end {
            list.push((s, t));
            t += if uphill { -1.0 } else { 1.0 } * draws.between(1.0, 9.0);
            if draws.uniform() > 0.2 {
                s += draws.between(0.5, 14.0);
            }
        }
        for (s, t) in list {
            let count = 1.0 + draws.below(3) as f64;
            let height_m = 50.0 - 0.1 * s + 2.0 * draws.normal();
            // The second walk is written in whole metres.
            let rounded_sd_m = if pass == 1 { 0.29 } else { 0.0 };
            blocks.push(ReadingBlock {
                pass,
                clock_s: timed.then_some(t),
                station_m: s,
                height_m,
                count,
                rounded_sd_m,
                dilution: None,
            });
            rows.push(DenseReading {
                station_m: s,
                height_m,
                white_var: WHITE_M * WHITE_M / count + rounded_sd_m * rounded_sd_m,
                offset: Some((pass, 100.0)),
                drift: Some(if shared {
                    (0, s / 0.8)
                } else if timed {
                    (pass, t)
                } else {
                    (pass, s / 0.8)
                }),
            });
        }
    }
    let mut known = |s: f64| Tie {
        station_m: s,
        height_m: 50.0 - 0.1 * s + 0.2 * draws.normal(),
        sd_m: 0.05,
    };
    let ties = vec![known(33.0)];
    let reach = Levelled {
        points: [70.0, 75.5, 81.0].map(&mut known).to_vec(),
        datum_sd_m: 3.0,
    };
    for (t, offset) in ties
        .iter()
        .map(|t| (t, None))
        .chain(reach.points.iter().map(|t| (t, Some((3, 9.0)))))
    {
        rows.push(DenseReading {
            station_m: t.station_m,
            height_m: t.height_m,
            white_var: t.sd_m * t.sd_m,
            offset,
            drift: None,
        });
    }
    (blocks, ties, reach, rows)
}

#[test]
fn the_same_as_written_out_densely() {
    for seed in 0..24 {
        let mut draws = Rng::new(seed);
        let shared = seed % 3 == 2;
        let (blocks, ties, reach, rows) = invented(&mut draws, shared);
        let mut nodes: Vec<f64> = rows
            .iter()
            .map(|r| r.station_m)
            .chain([0.0, 25.0, 50.0, 110.0])
            .collect();
        nodes.sort_by(f64::total_cmp);
        nodes.dedup();
        let cells = (0..nodes.len() - 1).map(|j| (j, j + 1)).collect();
        let options = HeightsOptions {
            terrain_model: shared,
            ..HeightsOptions::default()
        };
        let layout = Layout::on(nodes, cells, &blocks, &ties, &[reach], &options);
        let gathered = GatheredForms::new(&layout, &ERRORS, 50.0);
        let mut run = ForwardRun::default();
        let evidence = run.forward(&layout, &gathered, |_| Q);
        // Followed reading by reading it reaches so much and no more.
        let mut screen = OfferScreen::of(&layout, 50.0);
        assert!(screen.may_reach(&ERRORS, |_| Q, evidence + 5e-3), "{seed}");
        assert!(!screen.may_reach(&ERRORS, |_| Q, evidence + 2e-2), "{seed}");
        let mut mean = vec![0.0; 2 * layout.node_m.len()];
        run.back(&layout, true, || 0.0, &mut mean);

        let n = rows.len();
        let cov = DMatrix::from_fn(n, n, |i, k| {
            let (a, b) = (&rows[i], &rows[k]);
            let mut c = ground(a.station_m, b.station_m);
            if let (Some((x, var)), Some((y, _))) = (a.offset, b.offset)
                && x == y
            {
                c += var;
            }
            if let (Some((x, t)), Some((y, u))) = (a.drift, b.drift)
                && x == y
            {
                c += ERRORS[x].covariance(t - u);
            }
            c + if i == k { a.white_var } else { 0.0 }
        });
        let off = DVector::from_fn(n, |i, _| rows[i].height_m - 50.0);
        let factor = cov.cholesky().unwrap();
        let solved = factor.solve(&off);
        let log_det: f64 = factor
            .l()
            .diagonal()
            .iter()
            .map(|d| 2.0 * math::ln(*d))
            .sum();
        let dense =
            -0.5 * (off.dot(&solved) + log_det + n as f64 * math::ln(2.0 * std::f64::consts::PI));
        // Readings of walks that share one chain may stand closer than the shortest time that two moments are told apart by: that shows.
        assert!(
            (evidence - dense).abs() < if shared { 0.05 } else { 1e-3 },
            "{seed}: {evidence} {dense}"
        );
        for s in [0.0, 25.0, 50.0, 110.0] {
            let want = 50.0
                + rows
                    .iter()
                    .zip(solved.iter())
                    .map(|(r, w)| ground(s, r.station_m) * w)
                    .sum::<f64>();
            let (j, w) = layout.weights_at(s);
            let got = layout.base_at(s) + (0..4).map(|k| w[k] * mean[2 * j + k]).sum::<f64>();
            assert!((got - want).abs() < 1e-4, "{seed} at {s}: {got} {want}");
        }
    }
}
