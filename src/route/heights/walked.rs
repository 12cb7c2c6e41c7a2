use super::gather::Theta;
use super::grid::Grid;
use super::layout::Layout;
use super::sample::{NoisePrior, Roughness, Sampler};
use super::steady::{self, Steadied};
use super::{Block, Followed, HeightsOptions, Levelled, Noise, Tie, Walked};
use crate::numeric::math;
use crate::numeric::{Rng, SimplexOptions, minimise};
use crate::route::Heights;
use crate::route::receiver::Errors;
use crate::text::Sentence;
use nalgebra::{Matrix3, Vector3};

/// Nodes of the line, m apart, and steps in a cell of one roughness.
const NODE_M: f64 = 6.0;
const STEPS_IN_CELL: usize = 2;
/// Lines longer than this many nodes get wider ones.
const MOST_NODES: f64 = 3_000.0;
/// Roughness a cell may have, m2/m3: an even slope to a hump of 2.5 m on 20 m.
const LADDER: [f64; 5] = [1e-5, 1e-4, 1e-3, 1e-2, 1e-1];
/// Chance that a cell is as rough as the one before.
const STAY: f64 = 0.7;
/// How far beyond the stations asked for a reading still helps, m.
const BEYOND_M: f64 = 60.0;
/// How firmly the equal shares of the classes are held: as if each had been chosen twice before.
const HELD: f64 = 2.0;
/// Least drift where heights come from a terrain model, m: its error is not seen in repeated walks.
const TERRAIN_DRIFT_M: f64 = 1.5;
/// Its error forgets itself within some 100 m of line, a few of the model's cells: in seconds at the pace that stands for time.
const TERRAIN_S: f64 = 120.0;
/// Noise of hand receivers beforehand: drift 1.9 m, its time 600 s, white part 0.25 m, and how far off each may be on the natural log.
///
/// The time is held loosely (three minutes to half an hour within one standard deviation): echoes come and go in a minute, what the air adds in an hour. One walk shows
/// how fast its drift grows, but not where it ends; held to minutes, a slow drift would pass for a small one and the drop for better known than it is.
const USUAL: [f64; 3] = [1.9, 600.0, 0.25];
const USUAL_SD: Theta = [0.6, 1.1, 0.7];

/// How much is drawn.
#[derive(Debug, Clone, Copy)]
struct Effort {
    /// Sweeps before the first that counts.
    warm: usize,
    sweeps: usize,
    /// Draws from each sweep that counts, in mirrored pairs.
    pairs: usize,
}

impl Effort {
    fn of(walks: usize, stations: usize, wanted: Option<usize>) -> Self {
        let usual = if walks <= 1 { 2_400 } else { 1_320 };
        // A long line keeps its draws to a bearable store.
        let draws = wanted
            .unwrap_or(usual.min(6_000_000 / stations.max(1)))
            .max(40);
        let pairs = if walks <= 1 { 2 } else { 3 };
        Self {
            warm: 20,
            sweeps: draws.div_ceil(2 * pairs),
            pairs,
        }
    }
}

