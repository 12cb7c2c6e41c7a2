//! Least regrades: against facts computed with general-purpose libraries, and what must always hold.

use proptest::prelude::*;
use steadyfall::line::{Ground as Soil, Line};
use steadyfall::numeric::{AtMost, NoBest, Programme, isotonic};
use steadyfall::pipe::{self, Dig, Pipe};
use steadyfall::regrade::{
    FallProblem, MoveCost, RegradeKind, RegradePlan, StillClimbs, cheapest, plans,
};

struct Fact<'a> {
    id: &'a str,
    kind: &'a str,
    station: Vec<f64>,
    height: Vec<f64>,
    grade: f64,
    dig: Vec<f64>,
    prop: Vec<f64>,
    bend: Option<f64>,
    deepest: Option<f64>,
    answer: &'a str,
}

fn facts(text: &str) -> Vec<Fact<'_>> {
    let list = |t: &str| {
        t.split_whitespace()
            .map(|w| w.parse().unwrap())
            .collect::<Vec<f64>>()
    };
    text.lines()
        .skip(2)
        .map(|line| {
            let c: Vec<&str> = line.split(';').collect();
            Fact {
                id: c[0],
                kind: c[1],
                station: list(c[2]),
                height: list(c[3]),
                grade: c[4].parse().unwrap(),
                dig: list(c[5]),
                prop: list(c[6]),
                bend: c[7].parse().ok(),
                deepest: c[8].parse().ok(),
                answer: c[9],
            }
        })
        .collect()
}

/// The regrade of a fact as a linear programme: unknowns are depths dug, then heights propped.
fn programme(f: &Fact<'_>) -> Programme {
    let n = f.station.len();
    let change = |i: usize, by: f64| [(i, -by), (n + i, by)];
    let mut rows = Vec::new();
    for i in 0..n - 1 {
        let length = f.station[i + 1] - f.station[i];
        rows.push(AtMost {
            shares: [change(i + 1, 1.0), change(i, -1.0)].concat(),
            most: f.height[i] - f.height[i + 1] - f.grade * length,
        });
    }
    if let Some(bend) = f.bend {
        for i in 1..n - 1 {
            let (a, b) = (
                f.station[i] - f.station[i - 1],
                f.station[i + 1] - f.station[i],
            );
            let now = (f.height[i + 1] - f.height[i]) / b - (f.height[i] - f.height[i - 1]) / a;
            for sign in [1.0, -1.0] {
                rows.push(AtMost {
                    shares: [
                        change(i + 1, sign / b),
                        change(i, -sign * (1.0 / a + 1.0 / b)),
                        change(i - 1, sign / a),
                    ]
                    .concat(),
                    most: bend.max(now.abs()) - sign * now,
                });
            }
        }
    }
    if f.kind != "price" {
        for i in [0, n - 1, n, 2 * n - 1] {
            rows.push(AtMost {
                shares: vec![(i, 1.0)],
                most: 0.0,
            });
        }
    }
    if let Some(deepest) = f.deepest {
        rows.extend((0..n).map(|i| AtMost {
            shares: vec![(i, 1.0)],
            most: deepest,
        }));
    }
    Programme {
        cost: f.dig.iter().chain(&f.prop).copied().collect(),
        rows,
    }
}

#[test]
fn two_hundred_lines_as_general_purpose_libraries_regrade_them() {
    let text = include_str!("../checks/regrade-facts.txt");
    let all = facts(text);
    assert_eq!(all.len(), 200);
    for f in &all {
        let ground = FallProblem {
            station_m: &f.station,
            height_m: &f.height,
            least_fall: f.grade,
            held: &[],
        };
        if f.kind == "mean" {
            let level: Vec<f64> = f
                .height
                .iter()
                .zip(&f.station)
                .map(|(z, s)| z + f.grade * s)
                .collect();
            let fit = isotonic::falling(&level, &f.dig);
            for ((u, s), want) in fit.iter().zip(&f.station).zip(f.answer.split_whitespace()) {
                assert!(
                    (u - f.grade * s - want.parse::<f64>().unwrap()).abs() < 2e-6,
                    "case {}",
                    f.id
                );
            }
            continue;
        }
        let solved = programme(f).solve();
        let Ok(want) = f.answer.parse::<f64>() else {
            assert_eq!(solved, Err(NoBest::Contradiction), "case {}", f.id);
            continue;
        };
        let best = solved.unwrap_or_else(|e| panic!("case {}: {e:?}", f.id));
        assert!(
            (best.cost - want).abs() < 1e-6 * (1.0 + want),
            "case {}: {} for {want}",
            f.id,
            best.cost
        );
        if f.kind == "price" {
            let prices: Vec<MoveCost> = f
                .dig
                .iter()
                .zip(&f.prop)
                .map(|(&dig, &prop)| MoveCost { dig, prop })
                .collect();
            let cost: f64 = cheapest(&ground, &prices)
                .iter()
                .zip(&f.height)
                .zip(&prices)
                .map(|((y, z), p)| p.dig * (z - y).max(0.0) + p.prop * (y - z).max(0.0))
                .sum();
            assert!(
                (cost - want).abs() < 1e-6 * (1.0 + want),
                "case {}: {cost} for {want}",
                f.id
            );
        }
    }
}

