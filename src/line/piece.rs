use super::{Environment, Reach};
use crate::pipe::{Bed, COIL_END_M, Material, thermal_expansion_per_k, usual_pieces};

/// One of the pieces a reach of pipe can be bought in, and how much of the line it covers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PieceLength {
    /// Length as bought, m.
    pub bought_m: f64,
    /// It comes in coils: the user's word, or what is usual where no piece was stated.
    pub coil: bool,
    /// What is cut off for the curved ends of a coil, m, both together; nothing where little else would be left.
    pub ends_m: f64,
    /// Extra length over the station's, as a share, of pipe that lies open and snakes.
    pub slack: f64,
    /// What one piece surely covers of the line, m: (bought - ends)/(1 + slack).
    pub usable_m: f64,
}

/// Nobody lays a line of shorter pieces: a length below it is taken as not stated, m.
const SHORTEST_PIECE_M: f64 = 0.5;

impl Environment {
    /// The longest piece of a reach.
    pub fn piece_length(&self, reach: &Reach) -> PieceLength {
        self.piece_lengths(reach)
            .pop()
            .unwrap_or_else(|| self.piece(reach, 6.0, false))
    }

    /// The pieces of a reach that can be bought, rising: the user's, whatever order they were said in, else what is usual.
    ///
    /// Slack is alpha (T_hot - T_cold): what polyethylene on the ground shortens by from the hottest air it may be laid in to its coldest, so that it never pulls; stiff pipe is held or slides at its joints.
    pub fn piece_lengths(&self, reach: &Reach) -> Vec<PieceLength> {
        let usual = usual_pieces(&reach.pipe);
        let mut stated: Vec<f64> = reach
            .pieces_m
            .iter()
            .copied()
            .filter(|p| p.is_finite() && *p >= SHORTEST_PIECE_M)
            .collect();
        stated.sort_by(f64::total_cmp);
        stated.dedup();
        let coil = reach.coil || (stated.is_empty() && usual.coil);
        let lengths = if stated.is_empty() {
            usual.lengths_m
        } else {
            stated
        };
        lengths
            .into_iter()
            .map(|m| self.piece(reach, m, coil))
            .collect()
    }

    fn piece(&self, reach: &Reach, bought_m: f64, coil: bool) -> PieceLength {
        let ends_m = match 2.0 * COIL_END_M {
            ends if coil && bought_m > 2.0 * ends => ends,
            _ => 0.0,
        };
        let slack = if self.open_m(reach.from_m, reach.to_m) > 0.0 {
            self.slack(reach)
        } else {
            0.0
        };
        PieceLength {
            bought_m,
            coil,
            ends_m,
            slack,
            usable_m: (bought_m - ends_m) / (1.0 + slack),
        }
    }

    /// Extra length of pipe over a metre of line where it lies open, m.
    fn slack(&self, reach: &Reach) -> f64 {
        if reach.pipe.material != Material::Pe {
            return 0.0;
        }
        let kelvin = (self.situation.hottest_air_c - self.coldest_c()).max(0.0);
        thermal_expansion_per_k(&reach.pipe).value * kelvin
    }

    /// How much of a stretch does not lie in the ground, m.
    fn open_m(&self, from_m: f64, to_m: f64) -> f64 {
        let mut covered: Vec<(f64, f64)> = self
            .laid
            .iter()
            .filter(|l| l.bed == Bed::Buried)
            .map(|l| (l.from_m.max(from_m), l.to_m.min(to_m)))
            .filter(|(a, b)| b > a)
            .collect();
        covered.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut open_m = to_m - from_m;
        let mut done_m = from_m;
        for (a, b) in covered {
            open_m -= (b - a.max(done_m)).max(0.0);
            done_m = done_m.max(b);
        }
        open_m.max(0.0)
    }

    /// Length to cut a pipe to that lies from one station to another, m: its place, and slack where it lies open.
    pub fn cut_m(&self, reach: &Reach, from_m: f64, to_m: f64) -> f64 {
        (to_m - from_m) + self.slack(reach) * self.open_m(from_m, to_m)
    }

    /// The station that a length of pipe reaches to from another, m.
    pub fn covers_to_m(&self, reach: &Reach, from_m: f64, length_m: f64) -> f64 {
        let slack = self.slack(reach);
        // The cut grows with the station, never slower than the line and never faster than its slack: a few halvings are exact to a hair.
        let mut near = from_m + length_m / (1.0 + slack);
        let mut far = from_m + length_m;
        if slack == 0.0 || self.cut_m(reach, from_m, far) <= length_m {
            return far;
        }
        for _ in 0..60 {
            let middle = 0.5 * (near + far);
            if self.cut_m(reach, from_m, middle) <= length_m {
                near = middle;
            } else {
                far = middle;
            }
        }
        near
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::line::{Laid, Line};
    use crate::pipe::{self, Traffic};

    fn coil() -> Line {
        let pipe = pipe::find("PE100 SDR 11 90").unwrap();
        let mut line = Line::plain(&[(0.0, 10.0), (100.0, 0.0)], &pipe);
        line.environment.situation.hottest_air_c = 24.0;
        line.environment.situation.coldest_air_c = -8.0;
        line
    }

    #[test]
    fn a_coil_covers_less_than_it_measures_and_a_stick_all_of_it() {
        let line = coil();
        let piece = line.environment.piece_length(&line.reaches[0]);
        assert!(piece.coil && piece.bought_m == 100.0 && piece.ends_m == 2.0);
        assert!((piece.usable_m - 98.0 / (1.0 + 1.8e-4 * 32.0)).abs() < 1e-9);
        let stick = Line::plain(
            &[(0.0, 10.0), (100.0, 0.0)],
            &pipe::find("DIN 8062 PN 10 110").unwrap(),
        );
        let piece = stick.environment.piece_length(&stick.reaches[0]);
        assert_eq!((piece.coil, piece.usable_m), (false, 6.0));
    }

    #[test]
    fn pipe_in_the_ground_does_not_snake() {
        let mut line = coil();
        let reach = line.reaches[0].clone();
        let slack = 1.8e-4 * 32.0;
        assert!((line.environment.cut_m(&reach, 10.0, 60.0) - 50.0 * (1.0 + slack)).abs() < 1e-9);
        line.environment.laid = vec![Laid {
            from_m: 20.0,
            to_m: 40.0,
            bed: Bed::Buried,
            cover_m: Some(0.6),
            height_m: None,
            traffic: Traffic::None,
            trench: crate::pipe::Trench::default(),
        }];
        let cut_m = line.environment.cut_m(&reach, 10.0, 60.0);
        assert!((cut_m - (50.0 + 30.0 * slack)).abs() < 1e-9);
        assert!((line.environment.covers_to_m(&reach, 10.0, cut_m) - 60.0).abs() < 1e-9);
    }

    #[test]
    fn stated_pieces_rise_whatever_their_order() {
        let mut line = coil();
        line.reaches[0].pieces_m = vec![100.0, 25.0, 50.0, 25.0, 0.1];
        let bought: Vec<f64> = line
            .environment
            .piece_lengths(&line.reaches[0])
            .iter()
            .map(|p| p.bought_m)
            .collect();
        assert_eq!(bought, [25.0, 50.0, 100.0]);
    }
}
