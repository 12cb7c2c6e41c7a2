use super::level_sheet::TAPED_SHARE;
use super::table::{FieldTable, FigureColumn, PULLS, TEMPERATURES};
use crate::reading::{Book, BookPoint, Data, Method, Position, ReadOptions, Reading};
use crate::reduction::angle::{LegRow, LineOfLegs, RiseMeasure, Stadia, string};
use crate::text::{Fault, Place, Remark, Row, Sheet};

/// Standard deviation of a point of an angle book that is its own, m: the foot of the target, the mark on the ground.
const POINT_SD_M: f64 = 0.02;

/// Reads an angle book.
pub(super) fn read(sheet: &Sheet, options: &ReadOptions) -> Result<Reading, Fault> {
    let table = FieldTable::new(sheet);
    let columns = AngleColumns::find(&table)?;
    let mut rows = Vec::new();
    for (i, row) in sheet.rows.iter().enumerate() {
        rows.push(columns.row(&table, row, i, options)?);
    }
    let line = string(&rows, options).map_err(|s| table.slip(s))?;
    let place = |row: usize| {
        sheet.rows.get(row).map_or_else(
            || Place::file(&sheet.file),
            |r| table.point_place(r, &["to", "point", "name"]),
        )
    };
    let points = line
        .points
        .iter()
        .map(|p| BookPoint {
            station_m: Some(p.station_m),
            height_m: Some(p.height_m),
            sd_m: options.point_sd_m.unwrap_or(POINT_SD_M),
            position: p
                .plan_m
                .map(|(east_m, north_m)| Position::Grid { east_m, north_m }),
            name: p.name.clone(),
            place: place(p.row),
        })
        .collect();
    let mut remarks = sheet.remarks.clone();
    remarks.extend(told(&line, &rows, sheet, options));
    remarks.extend(
        line.notes
            .iter()
            .map(|(row, text)| Remark::new(place(*row), text)),
    );
    Ok(Reading {
        method: Method::Angle,
        file: sheet.file.clone(),
        source: Default::default(),
        points_read: line.points.len(),
        data: Data::Book(Book {
            points,
            factors: line.factors_m,
            along_slope: Some(true),
            station_sd_share: TAPED_SHARE,
            misclosure: line.misclosure,
            tied: line.tied,
            setups: 0,
        }),
        places: Vec::new(),
        remarks,
    })
}

fn told(line: &LineOfLegs, rows: &[LegRow], sheet: &Sheet, options: &ReadOptions) -> Vec<Remark> {
    let whole = || Place::file(&sheet.file);
    let mut out = Vec::new();
    let taped = rows.iter().any(|r| r.tape_m.is_some());
    if taped && options.along_slope.is_none() {
        out.push(Remark::new(
            whole(),
            "the program assumes that tape_m is the length along the slope. If the tape was horizontal, write taped = \"horizontal\"",
        ));
    }
    let steep = rows
        .iter()
        .filter(|r| matches!(r.measures.as_slice(), [RiseMeasure::AngleDeg(a)] if a.abs() > 35.0));
    if let Some(first) = steep.min_by_key(|r| r.row) {
        let line = sheet.rows.get(first.row).map_or(1, |r| r.line);
        out.push(Remark::new(
            Place::line(&sheet.file, line),
            "this angle is more than 35 degrees. Make sure that it is not a reading of the percent scale",
        ));
    }
    out.extend(tape_told(rows, options).map(|text| Remark::new(whole(), text)));
    if line.misclosure.is_none() {
        out.push(Remark::new(
            whole(),
            "the book does not close on a known height. It cannot show a wrong scale, sign or leg. Sight each leg in both directions, or give a second known height",
        ));
    }
    if let Some((index_rad, sd_rad, count)) = line.index_seen {
        let shown = (index_rad.to_degrees() * 100.0).round() / 100.0 + 0.0;
        let sd = sd_rad.to_degrees();
        let one_way = rows
            .iter()
            .filter(|r| !r.measures.is_empty())
            .count()
            .saturating_sub(2 * count);
        let rest = if one_way > 0 && shown.abs() > 2.0 * sd {
            let all = shown + options.index_error_rad.unwrap_or(0.0).to_degrees();
            let legs = if one_way == 1 {
                "1 leg was".to_owned()
            } else {
                format!("{one_way} legs were")
            };
            format!(
                ". {legs} sighted in one direction only. To correct this, write index_error = \"{all:.2} deg\" under [survey]"
            )
        } else {
            String::new()
        };
        out.push(Remark::new(
            whole(),
            format!(
                "{} an index error of {shown:+.2} +- {:.2} degrees. {} not affected by it{rest}",
                if count == 1 {
                    "the leg sighted in both directions shows".to_owned()
                } else {
                    format!("{count} legs sighted in both directions show")
                },
                2.0 * sd,
                if count == 1 {
                    "The mean of its sights is"
                } else {
                    "The means of their sights are"
                }
            ),
        ));
    }
    if line.closes_on_its_start {
        out.push(Remark::new(
            whole(),
            "the book closes only on its own start. This shows a wrong sign or a wrong leg, but not a wrong scale. Give a second known height to check the scale",
        ));
    }
    if let Some((off, length)) = line.plan_off_m.filter(|(off, _)| *off > 0.0) {
        out.push(Remark::new(
            whole(),
            format!("the misclosure of the traverse in plan is 1 in {:.0}. The program distributes it with the compass rule", length / off),
        ));
    }
    if !line.tied {
        out.push(Remark::new(
            whole(),
            "no known height is given, so the heights refer to a local datum",
        ));
    }
    out
}

