use super::ReducedLeg;
use crate::numeric::math;
use crate::reading::Tape;
use crate::reading::tape::{Taping, level_length_by_rise_m};
use crate::reading::{CellError, ReadOptions};
use crate::reduction::traverse::true_bearing_rad;

/// Standard deviation of a rise read level by level or tube, m a move.
const MOVE_SD_M: f64 = 0.007;
/// Standard deviation of one step with the eye, m.
const STEP_SD_M: f64 = 0.03;
/// Standard deviation of a height difference by stadia, as a share of the distance, and of a sight with its instrument, rad.
const STADIA_SD_SHARE: f64 = 1.0 / 400.0;
const STADIA_ANGLE_SD_RAD: f64 = 0.000_3;
/// Steeper than this an angle is not believed: the figure is more likely a percentage.
const STEEPEST_DEG: f64 = 60.0;

/// A row of an angle book: one leg, in metres and degrees, as booked.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct LegRow {
    /// Row of the sheet.
    pub row: usize,
    /// Where it starts; the row before where the book has no such column.
    pub from: String,
    /// Where it ends.
    pub to: String,
    /// Length by tape, along the slope or level as the user said, m.
    pub tape_m: Option<f64>,
    /// Length along the slope, m.
    pub slope_m: Option<f64>,
    /// Level length, m.
    pub horizontal_m: Option<f64>,
    /// How the rise was measured: exactly one on a leg.
    pub measures: Vec<RiseMeasure>,
    /// Bearing, degrees from magnetic north.
    pub bearing_deg: Option<f64>,
    /// Height of the eye or instrument, m.
    pub eye_m: Option<f64>,
    /// Height of the target, m.
    pub target_m: Option<f64>,
    /// Pull on the tape, N.
    pub pull_n: Option<f64>,
    /// Temperature of the tape, C.
    pub tape_c: Option<f64>,
    /// Known height of `to`, m.
    pub elevation_m: Option<f64>,
}

/// How the rise of a leg was measured; rising towards `to` is positive.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum RiseMeasure {
    /// Angle above the level, degrees.
    AngleDeg(f64),
    /// Rise per hundred of level length.
    Percent(f64),
    /// Rise per thousand of level length.
    Permille(f64),
    /// One in so many of level length.
    OneIn(f64),
    /// Rise, m.
    Rise(f64),
    /// Steps of one eye height each.
    Steps(f64),
    /// Staff readings of the water in a tube at `from` and at `to`, m.
    Tube(f64, f64),
    /// Stadia.
    Stadia(Stadia),
}

impl RiseMeasure {
    /// Head of its column.
    fn column(self) -> &'static str {
        match self {
            Self::AngleDeg(_) => "angle_deg",
            Self::Percent(_) => "grade_percent",
            Self::Permille(_) => "grade_permille",
            Self::OneIn(_) => "one_in",
            Self::Rise(_) => "rise",
            Self::Steps(_) => "steps",
            Self::Tube(..) => "tube_a",
            Self::Stadia(_) => "middle",
        }
    }
}

/// Readings of the three hairs, with the angle of the sight.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Stadia {
    /// Upper hair, m.
    pub upper_m: f64,
    /// Middle hair, m.
    pub middle_m: f64,
    /// Lower hair, m.
    pub lower_m: f64,
    /// Angle of the sight above the level, rad.
    pub angle_rad: f64,
    /// Height of the instrument above `from`, m.
    pub instrument_m: f64,
}

/// The multiplying constant of stadia hairs; the added one is 0 for internal focusing.
const STADIA_CONSTANT: f64 = 100.0;

impl Stadia {
    /// Level distance, m: K s cos^2 a.
    pub fn level_m(&self) -> f64 {
        STADIA_CONSTANT
            * (self.upper_m - self.lower_m).abs()
            * math::powi(math::cos(self.angle_rad), 2)
    }

    /// Height of the middle hair's mark above the instrument, m: K s sin a cos a.
    pub fn up_m(&self) -> f64 {
        STADIA_CONSTANT
            * (self.upper_m - self.lower_m).abs()
            * math::sin(self.angle_rad)
            * math::cos(self.angle_rad)
    }

    /// Rise from the ground at the instrument to the foot of the staff, m.
    pub fn rise_m(&self) -> f64 {
        self.instrument_m + self.up_m() - self.middle_m
    }
}

