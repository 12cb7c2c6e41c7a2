//! The time that a vessel takes to fill.

use super::{Note, mean};
use crate::numeric::math;

/// A filling shorter than this is more of the hand than of the stream, s (common practice, no source).
const SHORT_S: f64 = 5.0;

/// Standard deviation of a stopwatch by hand, start and stop together, s (own judgement).
const HAND_S: f64 = 0.25;

/// Standard deviation of a vessel's mark, of its volume (own judgement).
const MARK: f64 = 0.02;

/// Standard deviation of what runs past the vessel or splashes out, of the flow (own judgement).
const MISSED: f64 = 0.02;

/// One filling.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BucketFilling {
    /// Volume, m3, more than 0.
    pub volume_m3: f64,
    /// Time, s, more than 0.
    pub time_s: f64,
}

/// Flow by fillings, m3/s, its standard deviation, and what makes it doubtful; `None` without fillings.
///
/// The mean of V/t. Its doubt: the spread of the fillings over the root of their number (or the hand's, where larger), the vessel's mark, and what runs past.
/// Holds where the whole stream falls into the vessel.
pub fn flow(fillings: &[BucketFilling]) -> Option<(f64, f64, Vec<Note>)> {
    let flows: Vec<f64> = fillings.iter().map(|f| f.volume_m3 / f.time_s).collect();
    let (flow, spread) = mean(&flows)?;
    let times: Vec<f64> = fillings.iter().map(|f| f.time_s).collect();
    let (time_s, _) = mean(&times)?;
    let hand = flow * HAND_S / time_s / super::count(fillings.len()).sqrt();
    let by_reading = spread.unwrap_or(0.0).max(hand);
    let sd = math::hypot(by_reading, flow * math::hypot(MARK, MISSED));
    let mut notes = Vec::new();
    if fillings.len() == 1 {
        notes.push(Note::OneReading);
    }
    if time_s < SHORT_S {
        notes.push(Note::FastFilling);
    }
    Some((flow, sd, notes))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ten_litres_in_eight_seconds() {
        let fill = BucketFilling {
            volume_m3: 0.010,
            time_s: 8.0,
        };
        let (flow, sd, notes) = flow(&[fill; 4]).unwrap();
        assert!((flow - 0.00125).abs() < 1e-12);
        assert!(sd > 0.02 * flow && sd < 0.04 * flow, "{sd}");
        assert!(notes.is_empty());
    }
}
