//! Walks with a receiver to a route, on invented ground with known truth.

use std::fmt::Write as _;
use steadyfall::earth::{LatLon, Plane};
use steadyfall::heights::HeightsOptions;
use steadyfall::numeric::Rng;
use steadyfall::profile::{self, Bore, ClimbVerdict};
use steadyfall::reading::{Data, Fix, Method, NamedPlace, Pass, ReadOptions, Reading, WalkDevice};
use steadyfall::receiver::Expected;
use steadyfall::route::{
    End, KnownHeight, Peg, Route, RouteOptions, Spot, SurveyPart, WrittenSpot,
};
use steadyfall::survey;
use steadyfall::text::{Fault, Place};
use steadyfall::unit::OnPegs;

/// An invented line: corners in plan, m, and its height by level distance.
pub(super) struct Ground {
    pub(super) corners: Vec<[f64; 2]>,
    pub(super) height: fn(f64) -> f64,
}

pub(super) const LEVEL_M: f64 = 1000.0;

pub(super) fn plane() -> Plane {
    Plane::new(LatLon::new(46.43, 8.21), LEVEL_M)
}

fn even(level: f64) -> f64 {
    LEVEL_M + 100.0 - 0.12 * level
}

impl Ground {
    pub(super) fn straight(length: f64) -> Self {
        Self {
            corners: vec![[0.0, 0.0], [0.6 * length, 0.8 * length]],
            height: even,
        }
    }

    fn length(&self) -> f64 {
        self.corners
            .windows(2)
            .map(|w| (w[1][0] - w[0][0]).hypot(w[1][1] - w[0][1]))
            .sum()
    }

    pub(super) fn at(&self, level: f64) -> [f64; 2] {
        let mut left = level;
        for w in self.corners.windows(2) {
            let step = (w[1][0] - w[0][0]).hypot(w[1][1] - w[0][1]);
            if left <= step {
                let t = left / step;
                return [
                    w[0][0] + t * (w[1][0] - w[0][0]),
                    w[0][1] + t * (w[1][1] - w[0][1]),
                ];
            }
            left -= step;
        }
        *self.corners.last().unwrap()
    }

    fn lat_lon(&self, level: f64) -> LatLon {
        plane().back(self.at(level))
    }
}

/// A receiver and its walker.
#[derive(Clone, Copy)]
pub(super) struct Receiver {
    pub(super) plan_m: f64,
    pub(super) white_m: f64,
    pub(super) drift_m: f64,
    pub(super) offset_m: f64,
    pub(super) stops: usize,
}

pub(super) const USUAL: Receiver = Receiver {
    plan_m: 1.5,
    white_m: 0.2,
    drift_m: 1.0,
    offset_m: 3.0,
    stops: 2,
};

/// Walks at 1 Hz along the places of a path (level distances, there and back at will).
pub(super) fn walk(
    ground: &Ground,
    way: &[f64],
    receiver: Receiver,
    draws: &mut Rng,
    began_s: f64,
) -> Pass {
    let mut slow = |sd: f64, tau: f64| {
        let mut value = sd * draws.normal();
        let keep = (-1.0f64 / tau).exp();
        move |draws: &mut Rng| {
            value = keep * value + sd * (1.0 - keep * keep).sqrt() * draws.normal();
            value
        }
    };
    let (mut east, mut north, mut drift) = (
        slow(receiver.plan_m, 60.0),
        slow(receiver.plan_m, 60.0),
        slow(receiver.drift_m, 250.0),
    );
    let offset = receiver.offset_m * draws.normal();
    let mut fixes: Vec<Fix> = Vec::new();
    let total: f64 = way.windows(2).map(|w| (w[1] - w[0]).abs()).sum();
    let stops: Vec<f64> = (0..receiver.stops)
        .map(|_| draws.between(0.0, total))
        .collect();
    let mut walked = 0.0;
    let mut rest = 0.0;
    loop {
        let mut left: f64 = walked;
        let mut level = *way.last().unwrap();
        for w in way.windows(2) {
            let step = (w[1] - w[0]).abs();
            if left < step {
                level = w[0] + (w[1] - w[0]).signum() * left;
                break;
            }
            left -= step;
        }
        let at = ground.at(level);
        let place = plane().back([at[0] + east(draws), at[1] + north(draws)]);
        fixes.push(Fix {
            lat_deg: place.lat_deg,
            lon_deg: place.lon_deg,
            elevation_m: Some(
                (ground.height)(level) + offset + drift(draws) + receiver.white_m * draws.normal(),
            ),
            time_s: Some(began_s + fixes.len() as f64),
            dilution: None,
            stated_sd_m: None,
            line: fixes.len() as u32 + 5,
        });
        if walked >= total {
            break;
        }
        if rest > 0.0 {
            rest -= 1.0;
            continue;
        }
        let before = walked;
        walked = (walked + 0.8 + 0.15 * draws.normal())
            .min(total)
            .max(walked);
        if stops.iter().any(|&s| s > before && s <= walked) {
            rest = 40.0;
        }
    }
    Pass {
        name: "walk".into(),
        segments: vec![fixes],
        drawn: false,
    }
}

