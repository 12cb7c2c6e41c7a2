use super::table::FieldTable;
use crate::reading::{Book, BookPoint, CellError, Data, Method, Misclosure, ReadOptions, Reading};
use crate::reduction::level::{Adjusted, Closed, LevelRow, Levels, PageSums, close, reduce};
use crate::text::{Fault, Place, Remark, Sentence, Sheet};

/// Standard deviation of a staff point against its set-up where none is given, m: the foot of the staff on ground or pipe, read to 5 mm.
const POINT_SD_M: f64 = 0.005;

/// Standard deviation of taped stations as a share of the distance.
pub(super) const TAPED_SHARE: f64 = 0.003;

/// Reads a level book.
pub(super) fn read(sheet: &Sheet, options: &ReadOptions) -> Result<Reading, Fault> {
    let table = FieldTable::new(sheet);
    let rows = rows(&table)?;
    let levels = reduce(&rows, options).map_err(|s| table.slip(s))?;
    if levels.setups.is_empty() {
        return Err(sheet
            .heads_fault("the level book has no complete set-up")
            .expected("rows with a backsight (bs_m), and then a foresight (fs_m)")
            .advice("add the readings, with one row for each staff point"));
    }
    let closed = close(&levels, options).map_err(|s| table.slip(s))?;
    let order = stations(&levels).map_err(|s| table.slip(s))?;
    let mut remarks = sheet.remarks.clone();
    remarks.extend(told(&levels, &closed, &order, sheet, options));
    let points: Vec<BookPoint> = order
        .iter()
        .filter_map(|&i| {
            let point = levels.points.get(i)?;
            Some(BookPoint {
                station_m: point.station_m,
                height_m: closed.height_m.get(i).copied(),
                sd_m: options.point_sd_m.unwrap_or(POINT_SD_M),
                position: None,
                name: point.name.clone(),
                place: place(sheet, point.row),
            })
        })
        .collect();
    let pick = |f: &Vec<f64>| {
        order
            .iter()
            .map(|&i| f.get(i).copied().unwrap_or(0.0))
            .collect()
    };
    Ok(Reading {
        method: Method::Level,
        file: sheet.file.clone(),
        source: Default::default(),
        points_read: rows.len(),
        data: Data::Book(Book {
            points,
            factors: closed.factors_m.iter().map(pick).collect(),
            along_slope: options.along_slope,
            station_sd_share: TAPED_SHARE,
            misclosure: closed.misclosure,
            tied: closed.tied,
            setups: levels.setups.len(),
        }),
        places: Vec::new(),
        remarks,
    })
}

/// The rows, in metres.
pub(super) fn rows(table: &FieldTable<'_>) -> Result<Vec<LevelRow>, Fault> {
    let column = |base: &str| table.length(base);
    let (station, bs, is, fs) = (
        column("station")?,
        column("bs")?,
        column("is")?,
        column("fs")?,
    );
    let (rise, fall, known) = (column("rise")?, column("fall")?, column("elevation")?);
    let (point, setup) = (
        table.sheet.column_of(&["point", "name"]),
        table.plain("setup"),
    );
    for (head, there) in [("bs_m", bs), ("fs_m", fs)] {
        if there.is_none() {
            return Err(table
                .sheet
                .heads_fault(format!("the level book has no column {head}"))
                .expected("station_m, bs_m, is_m, fs_m. Optional: elevation_m, rise_m, fall_m, point, setup, remark")
                .advice("use these heads. For feet, write `_ft` and not `_m`"));
        }
    }
    let mut rows = Vec::new();
    for (i, row) in table.sheet.rows.iter().enumerate() {
        rows.push(LevelRow {
            row: i,
            station_m: table.station(row, station)?,
            bs_m: table.metres(row, bs)?,
            is_m: table.metres(row, is)?,
            fs_m: table.metres(row, fs)?,
            rise_m: table.metres(row, rise)?,
            fall_m: table.metres(row, fall)?,
            elevation_m: table.metres(row, known)?,
            point: table.words(row, point),
            setup: table.words(row, setup),
        });
    }
    Ok(rows)
}

/// Points that belong to the line, in the order of the book: those with a station, each station once.
fn stations(levels: &Levels) -> Result<Vec<usize>, CellError> {
    let order: Vec<usize> = (0..levels.points.len())
        .filter(|&i| levels.points.get(i).is_some_and(|p| p.station_m.is_some()))
        .collect();
    if order.len() < 2 {
        return Err(CellError::new(0, "station", "fewer than two points have a station")
            .expected("a station for each point on the pipe")
            .advice("add station_m, the distance along the route from its start. For turning points that are not on the route, keep it empty"));
    }
    Ok(order)
}

