//! What a receiver's heights are taken for: crests that stay, halts that back a climb, walks that contradict each other.

use super::walks::{Ground, LEVEL_M, Receiver, quick, route, says, told, walk};
use steadyfall::numeric::Rng;
use steadyfall::profile::{self, Bore, ClimbVerdict, Profile};
use steadyfall::reading::{Fix, Pass};
use steadyfall::route::Route;

/// A good receiver: what it errs by is far below the climb.
const GOOD: Receiver = Receiver {
    plan_m: 0.3,
    white_m: 0.05,
    drift_m: 0.15,
    offset_m: 3.0,
    stops: 0,
};

/// Falls by 12 %, with a climb of 3 m over 10 m: up at once, down at once.
fn sharp(level: f64) -> f64 {
    let fall = LEVEL_M + 100.0 - 0.12 * level;
    fall + 4.2 * (1.0 - (level - 200.0).abs() / 10.0).max(0.0)
}

fn ground() -> Ground {
    Ground {
        height: sharp,
        ..Ground::straight(400.0)
    }
}

fn judged(route: &Route) -> Profile {
    let bores = [Bore {
        to_m: 1e4,
        bore_m: 0.05,
    }];
    profile::judge(&route.heights, &bores)
}

/// Every so many seconds one fix, as a receiver that saves its battery records.
fn thinned(mut pass: Pass, every: usize) -> Pass {
    for segment in &mut pass.segments {
        *segment = segment.iter().copied().step_by(every).collect();
    }
    pass
}

#[test]
fn a_sharp_crest_is_ground_and_a_jump_is_not() {
    for every in [1, 2, 3, 5] {
        let mut draws = Rng::new(31);
        let own = thinned(
            walk(&ground(), &[0.0, 400.0], GOOD, &mut draws, 1.7e9),
            every,
        );
        let kept = route(vec![own.clone()], &quick());
        assert!(!says(&kept, "jump"), "{every} s: {}", told(&kept));
        let seen: Vec<f64> = kept.followed[0]
            .blocks
            .iter()
            .filter(|b| (180.0..220.0).contains(&b.station_m))
            .map(|b| b.height_m)
            .collect();
        // From the low before the crest up to it; blocks of some seconds round both.
        let mut low = f64::INFINITY;
        let rise = seen.iter().fold(0.0f64, |most, z| {
            low = low.min(*z);
            most.max(z - low)
        });
        assert!(rise > 1.8, "{every} s: {rise}");
        // A second or two of heights 20 m up are none.
        let mut jumps = own;
        let fixes = &mut jumps.segments[0];
        let middle = fixes.len() / 3;
        for fix in &mut fixes[middle..middle + 1 + usize::from(every == 1)] {
            fix.elevation_m = fix.elevation_m.map(|h| h + 20.0);
        }
        let left_out = route(vec![jumps], &quick());
        assert!(
            says(&left_out, "with a sudden jump"),
            "{every} s: {}",
            told(&left_out)
        );
        assert!(
            !says(&left_out, "no height was recorded"),
            "{}",
            told(&left_out)
        );
    }
}

/// The walker stands for three minutes at the low and at the crest.
fn with_halts(pass: &Pass, at: &[f64]) -> Pass {
    let ground = ground();
    let mut draws = Rng::new(77);
    let mut fixes: Vec<Fix> = Vec::new();
    let mut late = 0.0;
    let far = |fix: &Fix, level: f64| {
        let place = super::walks::plane().back(ground.at(level));
        (fix.lat_deg - place.lat_deg).abs() + (fix.lon_deg - place.lon_deg).abs()
    };
    let stops: Vec<usize> = at
        .iter()
        .map(|&level| {
            (0..pass.segments[0].len())
                .min_by(|&a, &b| {
                    let of = |i: usize| far(&pass.segments[0][i], level);
                    of(a).total_cmp(&of(b))
                })
                .unwrap()
        })
        .collect();
    for (i, fix) in pass.segments[0].iter().enumerate() {
        let stands = if stops.contains(&i) { 180 } else { 0 };
        for second in 0..=stands {
            fixes.push(Fix {
                elevation_m: fix
                    .elevation_m
                    .map(|h| h + f64::from(second.min(1)) * 0.05 * draws.normal()),
                time_s: fix.time_s.map(|t| t + late + f64::from(second)),
                ..*fix
            });
        }
        late += f64::from(stands);
    }
    Pass {
        segments: vec![fixes],
        ..pass.clone()
    }
}

#[test]
fn one_walk_makes_no_climb_certain_unless_it_halted_at_both_its_ends() {
    let steep = Ground {
        height: |level| sharp(level) + 6.0 * (-((level - 200.0) / 14.0).powi(2)).exp(),
        ..ground()
    };
    let mut draws = Rng::new(5);
    let own = walk(&steep, &[0.0, 400.0], GOOD, &mut draws, 1.7e9);
    let alone = route(vec![own.clone()], &quick());
    let of_one = judged(&alone);
    assert!(alone.heights.backed.halts_m.is_empty());
    assert!(
        of_one
            .climbs
            .iter()
            .all(|c| c.verdict == ClimbVerdict::CannotTell),
        "{:?}",
        of_one.climbs
    );
    assert!(of_one.climbs.iter().any(|c| c.rise_m > 2.0));
    let halted = route(vec![with_halts(&own, &[174.0, 200.0])], &quick());
    assert_eq!(
        halted.heights.backed.halts_m.len(),
        2,
        "{:?}",
        halted.heights.backed
    );
    let climbs = judged(&halted).climbs;
    assert!(
        climbs
            .iter()
            .any(|c| c.verdict == ClimbVerdict::Climbs && (c.crest_station_m - 201.0).abs() < 8.0),
        "{climbs:?}"
    );
    // One halt shows nothing.
    let once = route(vec![with_halts(&own, &[200.0])], &quick());
    assert!(
        judged(&once)
            .climbs
            .iter()
            .all(|c| c.verdict == ClimbVerdict::CannotTell)
    );
}

#[test]
fn walks_that_contradict_each_other_are_named_with_the_place() {
    let mut draws = Rng::new(8);
    let named = |name: &str, pass: Pass| Pass {
        name: name.to_owned(),
        ..pass
    };
    let one = named(
        "morning",
        walk(&ground(), &[0.0, 400.0], GOOD, &mut draws, 1.7e9),
    );
    let other = named(
        "evening",
        walk(&ground(), &[0.0, 400.0], GOOD, &mut draws, 1.71e9),
    );
    let agree = route(vec![one.clone(), other.clone()], &quick());
    assert!(!says(&agree, "contradict"), "{}", told(&agree));
    // Between about 240 and 320 m the second runs away by 25 m and comes back.
    let mut odd = other;
    let fixes = &mut odd.segments[0];
    let n = fixes.len() as f64;
    for (i, fix) in fixes.iter_mut().enumerate() {
        let x = (i as f64 / n - 0.7) / 0.07;
        fix.elevation_m = fix.elevation_m.map(|h| h + 25.0 * (-x * x).exp());
    }
    let apart = route(vec![one, odd], &quick());
    let text = told(&apart);
    assert!(
        text.contains("\"morning\" and \"evening\" contradict each other from 2"),
        "{text}"
    );
    assert!(
        apart.heights.drop_sd_m > agree.heights.drop_sd_m,
        "the doubt is wider"
    );
}
