use super::{
    Book, Data, Method, ReadOptions, Reading, angle_sheet, gpx, hose, level_sheet, points,
};
use crate::text::{self, Fault, FileExpectation, Place, Remark, Sheet, decode, head_key, nearest};
use std::path::Path;

/// What a survey file must be. The largest is a level book of a thousand kilometres, or two and a half million fixes of a receiver.
const WANTED: FileExpectation<'_> = FileExpectation {
    what: "a survey: GPX or CSV",
    largest_bytes: 256 << 20,
    advice: "check the name and the folder",
};

/// Reads one survey file; what kind it is is told from its content unless `kind` says so.
///
/// # Errors
/// Where the file cannot be read, or is no survey of its kind: the place, what was found, what was expected and what to do.
pub fn read(path: &Path, kind: Option<Method>, options: &ReadOptions) -> Result<Reading, Fault> {
    let bytes = text::read_bytes(path, &WANTED)?;
    read_bytes(&bytes, &path.display().to_string(), kind, options)
}

/// Reads a survey from bytes, as [`read`] does; `file` is only what faults and remarks call it.
///
/// # Errors
/// As [`read`].
pub fn read_bytes(
    bytes: &[u8],
    file: &str,
    kind: Option<Method>,
    options: &ReadOptions,
) -> Result<Reading, Fault> {
    if kind == Some(Method::Gpx) || (kind.is_none() && looks_like_gpx(bytes)) {
        return gpx::read(bytes, file);
    }
    let decoded = decode(file, bytes)?;
    let (sheet, titled) = below_its_title(file, &decoded.text)?;
    refuse_too_many(&sheet)?;
    let kind = match kind {
        Some(kind) => kind,
        None => kind_of(&sheet)?,
    };
    let options = &ReadOptions {
        feet: in_feet(&sheet),
        ..options.clone()
    };
    let mut reading = match kind {
        Method::Level => level_sheet::read(&sheet, options),
        Method::Angle => angle_sheet::read(&sheet, options),
        Method::Gauge => hose::read(&sheet, options),
        Method::Points => points::read(&sheet, options),
        Method::Gpx | Method::Mixed => Err(Fault::new(
            Place::file(file),
            "a sheet cannot be of this kind",
        )
        .expected("level, angle, points or gauge")
        .advice("leave the kind out: it is told from the columns")),
    }?;
    reading.remarks.extend(titled);
    reading.remarks.extend(unused(&sheet, kind));
    if options.tape.is_some() && kind != Method::Angle {
        reading.remarks.push(Remark::new(
            Place::file(file),
            "what is said of the tape corrects nothing here: only the legs of an angle book are corrected",
        ));
    }
    if let Data::Book(book) = &reading.data {
        refuse_cliffs(&sheet, book, kind, options)?;
    }
    Ok(reading)
}

/// Readings of several files, one after the other; together they hold no more points than one file may, and the memory stays within its limit.
/// `points` counts on from what was read before.
///
/// # Errors
/// The first fault of a reading, or the file with which there are too many points.
pub fn together(
    readings: impl IntoIterator<Item = Result<Reading, Fault>>,
    points: &mut usize,
) -> Result<Vec<Reading>, Fault> {
    let mut all = Vec::new();
    for reading in readings {
        let reading = reading?;
        *points += reading.points_read;
        if *points > gpx::MOST_POINTS {
            return Err(Fault::new(
                Place::file(reading.file),
                "too many points in the files of the survey together",
            )
            .found(format!("{points} points with this file"))
            .expected(format!("at most {} points", gpx::MOST_POINTS))
            .advice("a few walks are enough: give those taken with the best sight of the sky"));
        }
        all.push(reading);
    }
    Ok(all)
}

/// Most lines of a title above the heads.
const MOST_TITLE_LINES: usize = 12;

