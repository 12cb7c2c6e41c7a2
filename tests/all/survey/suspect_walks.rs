//! Walks that are not what they seem: looked-up heights, rings, detours, fixes far apart, times that are lacking here and there.

use super::walks::{
    Ground, LEVEL_M, Receiver, USUAL, drop_m, length, passes, plane, quick, refusal, route, says,
    told, walk,
};
use steadyfall::earth::LatLon;
use steadyfall::numeric::Rng;
use steadyfall::profile::{Bore, ClimbVerdict, judge};
use steadyfall::reading::Pass;

#[test]
fn heights_from_a_terrain_model_are_distrusted() {
    let ground = Ground::straight(300.0);
    let exact = Receiver {
        white_m: 0.0,
        drift_m: 0.0,
        offset_m: 0.0,
        ..USUAL
    };
    let copied = route(passes(&ground, 3, exact, 81), &quick());
    assert!(
        copied.terrain_model && says(&copied, "terrain model"),
        "{}",
        told(&copied)
    );
    let measured = route(passes(&ground, 3, USUAL, 82), &quick());
    assert!(!measured.terrain_model);
}

/// A terrain model looked up where the receiver stood: ground that falls along the line and across it, in steps of a decimetre.
fn copied(mut pass: Pass, steep: f64, across: f64) -> Pass {
    for fix in pass.segments.iter_mut().flatten() {
        let [east, north] = plane().east_north(LatLon::new(fix.lat_deg, fix.lon_deg));
        let (along, aside) = (0.6 * east + 0.8 * north, 0.8 * east - 0.6 * north);
        let wave = 2.0 * (along / 35.0).sin();
        fix.elevation_m =
            Some(((LEVEL_M + 100.0 - steep * along + across * aside + wave) * 10.0).round() / 10.0);
    }
    pass
}

#[test]
fn a_terrain_model_shows_where_one_walk_goes_out_and_back() {
    let ground = Ground::straight(400.0);
    let there_and_back = |receiver, seed| {
        let way = [0.0, 400.0, 0.0];
        walk(&ground, &way, receiver, &mut Rng::new(seed), 1.7e9)
    };
    for (seed, steep, across) in [(1, 0.1, 0.0), (2, 0.3, 0.4), (3, 0.6, -0.3), (4, 0.4, 0.0)] {
        let mut loop_ = copied(there_and_back(USUAL, seed), steep, across);
        let found = route(vec![loop_.clone()], &quick());
        assert!(found.terrain_model, "{seed}: {}", told(&found));
        for fix in loop_.segments.iter_mut().flatten() {
            fix.time_s = None;
        }
        let found = route(vec![loop_], &quick());
        assert!(found.terrain_model, "{seed}, no times: {}", told(&found));
    }
    // The best of receivers still drifts between out and back.
    let good = Receiver {
        white_m: 0.1,
        drift_m: 0.8,
        plan_m: 1.0,
        ..USUAL
    };
    for seed in 0..12 {
        let found = route(vec![there_and_back(good, 100 + seed)], &quick());
        assert!(!found.terrain_model, "{seed}: {}", told(&found));
    }
}

/// One walk has no second one to agree with: cells of a model show by their steps, heights between cells by following the wander of the place.
#[test]
fn a_terrain_model_shows_in_one_walk_too() {
    let ground = Ground::straight(500.0);
    for seed in 0..6 {
        let measured = passes(&ground, 1, USUAL, 300 + seed).remove(0);
        let found = route(vec![measured.clone()], &quick());
        assert!(!found.terrain_model, "{seed}: {}", told(&found));
        let mut cells = measured.clone();
        let mut ruled = measured.clone();
        let count = ruled.segments[0].len() as f64;
        for (i, fix) in ruled.segments.iter_mut().flatten().enumerate() {
            let along = 500.0 * i as f64 / count;
            let z = LEVEL_M + 100.0 - 0.12 * along + (along / 40.0).sin();
            fix.elevation_m = Some((z * 100.0).round() / 100.0);
        }
        let found = route(vec![ruled], &quick());
        assert!(
            found.terrain_model && says(&found, "they have no noise"),
            "{seed}: {}",
            told(&found)
        );
        let mut between = measured;
        for fix in cells.segments.iter_mut().flatten() {
            let [east, north] = plane().east_north(LatLon::new(fix.lat_deg, fix.lon_deg));
            let along = 0.6 * east + 0.8 * north;
            let cell = (along / 28.0).round() * 28.0;
            fix.elevation_m = Some((LEVEL_M + 100.0 - 0.12 * cell).round());
        }
        let found = route(vec![cells], &quick());
        assert!(
            found.terrain_model && says(&found, "and then jump"),
            "{seed}: {}",
            told(&found)
        );
        assert!(found.heights.drop_sd_m > 1.0, "{}", found.heights.drop_sd_m);
        for fix in between.segments.iter_mut().flatten() {
            let [east, north] = plane().east_north(LatLon::new(fix.lat_deg, fix.lon_deg));
            let (along, aside) = (0.6 * east + 0.8 * north, 0.8 * east - 0.6 * north);
            let z = LEVEL_M + 100.0 - 0.15 * along + 0.3 * aside + 2.0 * (along / 60.0).sin();
            fix.elevation_m = Some((z * 100.0).round() / 100.0);
        }
        let found = route(vec![between], &quick());
        assert!(
            found.terrain_model && says(&found, "the position errors"),
            "{seed}: {}",
            told(&found)
        );
        assert!(found.heights.drop_sd_m > 1.0, "{}", found.heights.drop_sd_m);
    }
}

