use super::*;
use crate::numeric::math;
use crate::reading::{BookPoint, Position};
use crate::route::{KnownHeight, Peg, Spot};
use crate::unit::OnPegs;

fn place(line: u32) -> Place {
    Place::line("book.csv", line)
}

fn at(spot: Spot) -> WrittenSpot {
    WrittenSpot {
        spot,
        place: Place::line("site.toml", 3),
    }
}

fn reading(points: &[(f64, f64)]) -> Reading {
    let points: Vec<BookPoint> = points
        .iter()
        .enumerate()
        .map(|(i, &(s, z))| BookPoint {
            station_m: Some(s),
            height_m: Some(z),
            sd_m: 0.01,
            name: format!("P{i}"),
            place: place(i as u32 + 2),
            ..BookPoint::default()
        })
        .collect();
    Reading {
        method: Method::Points,
        file: "book.csv".into(),
        source: Default::default(),
        points_read: points.len(),
        data: Data::Book(Book {
            points,
            along_slope: Some(true),
            station_sd_share: 0.002,
            tied: true,
            ..Book::default()
        }),
        places: Vec::new(),
        remarks: Vec::new(),
    }
}

fn book_of(reading: &mut Reading) -> &mut Book {
    match &mut reading.data {
        Data::Book(book) => book,
        Data::Walks(_) => unreachable!("made as a book above"),
    }
}

#[test]
fn points_are_kept_exactly() {
    let points = [(0.0, 100.0), (50.0, 90.0), (90.5, 95.0), (170.0, 80.0)];
    let route = booked(&[reading(&points)], &RouteOptions::default()).unwrap();
    for (node, (s, _)) in route.nodes.iter().zip(points) {
        assert!((node.station_m - s).abs() < 1e-9);
        assert!((node.on_pegs.0 - s).abs() < 1e-9);
        assert!(node.surveyed);
    }
    assert_eq!(route.heights.mean_m, [100.0, 90.0, 95.0, 80.0]);
    assert!((route.nodes[1].horizontal_m - 2400.0f64.sqrt()).abs() < 1e-9);
    assert_eq!(route.passes, 0);
    assert!((route.length_sd_m - 0.34).abs() < 1e-9);
}

#[test]
fn distances_taken_level_make_a_longer_pipe() {
    let options = RouteOptions {
        along_slope: Some(false),
        ..RouteOptions::default()
    };
    let route = booked(&[reading(&[(0.0, 30.0), (40.0, 0.0)])], &options).unwrap();
    assert!((route.nodes[1].station_m - 50.0).abs() < 1e-9);
    assert!((route.nodes[1].horizontal_m - 40.0).abs() < 1e-9);
}

#[test]
fn a_steep_line_must_say_how_it_was_taped() {
    let mut steep = reading(&[(0.0, 30.0), (40.0, 0.0)]);
    book_of(&mut steep).along_slope = None;
    let fault = booked(&[steep], &RouteOptions::default()).unwrap_err();
    assert!(fault.to_string().contains("taped"), "{fault}");
    let mut gentle = reading(&[(0.0, 3.0), (40.0, 0.0)]);
    book_of(&mut gentle).along_slope = None;
    assert!(booked(&[gentle], &RouteOptions::default()).is_ok());
    let cliff = reading(&[(0.0, 30.0), (20.0, 0.0)]);
    let fault = booked(&[cliff], &RouteOptions::default()).unwrap_err();
    assert!(
        fault
            .to_string()
            .starts_with("book.csv:3: the change of height is larger"),
        "{fault}"
    );
}

#[test]
fn a_book_that_runs_uphill_is_turned_only_without_stations() {
    let uphill = || reading(&[(0.0, 80.0), (60.0, 90.0), (130.0, 110.0)]);
    let route = booked(&[uphill()], &RouteOptions::default()).unwrap();
    assert!(route.reversed);
    assert_eq!(route.heights.mean_m, [110.0, 90.0, 80.0]);
    assert!((route.nodes[0].on_pegs.0 - 130.0).abs() < 1e-9);
    assert!((route.nodes[1].station_m - 70.0).abs() < 1e-9);
    let options = RouteOptions {
        stations_used: true,
        ..RouteOptions::default()
    };
    let fault = booked(&[uphill()], &options).unwrap_err();
    assert!(fault.to_string().contains("from"), "{fault}");
    let said = RouteOptions {
        from: Some(End::Intake),
        ..options
    };
    assert!(!booked(&[uphill()], &said).unwrap().reversed);
}

#[test]
fn ends_are_cut_at_names_and_stations() {
    let points = [(0.0, 100.0), (50.0, 90.0), (100.0, 85.0), (170.0, 60.0)];
    let options = RouteOptions {
        intake: Some(at(Spot::Name("p1".into()))),
        turbine: Some(at(Spot::Station(OnPegs(135.0)))),
        ..RouteOptions::default()
    };
    let route = booked(&[reading(&points)], &options).unwrap();
    assert_eq!(route.nodes.len(), 3);
    assert!((route.nodes[0].on_pegs.0 - 50.0).abs() < 1e-9);
    assert!((route.heights.mean_m[2] - 72.5).abs() < 1e-9);
    assert!(!route.nodes[2].surveyed);
    assert!((route.nodes[2].station_m - 85.0).abs() < 1e-6);
}

