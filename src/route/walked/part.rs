//! A levelled reach inside a walk.

use crate::heights::{Levelled, Tie};
use crate::numeric::math;
use crate::reading::{Book, Data};
use crate::route::options::SurveyPart;
use crate::text::{Fault, Sentence};

/// What a local datum may be off the walk's, m.
const DATUM_SD_M: f64 = 10.0;

/// The least doubt of a levelled point, m: what no staff on a pipe beats.
const LEAST_SD_M: f64 = 0.001;

/// Lays a book's points on the walk's level stations.
///
/// `begin`, `end`: level station and own station of the part's ends where the user gave them. `rough(level)`: the walk's height; `own_to_level`: from the survey's own station.
pub(super) fn levelled(
    part: &SurveyPart,
    begin: Option<(f64, f64)>,
    end: Option<(f64, f64)>,
    rough: &dyn Fn(f64) -> f64,
    own_to_level: &dyn Fn(f64) -> f64,
) -> Result<Levelled, Fault> {
    let book = part
        .readings
        .iter()
        .find_map(|r| match &r.data {
            Data::Book(book) => Some(book),
            Data::Walks(_) => None,
        })
        .ok_or_else(|| {
            Fault::new(
                part.place.clone(),
                "a part of a walk can only be replaced by a level book, an angle book or a table of points",
            )
            .found("a GPS walk")
            .expected("a table of points, a level book or an angle book")
            .advice("add more walks to `files` under [survey], next to the first one")
        })?;
    let known = known(book);
    let first = known.first().copied().ok_or_else(|| {
        Fault::new(
            part.place.clone(),
            "this part has no point with a station and a height",
        )
        .expected("points with a station and a height")
        .advice("add the columns station_m and height_m")
    })?;
    let turned = turned(&known, begin, end, rough);
    let along: Vec<f64> = known.iter().map(|k| k.0 - first.0).collect();
    let length = along.last().copied().unwrap_or(0.0);
    // A book on the slope is brought to level distances by its own heights.
    let heights: Vec<f64> = known.iter().map(|k| k.1).collect();
    let level = if book.along_slope.unwrap_or(true) {
        levels(&along, &heights)
    } else {
        along.clone()
    };
    let level_length = level.last().copied().unwrap_or(0.0);
    let origin = match (begin, end) {
        (Some((b, _)), _) => b,
        (None, Some((e, _))) => e - level_length,
        (None, None) => own_to_level(first.0),
    };
    let at = |l: f64| {
        if turned {
            origin + level_length - l
        } else {
            origin + l
        }
    };
    if let (Some((b, _)), Some((e, _))) = (begin, end)
        && (e - b - level_length).abs() > 15.0 + 0.1 * (e - b)
    {
        return Err(Fault::new(
            part.place.clone(),
            "the length of this part does not agree with `from` and `to`",
        )
        .found(Sentence::default().length(length, 0).words(" in the book"))
        .expected(
            Sentence::from("about ")
                .length(e - b, 0)
                .words(" from `from` to `to`"),
        )
        .advice("check `from` and `to` of the part, and the stations in its book"));
    }
    let shift = if book.tied {
        0.0
    } else {
        let apart: f64 = level
            .iter()
            .zip(&heights)
            .map(|(&l, h)| rough(at(l)) - h)
            .sum();
        apart / level.len().max(1) as f64
    };
    let mut points: Vec<Tie> = level
        .iter()
        .zip(&known)
        .map(|(&l, &(_, h, sd))| Tie {
            station_m: at(l),
            height_m: h + shift,
            sd_m: sd.max(LEAST_SD_M),
        })
        .collect();
    points.sort_by(|a, b| a.station_m.total_cmp(&b.station_m));
    Ok(Levelled {
        points,
        datum_sd_m: if book.tied { 0.0 } else { DATUM_SD_M },
    })
}

/// Station, height and doubt of the points that have them, by rising station. The doubt holds what the point shares with others too, so it is on the safe side.
fn known(book: &Book) -> Vec<(f64, f64, f64)> {
    let mut out: Vec<(f64, f64, f64)> = book
        .points
        .iter()
        .enumerate()
        .filter_map(|(i, p)| {
            let shared = book
                .factors
                .iter()
                .filter_map(|f| f.get(i))
                .fold(0.0, |sum: f64, f| math::hypot(sum, *f));
            Some((p.station_m?, p.height_m?, math::hypot(p.sd_m, shared)))
        })
        .collect();
    out.sort_by(|a, b| a.0.total_cmp(&b.0));
    out.dedup_by(|a, b| (a.0 - b.0).abs() < 1e-9);
    out
}

/// Whether the book was taken against the line: told by the fall, where it has one and the walk has the other.
fn turned(
    known: &[(f64, f64, f64)],
    begin: Option<(f64, f64)>,
    end: Option<(f64, f64)>,
    rough: &dyn Fn(f64) -> f64,
) -> bool {
    let (Some(first), Some(last), Some((b, _)), Some((e, _))) =
        (known.first(), known.last(), begin, end)
    else {
        return false;
    };
    let book = first.1 - last.1;
    let walk = rough(b) - rough(e);
    book.abs() > 3.0 && walk.abs() > 5.0 && book * walk < 0.0
}

/// Level distances of points whose distances were taken along the slope.
fn levels(along: &[f64], heights: &[f64]) -> Vec<f64> {
    let mut level = 0.0;
    let mut last: Option<(f64, f64)> = None;
    let out: Vec<f64> = along
        .iter()
        .zip(heights)
        .map(|(&s, &z)| {
            if let Some((s0, z0)) = last {
                level += (math::powi(s - s0, 2) - math::powi(z - z0, 2))
                    .max(0.0)
                    .sqrt();
            }
            last = Some((s, z));
            level
        })
        .collect();
    out
}
