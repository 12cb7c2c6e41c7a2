//! Heights that go up and down as no ground does.

use crate::text::{Fault, Place, Sentence};

/// A size of rise, m, with the decimals that tell it, and how many of it one route has at most (our judgement, no source).
///
/// The large ones: a route of ten kilometres over a ridge each twenty metres. The small ones: rows a metre apart on rough ground for some kilometres.
/// What judges each of them takes its time and its memory, too.
const MOST: [(f64, usize, usize); 2] = [(0.3, 1, 500), (0.02, 2, 900)];

/// Refuses heights that are noise, or figures of another column.
pub(super) fn refuse(file: &str, heights_m: &[f64]) -> Result<(), Fault> {
    for (rise_m, decimals, most) in MOST {
        let count = rises(heights_m, rise_m);
        if count > most {
            return Err(Fault::new(
                Place::file(file),
                "the heights rise and fall too often to be ground heights",
            )
            .found(
                Sentence::from(format!("{count} rises of "))
                    .length(rise_m, decimals)
                    .words(" or more"),
            )
            .expected(format!("at most {most} on one route"))
            .advice("check that the heights are in the correct column. If the route is very long, survey it in parts"));
        }
    }
    Ok(())
}

/// How often the heights rise by that much from a low, having fallen by as much before.
fn rises(heights_m: &[f64], rise_m: f64) -> usize {
    let mut count = 0;
    let mut climbing = false;
    let mut turn = heights_m.first().copied().unwrap_or(0.0);
    for &z in heights_m {
        if climbing {
            turn = turn.max(z);
            if turn - z >= rise_m {
                (climbing, turn) = (false, z);
            }
        } else {
            turn = turn.min(z);
            if z - turn >= rise_m {
                (climbing, turn) = (true, z);
                count += 1;
            }
        }
    }
    count
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_ridge_is_one_rise_and_noise_is_refused() {
        assert_eq!(rises(&[5.0, 4.0, 4.2, 4.1, 4.6, 4.5, 3.0], 0.3), 1);
        assert_eq!(rises(&[5.0, 4.0, 3.9, 3.0], 0.3), 0);
        let saw: Vec<f64> = (0..1_200).map(|i| f64::from(i % 2)).collect();
        assert_eq!(rises(&saw, 0.3), 600);
        assert!(refuse("book.csv", &saw[..1_000]).is_ok());
        let fault = refuse("book.csv", &saw).unwrap_err().to_string();
        assert!(fault.contains("600 rises of 0.3 m"), "{fault}");
        let low: Vec<f64> = (0..2_000).map(|i| 0.03 * f64::from(i % 2)).collect();
        assert!(refuse("book.csv", &low[..1_800]).is_ok());
        let fault = refuse("book.csv", &low).unwrap_err().to_string();
        assert!(fault.contains("1000 rises of 0.02 m"), "{fault}");
    }
}