/// Heights of one or more walks on the stations asked for, with ties and levelled reaches.
///
/// `stations_m`: strictly rising, where heights are wanted (the nodes of the route). Blocks may come in any order; what is not finite is left out and told.
/// Every pass is expected on one centreline with stations monotone in its clock. Time grows with the length of the line, not with the square of the readings; the same input and seed give the same draws.
pub fn walked(
    blocks: &[Block],
    ties: &[Tie],
    levelled: &[Levelled],
    stations_m: &[f64],
    options: &HeightsOptions,
) -> Walked {
    // What lies far beyond the stations asked for says nothing of them and must not stretch the line.
    let (from, to) = (
        stations_m.first().copied().unwrap_or(0.0) - BEYOND_M,
        stations_m.last().copied().unwrap_or(0.0) + BEYOND_M,
    );
    let near = |station_m: f64| station_m >= from && station_m <= to;
    let blocks: Vec<Block> = blocks
        .iter()
        .filter(|b| near(b.station_m) || !b.station_m.is_finite())
        .copied()
        .collect();
    let Steadied {
        blocks,
        walks,
        aside,
        left_out,
        eased,
    } = steady::steady(&blocks);
    let usable = |t: &&Tie| {
        near(t.station_m) && t.height_m.abs() < steady::FAR_M && t.sd_m.abs() < steady::FAR_M
    };
    let ties: Vec<Tie> = ties.iter().filter(usable).copied().collect();
    let levelled: Vec<Levelled> = levelled
        .iter()
        .map(|l| Levelled {
            points: l.points.iter().filter(usable).copied().collect(),
            datum_sd_m: l.datum_sd_m.max(0.0),
        })
        .filter(|l| !l.points.is_empty())
        .collect();
    let mut remarks: Vec<Sentence> = Vec::new();
    let known = ties
        .iter()
        .chain(levelled.iter().flat_map(|l| &l.points))
        .next();
    let (Some(first), false) = (
        blocks
            .iter()
            .min_by(|a, b| a.station_m.total_cmp(&b.station_m))
            .map(|b| b.height_m)
            .or(known.map(|t| t.height_m)),
        stations_m.is_empty(),
    ) else {
        remarks.push("no heights: nothing can be said of the profile".into());
        return Walked {
            remarks,
            ..Walked::default()
        };
    };
    let length =
        stations_m.last().copied().unwrap_or(0.0) - stations_m.first().copied().unwrap_or(0.0);
    let node_m = NODE_M.max(length / MOST_NODES);
    let layout = Layout::new(
        &blocks,
        &ties,
        &levelled,
        stations_m,
        options,
        Grid {
            node_m,
            steps_in_cell: STEPS_IN_CELL,
        },
    );
    let roughness = Roughness {
        ladder: LADDER.to_vec(),
        shares: vec![1.0 / LADDER.len() as f64; LADDER.len()],
        stay: STAY,
        alpha: HELD,
    };
    let [drift, time, white] = USUAL;
    let time = if options.terrain_model {
        TERRAIN_S
    } else {
        time
    };
    let prior = NoisePrior {
        mean: [drift, time, white].map(math::ln),
        sd: USUAL_SD,
        least_drift: if options.terrain_model {
            math::ln(TERRAIN_DRIFT_M)
        } else {
            f64::NEG_INFINITY
        },
    };
    let effort = Effort::of(walks, stations_m.len(), options.draws);
    let mut draws = Rng::new(options.seed);
    let mut sampler = Sampler::new(&layout, roughness, prior, first, prior.mean, 2);
    let (heights, theta) = sample(&mut sampler, &mut draws, effort, stations_m);
    let in_time = !options.terrain_model && blocks.iter().all(|b| b.clock_s.is_some());
    let noise = Noise {
        drift_sd_m: math::exp(theta[0]),
        drift_time_s: math::exp(theta[1]),
        white_sd_m: math::exp(theta[2]),
        in_time,
        walks,
    };
    remark(&mut remarks, &noise, options, left_out, eased);
    if aside > 0 {
        remarks.push(format!(
            "{aside} of {} walks were left aside: where many overlap, the eight with the most readings carry the heights",
            aside + walks
        ).into());
    }
    if node_m > NODE_M {
        remarks.push(
            Sentence::from("the line is long: heights are worked out every ").length(node_m, 0),
        );
    }
    // Heights that were looked up say the same however often they are walked: they settle no more than one walk.
    let walks = if options.terrain_model {
        walks.min(1)
    } else {
        walks
    };
    let errors = Errors {
        slow_sd_m: 0.0,
        slow_time_s: 60.0,
        fast_sd_m: noise.drift_sd_m,
        fast_time_s: noise.drift_time_s,
        white_sd_m: noise.white_sd_m,
    };
    let followed = (0..noise.walks).map(|walk| Followed {
        blocks: blocks.iter().filter(|b| b.pass == walk).copied().collect(),
        errors,
    });
    Walked {
        heights: Heights { walks, ..heights },
        noise,
        followed: followed.collect(),
        remarks,
    }
}

/// Warms up, finds a stride for the noise numbers, and draws. Returns heights on the stations and the medians of the noise numbers.
fn sample(
    sampler: &mut Sampler<'_>,
    draws: &mut Rng,
    effort: Effort,
    stations_m: &[f64],
) -> (Heights, Theta) {
    for _ in 0..3 {
        sampler.sweep(draws);
    }
    settle(sampler, 60);
    for _ in 0..4 {
        sampler.sweep(draws);
    }
    stride(sampler);
    for _ in 0..effort.warm {
        sampler.move_noise(draws);
        sampler.sweep(draws);
        sampler.share(draws);
    }
    let layout = sampler.layout;
    let at: Vec<(usize, [f64; 4], f64)> = stations_m
        .iter()
        .map(|&s| {
            let (step, weights) = layout.weights_at(s);
            (step, weights, layout.base_at(s))
        })
        .collect();
    let on_stations = |x: &[f64]| -> Vec<f64> {
        at.iter()
            .map(|(step, w, _)| {
                x.get(2 * step..2 * step + 4)
                    .map_or(0.0, |x| x.iter().zip(w).map(|(x, w)| x * w).sum())
            })
            .collect()
    };
    let size = 2 * layout.node_m.len();
    let (mut middle, mut off) = (vec![0.0; size], vec![0.0; size]);
    let mut lines: Vec<Vec<f64>> = Vec::with_capacity(2 * effort.sweeps * effort.pairs);
    let mut thetas: [Vec<f64>; 3] = Default::default();
    for _ in 0..effort.sweeps {
        sampler.move_noise(draws);
        sampler.sweep(draws);
        sampler.share(draws);
        for (all, t) in thetas.iter_mut().zip(sampler.theta) {
            all.push(t);
        }
        sampler.run.back(layout, true, || 0.0, &mut middle);
        let mean: Vec<f64> = on_stations(&middle)
            .into_iter()
            .zip(&at)
            .map(|(m, (_, _, base))| m + base)
            .collect();
        for _ in 0..effort.pairs {
            sampler.run.back(layout, false, || draws.normal(), &mut off);
            let off = on_stations(&off);
            lines.push(mean.iter().zip(&off).map(|(m, d)| m + d).collect());
            lines.push(mean.iter().zip(&off).map(|(m, d)| m - d).collect());
        }
    }
    let theta = thetas.map(|mut all| {
        all.sort_by(f64::total_cmp);
        all.get(all.len() / 2).copied().unwrap_or(0.0)
    });
    (Heights::from_draws(stations_m.to_vec(), lines), theta)
}