/// Reduces one leg to slope, level and rise.
///
/// # Errors
/// No length or no way of measuring the rise, two ways at once that contradict each other, an angle that is not believed, a rise longer than the tape: the column.
pub fn reduce_leg(row: &LegRow, options: &ReadOptions) -> Result<ReducedLeg, CellError> {
    let measure = one_measure(row)?;
    let bearing_rad = row
        .bearing_deg
        .map(|b| true_bearing_rad(b.to_radians(), options.declination_rad));
    let mut leg = match measure {
        RiseMeasure::Stadia(s) => stadia_leg(row, s, options)?,
        RiseMeasure::AngleDeg(deg) => sighted(row, options, deg.to_radians(), measure)?,
        RiseMeasure::Percent(p) => sighted(row, options, math::atan(p / 100.0), measure)?,
        RiseMeasure::Permille(p) => sighted(row, options, math::atan(p / 1000.0), measure)?,
        RiseMeasure::OneIn(0.0) => {
            return Err(CellError::new(row.row, "one_in", "a grade of 1 in 0")
                .expected("1 in n, where n is the distance for a rise of 1. If the leg falls, n is negative")
                .advice("for a level leg, use grade_percent 0"));
        }
        RiseMeasure::OneIn(n) => sighted(row, options, math::atan(1.0 / n), measure)?,
        RiseMeasure::Rise(rise) => risen(row, options, rise, measure)?,
        RiseMeasure::Tube(a, b) => risen(row, options, a - b, measure)?,
        RiseMeasure::Steps(steps) => stepped(row, options, steps)?,
    };
    leg.bearing_rad = bearing_rad;
    both_lengths_agree(row, options, &leg, measure)?;
    Ok(leg)
}

/// The one way this leg's rise was measured.
fn one_measure(row: &LegRow) -> Result<RiseMeasure, CellError> {
    match row.measures.as_slice() {
        [one] => Ok(*one),
        [] => Err(CellError::new(row.row, "angle_deg", "this leg has no angle, grade or rise")
            .found("no angle_deg, grade_percent, grade_permille, one_in, rise_m, steps, tube_a_m with tube_b_m, or stadia readings")
            .expected("one of them for each leg")
            .advice("add it. A level leg has the angle 0")),
        [_, second, ..] => Err(CellError::new(row.row, second.column(), "the rise of this leg is given in two ways")
            .expected("one of angle_deg, grade_percent, grade_permille, one_in, rise_m, steps, tube, stadia")
            .advice("keep the more accurate value. Write the other value in the column remark")),
    }
}

/// Length along the slope or level as taped, with the tape's corrections.
enum TapedLength {
    Slope(f64),
    Level(f64),
}

fn length(row: &LegRow, options: &ReadOptions, slope_rad: f64) -> Result<TapedLength, CellError> {
    // A book that gives the tape's warmth means a correction for it: a usual steel tape where nothing is said of the tape.
    let tape = options.tape.or(row.tape_c.map(|_| Tape::default()));
    let corrected = |read_m: f64, slope_rad: f64| {
        tape.map_or(read_m, |tape| {
            tape.corrected_m(&Taping {
                read_m,
                tape_c: row.tape_c.or(tape.field_c),
                pull_n: row.pull_n.or(tape.field_pull_n),
                slope_rad,
            })
        })
    };
    let is_slope = options.along_slope != Some(false);
    let (read, column, is_slope) = match (row.tape_m, row.slope_m, row.horizontal_m) {
        (Some(t), _, _) => (t, "tape", is_slope),
        (None, Some(s), _) => (s, "slope", true),
        (None, None, Some(h)) => (h, "horizontal", false),
        (None, None, None) => {
            return Err(CellError::new(row.row, "tape", "this leg has no length")
                .found("no tape_m, slope_m or horizontal_m")
                .expected("one of them for each leg")
                .advice("add the taped length"));
        }
    };
    if !(read > 0.0 && read < 10_000.0) {
        return Err(
            CellError::new(row.row, column, "this length is not possible")
                .expected("more than 0, and less than 10 km (6.2 miles)")
                .advice("check the position of the decimal point"),
        );
    }
    Ok(if is_slope {
        TapedLength::Slope(corrected(read, slope_rad))
    } else {
        TapedLength::Level(corrected(read, 0.0))
    })
}

