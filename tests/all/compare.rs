//! Two surveys of one pipe: what moved, against invented storms with known truth.

use crate::storms::{By, Hill, Storm};
use std::fmt::Write as _;
use steadyfall::compare::{AlignOptions, Alignment, Moved, MovedVerdict, align, moved};
use steadyfall::numeric::Rng;
use steadyfall::route::Route;

fn held(before: &Route, after: &Route) -> (Alignment, Vec<Moved>) {
    let alignment = align(before, after, &AlignOptions::default()).unwrap_or_else(|e| {
        let length = |r: &Route| r.nodes.last().unwrap().station_m;
        panic!("{e:?}: {} m, then {} m", length(before), length(after))
    });
    let moved = moved(before, after, &alignment);
    (alignment, moved)
}

/// One class of storms and what came of it.
#[derive(Default)]
struct Tally {
    storms: usize,
    /// Storms whose reach was called moved, and called at all.
    found: usize,
    seen: usize,
    /// Storms with a reach called moved that does not touch the truth.
    alarms: usize,
    /// Storms whose surveys were not held against each other: the program asked.
    asked: usize,
    /// Judgements of movement, and those within two standard deviations of the truth.
    judged: usize,
    within: usize,
}

fn storms(before: By, after: By, size: (f64, f64), count: usize, seed: u64) -> Tally {
    let mut tally = Tally::default();
    for k in 0..count {
        let mut draws = Rng::new(seed + 7919 * k as u64);
        let length = draws.between(250.0, 500.0) as usize;
        let hill = Hill::new(&mut draws, length);
        // A pipe does not stretch: a large movement has a long reach.
        let size = draws.between(size.0, size.1);
        let reach = draws.between(15.0, 50.0).max(12.0 * size).min(70.0);
        let from = draws.between(30.0, length as f64 - reach - 30.0);
        let sign = |d: &mut Rng| if d.uniform() < 0.5 { -1.0 } else { 1.0 };
        let by = size;
        let lean = draws.between(0.4, 1.0);
        let storm = Storm {
            from,
            to: from + reach,
            side: sign(&mut draws) * by * lean,
            up: -by * (1.0_f64 - lean * lean).sqrt().max(0.3),
        };
        let a = hill.route(&mut draws, before);
        let b = hill.after(&storm).route(&mut draws, after);
        // A pipe that runs back over itself is walked shorter than it is: then the program asks where it lies instead of guessing.
        let asked = align(&a, &b, &AlignOptions::default()).is_err();
        tally.asked += usize::from(asked);
        let moved = if asked { Vec::new() } else { held(&a, &b).1 };
        if std::env::var_os("STORMS_TOLD").is_some() {
            println!("{before:?} {after:?} {storm:?}\n   {moved:?}");
        }
        tally.storms += 1;
        // Stations of a walk are a little longer than the truth's: the truth is met within a few metres.
        let scale = a.nodes.last().unwrap().station_m / length as f64;
        let touches =
            |m: &Moved| m.to_m / scale > storm.from - 6.0 && m.from_m / scale < storm.to + 6.0;
        tally.seen += usize::from(moved.iter().any(touches));
        tally.found += usize::from(
            moved
                .iter()
                .any(|m| touches(m) && m.verdict == MovedVerdict::Moved),
        );
        tally.alarms += usize::from(
            moved
                .iter()
                .any(|m| !touches(m) && m.verdict == MovedVerdict::Moved),
        );
        for m in moved
            .iter()
            .filter(|m| touches(m) && m.verdict == MovedVerdict::Moved)
        {
            let share = storm.mean_share(m.from_m / scale, m.to_m / scale);
            for (got, sd, truth) in [
                (Some(m.up_m), Some(m.up_sd_m), storm.up * share),
                (m.side_m, m.side_sd_m, storm.side * share),
            ] {
                if let (Some(got), Some(sd)) = (got, sd) {
                    tally.judged += 1;
                    tally.within += usize::from((got - truth).abs() <= 2.0 * sd);
                }
            }
        }
    }
    tally
}