fn reading(passes: Vec<Pass>) -> Reading {
    Reading {
        method: Method::Gpx,
        file: "walk.gpx".into(),
        source: Default::default(),
        points_read: passes.iter().flat_map(|p| &p.segments).map(Vec::len).sum(),
        data: Data::Walks(passes),
        places: Vec::new(),
        remarks: Vec::new(),
    }
}

/// Passes down and up over the whole line.
pub(super) fn passes(ground: &Ground, count: usize, receiver: Receiver, seed: u64) -> Vec<Pass> {
    let mut draws = Rng::new(seed);
    let length = ground.length();
    (0..count)
        .map(|i| {
            let way = if i % 2 == 0 {
                [0.0, length]
            } else {
                [length, 0.0]
            };
            walk(
                ground,
                &way,
                receiver,
                &mut draws,
                1.7e9 + 5000.0 * i as f64,
            )
        })
        .collect()
}

pub(super) fn quick() -> RouteOptions {
    RouteOptions {
        heights: HeightsOptions {
            draws: Some(120),
            ..HeightsOptions::default()
        },
        ..RouteOptions::default()
    }
}

fn at(spot: Spot) -> WrittenSpot {
    WrittenSpot {
        spot,
        place: Place::line("site.toml", 7),
    }
}

fn spot(ground: &Ground, level: f64) -> WrittenSpot {
    let at_ = ground.lat_lon(level);
    at(Spot::Position {
        lat_deg: at_.lat_deg,
        lon_deg: at_.lon_deg,
    })
}

pub(super) fn route(passes: Vec<Pass>, options: &RouteOptions) -> Route {
    Route::from(&[reading(passes)], options).unwrap_or_else(|f| panic!("{f}"))
}

pub(super) fn refusal(passes: Vec<Pass>, options: &RouteOptions) -> Fault {
    Route::from(&[reading(passes)], options).expect_err("a refusal")
}

pub(super) fn length(route: &Route) -> f64 {
    route.nodes.last().unwrap().station_m
}

pub(super) fn drop_m(route: &Route) -> f64 {
    route.heights.mean_m[0] - route.heights.mean_m.last().unwrap()
}

pub(super) fn says(route: &Route, words: &str) -> bool {
    route.remarks.iter().any(|r| r.text.contains(words))
}

pub(super) fn told(route: &Route) -> String {
    route.remarks.iter().fold(String::new(), |mut s, r| {
        let _ = writeln!(s, "{}: {}", r.place, r.text);
        s
    })
}

