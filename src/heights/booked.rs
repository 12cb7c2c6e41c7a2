use super::BookNode;
use super::{Backed, Heights};
use crate::numeric::Rng;
use crate::numeric::math;

/// Heights of a reduced book on its own points: the means are the surveyed heights exactly, the draws carry independent errors and errors that many points share.
///
/// `factors`: each one value a point, m, of the error that one standard normal moves (see `survey::Book`); a shorter list is filled up with 0. Draws come in mirrored pairs, so their mean is the surveyed height too.
/// Between points the line is taken as straight: ground that was not surveyed has no doubt of its own here.
pub fn booked(points: &[BookNode], factors: &[Vec<f64>], draws: usize, seed: u64) -> Heights {
    let of = |factor: &[f64], i: usize| factor.get(i).copied().unwrap_or(0.0);
    let mean_m: Vec<f64> = points.iter().map(|p| p.height_m).collect();
    let sd_m = points
        .iter()
        .enumerate()
        .map(|(i, p)| {
            let shared: f64 = factors.iter().map(|f| math::powi(of(f, i), 2)).sum();
            (p.sd_m * p.sd_m + shared).sqrt()
        })
        .collect();
    let drop_sd_m = match (points.first(), points.last(), points.len().checked_sub(1)) {
        (Some(a), Some(b), Some(end)) if end > 0 => {
            let shared: f64 = factors
                .iter()
                .map(|f| math::powi(of(f, 0) - of(f, end), 2))
                .sum();
            (a.sd_m * a.sd_m + b.sd_m * b.sd_m + shared).sqrt()
        }
        _ => 0.0,
    };
    let mut source = Rng::new(seed);
    let mut lines = Vec::with_capacity(draws + 1);
    while lines.len() < draws {
        let mut off: Vec<f64> = points.iter().map(|p| p.sd_m * source.normal()).collect();
        for factor in factors {
            let g = source.normal();
            for (o, f) in off.iter_mut().zip(factor) {
                *o += g * f;
            }
        }
        lines.push(mean_m.iter().zip(&off).map(|(m, o)| m + o).collect());
        lines.push(mean_m.iter().zip(&off).map(|(m, o)| m - o).collect());
    }
    Heights {
        station_m: points.iter().map(|p| p.station_m).collect(),
        mean_m,
        sd_m,
        draws: lines,
        drop_sd_m,
        walks: 0,
        backed: Backed::default(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn means_are_the_book_and_shared_errors_stay_shared() {
        let points: Vec<BookNode> = [100.0, 90.0, 91.0]
            .iter()
            .enumerate()
            .map(|(i, &height_m)| BookNode {
                station_m: 50.0 * i as f64,
                height_m,
                sd_m: 0.01,
            })
            .collect();
        let heights = booked(&points, &[vec![2.0, 2.0, 2.0]], 4_000, 5);
        assert_eq!(heights.mean_m, [100.0, 90.0, 91.0]);
        assert!((heights.sd_m[1] - (4.0f64 + 1e-4).sqrt()).abs() < 1e-12);
        assert!((heights.drop_sd_m - 0.01 * 2f64.sqrt()).abs() < 1e-12);
        assert_eq!(heights.draws.len(), 4_000);
        // A common error of 2 m does not touch the rise of 1 m.
        let rises: Vec<f64> = heights.draws.iter().map(|d| d[2] - d[1]).collect();
        assert!(rises.iter().all(|r| (r - 1.0).abs() < 0.08));
        let sd = (rises.iter().map(|r| math::powi(r - 1.0, 2)).sum::<f64>() / 4_000.0).sqrt();
        assert!((sd - 0.01 * 2f64.sqrt()).abs() < 0.0006);
        assert!(booked(&[], &[], 10, 1).mean_m.is_empty());
    }
}