const CLASSES: [(&str, By, By); 5] = [
    ("level, then level", By::Level, By::Level),
    ("one walk, then one walk", By::Walks(1), By::Walks(1)),
    ("two walks, then two walks", By::Walks(2), By::Walks(2)),
    ("four walks, then four walks", By::Walks(4), By::Walks(4)),
    ("level, then two walks", By::Level, By::Walks(2)),
];
const SIZES: [(f64, f64); 4] = [(0.3, 0.8), (0.8, 2.0), (2.0, 3.5), (3.5, 5.0)];

/// Prints the table of docs/basis/moved.md: run with `--ignored --nocapture`.
#[test]
#[ignore = "minutes long: prints the table of the basis page"]
fn storms_in_full() {
    let mut table = String::from(
        "| surveys | movement, m | storms | called moved | called at all | false alarms | within 2 sd | asked |\n|---|---|---|---|---|---|---|---|\n",
    );
    let only = std::env::var("STORMS_ONLY").unwrap_or_default();
    for (name, before, after) in CLASSES.into_iter().filter(|c| c.0.contains(&only)) {
        for size in SIZES {
            let count = std::env::var("STORMS")
                .ok()
                .and_then(|n| n.parse().ok())
                .unwrap_or(60);
            let t = storms(before, after, size, count, 20_261_125);
            let share = |n: usize, of: usize| {
                if of == 0 {
                    "-".to_owned()
                } else {
                    format!("{:.0} %", 100.0 * n as f64 / of as f64)
                }
            };
            let _ = writeln!(
                table,
                "| {name} | {} to {} | {} | {} | {} | {} | {} of {} | {} |",
                size.0,
                size.1,
                t.storms,
                share(t.found, t.storms),
                share(t.seen, t.storms),
                share(t.alarms, t.storms),
                share(t.within, t.judged),
                t.judged,
                t.asked
            );
        }
    }
    println!("{table}");
}

#[test]
fn a_survey_held_against_itself_moves_nothing() {
    for by in [By::Level, By::Walks(1), By::Walks(3)] {
        let mut draws = Rng::new(11);
        let route = Hill::new(&mut draws, 300).route(&mut draws, by);
        let (alignment, moved) = held(&route, &route);
        assert!(moved.is_empty(), "{by:?} {moved:?}");
        assert!(alignment.height_offset_m.abs() < 1e-6);
        assert!(
            alignment
                .matched
                .iter()
                .all(|m| (m.before_m - m.after_m).abs() < 0.2),
            "{by:?}"
        );
    }
}

/// A slide that level books must find: 0.4 m down and 0.3 m aside over 30 m.
fn slide() -> (Hill, Storm) {
    let hill = Hill::new(&mut Rng::new(5), 300);
    (
        hill,
        Storm {
            from: 140.0,
            to: 170.0,
            side: 0.3,
            up: -0.4,
        },
    )
}

#[test]
fn a_slide_is_found_by_level_and_its_movement_is_within_its_doubt() {
    let (hill, storm) = slide();
    let mut draws = Rng::new(77);
    let before = hill.route(&mut draws, By::Level);
    let after = hill.after(&storm).route(&mut draws, By::Level);
    let (alignment, moved) = held(&before, &after);
    assert_eq!(alignment.by, steadyfall::compare::By::Stations);
    let [m] = moved.as_slice() else {
        panic!("{moved:?}")
    };
    assert!(
        m.verdict == MovedVerdict::Moved && m.from_m > 132.0 && m.to_m < 178.0,
        "{m:?}"
    );
    let truth = storm.up * storm.mean_share(m.from_m, m.to_m);
    assert!(
        (m.up_m - truth).abs() < 3.0 * m.up_sd_m + 0.02 && m.side_m.is_none(),
        "{m:?} {truth}"
    );
}