#[test]
fn a_straight_walk_gives_a_straight_pipe_of_its_length() {
    let ground = Ground::straight(400.0);
    let truth = 400.0 * (1.0f64 + 0.12 * 0.12).sqrt();
    let mut bias = Vec::new();
    for (seed, count) in [(1, 1), (2, 1), (3, 1), (4, 2), (5, 2), (6, 3)] {
        let route = route(passes(&ground, count, USUAL, seed), &quick());
        let off = length(&route) / truth - 1.0;
        assert!(
            off.abs() < 0.02,
            "seed {seed}: {} m for {truth} m",
            length(&route)
        );
        assert!(route.bends.is_empty(), "seed {seed}: {:?}", route.bends);
        assert!(
            (length(&route) - truth).abs() < 3.5 * route.length_sd_m,
            "seed {seed}"
        );
        assert!(
            (drop_m(&route) - 48.0).abs() < 4.0 * route.heights.drop_sd_m + 0.3,
            "seed {seed}: {}",
            drop_m(&route)
        );
        let judged = profile::judge(
            &route.heights,
            &[Bore {
                to_m: 1e4,
                bore_m: 0.08,
            }],
        );
        assert!(
            judged
                .climbs
                .iter()
                .all(|c| c.verdict != ClimbVerdict::Climbs),
            "seed {seed}: {:?}",
            judged.climbs
        );
        assert_eq!(route.passes, count);
        bias.push(off);
    }
    let mean = bias.iter().sum::<f64>() / bias.len() as f64;
    assert!(mean.abs() < 0.005, "mean bias {mean}");
}

#[test]
fn bends_are_found_where_they_are() {
    let ground = Ground {
        corners: vec![[0.0, 0.0], [150.0, 0.0], [270.0, 120.0], [270.0, 270.0]],
        height: even,
    };
    let route = route(passes(&ground, 3, USUAL, 11), &quick());
    let level: Vec<f64> = route.bends.iter().map(|b| b.station_m).collect();
    assert_eq!(route.bends.len(), 2, "{level:?}");
    let second = 150.0 + 120.0 * 2f64.sqrt();
    for (bend, wanted) in route.bends.iter().zip([150.0, second]) {
        assert!(
            (bend.station_m - wanted * 1.0072).abs() < 12.0,
            "{} for {wanted}",
            bend.station_m
        );
        assert!(
            (bend.plan_rad - std::f64::consts::FRAC_PI_4).abs() < 3.0 * bend.sd_rad,
            "{}",
            bend.plan_rad
        );
        assert!(bend.plan_rad.abs() > 4.0 * bend.sd_rad);
    }
    let truth = ground.length() * (1.0f64 + 0.12 * 0.12).sqrt();
    assert!(
        (length(&route) / truth - 1.0).abs() < 0.012,
        "{} for {truth}",
        length(&route)
    );
}

#[test]
fn a_walk_uphill_is_turned_only_where_no_station_is_used() {
    let ground = Ground::straight(300.0);
    let uphill = || vec![walk(&ground, &[300.0, 0.0], USUAL, &mut Rng::new(3), 0.0)];
    let turned = route(uphill(), &quick());
    assert!(turned.reversed && drop_m(&turned) > 25.0);
    assert!(says(&turned, "reversed the route"));
    let top = turned.nodes[0].plan.unwrap().lat_lon_deg.unwrap();
    assert!(LatLon::new(top.0, top.1).distance_m(ground.lat_lon(0.0)) < 12.0);
    let with_stations = RouteOptions {
        stations_used: true,
        ..quick()
    };
    let fault = refusal(uphill(), &with_stations);
    assert!(
        fault.place.line.is_some() && fault.to_string().contains("from ="),
        "{fault}"
    );
    let said = RouteOptions {
        from: Some(End::Turbine),
        ..with_stations
    };
    assert!(route(uphill(), &said).reversed);
}

#[test]
fn level_ground_asks_which_end_is_which() {
    let ground = Ground {
        height: |_| LEVEL_M,
        ..Ground::straight(300.0)
    };
    let walks = || passes(&ground, 1, USUAL, 5);
    assert!(
        refusal(walks(), &quick())
            .to_string()
            .contains("which end is the intake")
    );
    let named = RouteOptions {
        intake: Some(spot(&ground, 300.0)),
        turbine: Some(spot(&ground, 0.0)),
        ..quick()
    };
    assert!(route(walks(), &named).reversed);
    let said = RouteOptions {
        from: Some(End::Intake),
        ..quick()
    };
    assert!(!route(walks(), &said).reversed);
}

