//! Salt poured in above, conductivity below.

use super::Note;
use crate::numeric::math;

/// Salt for a microsiemens a centimetre, mg/L, where the meter was not calibrated in the stream's own water, and its standard deviation as a share.
///
/// Source: Richardson, Sentlinger, Moore and Zimmermann (2017), Confluence 1(2): 0.486 mg cm/(uS L), some 2.8 %.
pub const FACTOR: (f64, f64) = (0.486, 0.028);

/// Standard deviation of a calibration of one's own, as a share: the same paper, less favourable conditions 4 %, best 1 %.
const CALIBRATED_SD: f64 = 0.02;

/// Standard deviation for salt that was not weighed well, not dissolved or not mixed across the stream, as a share (own judgement).
const MIXED_SD: f64 = 0.04;

/// A wave with fewer readings than this is drawn coarsely.
const FEW: usize = 10;

/// Standard deviation that this adds, as a share (own judgement).
const COARSE_SD: f64 = 0.05;

/// The conductivity has come back where it ends within this share of the wave's height.
const BACK: f64 = 0.05;

/// A reading of the wave.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WaveReading {
    /// Time, s, rising.
    pub time_s: f64,
    /// Conductivity, uS/cm.
    pub conductivity: f64,
}

/// A step of the calibration: salt in the stream's own water, and what the meter showed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CalibrationStep {
    /// Salt, mg/L.
    pub salt_mg_per_l: f64,
    /// Conductivity, uS/cm.
    pub conductivity: f64,
}

/// Salt for a microsiemens, mg cm/(uS L), by the steps of a calibration: the slope of the straight line through them (least squares); `None` with fewer than two different ones, or where it does not rise.
pub fn calibrated(steps: &[CalibrationStep]) -> Option<f64> {
    let n = super::count(steps.len());
    let mean = |of: fn(&CalibrationStep) -> f64| steps.iter().map(of).sum::<f64>() / n.max(1.0);
    let (c, k) = (mean(|s| s.conductivity), mean(|s| s.salt_mg_per_l));
    let sum = |of: &dyn Fn(&CalibrationStep) -> f64| steps.iter().map(of).sum::<f64>();
    let across = sum(&|s| (s.conductivity - c) * (s.conductivity - c));
    let both = sum(&|s| (s.conductivity - c) * (s.salt_mg_per_l - k));
    (across > 0.0 && both > 0.0).then(|| both / across)
}

/// Area of the wave over its background, uS s/cm: the background straight from the first reading to the last, the readings joined straight.
pub fn wave(readings: &[WaveReading]) -> f64 {
    let over = |r: &WaveReading| r.conductivity - background(readings, r.time_s);
    readings
        .iter()
        .zip(readings.iter().skip(1))
        .map(|(a, b)| 0.5 * (over(a) + over(b)) * (b.time_s - a.time_s))
        .sum()
}

fn background(readings: &[WaveReading], time_s: f64) -> f64 {
    let (Some(a), Some(b)) = (readings.first(), readings.last()) else {
        return 0.0;
    };
    let whole = b.time_s - a.time_s;
    if whole <= 0.0 {
        return a.conductivity;
    }
    a.conductivity + (b.conductivity - a.conductivity) * (time_s - a.time_s) / whole
}

/// Flow by one gulp of salt, m3/s, with its standard deviation and what makes it doubtful; `None` where no wave stands over the background.
///
/// Q = M / (k A), M the salt in mg, k the salt for a microsiemens, A the area of the wave: in L/s. Holds where the salt is mixed across the whole stream before the meter, and none is lost on the way.
pub fn flow(
    salt_mg: f64,
    readings: &[WaveReading],
    calibration: Option<f64>,
) -> Option<(f64, f64, Vec<Note>)> {
    let area = wave(readings);
    if area <= 0.0 {
        return None;
    }
    let mut notes = Vec::new();
    let (factor, factor_sd) = match calibration {
        Some(own) => (own, CALIBRATED_SD),
        None => {
            notes.push(Note::NoCalibration);
            FACTOR
        }
    };
    let flow = 1e-3 * salt_mg / (factor * area);
    let (first, last) = (readings.first()?, readings.last()?);
    let top = readings
        .iter()
        .map(|r| r.conductivity)
        .fold(f64::MIN, f64::max);
    let off = (last.conductivity - first.conductivity).abs();
    // a wave that was not followed to its end, or a background that moved: a third of the triangle under the line between the ends
    let drift_sd = off * (last.time_s - first.time_s) / 6.0 / area;
    if off > BACK * (top - first.conductivity.min(last.conductivity)) {
        notes.push(Note::Drift);
    }
    let coarse_sd = if readings.len() < FEW {
        notes.push(Note::CoarseWave);
        COARSE_SD
    } else {
        0.0
    };
    let share = [factor_sd, MIXED_SD, drift_sd, coarse_sd]
        .into_iter()
        .fold(0.0, math::hypot);
    Some((flow, share * flow, notes))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn reading(time_s: f64, conductivity: f64) -> WaveReading {
        WaveReading {
            time_s,
            conductivity,
        }
    }

    #[test]
    fn a_triangle_over_a_background_that_falls() {
        // 10 uS/cm high and 60 s wide, over a background from 110 to 100
        let wave_of = [
            reading(0.0, 110.0),
            reading(30.0, 115.0),
            reading(60.0, 100.0),
        ];
        assert!((wave(&wave_of) - 300.0).abs() < 1e-9);
    }

    #[test]
    fn a_calibration_is_the_slope_of_its_steps() {
        let step = |salt_mg_per_l: f64| CalibrationStep {
            salt_mg_per_l,
            conductivity: 80.0 + 2.1 * salt_mg_per_l,
        };
        let own = calibrated(&[step(0.0), step(10.0), step(25.0)]).unwrap();
        assert!((own - 1.0 / 2.1).abs() < 1e-12);
        assert_eq!(calibrated(&[step(5.0)]), None);
        assert_eq!(calibrated(&[]), None);
    }

    proptest! {
        /// The flow is in proportion to the salt, and inverse to the wave.
        #[test]
        fn twice_the_salt_twice_the_flow(salt in 1e3f64..1e7, top in 1.0f64..500.0, wide in 10.0f64..500.0) {
            let of = |top: f64| [reading(0.0, 50.0), reading(0.5 * wide, 50.0 + top), reading(wide, 50.0)];
            let flow = |salt: f64, top: f64| super::flow(salt, &of(top), None).unwrap().0;
            prop_assert!((flow(2.0 * salt, top) / flow(salt, top) - 2.0).abs() < 1e-9);
            prop_assert!((flow(salt, top) / flow(salt, 2.0 * top) - 2.0).abs() < 1e-9);
        }
    }
}
