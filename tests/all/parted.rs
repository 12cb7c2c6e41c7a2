//! Steel parted by expansion joints, and curves that are no elbows.

use steadyfall::anchor::curves::{CURVE_RATIO, on_curve_n_per_m};
use steadyfall::anchor::heat::{HeldPipe, held_n};
use steadyfall::anchor::{Anchor, LEAST_RUN_M, Loads, Slack, ThrustSource, judge};
use steadyfall::laying::{self, ShoppingItem};
use steadyfall::line::{Appurtenance, Laid, Line};
use steadyfall::pipe::{Bed, Joint, MarkKind, Traffic, WorkingState, find};
use steadyfall::profile::{self, Bore};
use steadyfall::route::Bend;

/// 200 m that fall by 20 degrees.
fn line(words: &str) -> Line {
    let points: Vec<(f64, f64)> = (0..=40)
        .map(|i| {
            let s = 5.0 * f64::from(i);
            (s, 100.0 - s * 20.0_f64.to_radians().sin())
        })
        .collect();
    let mut line = Line::plain(&points, &find(words).unwrap());
    line.environment.situation.sun = true;
    line.environment.situation.hottest_air_c = 30.0;
    line.environment.water.coldest_c = 2.0;
    line
}

fn bend(station_m: f64, plan_deg: f64, profile_deg: f64) -> Bend {
    let (turn, rise) = (plan_deg.to_radians(), -20.0_f64.to_radians());
    let after = rise + profile_deg.to_radians();
    let cosine = rise.cos() * after.cos() * turn.cos() + rise.sin() * after.sin();
    Bend {
        station_m,
        plan_rad: turn,
        profile_rad: profile_deg.to_radians(),
        angle_rad: cosine.clamp(-1.0, 1.0).acos(),
        sd_rad: 0.005,
        over_m: 0.0,
    }
}

fn judged(line: &Line) -> Anchor {
    let standing_pa: Vec<f64> = line
        .geometry
        .heights
        .mean_m
        .iter()
        .map(|z| (line.intake.level_m - z) * 9_810.0)
        .collect();
    judge(
        line,
        &Loads {
            largest_pa: standing_pa.iter().map(|p| 1.2 * p).collect(),
            by: Vec::new(),
            parting: Vec::new(),
            test_pa: Vec::new(),
            standing_pa,
            flow_m3_per_s: 0.005,
        },
    )
}

fn stand(kind: MarkKind, station_m: f64, strength_n: Option<f64>) -> Appurtenance {
    Appurtenance {
        kind,
        station_m,
        device: None,
        bore_m: None,
        top_m: None,
        cock_open: true,
        state: WorkingState::Works,
        strength_n,
        opens_at_pa: None,
        slack_m: None,
        name: String::new(),
    }
}

fn laid(from_m: f64, to_m: f64, bed: Bed) -> Laid {
    Laid {
        from_m,
        to_m,
        bed,
        cover_m: (bed == Bed::Buried).then_some(1.2),
        height_m: None,
        traffic: Traffic::None,
        trench: steadyfall::pipe::Trench::default(),
    }
}

const STEEL: &str = "steel Grade B schedule 40 NPS 8";