#[test]
fn which_end_is_higher_is_as_sure_as_a_receiver_is() {
    // One walk of an unknown receiver errs by some 5 m at both ends together: 10 m tell nothing, 30 m do.
    let falls = |height: fn(f64) -> f64| Ground {
        height,
        ..Ground::straight(300.0)
    };
    let (little, much) = (falls(|s| LEVEL_M - s / 30.0), falls(|s| LEVEL_M - s / 10.0));
    let walk = |ground: &Ground| passes(ground, 1, USUAL, 5);
    let fault = refusal(walk(&little), &quick()).to_string();
    assert!(fault.contains("not accurate enough"), "{fault}");
    assert!(!route(walk(&much), &quick()).reversed);
    // What was said is denied by 30 m only; by 10 m it is asked about.
    let against = RouteOptions {
        from: Some(End::Turbine),
        ..quick()
    };
    let fault = refusal(walk(&much), &against).to_string();
    assert!(fault.contains("lower end of the pipe"), "{fault}");
    let asked = route(walk(&little), &against);
    assert!(asked.reversed && told(&asked).contains("Check which end is the intake"));
    // A surveyor's receiver shows 10 m.
    let mut rtk = quick();
    rtk.heights.expected = Expected::told(Some(WalkDevice::Rtk), false);
    assert!(!route(walk(&little), &rtk).reversed);
}

#[test]
fn out_and_back_is_two_passes() {
    let ground = Ground::straight(350.0);
    let pass = walk(&ground, &[0.0, 350.0, 0.0], USUAL, &mut Rng::new(8), 0.0);
    let route = route(vec![pass], &quick());
    assert_eq!(route.passes, 2, "{}", told(&route));
    assert!((length(&route) - 352.5).abs() < 8.0, "{}", length(&route));
    assert!(!route.reversed);
}

#[test]
fn the_line_is_cut_to_intake_and_turbine() {
    let ground = Ground::straight(500.0);
    let options = RouteOptions {
        intake: Some(at(Spot::Name("Weir".into()))),
        turbine: Some(spot(&ground, 420.0)),
        ..quick()
    };
    let mut survey = reading(passes(&ground, 2, USUAL, 21));
    let weir = ground.lat_lon(60.0);
    survey.places.push(NamedPlace {
        name: "weir".into(),
        lat_deg: weir.lat_deg,
        lon_deg: weir.lon_deg,
        elevation_m: None,
        place: Place::line("walk.gpx", 2),
    });
    let route = Route::from(&[survey.clone()], &options).unwrap();
    assert!(
        (length(&route) - 360.0 * 1.0072).abs() < 8.0,
        "{}",
        length(&route)
    );
    assert!((drop_m(&route) - 43.2).abs() < 4.0);
    assert!(
        route.nodes[0].on_pegs.0.abs() < 1e-9,
        "a named intake begins the reckoning"
    );
    let by_station = RouteOptions {
        intake: Some(at(Spot::Station(OnPegs(60.0)))),
        from: Some(End::Intake),
        ..quick()
    };
    let paced = Route::from(&[survey.clone()], &by_station).unwrap();
    assert!((paced.nodes[0].on_pegs.0 - 60.0).abs() < 2.0);
    let place = route.places.iter().find(|p| p.name == "weir").unwrap();
    assert!(place.station_m < 5.0 && place.off_m < 6.0, "{place:?}");
    let wrong = RouteOptions {
        intake: Some(at(Spot::Name("wier".into()))),
        ..quick()
    };
    let fault = Route::from(&[survey.clone()], &wrong)
        .unwrap_err()
        .to_string();
    assert!(
        fault.starts_with("site.toml:7") && fault.contains("did you mean \"weir\""),
        "{fault}"
    );
    let far = RouteOptions {
        intake: Some(at(Spot::Position {
            lat_deg: 46.5,
            lon_deg: 8.21,
        })),
        ..quick()
    };
    assert!(Route::from(&[survey], &far).is_err());
}

