use crate::numeric::math;
use crate::route::{Backed, Heights};

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
}