#[test]
fn a_levelled_part_is_held_against_the_walk_before_and_laid_on_it() {
    let (hill, storm) = slide();
    let mut draws = Rng::new(78);
    let before = hill.route(&mut draws, By::Level);
    let fallen = hill.after(&storm);
    let part = crate::storms::route(&fallen.levelled(&mut draws, 100, 210));
    let (alignment, moved) = held(&before, &part);
    assert!(
        (alignment.from_m - 100.0).abs() < 0.5 && (alignment.to_m - 210.0).abs() < 0.5,
        "{alignment:?}"
    );
    assert!(
        moved.len() == 1 && moved[0].verdict == MovedVerdict::Moved,
        "{moved:?}"
    );
    let now = steadyfall::compare::laid_on(&before, &part, &alignment);
    let length = |r: &Route| r.nodes.last().unwrap().station_m;
    assert!((length(&now) - length(&before)).abs() < 1e-6);
    let shift = before.heights.at(60.0) - hill.up[60];
    for s in [60, 120, 155, 200, 260] {
        let off = now.heights.at(s as f64) - fallen.up[s] - shift;
        assert!(off.abs() < 0.03, "{s}: {off}");
    }
    assert!(
        now.nodes
            .iter()
            .all(|n| (n.on_pegs.0 - n.station_m).abs() < 1e-6)
    );
    // the whole line levelled again gives the same answer
    let whole = fallen.route(&mut draws, By::Level);
    let (_, again) = held(&before, &whole);
    assert!((again[0].up_m - moved[0].up_m).abs() < 0.05);
    let draws = now.heights.draws.iter().map(|d| d.len()).max();
    assert_eq!(draws, Some(now.nodes.len()));
}

#[test]
fn a_walk_shifted_turned_round_and_cut_short_is_brought_back() {
    let hill = Hill::new(&mut Rng::new(9), 400);
    let mut draws = Rng::new(80);
    let before = hill.route(&mut draws, By::Walks(3));
    let after = hill.route(&mut draws, By::Walks(2));
    let (alignment, moved) = held(&before, &after);
    let far = alignment
        .matched
        .iter()
        .map(|m| (m.after_m - m.before_m).abs())
        .fold(0.0, f64::max);
    assert!(
        alignment.to_m - alignment.from_m > 380.0 && far < 16.0,
        "{} {} {far}",
        alignment.from_m,
        alignment.to_m
    );
    assert!(
        moved.iter().all(|m| m.verdict != MovedVerdict::Moved),
        "{moved:?}"
    );
    assert!(
        alignment
            .matched
            .iter()
            .all(|m| m.side_m.unwrap().abs() < 8.0)
    );
    // turned and shifted as a whole, as a grid of its own: the fit takes it out
    let mut grid = before.clone();
    for n in &mut grid.nodes {
        let p = n.plan.unwrap();
        let (sin, cos) = 0.4_f64.sin_cos();
        n.plan = Some(steadyfall::route::Plan {
            east_m: 30.0 + cos * p.east_m - sin * p.north_m,
            north_m: -12.0 + sin * p.east_m + cos * p.north_m,
            lat_lon_deg: None,
        });
    }
    let (alignment, moved) = held(&before, &grid);
    assert!(
        (alignment.motion.unwrap().turn_rad + 0.4).abs() < 0.01,
        "{:?}",
        alignment.motion
    );
    assert!(moved.is_empty(), "{moved:?}");
    // cut short: only stations 150 to 320 walked again
    let mut short = before.clone();
    let keep = |s: f64| (150.0..=320.0).contains(&s);
    let kept: Vec<usize> = (0..short.nodes.len())
        .filter(|&i| keep(short.nodes[i].station_m))
        .collect();
    let pick = |v: &[f64]| kept.iter().map(|&i| v[i]).collect::<Vec<f64>>();
    let first = short.nodes[kept[0]].station_m;
    short.heights.mean_m = pick(&short.heights.mean_m);
    short.heights.sd_m = pick(&short.heights.sd_m);
    short.heights.draws = short.heights.draws.iter().map(|d| pick(d)).collect();
    short.heights.station_m = pick(&short.heights.station_m)
        .iter()
        .map(|s| s - first)
        .collect();
    short.nodes = kept.iter().map(|&i| short.nodes[i]).collect();
    for n in &mut short.nodes {
        n.station_m -= first;
    }
    for look in short.witnesses.iter_mut().flat_map(|w| &mut w.looks) {
        look.station_m -= first;
    }
    for witness in &mut short.witnesses {
        witness
            .looks
            .retain(|l| (0.0..=320.0 - first).contains(&l.station_m));
    }
    let (alignment, moved) = held(&before, &short);
    assert!(
        (alignment.from_m - first).abs() < 2.0 && moved.is_empty(),
        "{} {first} {moved:?}",
        alignment.from_m
    );
}