#[test]
fn expansion_joints_are_set_bought_and_laid_and_take_the_run_s_movement() {
    let mut line = line(STEEL);
    line.reaches[0].joint = Joint::Flange;
    line.geometry.bends = vec![bend(100.0, 0.0, -10.0)];
    let anchor = judged(&line);
    // 100 m on either side of the block, in four runs of 25 m each
    assert_eq!(anchor.jointed.len(), 8);
    for run in &anchor.jointed {
        // Machinery's Handbook: 1.17e-5 a kelvin; drained in the sun of 30 C of air, filled at 2 C: 48 K
        assert!(
            (run.moves_m - 1.17e-5 * 25.0 * 48.0).abs() < 1e-9,
            "{run:?}"
        );
        assert!((run.joint_m - run.from_m - 1.0).abs() < 1e-9);
    }
    let wanted = |a: &Anchor, kind| {
        a.holds
            .iter()
            .filter(|h| h.kind == kind && h.stands.is_none())
            .count()
    };
    assert_eq!(wanted(&anchor, MarkKind::ExpansionJoint), 8);
    // an anchor at each hold on the straight, and at both ends; a block at the bend
    assert_eq!(wanted(&anchor, MarkKind::Anchor), 8);
    assert_eq!(wanted(&anchor, MarkKind::Block), 1);
    let bores = [Bore {
        to_m: 200.0,
        bore_m: line.reaches[0].pipe.inner_diameter_m,
    }];
    let profile = profile::judge(&line.geometry.heights, &bores);
    let plan = laying::plan(&line, &profile, None, Some(&anchor));
    let row = plan
        .shopping
        .iter()
        .find(|r| r.item == ShoppingItem::ExpansionJoint)
        .unwrap();
    assert_eq!(row.count, 8.0);
    // what is asked for, set, is enough; and then nothing but blocks and anchors carries the pressure on bends and ends
    let mut set = line.clone();
    for hold in &anchor.holds {
        set.stands
            .push(stand(hold.kind, hold.station_m, Some(hold.force_n)));
    }
    let after = judged(&set);
    assert!(
        after.holds.iter().all(|h| h.stands.is_some()),
        "{:?}",
        after.holds
    );
    assert!(
        after
            .pushes
            .iter()
            .any(|p| matches!(p.at, ThrustSource::Bend) && !p.restrained)
    );
    assert!(anchor.pushes.iter().all(|p| p.restrained));
    for pull in &after.pulls {
        assert_eq!(pull.slack, Slack::Joint);
        assert!(pull.hold_n >= pull.by_pressure_n);
    }
}

#[test]
fn steel_in_the_ground_or_too_short_for_a_joint_carries_its_heat() {
    let mut buried = line(STEEL);
    buried.environment.laid.push(laid(0.0, 200.0, Bed::Buried));
    let anchor = judged(&buried);
    assert!(anchor.jointed.is_empty());
    assert!(
        anchor
            .pulls
            .iter()
            .all(|p| p.slack == Slack::None && p.hold_n >= p.by_cold_n)
    );
    let mut short = buried.clone();
    short.environment.laid = vec![laid(0.0, 200.0 - LEAST_RUN_M + 1.0, Bed::Buried)];
    assert!(judged(&short).jointed.is_empty());
    // plastic has loops, not joints
    assert!(judged(&line("PE100 SDR 11 110")).jointed.is_empty());
}

#[test]
fn held_steel_is_stressed_by_what_the_handbooks_say() {
    // AWWA M11, restrained welded steel pipe: about 200 psi a degree Fahrenheit, which is 2.48 MPa a kelvin (from memory); E 30e6 psi and 6.5e-6 a degree F give 195
    let held = held_n(HeldPipe {
        modulus_pa: 200e9,
        expansion_per_k: 1.17e-5,
        kelvin: 1.0,
        wall_area_m2: 1.0,
    });
    assert!((held / 2.48e6 - 1.0).abs() < 0.06, "{held}");
    // Machinery's Handbook: 100 ft of steel over 100 F grows by 0.78 in (6.5e-6 a degree F)
    let grows = steadyfall::pipe::length_change_m(1.17e-5, 30.48, 100.0 / 1.8);
    assert!((grows / (0.78 * 0.0254) - 1.0).abs() < 0.01, "{grows}");
}

/// A gentle curve of radius 60 m between 60 and 90 m, seen every 5 m.
fn curve(joint: Joint) -> Line {
    let mut line = line("PE100 SDR 11 90");
    line.reaches[0].joint = joint;
    line.geometry.bends = (0..6)
        .map(|k| bend(60.0 + 5.0 * f64::from(k), 4.8, 0.0))
        .collect();
    line
}

