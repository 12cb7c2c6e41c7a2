//! Checkers for tests/checks/doubt.csv: heights with their doubt, noise and roughness given.

use crate::ledger::{Answer, Checker, Inputs};
use std::sync::OnceLock;
use steadyfall::heights::{ReadingBlock, Smoothed, Smoothing, Tie, smoothed};
use steadyfall::numeric::{DescentOptions, minimise};
use steadyfall::receiver::Errors;

/// Columns of a table of numbers beside the ledger.
fn table(text: &str) -> Vec<Vec<f64>> {
    text.lines()
        .skip(1)
        .map(|l| l.split(' ').map(|c| c.parse().unwrap()).collect())
        .collect()
}

fn column(table: &[Vec<f64>], c: usize) -> Vec<f64> {
    table.iter().map(|r| r[c]).collect()
}

/// The reference of one smoother: 81 stations with two qualities of reading, none in the gaps (nan).
fn reference() -> Vec<Vec<f64>> {
    table(include_str!("../../checks/smoother.txt"))
}

fn known(rows: &[Vec<f64>]) -> Vec<Tie> {
    rows.iter()
        .filter(|r| r[1].is_finite())
        .map(|r| Tie {
            station_m: r[0],
            height_m: r[1],
            sd_m: r[2],
        })
        .collect()
}

/// An Ornstein-Uhlenbeck drift and a white part, as the references have it.
fn drift(fast_sd_m: f64, fast_time_s: f64, white_sd_m: f64) -> Errors {
    Errors {
        slow_sd_m: 0.0,
        slow_time_s: 60.0,
        fast_sd_m,
        fast_time_s,
        white_sd_m,
    }
}

fn given(q: f64, first_height_m: f64, draws: usize) -> Smoothing {
    Smoothing {
        errors: drift(1.0, 100.0, 1.0),
        offset_sd_m: 10.0,
        roughness: vec![(0.0, q)],
        first_height_m,
        draws,
        seed: 4,
    }
}

fn one_smoother(q: f64, rows: usize, draws: usize, more: &[Tie]) -> Smoothed {
    let all = reference();
    let rows = &all[..rows];
    let mut ties = known(rows);
    ties.extend_from_slice(more);
    smoothed(&[], &ties, &column(rows, 0), &given(q, rows[0][1], draws))
}

fn worst(got: &[f64], want: &[f64]) -> f64 {
    assert_eq!(got.len(), want.len());
    got.iter()
        .zip(want)
        .map(|(g, w)| (g - w).abs())
        .fold(0.0, f64::max)
}

/// Log-likelihood without the first two innovations, which only set the level and the slope.
fn from_the_third(q: f64) -> f64 {
    one_smoother(q, 81, 0, &[]).log_evidence - one_smoother(q, 2, 0, &[]).log_evidence
}

/// Sd of a difference from means alone: how much the one height follows when the other is pulled.
fn sd_of_difference(of: &dyn Fn(&[Tie]) -> Smoothed, station: &[f64], a: usize, b: usize) -> f64 {
    let free = of(&[]).heights;
    let pulled = of(&[Tie {
        station_m: station[a],
        height_m: free.mean_m[a] + 10.0,
        sd_m: 1.0,
    }])
    .heights;
    let by = |i: usize| pulled.mean_m[i] - free.mean_m[i];
    let (va, vb) = (free.sd_m[a].powi(2), free.sd_m[b].powi(2));
    (va + vb - 2.0 * va * by(b) / by(a)).sqrt()
}

fn rise_between(i: &Inputs, sd: bool) -> Result<Answer, String> {
    let (a, b) = (i.number("low")? as usize, i.number("high")? as usize);
    let stations = column(&reference(), 0);
    if sd {
        let of = |more: &[Tie]| one_smoother(2e-4, 81, 0, more);
        return Ok(sd_of_difference(&of, &stations, a, b).into());
    }
    let mean = one_smoother(2e-4, 81, 0, &[]).heights.mean_m;
    Ok((mean[b] - mean[a]).into())
}

fn largest(line: impl Iterator<Item = f64>) -> f64 {
    let mut low = f64::INFINITY;
    line.fold(0.0, |most, z| {
        low = low.min(z);
        most.max(z - low)
    })
}

fn chance_in_window(i: &Inputs) -> Result<Answer, String> {
    let (from, to, over) = (i.number("from")?, i.number("to")?, i.number("over")?);
    static DRAWN: OnceLock<Smoothed> = OnceLock::new();
    let out = &DRAWN
        .get_or_init(|| one_smoother(2e-4, 81, 20_000, &[]))
        .heights;
    let hits = out
        .draws
        .iter()
        .filter(|d| {
            let inside = out
                .station_m
                .iter()
                .zip(d.iter())
                .filter(|(s, _)| **s >= from && **s <= to);
            largest(inside.map(|(_, z)| *z)) > over
        })
        .count();
    Ok((hits as f64 / 20_000.0).into())
}

