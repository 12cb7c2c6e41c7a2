//! A book while it is being kept: what its rows say so far, the check of the page, and what is still lacking.

use super::table::FieldTable;
use super::{booked, heads, level_sheet};
use crate::reading::{Data, Method, Misclosure, ReadOptions, Reading};
use crate::reduction::level::{self, LevelReading, LevelRow, PageSums, Setup, SightKind};
use crate::text::{Fault, Place, Remark, Sentence, Sheet, decode};

/// A book as far as it is kept.
#[derive(Debug, Clone, PartialEq)]
pub struct BookSoFar {
    /// Which kind of book.
    pub method: Method,
    /// What each row gives, by its line in the file.
    pub rows: Vec<RowSoFar>,
    /// The arithmetic check to the last reading of a level book.
    pub sums: Option<PageSums>,
    /// The same in words.
    pub check: Option<Sentence>,
    /// How far the book fails to close, once it closes on something.
    pub misclosure: Option<Misclosure>,
    /// Set-ups that are whole.
    pub setups: usize,
    /// A set-up waits for its foresight.
    pub is_open: bool,
    /// Set-ups that the way back to the start takes at least, as they were made so far.
    pub setups_to_close: Option<usize>,
    /// What was noticed, each at its place.
    pub remarks: Vec<Remark>,
    /// What is wrong.
    pub faults: Vec<Fault>,
    /// What the book cannot give before more rows are in it.
    pub lacking: Option<Fault>,
}

/// What a row gives.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct RowSoFar {
    /// Line in the file.
    pub line: u32,
    /// Station, m.
    pub station_m: Option<f64>,
    /// Height of the line of sight from here on, m.
    pub instrument_m: Option<f64>,
    /// Elevation, m, before a misclosure is spread.
    pub elevation_m: Option<f64>,
    /// Rise from the sight before, m; a fall is negative.
    pub rise_m: Option<f64>,
}

/// Reads a book that may end anywhere.
///
/// # Errors
/// Where it has no heads of a book, or holds what cannot be read.
pub fn book_so_far(bytes: &[u8], file: &str, options: &ReadOptions) -> Result<BookSoFar, Fault> {
    let decoded = decode(file, bytes)?;
    let sheet = Sheet::read(file, &decoded.text)?;
    let method = heads::kind_of(&sheet)?;
    let options = &ReadOptions {
        feet: heads::in_feet(&sheet),
        ..options.clone()
    };
    let mut book = BookSoFar {
        method,
        rows: Vec::new(),
        sums: None,
        check: None,
        misclosure: None,
        setups: 0,
        is_open: false,
        setups_to_close: None,
        remarks: Vec::new(),
        faults: Vec::new(),
        lacking: None,
    };
    if method == Method::Level {
        book.levelled(&sheet, options);
    }
    // The reader of whole books says the rest: it is asked wherever the book could end here.
    if !book.is_open && book.faults.is_empty() {
        match booked::read(&sheet, None, Some(method), options) {
            Ok(reading) => book.read(&reading),
            Err(fault) if is_of_the_heads(&fault, &sheet) => book.lacking = Some(fault),
            Err(fault) => book.faults.push(fault),
        }
    }
    Ok(book)
}

/// What is told at the heads is told of the book as a whole: nothing in a row is wrong.
fn is_of_the_heads(fault: &Fault, sheet: &Sheet) -> bool {
    let first = sheet.rows.first().map_or(u32::MAX, |r| r.line);
    fault.place.line.is_none_or(|line| line < first)
}

impl BookSoFar {
    fn levelled(&mut self, sheet: &Sheet, options: &ReadOptions) {
        let table = FieldTable::new(sheet);
        let rows = match level_sheet::rows(&table) {
            Ok(rows) => rows,
            Err(fault) => return self.faults.push(fault),
        };
        let so_far = match level::so_far(&rows, options) {
            Ok(so_far) => so_far,
            Err(slip) => {
                // What stood before the row that is wrong still stands.
                let before: Vec<LevelRow> =
                    rows.iter().filter(|r| r.row < slip.row).cloned().collect();
                self.faults.push(table.slip(slip));
                match level::so_far(&before, options) {
                    Ok(so_far) => so_far,
                    Err(_) => return,
                }
            }
        };
        self.setups = so_far.levels.setups.len();
        self.is_open = so_far.open.is_some();
        self.sums = Some(so_far.levels.sums);
        self.check = Some(level_sheet::checked(&so_far.levels.sums, options));
        let setups = so_far.levels.setups.iter().chain(&so_far.open);
        for setup in setups.clone() {
            self.sights(setup, sheet, &rows);
        }
        self.rows.sort_by_key(|r| r.line);
        let falls: Vec<f64> = so_far.levels.setups.iter().filter_map(fall).collect();
        self.doubts(sheet, &rows, &falls, options);
        // From the last point home, by steps as large as those that were made.
        let last = self.rows.iter().rev().find_map(|r| r.elevation_m);
        let first = self.rows.iter().find_map(|r| r.elevation_m);
        let step = falls.iter().map(|f| f.abs()).fold(0.0, f64::max);
        if let (Some(first), Some(last)) = (first, last)
            && step > 0.0
        {
            let steps = ((first - last).abs() / step).ceil().clamp(1.0, 1e4);
            let steps = steps as usize;
            self.setups_to_close = Some(steps);
        }
    }

