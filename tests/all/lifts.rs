//! Movements laid on an invented line, walked or levelled before and after: what share is called moved, against what the same data hold.
//!
//! `cargo test --release --test all lifts` runs a tenth; STEADYFALL_CALIBRATE=full prints all of it for docs/calibration.md.

use crate::storms::route;
use std::f64::consts::PI;
use std::fmt::Write as _;
use steadyfall::compare::{AlignOptions, Moved, MovedVerdict, align, moved};
use steadyfall::numeric::Rng;
use steadyfall::route::Route;

const LENGTH_M: f64 = 600.0;

/// Form of a movement: not only those that the test looks for.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Form {
    Cosine,
    Flat,
    Triangle,
    Slump,
}

#[derive(Debug, Clone, Copy)]
struct Lift {
    form: Form,
    middle: f64,
    half: f64,
    up: f64,
    side: f64,
}

impl Lift {
    fn share(&self, s: f64) -> f64 {
        let x = (s - self.middle) / self.half;
        if x.abs() >= 1.0 {
            return 0.0;
        }
        match self.form {
            Form::Cosine => 0.5 * (1.0 + (PI * x).cos()),
            Form::Flat => ((1.0 - x.abs()) * self.half / 4.0).min(1.0),
            Form::Triangle => 1.0 - x.abs(),
            Form::Slump => (0.5 * (1.0 - x)).min((1.0 + x) * self.half / 4.0),
        }
    }
}

/// How a receiver errs: drift, its time, white part, error in plan by axis, its time, tails, smoothing.
#[derive(Debug, Clone, Copy)]
struct Receiver {
    drift_m: f64,
    drift_s: f64,
    white_m: f64,
    plan_m: f64,
    plan_s: f64,
    /// Share of fixes whose white part is six times as large.
    tails: f64,
    /// Fixes are a running mean over so long, s.
    smooth_s: f64,
}

const USUAL: Receiver = Receiver {
    drift_m: 1.5,
    drift_s: 250.0,
    white_m: 0.25,
    plan_m: 1.5,
    plan_s: 60.0,
    tails: 0.0,
    smooth_s: 0.0,
};

/// A line and what was done to it.
#[derive(Debug, Clone, Copy)]
struct Case {
    name: &'static str,
    /// Walks before and after; 0 is a level book.
    walks: (usize, usize),
    fall_m: f64,
    receivers: (Receiver, Receiver),
    /// The later walks go over this part only.
    part: (f64, f64),
    lift: Option<(Form, f64, f64, f64)>,
}

impl Case {
    fn usual(
        name: &'static str,
        walks: (usize, usize),
        lift: Option<(Form, f64, f64, f64)>,
    ) -> Self {
        Self {
            name,
            walks,
            fall_m: 70.0,
            receivers: (USUAL, USUAL),
            part: (0.0, LENGTH_M),
            lift,
        }
    }
}

/// The line: a gentle sweep, falling evenly but for some waves.
fn ground(s: f64, fall_m: f64) -> [f64; 3] {
    let along = s - LENGTH_M / 2.0;
    let north = 25.0 * (along / 160.0).sin();
    [
        along,
        north,
        300.0 - fall_m * s / LENGTH_M + 0.25 * (s / 13.0).sin() + 0.3 * (s / 29.0).cos(),
    ]
}