fn pe(diameter: &str) -> Pipe {
    pipe::find(&format!("PE100 SDR11 {diameter}"))
        .unwrap_or_else(|e| panic!("{e:?}"))
        .clone()
}

/// A slope of 1 in 12 with a hump of the given height over 20 m, stations every metre.
fn humped(height: f64) -> Vec<(f64, f64)> {
    (0..=120)
        .map(|i| {
            let s = f64::from(i);
            let x = (s - 60.0) / 10.0;
            (
                s,
                100.0 - s / 12.0
                    + if x.abs() < 1.0 {
                        height * (1.0 - x * x)
                    } else {
                        0.0
                    },
            )
        })
        .collect()
}

fn of(plans: &[RegradePlan], kind: RegradeKind) -> &RegradePlan {
    plans.iter().find(|p| p.kind == kind).unwrap()
}

fn falls(line: &Line, plan: &RegradePlan) -> bool {
    line.geometry
        .heights
        .station_m
        .windows(2)
        .zip(plan.wanted_m.windows(2))
        .all(|(s, y)| y[0] - y[1] >= line.wishes.regrade.least_grade * (s[1] - s[0]) - 1e-6)
}

#[test]
fn a_hump_is_cut_propped_or_both_and_staked() {
    let line = Line::plain(&humped(1.5), &pe("90"));
    let all = plans(&line);
    assert_eq!(all.len(), 3);
    for plan in &all {
        assert!(
            falls(&line, plan) && plan.remaining.is_empty() && plan.too_tight_m.is_empty(),
            "{plan:?}"
        );
        let first = plan.stakes.first().unwrap();
        assert!(first.change_m == 0.0 && plan.stakes.len() > 4);
        assert!(
            plan.stakes
                .windows(2)
                .all(|w| w[1].station_m - w[0].station_m <= 5.0 && w[1].station_m > w[0].station_m)
        );
    }
    let (mixed, dig, prop) = (
        of(&all, RegradeKind::Mixed),
        of(&all, RegradeKind::Dig),
        of(&all, RegradeKind::Prop),
    );
    assert!(mixed.cost <= dig.cost.min(prop.cost) + 1e-9);
    assert!(
        dig.highest_m == 0.0
            && dig.deepest_m > 0.5
            && prop.deepest_m == 0.0
            && prop.highest_m > 0.2
    );
}

#[test]
fn a_stiff_pipe_makes_a_longer_cut() {
    // the same hump with a pipe of 450 mm: it may not follow the cut's corners
    let soft = Line::plain(&humped(1.5), &pe("90"));
    let mut stiff = Line::plain(&humped(1.5), &pe("315"));
    stiff.environment.water.coldest_c = 0.0;
    let (a, b) = (plans(&soft), plans(&stiff));
    let (a, b) = (of(&a, RegradeKind::Dig), of(&b, RegradeKind::Dig));
    assert!(
        b.too_tight_m.is_empty() && falls(&stiff, b),
        "{:?}",
        b.too_tight_m
    );
    assert!(b.cost > 1.02 * a.cost, "{} {}", b.cost, a.cost);
    assert!(
        b.wanted_m
            .iter()
            .zip(&stiff.geometry.heights.mean_m)
            .all(|(y, z)| *y <= z + 1e-6)
    );
}

#[test]
fn depth_may_be_limited_and_ground_forbidden() {
    let mut line = Line::plain(&humped(1.5), &pe("90"));
    line.wishes.regrade.deepest_m = Some(0.3);
    let all = plans(&line);
    let mixed = of(&all, RegradeKind::Mixed);
    assert!(mixed.deepest_m <= 0.3 + 1e-6 && mixed.highest_m > 0.1 && falls(&line, mixed));
    line.wishes.regrade.deepest_m = None;
    line.environment.ground = vec![Soil {
        from_m: 40.0,
        to_m: 80.0,
        soil: None,
        friction: None,
        dig: Dig::Never,
    }];
    let all = plans(&line);
    let (mixed, dig) = (of(&all, RegradeKind::Mixed), of(&all, RegradeKind::Dig));
    assert!(falls(&line, mixed) && mixed.deepest_m < 1e-9);
    assert!(!dig.remaining.is_empty() && dig.remaining[0].why == StillClimbs::Undug);
    // what changes nothing is sure of nothing
    line.geometry.heights.draws = vec![line.geometry.heights.mean_m.clone(); 4];
    let all = plans(&line);
    let (mixed, dig) = (of(&all, RegradeKind::Mixed), of(&all, RegradeKind::Dig));
    assert_eq!(mixed.sure, Some(1.0));
    assert!(dig.stakes.is_empty() && dig.sure.is_none() && dig.sure_with_extra.is_none());
}