    /// What the sights of a set-up give their rows.
    fn sights(&mut self, setup: &Setup, sheet: &Sheet, rows: &[LevelRow]) {
        let mut before: Option<&LevelReading> = None;
        for sight in &setup.sights {
            let line = sheet.rows.get(sight.row).map_or(0, |r| r.line);
            let at = match self.rows.iter().position(|r| r.line == line) {
                Some(at) => at,
                None => {
                    self.rows.push(RowSoFar {
                        line,
                        ..RowSoFar::default()
                    });
                    self.rows.len() - 1
                }
            };
            let Some(row) = self.rows.get_mut(at) else {
                continue;
            };
            row.station_m = rows
                .iter()
                .find(|r| r.row == sight.row)
                .and_then(|r| r.station_m);
            row.elevation_m = Some(setup.instrument_m - sight.reading_m);
            if sight.kind == SightKind::Back {
                row.instrument_m = Some(setup.instrument_m);
            }
            if let Some(before) = before {
                row.rise_m = Some(before.reading_m - sight.reading_m);
            }
            before = Some(sight);
        }
    }

    /// What no rule forbids, but what is more often a slip than the ground.
    fn doubts(&mut self, sheet: &Sheet, rows: &[LevelRow], falls: &[f64], options: &ReadOptions) {
        let place = |row: usize, column: &str| {
            let at = sheet.column_of(&[&format!("{column}_m"), &format!("{column}_ft")]);
            sheet.rows.get(row).map_or_else(
                || Place::file(&sheet.file),
                |r| at.map_or_else(|| Place::line(&sheet.file, r.line), |c| sheet.place(r, c)),
            )
        };
        let mut said = Vec::new();
        let mut last: Option<(f64, f64)> = None;
        for own in &self.rows {
            let (Some(station), Some(height)) = (own.station_m, own.elevation_m) else {
                continue;
            };
            if let Some((s, h)) = last
                && (station - s).abs() > 0.0
                && (height - h).abs() > (station - s).abs() + JUMP_SLACK_M
            {
                let words = options.say("a jump of ".into(), height - h).words(
                    " that is not possible on this distance. Check for a wrong decimal point or a wrong station",
                );
                said.push(Remark::new(Place::line(&sheet.file, own.line), words));
            }
            last = Some((station, height));
        }
        let (mut up, mut down) = (0, 0);
        for (i, fall) in falls.iter().enumerate() {
            let against = if *fall > 0.0 { up } else { down };
            let along = if *fall > 0.0 { down } else { up };
            let is_last = i + 1 == falls.len();
            if is_last && along == 0 && against >= STEADY_SETUPS && fall.abs() > EXCHANGED_M {
                let row = rows.iter().rev().find(|r| r.fs_m.is_some());
                said.push(Remark::new(
                    row.map_or_else(|| Place::file(&sheet.file), |r| place(r.row, "fs")),
                    "this set-up goes the other way than all before it. Check that backsight and foresight are not exchanged",
                ));
            }
            if *fall > 0.0 {
                down += 1;
            } else {
                up += 1;
            }
        }
        self.remarks.append(&mut said);
    }

    /// What the reader of whole books says.
    fn read(&mut self, reading: &Reading) {
        let Data::Book(book) = &reading.data else {
            return;
        };
        self.misclosure = book.misclosure;
        self.remarks.extend(reading.remarks.iter().cloned());
        if reading.method == Method::Level {
            return;
        }
        let mut before: Option<f64> = None;
        for point in &book.points {
            let Some(line) = point.place.line else {
                continue;
            };
            // The point that a line of legs starts from stands on the row of its first leg, which ends on the next.
            self.rows.retain(|r| r.line != line);
            self.rows.push(RowSoFar {
                line,
                station_m: point.station_m,
                instrument_m: None,
                elevation_m: point.height_m,
                rise_m: before.zip(point.height_m).map(|(a, b)| b - a),
            });
            before = point.height_m;
        }
    }
}