/// A leg whose rise was sighted as an angle.
fn sighted(
    row: &LegRow,
    options: &ReadOptions,
    angle_rad: f64,
    measure: RiseMeasure,
) -> Result<ReducedLeg, CellError> {
    if angle_rad.to_degrees().abs() > STEEPEST_DEG {
        let slip = CellError::new(
            row.row,
            measure.column(),
            "this leg is too steep to be correct",
        )
        .expected(format!("at most {STEEPEST_DEG} degrees up or down"));
        return Err(match measure {
            RiseMeasure::AngleDeg(_) => slip.advice("many clinometers have a percent scale and a degree scale. If these values are percent, change the head to grade_percent. If the leg is this steep, measure its rise (rise_m)"),
            _ => slip.advice("check the position of the decimal point. If the leg is this steep, measure its rise (rise_m)"),
        });
    }
    let angle_rad = angle_rad - options.index_error_rad.unwrap_or(0.0);
    let eye = row.eye_m.or(options.eye_m);
    let lift = match (eye, row.target_m) {
        (Some(eye), Some(target)) => eye - target,
        (None, Some(_)) => {
            return Err(CellError::new(
                row.row,
                "eye",
                "this leg has a target height, but no eye height",
            )
            .expected("eye_m and target_m")
            .advice("give the height of the eye above the ground"));
        }
        _ => 0.0,
    };
    let (along, level) = match length(row, options, angle_rad)? {
        TapedLength::Slope(s) => (s, s * math::cos(angle_rad)),
        TapedLength::Level(h) => (h / math::cos(angle_rad), h),
    };
    let rise_m = along * math::sin(angle_rad) + lift;
    // A fixed level length turns the sight's error into height by 1/cos^2, a fixed slope length by cos.
    let per_index_m = match length(row, options, angle_rad)? {
        TapedLength::Slope(_) => level,
        TapedLength::Level(h) => h / math::powi(math::cos(angle_rad), 2),
    };
    Ok(ReducedLeg {
        slope_m: math::hypot(level, rise_m),
        level_m: level,
        rise_m,
        sd_m: options.angle_sd() * per_index_m,
        per_index_m,
        per_eye: 0.0,
        bearing_rad: None,
    })
}

/// A leg whose rise was measured as such.
fn risen(
    row: &LegRow,
    options: &ReadOptions,
    rise_m: f64,
    measure: RiseMeasure,
) -> Result<ReducedLeg, CellError> {
    let steep = |read: f64| math::asin((rise_m / read).clamp(-1.0, 1.0));
    let guess = row.tape_m.or(row.slope_m).unwrap_or(1.0);
    let (slope_m, level_m) = match length(row, options, steep(guess))? {
        TapedLength::Slope(s) => match level_length_by_rise_m(s, rise_m) {
            Some(level) => (s, level),
            None => {
                return Err(CellError::new(
                    row.row,
                    measure.column(),
                    "the rise is larger than the length along the slope",
                )
                .found(format!(
                    "{} of rise in {}",
                    options.told(rise_m.abs()),
                    options.told(s)
                ))
                .expected("a rise not larger than the taped length")
                .advice(
                    "check both values. One of them is wrong, or the two columns are exchanged",
                ));
            }
        },
        TapedLength::Level(h) => (math::hypot(h, rise_m), h),
    };
    Ok(ReducedLeg {
        slope_m,
        level_m,
        rise_m,
        sd_m: options.setup_sd_m.unwrap_or(MOVE_SD_M),
        ..ReducedLeg::default()
    })
}

/// A leg climbed in steps of the eye's height.
fn stepped(row: &LegRow, options: &ReadOptions, steps: f64) -> Result<ReducedLeg, CellError> {
    let Some(eye) = row.eye_m.or(options.eye_m) else {
        return Err(
            CellError::new(row.row, "eye", "this leg has steps, but no eye height")
                .expected("eye_m and steps")
                .advice(
                    "measure the height of your eye above the ground, in the same boots. If it is the same for the complete book, write `eye` under [survey]",
                ),
        );
    };
    if !(0.5..=2.5).contains(&eye) {
        return Err(
            CellError::new(row.row, "eye", "this eye height is not possible")
                .found(options.told(eye))
                .expected(format!("{} to {}", options.told(0.5), options.told(2.5)))
                .advice("write it in the unit of the column head"),
        );
    }
    let leg = risen(row, options, steps * eye, RiseMeasure::Steps(steps))?;
    Ok(ReducedLeg {
        sd_m: STEP_SD_M * steps.abs().max(1.0).sqrt(),
        per_eye: steps,
        ..leg
    })
}

