use super::{LevelReading, LevelRow, Levels, Setup, SightKind, StaffPoint};
use crate::reading::{CellError, ReadOptions};
use std::collections::BTreeMap;

/// Height of the first point where the book knows none, m: a local datum.
const LOCAL_DATUM_M: f64 = 100.0;

/// How far a booked rise, fall or height may differ from our own, m: rounding of the page.
const ROUNDING_M: f64 = 0.0015;

/// Reduces the rows of a level book.
///
/// Heights are carried on by the height of instrument (elevation + backsight - sight); rises and falls are summed beside them as a second way.
///
/// # Errors
/// A set-up without backsight or foresight, a sight on a point that hangs on nothing, a reading longer than the staff,
/// a booked rise, fall or height that the readings contradict: row and column.
pub fn reduce(rows: &[LevelRow], options: &ReadOptions) -> Result<Levels, CellError> {
    let mut page = BookPage::new(options, booked_heights(rows));
    refuse_swapped(rows)?;
    for row in rows {
        page.take(row)?;
    }
    page.end()?;
    let mut levels = page.levels;
    levels.sums.change_m = change(&levels);
    if page.is_booked {
        super::close::check_booked(&mut levels, rows, ROUNDING_M, options)?;
    }
    Ok(levels)
}

/// A book that is still being written, as far as it goes: its whole set-ups, and the one that is open.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct SoFar {
    /// The rows, reduced; the sums run to the last reading, as if it ended its set-up.
    pub levels: Levels,
    /// The set-up that no foresight has ended yet.
    pub open: Option<Setup>,
}

/// Reduces the rows of a level book whose last set-up may still be open.
///
/// # Errors
/// As [`reduce`], but for the end of the page.
pub fn so_far(rows: &[LevelRow], options: &ReadOptions) -> Result<SoFar, CellError> {
    let mut page = BookPage::new(options, booked_heights(rows));
    for row in rows {
        page.take(row)?;
    }
    let open = page.open.take();
    let mut levels = page.levels;
    levels.sums.change_m = change(&levels);
    if let Some((first, last)) = open
        .as_ref()
        .and_then(|s| Some((s.sights.first()?, s.sights.last()?)))
    {
        levels.sums.fs_m += last.reading_m;
        levels.sums.change_m += first.reading_m - last.reading_m;
    }
    Ok(SoFar { levels, open })
}

/// Whether nearly every row that was read has a height: then the column holds the book's own reduction.
fn booked_heights(rows: &[LevelRow]) -> bool {
    let read = rows.iter().filter(|r| has_reading(r)).count();
    let with = rows
        .iter()
        .filter(|r| has_reading(r) && r.elevation_m.is_some())
        .count();
    read >= 4 && with * 5 >= read * 4
}

fn has_reading(row: &LevelRow) -> bool {
    row.bs_m.or(row.is_m).or(row.fs_m).is_some()
}

/// Backsights and foresights in each other's column: the page then begins with a foresight and ends on a backsight.
fn refuse_swapped(rows: &[LevelRow]) -> Result<(), CellError> {
    let mut read = rows.iter().filter(|r| has_reading(r));
    let Some(first) = read.next() else {
        return Ok(());
    };
    let last = read.next_back().unwrap_or(first);
    let only_fore = first.fs_m.is_some() && first.bs_m.is_none();
    if only_fore && last.bs_m.is_some() && last.fs_m.is_none() {
        return Err(CellError::new(
            first.row,
            "fs",
            "the page starts with a foresight and ends with a backsight",
        )
        .expected("a backsight first, and a foresight last")
        .advice("the columns bs and fs seem to be exchanged. Correct their heads"));
    }
    Ok(())
}

fn change(levels: &Levels) -> f64 {
    let ends = levels.setups.iter().filter_map(|s| {
        let (first, last) = (s.sights.first()?, s.sights.last()?);
        (last.kind == SightKind::Fore).then_some((s.instrument_m, first, last))
    });
    let mut sum = 0.0;
    for (instrument_m, first, last) in ends {
        let height = |s: &LevelReading| instrument_m - s.reading_m;
        sum += height(last) - height(first);
    }
    sum
}

