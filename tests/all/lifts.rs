//! Movements laid on an invented line, walked or levelled before and after: what share is called moved, against what the same data hold.
//!
//! `cargo test --release --test all lifts` runs a tenth; STEADYFALL_CALIBRATE=full prints all of it for docs/calibration.md.

mod limit;
mod precision;

use crate::storms::route;
use limit::{Fixed, limit};
use std::f64::consts::PI;
use std::fmt::Write as _;
use steadyfall::compare::{AlignOptions, Moved, MovedVerdict, align, moved, told};
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

/// Walks as GPX, down and up in turn, one fix a second, and where each fix truly stood.
fn walked(
    draws: &mut Rng,
    count: usize,
    r: &Receiver,
    fall_m: f64,
    part: (f64, f64),
    lift: Option<&Lift>,
) -> (String, Vec<Vec<Fixed>>) {
    let mut stood = Vec::with_capacity(count);
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
        let mut truly = Vec::with_capacity(seconds);
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
            truly.push(Fixed {
                clock_s: t as f64,
                station_m: s,
                off_m: at[2] - ground(s, fall_m)[2],
            });
        }
        stood.push(truly);
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
    (text, stood)
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
    /// Lines with something told, and those of them where the upper half of what moved is part of it.
    spoken: usize,
    named: usize,
    told: usize,
    mean_within: usize,
    crest_within: usize,
    /// The mean aside, where anything is told aside.
    aside: usize,
    aside_within: usize,
    /// Lines whose limit was asked, and where a filter with the noise known says moved.
    limits: usize,
    limit: usize,
    /// Least movements that were told, m, and lifts of that size called.
    least_m: Vec<f64>,
    least_called: usize,
}

fn surveyed(
    draws: &mut Rng,
    count: usize,
    r: &Receiver,
    case: &Case,
    later: bool,
    lift: Option<&Lift>,
) -> (Route, Vec<Vec<Fixed>>) {
    let part = if later { case.part } else { (0.0, LENGTH_M) };
    if count == 0 {
        return (route(&levelled(draws, case.fall_m, lift)), Vec::new());
    }
    let (text, stood) = walked(draws, count, r, case.fall_m, part, lift);
    (route(&text), stood)
}

/// What else is asked of a case.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Asked {
    Calls,
    /// What a filter finds to which the noise is known.
    Limit,
    /// A lift as large as the least movement that is told of the same surveys.
    Least,
}

/// `own`: a number of the case's own, so that cells are not all of the same few lines.
fn run(case: &Case, lines: usize, asked: Asked, own: u64) -> Tally {
    let mut tally = Tally::default();
    let from: usize = std::env::var("LIFTS_FROM")
        .ok()
        .and_then(|n| n.parse().ok())
        .unwrap_or(0);
    for k in from..from + lines {
        let seed = 50_000 + 7919 * k as u64 + 1_000_003 * own;
        let mut draws = Rng::new(seed);
        let middle = draws.between(case.part.0.max(60.0) + 40.0, case.part.1.min(540.0) - 40.0);
        let mut lift = case.lift.map(|(form, half, up, side)| Lift {
            form,
            middle,
            half,
            up,
            side,
        });
        let (w, r) = (case.walks, &case.receivers);
        let (before, first) = surveyed(&mut draws, w.0, &r.0, case, false, None);
        let later = |lift: Option<&Lift>| {
            let mut same = Rng::new(seed + 1);
            surveyed(&mut same, w.1, &r.1, case, true, lift)
        };
        tally.lines += 1;
        if asked == Asked::Least {
            let (after, _) = later(None);
            let Ok(alignment) = align(&before, &after, &AlignOptions::default()) else {
                tally.refused += 1;
                continue;
            };
            let up = told(&before, &after, &alignment).1.up_m;
            tally.least_m.push(up);
            lift = Some(Lift {
                form: Form::Cosine,
                middle,
                half: 30.0,
                up,
                side: 0.0,
            });
        }
        let (after, then) = later(lift.as_ref());
        if asked == Asked::Limit {
            tally.limits += 1;
            tally.limit += usize::from(limit(&first, &then, &r.0, &r.1) < 0.02);
        }
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
        tally.hold(lift.as_ref(), &moved, scale);
    }
    tally
}