/// Walks as GPX, down and up in turn, one fix a second.
fn walked(
    draws: &mut Rng,
    count: usize,
    r: &Receiver,
    fall_m: f64,
    part: (f64, f64),
    lift: Option<&Lift>,
) -> String {
    let mut text = String::from(
        "<gpx version=\"1.1\" creator=\"invented\" xmlns=\"http://www.topografix.com/GPX/1/1\">",
    );
    for walk in 0..count {
        let pace = draws.between(0.7, 1.1);
        let offset = [1.0, 1.0, 3.0].map(|m: f64| m * draws.normal());
        let wide = [r.plan_m, r.plan_m, r.drift_m];
        let keep = [r.plan_s, r.plan_s, r.drift_s].map(|t: f64| (-1.0 / t).exp());
        let mut drift = wide.map(|w| w * draws.normal());
        let seconds = ((part.1 - part.0) / pace) as usize;
        let mut fixes: Vec<[f64; 3]> = Vec::with_capacity(seconds);
        for t in 0..=seconds {
            let way = (t as f64 * pace).min(part.1 - part.0);
            let s = if walk % 2 == 0 {
                part.0 + way
            } else {
                part.1 - way
            };
            let (a, b) = (ground(s - 0.5, fall_m), ground(s + 0.5, fall_m));
            let slope = (b[1] - a[1]) / (b[0] - a[0]);
            let across = [-slope, 1.0].map(|v| v / (1.0 + slope * slope).sqrt());
            let mut at = ground(s, fall_m);
            if let Some(lift) = lift {
                let share = lift.share(s);
                at[0] += across[0] * lift.side * share;
                at[1] += across[1] * lift.side * share;
                at[2] += lift.up * share;
            }
            for k in 0..3 {
                drift[k] = keep[k] * drift[k]
                    + wide[k] * (1.0 - keep[k] * keep[k]).sqrt() * draws.normal();
                let own = if k == 2 { r.white_m } else { 0.2 };
                let own = if draws.uniform() < r.tails {
                    6.0 * own
                } else {
                    own
                };
                at[k] += offset[k] + drift[k] + own * draws.normal();
            }
            if r.smooth_s > 0.0
                && let Some(before) = fixes.last()
            {
                let new = 1.0 - (-1.0 / r.smooth_s).exp();
                at = [0, 1, 2].map(|k| before[k] + new * (at[k] - before[k]));
            }
            fixes.push(at);
        }
        text.push_str("<trk><trkseg>");
        for (t, [east, north, up]) in fixes.into_iter().enumerate() {
            let (lat, lon) = (46.0 + north / 111_150.0, 9.0 + east / 77_460.0);
            let clock = walk * 2000 + t;
            let _ = write!(
                text,
                "<trkpt lat=\"{lat:.8}\" lon=\"{lon:.8}\"><ele>{up:.2}</ele><time>2026-05-14T{:02}:{:02}:{:02}Z</time></trkpt>",
                6 + clock / 3600,
                clock / 60 % 60,
                clock % 60
            );
        }
        text.push_str("</trkseg></trk>");
    }
    text.push_str("</gpx>");
    text
}

/// A level book on pegs every five metres along the slope, a set-up every four pegs.
fn levelled(draws: &mut Rng, fall_m: f64, lift: Option<&Lift>) -> String {
    let mut text = String::from("station_m,bs_m,is_m,fs_m\n");
    let (mut s, mut station) = (0.0, 0.0);
    let mut pegs = vec![(0.0, ground(0.0, fall_m)[2])];
    while s < LENGTH_M - 1e-9 {
        let (a, b) = (ground(s, fall_m), ground(s + 1.0, fall_m));
        station += ((b[0] - a[0]).powi(2) + (b[1] - a[1]).powi(2) + (b[2] - a[2]).powi(2)).sqrt();
        s += 1.0;
        if (s as usize).is_multiple_of(5) {
            let up = lift.map_or(0.0, |l| l.up * l.share(s));
            pegs.push((station, b[2] + up));
        }
    }
    let mut hi = pegs[0].1 + 2.0;
    for (k, (station, z)) in pegs.iter().enumerate() {
        let mut read = |hi: f64| hi - z + 0.002 * draws.normal();
        let row = if k == 0 {
            format!("{:.3},,", read(hi))
        } else if k + 1 == pegs.len() {
            format!(",,{:.3}", read(hi))
        } else if k % 4 == 0 {
            let fore = read(hi);
            hi = z + 2.0;
            format!("{:.3},,{fore:.3}", read(hi))
        } else {
            format!(",{:.3},", read(hi))
        };
        let _ = writeln!(text, "{station:.3},{row}");
    }
    text
}

/// What came of one case.
#[derive(Debug, Default)]
struct Tally {
    lines: usize,
    refused: usize,
    moved: usize,
    may: usize,
    /// Called moved where nothing did.
    elsewhere: usize,
    told: usize,
    mean_within: usize,
    crest_within: usize,
}

fn surveyed(
    draws: &mut Rng,
    count: usize,
    r: &Receiver,
    case: &Case,
    later: bool,
    lift: Option<&Lift>,
) -> Route {
    let part = if later { case.part } else { (0.0, LENGTH_M) };
    route(&if count == 0 {
        levelled(draws, case.fall_m, lift)
    } else {
        walked(draws, count, r, case.fall_m, part, lift)
    })
}

