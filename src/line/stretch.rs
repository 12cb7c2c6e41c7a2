//! What the pipe lies in and on, from station to station.

use super::Environment;
use crate::line::{Ground, Laid, Reaches};
use crate::pipe::{Bed, Soil};

/// Ends nearer than this are one, m.
const SAME_M: f64 = 0.01;

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

impl Environment {
    /// The ground at a station, where said.
    pub fn ground_at(&self, station_m: f64) -> Option<&Ground> {
        self.ground
            .iter()
            .find(|g| (g.from_m..=g.to_m).contains(&station_m))
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