impl Tally {
    /// Holds what was told against what was laid on; `scale`: stations a metre of the true line.
    fn hold(&mut self, lift: Option<&Lift>, moved: &[Moved], scale: f64) {
        let near = |m: &&Moved| {
            lift.is_some_and(|l| {
                m.to_m / scale > l.middle - l.half - 6.0
                    && m.from_m / scale < l.middle + l.half + 6.0
            })
        };
        let sure = |m: &&Moved| m.verdict == MovedVerdict::Moved;
        let called = moved.iter().filter(near).any(|m| sure(&m));
        self.moved += usize::from(called);
        self.least_called += usize::from(called && !self.least_m.is_empty());
        self.may += usize::from(moved.iter().any(|m| near(&m)));
        self.elsewhere += usize::from(moved.iter().filter(sure).any(|m| !near(&m)));
        let Some(lift) = lift else { return };
        let upper = |m: &Moved| {
            m.from_m / scale < lift.middle && m.to_m / scale > lift.middle - 0.9 * lift.half
        };
        self.spoken += usize::from(!moved.is_empty());
        self.named += usize::from(moved.iter().any(upper));
        for m in moved.iter().filter(near) {
            let share: Vec<f64> = (0..200)
                .map(|i| (m.from_m + (m.to_m - m.from_m) * (f64::from(i) + 0.5) / 200.0) / scale)
                .map(|s| lift.share(s))
                .collect();
            let mean = share.iter().sum::<f64>() / 200.0;
            let crest = share.iter().copied().fold(0.0, f64::max);
            self.told += 1;
            self.mean_within += usize::from((m.up_m - lift.up * mean).abs() <= 2.0 * m.up_sd_m);
            self.crest_within +=
                usize::from((m.crest_up_m - lift.up * crest).abs() <= 2.0 * m.crest_up_sd_m);
            if let (Some(side), Some(sd)) = (m.side_m, m.side_sd_m) {
                self.aside += 1;
                self.aside_within += usize::from((side - lift.side * mean).abs() <= 2.0 * sd);
            }
        }
    }
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

fn row(case: &Case, t: &Tally) -> String {
    let lift = case
        .lift
        .map_or("nothing".to_owned(), |(form, half, up, side)| {
            format!("{form:?} {up} m up, {side} m aside, half width {half} m")
        });
    format!(
        "| {} | {} m | {lift} | {} | {} | {} | {} | {} | {} | {} | {} |",
        case.name,
        case.fall_m,
        share(t.moved, t.lines),
        share(t.limit, t.limits),
        share(t.may, t.lines),
        share(t.elsewhere, t.lines),
        share(t.mean_within, t.told),
        share(t.crest_within, t.told),
        share(t.aside_within, t.aside),
        t.refused
    )
}

/// All cells, each with what else is asked of it.
fn cells() -> Vec<(Case, Asked)> {
    let mut cells = Vec::new();
    for (name, walks) in SETUPS {
        for fall_m in [70.0, 250.0] {
            let still = Case {
                fall_m,
                ..Case::usual(name, walks, None)
            };
            cells.push((still, Asked::Calls));
        }
    }
    cells.extend(disturbed(None).into_iter().map(|c| (c, Asked::Calls)));
    for (name, walks) in SETUPS {
        for half in [10.0, 20.0, 30.0, 60.0] {
            for up in [1.5, 2.5, 3.5] {
                let lift = Some((Form::Cosine, half, up, 0.0));
                cells.push((Case::usual(name, walks, lift), Asked::Limit));
            }
        }
    }
    let three =
        |form, up, side| Case::usual("3 walks, then 3", (3, 3), Some((form, 30.0, up, side)));
    for form in [Form::Flat, Form::Triangle, Form::Slump] {
        cells.push((three(form, 2.0, 0.0), Asked::Limit));
    }
    cells.push((three(Form::Cosine, -2.5, 3.0), Asked::Calls));
    cells.push((three(Form::Cosine, 0.0, 4.4), Asked::Calls));
    let three_up = Some((Form::Cosine, 30.0, 3.0, 0.0));
    cells.extend(disturbed(three_up).into_iter().map(|c| (c, Asked::Calls)));
    cells.extend(SETUPS.map(|(name, walks)| (Case::usual(name, walks, None), Asked::Least)));
    cells
}

/// Prints the tables: run with `--release --ignored --nocapture`. LIFTS: lines a cell; LIFTS_FROM: the first of them; LIFTS_ONLY: cells whose key holds this.
#[test]
#[ignore = "an hour long: prints the table of docs/calibration.md"]
fn lifts_in_full() {
    let only = std::env::var("LIFTS_ONLY").unwrap_or_default();
    let lines = std::env::var("LIFTS")
        .ok()
        .and_then(|n| n.parse().ok())
        .unwrap_or(60);
    println!(
        "| surveys | fall | moved | called moved | limit | called at all | called elsewhere | mean within 2 sd | crest within 2 sd | mean aside within 2 sd | refused |\n|---|---|---|---|---|---|---|---|---|---|---|"
    );
    for (own, (case, asked)) in (0..).zip(cells()) {
        let key = format!("{} {:?} {} {asked:?}", case.name, case.lift, case.fall_m);
        if !key.contains(&only) {
            continue;
        }
        let t = run(&case, lines, asked, own);
        if asked == Asked::Least {
            let mut told = t.least_m.clone();
            told.sort_by(f64::total_cmp);
            println!(
                "least movement, {}: told {:.1} m in the middle; lifts of the told size called: {}; refused {}",
                case.name,
                told.get(told.len() / 2).copied().unwrap_or_default(),
                share(t.least_called, told.len()),
                t.refused
            );
        } else {
            println!("{}", row(&case, &t));
        }
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
        let t = run(&Case::usual(name, walks, None), 6, Asked::Calls, 0);
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
        Asked::Calls,
        0,
    );
    assert!(t.moved >= 5, "{t:?}");
    let t = run(
        &Case::usual(
            "level, then 2 walks",
            (0, 2),
            Some((Form::Flat, 30.0, -3.0, 0.0)),
        ),
        6,
        Asked::Calls,
        0,
    );
    assert!(t.moved >= 5, "{t:?}");
}

/// A step shows a rise below it or a fall above it: where it was a rise, it is named, alone or as the other place.
#[test]
fn a_step_is_told_on_the_side_that_moved_too() {
    if cfg!(debug_assertions) {
        return;
    }
    let slump = |(_, (case, _)): &(u64, (Case, Asked))| {
        case.lift.is_some_and(|(form, ..)| form == Form::Slump)
    };
    let (own, (case, _)) = (0..).zip(cells()).find(slump).unwrap();
    let t = run(&case, 4, Asked::Calls, own);
    assert!(t.spoken == 4 && t.named == 4, "{t:?}");
}

#[test]
fn the_same_walks_again_moved_nothing() {
    let mut draws = Rng::new(4);
    let case = Case::usual("1 walk, then 1", (1, 1), None);
    let (before, _) = surveyed(&mut draws, 2, &USUAL, &case, false, None);
    let alignment = align(&before, &before, &AlignOptions::default()).unwrap();
    assert!(moved(&before, &before, &alignment).is_empty());
}