fn run(case: &Case, lines: usize) -> Tally {
    let mut tally = Tally::default();
    for k in 0..lines {
        let mut draws = Rng::new(50_000 + 7919 * k as u64);
        let middle = draws.between(case.part.0.max(60.0) + 40.0, case.part.1.min(540.0) - 40.0);
        let lift = case.lift.map(|(form, half, up, side)| Lift {
            form,
            middle,
            half,
            up,
            side,
        });
        let before = surveyed(
            &mut draws,
            case.walks.0,
            &case.receivers.0,
            case,
            false,
            None,
        );
        let after = surveyed(
            &mut draws,
            case.walks.1,
            &case.receivers.1,
            case,
            true,
            lift.as_ref(),
        );
        tally.lines += 1;
        let Ok(alignment) = align(&before, &after, &AlignOptions::default()) else {
            tally.refused += 1;
            continue;
        };
        let moved = moved(&before, &after, &alignment);
        if std::env::var_os("LIFTS_TOLD").is_some() {
            println!("{lift:?}");
            for m in &moved {
                println!(
                    "   {:.0} to {:.0}: up {:.2} +- {:.2}, crest {:.2} +- {:.2}, side {:?} +- {:?}, p {:?}",
                    m.from_m,
                    m.to_m,
                    m.up_m,
                    m.up_sd_m,
                    m.crest_up_m,
                    m.crest_up_sd_m,
                    m.side_m,
                    m.side_sd_m,
                    m.p
                );
            }
        }
        // Stations run along the slope and with the receiver's error.
        let scale = before.nodes.last().unwrap().station_m / LENGTH_M;
        let near = |m: &&Moved| {
            lift.is_some_and(|l| {
                m.to_m / scale > l.middle - l.half - 6.0
                    && m.from_m / scale < l.middle + l.half + 6.0
            })
        };
        let sure = |m: &&Moved| m.verdict == MovedVerdict::Moved;
        tally.moved += usize::from(moved.iter().filter(near).any(|m| sure(&m)));
        tally.may += usize::from(moved.iter().any(|m| near(&m)));
        tally.elsewhere += usize::from(moved.iter().filter(sure).any(|m| !near(&m)));
        if let Some(lift) = lift {
            for m in moved.iter().filter(near) {
                let truth: Vec<f64> = (0..200)
                    .map(|i| {
                        (m.from_m + (m.to_m - m.from_m) * (f64::from(i) + 0.5) / 200.0) / scale
                    })
                    .map(|s| lift.up * lift.share(s))
                    .collect();
                let mean = truth.iter().sum::<f64>() / 200.0;
                let crest = truth
                    .iter()
                    .copied()
                    .fold(0.0, |a: f64, b| if b.abs() > a.abs() { b } else { a });
                tally.told += 1;
                tally.mean_within += usize::from((m.up_m - mean).abs() <= 2.0 * m.up_sd_m);
                tally.crest_within +=
                    usize::from((m.crest_up_m - crest).abs() <= 2.0 * m.crest_up_sd_m);
            }
        }
    }
    tally
}

/// Share in per cent with its interval (E. B. Wilson 1927).
fn share(n: usize, of: usize) -> String {
    if of == 0 {
        return "-".to_owned();
    }
    let (p, n_) = (n as f64 / of as f64, of as f64);
    let z2 = 1.96_f64 * 1.96;
    let middle = (p + z2 / (2.0 * n_)) / (1.0 + z2 / n_);
    let half = 1.96 / (1.0 + z2 / n_) * (p * (1.0 - p) / n_ + z2 / (4.0 * n_ * n_)).sqrt();
    format!(
        "{:.0} ({:.0} to {:.0}) of {of}",
        100.0 * p,
        100.0 * (middle - half).max(0.0),
        100.0 * (middle + half).min(1.0)
    )
}

const SETUPS: [(&str, (usize, usize)); 4] = [
    ("3 walks, then 3", (3, 3)),
    ("2 walks, then 2", (2, 2)),
    ("1 walk, then 1", (1, 1)),
    ("level, then 2 walks", (0, 2)),
];

/// What may disturb: each with nothing moved, and with a movement.
fn disturbed(lift: Option<(Form, f64, f64, f64)>) -> Vec<Case> {
    let with = |name, receivers, part| Case {
        receivers,
        part,
        ..Case::usual(name, (2, 2), lift)
    };
    let tails = Receiver {
        tails: 0.05,
        ..USUAL
    };
    let other = Receiver {
        drift_m: 2.2,
        drift_s: 120.0,
        white_m: 0.4,
        plan_m: 2.5,
        ..USUAL
    };
    let smooth = Receiver {
        smooth_s: 12.0,
        ..USUAL
    };
    let whole = (0.0, LENGTH_M);
    vec![
        with("heavy tails", (tails, tails), whole),
        with("another receiver after", (USUAL, other), whole),
        with("filtered receivers", (smooth, smooth), whole),
        with("later walks over a part", (USUAL, USUAL), (150.0, 480.0)),
        with("later walks start elsewhere", (USUAL, USUAL), (12.0, 585.0)),
    ]
}