#[test]
fn times_that_lack_here_and_there_are_filled() {
    let ground = Ground::straight(300.0);
    let whole = passes(&ground, 1, USUAL, 51).remove(0);
    let all = route(vec![whole.clone()], &quick());
    let mut some = whole;
    for fix in some.segments[0].iter_mut().skip(1).step_by(3) {
        fix.time_s = None;
    }
    let found = route(vec![some.clone()], &quick());
    assert!(says(&found, "fixes have no time"), "{}", told(&found));
    assert_eq!(found.heights.mean_m, all.heights.mean_m);
    // More than half without a time, and none of it is used.
    for fix in some.segments[0].iter_mut().step_by(2) {
        fix.time_s = None;
    }
    let found = route(vec![some], &quick());
    assert!(says(&found, "the times cannot be used"), "{}", told(&found));
}

#[test]
fn a_ring_is_no_pipe() {
    let round: Vec<[f64; 2]> = (0..=72)
        .map(|i| f64::from(i) * std::f64::consts::TAU / 72.0)
        .map(|a| [80.0 * a.sin(), 80.0 - 80.0 * a.cos()])
        .collect();
    let ground = Ground {
        corners: round,
        height: |level| LEVEL_M + 0.2 * (level - 250.0).abs(),
    };
    let fault = refusal(passes(&ground, 1, USUAL, 5), &quick());
    assert!(fault.to_string().contains("it is a closed loop"), "{fault}");
}

/// Three walks, of which the longest goes round a crag: the line is that of the two, and the detour is cut out of the third.
#[test]
fn a_detour_of_one_walk_is_not_the_pipe() {
    let ground = Ground::straight(400.0);
    for count in [2, 3] {
        let mut walks = passes(&ground, count, USUAL, 61);
        let fixes = &mut walks[count - 1].segments[0];
        let n = fixes.len() as f64;
        for (i, fix) in fixes.iter_mut().enumerate() {
            let t = (i as f64 / n - 0.35) / 0.3;
            if (0.0..1.0).contains(&t) {
                let out = 90.0 * (std::f64::consts::PI * t).sin();
                fix.lat_deg += 0.6 * out / 111_000.0;
                fix.lon_deg -= 0.8 * out / 77_000.0;
                fix.elevation_m = fix.elevation_m.map(|z| z + 0.3 * out);
            }
        }
        let found = route(walks, &quick());
        assert!((length(&found) - 402.9).abs() < 9.0, "{}", length(&found));
        assert!((drop_m(&found) - 48.0).abs() < 6.0);
        assert!(
            says(&found, "more than 25 m from the route"),
            "{}",
            told(&found)
        );
    }
}

/// A receiver that wrote a fix every minute or two: between fixes nothing is known, and nothing wild is said.
#[test]
fn between_fixes_far_apart_the_line_stays_near_them() {
    let ground = Ground::straight(900.0);
    for (seed, every) in [(1, 60), (2, 100), (3, 140), (4, 200)] {
        let mut pass = passes(&ground, 1, USUAL, seed).remove(0);
        let fixes = &mut pass.segments[0];
        let last = fixes[fixes.len() - 1];
        let mut kept: Vec<_> = fixes.iter().copied().step_by(every).collect();
        kept.push(last);
        *fixes = kept.clone();
        let found = route(vec![pass], &quick());
        let heights = kept.iter().filter_map(|f| f.elevation_m);
        let low = heights.clone().fold(f64::INFINITY, f64::min);
        let high = heights.fold(f64::NEG_INFINITY, f64::max);
        for (z, sd) in found.heights.mean_m.iter().zip(&found.heights.sd_m) {
            assert!((low - 3.0..=high + 3.0).contains(z), "{every}: {z} +- {sd}");
            assert!(*sd < 40.0, "{every}: {sd}");
        }
        let profile = judge(
            &found.heights,
            &[Bore {
                to_m: length(&found),
                bore_m: 0.1,
            }],
        );
        assert!(
            profile
                .climbs
                .iter()
                .all(|c| c.verdict != ClimbVerdict::Climbs)
        );
    }
    let mut two = passes(&ground, 1, USUAL, 9).remove(0);
    let fixes = &mut two.segments[0];
    *fixes = vec![fixes[0], fixes[fixes.len() - 1]];
    let fault = refusal(vec![two], &quick());
    assert!(
        fault
            .to_string()
            .contains("most of the route was not recorded"),
        "{fault}"
    );
}
