//! Heights along the line as equally likely draws.

use crate::numeric::{between, interpolate};

/// Heights on stations as a joint posterior: means, standard deviations and draws from it.
///
/// `draws` holds equally likely lines, each one height a station; their share answers every question of "how sure".
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Heights {
    /// Stations, m, strictly rising.
    pub station_m: Vec<f64>,
    /// Posterior mean, m.
    pub mean_m: Vec<f64>,
    /// Posterior standard deviation of the height itself, m (relative to the datum).
    pub sd_m: Vec<f64>,
    /// Equally likely lines: `draws[k][i]` is the height at station i in draw k, m.
    pub draws: Vec<Vec<f64>>,
    /// Standard deviation of the drop from the first to the last station, m.
    pub drop_sd_m: f64,
    /// Passes behind the heights: thresholds of certainty are stricter with one walk. 0 for a book.
    pub walks: usize,
}

impl Heights {
    /// Mean height at a station, m: straight between stations, held at the ends.
    pub fn at(&self, station_m: f64) -> f64 {
        interpolate(&self.station_m, &self.mean_m, station_m)
    }

    /// Standard deviation at a station, m: straight between stations.
    pub fn sd_at(&self, station_m: f64) -> f64 {
        interpolate(&self.station_m, &self.sd_m, station_m)
    }

    /// The same posterior on other stations: means, sd and each draw straight between its own stations.
    #[must_use]
    pub fn on(&self, station_m: &[f64]) -> Self {
        // Where each new station lies between the old ones is the same for every draw: found once.
        let between: Vec<(usize, f64)> = station_m
            .iter()
            .map(|&s| between(&self.station_m, s))
            .collect();
        let each = |values: &[f64]| {
            between
                .iter()
                .map(|&(below, share)| {
                    let low = values.get(below).copied().unwrap_or(0.0);
                    let high = values.get(below + 1).copied().unwrap_or(low);
                    low + share * (high - low)
                })
                .collect::<Vec<f64>>()
        };
        Self {
            station_m: station_m.to_vec(),
            mean_m: each(&self.mean_m),
            sd_m: each(&self.sd_m),
            draws: self.draws.iter().map(|d| each(d)).collect(),
            drop_sd_m: self.drop_sd_m,
            walks: self.walks,
        }
    }
}