/// The sheet, and what is to be said of lines above its heads: a field book's title, a date, who levelled. None of them may hold figures as a row of readings does.
fn below_its_title(file: &str, text: &str) -> Result<(Sheet, Option<Remark>), Fault> {
    let first = Sheet::read(file, text);
    if first.as_ref().is_ok_and(|s| kind_of(s).is_ok()) {
        return first.map(|s| (s, None));
    }
    for (above, line) in text
        .split_inclusive('\n')
        .enumerate()
        .take(MOST_TITLE_LINES)
    {
        if above > 0
            && let Ok(sheet) = Sheet::read_below(file, text, above)
            && kind_of(&sheet).is_ok()
        {
            let title = text.lines().take(above).filter(|l| !l.trim().is_empty());
            let remark = format!(
                "passed over what stands above the heads: {}",
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

/// Most rows of a book: a peg every 2 m on the longest line there is.
const MOST_ROWS: usize = 50_000;

fn refuse_too_many(sheet: &Sheet) -> Result<(), Fault> {
    let Some(row) = sheet.rows.get(MOST_ROWS) else {
        return Ok(());
    };
    Err(sheet
        .fault(row, 0, "the book has too many rows")
        .found(format!("{} rows", sheet.rows.len()))
        .expected(format!("at most {MOST_ROWS} rows"))
        .advice("take the rows of this line into a book of their own"))
}

/// Whether a sheet is kept in feet: more of its heads say so than say metres.
fn in_feet(sheet: &Sheet) -> bool {
    let ends = |unit: &str| {
        sheet
            .heads
            .iter()
            .filter(|h| head_key(&h.text).ends_with(unit))
            .count()
    };
    ends("ft") > ends("m")
}

/// GPX begins with a mark of XML, after a byte order mark and blanks.
fn looks_like_gpx(bytes: &[u8]) -> bool {
    bytes
        .iter()
        .take(256)
        .find(|b| !b.is_ascii_whitespace() && !matches!(b, 0xef | 0xbb | 0xbf | 0xfe | 0xff | 0))
        == Some(&b'<')
}

/// Heads by kind, without their units.
const HEADS: [(Method, &[&str]); 4] = [
    (
        Method::Level,
        &[
            "station",
            "bs",
            "is",
            "fs",
            "rise",
            "fall",
            "elevation",
            "point",
            "name",
            "setup",
            "remark",
        ],
    ),
    (
        Method::Gauge,
        &[
            "station",
            "pressure",
            "gauge_height",
            "water",
            "elevation",
            "point",
            "name",
            "remark",
        ],
    ),
    (
        Method::Angle,
        &[
            "from",
            "to",
            "point",
            "name",
            "tape",
            "slope",
            "horizontal",
            "angle",
            "grade",
            "one_in",
            "rise",
            "steps",
            "tube_a",
            "tube_b",
            "upper",
            "middle",
            "lower",
            "bearing",
            "eye",
            "target",
            "pull",
            "tape_temp",
            "elevation",
            "remark",
        ],
    ),
    (
        Method::Points,
        &[
            "station",
            "height",
            "elevation",
            "lat",
            "lon",
            "latitude",
            "longitude",
            "east",
            "north",
            "name",
            "point",
            "sd",
            "remark",
        ],
    ),
];

const UNITS: [&str; 16] = [
    "",
    "_m",
    "_ft",
    "_deg",
    "_percent",
    "_permille",
    "_psi",
    "_kpa",
    "_bar",
    "_c",
    "_f",
    "_n",
    "_lbf",
    "_kgf",
    "s",
    "_in",
];

fn has(sheet: &Sheet, base: &str) -> bool {
    UNITS
        .iter()
        .any(|u| sheet.column(&format!("{base}{u}")).is_some())
}

/// What kind of book a sheet is, by its columns.
fn kind_of(sheet: &Sheet) -> Result<Method, Fault> {
    let any = |bases: &[&str]| bases.iter().any(|b| has(sheet, b));
    if any(&["bs", "fs"]) {
        Ok(Method::Level)
    } else if any(&["pressure"]) {
        Ok(Method::Gauge)
    } else if any(&["tape", "slope", "horizontal", "upper"]) {
        Ok(Method::Angle)
    } else if any(&["height", "lat", "east"]) || (has(sheet, "station") && has(sheet, "elevation"))
    {
        Ok(Method::Points)
    } else {
        let known: Vec<&str> = HEADS
            .iter()
            .flat_map(|(_, heads)| heads.iter().copied())
            .collect();
        let near = sheet
            .heads
            .iter()
            .find_map(|h| nearest(&base_of(&h.text), known.iter().copied()))
            .map(|n| format!("; \"{n}\" is near one of them"))
            .unwrap_or_default();
        Err(sheet
            .heads_fault(format!("the columns are those of no survey sheet{near}"))
            .expected("level: station_m, bs_m, is_m, fs_m; points: station_m, height_m; angle: from, to, tape_m, angle_deg; gauge: station_m, pressure_psi")
            .advice("name the columns in the first row, with their units; `steadyfall new` writes blank sheets"))
    }
}

/// A head without its unit.
fn base_of(head: &str) -> String {
    let head = head.trim().to_lowercase().replace(' ', "_");
    UNITS
        .iter()
        .filter(|u| u.starts_with('_'))
        .find_map(|u| head.strip_suffix(u).map(str::to_owned))
        .unwrap_or(head)
}

/// Columns that nothing is read from.
fn unused(sheet: &Sheet, kind: Method) -> Vec<Remark> {
    let heads = HEADS
        .iter()
        .find(|(k, _)| *k == kind)
        .map_or(&[][..], |(_, h)| h);
    let known: Vec<String> = heads
        .iter()
        .flat_map(|h| UNITS.iter().map(move |u| format!("{h}{u}")))
        .collect();
    let known: Vec<&str> = known.iter().map(String::as_str).collect();
    sheet
        .unknown_heads(&known)
        .into_iter()
        .filter_map(|column| sheet.heads.get(column))
        .map(|head| {
            let near = nearest(&base_of(&head.text), heads.iter().copied())
                .map(|n| format!("; is {n} meant?"))
                .unwrap_or_default();
            Remark::new(
                Place::line(&sheet.file, head.line).column(head.column),
                format!("the column {} is not used{near}", head.text),
            )
        })
        .collect()
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
            let text = "steeper than can be between this point and the one before";
            let fault =
                row.map_or_else(|| sheet.heads_fault(text), |r| sheet.fault(r, column, text));
            return Err(fault
                .found(format!("{} of height over {} of tape", options.told((h1 - h0).abs()), options.told((s1 - s0).abs())))
                .expected("no more height than length")
                .advice(match kind {
                    Method::Gauge => "look for a wrong station, or a pressure in another unit than the head says",
                    _ => "look for a wrong station, columns in each other's place, or feet and metres mixed",
                }));
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read_text(text: &str) -> Result<Reading, Fault> {
        read_bytes(text.as_bytes(), "b.csv", None, &ReadOptions::default())
    }

    #[test]
    fn the_kind_is_told_from_the_columns() {
        for (text, kind) in [
            ("station_m,height_m\n0,10\n10,9\n", Method::Points),
            (
                "Station (m);BS (m);IS (m);FS (m)\n0;1,5;;\n10;;;2,5\n",
                Method::Level,
            ),
            ("from,to,tape_m,angle_deg\nA,B,10,-5\n", Method::Angle),
            ("station_m,pressure_psi\n0,0\n10,5\n", Method::Gauge),
        ] {
            assert_eq!(read_text(text).unwrap().method, kind);
        }
        let fault = read_text("chainage,hight_m\n0,10\n").unwrap_err();
        assert!(fault.text.contains("height"), "{fault}");
    }

    #[test]
    fn files_together_hold_no_more_than_one_may() {
        let one = read_text("station_m,height_m\n0,10\n10,9\n").unwrap();
        let with = |points_read| {
            Ok(Reading {
                points_read,
                ..one.clone()
            })
        };
        let half = gpx::MOST_POINTS / 2;
        assert_eq!(together([with(half), with(half)], &mut 0).unwrap().len(), 2);
        for before in [1, half] {
            let fault = together([with(half), with(half)], &mut { before }).unwrap_err();
            assert!(
                fault.to_string().contains("at most 2500000 points"),
                "{fault}"
            );
        }
        // A fault is told before anything more is read.
        let stop = || Err(Fault::new(Place::file("b.csv"), "stop"));
        assert_eq!(
            together([stop(), with(half + half + 1)], &mut 0)
                .unwrap_err()
                .text,
            "stop"
        );
    }

    #[test]
    fn a_cliff_is_refused() {
        let fault = read_text("station_m,height_m\n100,0\n99,50\n98,100\n").unwrap_err();
        assert_eq!((fault.place.line, fault.place.column), (Some(3), Some(1)));
    }

    #[test]
    fn a_column_that_is_not_used_is_told() {
        let reading = read_text("station_m,height_m,hieght_ft\n0,10,1\n10,9,1\n").unwrap();
        assert!(
            reading
                .remarks
                .iter()
                .any(|r| r.text.contains("hieght_ft") && r.text.contains("height"))
        );
    }

    #[test]
    fn a_title_above_the_heads_is_passed_over() {
        let text = "Gannet Linn, 14/5, book 3 p. 7\nstaff: A.;wet\nstation_m;bs_m;is_m;fs_m\n0;1,2;;\n0+010;;1,85;\n20;;;2,4\n";
        let reading = read_text(text).unwrap();
        assert_eq!(reading.method, Method::Level);
        let told = |words: &str| reading.remarks.iter().any(|r| r.text.contains(words));
        assert!(told("book 3 p. 7"), "{:?}", reading.remarks);
        assert!(told("closes on nothing"), "{:?}", reading.remarks);
        // A row of readings is never taken for a title.
        let lost = "stetion_m,hight_m\n0,10\n5,9\nstation_m,height_m\n10,8\n20,7\n";
        assert_eq!(read_text(lost).unwrap_err().place.line, Some(1));
    }
}
