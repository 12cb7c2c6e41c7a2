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
use super::ladder::{ChainageMap, slope_stations};
use super::options::{End, RouteOptions, WrittenSpot};
use super::{Route, StationedPlace, peg, spot};
use crate::heights::{self, BookNode};
use crate::numeric::series::interpolate;
use crate::reading::{Book, Data, Method, Misclosure, Reading};
use crate::text::{Fault, Place, Remark, Sentence};
use course::BookLine;
use look::BookLook;

/// Draws of a book's heights where the user does not say.
const DRAWS: usize = 1000;

/// Heights that all of them hold together at the most: a long book keeps its draws to a bearable store.
const MOST_DRAWN: usize = 10_000_000;

/// One line from the points of a book.
pub(super) fn booked(readings: &[Reading], options: &RouteOptions) -> Result<Route, Fault> {
    let mut remarks: Vec<Remark> = readings
        .iter()
        .flat_map(|r| r.remarks.iter().cloned())
        .collect();
    let (book, method, file) = one_book(readings)?;
    let mut course = BookLine::new(&book, options.along_slope, &file)?;
    remarks.append(&mut course.remarks);
    let points_used = course.rows.len();
    course.points_have_plan();
    let reversed = turn(&mut course, readings, options, &mut remarks)?;
    let mut ladder = ChainageMap::new(
        course.level_m.clone(),
        course.level_m.clone(),
        &course.heights_m(),
    );
    ladder.own_m = course.own_m();
    let look = BookLook {
        course: &course,
        readings,
    };
    let pegged = peg::lay(&mut ladder, &options.pegs, |at| look.foot(at))?;
    let plan_of = |at: &WrittenSpot| look.plan_of(at, &ladder);
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
        ties.push(tie::BookTie {
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
    if pegged.is_some() {
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
    let draws = options
        .heights
        .draws
        .unwrap_or(DRAWS.min(MOST_DRAWN / points.len().max(1)));
    let heights = heights::booked(&points, &course.factors, draws, options.heights.seed);
    let length = slope_m.last().copied().unwrap_or(0.0);
    let length_sd_m = pegged
        .and_then(|p| {
            p.length_sd_m((from, to), |a, b| {
                course.length_sd_m(&book, ladder.slope_of_plan(b) - ladder.slope_of_plan(a))
            })
        })
        .unwrap_or_else(|| course.length_sd_m(&book, length));
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
        receiver: Vec::new(),
        nodes,
        heights,
        bends,
        length_sd_m,
        station_sd_m: length_sd_m,
        method: Some(method),
        files: Vec::new(),
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
        return Err(Fault::new(Place::file(""), "the site file names no survey")
            .expected("one or more survey files")
            .advice("write the names of the survey files in `files` under [survey]"));
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
    course: &mut BookLine,
    readings: &[Reading],
    options: &RouteOptions,
    remarks: &mut Vec<Remark>,
) -> Result<bool, Fault> {
    let (drop, sd) = course.drop_m();
    let certain = drop.abs() > 3.0 * sd;
    let look = BookLook { course, readings };
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
    let ask = |why: Sentence| {
        Err(Fault::new(
            place.clone(),
            "the survey does not show which end is the intake",
        )
        .asks("survey.from")
        .found(why)
        .expected("from = \"intake\" or from = \"turbine\": the end that is first in the file")
        .advice("add the key `from` under [survey]"))
    };
    let turned = match said {
        Some(turned) => turned,
        None if certain && drop > 0.0 => false,
        None if options.stations_used => {
            return ask(if certain {
                "the site file uses stations, and the heights in the book increase".into()
            } else {
                Sentence::from("the site file uses stations, and the difference in height between the ends is only ")
                    .length(drop.abs(), 2)
            });
        }
        None if certain => {
            remarks.push(Remark::new(
                place,
                "the heights in the book increase. The program reversed the route, so that it starts at the intake",
            ));
            true
        }
        None => {
            remarks.push(Remark::new(
                place,
                "the heights of the two ends are too similar to show which end is the intake. The program uses the first point as the intake",
            ));
            false
        }
    };
    let falls_m = if turned { -drop } else { drop };
    if turned {
        course.turn();
    }
    if said.is_some() && certain && falls_m < 0.0 {
        remarks.push(Remark::new(
            course
                .rows
                .first()
                .map_or_else(Place::default, |r| r.place.clone()),
            Sentence::from("with this value of `from`, the lower end of the route is ")
                .length(-falls_m, 2)
                .words(" higher than the upper end. Check `from`"),
        ));
    }
    Ok(turned)
}

#[cfg(test)]
mod tests;
