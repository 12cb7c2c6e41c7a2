use super::foreign::READ;
use super::member::OpenedFile;
use super::packed::opened;
use super::same;
use crate::reading::{Method, ReadOptions, Reading, Source};
use crate::text;
use crate::text::{Fault, FileExpectation, Place};
use crate::track::gpx;
use std::path::Path;

/// What a survey file must be. The largest is a level book of a thousand kilometres, or two and a half million fixes of a receiver.
const WANTED: FileExpectation<'_> = FileExpectation {
    what: READ,
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
    let mut reading = opened(
        bytes,
        OpenedFile {
            file,
            kind,
            options,
            depth: 0,
        },
    )?;
    reading.source = Source::of(file, bytes);
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
        let mut reading = reading?;
        *points += reading.points_read;
        if *points > gpx::MOST_POINTS {
            return Err(Fault::new(
                Place::file(reading.file),
                "the survey files together have too many points",
            )
            .found(format!("{points} points with this file"))
            .expected(format!("at most {} points", gpx::MOST_POINTS))
            .advice(
                "some walks are sufficient. Give the walks that had the best view of the sky",
            ));
        }
        same::left_out(&mut reading, &all);
        all.push(reading);
    }
    Ok(all)
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
        assert!(
            told("does not close on a known height"),
            "{:?}",
            reading.remarks
        );
        // A row of readings is never taken for a title.
        let lost = "stetion_m,hight_m\n0,10\n5,9\nstation_m,height_m\n10,8\n20,7\n";
        assert_eq!(read_text(lost).unwrap_err().place.line, Some(1));
    }
}
