//! Which end of a book is the intake's: a course that runs uphill is turned.

use super::course::Course;
use super::look::Look;
use crate::route::options::{End, RouteOptions};
use crate::survey::Reading;
use crate::text::{Fault, Place, Remark, Sentence};

/// Turns the course where it runs uphill from the turbine.
pub(super) fn turn(
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
