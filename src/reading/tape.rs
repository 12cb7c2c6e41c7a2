//! Tape corrections: standard length, temperature, pull, sag; slope to level.

use crate::numeric::math;

/// What a tape's corrections need: its length, temperature, pull and weight, each against its standard.
///
/// A correction is made only where both of its values are known; a steel tape is meant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tape {
    /// Length between its end marks as printed, m.
    pub nominal_m: f64,
    /// True length of the same under standard conditions, m.
    pub true_m: f64,
    /// Temperature at which it is true, C.
    pub standard_c: f64,
    /// Thermal expansion, 1/K (steel: 1.16e-5, that is 6.45e-6 per F).
    pub expansion_per_k: f64,
    /// Pull at which it is true, N.
    pub standard_pull_n: Option<f64>,
    /// Area of its section, m2.
    pub section_m2: Option<f64>,
    /// Modulus, Pa (steel: 2.0e11).
    pub modulus_pa: f64,
    /// Weight, N per m, where it hung free between its supports.
    pub weight_n_per_m: Option<f64>,
    /// Longest free span, m; `None`: it lay on the ground and did not sag.
    pub span_m: Option<f64>,
    /// Temperature in the field, C, of lengths whose own is not booked.
    pub field_c: Option<f64>,
    /// Pull in the field, N, of lengths whose own is not booked.
    pub field_pull_n: Option<f64>,
}

impl Default for Tape {
    fn default() -> Self {
        Self {
            nominal_m: 30.0,
            true_m: 30.0,
            standard_c: 20.0,
            expansion_per_k: 1.16e-5,
            standard_pull_n: None,
            section_m2: None,
            modulus_pa: 2.0e11,
            weight_n_per_m: None,
            span_m: None,
            field_c: None,
            field_pull_n: None,
        }
    }
}

/// Conditions under which a length was taped.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Taping {
    /// Length read, m.
    pub read_m: f64,
    /// Temperature of the tape, C.
    pub tape_c: Option<f64>,
    /// Pull, N.
    pub pull_n: Option<f64>,
    /// Slope of the tape, rad.
    pub slope_rad: f64,
}

impl Tape {
    /// Correction for a tape that is not as long as it says, m: (true - nominal) / nominal times the length.
    pub fn standard_m(&self, read_m: f64) -> f64 {
        (self.true_m - self.nominal_m) / self.nominal_m * read_m
    }

    /// Correction for temperature, m: a L (T - T0).
    pub fn temperature_m(&self, read_m: f64, tape_c: f64) -> f64 {
        self.expansion_per_k * read_m * (tape_c - self.standard_c)
    }

    /// Correction for pull, m: (P - P0) L / (A E); 0 where the section or the standard pull is not known.
    pub fn pull_m(&self, read_m: f64, pull_n: f64) -> f64 {
        match (self.standard_pull_n, self.section_m2) {
            (Some(standard), Some(section)) if section > 0.0 => {
                (pull_n - standard) * read_m / (section * self.modulus_pa)
            }
            _ => 0.0,
        }
    }

    /// Correction for sag, m, always negative: -w^2 l^3 / (24 P^2) for each free span, times cos^2 of the slope.
    ///
    /// The length is taken in whole spans and a rest. It holds while the sag is small against the span (a pull of several times the tape's own weight).
    pub fn sag_m(&self, taping: &Taping) -> f64 {
        let (Some(weight), Some(span), Some(pull)) =
            (self.weight_n_per_m, self.span_m, taping.pull_n)
        else {
            return 0.0;
        };
        if span <= 0.0 || pull <= 0.0 {
            return 0.0;
        }
        let whole = (taping.read_m / span).floor();
        let rest = taping.read_m - whole * span;
        let cubes = whole * math::powi(span, 3) + math::powi(rest, 3);
        -weight * weight * cubes / (24.0 * pull * pull) * math::powi(math::cos(taping.slope_rad), 2)
    }

    /// Length between the marks, m: what was read with every correction that the book allows.
    pub fn corrected_m(&self, taping: &Taping) -> f64 {
        let read = taping.read_m;
        read + self.standard_m(read)
            + taping.tape_c.map_or(0.0, |t| self.temperature_m(read, t))
            + taping.pull_n.map_or(0.0, |p| self.pull_m(read, p))
            + self.sag_m(taping)
    }
}

/// Level length of a length taped on the slope between points that differ in height, m; `None` where the difference is longer than the tape.
pub fn level_length_by_rise_m(slope_m: f64, rise_m: f64) -> Option<f64> {
    let square = slope_m * slope_m - rise_m * rise_m;
    (square >= 0.0).then(|| square.sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_not_known_corrects_nothing() {
        let taping = Taping {
            read_m: 100.0,
            pull_n: Some(50.0),
            ..Taping::default()
        };
        assert_eq!(Tape::default().corrected_m(&taping), 100.0);
    }

    #[test]
    fn a_rise_longer_than_the_tape_has_no_level_length() {
        assert_eq!(level_length_by_rise_m(3.0, 4.0), None);
        assert_eq!(level_length_by_rise_m(5.0, 4.0), Some(3.0));
    }
}
