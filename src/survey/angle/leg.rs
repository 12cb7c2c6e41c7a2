use super::ReducedLeg;
use crate::numeric::math;
use crate::survey::tape::{Tape, Taping, level_length_by_rise_m};
use crate::survey::{ReadOptions, Slip};

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
    pub measures: Vec<Measure>,
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
pub enum Measure {
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

impl Measure {
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
pub fn reduce_leg(row: &LegRow, options: &ReadOptions) -> Result<ReducedLeg, Slip> {
    let measure = one_measure(row)?;
    let bearing_rad = row
        .bearing_deg
        .map(|b| (b.to_radians() + options.declination_rad).rem_euclid(std::f64::consts::TAU));
    let mut leg = match measure {
        Measure::Stadia(s) => stadia_leg(row, s, options)?,
        Measure::AngleDeg(deg) => sighted(row, options, deg.to_radians(), measure)?,
        Measure::Percent(p) => sighted(row, options, math::atan(p / 100.0), measure)?,
        Measure::Permille(p) => sighted(row, options, math::atan(p / 1000.0), measure)?,
        Measure::OneIn(0.0) => {
            return Err(Slip::new(row.row, "one_in", "a grade of 1 in 0")
                .expected("1 in so many, negative where it falls")
                .advice("for a level leg use grade_percent 0"));
        }
        Measure::OneIn(n) => sighted(row, options, math::atan(1.0 / n), measure)?,
        Measure::Rise(rise) => risen(row, options, rise, measure)?,
        Measure::Tube(a, b) => risen(row, options, a - b, measure)?,
        Measure::Steps(steps) => stepped(row, options, steps)?,
    };
    leg.bearing_rad = bearing_rad;
    both_lengths_agree(row, options, &leg, measure)?;
    Ok(leg)
}

/// The one way this leg's rise was measured.
fn one_measure(row: &LegRow) -> Result<Measure, Slip> {
    match row.measures.as_slice() {
        [one] => Ok(*one),
        [] => Err(Slip::new(row.row, "angle_deg", "a leg without angle, grade or rise")
            .found("no angle_deg, grade_percent, grade_permille, one_in, rise_m, steps, tube_a_m with tube_b_m, or stadia readings")
            .expected("one of them on every leg")
            .advice("fill it in; a level leg has angle 0")),
        [_, second, ..] => Err(Slip::new(row.row, second.column(), "the rise of this leg is measured in two ways")
            .expected("one of angle_deg, grade_percent, grade_permille, one_in, rise_m, steps, tube, stadia")
            .advice("keep the better one; put the other in a remark")),
    }
}

/// Length along the slope or level as taped, with the tape's corrections.
enum TapedLength {
    Slope(f64),
    Level(f64),
}

fn length(row: &LegRow, options: &ReadOptions, slope_rad: f64) -> Result<TapedLength, Slip> {
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
            return Err(Slip::new(row.row, "tape", "a leg without a length")
                .found("no tape_m, slope_m or horizontal_m")
                .expected("one of them on every leg")
                .advice("fill in the taped length"));
        }
    };
    if !(read > 0.0 && read < 10_000.0) {
        return Err(Slip::new(row.row, column, "a length that cannot be")
            .expected("more than 0, and less than a day's walk")
            .advice("look for a slipped decimal point"));
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
    measure: Measure,
) -> Result<ReducedLeg, Slip> {
    if angle_rad.to_degrees().abs() > STEEPEST_DEG {
        let slip = Slip::new(
            row.row,
            measure.column(),
            "steeper than a leg is believed to be",
        )
        .expected(format!("at most {STEEPEST_DEG} degrees up or down"));
        return Err(match measure {
            Measure::AngleDeg(_) => slip.advice("a clinometer may carry percent beside degrees: if these are percent, name the column grade_percent; tape a leg that is truly steeper by its rise (rise_m)"),
            _ => slip.advice("look for a slipped decimal point; tape a leg that is truly steeper by its rise (rise_m)"),
        });
    }
    let angle_rad = angle_rad - options.index_error_rad.unwrap_or(0.0);
    let eye = row.eye_m.or(options.eye_m);
    let lift = match (eye, row.target_m) {
        (Some(eye), Some(target)) => eye - target,
        (None, Some(_)) => {
            return Err(
                Slip::new(row.row, "eye", "a target's height without the eye's")
                    .expected("eye_m beside target_m")
                    .advice("give the height of the eye above the ground"),
            );
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
    measure: Measure,
) -> Result<ReducedLeg, Slip> {
    let steep = |read: f64| math::asin((rise_m / read).clamp(-1.0, 1.0));
    let guess = row.tape_m.or(row.slope_m).unwrap_or(1.0);
    let (slope_m, level_m) = match length(row, options, steep(guess))? {
        TapedLength::Slope(s) => match level_length_by_rise_m(s, rise_m) {
            Some(level) => (s, level),
            None => {
                return Err(Slip::new(
                    row.row,
                    measure.column(),
                    "a rise larger than the length along the slope",
                )
                .found(format!(
                    "{} over {}",
                    options.told(rise_m.abs()),
                    options.told(s)
                ))
                .expected("a rise at most as large as the taped length")
                .advice("one of the two is wrong, or they stand in each other's column"));
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
fn stepped(row: &LegRow, options: &ReadOptions, steps: f64) -> Result<ReducedLeg, Slip> {
    let Some(eye) = row.eye_m.or(options.eye_m) else {
        return Err(
            Slip::new(row.row, "eye", "steps without the height of the eye")
                .expected("eye_m beside steps")
                .advice(
                    "measure the height of your eye above the ground in the boots you walked in; where it is one for the whole book, say `eye` under [survey]",
                ),
        );
    };
    if !(0.5..=2.5).contains(&eye) {
        return Err(
            Slip::new(row.row, "eye", "a height of the eye that cannot be")
                .found(options.told(eye))
                .expected(format!("{} to {}", options.told(0.5), options.told(2.5)))
                .advice("give it in the unit of the head"),
        );
    }
    let leg = risen(row, options, steps * eye, Measure::Steps(steps))?;
    Ok(ReducedLeg {
        sd_m: STEP_SD_M * steps.abs().max(1.0).sqrt(),
        per_eye: steps,
        ..leg
    })
}

fn stadia_leg(row: &LegRow, s: Stadia, options: &ReadOptions) -> Result<ReducedLeg, Slip> {
    let mean = 0.5 * (s.upper_m + s.lower_m);
    let interval = (s.upper_m - s.lower_m).abs();
    if (mean - s.middle_m).abs() > 0.003_f64.max(0.01 * interval) {
        return Err(Slip::new(
            row.row,
            "middle",
            "the middle hair is not half-way between the outer ones",
        )
        .expected(format!(
            "{}, the mean of upper and lower",
            options.told(mean)
        ))
        .advice("one of the three readings is wrong: look it up in the field book"));
    }
    if interval <= 0.0 || s.angle_rad.to_degrees().abs() > STEEPEST_DEG {
        return Err(
            Slip::new(row.row, "upper", "stadia readings that give no distance")
                .expected(
                    "an upper and a lower reading that differ, and a sight of at most 60 degrees",
                )
                .advice("look them up in the field book"),
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
    measure: Measure,
) -> Result<(), Slip> {
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
        _ => Err(Slip::new(
            row.row,
            measure.column(),
            "the lengths along the slope and level do not fit this angle or rise",
        )
        .found(format!(
            "{} along the slope, {} level, rise {}",
            options.told(slope),
            options.told(level),
            options.told(leg.rise_m)
        ))
        .expected("slope squared = level squared + rise squared, within a fiftieth of the slope")
        .advice(
            "look whether percent stand in the column of degrees, or one of the lengths is wrong",
        )),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn leg(slope: f64, measure: Measure) -> LegRow {
        LegRow {
            slope_m: Some(slope),
            measures: vec![measure],
            ..LegRow::default()
        }
    }

    #[test]
    fn the_same_slope_in_every_way_is_the_same_leg() {
        let options = ReadOptions::default();
        let want = reduce_leg(&leg(50.0, Measure::AngleDeg(-14.0)), &options).unwrap();
        let grade = math::tan((-14.0_f64).to_radians());
        for measure in [
            Measure::Percent(100.0 * grade),
            Measure::Permille(1000.0 * grade),
            Measure::OneIn(1.0 / grade),
            Measure::Rise(want.rise_m),
            Measure::Tube(1.0, 1.0 - want.rise_m),
        ] {
            let got = reduce_leg(&leg(50.0, measure), &options).unwrap();
            assert!((got.rise_m - want.rise_m).abs() < 1e-9, "{measure:?}");
            assert!((got.level_m - want.level_m).abs() < 1e-9, "{measure:?}");
        }
    }

    #[test]
    fn percent_in_the_column_of_degrees_is_seen_by_its_size_and_by_two_tapes() {
        let options = ReadOptions::default();
        let steep = reduce_leg(&leg(20.0, Measure::AngleDeg(-70.0)), &options).unwrap_err();
        assert!(steep.advice.contains("percent"));
        let mut two = leg(30.0, Measure::AngleDeg(-50.0));
        two.horizontal_m = Some(26.83);
        assert_eq!(reduce_leg(&two, &options).unwrap_err().column, "angle_deg");
        two.measures = vec![Measure::Percent(-50.0)];
        assert!(reduce_leg(&two, &options).is_ok());
    }

    #[test]
    fn what_a_leg_lacks_is_named() {
        let options = ReadOptions::default();
        let mut steps = leg(20.0, Measure::Steps(-3.0));
        assert_eq!(reduce_leg(&steps, &options).unwrap_err().column, "eye");
        steps.eye_m = Some(1.6);
        assert!((reduce_leg(&steps, &options).unwrap().rise_m + 4.8).abs() < 1e-12);
        steps.slope_m = None;
        assert_eq!(reduce_leg(&steps, &options).unwrap_err().column, "tape");
        steps.measures.clear();
        assert!(reduce_leg(&steps, &options).is_err());
    }
}