fn stadia_leg(row: &LegRow, s: Stadia, options: &ReadOptions) -> Result<ReducedLeg, CellError> {
    let mean = 0.5 * (s.upper_m + s.lower_m);
    let interval = (s.upper_m - s.lower_m).abs();
    if (mean - s.middle_m).abs() > 0.003_f64.max(0.01 * interval) {
        return Err(CellError::new(
            row.row,
            "middle",
            "the middle hair reading is not the mean of the upper and lower readings",
        )
        .expected(format!(
            "{}, the mean of upper and lower",
            options.told(mean)
        ))
        .advice("one of the three readings is wrong. Check them in the field book"));
    }
    if interval <= 0.0 || s.angle_rad.to_degrees().abs() > STEEPEST_DEG {
        return Err(
            CellError::new(row.row, "upper", "these stadia readings give no distance")
                .expected("different upper and lower readings, and a sight of at most 60 degrees")
                .advice("check them in the field book"),
        );
    }
    let (level_m, rise_m) = (s.level_m(), s.rise_m());
    Ok(ReducedLeg {
        slope_m: math::hypot(level_m, rise_m),
        level_m,
        rise_m,
        sd_m: math::hypot(
            math::hypot(STADIA_ANGLE_SD_RAD * level_m, STADIA_SD_SHARE * s.up_m()),
            0.005,
        ),
        ..ReducedLeg::default()
    })
}

/// Where a leg was taped along the slope and level too, the two must fit the rise: a percentage read as degrees does not.
fn both_lengths_agree(
    row: &LegRow,
    options: &ReadOptions,
    leg: &ReducedLeg,
    measure: RiseMeasure,
) -> Result<(), CellError> {
    let slope = row
        .slope_m
        .or(row.tape_m.filter(|_| options.along_slope != Some(false)));
    let level = row
        .horizontal_m
        .or(row.tape_m.filter(|_| options.along_slope == Some(false)));
    let (Some(slope), Some(level)) = (slope, level) else {
        return Ok(());
    };
    let slack = 0.02 * slope;
    match level_length_by_rise_m(slope, leg.rise_m) {
        Some(fits) if (fits - level).abs() <= slack => Ok(()),
        _ => Err(CellError::new(
            row.row,
            measure.column(),
            "the slope length and the horizontal length do not agree with this angle or rise",
        )
        .found(format!(
            "{} along the slope, {} horizontal, rise {}",
            options.told(slope),
            options.told(level),
            options.told(leg.rise_m)
        ))
        .expected(
            "slope squared = horizontal squared + rise squared, within 2 % of the slope length",
        )
        .advice("check that the column of degrees has no percent values. Check both lengths")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn leg(slope: f64, measure: RiseMeasure) -> LegRow {
        LegRow {
            slope_m: Some(slope),
            measures: vec![measure],
            ..LegRow::default()
        }
    }

    #[test]
    fn the_same_slope_in_every_way_is_the_same_leg() {
        let options = ReadOptions::default();
        let want = reduce_leg(&leg(50.0, RiseMeasure::AngleDeg(-14.0)), &options).unwrap();
        let grade = math::tan((-14.0_f64).to_radians());
        for measure in [
            RiseMeasure::Percent(100.0 * grade),
            RiseMeasure::Permille(1000.0 * grade),
            RiseMeasure::OneIn(1.0 / grade),
            RiseMeasure::Rise(want.rise_m),
            RiseMeasure::Tube(1.0, 1.0 - want.rise_m),
        ] {
            let got = reduce_leg(&leg(50.0, measure), &options).unwrap();
            assert!((got.rise_m - want.rise_m).abs() < 1e-9, "{measure:?}");
            assert!((got.level_m - want.level_m).abs() < 1e-9, "{measure:?}");
        }
    }

    #[test]
    fn percent_in_the_column_of_degrees_is_seen_by_its_size_and_by_two_tapes() {
        let options = ReadOptions::default();
        let steep = reduce_leg(&leg(20.0, RiseMeasure::AngleDeg(-70.0)), &options).unwrap_err();
        assert!(steep.advice.contains("percent"));
        let mut two = leg(30.0, RiseMeasure::AngleDeg(-50.0));
        two.horizontal_m = Some(26.83);
        assert_eq!(reduce_leg(&two, &options).unwrap_err().column, "angle_deg");
        two.measures = vec![RiseMeasure::Percent(-50.0)];
        assert!(reduce_leg(&two, &options).is_ok());
    }

    #[test]
    fn what_a_leg_lacks_is_named() {
        let options = ReadOptions::default();
        let mut steps = leg(20.0, RiseMeasure::Steps(-3.0));
        assert_eq!(reduce_leg(&steps, &options).unwrap_err().column, "eye");
        steps.eye_m = Some(1.6);
        assert!((reduce_leg(&steps, &options).unwrap().rise_m + 4.8).abs() < 1e-12);
        steps.slope_m = None;
        assert_eq!(reduce_leg(&steps, &options).unwrap_err().column, "tape");
        steps.measures.clear();
        assert!(reduce_leg(&steps, &options).is_err());
    }
}
