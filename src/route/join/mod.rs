//! A line put together from parts of different kinds.

mod chain;
mod count;
mod piece;
mod survey_reach;

use super::options::{End, RouteOptions, Spot, SurveyPart};
use super::{Route, book};
use crate::reading::{Data, Method, Reading};
use crate::text::{Fault, Remark, Sentence};
use crate::unit::OnPegs;
use chain::chain;
use piece::RoutePiece;
use survey_reach::{SLACK, SLACK_M, reach};

/// A line from parts alone, in order, or of a book into which parts are laid.
///
/// Parts are chained: each is brought to the end of the one before it, draw by draw, so that a climb across the joint keeps its doubt.
/// Heights stand in the datum of the first part that hangs on a known height, else of the first walk, else of the first part.
pub(super) fn joined(readings: &[Reading], options: &RouteOptions) -> Result<Route, Fault> {
    let mut pieces = Vec::new();
    if readings.is_empty() {
        for part in &options.parts {
            pieces.push(of_part(part, options)?);
        }
        let mut parts: Vec<&SurveyPart> = options.parts.iter().collect();
        if options.from == Some(End::Turbine) {
            pieces.reverse();
            parts.reverse();
        }
        count::count_on(&mut pieces, &parts, options.stations_used)?;
    } else {
        let plain = RouteOptions {
            parts: Vec::new(),
            ties: Vec::new(),
            intake: None,
            turbine: None,
            pegs: Vec::new(),
            ..options.clone()
        };
        let base = RoutePiece {
            route: alone(readings, &plain)?,
            rank: rank(readings),
        };
        // A part is booked the way its line is: from the powerhouse up where the line was turned.
        let (first, last) = base.own_ends_m();
        let as_base = RouteOptions {
            from: Some(if last < first {
                End::Turbine
            } else {
                End::Intake
            }),
            ..options.clone()
        };
        pieces.push(base);
        for part in &options.parts {
            lay_in(&mut pieces, part, &as_base)?;
        }
    }
    let mut route = chain(&pieces);
    if options.from == Some(End::Turbine) && readings.is_empty() {
        route.reversed = true;
    }
    for peg in &options.pegs {
        route.remarks.push(Remark::new(
            peg.at.place.clone(),
            "pegs are not used on a route made of parts. Give the stations of each part",
        ));
    }
    piece::hold(&mut route, options)?;
    piece::trim(route, options)
}

/// One part by itself, or the base of a line.
fn alone(readings: &[Reading], options: &RouteOptions) -> Result<Route, Fault> {
    if readings.iter().any(|r| matches!(r.data, Data::Walks(_))) {
        super::walked::walked(readings, options)
    } else {
        book::booked(readings, options)
    }
}

/// How well a survey's datum is known: a known height, a receiver's, none.
fn rank(readings: &[Reading]) -> u8 {
    readings
        .iter()
        .map(|r| match &r.data {
            Data::Book(book) if book.tied && r.method != Method::Points => 2,
            Data::Walks(_) | Data::Book(_)
                if r.method == Method::Gpx || r.method == Method::Points =>
            {
                1
            }
            _ => 0,
        })
        .max()
        .unwrap_or(0)
}

/// A part as a piece of the line, cut to its reach.
fn of_part(part: &SurveyPart, options: &RouteOptions) -> Result<RoutePiece, Fault> {
    let own = RouteOptions {
        from: Some(options.from.unwrap_or(End::Intake)),
        along_slope: options.along_slope,
        heights: options.heights.clone(),
        ..RouteOptions::default()
    };
    let route = alone(&part.readings, &own)?;
    let rank = rank(&part.readings);
    let station = |at: &Option<super::WrittenSpot>| -> Result<Option<f64>, Fault> {
        at.as_ref()
            .map(|at| match &at.spot {
                Spot::Station(s) => Ok(s.0),
                _ => piece::on_pegs(&route, at).map(|s| s.0),
            })
            .transpose()
    };
    let (from, to) = (station(&part.from)?, station(&part.to)?);
    let piece = RoutePiece { route, rank };
    let (low, high) = piece.own_reach_m();
    let length = high - low;
    match (from, to) {
        (Some(from), Some(to)) => {
            // pegs that count up the hill fall along the part
            let (a, b) = (from.min(to), from.max(to));
            let wanted = b - a;
            if (length - wanted).abs() <= SLACK_M.min(0.5 * wanted) + SLACK * wanted {
                return Ok(piece.begin_at(a));
            }
            if wanted > 0.0 && a >= low - SLACK_M && b <= high + SLACK_M {
                return Ok(piece.cut(a, b));
            }
            Err(Fault::new(
                part.place.clone(),
                "the length of this part does not agree with `from` and `to`",
            )
            .found(reach(
                Sentence::default()
                    .length(length, 0)
                    .words(" surveyed, from station "),
                (low, high),
                0,
            ))
            .expected(reach(
                Sentence::from("about ")
                    .length(wanted, 0)
                    .words(", or stations from "),
                (a, b),
                0,
            ))
            .advice("check `from` and `to` of the part, and the stations in its file"))
        }
        (Some(a), None) => Ok(piece.begin_at(a)),
        (None, Some(b)) if b > low + 1e-6 && b < high - SLACK_M => Ok(piece.cut(low, b)),
        _ => Ok(piece),
    }
}