/// A tenth of the full run: levels find every storm without a false alarm and tell movements within their doubt; walks raise no false alarm beyond what is published.
#[test]
fn a_tenth_of_the_storms() {
    let mut level = Tally::default();
    for size in SIZES {
        let t = storms(By::Level, By::Level, size, 6, 31);
        level.storms += t.storms;
        level.found += t.found;
        level.alarms += t.alarms;
        level.judged += t.judged;
        level.within += t.within;
    }
    assert_eq!((level.found, level.alarms), (level.storms, 0));
    assert!(
        level.judged >= level.storms && level.within * 10 >= level.judged * 9,
        "{} of {}",
        level.within,
        level.judged
    );
    let walks = storms(By::Walks(2), By::Walks(2), SIZES[0], 4, 31);
    assert!(walks.alarms <= 1, "{}", walks.alarms);
}

#[test]
fn a_survey_of_another_pipe_is_refused() {
    let mut draws = Rng::new(3);
    let one = Hill::new(&mut draws, 300);
    let mut other = one.clone();
    for (i, up) in other.up.iter_mut().enumerate() {
        *up += 0.3 * i as f64;
    }
    let (before, after) = (
        one.route(&mut draws, By::Level),
        other.route(&mut draws, By::Level),
    );
    assert!(align(&before, &after, &AlignOptions::default()).is_err());
}

/// The pipe of the seams: a hill levelled before, and the same hill levelled from the damage's own start.
fn parts(from: usize, to: usize) -> (Route, String, Hill) {
    let hill = Hill::new(&mut Rng::new(21), 400);
    let mut draws = Rng::new(90);
    let before = hill.route(&mut draws, By::Level);
    let text = hill.levelled(&mut draws, from, to);
    (before, text, hill)
}

/// The same book with its stations counted from its own first peg.
fn from_zero(text: &str) -> String {
    let mut first = None;
    text.lines()
        .map(|line| match line.split_once(',') {
            Some((station, rest)) if station.parse::<f64>().is_ok() => {
                let station: f64 = station.parse().unwrap();
                let from = *first.get_or_insert(station);
                format!("{},{rest}\n", station - from)
            }
            _ => format!("{line}\n"),
        })
        .collect()
}

#[test]
fn a_part_that_counts_from_its_own_start_is_placed_by_its_heights() {
    let (before, text, _) = parts(140, 260);
    let part = crate::storms::route(&from_zero(&text));
    let (alignment, moved) = held(&before, &part);
    assert_eq!(alignment.by, steadyfall::compare::By::Shape);
    assert!(
        (alignment.from_m - 140.0).abs() < 0.5,
        "{}",
        alignment.from_m
    );
    assert!(moved.is_empty(), "{moved:?}");
    // Said by the user, it is where he says.
    let said = AlignOptions {
        station_offset_m: Some(140.0),
        ..AlignOptions::default()
    };
    let alignment = align(&before, &part, &said).unwrap();
    assert_eq!(alignment.by, steadyfall::compare::By::Said);
    assert!((alignment.from_m - 140.0).abs() < 1e-9);
}