#[test]
fn known_heights_hold_a_local_book() {
    let mut local = reading(&[(0.0, 10.0), (50.0, 5.0), (100.0, 0.0)]);
    book_of(&mut local).tied = false;
    book_of(&mut local).factors = vec![vec![0.0, 0.1, 0.2]];
    let tie = |s: f64, elevation_m: f64| KnownHeight {
        at: at(Spot::Station(OnPegs(s))),
        elevation_m,
        sd_m: 0.001,
    };
    let options = RouteOptions {
        ties: vec![tie(0.0, 410.0), tie(100.0, 400.1)],
        ..RouteOptions::default()
    };
    let route = booked(&[local.clone()], &options).unwrap();
    let z = &route.heights.mean_m;
    assert!(
        (z[0] - 410.0).abs() < 0.002 && (z[2] - 400.1).abs() < 0.002,
        "{z:?}"
    );
    // The drift of the book is shared out by its own errors: half of it at the middle.
    assert!((z[1] - 405.05).abs() < 0.003, "{z:?}");
    assert!(
        route.heights.sd_m[0] < 0.002 && route.heights.sd_m[1] < 0.02,
        "{:?}",
        route.heights.sd_m
    );
    let one = RouteOptions {
        ties: vec![tie(50.0, 300.0)],
        ..RouteOptions::default()
    };
    let route = booked(&[local], &one).unwrap();
    assert!((route.heights.mean_m[0] - 305.0).abs() < 0.01);
    assert!((route.heights.sd_m[2] - math::hypot(math::hypot(0.1f64, 0.01), 0.01)).abs() < 0.002);
}

#[test]
fn pegs_rule_the_reckoning() {
    let peg = |name: &str, station_m, sd_m| Peg {
        at: at(Spot::Name(name.into())),
        station: OnPegs(station_m),
        sd_m,
    };
    let route = |pegs: Vec<Peg>| {
        let options = RouteOptions {
            pegs,
            ..RouteOptions::default()
        };
        let read = reading(&[(0.0, 10.0), (50.0, 5.0), (100.0, 0.0)]);
        booked(&[read], &options).unwrap()
    };
    let told = |sd_m| vec![peg("P1", 51.0, sd_m), peg("P2", 102.0, sd_m)];
    let (without, with) = (route(told(None)), route(told(Some(0.03))));
    // a tape's 2 in 1,000 on the whole length; on the 50 m above the pegs alone, beside the pegs' own doubt
    assert!((without.length_sd_m - 0.204).abs() < 1e-9);
    assert!((with.length_sd_m - 0.0118_f64.sqrt()).abs() < 1e-6);
    assert_eq!(with.nodes, without.nodes);
    let route = route(vec![peg("P2", 102.0, None)]);
    assert!((route.nodes[2].on_pegs.0 - 102.0).abs() < 1e-9);
    assert!((route.nodes[2].station_m - 102.0).abs() < 1e-9);
}

#[test]
fn positions_make_stations_and_bends() {
    let mut grid = reading(&[(0.0, 100.0), (0.0, 90.0), (0.0, 80.0)]);
    let corners = [(0.0, 0.0), (60.0, 0.0), (60.0, 80.0)];
    for (point, (east_m, north_m)) in book_of(&mut grid).points.iter_mut().zip(corners) {
        point.station_m = None;
        point.position = Some(Position::Grid { east_m, north_m });
    }
    let route = booked(&[grid], &RouteOptions::default()).unwrap();
    assert!((route.nodes[1].station_m - 3700.0f64.sqrt()).abs() < 1e-9);
    assert!((route.nodes[2].horizontal_m - 140.0).abs() < 1e-9);
    assert_eq!(route.bends.len(), 1);
    assert!((route.bends[0].plan_rad - std::f64::consts::FRAC_PI_2).abs() < 1e-9);
    assert!(route.bends[0].over_m == 0.0);
}

#[test]
fn a_name_that_is_not_there_is_told() {
    let options = RouteOptions {
        intake: Some(at(Spot::Name("weir".into()))),
        ..RouteOptions::default()
    };
    let fault = booked(&[reading(&[(0.0, 10.0), (50.0, 5.0)])], &options).unwrap_err();
    assert!(
        fault
            .to_string()
            .starts_with("site.toml:3: the survey has no place with this name"),
        "{fault}"
    );
    let near = RouteOptions {
        intake: Some(at(Spot::Name("P1.".into()))),
        ..RouteOptions::default()
    };
    let fault = booked(&[reading(&[(0.0, 10.0), (50.0, 5.0)])], &near).unwrap_err();
    assert!(fault.to_string().contains("did you mean \"P1\""), "{fault}");
}