/// Lays a part into the pieces of a line: what lies in its reach gives way.
fn lay_in(
    pieces: &mut Vec<RoutePiece>,
    part: &SurveyPart,
    options: &RouteOptions,
) -> Result<(), Fault> {
    if !part.replaces {
        pieces.push(of_part(part, options)?);
        return Ok(());
    }
    let mut laid = of_part(part, options)?;
    let (mut a, mut b) = laid.own_reach_m();
    let said = |at: &Option<super::WrittenSpot>| match at.as_ref().map(|at| &at.spot) {
        Some(Spot::Station(OnPegs(s))) => Some(*s),
        _ => None,
    };
    // where one end is said the part ends there; which of its ends that is depends on how the pegs count
    match (said(&part.from), said(&part.to)) {
        (Some(from), Some(to)) => b = from.max(to),
        (None, Some(to)) if to < a => a = to,
        (None, Some(to)) => b = to,
        _ => {}
    }
    let Some(host) = pieces.iter().position(|p| {
        let (low, high) = p.own_reach_m();
        a >= low - SLACK_M && b <= high + SLACK_M
    }) else {
        return Err(Fault::new(
            part.place.clone(),
            "this part is outside the surveyed route",
        )
        .found(reach("stations ".into(), (a, b), 1))
        .expected("stations on the surveyed route")
        .advice("check `from` and `to` of the part"));
    };
    let base = pieces.remove(host);
    laid.route.remarks.push(Remark::new(
        part.place.clone(),
        reach("from ".into(), (a, b), 1)
            .words(" this part replaces the other survey. The route below it continues from the end of this part"),
    ));
    let (low, high) = base.own_reach_m();
    let (first, last) = base.own_ends_m();
    let under = (a - low > 1e-6).then(|| base.cut(low, a));
    let over = (high - b > 1e-6).then(|| base.cut(b, high));
    let (before, after) = if last < first {
        (over, under)
    } else {
        (under, over)
    };
    for piece in [after, Some(laid), before].into_iter().flatten() {
        pieces.insert(host, piece);
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reading::{Book, BookPoint};
    use crate::route::{KnownHeight, WrittenSpot};
    use crate::text::Place;

    fn place() -> Place {
        Place::line("site.toml", 9)
    }

    fn at(station: f64) -> Option<WrittenSpot> {
        Some(WrittenSpot {
            spot: Spot::Station(OnPegs(station)),
            place: place(),
        })
    }

    fn book(points: &[(f64, f64)], sd_m: f64, tied: bool, method: Method) -> Reading {
        let points: Vec<BookPoint> = points
            .iter()
            .map(|&(s, z)| BookPoint {
                station_m: Some(s),
                height_m: Some(z),
                sd_m,
                ..BookPoint::default()
            })
            .collect();
        Reading {
            method,
            file: format!("{method:?}.csv"),
            source: Default::default(),
            points_read: points.len(),
            data: Data::Book(Book {
                points,
                along_slope: Some(true),
                tied,
                ..Book::default()
            }),
            places: Vec::new(),
            remarks: Vec::new(),
        }
    }

    fn part(
        reading: Reading,
        from: Option<WrittenSpot>,
        to: Option<WrittenSpot>,
        replaces: bool,
    ) -> SurveyPart {
        SurveyPart {
            readings: vec![reading],
            from,
            to,
            replaces,
            place: place(),
        }
    }

    #[test]
    fn parts_follow_each_other_in_the_datum_that_is_known() {
        let local = book(&[(0.0, 50.0), (100.0, 30.0)], 0.5, false, Method::Angle);
        let known = book(
            &[(0.0, 400.0), (40.0, 401.0), (80.0, 390.0)],
            0.002,
            true,
            Method::Level,
        );
        let options = RouteOptions {
            parts: vec![
                part(local, None, None, false),
                part(known, at(100.0), None, false),
            ],
            ..RouteOptions::default()
        };
        let route = joined(&[], &options).unwrap();
        let stations: Vec<f64> = route.nodes.iter().map(|n| n.station_m).collect();
        assert_eq!(stations, [0.0, 100.0, 140.0, 180.0]);
        let own: Vec<f64> = route.nodes.iter().map(|n| n.on_pegs.0).collect();
        assert_eq!(own, [0.0, 100.0, 140.0, 180.0]);
        assert_eq!(route.heights.mean_m, [420.0, 400.0, 401.0, 390.0]);
        assert_eq!(route.method, Some(Method::Mixed));
        // The levelled climb of 1 m keeps its millimetres though the taped reach above it is poor.
        let rises: Vec<f64> = route.heights.draws.iter().map(|d| d[2] - d[1]).collect();
        assert!(piece::spread(&rises) < 0.004);
        assert!(
            route.heights.sd_m[0] > 0.5 && route.heights.sd_m[3] < 0.01,
            "{:?}",
            route.heights.sd_m
        );
    }

    #[test]
    fn a_part_that_replaces_rules_in_its_reach() {
        let base = book(
            &[(0.0, 100.0), (50.0, 90.0), (100.0, 80.0), (150.0, 70.0)],
            0.3,
            true,
            Method::Angle,
        );
        let reach = book(
            &[(0.0, 10.0), (20.0, 10.5), (40.0, 3.0)],
            0.002,
            false,
            Method::Level,
        );
        let options = RouteOptions {
            parts: vec![part(reach, at(50.0), at(90.0), true)],
            ..RouteOptions::default()
        };
        let route = joined(&[base], &options).unwrap();
        let own: Vec<f64> = route.nodes.iter().map(|n| n.on_pegs.0).collect();
        assert_eq!(own, [0.0, 50.0, 70.0, 90.0, 100.0, 150.0]);
        let z = &route.heights.mean_m;
        assert!(
            (z[2] - z[1] - 0.5).abs() < 1e-9 && (z[1] - 90.0).abs() < 1e-9,
            "{z:?}"
        );
        assert!((z[5] - (83.0 - 12.0)).abs() < 1e-9, "{z:?}");
        assert!(
            route
                .remarks
                .iter()
                .any(|r| r.text.contains("this part replaces"))
        );
    }

    #[test]
    fn a_part_rules_in_its_reach_of_a_line_that_counts_from_the_powerhouse_too() {
        let up = |z: &[(f64, f64)], sd| book(z, sd, true, Method::Angle);
        let base = up(
            &[(0.0, 70.0), (50.0, 80.0), (100.0, 90.0), (150.0, 100.0)],
            0.3,
        );
        for (counts_from, reach) in [
            (50.0, [(50.0, 3.0), (70.0, 10.5), (90.0, 10.0)]),
            (0.0, [(0.0, 3.0), (20.0, 10.5), (40.0, 10.0)]),
        ] {
            let options = RouteOptions {
                parts: vec![part(up(&reach, 0.002), at(50.0), at(90.0), true)],
                ..RouteOptions::default()
            };
            let route = joined(std::slice::from_ref(&base), &options).unwrap();
            let own: Vec<f64> = route.nodes.iter().map(|n| n.on_pegs.0).collect();
            assert_eq!(own, [150.0, 100.0, 90.0, 70.0, 50.0, 0.0], "{counts_from}");
            let z = &route.heights.mean_m;
            assert!(
                (z[3] - z[2] - 0.5).abs() < 1e-9 && z[0] - z[5] > 20.0,
                "{z:?}"
            );
            assert!((route.nodes[5].station_m - 150.0).abs() < 1e-6);
        }
    }

    #[test]
    fn known_heights_and_ends() {
        let base = book(&[(0.0, 100.0), (50.0, 90.0)], 0.3, true, Method::Angle);
        let next = book(&[(0.0, 5.0), (60.0, 0.0)], 0.002, false, Method::Level);
        let options = RouteOptions {
            parts: vec![
                part(base, None, None, false),
                part(next, at(50.0), None, false),
            ],
            ties: vec![KnownHeight {
                at: at(50.0).unwrap(),
                elevation_m: 250.0,
                sd_m: 0.01,
            }],
            intake: at(10.0),
            turbine: at(100.0),
            ..RouteOptions::default()
        };
        let route = joined(&[], &options).unwrap();
        assert!((route.heights.at(40.0) - 250.0).abs() < 1e-9);
        assert!((route.nodes.last().unwrap().station_m - 90.0).abs() < 1e-9);
        assert!((route.nodes[0].on_pegs.0 - 10.0).abs() < 1e-9);
        assert!(route.heights.sd_m[1] < 0.02);
    }

    #[test]
    fn a_part_that_does_not_fit_is_refused() {
        let short = book(&[(0.0, 5.0), (60.0, 0.0)], 0.002, false, Method::Level);
        let options = RouteOptions {
            parts: vec![part(short, at(100.0), at(300.0), false)],
            ..RouteOptions::default()
        };
        let fault = joined(&[], &options).unwrap_err();
        assert!(
            fault
                .to_string()
                .starts_with("site.toml:9: the length of this part does not agree"),
            "{fault}"
        );
    }
}