/// A page while it is read.
struct BookPage<'a> {
    levels: Levels,
    options: &'a ReadOptions,
    is_booked: bool,
    /// The set-up that is open.
    open: Option<Setup>,
    open_label: String,
    /// The point a foresight just ended on, while a backsight on it may follow.
    turned: Option<usize>,
    /// Places by name and station.
    known: BTreeMap<String, usize>,
    first_name: Option<String>,
    run: usize,
}

impl<'a> BookPage<'a> {
    fn new(options: &'a ReadOptions, is_booked: bool) -> Self {
        Self {
            levels: Levels::default(),
            options,
            is_booked,
            open: None,
            open_label: String::new(),
            turned: None,
            known: BTreeMap::new(),
            first_name: None,
            run: 0,
        }
    }

    fn take(&mut self, row: &LevelRow) -> Result<(), CellError> {
        for (reading, column) in [(row.bs_m, "bs"), (row.is_m, "is"), (row.fs_m, "fs")] {
            if let Some(r) = reading.filter(|r| r.abs() > self.options.staff_m) {
                let limit = self.options.staff_m;
                return Err(CellError::new(row.row, column, format!("the staff reading {} is more than the length of the staff", self.options.told(r)))
                    .expected(format!("at most {}. If the staff is upside down, the reading is negative", self.options.told(limit)))
                    .advice("check the decimal point and the unit. Check that this column has no stations or heights. For a longer staff, write `staff` under [survey]"));
            }
        }
        match (row.bs_m, row.is_m, row.fs_m) {
            (None, None, None) => self.silent(row),
            (Some(bs), None, None) => self.back(row, bs, None),
            (None, Some(is), None) => self.sight(row, is, SightKind::Between).map(|_| ()),
            (bs, None, Some(fs)) => {
                let point = self.sight(row, fs, SightKind::Fore)?;
                match bs {
                    Some(bs) => self.back(row, bs, Some(point)),
                    None => Ok(()),
                }
            }
            (Some(_), Some(_), _) | (_, Some(_), Some(_)) => Err(CellError::new(
                row.row,
                "is",
                "one row has an intermediate sight together with a backsight or a foresight",
            )
            .expected(
                "one row for each staff point. A change point has bs and fs. All other points have one reading",
            )
            .advice("write the intermediate sight in a separate row")),
        }
    }

    /// A row without reading: a known height for a point already read, or nothing.
    fn silent(&mut self, row: &LevelRow) -> Result<(), CellError> {
        let Some(known) = row.elevation_m else {
            return Ok(());
        };
        match self.same(row) {
            Some(point) if !self.is_booked => {
                if let Some(p) = self.levels.points.get_mut(point) {
                    p.known_m = Some(known);
                }
            }
            _ => self.levels.notes.push((
                row.row,
                "this height is not used, because its point has no staff reading".to_owned(),
            )),
        }
        Ok(())
    }

    /// A backsight: on the change point of this row, on the one just turned on, on a point read before, or on a known height.
    fn back(&mut self, row: &LevelRow, bs: f64, on: Option<usize>) -> Result<(), CellError> {
        if on.is_none() {
            self.end()?;
        }
        let begins = self.levels.points.is_empty();
        let same = self.same(row);
        let turned = self.turned.take().filter(|&p| self.agrees(row, p));
        let point = match on.or(same).or(turned) {
            Some(point) => point,
            None if begins || row.elevation_m.is_some() => {
                if !begins {
                    self.run += 1;
                }
                let height = row.elevation_m.unwrap_or(LOCAL_DATUM_M);
                self.new_point(row, height, 0, 0.0)
            }
            None => {
                return Err(CellError::new(
                    row.row,
                    "bs",
                    "this backsight is on a point with no height yet",
                )
                .expected("a backsight on the last change point, on a point with an earlier reading, or on a known height")
                .advice("give the change point the same name or station in both rows, or give its elevation"));
            }
        };
        self.know(row, point);
        let run = self.levels.points.get(point).map_or(self.run, |p| p.run);
        let height = self.levels.points.get(point).map_or(0.0, |p| p.height_m);
        self.levels.sums.bs_m += bs;
        self.open_label.clone_from(&row.setup);
        self.open = Some(Setup {
            run,
            instrument_m: height + bs,
            sights: vec![LevelReading {
                point,
                reading_m: bs,
                kind: SightKind::Back,
                row: row.row,
            }],
        });
        Ok(())
    }