#[test]
fn a_part_on_an_even_slope_is_asked_for_its_place() {
    let straight = |from: usize, to: usize, start: f64, seed: u64| {
        let up: Vec<f64> = (0..=400).map(|i| start - 0.15 * f64::from(i)).collect();
        let hill = Hill {
            east: (0..=400).map(f64::from).collect(),
            north: vec![0.0; 401],
            up,
        };
        hill.levelled(&mut Rng::new(seed), from, to)
    };
    let before = crate::storms::route(&straight(0, 400, 300.0, 1));
    let part = crate::storms::route(&from_zero(&straight(100, 200, 300.0, 2)));
    let refused = align(&before, &part, &AlignOptions::default());
    assert_eq!(refused.unwrap_err(), steadyfall::compare::Apart::NoPlace);
    // By its pegs it is placed without asking.
    let part = crate::storms::route(&straight(100, 200, 300.0, 3));
    let alignment = align(&before, &part, &AlignOptions::default()).unwrap();
    assert!((alignment.from_m - 100.0).abs() < 0.5);
}

#[test]
fn a_book_kept_up_the_hill_is_turned_by_its_pegs() {
    let (before, text, hill) = parts(0, 400);
    let _ = text;
    // Pegs from 260 up to 140: the stations fall from row to row.
    let mut turned = hill.clone();
    turned.up.reverse();
    let book = turned.levelled(&mut Rng::new(4), 140, 260);
    let book: String = book
        .lines()
        .map(|line| match line.split_once(',') {
            Some((station, rest)) if station.parse::<f64>().is_ok() => {
                format!("{},{rest}\n", 400.0 - station.parse::<f64>().unwrap())
            }
            _ => format!("{line}\n"),
        })
        .collect();
    let part = crate::storms::route(&book);
    let (alignment, moved) = held(&before, &part);
    assert!(
        (alignment.from_m - 140.0).abs() < 0.5 && (alignment.to_m - 260.0).abs() < 0.5,
        "{} {}",
        alignment.from_m,
        alignment.to_m
    );
    assert!(moved.is_empty(), "{moved:?}");
}

/// Where a part begins and ends the line has no step: no rise within a few metres that neither survey saw.
#[test]
fn a_walked_part_leaves_no_step_at_its_ends() {
    for seed in 0..6 {
        let hill = Hill::new(&mut Rng::new(30 + seed), 400);
        let mut draws = Rng::new(60 + seed);
        let before = hill.route(&mut draws, By::Walks(2));
        let part = Hill {
            east: hill.east[100..=300].to_vec(),
            north: hill.north[100..=300].to_vec(),
            up: hill.up[100..=300].to_vec(),
        };
        let part = part.route(&mut draws, By::Walks(2));
        let (alignment, _) = held(&before, &part);
        let now = steadyfall::compare::laid_on(&before, &part, &alignment);
        for at in [alignment.from_m, alignment.to_m] {
            // Over the seam each draw falls about as the earlier draw of the same ground does.
            let (a, b) = (at - 1.0, at + 1.0);
            let fall = |h: &steadyfall::heights::Heights, d: &[f64]| {
                let line = steadyfall::heights::Heights {
                    station_m: h.station_m.clone(),
                    mean_m: d.to_vec(),
                    ..Default::default()
                };
                line.at(a) - line.at(b)
            };
            let spread = now
                .heights
                .draws
                .iter()
                .zip(&before.heights.draws)
                .map(|(n, o)| (fall(&now.heights, n) - fall(&before.heights, o)).powi(2))
                .sum::<f64>()
                / now.heights.draws.len() as f64;
            assert!(
                spread.sqrt() < 0.5,
                "seed {seed} at {at}: {}",
                spread.sqrt()
            );
        }
    }
}
