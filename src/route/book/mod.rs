//! A reduced book of points to a route: the surveyed points are its nodes, exactly.

mod course;
mod doubt;
mod look;
mod node;
mod noise;
mod row;
mod tie;
mod witness;

use super::bend;
use super::heights::{self, BookNode};
use super::ladder::{Ladder, slope_stations};
use super::options::{At, End, RouteOptions};
use super::track::interpolate;
use super::{Route, StationedPlace, peg, spot};
use crate::survey::{Book, Data, Method, Misclosure, Reading};
use crate::text::{Fault, Place, Remark, Sentence};
use course::Course;
use look::Look;

/// Draws of a book's heights where the user does not say.
const DRAWS: usize = 1000;

/// One line from the points of a book.
pub(super) fn booked(readings: &[Reading], options: &RouteOptions) -> Result<Route, Fault> {
    let mut remarks: Vec<Remark> = readings
        .iter()
        .flat_map(|r| r.remarks.iter().cloned())
        .collect();
    let (book, method, file) = one_book(readings)?;
    let mut course = Course::new(&book, options.along_slope, &file)?;
    remarks.append(&mut course.remarks);
    let points_used = course.rows.len();
    course.points_have_plan();
    let reversed = turn(&mut course, readings, options, &mut remarks)?;
    let mut ladder = Ladder::new(
        course.level_m.clone(),
        course.level_m.clone(),
        &course.heights_m(),
    );
    ladder.own_m = course.own_m();
    let look = Look {
        course: &course,
        readings,
    };
    let pegged = peg::lay(&mut ladder, &options.pegs, |at| look.foot(at))?;
    let plan_of = |at: &At| look.plan_of(at, &ladder);
    let whole = course.level_m.last().copied().unwrap_or(0.0);
    let from = options.intake.as_ref().map_or(Ok(0.0), &plan_of)?;
    let to = options.turbine.as_ref().map_or(Ok(whole), &plan_of)?;
    let least = 1e-3 * whole;
    if to - from < least {
        return Err(spot::no_pipe_between(
            options,
            Place::file(&file),
            (to - from, least),
        ));
    }
    let mut ties = Vec::new();
    for tie in &options.ties {
        ties.push(tie::Known {
            level_m: plan_of(&tie.at)?,
            height_m: tie.elevation_m,
            sd_m: tie.sd_m,
            place: tie.at.place.clone(),
        });
    }
    let places = look.places(from, to);
    let own_of = |level: f64| ladder.own_of_plan(level);
    let conditioned = tie::condition(&course, &ties, book.tied);
    remarks.extend(conditioned.remarks);
    let mut course =
        course.with_heights(conditioned.heights_m, conditioned.sd_m, conditioned.factors);
    course.cut(from, to);
    let own_m: Vec<f64> = course.level_m.iter().map(|&l| own_of(l)).collect();
    let heights_m = course.heights_m();
    noise::refuse(&file, &heights_m)?;
    let mut level_m: Vec<f64> = course.level_m.iter().map(|l| l - from).collect();
    let mut slope_m = slope_stations(&level_m, &heights_m);
    if pegged {
        peg::stretch(&mut slope_m, &mut level_m, &own_m);
    }
    let nodes = node::nodes(&course, &slope_m, &level_m, &own_m);
    let points: Vec<BookNode> = course
        .rows
        .iter()
        .zip(&slope_m)
        .map(|(row, &station_m)| BookNode {
            station_m,
            height_m: row.height_m,
            sd_m: row.sd_m,
        })
        .collect();
    let draws = options.heights.draws.unwrap_or(DRAWS);
    let heights = heights::booked(&points, &course.factors, draws, options.heights.seed);
    let length = slope_m.last().copied().unwrap_or(0.0);
    let length_sd_m = course.length_sd_m(&book, length);
    let witnesses = vec![witness::of(&course, &points, course.plan_sd_m(method))];
    let bends = bend::of_points(&nodes, &heights, course.plan_sd_m(method));
    let places = places
        .into_iter()
        .map(|(name, level, off_m)| StationedPlace {
            name,
            station_m: interpolate(&level_m, &slope_m, level - from),
            off_m,
        })
        .collect();
    Ok(Route {
        followed: Vec::new(),
        nodes,
        heights,
        bends,
        length_sd_m,
        station_sd_m: length_sd_m,
        method: Some(method),
        points_read: readings.iter().map(|r| r.points_read).sum(),
        points_used,
        passes: 0,
        reversed,
        misclosure: book.misclosure,
        places,
        terrain_model: false,
        tied: book.tied || !ties.is_empty(),
        unrecorded: Vec::new(),
        witnesses,
        remarks,
    })
}

