use super::{Line, Reach};
use crate::pipe::{Bed, COIL_END_M, Material, thermal_expansion_per_k, usual_pieces};

/// The pieces a reach of pipe comes in, and how much of the line each covers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PieceLength {
    /// Length as bought, m: the user's, else the longest that is usual.
    pub bought_m: f64,
    /// It comes in coils: the user's word, or what is usual where no piece was stated.
    pub coil: bool,
    /// What is cut off for the curved ends of a coil, m, both together; nothing where little else would be left.
    pub ends_m: f64,
    /// Extra length over the station's, as a share, for pipe that lies open and snakes.
    pub slack: f64,
    /// What one piece covers of the line, m: (bought - ends)/(1 + slack).
    pub usable_m: f64,
}

/// Nobody lays a line of shorter pieces: a length below it is taken as not stated, m.
const SHORTEST_PIECE_M: f64 = 0.5;

impl Line {
    /// The pieces of a reach.
    ///
    /// Slack is alpha (T_hot - T_cold): what polyethylene on the ground shortens by from the hottest air it may be laid in to its coldest, so that it never pulls; stiff pipe is held or slides at its joints.
    pub fn piece_length(&self, reach: &Reach) -> PieceLength {
        let usual = usual_pieces(&reach.pipe);
        let stated = reach
            .piece_m
            .filter(|p| p.is_finite() && *p >= SHORTEST_PIECE_M);
        let bought_m = stated.or(usual.lengths_m.last().copied()).unwrap_or(6.0);
        let coil = reach.coil || (stated.is_none() && usual.coil);
        let ends_m = match 2.0 * COIL_END_M {
            ends if coil && bought_m > 2.0 * ends => ends,
            _ => 0.0,
        };
        let slack = self.slack(reach);
        PieceLength {
            bought_m,
            coil,
            ends_m,
            slack,
            usable_m: (bought_m - ends_m) / (1.0 + slack),
        }
    }

    fn slack(&self, reach: &Reach) -> f64 {
        let buried = self
            .laid
            .iter()
            .any(|l| l.bed == Bed::Buried && l.from_m <= reach.from_m && l.to_m >= reach.to_m);
        if reach.pipe.material != Material::Pe || buried {
            return 0.0;
        }
        let coldest_c = self.situation.coldest_air_c.min(self.water.coldest_c);
        let kelvin = (self.situation.hottest_air_c - coldest_c).max(0.0);
        thermal_expansion_per_k(&reach.pipe).value * kelvin
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pipe;

    #[test]
    fn a_coil_covers_less_than_it_measures_and_a_stick_all_of_it() {
        let coil = pipe::find("PE100 SDR 11 90").unwrap();
        let mut line = Line::plain(&[(0.0, 10.0), (100.0, 0.0)], &coil);
        line.situation.hottest_air_c = 24.0;
        line.situation.coldest_air_c = -8.0;
        let piece = line.piece_length(&line.reaches[0]);
        assert!(piece.coil && piece.bought_m == 100.0 && piece.ends_m == 2.0);
        assert!((piece.usable_m - 98.0 / (1.0 + 1.8e-4 * 32.0)).abs() < 1e-9);
        let stick = Line::plain(
            &[(0.0, 10.0), (100.0, 0.0)],
            &pipe::find("DIN 8062 PN 10 110").unwrap(),
        );
        let piece = stick.piece_length(&stick.reaches[0]);
        assert_eq!((piece.coil, piece.usable_m), (false, 6.0));
    }
}
