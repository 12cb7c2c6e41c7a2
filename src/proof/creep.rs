use crate::line::PressureTest;
use crate::numeric::math;

/// Share of the loading time that is added to each time: the pipe crept while it was loaded.
const LOADING_SHARE: f64 = 0.4;

/// When the readings are due, in loading times since the pump was shut off: the first, the second, and from when on the third.
const DUE: [f64; 3] = [1.0, 7.0, 15.0];

/// The second reading may come as early as this, in loading times: it is due at about seven (our judgement).
const SECOND_FROM: f64 = 5.0;

/// Slopes of sound pipe in compacted backfill.
pub const BACKFILLED: (f64, f64) = (0.04, 0.05);

/// Slopes of sound pipe that nothing holds: laid bare, not backfilled, or in a sleeve.
pub const FREE: (f64, f64) = (0.08, 0.10);

/// How steeply the pressure falls against time, both as logarithms.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct CreepSlope {
    /// By the readings.
    pub mean: f64,
    /// Low end, with the limit of error of the gauge.
    pub low: f64,
    /// High end, with the limit of error of the gauge.
    pub high: f64,
}

/// Slope between two readings: `(ln P1 - ln P2) / (ln t2 - ln t1)`, 0.4 of the loading time added to each time. `None` where the gauge shows no more than its limit.
///
/// Times s since the pump was shut off, pressures Pa over the air's.
pub fn slope(
    first: (f64, f64),
    second: (f64, f64),
    loading_s: f64,
    limit_pa: f64,
) -> Option<CreepSlope> {
    let at = |t: f64| math::ln(t + LOADING_SHARE * loading_s);
    let wide = at(second.0) - at(first.0);
    let by = |off_pa: f64| {
        let (p1, p2) = (first.1 + off_pa, second.1 - off_pa);
        (p1 > 0.0 && p2 > 0.0 && wide > 0.0).then(|| (math::ln(p1) - math::ln(p2)) / wide)
    };
    Some(CreepSlope {
        mean: by(0.0)?,
        low: by(-limit_pa)?,
        high: by(limit_pa)?,
    })
}

/// The three readings and their two slopes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Creep {
    /// Slope from the first reading to the second: too gentle, and air is in the pipe.
    pub first: CreepSlope,
    /// Slope from the second to the third: too steep, and it leaks.
    pub second: CreepSlope,
}

impl Creep {
    /// By the readings of a test; `None`: three readings at their times are not there.
    ///
    /// Source: the three-point test of polyethylene mains of the UK water industry (WRc; IGN 4-01-03), secondary source.
    pub fn of(test: &PressureTest) -> Option<Self> {
        let t = |loads: f64| loads * test.loading_s * (1.0 - 1e-9);
        let from = |s: f64| test.readings.iter().copied().find(|r| r.0 >= s);
        let first = from(t(DUE[0]))?;
        let last = test.readings.last().copied()?;
        (last.0 >= t(DUE[2])).then_some(())?;
        // the one next to seven loading times, but never the last
        let seven = DUE[1] * test.loading_s;
        let second = test
            .readings
            .iter()
            .copied()
            .filter(|r| r.0 >= t(SECOND_FROM) && r.0 > first.0 && r.0 < last.0)
            .min_by(|a, b| (a.0 - seven).abs().total_cmp(&(b.0 - seven).abs()))?;
        Some(Self {
            first: slope(first, second, test.loading_s, test.limit_pa)?,
            second: slope(second, last, test.loading_s, test.limit_pa)?,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        /// Pressure that falls by a power of time gives back that power, and a worse gauge never a narrower band.
        #[test]
        fn a_power_of_time_is_found_again(n in 0.01..0.3_f64, load in 60.0..3600.0_f64, p in 1e5..2e6_f64) {
            let at = |t: f64| p * ((t + LOADING_SHARE * load) / (1.4 * load)).powf(-n);
            let read = |loads: f64| (loads * load, at(loads * load));
            let test = PressureTest { loading_s: load, readings: vec![read(1.0), read(7.0), read(16.0)], limit_pa: 0.0, backfilled: None };
            let creep = Creep::of(&test).unwrap();
            prop_assert!((creep.first.mean - n).abs() < 1e-9 && (creep.second.mean - n).abs() < 1e-9);
            let rough = Creep::of(&PressureTest { limit_pa: 0.01 * p, ..test }).unwrap();
            prop_assert!(rough.second.low <= creep.second.low && rough.second.high >= creep.second.high);
        }
    }
}
