//! How the pegs of chained parts count on.

use super::piece::RoutePiece;
use super::survey_reach::{SLACK, SLACK_M};
use crate::reading::Data;
use crate::route::options::SurveyPart;
use crate::text::{Fault, Remark, Sentence};

/// Pegs of two parts that meet may overlap by this much, m: an end that two books each measured.
const MEETS_M: f64 = 2.0;

/// Makes the pegs of chained parts one count, so that no station on them is two places. `parts` and `pieces` stand in order from the intake.
///
/// A walk has no pegs and counts on. So does a book that begins its count again without saying where, and a remark says so; where the site file names stations, nobody can tell which of the two places they mean, and it is refused.
pub(super) fn count_on(
    pieces: &mut [RoutePiece],
    parts: &[&SurveyPart],
    stations_used: bool,
) -> Result<(), Fault> {
    let up = pieces
        .iter()
        .zip(parts)
        .find(|(_, part)| !is_walk(part))
        .is_some_and(|(piece, _)| counts_up(piece));
    let mut all: Vec<(&mut RoutePiece, &SurveyPart)> =
        pieces.iter_mut().zip(parts.iter().copied()).collect();
    if up {
        all.reverse();
    }
    let mut end_m: Option<f64> = None;
    for (piece, part) in all {
        let (low, high) = piece.own_reach_m();
        let said = part.from.is_some() || part.to.is_some();
        let turned = counts_up(piece) != up;
        match end_m {
            Some(end) if is_walk(part) && !said => piece.count_from(end, up),
            None if is_walk(part) && turned => piece.count_from(low, up),
            Some(end) => {
                let meets = if said {
                    SLACK_M + SLACK * (high - low)
                } else {
                    MEETS_M
                };
                if turned || low < end - meets {
                    if said || stations_used {
                        return Err(twice(part, (low, high), end));
                    }
                    if turned {
                        piece.count_from(end, up);
                    } else {
                        *piece = piece.clone().begin_at(end);
                    }
                    piece.route.remarks.push(counted_on(part, end));
                }
            }
            None => {}
        }
        let (_, high) = piece.own_reach_m();
        end_m = Some(end_m.map_or(high, |end| end.max(high)));
    }
    Ok(())
}

fn is_walk(part: &SurveyPart) -> bool {
    part.readings
        .iter()
        .any(|r| matches!(r.data, Data::Walks(_)))
}

fn counts_up(piece: &RoutePiece) -> bool {
    let (first, last) = piece.own_ends_m();
    last < first
}

fn counted_on(part: &SurveyPart, end_m: f64) -> Remark {
    Remark::new(
        part.place.clone(),
        Sentence::from("the stations of this part start again. The program continues them from ")
            .length(end_m, 1)
            .words(", the end of the part before it. If the pegs show a different station, give this part the key `from`"),
    )
}

fn twice(part: &SurveyPart, reach_m: (f64, f64), end_m: f64) -> Fault {
    Fault::new(
        part.place.clone(),
        "the stations of this part are also used on another part, so one station is in two places",
    )
    .found(super::survey_reach::reach("stations ".into(), reach_m, 1))
    .expected(
        Sentence::from("stations that continue from ")
            .length(end_m, 1)
            .words(" in the same direction"),
    )
    .advice("give the part `from` (and `to`) with the stations of the complete route. Use those stations for all places")
}

#[cfg(test)]
mod tests {
    use crate::reading::{Book, BookPoint, Data, Method, Reading};
    use crate::route::{Route, RouteOptions, Spot, SurveyPart, WrittenSpot};
    use crate::text::Place;
    use crate::unit::OnPegs;

    fn part(points: &[(f64, f64)], from_m: Option<f64>) -> SurveyPart {
        let place = Place::line("site.toml", 9);
        let points: Vec<BookPoint> = points
            .iter()
            .map(|&(s, z)| BookPoint {
                station_m: Some(s),
                height_m: Some(z),
                sd_m: 0.01,
                ..BookPoint::default()
            })
            .collect();
        SurveyPart {
            readings: vec![Reading {
                method: Method::Level,
                file: "book.csv".to_owned(),
                points_read: points.len(),
                data: Data::Book(Book {
                    points,
                    along_slope: Some(true),
                    ..Book::default()
                }),
                places: Vec::new(),
                remarks: Vec::new(),
                source: Default::default(),
            }],
            from: from_m.map(|s| WrittenSpot {
                spot: Spot::Station(OnPegs(s)),
                place: place.clone(),
            }),
            to: None,
            replaces: false,
            place,
        }
    }

    fn route(parts: Vec<SurveyPart>, stations_used: bool) -> Result<Route, String> {
        let options = RouteOptions {
            parts,
            stations_used,
            ..RouteOptions::default()
        };
        Route::from(&[], &options).map_err(|f| f.to_string())
    }

    fn pegs(route: &Route) -> Vec<f64> {
        route.nodes.iter().map(|n| n.on_pegs.0).collect()
    }

    const UPPER: [(f64, f64); 3] = [(0.0, 100.0), (50.0, 90.0), (100.0, 80.0)];
    const LOWER: [(f64, f64); 3] = [(0.0, 80.0), (40.0, 70.0), (80.0, 60.0)];

    #[test]
    fn a_book_that_begins_again_counts_on_and_says_so() {
        let both = route(vec![part(&UPPER, None), part(&LOWER, None)], false).unwrap();
        assert_eq!(pegs(&both), [0.0, 50.0, 100.0, 140.0, 180.0]);
        let told = |r: &Route| {
            let remarks = r.remarks.iter();
            remarks
                .filter(|r| r.text.to_string().contains("start again"))
                .count()
        };
        assert_eq!(told(&both), 1);
        // what goes on by itself or says where it begins is left as it is
        let on: Vec<(f64, f64)> = LOWER.iter().map(|(s, z)| (s + 100.0, *z)).collect();
        for second in [part(&on, None), part(&LOWER, Some(100.0))] {
            let both = route(vec![part(&UPPER, None), second], true).unwrap();
            assert_eq!(pegs(&both), [0.0, 50.0, 100.0, 140.0, 180.0]);
            assert_eq!(told(&both), 0);
        }
    }

    #[test]
    fn pegs_up_the_hill_count_on_from_the_turbine() {
        let up = |points: &[(f64, f64)], long: f64| -> Vec<(f64, f64)> {
            points.iter().map(|(s, z)| (long - s, *z)).collect()
        };
        let (upper, lower) = (up(&UPPER, 100.0), up(&LOWER, 80.0));
        let both = route(vec![part(&upper, None), part(&lower, None)], false).unwrap();
        assert_eq!(pegs(&both), [180.0, 130.0, 80.0, 40.0, 0.0]);
        // a book the other way round goes with the others
        let mixed = route(vec![part(&UPPER, None), part(&lower, None)], false).unwrap();
        assert_eq!(pegs(&mixed), [0.0, 50.0, 100.0, 140.0, 180.0]);
    }

    #[test]
    fn where_stations_are_named_one_must_not_be_two_places() {
        let fault = route(vec![part(&UPPER, None), part(&LOWER, None)], true).unwrap_err();
        assert!(
            fault.starts_with(
                "site.toml:9: the stations of this part are also used on another part"
            ),
            "{fault}"
        );
        assert!(fault.contains("give the part `from`"), "{fault}");
        let over = route(vec![part(&UPPER, None), part(&LOWER, Some(40.0))], false).unwrap_err();
        assert!(over.contains("continue from"), "{over}");
    }
}