/// What was corrected of the tape's lengths, and what could not be.
fn tape_told(rows: &[LegRow], options: &ReadOptions) -> Option<String> {
    let is_warm = rows.iter().any(|r| r.tape_c.is_some());
    let is_pulled = rows.iter().any(|r| r.pull_n.is_some());
    match options.tape {
        None if is_warm => Some(format!(
            "the book gives the tape temperature, but the site file does not describe the tape. The program assumes a steel tape, correct at {}. Use [survey.tape] for other tapes",
            if options.feet { "68 F" } else { "20 C" }
        )),
        None if is_pulled => Some("the book gives the pull of the tape, but the program does not use it. To use it, give standard_pull, width and thickness in [survey.tape]".to_owned()),
        None => None,
        Some(tape) => {
            let mut lacking = Vec::new();
            if tape.span_m.is_some() && tape.weight_n_per_m.is_none() {
                lacking.push("sag (weight is not given)");
            }
            if is_pulled && (tape.standard_pull_n.is_none() || tape.section_m2.is_none()) {
                lacking.push("pull (standard_pull, width and thickness are not given)");
            }
            let rest = if lacking.is_empty() {
                String::new()
            } else {
                format!(", but not for {}", lacking.join(" or "))
            };
            Some(format!("the lengths are corrected with the data of [survey.tape]{rest}"))
        }
    }
}

type LengthReading = Option<super::table::LengthColumn>;

/// Where everything stands in the sheet.
struct AngleColumns {
    from: Option<usize>,
    to: Option<usize>,
    tape: LengthReading,
    slope: LengthReading,
    horizontal: LengthReading,
    angle: Option<usize>,
    percent: Option<usize>,
    permille: Option<usize>,
    one_in: Option<usize>,
    rise: LengthReading,
    steps: Option<usize>,
    tube: (LengthReading, LengthReading),
    stadia: (LengthReading, LengthReading, LengthReading),
    bearing: Option<usize>,
    eye: LengthReading,
    target: LengthReading,
    pull: Option<FigureColumn>,
    temperature: Option<FigureColumn>,
    elevation: LengthReading,
}

impl AngleColumns {
    fn find(table: &FieldTable<'_>) -> Result<Self, Fault> {
        let to = table.sheet.column_of(&["to", "point", "name"]);
        let found = Self {
            from: table.plain("from"),
            to,
            tape: table.length("tape")?,
            slope: table.length("slope")?,
            horizontal: table.length("horizontal")?,
            angle: table.plain("angle_deg"),
            percent: table.plain("grade_percent"),
            permille: table.plain("grade_permille"),
            one_in: table.plain("one_in"),
            rise: table.length("rise")?,
            steps: table.plain("steps"),
            tube: (table.length("tube_a")?, table.length("tube_b")?),
            stadia: (
                table.length("upper")?,
                table.length("middle")?,
                table.length("lower")?,
            ),
            bearing: table.plain("bearing_deg"),
            eye: table.length("eye")?,
            target: table.length("target")?,
            pull: table.measured("pull", &PULLS)?,
            temperature: table.measured("tape_temp", &TEMPERATURES)?,
            elevation: table.length("elevation")?,
        };
        for (head, units) in [
            ("angle", "angle_deg, grade_percent or grade_permille"),
            ("grade", "grade_percent, grade_permille or one_in"),
            ("bearing", "bearing_deg"),
        ] {
            if let Some(column) = table.plain(head) {
                return Err(table
                    .sheet
                    .head_fault(column, "this column head has no unit")
                    .expected(units)
                    .advice("give the scale of the instrument in the head. Degrees and percent are different"));
            }
        }
        Ok(found)
    }