fn row(table: &mut String, case: &Case, t: &Tally) {
    let lift = case
        .lift
        .map_or("nothing".to_owned(), |(form, half, up, side)| {
            format!("{form:?} {up} m up, {side} m aside, half width {half} m")
        });
    let _ = writeln!(
        table,
        "| {} | {} m | {lift} | {} | {} | {} | {} | {} | {} |",
        case.name,
        case.fall_m,
        share(t.moved, t.lines),
        share(t.may, t.lines),
        share(t.elsewhere, t.lines),
        share(t.mean_within, t.told),
        share(t.crest_within, t.told),
        t.refused
    );
}

/// Prints the tables: run with `--release --ignored --nocapture`.
#[test]
#[ignore = "minutes long: prints the table of docs/calibration.md"]
fn lifts_in_full() {
    let only = std::env::var("LIFTS_ONLY").unwrap_or_default();
    let lines = std::env::var("LIFTS")
        .ok()
        .and_then(|n| n.parse().ok())
        .unwrap_or(60);
    let mut table = String::from(
        "| surveys | fall | moved | called moved | called at all | called elsewhere | mean within 2 sd | crest within 2 sd | refused |\n|---|---|---|---|---|---|---|---|---|\n",
    );
    let mut cases = Vec::new();
    for (name, walks) in SETUPS {
        for fall_m in [70.0, 250.0] {
            cases.push(Case {
                fall_m,
                ..Case::usual(name, walks, None)
            });
        }
    }
    cases.extend(disturbed(None));
    for (name, walks) in SETUPS {
        for half in [10.0, 20.0, 30.0, 60.0] {
            for up in [1.5, 2.5, 3.5] {
                cases.push(Case::usual(
                    name,
                    walks,
                    Some((Form::Cosine, half, up, 0.0)),
                ));
            }
        }
    }
    for form in [Form::Flat, Form::Triangle, Form::Slump] {
        cases.push(Case::usual(
            "3 walks, then 3",
            (3, 3),
            Some((form, 30.0, 2.0, 0.0)),
        ));
    }
    cases.push(Case::usual(
        "3 walks, then 3",
        (3, 3),
        Some((Form::Cosine, 30.0, -2.5, 3.0)),
    ));
    cases.extend(disturbed(Some((Form::Cosine, 30.0, 3.0, 0.0))));
    for case in cases {
        let key = format!("{} {:?} {}", case.name, case.lift, case.fall_m);
        if !key.contains(&only) {
            continue;
        }
        let t = run(&case, lines);
        row(&mut table, &case, &t);
        println!("{}", table.lines().last().unwrap_or_default());
    }
}

#[test]
fn nothing_moved_is_said_of_a_line_that_lay_still() {
    if cfg!(debug_assertions) {
        return;
    }
    let mut false_calls = 0;
    let mut lines = 0;
    for (name, walks) in SETUPS {
        let t = run(&Case::usual(name, walks, None), 6);
        false_calls += t.elsewhere;
        lines += t.lines - t.refused;
    }
    // At 3 % a line more than four of 24 come up once in a thousand times.
    assert!(lines >= 20 && false_calls <= 4, "{false_calls} of {lines}");
}

#[test]
fn a_lift_that_the_data_hold_is_called() {
    if cfg!(debug_assertions) {
        return;
    }
    let t = run(
        &Case::usual(
            "3 walks, then 3",
            (3, 3),
            Some((Form::Cosine, 20.0, 3.0, 0.0)),
        ),
        6,
    );
    assert!(t.moved >= 5, "{t:?}");
    let t = run(
        &Case::usual(
            "level, then 2 walks",
            (0, 2),
            Some((Form::Flat, 30.0, -3.0, 0.0)),
        ),
        6,
    );
    assert!(t.moved >= 5, "{t:?}");
}

#[test]
fn the_same_walks_again_moved_nothing() {
    let mut draws = Rng::new(4);
    let case = Case::usual("1 walk, then 1", (1, 1), None);
    let before = surveyed(&mut draws, 2, &USUAL, &case, false, None);
    let alignment = align(&before, &before, &AlignOptions::default()).unwrap();
    assert!(moved(&before, &before, &alignment).is_empty());
}