#[test]
fn breaks_and_lacking_heights_are_told() {
    let ground = Ground::straight(400.0);
    let mut pass = passes(&ground, 1, USUAL, 31).remove(0);
    let fixes = pass.segments.remove(0);
    let near = |f: &Fix, from: f64, to: f64| {
        let [east, north] = plane().east_north(LatLon::new(f.lat_deg, f.lon_deg));
        (from..to).contains(&east.hypot(north))
    };
    let mut kept: Vec<Fix> = fixes
        .into_iter()
        .filter(|f| !near(f, 150.0, 210.0))
        .collect();
    for fix in kept.iter_mut().filter(|f| near(f, 280.0, 330.0)) {
        fix.elevation_m = None;
    }
    pass.segments = vec![kept];
    let route = route(vec![pass], &quick());
    assert!(
        says(&route, "no fix was recorded from 1") || says(&route, "no fix was recorded from 2"),
        "{}",
        told(&route)
    );
    assert!(says(&route, "no height was recorded"), "{}", told(&route));
    let filled = route.nodes.iter().filter(|n| !n.surveyed).count();
    assert!((8..25).contains(&filled), "{filled}");
    let heights = &route.heights;
    let at = |s: f64| heights.sd_m[heights.station_m.partition_point(|x| *x < s)];
    assert!((length(&route) - 403.0).abs() < 10.0);
    assert!(at(180.0) >= 0.0);
}

#[test]
fn spikes_and_zeros_do_no_harm() {
    let ground = Ground::straight(300.0);
    let mut pass = passes(&ground, 1, USUAL, 41).remove(0);
    for (i, fix) in pass.segments[0].iter_mut().enumerate() {
        match i % 50 {
            10 => fix.elevation_m = fix.elevation_m.map(|z| z + 40.0),
            20 => fix.lat_deg += 0.001,
            30 => fix.elevation_m = Some(0.0),
            _ => {}
        }
    }
    let again = pass.segments[0][100];
    pass.segments[0].insert(100, again);
    let route = route(vec![pass], &quick());
    assert!(
        says(&route, "fixes with a sudden jump to one side")
            && says(&route, "heights with a sudden jump")
            && says(&route, "1 repeated fix,"),
        "{}",
        told(&route)
    );
    assert!((length(&route) - 302.2).abs() < 8.0, "{}", length(&route));
    assert!((drop_m(&route) - 36.0).abs() < 6.0);
}

#[test]
fn clocks_that_cannot_be_used_are_not() {
    let ground = Ground::straight(300.0);
    for (spoil, words) in [
        (
            (|fixes: &mut Vec<Fix>| fixes.iter_mut().for_each(|f| f.time_s = Some(-2.1e9)))
                as fn(&mut Vec<Fix>),
            "the times cannot be used",
        ),
        (|fixes| fixes.reverse(), "run backwards"),
        (
            |fixes| fixes[50].time_s = Some(0.0),
            "1 fix with a time earlier",
        ),
    ] {
        let mut pass = passes(&ground, 1, USUAL, 51).remove(0);
        spoil(&mut pass.segments[0]);
        let route = route(vec![pass], &quick());
        assert!(says(&route, words), "{words}: {}", told(&route));
        assert!(drop_m(&route) > 25.0 && (length(&route) - 302.0).abs() < 8.0);
    }
}

#[test]
fn walks_on_another_datum_are_brought_together() {
    let ground = Ground::straight(300.0);
    let mut walks = passes(&ground, 2, USUAL, 61);
    for fix in &mut walks[1].segments[0] {
        fix.elevation_m = fix.elevation_m.map(|z| z + 47.0);
    }
    let route = route(walks, &quick());
    assert!(
        says(&route, "The datum or the receiver is different"),
        "{}",
        told(&route)
    );
    assert!((drop_m(&route) - 36.0).abs() < 4.0);
}

#[test]
fn heights_in_feet_are_suspected_against_known_heights() {
    let ground = Ground::straight(300.0);
    let known = |level: f64| KnownHeight {
        at: spot(&ground, level),
        elevation_m: even(level),
        sd_m: 0.02,
    };
    let options = RouteOptions {
        ties: vec![known(0.0), known(300.0)],
        ..quick()
    };
    let mut walks = passes(&ground, 1, USUAL, 71);
    let tied = route(walks.clone(), &options);
    assert!(
        (tied.heights.mean_m[0] - even(0.0)).abs() < 0.6,
        "{}",
        tied.heights.mean_m[0]
    );
    assert!(tied.heights.drop_sd_m < 0.5, "{}", tied.heights.drop_sd_m);
    for fix in &mut walks[0].segments[0] {
        fix.elevation_m = fix.elevation_m.map(|z| z / 0.3048);
    }
    let fault = refusal(walks, &options);
    assert!(fault.to_string().contains("seem to be in feet"), "{fault}");
}

