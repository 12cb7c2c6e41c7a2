//! Books that follow each other along a line.

use crate::reading::Book;
use crate::text::Fault;

/// One row of a course: a surveyed point, or an end cut between two.
#[derive(Debug, Clone, Default)]
pub(super) struct BookRow {
    pub(super) own_m: f64,
    pub(super) height_m: f64,
    pub(super) sd_m: f64,
    pub(super) plan: Option<[f64; 2]>,
    pub(super) name: String,
    pub(super) place: crate::text::Place,
    pub(super) surveyed: bool,
}

/// One book from two of which the second carries the first on: its stations begin where the first one's end.
///
/// Where both are tied to known heights the heights stand as they are; where one is not, it is brought to the other at the common point.
pub(super) fn follow(first: Book, next: &Book, file: &str) -> Result<Book, Fault> {
    let stations = |b: &Book| -> Vec<(f64, f64)> {
        b.points
            .iter()
            .filter_map(|p| Some((p.station_m?, p.height_m?)))
            .collect()
    };
    let (a, b) = (stations(&first), stations(next));
    let (Some(&end), Some(&begin)) = (a.last(), b.first()) else {
        return Err(apart(next, file));
    };
    let rising = a.first().is_none_or(|s| s.0 <= end.0);
    let follows = if rising {
        begin.0 >= end.0 - 1e-6
    } else {
        begin.0 <= end.0 + 1e-6
    };
    if !follows {
        return Err(apart(next, file));
    }
    let common = (begin.0 - end.0).abs() < 1e-6;
    if !(common || first.tied && next.tied) {
        return Err(apart(next, file));
    }
    let mut book = first;
    let shift = if book.tied && next.tied {
        0.0
    } else {
        end.1 - begin.1
    };
    if !book.tied && next.tied {
        for point in &mut book.points {
            point.height_m = point.height_m.map(|h| h - shift);
        }
    }
    let moved = if book.tied || !next.tied { shift } else { 0.0 };
    let before = book.points.len();
    // What the first book's errors came to at the common point they are for all of the second.
    let carried: Vec<f64> = book
        .factors
        .iter()
        .map(|f| f.last().copied().unwrap_or(0.0))
        .collect();
    for (factor, &carry) in book.factors.iter_mut().zip(&carried) {
        let tail = if book.tied && next.tied { 0.0 } else { carry };
        factor.resize(before + next.points.len(), tail);
    }
    for factor in &next.factors {
        let mut long = vec![0.0; before];
        long.extend(factor);
        book.factors.push(long);
    }
    let mut points = next.points.clone();
    for point in &mut points {
        point.height_m = point.height_m.map(|h| h + moved);
    }
    if common && let Some(p) = points.first_mut() {
        // The common point stands once.
        p.height_m = None;
        p.station_m = None;
    }
    book.points.extend(points);
    book.tied |= next.tied;
    book.setups += next.setups;
    book.along_slope = book.along_slope.or(next.along_slope);
    book.station_sd_share = book.station_sd_share.max(next.station_sd_share);
    Ok(book)
}

fn apart(next: &Book, file: &str) -> Fault {
    let place = next
        .points
        .first()
        .map_or_else(|| crate::text::Place::file(file), |p| p.place.clone());
    Fault::new(place, "the second book does not continue the first")
        .expected("a book that starts at the last station of the book before it")
        .advice("give each book as a [[survey.part]] with `from` and `to`")
}