    /// An intermediate sight or a foresight from the open set-up; a foresight ends it.
    fn sight(&mut self, row: &LevelRow, reading: f64, kind: SightKind) -> Result<usize, CellError> {
        let Some(mut setup) = self.open.take() else {
            let (what, advice) = if self.levels.setups.is_empty() {
                (
                    "there is no backsight before this sight",
                    "start the page with a backsight on the first point. If the page has it, check if the columns are exchanged",
                )
            } else {
                (
                    "there is no backsight after the foresight of the last set-up",
                    "write the backsight on the change point in the row of the foresight, or in the next row",
                )
            };
            return Err(CellError::new(row.row, "bs", what)
                .found("no backsight")
                .expected("a backsight at the start of the set-up")
                .advice(advice));
        };
        let labelled = !row.setup.is_empty() && !self.open_label.is_empty();
        if labelled && row.setup != self.open_label && row.bs_m.is_none() {
            return Err(
                CellError::new(row.row, "bs", "this set-up has no backsight")
                    .found(format!("set-up {} after {}", row.setup, self.open_label))
                    .expected("a backsight in the first row of each set-up")
                    .advice(
                        "write the backsight of this set-up, or correct the name of the set-up",
                    ),
            );
        }
        if let Some(last) = setup.sights.last() {
            check_rise(row, last.reading_m - reading, self.options)?;
            let rise = last.reading_m - reading;
            self.levels.sums.rise_m += rise.max(0.0);
            self.levels.sums.fall_m += (-rise).max(0.0);
        }
        let height = setup.instrument_m - reading;
        let back = setup.sights.first().map_or(0, |s| s.point);
        let (count, distance) = self.levels.points.get(back).map_or((0, 0.0), |p| {
            (p.count, p.distance_m + gap(p.station_m, row.station_m))
        });
        let point = match self
            .same(row)
            .filter(|p| setup.sights.iter().all(|s| s.point != *p))
        {
            Some(point) => point,
            None => self.new_point_in(row, height, count + 1, distance, setup.run),
        };
        self.know(row, point);
        setup.sights.push(LevelReading {
            point,
            reading_m: reading,
            kind,
            row: row.row,
        });
        if kind == SightKind::Fore {
            // A rise summed over intermediate sights is the set-up's backsight less its foresight.
            self.levels.sums.fs_m += reading;
            self.levels.setups.push(setup);
            self.turned = Some(point);
        } else {
            self.open = Some(setup);
        }
        Ok(point)
    }

    /// The open set-up must have ended on a foresight.
    fn end(&mut self) -> Result<(), CellError> {
        let Some(last) = self.open.as_ref().and_then(|s| s.sights.last()) else {
            return Ok(());
        };
        let (column, text) = match last.kind {
            SightKind::Back => ("bs", "there is no reading after this backsight"),
            _ => ("is", "the set-up ends with an intermediate sight"),
        };
        Err(CellError::new(last.row, column, text)
            .expected("a set-up that ends with a foresight")
            .advice("write the last reading of each set-up in the column fs"))
    }

    fn new_point(&mut self, row: &LevelRow, height: f64, count: usize, distance: f64) -> usize {
        self.new_point_in(row, height, count, distance, self.run)
    }

    fn new_point_in(
        &mut self,
        row: &LevelRow,
        height_m: f64,
        count: usize,
        distance_m: f64,
        run: usize,
    ) -> usize {
        self.levels.points.push(StaffPoint {
            station_m: row.station_m,
            name: row.point.clone(),
            row: row.row,
            known_m: None,
            height_m,
            run,
            count,
            distance_m,
        });
        self.levels.points.len() - 1
    }