fn four_passes(ties: bool, more: &[Tie]) -> Smoothed {
    let rows = table(include_str!("../../checks/four-passes.txt"));
    let blocks: Vec<ReadingBlock> = (0..4)
        .flat_map(|k| {
            rows.iter().map(move |r| ReadingBlock {
                pass: k,
                clock_s: None,
                station_m: r[0],
                height_m: r[k + 1],
                count: 1.0,
                rounded_sd_m: 0.0,
                dilution: None,
            })
        })
        .collect();
    let mut known: Vec<Tie> = if ties {
        [(0.0, 250.0), (400.0, 202.0)]
            .into_iter()
            .map(|(station_m, height_m)| Tie {
                station_m,
                height_m,
                sd_m: 0.02,
            })
            .collect()
    } else {
        Vec::new()
    };
    known.extend_from_slice(more);
    let smoothing = Smoothing {
        // 120 m along the line at the pace of 0.8 m/s that stands for time.
        errors: drift(1.5, 150.0, 0.8),
        offset_sd_m: 4.0,
        roughness: vec![(0.0, 2e-4)],
        first_height_m: 250.0,
        draws: 0,
        seed: 1,
    };
    smoothed(&blocks, &known, &column(&rows, 0), &smoothing)
}

const CALM_CELLS: [f64; 5] = [1e-3; 5];
const UNEVEN_CELLS: [f64; 5] = [1e-5, 1e-5, 1e-2, 1e-2, 1e-5];

fn two_passes(cells: [f64; 5], stations: &[f64], draws: usize, more: &[Tie]) -> Smoothed {
    let blocks: Vec<ReadingBlock> = table(include_str!("../../checks/two-passes.txt"))
        .iter()
        .map(|r| ReadingBlock {
            pass: r[0] as usize - 1,
            clock_s: Some(r[1]),
            station_m: r[2],
            height_m: r[3],
            count: 1.0,
            rounded_sd_m: 0.0,
            dilution: None,
        })
        .collect();
    let smoothing = Smoothing {
        errors: drift(1.2, 200.0, 0.2),
        offset_sd_m: 10.0,
        roughness: cells
            .iter()
            .enumerate()
            .map(|(i, q)| (20.0 * (i + 1) as f64, *q))
            .collect(),
        first_height_m: 500.0,
        draws,
        seed: 8,
    };
    smoothed(&blocks, more, stations, &smoothing)
}

/// Stations every 2.5 m, and the cells' ends with them.
fn fine() -> Vec<f64> {
    (0..=40).map(|i| 2.5 * f64::from(i)).collect()
}

fn cells(i: &Inputs) -> Result<[f64; 5], String> {
    match i.word("roughness")? {
        "even" => Ok(CALM_CELLS),
        "uneven" => Ok(UNEVEN_CELLS),
        other => Err(format!("no such roughness: {other}")),
    }
}

fn at(i: &Inputs, sd: bool) -> Result<Answer, String> {
    let s = i.number("s")?;
    let out = two_passes(cells(i)?, &fine(), 0, &[]).heights;
    let k = (s / 2.5).round() as usize;
    Ok(if sd { out.sd_m[k] } else { out.mean_m[k] }.into())
}

fn rise(i: &Inputs, sd: bool) -> Result<Answer, String> {
    let index = |name: &str| i.number(name).map(|s| (s / 2.5).round() as usize);
    let (a, b) = (index("from")?, index("to")?);
    let cells = cells(i)?;
    if sd {
        let of = |more: &[Tie]| two_passes(cells, &fine(), 0, more);
        return Ok(sd_of_difference(&of, &fine(), a, b).into());
    }
    let mean = two_passes(cells, &fine(), 0, &[]).heights.mean_m;
    Ok((mean[b] - mean[a]).into())
}

/// All 243 patterns: log evidence of the whole and shares of each cell's classes.
fn patterns() -> &'static (f64, [[f64; 3]; 5]) {
    static ALL: OnceLock<(f64, [[f64; 3]; 5])> = OnceLock::new();
    ALL.get_or_init(enumerate)
}

fn enumerate() -> (f64, [[f64; 3]; 5]) {
    let ladder = [1e-5, 1e-3, 1e-1];
    let share = [0.60f64, 0.25, 0.15];
    let mut all = Vec::new();
    for number in 0..243usize {
        let classes: [usize; 5] = std::array::from_fn(|c| number / 3usize.pow(c as u32) % 3);
        let mut log = share[classes[0]].ln();
        for pair in classes.windows(2) {
            let stay = if pair[0] == pair[1] { 0.7 } else { 0.0 };
            log += (0.3f64 * share[pair[1]] + stay).ln();
        }
        let out = two_passes(classes.map(|c| ladder[c]), &fine(), 0, &[]);
        all.push((log + out.log_evidence, classes));
    }
    let most = all.iter().map(|a| a.0).fold(f64::NEG_INFINITY, f64::max);
    let sum: f64 = all.iter().map(|a| (a.0 - most).exp()).sum();
    let mut shares = [[0.0; 3]; 5];
    for (log, classes) in &all {
        for (cell, class) in shares.iter_mut().zip(classes) {
            cell[*class] += (log - most).exp() / sum;
        }
    }
    (most + sum.ln(), shares)
}