#[test]
fn a_gentle_curve_is_no_row_of_elbows() {
    let mut line = curve(Joint::Barbed);
    let anchor = judged(&line);
    assert_eq!(anchor.curves.len(), 6);
    for curve in &anchor.curves {
        assert!(
            curve.radius_m > CURVE_RATIO * 0.09 && curve.radius_m < 70.0,
            "{curve:?}"
        );
        // hoop: p A + rho Q V over R, by hand; the angle's doubt adds an eighth or so
        let section = curve.pressure_pa * 0.09_f64.powi(2) * std::f64::consts::FRAC_PI_4
            + 1_000.0 * 0.005_f64.powi(2) / line.reaches[0].pipe.bore_area_m2();
        let by_hand = on_curve_n_per_m(section, curve.radius_m);
        assert!(
            curve.push_n_per_m > by_hand && curve.push_n_per_m < 1.2 * by_hand,
            "{curve:?} {by_hand}"
        );
    }
    // joints not known: one length, which carries what the ground does not hold to its ends
    let beside = |a: &Anchor| {
        let at: Vec<(f64, f64)> = a
            .pushes
            .iter()
            .filter(|p| matches!(p.at, ThrustSource::Joint))
            .map(|p| (p.station_m, p.size_n))
            .collect();
        at
    };
    assert!(
        anchor
            .pushes
            .iter()
            .all(|p| !matches!(p.at, ThrustSource::Bend | ThrustSource::Curve))
    );
    assert!(beside(&anchor).iter().all(|(s, _)| *s < 1.0));
    // joints that stand at 50 and 100 m carry no pull: the pipe pulls there, never with more than p A + rho Q V
    line.reaches[0].joints_at_m = vec![50.0, 100.0];
    let anchor = judged(&line);
    let stations: Vec<f64> = beside(&anchor).iter().map(|b| b.0).collect();
    assert_eq!(stations, [50.0, 100.0]);
    let end_n = 1.2
        * 9_810.0
        * 100.0
        * 20.0_f64.to_radians().sin()
        * 0.09_f64.powi(2)
        * std::f64::consts::FRAC_PI_4;
    assert!(
        beside(&anchor)
            .iter()
            .all(|(_, n)| *n > 0.2 * end_n && *n < 1.1 * end_n),
        "{:?} {end_n}",
        beside(&anchor)
    );
    // held by anchors of what is asked, it is held
    for push in anchor
        .pushes
        .iter()
        .filter(|p| matches!(p.at, ThrustSource::Joint))
    {
        line.stands
            .push(stand(MarkKind::Anchor, push.station_m, Some(push.high_n)));
    }
    let held = judged(&line);
    assert!(
        held.holds
            .iter()
            .filter(|h| h.along && h.station_m < 150.0)
            .all(|h| h.stands.is_some())
    );
    // joints that hold carry it along the pipe
    assert!(
        judged(&curve(Joint::Fused))
            .pushes
            .iter()
            .all(|p| p.restrained)
    );
}

#[test]
fn the_ground_holds_a_buried_curve_and_a_joint_in_the_arc_leaves_it_to_the_ground() {
    let mut open = curve(Joint::Barbed);
    open.reaches[0].joints_at_m = vec![63.0, 72.0, 81.0];
    let pushes = judged(&open).pushes;
    assert!(pushes.iter().any(|p| matches!(p.at, ThrustSource::Curve)));
    let mut buried = open;
    buried.environment.laid.push(laid(0.0, 200.0, Bed::Buried));
    let anchor = judged(&buried);
    assert!(
        anchor.curves.iter().all(|c| c.lacks_n_per_m() == 0.0),
        "{:?}",
        anchor.curves
    );
    assert!(
        anchor
            .pushes
            .iter()
            .all(|p| !matches!(p.at, ThrustSource::Curve | ThrustSource::Joint))
    );
}