#[test]
fn walks_elsewhere_are_refused_or_left_out_where_the_ends_are_named() {
    let ground = Ground::straight(300.0);
    let mut walks = passes(&ground, 2, USUAL, 91);
    for fix in &mut walks[1].segments[0] {
        fix.lat_deg += 0.02;
    }
    let fault = refusal(walks.clone(), &quick());
    assert!(
        fault.to_string().contains("do not follow the same route"),
        "{fault}"
    );
    let named = RouteOptions {
        intake: Some(spot(&ground, 2.0)),
        turbine: Some(spot(&ground, 298.0)),
        ..quick()
    };
    let route = route(walks, &named);
    assert_eq!(route.passes, 1);
    assert!(
        says(&route, "is not on the route and is not used"),
        "{}",
        told(&route)
    );
}

#[test]
fn pieces_that_carry_each_other_on_are_one_line() {
    let ground = Ground::straight(500.0);
    let mut draws = Rng::new(101);
    let walks = vec![
        walk(&ground, &[0.0, 260.0], USUAL, &mut draws, 0.0),
        walk(&ground, &[250.0, 500.0], USUAL, &mut draws, 900.0),
    ];
    let route = route(walks, &quick());
    assert!((length(&route) - 503.6).abs() < 10.0, "{}", length(&route));
    assert_eq!(route.passes, 1, "each place was walked once");
    assert_eq!(route.heights.walks, 1);
    assert!((drop_m(&route) - 60.0).abs() < 6.0 + 3.0 * route.heights.drop_sd_m);
}

#[test]
fn pegs_rule_the_reckoning_and_the_length() {
    let ground = Ground::straight(400.0);
    let pegged = |sd_m| {
        let peg = |at_m, station_m| Peg {
            at: spot(&ground, at_m),
            station: OnPegs(station_m),
            sd_m,
        };
        let options = RouteOptions {
            pegs: vec![peg(100.0, 103.0), peg(300.0, 309.0)],
            ..quick()
        };
        route(passes(&ground, 2, USUAL, 111), &options)
    };
    let route = pegged(None);
    let (sure, doubtful) = (pegged(Some(0.1)), pegged(Some(20.0)));
    assert!((sure.length_sd_m.powi(2) + 800.0 - 0.02 - doubtful.length_sd_m.powi(2)).abs() < 1e-6);
    assert_eq!(sure.nodes, route.nodes);
    let own: Vec<f64> = route.nodes.iter().map(|n| n.on_pegs.0).collect();
    assert!(own.windows(2).all(|w| w[1] > w[0]));
    let truth = ground.lat_lon(300.0);
    let near = route
        .nodes
        .iter()
        .min_by(|a, b| {
            let off = |n: &steadyfall::route::Node| {
                let (lat, lon) = n.plan.unwrap().lat_lon_deg.unwrap();
                LatLon::new(lat, lon).distance_m(truth)
            };
            off(a).total_cmp(&off(b))
        })
        .unwrap();
    assert!((near.on_pegs.0 - 309.0).abs() < 5.0, "{near:?}");
    assert!((near.station_m - near.on_pegs.0).abs() < 1.0, "{near:?}");
}