/// Climbs to the most likely noise numbers for the classes as they stand.
fn settle(sampler: &mut Sampler<'_>, most: usize) {
    let prior = sampler.prior;
    let search = SimplexOptions {
        step: 0.4,
        close: 0.05,
        most,
    };
    let theta = |x: &[f64]| -> Theta {
        let mut t = prior.mean;
        for (t, x) in t.iter_mut().zip(x) {
            *t = *x;
        }
        t
    };
    let start = sampler.theta;
    let end = minimise(&start, search, |x| {
        let t = theta(x);
        -(sampler.at(&t) + prior.log(&t))
    });
    sampler.go_to(&theta(&end.at));
}

/// The stride of the noise numbers from the bend of the log posterior where they stand.
fn stride(sampler: &mut Sampler<'_>) {
    const H: f64 = 0.15;
    let prior = sampler.prior;
    let here = sampler.theta;
    let mut log = |moves: &[(usize, f64)]| {
        let mut t = here;
        for &(i, by) in moves {
            if let Some(t) = t.get_mut(i) {
                *t += by * H;
            }
        }
        sampler.at(&t)
            + NoisePrior {
                least_drift: f64::NEG_INFINITY,
                ..prior
            }
            .log(&t)
    };
    let middle = log(&[]);
    let mut bend = Matrix3::zeros();
    for i in 0..3 {
        for k in 0..=i {
            let value = if i == k {
                log(&[(i, 1.0)]) - 2.0 * middle + log(&[(i, -1.0)])
            } else {
                0.25 * (log(&[(i, 1.0), (k, 1.0)])
                    - log(&[(i, 1.0), (k, -1.0)])
                    - log(&[(i, -1.0), (k, 1.0)])
                    + log(&[(i, -1.0), (k, -1.0)]))
            } / (H * H);
            if let Some(b) = bend.get_mut((i, k)) {
                *b = -value;
            }
            if let Some(b) = bend.get_mut((k, i)) {
                *b = -value;
            }
        }
    }
    let fallback = Matrix3::from_diagonal(&Vector3::from(prior.sd.map(|s| 0.3 * s)));
    let scale = 2.38 / 3f64.sqrt();
    let lower = (bend + Matrix3::identity() * 1e-3)
        .cholesky()
        .map(|c| c.inverse())
        .and_then(|cov| cov.cholesky())
        .map_or(fallback, |c| c.l() * scale);
    if lower.iter().all(|v| v.is_finite()) {
        let cell = |i: usize, k: usize| lower.get((i, k)).copied().unwrap_or(0.0);
        sampler.stride = std::array::from_fn(|i| std::array::from_fn(|k| cell(i, k)));
    }
}

fn remark(
    remarks: &mut Vec<Sentence>,
    noise: &Noise,
    options: &HeightsOptions,
    left_out: usize,
    eased: usize,
) {
    match left_out {
        0 => {}
        1 => remarks
            .push("1 block of readings without a usable height or station was left out".into()),
        n => remarks.push(
            format!("{n} blocks of readings without a usable height or station were left out")
                .into(),
        ),
    }
    match eased {
        0 => {}
        1 => remarks
            .push("1 block of readings stands apart from its neighbours and weighs less".into()),
        n => remarks.push(
            format!("{n} blocks of readings stand apart from their neighbours and weigh less")
                .into(),
        ),
    }
    if options.terrain_model {
        remarks.push(
            "a hump narrower than the cells of a terrain model does not show in its heights, and more walks say no more: level what matters".into(),
        );
    } else if noise.walks > 0 && !noise.in_time {
        remarks.push(
            "some walk has no times: the receiver's drift is followed along the line, as if walked at an even pace".into(),
        );
    }
    if noise.walks == 1 && !options.terrain_model {
        remarks.push(
            "one walk cannot tell the receiver's drift from gentle ground: the doubt of the drop rests mostly on how hand receivers usually drift; a second walk, best on another day, tells them apart".into(),
        );
    }
}