fn place(sheet: &Sheet, row: usize) -> Place {
    sheet.rows.get(row).map_or_else(
        || Place::file(&sheet.file),
        |r| FieldTable::new(sheet).point_place(r, &["station_m", "station_ft"]),
    )
}

/// The arithmetic check of a page.
pub(super) fn checked(sums: &PageSums, options: &ReadOptions) -> Sentence {
    [
        ("arithmetic check: backsights ", sums.bs_m),
        (" minus foresights ", sums.fs_m),
        (" is ", sums.bs_m - sums.fs_m),
        (". Rises ", sums.rise_m),
        (" minus falls ", sums.fall_m),
        (" is ", sums.rise_m - sums.fall_m),
        (". Last height minus first height is ", sums.change_m),
    ]
    .into_iter()
    .fold(Sentence::default(), |said, (words, m)| {
        options.say(said.words(words), m)
    })
}

/// How far a book fails to close.
pub(super) fn closes(misclosure: Misclosure, options: &ReadOptions) -> Sentence {
    options
        .say(
            options
                .say("the misclosure of the book is ".into(), misclosure.found_m)
                .words(" (calculated minus known). The allowable misclosure is "),
            misclosure.allowed_m,
        )
        .words(". The program distributes the misclosure")
}

/// What the reduction did and noticed, in words and the book's own unit.
fn told(
    levels: &Levels,
    closed: &Closed,
    order: &[usize],
    sheet: &Sheet,
    options: &ReadOptions,
) -> Vec<Remark> {
    let whole = Place::file(&sheet.file);
    let mut out = vec![Remark::new(whole.clone(), checked(&levels.sums, options))];
    if let Some(m) = closed.misclosure {
        out.push(Remark::new(whole.clone(), closes(m, options)));
    }
    if closed.misclosure.is_none() && closed.adjusted.is_none() {
        out.push(Remark::new(
            whole.clone(),
            "the book does not close on a known height, so it cannot show a wrong reading. Return to the start, or continue to a second known height",
        ));
    }
    if let Some(adjusted) = &closed.adjusted {
        out.push(Remark::new(
            whole.clone(),
            format!(
                "adjusted by least squares, with {} more readings than necessary. The residuals are {:.1} times the standard deviation given for a set-up",
                adjusted.freedom, adjusted.unit_sd
            ),
        ));
        out.extend(residuals(adjusted, sheet, options));
    }
    if !closed.tied {
        out.push(Remark::new(
            whole.clone(),
            options
                .say(
                    "no known height is given. The program gives the first point the height "
                        .into(),
                    levels.points.first().map_or(0.0, |p| p.height_m),
                )
                .words(" in a local datum"),
        ));
    }
    let off = levels.points.len() - order.len();
    if off > 0 {
        out.push(Remark::new(
            whole,
            format!("{off} staff points without a station (turning points, benchmarks) are used for the heights, but are not on the route"),
        ));
    }
    out.extend(
        levels
            .notes
            .iter()
            .map(|(row, text)| Remark::new(place(sheet, *row), text)),
    );
    out
}

/// The largest residuals, each at its reading: those above a tenth of the largest, at most so many.
fn residuals<'a>(
    adjusted: &'a Adjusted,
    sheet: &'a Sheet,
    options: &'a ReadOptions,
) -> impl Iterator<Item = Remark> + 'a {
    const SHOWN: usize = 5;
    let mut all = adjusted.residuals_m.clone();
    all.sort_by(|a, b| b.2.abs().total_cmp(&a.2.abs()).then(a.0.cmp(&b.0)));
    let least = all.first().map_or(0.0, |r| 0.1 * r.2.abs()).max(5e-4);
    all.into_iter()
        .take(SHOWN)
        .filter(move |r| r.2.abs() >= least)
        .map(|(row, column, v)| {
            let place = sheet.rows.get(row).map_or_else(
                || Place::file(&sheet.file),
                |r| {
                    let (metres, feet) = (format!("{column}_m"), format!("{column}_ft"));
                    FieldTable::new(sheet).point_place(r, &[&metres, &feet])
                },
            );
            Remark::new(
                place,
                options
                    .say("residual ".into(), v)
                    .words(format!(" on {column}")),
            )
        })
}