    /// Remembers a point under its name and station, and its known height.
    fn know(&mut self, row: &LevelRow, point: usize) {
        if self.first_name.is_none() {
            self.first_name = Some(row.point.to_lowercase());
        }
        if let Some(key) = self.key(row) {
            self.known.entry(key).or_insert(point);
        }
        let is_first = point == 0;
        if let Some(p) = self.levels.points.get_mut(point) {
            if p.station_m.is_none() {
                p.station_m = row.station_m;
            }
            if p.name.is_empty() {
                p.name.clone_from(&row.point);
            }
            if !self.is_booked || is_first {
                p.known_m = p.known_m.or(row.elevation_m);
            }
        }
    }

    /// What makes a place the same place: its station with its name, or its name alone where it is one of its own.
    fn key(&self, row: &LevelRow) -> Option<String> {
        let name = row.point.trim().to_lowercase();
        match row.station_m {
            Some(s) if name.is_empty() || is_common(&name) => Some(format!("@{s:.4}")),
            None if name.is_empty() => None,
            None if is_common(&name) && self.first_name.as_ref() != Some(&name) => None,
            _ => Some(name),
        }
    }

    /// The point read before that this row is on again.
    fn same(&mut self, row: &LevelRow) -> Option<usize> {
        let point = self.key(row).and_then(|k| self.known.get(&k).copied())?;
        let before = self.levels.points.get(point)?.station_m;
        let apart = row
            .station_m
            .zip(before)
            .is_some_and(|(a, b)| (a - b).abs() > 1e-6);
        if apart {
            self.levels.notes.push((
                row.row,
                format!(
                    "the name {} is used at two stations. The program reads it as two points",
                    row.point
                ),
            ));
            return None;
        }
        Some(point)
    }

    /// Whether a row may be the second row of the change point just turned on.
    fn agrees(&self, row: &LevelRow, point: usize) -> bool {
        let Some(p) = self.levels.points.get(point) else {
            return false;
        };
        let same_name =
            row.point.is_empty() || p.name.is_empty() || row.point.eq_ignore_ascii_case(&p.name);
        let same_station = match (row.station_m, p.station_m) {
            (Some(a), Some(b)) => (a - b).abs() < 1e-6,
            _ => true,
        };
        same_name && same_station
    }
}

/// Words that name many points of a book.
fn is_common(name: &str) -> bool {
    const COMMON: [&str; 14] = [
        "tp",
        "cp",
        "t.p.",
        "c.p.",
        "t.p",
        "c.p",
        "bs",
        "is",
        "fs",
        "peg",
        "bm",
        "change point",
        "turning point",
        "change",
    ];
    COMMON.contains(&name)
}

fn gap(a: Option<f64>, b: Option<f64>) -> f64 {
    a.zip(b)
        .map_or(super::close::SETUP_LENGTH_M, |(a, b)| (b - a).abs())
}

/// A booked rise or fall against the readings'.
fn check_rise(row: &LevelRow, ours: f64, options: &ReadOptions) -> Result<(), CellError> {
    let (booked, column) = match (row.rise_m, row.fall_m) {
        (None, None) => return Ok(()),
        (Some(r), None) => (r, "rise"),
        (None, Some(f)) => (-f, "fall"),
        (Some(r), Some(f)) if r == 0.0 || f == 0.0 => {
            (r - f, if f == 0.0 { "rise" } else { "fall" })
        }
        (Some(_), Some(_)) => {
            return Err(
                CellError::new(row.row, "fall", "this row has a rise and a fall")
                    .expected("one of the two")
                    .advice("keep the value that agrees with the readings"),
            );
        }
    };
    if (booked - ours).abs() <= ROUNDING_M {
        return Ok(());
    }
    let word = |x: f64| {
        format!(
            "a {} of {}",
            if x < 0.0 { "fall" } else { "rise" },
            options.told(x.abs())
        )
    };
    Err(CellError::new(
        row.row,
        column,
        "the rise or fall in the book does not agree with the readings",
    )
    .found(word(booked))
    .expected(format!(
        "{}: the last reading minus this reading",
        word(ours)
    ))
    .advice("calculate this row again. A reading, the rise or the fall is wrong"))
}
