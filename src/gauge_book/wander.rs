//! How far pressures wander by themselves.

use super::channel::{Channel, ChannelKind};
use crate::numeric::{math, median};

/// How far pressures wander over a week more than over a day, m: the level at the intake, and the air's pressure on the dial.
pub(super) fn wander_m(channels: &[Channel], off: &[Vec<f64>]) -> f64 {
    const LEAST: f64 = 0.02;
    const MOST_M: f64 = 0.15;
    let mut near = Vec::new();
    let mut far = Vec::new();
    for (channel, off) in channels.iter().zip(off) {
        if channel.kind != ChannelKind::Pressure {
            continue;
        }
        let points: Vec<(f64, f64)> = channel
            .values
            .iter()
            .zip(off)
            .filter(|(v, _)| !v.alone)
            .map(|(v, o)| (v.day, *o))
            .collect();
        for (i, (day, o)) in points.iter().enumerate() {
            for (later, p) in points.iter().skip(i + 1).take(12) {
                let apart = later - day;
                if apart <= 1.5 {
                    near.push((p - o).abs());
                } else if (4.0..=8.0).contains(&apart) {
                    far.push((p - o).abs());
                }
            }
        }
    }
    let spread = |v: &[f64]| math::powi(1.4826 * median(v), 2) / 2.0;
    (spread(&far) - spread(&near))
        .max(0.0)
        .sqrt()
        .clamp(LEAST, MOST_M)
}