    fn row(
        &self,
        table: &FieldTable<'_>,
        row: &Row,
        index: usize,
        options: &ReadOptions,
    ) -> Result<LegRow, Fault> {
        let length = |c: LengthReading| table.metres(row, c);
        let number = |c: Option<usize>| table.number(row, c);
        let eye_m = length(self.eye)?;
        let angle = table.degrees(row, self.angle)?;
        let stadia = (
            length(self.stadia.0)?,
            length(self.stadia.1)?,
            length(self.stadia.2)?,
        );
        let tube = (length(self.tube.0)?, length(self.tube.1)?);
        let half = |what: &str, column: Option<usize>| {
            table
                .sheet
                .fault(
                    row,
                    column.unwrap_or(0),
                    format!("{what} of this leg are not complete"),
                )
                .expected("all of these readings in the row, or none")
                .advice("find the missing reading in the field book")
        };
        let mut measures = Vec::new();
        match stadia {
            (Some(upper_m), Some(middle_m), Some(lower_m)) => {
                measures.push(RiseMeasure::Stadia(Stadia {
                    upper_m,
                    middle_m,
                    lower_m,
                    angle_rad: angle.unwrap_or(0.0).to_radians(),
                    instrument_m: eye_m.or(options.eye_m).ok_or_else(|| {
                        half(
                            "without the instrument height (eye_m), the stadia readings",
                            table.sheet.column_of(&["eye_m", "middle_m", "middle_ft"]),
                        )
                    })?,
                }));
            }
            (None, None, None) => measures.extend(angle.map(RiseMeasure::AngleDeg)),
            _ => {
                return Err(half(
                    "the stadia readings",
                    table.sheet.column_of(&["middle_m", "middle_ft"]),
                ));
            }
        }
        measures.extend(number(self.percent)?.map(RiseMeasure::Percent));
        measures.extend(number(self.permille)?.map(RiseMeasure::Permille));
        measures.extend(number(self.one_in)?.map(RiseMeasure::OneIn));
        measures.extend(length(self.rise)?.map(RiseMeasure::Rise));
        measures.extend(number(self.steps)?.map(RiseMeasure::Steps));
        match tube {
            (Some(a), Some(b)) => measures.push(RiseMeasure::Tube(a, b)),
            (None, None) => {}
            _ => {
                return Err(half(
                    "the water tube readings",
                    table.sheet.column_of(&["tube_a_m", "tube_a_ft"]),
                ));
            }
        }
        let bearing_deg = table.degrees(row, self.bearing)?;
        if let (Some(b), Some(column)) = (bearing_deg, self.bearing)
            && !(0.0..=360.0).contains(&b)
        {
            return Err(table
                .sheet
                .fault(row, column, "this bearing is not between 0 and 360 degrees")
                .expected("0 to 360 degrees, clockwise from magnetic north")
                .advice("check it in the field book"));
        }
        Ok(LegRow {
            row: index,
            from: table.words(row, self.from),
            to: table.words(row, self.to),
            tape_m: length(self.tape)?,
            slope_m: length(self.slope)?,
            horizontal_m: length(self.horizontal)?,
            measures,
            bearing_deg,
            eye_m,
            target_m: length(self.target)?,
            pull_n: table.within(row, self.pull, 1.0..=1000.0, "a pull of 1 N to 1000 N")?,
            tape_c: table.within(
                row,
                self.temperature,
                -50.0..=70.0,
                "a tape temperature of -50 C to 70 C",
            )?,
            elevation_m: length(self.elevation)?,
        })
    }
}