#[test]
fn a_held_crest_is_told_not_bent_away() {
    let mut line = Line::plain(&humped(1.5), &pe("90"));
    line.wishes.fixed = vec![(52.0, 60.0)];
    for plan in plans(&line) {
        let rest = &plan.remaining;
        assert!(
            rest.iter()
                .any(|r| r.why == StillClimbs::Held && r.from_m >= 51.0 && r.to_m <= 61.0),
            "{rest:?}"
        );
        for (s, (y, z)) in line
            .geometry
            .heights
            .station_m
            .iter()
            .zip(plan.wanted_m.iter().zip(&line.geometry.heights.mean_m))
        {
            assert!(!(52.0..=60.0).contains(s) || (y - z).abs() < 1e-9);
        }
    }
}

#[test]
fn the_extra_makes_nine_draws_in_ten_fall() {
    let mut line = Line::plain(&humped(1.2), &pe("90"));
    // draws that part from the mean by a smooth wave of 0.25 m
    line.geometry.heights.draws = (0..400)
        .map(|k| {
            let (a, b) = (f64::from(k % 20) * 0.314, f64::from(k / 20) / 10.0 - 1.0);
            line.geometry
                .heights
                .station_m
                .iter()
                .zip(&line.geometry.heights.mean_m)
                .map(|(s, z)| z + 0.25 * b * (s / 9.0 + a).sin())
                .collect()
        })
        .collect();
    for plan in plans(&line) {
        let (plain, extra) = (
            plan.sure.unwrap(),
            plan.sure_with_extra
                .unwrap_or_else(|| panic!("{:?} {:?}", plan.kind, plan.sure)),
        );
        assert!(
            plain < 0.9 && extra >= 0.9,
            "{:?}: {plain} {extra}",
            plan.kind
        );
        let sign = if plan.kind == RegradeKind::Prop {
            1.0
        } else {
            -1.0
        };
        assert!(plan.stakes.iter().all(|s| s.extra_m.unwrap() * sign >= 0.0));
        assert!(plan.stakes.iter().any(|s| s.extra_m.unwrap().abs() > 0.02));
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn plans_fall_keep_their_side_and_leave_a_falling_line_alone(
        steps in prop::collection::vec((1.0..6.0f64, -1.2..0.6f64), 4..40),
        grade in 0.002..0.02f64,
    ) {
        let (mut s, mut z) = (0.0, 50.0);
        let mut points = vec![(s, z)];
        for (ds, dz) in steps {
            s += ds;
            z += dz;
            points.push((s, z));
        }
        let mut line = Line::plain(&points, &pe("63"));
        line.wishes.regrade.least_grade = grade;
        let heights = line.geometry.heights.mean_m.clone();
        for plan in plans(&line) {
            if plan.remaining.is_empty() {
                prop_assert!(falls(&line, &plan));
            }
            match plan.kind {
                RegradeKind::Dig => prop_assert!(plan.wanted_m.iter().zip(&heights).all(|(y, z)| *y <= z + 1e-6)),
                RegradeKind::Prop => prop_assert!(plan.wanted_m.iter().zip(&heights).all(|(y, z)| *y >= z - 1e-6)),
                RegradeKind::Mixed => {}
            }
            if plan.remaining.is_empty() {
                let again: Vec<(f64, f64)> = line.geometry.heights.station_m.iter().copied().zip(plan.wanted_m.iter().copied()).collect();
                let mut again = Line::plain(&again, &pe("63"));
                again.wishes.regrade.least_grade = grade;
                prop_assert!(plans(&again).is_empty());
            }
        }
    }

    /// What may dig and prop costs no more than what may do one of them, and bends no more: else the choice is none. A stiff pipe, for which windows are worked out anew.
    #[test]
    fn digging_and_propping_together_is_the_cheapest(
        steps in prop::collection::vec((4.0..40.0f64, -0.25..0.12f64), 4..14),
    ) {
        let (mut s, mut z) = (0.0, 50.0);
        let mut points = vec![(s, z)];
        for (ds, slope) in steps {
            for _ in 0..(ds / 2.0) as usize {
                s += 2.0;
                z += 2.0 * slope;
                points.push((s, z));
            }
        }
        let mut line = Line::plain(&points, &pe("315"));
        line.environment.water.coldest_c = 0.0;
        let all = plans(&line);
        let keeps = |p: &&RegradePlan| p.remaining.is_empty() && p.too_tight_m.is_empty();
        let mixed = all.iter().find(|p| p.kind == RegradeKind::Mixed);
        for one in all.iter().filter(|p| p.kind != RegradeKind::Mixed).filter(keeps) {
            let mixed = mixed.unwrap();
            prop_assert!(keeps(&mixed), "{:?} {:?}", mixed.remaining, mixed.too_tight_m);
            prop_assert!(mixed.cost <= 1.01 * one.cost + 0.1, "{} {:?} {}", mixed.cost, one.kind, one.cost);
        }
    }
}