/// How far a whole set-up falls, m.
fn fall(setup: &Setup) -> Option<f64> {
    let (first, last) = (setup.sights.first()?, setup.sights.last()?);
    Some(last.reading_m - first.reading_m)
}

/// More height than length by so much is no ground, m: what stations and stakes are off.
const JUMP_SLACK_M: f64 = 0.25;
/// After so many set-ups one way, one the other way is asked about.
const STEADY_SETUPS: usize = 3;
/// Where it goes so far the other way, m.
const EXCHANGED_M: f64 = 0.5;

#[cfg(test)]
mod tests {
    use super::*;

    fn kept(text: &str) -> BookSoFar {
        book_so_far(text.as_bytes(), "b.csv", &ReadOptions::default()).unwrap()
    }

    /// A book that closes, worked by hand: 100.000 + 1.200 - 2.400 = 98.800; 98.800 + 2.300 - 1.095 = 100.005.
    const CLOSED: &str = "station_m,bs_m,is_m,fs_m,elevation_m,point\n0,1.200,,,100,A\n10,,1.800,,,B\n20,2.300,,2.400,,C\n0,,,1.095,,A\n";

    #[test]
    fn every_row_of_a_book_that_is_still_kept_is_carried() {
        let lines: Vec<&str> = CLOSED.lines().collect();
        let heights = [100.0, 99.4, 98.8, 100.005];
        for n in 1..=4 {
            let text = lines.get(..=n).unwrap().join("\n");
            let book = kept(&text);
            assert!(book.faults.is_empty(), "{n}: {:?}", book.faults);
            let last = book.rows.last().unwrap();
            assert!((last.elevation_m.unwrap() - heights.get(n - 1).unwrap()).abs() < 1e-9);
            assert!(book.sums.unwrap().left_m() < 1e-9, "{n}");
            assert_eq!(book.is_open, n < 4);
        }
        let whole = kept(CLOSED);
        assert!((whole.misclosure.unwrap().found_m - 0.005).abs() < 1e-9);
        assert_eq!(
            kept(&lines.get(..3).unwrap().join("\n"))
                .rows
                .first()
                .unwrap()
                .instrument_m,
            Some(101.2)
        );
    }

    #[test]
    fn a_row_that_breaks_the_rules_is_told_and_what_stood_before_stands() {
        let book = kept("station_m,bs_m,is_m,fs_m\n0,1.2,,\n10,,12.4,\n");
        assert_eq!(book.faults.first().unwrap().place.line, Some(3));
        assert_eq!(book.rows.len(), 1);
        // A slip of the decimal point that the staff still allows.
        let book = kept("station_m,bs_m,is_m,fs_m\n0,0.14,,\n2,,4.4,\n");
        assert!(
            book.remarks
                .iter()
                .any(|r| r.text.contains("a jump of -4.260 m")),
            "{:?}",
            book.remarks
        );
    }

    #[test]
    fn a_set_up_against_all_before_it_is_asked_about() {
        let text =
            "station_m,bs_m,is_m,fs_m\n0,1.0,,\n9,1.0,,2.0\n19,1.0,,2.0\n30,1.0,,2.0\n40,,,0.2\n";
        let book = kept(text);
        assert!(
            book.remarks.iter().any(|r| r.text.contains("exchanged")),
            "{:?}",
            book.remarks
        );
    }

    #[test]
    fn what_more_rows_would_give_is_lacking_and_not_wrong() {
        let book = kept("station_m,pressure_psi\n0,4\n");
        assert!(book.faults.is_empty() && book.lacking.is_some());
        let book = kept("station_m,pressure_psi\n0,4\n10,9\n");
        assert_eq!((book.rows.len(), book.lacking), (2, None));
    }

    /// 10 m at 30 degrees down fall by 5 m, 20 m at 30 degrees up rise by 10 m: sin 30 degrees is a half.
    #[test]
    fn each_leg_gives_the_point_that_it_ends_on() {
        let book = kept("from,to,tape_m,angle_deg\nA,B,10,-30\nB,C,20,30\n");
        let heights: Vec<f64> = book.rows.iter().filter_map(|r| r.elevation_m).collect();
        assert_eq!(book.rows.iter().map(|r| r.line).collect::<Vec<_>>(), [2, 3]);
        for (height, by_hand) in heights.iter().zip([95.0, 105.0]) {
            assert!((height - by_hand).abs() < 1e-9, "{heights:?}");
        }
        assert!(book.rows.iter().all(|r| r.rise_m.is_some()));
    }
}
