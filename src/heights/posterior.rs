//! Heights on stations as a joint posterior.

use super::backed::Backed;
use crate::numeric::math;
use crate::numeric::series::interpolate;

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
    /// Passes behind the heights. 0 for a book.
    pub walks: usize,
    /// Where no walk stands alone. Elsewhere none makes a climb certain, for nothing but a model of its errors parts them from ground.
    pub backed: Backed,
}

impl Heights {
    /// A posterior from equally likely lines, each one height a station: mean, standard deviations and the drop's doubt are theirs.
    pub fn from_draws(station_m: Vec<f64>, draws: Vec<Vec<f64>>) -> Self {
        let n = draws.len().max(1) as f64;
        let mut mean_m = vec![0.0; station_m.len()];
        for line in &draws {
            for (m, z) in mean_m.iter_mut().zip(line) {
                *m += z / n;
            }
        }
        let mut sd_m = vec![0.0; station_m.len()];
        for line in &draws {
            for ((s, m), z) in sd_m.iter_mut().zip(&mean_m).zip(line) {
                *s += (z - m) * (z - m) / n;
            }
        }
        for s in &mut sd_m {
            *s = s.sqrt();
        }
        let drop = |line: &[f64]| line.first().zip(line.last()).map_or(0.0, |(a, b)| a - b);
        let middle = drop(&mean_m);
        let drop_sd_m = (draws
            .iter()
            .map(|d| math::powi(drop(d) - middle, 2))
            .sum::<f64>()
            / n)
            .sqrt();
        Self {
            station_m,
            mean_m,
            sd_m,
            draws,
            drop_sd_m,
            walks: 0,
            backed: Backed::default(),
        }
    }

    /// How sure a verdict on these heights has to be: a single walk sees its own drift as ground.
    pub fn sure(&self) -> f64 {
        if self.walks == 1 { 0.95 } else { 0.90 }
    }

    /// Whether a climb from a low to a crest, m, rests on more than one walk with a receiver alone.
    pub fn backed_between(&self, low_m: f64, crest_m: f64) -> bool {
        let rise_m = self.at(crest_m) - self.at(low_m);
        self.backed.between(low_m, crest_m, rise_m)
            || (self.walks != 1 && self.backed.without_any(low_m, crest_m, rise_m).is_none())
    }

    /// The middle line without each one of several walks: the index of the first station that it reaches, and heights from there on, m.
    pub fn without_each(&self) -> impl Iterator<Item = (usize, Vec<f64>)> + '_ {
        self.backed.without.iter().map(|line| {
            let on = self.station_m.iter().zip(&self.mean_m);
            let heights = on.map(|(&s, z)| line.off(s, 0.0).map(|off| z + off));
            let first = heights.clone().take_while(Option::is_none).count();
            (first, heights.flatten().collect())
        })
    }

    /// Mean height at a station, m: straight between stations, held at the ends.
    pub fn at(&self, station_m: f64) -> f64 {
        interpolate(&self.station_m, &self.mean_m, station_m)
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
            backed: self.backed.clone(),
        }
    }
}

/// The point below a place and the share of the way to the next one; held at the ends.
fn between(at: &[f64], x: f64) -> (usize, f64) {
    let above = at.partition_point(|&s| s < x);
    let Some(below) = above.checked_sub(1) else {
        return (0, 0.0);
    };
    match (at.get(below), at.get(above)) {
        (Some(a), Some(b)) if b > a => (below, (x - a) / (b - a)),
        _ => (below, 0.0),
    }
}