#[test]
fn a_levelled_reach_inside_a_walk_rules_there() {
    let ground = Ground::straight(400.0);
    let sheet = "station_m,height_m,sd_m\n0,50.000,0.003\n10,50.600,0.003\n20,49.000,0.003\n40,46.000,0.003\n";
    let options = ReadOptions {
        along_slope: Some(true),
        ..ReadOptions::default()
    };
    let book = survey::read_bytes(sheet.as_bytes(), "reach.csv", None, &options).unwrap();
    let part = SurveyPart {
        readings: vec![book],
        from: Some(at(Spot::Station(OnPegs(200.0)))),
        to: Some(at(Spot::Station(OnPegs(240.0)))),
        replaces: true,
        place: Place::line("site.toml", 12),
    };
    let options = RouteOptions {
        parts: vec![part],
        from: Some(End::Intake),
        stations_used: true,
        ..quick()
    };
    let mut walks = reading(passes(&ground, 2, USUAL, 121));
    walks.remarks.clear();
    let route = Route::from(&[walks], &options).unwrap();
    assert_eq!(route.method, Some(Method::Mixed));
    let rise = |z: &[f64], s: f64| steadyfall_interpolate(&route.heights.station_m, z, s);
    let (low, crest) = (200.0, 210.0);
    let mean = rise(&route.heights.mean_m, crest) - rise(&route.heights.mean_m, low);
    assert!((mean - 0.6).abs() < 0.12, "{mean}");
    let spread: Vec<f64> = route
        .heights
        .draws
        .iter()
        .map(|d| rise(d, crest) - rise(d, low))
        .collect();
    assert!(
        spread.iter().all(|r| (r - 0.6).abs() < 0.25),
        "the levelled climb is in every draw"
    );
}

fn steadyfall_interpolate(at: &[f64], values: &[f64], x: f64) -> f64 {
    let i = at.partition_point(|&s| s < x).clamp(1, at.len() - 1);
    let t = (x - at[i - 1]) / (at[i] - at[i - 1]);
    values[i - 1] + t * (values[i] - values[i - 1])
}

#[test]
fn a_route_drawn_on_a_map_is_taken_as_drawn() {
    let ground = Ground {
        corners: vec![[0.0, 0.0], [200.0, 0.0], [200.0, 150.0]],
        height: even,
    };
    let fixes = [0.0, 90.0, 200.0, 270.0, 350.0].map(|level| {
        let place = ground.lat_lon(level);
        Fix {
            lat_deg: place.lat_deg,
            lon_deg: place.lon_deg,
            elevation_m: Some(even(level)),
            time_s: None,
            dilution: None,
            stated_sd_m: None,
            line: 9,
        }
    });
    let drawn = Pass {
        name: "r".into(),
        segments: vec![fixes.to_vec()],
        drawn: true,
    };
    let route = route(vec![drawn.clone()], &quick());
    assert!(
        (route.nodes.last().unwrap().horizontal_m - 350.0).abs() < 0.5,
        "{}",
        route.nodes.last().unwrap().horizontal_m
    );
    assert!(route.terrain_model && says(&route, "drawn on a map"));
    assert!(
        (route.bends[0].plan_rad - std::f64::consts::FRAC_PI_2).abs() < 0.15,
        "{:?}",
        route.bends
    );
    let both = vec![drawn, passes(&ground, 1, USUAL, 131).remove(0)];
    let walked = super::walks::route(both, &quick());
    assert!(!walked.terrain_model && says(&walked, "there are recorded tracks"));
}

#[test]
fn the_same_input_gives_the_same_route() {
    let ground = Ground::straight(250.0);
    let once = || route(passes(&ground, 2, USUAL, 141), &quick());
    assert_eq!(once(), once());
}

#[test]
fn a_climb_left_by_a_flood_is_found_where_it_is() {
    let ground = Ground {
        height: |level| even(level) + 4.0 * (-((level - 220.0) / 9.0).powi(2)).exp(),
        ..Ground::straight(400.0)
    };
    let fine = |level: f64| (ground.height)(level);
    let metres: Vec<f64> = (0..=400).map(|i| fine(f64::from(i))).collect();
    let crest = (210..235)
        .max_by(|&a, &b| metres[a].total_cmp(&metres[b]))
        .unwrap() as f64;
    let route = route(passes(&ground, 4, USUAL, 151), &quick());
    let judged = profile::judge(
        &route.heights,
        &[Bore {
            to_m: 1e4,
            bore_m: 0.08,
        }],
    );
    let sure: Vec<_> = judged
        .climbs
        .iter()
        .filter(|c| c.verdict == ClimbVerdict::Climbs)
        .collect();
    assert_eq!(sure.len(), 1, "{:?}", judged.climbs);
    assert!(
        (sure[0].crest_station_m - crest).abs() < 15.0,
        "{:?} for {crest}",
        sure[0]
    );
    assert!(
        sure[0].rise_m > 0.8 && sure[0].rise_m < 4.0,
        "{:?}",
        sure[0]
    );
}