/// The book of the survey; several books that follow each other along the line become one.
fn one_book(readings: &[Reading]) -> Result<(Book, Method, String), Fault> {
    let mut all = readings.iter().filter_map(|r| match &r.data {
        Data::Book(book) => Some((book, r)),
        Data::Walks(_) => None,
    });
    let Some((first, reading)) = all.next() else {
        return Err(Fault::new(Place::file(""), "nothing was surveyed")
            .expected("a survey file")
            .advice("name the files of the survey under [survey] files"));
    };
    let mut book = first.clone();
    let mut method = reading.method;
    for (next, other) in all {
        book = row::follow(book, next, &other.file)?;
        if other.method != method {
            method = Method::Mixed;
        }
    }
    let worst = |a: Option<Misclosure>, b: Option<Misclosure>| match (a, b) {
        (Some(a), Some(b)) if b.found_m.abs() > a.found_m.abs() => Some(b),
        (a, b) => a.or(b),
    };
    for reading in readings {
        if let Data::Book(b) = &reading.data {
            book.misclosure = worst(book.misclosure, b.misclosure);
        }
    }
    Ok((book, method, reading.file.clone()))
}

/// Turns the course where it runs uphill from the turbine.
fn turn(
    course: &mut Course,
    readings: &[Reading],
    options: &RouteOptions,
    remarks: &mut Vec<Remark>,
) -> Result<bool, Fault> {
    let (drop, sd) = course.drop_m();
    let certain = drop.abs() > 3.0 * sd;
    let look = Look { course, readings };
    let ends = [&options.intake, &options.turbine]
        .map(|at| at.as_ref().map(|at| look.end(at)).transpose());
    let [intake, turbine] = ends;
    let said = match (intake?.flatten(), turbine?.flatten()) {
        (Some(intake), Some(turbine)) => Some(turbine < intake),
        _ => options.from.map(|from| from == End::Turbine),
    };
    let place = course
        .rows
        .first()
        .map_or_else(Place::default, |r| r.place.clone());
    let ask =
        |why: Sentence| {
            Err(Fault::new(place.clone(), "which end is the intake is not certain")
            .found(why)
            .expected("from = \"intake\" or from = \"turbine\": which end comes first in the file")
            .advice("add the key `from` under [survey]"))
        };
    let turned = match said {
        Some(turned) => turned,
        None if certain && drop > 0.0 => false,
        None if options.stations_used => {
            return ask(if certain {
                "stations are used and the book runs uphill".into()
            } else {
                Sentence::from("stations are used and the ends differ by ")
                    .length(drop.abs(), 2)
                    .words(" only")
            });
        }
        None if certain => {
            remarks.push(Remark::new(
                place,
                "the book runs uphill: it was turned, so that the line runs from the intake down",
            ));
            true
        }
        None => {
            remarks.push(Remark::new(
                place,
                "the ends differ by too little to tell the intake: the first point is taken as the intake's end",
            ));
            false
        }
    };
    if turned {
        course.turn();
    } else if said.is_some() && certain && drop < 0.0 {
        remarks.push(Remark::new(
            course
                .rows
                .first()
                .map_or_else(Place::default, |r| r.place.clone()),
            Sentence::from("as declared, the line ends ")
                .length(-drop, 2)
                .words(" higher than it begins: look at `from`"),
        ));
    }
    Ok(turned)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::numeric::math;
    use crate::route::{KnownHeight, Peg, Spot};
    use crate::survey::{BookPoint, Position};
    use crate::unit::OnPegs;

    fn place(line: u32) -> Place {
        Place::line("book.csv", line)
    }

    fn at(spot: Spot) -> At {
        At {
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
                .starts_with("book.csv:3: the height changes"),
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
        assert!(
            (route.heights.sd_m[2] - math::hypot(math::hypot(0.1f64, 0.01), 0.01)).abs() < 0.002
        );
    }

    #[test]
    fn pegs_rule_the_reckoning() {
        let options = RouteOptions {
            pegs: vec![Peg {
                at: at(Spot::Name("P2".into())),
                station: OnPegs(102.0),
            }],
            ..RouteOptions::default()
        };
        let route = booked(
            &[reading(&[(0.0, 10.0), (50.0, 5.0), (100.0, 0.0)])],
            &options,
        )
        .unwrap();
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
                .starts_with("site.toml:3: no place of that name"),
            "{fault}"
        );
        let near = RouteOptions {
            intake: Some(at(Spot::Name("P1.".into()))),
            ..RouteOptions::default()
        };
        let fault = booked(&[reading(&[(0.0, 10.0), (50.0, 5.0)])], &near).unwrap_err();
        assert!(fault.to_string().contains("did you mean \"P1\""), "{fault}");
    }
}