/// The quantities of this topic.
pub fn checkers() -> Vec<Checker> {
    const OF: &str = "heights::smoothed";
    let checker = |quantity, work| Checker {
        quantity,
        of: OF,
        work,
    };
    vec![
        checker("smoothed height", |i| {
            Ok(one_smoother(2e-4, 81, 0, &[]).heights.mean_m[i.number("i")? as usize].into())
        }),
        checker("sd of a smoothed height", |i| {
            Ok(one_smoother(2e-4, 81, 0, &[]).heights.sd_m[i.number("i")? as usize].into())
        }),
        checker("smoothed slope", |i| {
            Ok(one_smoother(2e-4, 81, 0, &[]).slope[i.number("i")? as usize].into())
        }),
        checker(
            "largest difference from the reference smoother over 81 stations",
            |i| {
                let out = one_smoother(2e-4, 81, 0, &[]);
                let rows = reference();
                Ok(match i.word("of")? {
                    "height" => worst(&out.heights.mean_m, &column(&rows, 3)),
                    "sd" => worst(&out.heights.sd_m, &column(&rows, 4)),
                    _ => worst(&out.slope, &column(&rows, 5))
                        .max(worst(&out.slope_sd, &column(&rows, 6))),
                }
                .into())
            },
        ),
        checker(
            "log-likelihood of the reference readings from the third on",
            |i| Ok(from_the_third(i.number("q")?).into()),
        ),
        checker(
            "most likely curvature strength of the reference readings",
            |_| {
                let search = DescentOptions {
                    step: 1e-4,
                    longest: 1.0,
                    close: 1e-9,
                    most: 100,
                };
                let end = minimise(&[-3.0], search, |x| -from_the_third(10f64.powf(x[0])));
                Ok(end.at[0].into())
            },
        ),
        checker("rise between two stations", |i| rise_between(i, false)),
        checker("sd of the rise between two stations", |i| {
            rise_between(i, true)
        }),
        checker("chance of a largest rise in a window", chance_in_window),
        checker("height of four passes", |i| {
            let out = four_passes(i.word("ties")? == "yes", &[]);
            Ok(out.heights.mean_m[i.number("i")? as usize].into())
        }),
        checker("sd of the height of four passes", |i| {
            let out = four_passes(i.word("ties")? == "yes", &[]);
            Ok(out.heights.sd_m[i.number("i")? as usize].into())
        }),
        checker("sd of a height difference of four passes", |i| {
            let stations: Vec<f64> = (0..41).map(|k| 10.0 * f64::from(k)).collect();
            let of = |more: &[Tie]| four_passes(false, more);
            let (a, b) = (i.number("i")? as usize, i.number("k")? as usize);
            Ok(sd_of_difference(&of, &stations, a, b).into())
        }),
        checker(
            "largest difference from least squares over 41 stations",
            |i| {
                let out = four_passes(true, &[]).heights;
                let rows = table(include_str!("../../checks/four-passes.txt"));
                Ok(match i.word("of")? {
                    "height" => worst(&out.mean_m, &column(&rows, 5)),
                    _ => worst(&out.sd_m, &column(&rows, 6)),
                }
                .into())
            },
        ),
        checker("log-likelihood of two passes", |i| {
            Ok(two_passes(cells(i)?, &fine(), 0, &[]).log_evidence.into())
        }),
        checker("height of two passes", |i| at(i, false)),
        checker("sd of the height of two passes", |i| at(i, true)),
        checker("rise of two passes between stations", |i| rise(i, false)),
        checker("sd of the rise of two passes between stations", |i| {
            rise(i, true)
        }),
        checker("chance of a largest rise of two passes", |i| {
            let over = i.number("over")?;
            let out = two_passes(cells(i)?, &fine(), 4_000, &[]).heights;
            let hits = out
                .draws
                .iter()
                .filter(|d| largest(d.iter().copied()) > over)
                .count();
            Ok((hits as f64 / 4_000.0).into())
        }),
        checker(
            "log evidence of two passes over 243 patterns of roughness",
            |_| Ok(patterns().0.into()),
        ),
        checker("share of a class of roughness over 243 patterns", |i| {
            let (_, shares) = patterns();
            Ok(shares[i.number("cell")? as usize][i.number("class")? as usize].into())
        }),
    ]
}
