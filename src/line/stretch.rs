//! What the pipe lies in and on, from station to station.

use super::Environment;
use crate::line::{Ground, Laid, Line, Reach, Reaches};
use crate::pipe::wave::{Band, Between, restraint_of, wave_speed};
use crate::pipe::{Bed, Dig, Soil};

/// Ends nearer than this are one, m.
const SAME_M: f64 = 0.01;

/// A station this near to a ground's end stands on it, m: no more than what arithmetic makes of a figure.
const TOUCH_M: f64 = 1e-9;

impl Reaches {
    /// A stretch parted where the pipe or the ground changes, and at other places that part it.
    pub fn alike(
        &self,
        ground: &[Ground],
        (from_m, to_m): (f64, f64),
        also: &[f64],
    ) -> Vec<(f64, f64)> {
        let inside = |s: &f64| *s > from_m && *s < to_m;
        let mut cuts: Vec<f64> = self
            .iter()
            .map(|r| r.to_m)
            .chain(ground.iter().flat_map(|g| [g.from_m, g.to_m]))
            .chain(also.iter().copied())
            .filter(inside)
            .chain([from_m, to_m])
            .collect();
        cuts.sort_by(f64::total_cmp);
        cuts.dedup_by(|a, b| (*a - *b).abs() < SAME_M);
        cuts.iter()
            .copied()
            .zip(cuts.iter().copied().skip(1))
            .collect()
    }
}

impl Line {
    /// Range of the wave speed of each reach, m/s: over all beds that it lies in, for how a pipe is held hangs on its bed.
    pub fn wave_bands(&self) -> Vec<Band> {
        let water_c = Between {
            coldest_c: self.environment.water.coldest_c,
            warmest_c: self.environment.water.warmest_c,
        };
        let of = |r: &Reach| {
            let beds = self.environment.beds_in(r.from_m, r.to_m);
            let bands = beds
                .into_iter()
                .map(|bed| wave_speed(&r.pipe, restraint_of(r.joint, bed), water_c));
            bands.reduce(Band::with)
        };
        self.reaches.iter().filter_map(of).collect()
    }
}

impl Environment {
    /// The grounds that a station belongs to, where said, from above down: where two meet, both.
    fn grounds_at(&self, station_m: f64) -> impl Iterator<Item = &Ground> {
        let is_here =
            move |g: &&Ground| (g.from_m - TOUCH_M..=g.to_m + TOUCH_M).contains(&station_m);
        self.ground.iter().filter(is_here)
    }

    /// The ground at a station, where said; the upper one where two meet.
    pub fn ground_at(&self, station_m: f64) -> Option<&Ground> {
        self.grounds_at(station_m).next()
    }

    /// How easily the ground is dug at a station; easy where nothing is said. Where two grounds meet, the harder: what is dug there is dug in both.
    pub fn dig_at(&self, station_m: f64) -> Dig {
        let digs = self.grounds_at(station_m).map(|g| g.dig);
        digs.max().unwrap_or(Dig::Easy)
    }

    /// The soil at a station, where said.
    pub fn soil_at(&self, station_m: f64) -> Option<Soil> {
        self.ground_at(station_m).and_then(|g| g.soil)
    }

    /// Friction of the pipe on the ground at a station, where said.
    pub fn friction_at(&self, station_m: f64) -> Option<f64> {
        self.ground_at(station_m).and_then(|g| g.friction)
    }

    /// How the pipe sits at a station, where said.
    pub fn laid_at(&self, station_m: f64) -> Option<&Laid> {
        self.laid
            .iter()
            .find(|l| (l.from_m..=l.to_m).contains(&station_m))
    }

    /// Every bed of a stretch, from above down; at least one.
    fn beds_in(&self, from_m: f64, to_m: f64) -> Vec<Bed> {
        let ends = self.laid.iter().flat_map(|l| [l.from_m, l.to_m]);
        let inside = |s: &f64| *s > from_m + SAME_M && *s < to_m - SAME_M;
        let mut cuts: Vec<f64> = ends.filter(inside).chain([from_m, to_m]).collect();
        cuts.sort_by(f64::total_cmp);
        let pieces = cuts.iter().zip(cuts.iter().skip(1));
        pieces.map(|(a, b)| self.bed_at(0.5 * (a + b))).collect()
    }

    /// How the pipe sits at a station; on the surface where nothing was said.
    pub fn bed_at(&self, station_m: f64) -> Bed {
        self.laid_at(station_m).map_or(Bed::Surface, |l| l.bed)
    }

    /// Whether the pipe at a station lies open to the sun.
    pub fn lies_open(&self, station_m: f64) -> bool {
        !self
            .laid
            .iter()
            .any(|l| l.bed == Bed::Buried && station_m >= l.from_m && station_m <= l.to_m)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pipe::{self, Joint, Traffic, Trench};

    fn line(laid: &[(f64, f64, Bed)], ground: &[(f64, f64, Dig)]) -> Line {
        let pipe = pipe::find("PE100 SDR11 90").unwrap();
        let mut line = Line::plain(&[(0.0, 100.0), (300.0, 60.0)], &pipe);
        line.reaches.0[0].joint = Joint::Compression;
        let laid = laid.iter().map(|&(from_m, to_m, bed)| Laid {
            from_m,
            to_m,
            bed,
            cover_m: None,
            height_m: None,
            traffic: Traffic::None,
            trench: Trench::default(),
        });
        line.environment.laid = laid.collect();
        let ground = ground.iter().map(|&(from_m, to_m, dig)| Ground {
            from_m,
            to_m,
            soil: None,
            friction: None,
            dig,
        });
        line.environment.ground = ground.collect();
        line
    }

    #[test]
    fn a_reach_in_two_beds_has_the_wave_speeds_of_both() {
        let band = |laid: &[(f64, f64, Bed)]| line(laid, &[]).wave_bands()[0];
        let open = band(&[]);
        let buried = band(&[(0.0, 300.0, Bed::Buried)]);
        assert!(buried.high != open.high);
        let both = open.with(buried);
        let ends = (open.low.min(buried.low), open.high.max(buried.high));
        assert_eq!((both.low, both.high), ends);
        // Wherever the bed changes: at the upper end, at the lower end, in the middle, or beside the middle.
        for (from, to) in [(0.0, 20.0), (280.0, 300.0), (100.0, 200.0), (10.0, 140.0)] {
            assert_eq!(band(&[(from, to, Bed::Buried)]), both, "{from} to {to}");
        }
        let span = [(0.0, 150.0, Bed::Buried), (150.0, 300.0, Bed::Span)];
        assert_eq!(band(&span), both);
    }

    #[test]
    fn where_grounds_meet_the_harder_is_dug() {
        let at = |ground: &[(f64, f64, Dig)], s| line(&[], ground).environment.dig_at(s);
        let easy_first = [(0.0, 100.0, Dig::Easy), (100.0, 200.0, Dig::Never)];
        let hard_first = [(0.0, 100.0, Dig::Never), (100.0, 200.0, Dig::Hard)];
        for (s, first, second) in [
            (99.0, Dig::Easy, Dig::Never),
            (100.0, Dig::Never, Dig::Never),
            (100.0 + 1e-12, Dig::Never, Dig::Never),
            (101.0, Dig::Never, Dig::Hard),
            (250.0, Dig::Easy, Dig::Easy),
        ] {
            assert_eq!((at(&easy_first, s), at(&hard_first, s)), (first, second));
        }
    }
}
