//! A sheet of cells to a reading, whatever file the cells came from.

use super::heads::{in_feet, kind_of, unused};
use super::member::OpenedFile;
use super::{angle_sheet, hose, level_sheet, points, trade};
use crate::reading::{Book, Data, Method, ReadOptions, Reading};
use crate::text::{Fault, Place, Remark, Sheet};
use crate::track::logger;

/// Reads the text of a sheet.
pub(super) fn text(text: &str, known: OpenedFile<'_>) -> Result<Reading, Fault> {
    let (sheet, titled) = below_its_title(known.file, text)?;
    read(&sheet, titled, known.kind, known.options)
}

/// Whether a sheet is one of a survey: by its heads it is a book, or a walk.
pub(super) fn is_survey(sheet: &Sheet) -> bool {
    logger::looks_like(sheet) || kind_of(sheet).is_ok()
}

/// Reads a sheet; `titled` is what was said of lines above its heads.
pub(super) fn read(
    sheet: &Sheet,
    titled: Option<Remark>,
    kind: Option<Method>,
    options: &ReadOptions,
) -> Result<Reading, Fault> {
    refuse_too_many(sheet)?;
    let walked = match kind {
        Some(kind) => kind == Method::Gpx,
        None => logger::looks_like(sheet),
    };
    if walked {
        let mut reading = logger::read(sheet)?;
        reading.remarks.extend(titled);
        return Ok(reading);
    }
    if !is_survey(sheet)
        && let Some(fault) = trade::without_heads(sheet)
    {
        return Err(fault);
    }
    let kind = match kind {
        Some(kind) => kind,
        None => kind_of(sheet)?,
    };
    let options = &ReadOptions {
        feet: in_feet(sheet),
        ..options.clone()
    };
    let mut reading = match kind {
        Method::Level => level_sheet::read(sheet, options),
        Method::Angle => angle_sheet::read(sheet, options),
        Method::Gauge => hose::read(sheet, options),
        Method::Points => points::read(sheet, options),
        Method::Gpx | Method::Mixed => Err(Fault::new(
            Place::file(&sheet.file),
            "a sheet cannot have this kind",
        )
        .expected("level, angle, points or gauge")
        .advice("remove `kind`. The program recognizes the kind from the column heads")),
    }?;
    reading.remarks.extend(titled);
    reading.remarks.extend(unused(sheet, kind));
    if options.tape.is_some() && kind != Method::Angle {
        reading.remarks.push(Remark::new(
            Place::file(&sheet.file),
            "the data of [survey.tape] are not used here. They correct only the lengths in an angle book",
        ));
    }
    if let Data::Book(book) = &reading.data {
        refuse_cliffs(sheet, book, kind, options)?;
    }
    Ok(reading)
}

/// Most lines of a title above the heads.
pub(super) const MOST_TITLE_LINES: usize = 12;

/// The sheet, and what is to be said of lines above its heads: a field book's title, a date, who levelled. None of them may hold figures as a row of readings does.
fn below_its_title(file: &str, text: &str) -> Result<(Sheet, Option<Remark>), Fault> {
    let first = Sheet::read(file, text).and_then(trade::known);
    if first.as_ref().is_ok_and(is_survey) {
        return first.map(|s| (s, None));
    }
    for (above, line) in text
        .split_inclusive('\n')
        .enumerate()
        .take(MOST_TITLE_LINES)
    {
        if above > 0
            && let Ok(sheet) = Sheet::read_below(file, text, above).and_then(trade::known)
            && is_survey(&sheet)
        {
            let title = text.lines().take(above).filter(|l| !l.trim().is_empty());
            let remark = format!(
                "the rows above the column heads are not used: {}",
                title.collect::<Vec<_>>().join(" / ")
            );
            return Ok((sheet, Some(Remark::new(Place::line(file, 1), remark))));
        }
        let figures = line
            .split([',', ';', '\t'])
            .filter(|cell| crate::text::number(cell.trim()).is_ok());
        if figures.count() > 1 {
            break;
        }
    }
    first.map(|s| (s, None))
}

/// Most rows of a book: a peg every 5 m on the longest line there is.
pub(super) const MOST_ROWS: usize = 20_000;

fn refuse_too_many(sheet: &Sheet) -> Result<(), Fault> {
    let Some(row) = sheet.rows.get(MOST_ROWS) else {
        return Ok(());
    };
    Err(sheet
        .fault(row, 0, "the book has too many rows")
        .found(format!("{} rows", sheet.rows.len()))
        .expected(format!("at most {MOST_ROWS} rows"))
        .advice("copy the rows of this route into a separate sheet"))
}

/// Between two stations the ground cannot rise or fall by more than was taped along it: then stations and heights are in each other's column, or in different units.
fn refuse_cliffs(
    sheet: &Sheet,
    book: &Book,
    kind: Method,
    options: &ReadOptions,
) -> Result<(), Fault> {
    let steepest = if book.along_slope == Some(false) {
        5.0
    } else {
        1.0
    };
    let known: Vec<_> = book
        .points
        .iter()
        .filter_map(|p| Some((p.station_m?, p.height_m?, p)))
        .collect();
    for ((s0, h0, _), (s1, h1, p)) in known.iter().zip(known.iter().skip(1)) {
        let slack = 0.25 + 6.0 * p.sd_m;
        if (h1 - h0).abs() > steepest * (s1 - s0).abs() + slack && s1 != s0 {
            let row = sheet.rows.iter().find(|r| Some(r.line) == p.place.line);
            let column = sheet.column_of(&["station_m", "station_ft"]).unwrap_or(0);
            let text =
                "the slope between this point and the point before it is too steep to be possible";
            let fault =
                row.map_or_else(|| sheet.heads_fault(text), |r| sheet.fault(r, column, text));
            return Err(fault
                .found(format!("{} of height in {} of distance", options.told((h1 - h0).abs()), options.told((s1 - s0).abs())))
                .expected("a change of height not larger than the distance")
                .advice(match kind {
                    Method::Gauge => "check the station. Check that the pressure is in the unit of the column head",
                    _ => "check for a wrong station, exchanged columns, or feet mixed with metres",
                }));
        }
    }
    Ok(())
}