#[test]
fn no_fixes_however_odd_make_it_panic() {
    let mut draws = Rng::new(20_261_125);
    let (mut routes, mut refusals) = (0, 0);
    for round in 0..80 {
        let count = 1 + draws.below(3);
        let walks: Vec<Pass> = (0..count).map(|_| odd_walk(&mut draws)).collect();
        let mut options = quick();
        options.heights.draws = Some(40);
        if draws.below(2) == 0 {
            options.from = Some(End::Intake);
        }
        if draws.below(4) == 0 {
            options.intake = Some(at(Spot::Station(OnPegs(draws.between(-10.0, 300.0)))));
            options.turbine = Some(at(Spot::Position {
                lat_deg: 46.43,
                lon_deg: 8.21 + draws.between(-0.003, 0.003),
            }));
        }
        match Route::from(&[reading(walks)], &options) {
            Ok(route) => {
                routes += 1;
                let stations: Vec<f64> = route.nodes.iter().map(|n| n.station_m).collect();
                assert!(stations.len() > 1 && stations[0] == 0.0, "round {round}");
                assert!(stations.windows(2).all(|w| w[1] > w[0]), "round {round}");
                assert!(
                    route
                        .heights
                        .mean_m
                        .iter()
                        .chain(&route.heights.sd_m)
                        .all(|z| z.is_finite()),
                    "round {round}"
                );
                assert!(
                    route.length_sd_m.is_finite() && route.station_sd_m.is_finite(),
                    "round {round}"
                );
                let placed = |n: &steadyfall::route::Node| {
                    let (lat, lon) = n.plan.unwrap().lat_lon_deg.unwrap();
                    lat.abs() <= 90.0 && lon.abs() <= 180.0 && n.horizontal_m.is_finite()
                };
                assert!(route.nodes.iter().all(placed), "round {round}");
            }
            Err(fault) => {
                refusals += 1;
                assert!(
                    fault.place.line.is_some() && fault.advice.is_some(),
                    "round {round}: {fault}"
                );
            }
        }
    }
    assert!(
        routes > 10 && refusals > 10,
        "{routes} routes, {refusals} refusals"
    );
}

/// A walk of a few fixes that nobody would take: jumps, standing clocks, lacking heights, the date line.
fn odd_walk(draws: &mut Rng) -> Pass {
    let segments = (0..1 + draws.below(3))
        .map(|_| {
            let (mut lat, mut lon) = (46.43, 8.21);
            if draws.below(8) == 0 {
                (lat, lon) = (draws.between(-89.9, 89.9), 180.0);
            }
            let stride = [0.0, 1e-6, 1e-5, 1e-4, 1e-3][draws.below(5)];
            let (north, east) = (draws.normal(), draws.normal());
            let mut time_s = draws.between(0.0, 1e9);
            (0..draws.below(60))
                .map(|i| {
                    lat = (lat + stride * (north + draws.normal())).clamp(-90.0, 90.0);
                    lon += stride * (east + draws.normal());
                    if lon > 180.0 {
                        lon -= 360.0;
                    }
                    time_s += [0.0, 1.0, 3.0, -5.0, 400.0][draws.below(5)];
                    Fix {
                        lat_deg: lat,
                        lon_deg: lon.clamp(-180.0, 180.0),
                        elevation_m: (draws.below(6) > 0)
                            .then(|| 900.0 - f64::from(i as u32) * draws.between(0.0, 2.0)),
                        time_s: (draws.below(9) > 0).then_some(time_s),
                        dilution: (draws.below(3) == 0).then_some(draws.uniform() as f32 * 20.0),
                        stated_sd_m: None,
                        line: i as u32 + 4,
                    }
                })
                .collect()
        })
        .collect();
    Pass {
        name: "odd".into(),
        segments,
        drawn: draws.below(6) == 0,
    }
}
