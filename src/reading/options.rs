use super::Tape;
use crate::text::Sentence;
use crate::unit::Units;

/// What the reader of a survey must know beside the file: every doubt it leaves `None` has a default by method, told on the basis page `survey-books`.
#[derive(Debug, Clone, PartialEq)]
pub struct ReadOptions {
    /// Whether `tape_m` and station differences were taken along the slope (`true`) or level (`false`); `None`: not said.
    pub along_slope: Option<bool>,
    /// Standard deviation of one point against its neighbours, m: staff on soft ground, peg beside the pipe.
    pub point_sd_m: Option<f64>,
    /// Standard deviation that one set-up of the level adds, m.
    pub setup_sd_m: Option<f64>,
    /// Standard deviation of one sight of an angle, rad.
    pub angle_sd_rad: Option<f64>,
    /// Standard deviation of the clinometer's index error, the same in every sight, rad.
    pub index_sd_rad: Option<f64>,
    /// What the clinometer shows on a level sight, rad: taken off every angle and grade.
    pub index_error_rad: Option<f64>,
    /// Standard deviation of a gauge reading, Pa.
    pub pressure_sd_pa: Option<f64>,
    /// Order of work: how far a level book may fail to close.
    pub order: LevellingOrder,
    /// How a misclosure that is allowed is spread.
    pub spread: Spread,
    /// Longest staff that was in use, m: a reading beyond it is refused.
    pub staff_m: f64,
    /// Height of the eye above the ground, m, where the book has no column of it.
    pub eye_m: Option<f64>,
    /// Magnetic declination, rad, east positive: added to a magnetic bearing.
    pub declination_rad: f64,
    /// Temperature of the water in a hose, C, where the book has no column of it.
    pub water_c: Option<f64>,
    /// Gravity, m/s2.
    pub gravity_m_per_s2: f64,
    /// The tape, where the book gives what a correction needs.
    pub tape: Option<Tape>,
    /// The book is kept in feet: faults and remarks tell lengths in feet. The reader sets it from the heads.
    pub feet: bool,
    /// Whether east and north columns, or bearings, closing on their start are adjusted as a traverse.
    pub close_traverse: bool,
}

impl ReadOptions {
    /// Standard deviation that one set-up of the level adds, m.
    ///
    /// Where it is not given: half of what the order of work allows over the 50 m that a set-up carries, so that the allowed
    /// misclosure is two standard deviations.
    pub fn setup_sd(&self) -> f64 {
        self.setup_sd_m
            .unwrap_or_else(|| 0.5 * self.order.coefficient_m() * 0.05_f64.sqrt())
            .max(1e-6)
    }

    /// Standard deviation of one sight of an angle, rad.
    pub fn angle_sd(&self) -> f64 {
        self.angle_sd_rad.unwrap_or(ANGLE_SD_RAD)
    }

    /// Standard deviation of the clinometer's index error, rad.
    ///
    /// Where the error itself was found and its doubt was not given: that of the mean of one pair of sights, there and back.
    pub fn index_sd(&self) -> f64 {
        self.index_sd_rad.unwrap_or(match self.index_error_rad {
            Some(_) => self.angle_sd() / std::f64::consts::SQRT_2,
            None => INDEX_SD_RAD,
        })
    }
}

/// Standard deviation of one sight with a hand clinometer where none is given, rad (a quarter degree).
const ANGLE_SD_RAD: f64 = 0.25 * std::f64::consts::PI / 180.0;
/// Standard deviation of a clinometer's index error where nothing is said of it, rad (a quarter degree).
const INDEX_SD_RAD: f64 = 0.25 * std::f64::consts::PI / 180.0;

impl ReadOptions {
    /// A length in the book's own unit, for faults: three decimals of a metre, two of a foot.
    pub(crate) fn told(&self, metres: f64) -> String {
        let said = Sentence::default().length(metres, 3);
        if self.feet {
            Units::Us.say(&said)
        } else {
            Units::Metric.say(&said)
        }
    }

    /// Goes on in a remark with a length: of a book kept in feet it stays in feet, as it was booked; else it is the user's to choose.
    pub(crate) fn say(&self, before: Sentence, metres: f64) -> Sentence {
        if self.feet {
            before.words(self.told(metres))
        } else {
            before.length(metres, 3)
        }
    }
}

impl Default for ReadOptions {
    fn default() -> Self {
        Self {
            along_slope: None,
            point_sd_m: None,
            setup_sd_m: None,
            angle_sd_rad: None,
            index_sd_rad: None,
            index_error_rad: None,
            pressure_sd_pa: None,
            order: LevellingOrder::Ordinary,
            spread: Spread::Setups,
            staff_m: 5.0,
            eye_m: None,
            declination_rad: 0.0,
            water_c: None,
            gravity_m_per_s2: 9.806_65,
            tape: None,
            feet: false,
            close_traverse: true,
        }
    }
}

/// Order of levelling work: allowed misclosure is a coefficient times the root of the levelled length.
///
/// The coefficients are those of the long-used engineering classes, 100, 24, 12 and 6 mm per root kilometre;
/// 24 and 12 are 0.10 and 0.05 ft per root mile to a tenth of a percent.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum LevellingOrder {
    /// Reconnaissance: 100 mm per root km.
    Rough,
    /// Pipe routes and earthworks: 24 mm per root km.
    #[default]
    Ordinary,
    /// 12 mm per root km.
    Accurate,
    /// 6 mm per root km.
    Precise,
    /// The user's own coefficient, m per root km.
    Own(f64),
}

crate::text::words! {
    /// What a line was walked with.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
    pub enum WalkDevice {
        Phone = "phone",
        Watch = "watch",
        /// A receiver for the hand.
        Handheld = "handheld",
        /// A surveyor's receiver, corrected by a base.
        Rtk = "rtk",
    }
}

crate::text::words! {
    /// How an allowed misclosure is spread over a line of levels.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
    pub enum Spread {
        /// In equal parts to the set-ups: on steep ground sights are short and a set-up is what goes wrong.
        #[default]
        Setups = "set-ups",
        /// In proportion to the distance from the start.
        Distance = "distance",
    }
}

/// The least misclosure that is allowed, however short the line, m: two readings to 5 mm (our judgement).
const FLOOR_M: f64 = 0.010;

impl LevellingOrder {
    /// Coefficient, m per root km.
    pub fn coefficient_m(self) -> f64 {
        match self {
            Self::Rough => 0.100,
            Self::Ordinary => 0.024,
            Self::Accurate => 0.012,
            Self::Precise => 0.006,
            Self::Own(c) => c,
        }
    }

    /// Allowed misclosure of a line or loop, m; for rough and ordinary work at least 10 mm.
    ///
    /// `length_m` is the levelled route, once round for a loop.
    pub fn allowed_m(self, length_m: f64) -> f64 {
        let by_length = self.coefficient_m() * (length_m.max(0.0) / 1000.0).sqrt();
        match self {
            Self::Accurate | Self::Precise | Self::Own(_) => by_length,
            _ => by_length.max(FLOOR_M),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_short_line_has_the_floor_and_a_long_one_the_root() {
        assert_eq!(LevellingOrder::Ordinary.allowed_m(50.0), 0.010);
        assert!((LevellingOrder::Ordinary.allowed_m(650.0) - 0.019_349).abs() < 1e-6);
    }
}
