use crate::line::PressureTest;

/// How long the pressure is watched, s.
pub const HOUR_S: f64 = 3_600.0;

/// What steel and PVC may lose in that time, Pa (EN 805:2000, main test by loss of pressure; from memory).
pub const MAY_LOSE_PA: f64 = 20_000.0;

/// What the pressure fell by in an hour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PressureDrop {
    /// By the readings, Pa.
    pub lost_pa: f64,
    /// Were both readings off by the gauge's limit: least and most, Pa.
    pub between_pa: (f64, f64),
}

impl PressureDrop {
    /// From the first reading on, straight between readings; `None`: no reading an hour later.
    pub fn of(test: &PressureTest) -> Option<Self> {
        let (begin_s, begin_pa) = test.readings.first().copied()?;
        let end_s = begin_s + HOUR_S;
        let pairs = test.readings.iter().zip(test.readings.iter().skip(1));
        let end_pa = pairs
            .filter(|(a, b)| a.0 <= end_s && b.0 >= end_s - 1e-6)
            .map(|(a, b)| a.1 + (b.1 - a.1) * ((end_s - a.0) / (b.0 - a.0)).min(1.0))
            .next()?;
        let lost_pa = begin_pa - end_pa;
        Some(Self {
            lost_pa,
            between_pa: (lost_pa - 2.0 * test.limit_pa, lost_pa + 2.0 * test.limit_pa),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_hour_is_read_between_the_readings() {
        let test = PressureTest {
            loading_s: 600.0,
            readings: vec![(0.0, 900e3), (1800.0, 890e3), (5400.0, 870e3)],
            limit_pa: 1e3,
            backfilled: None,
        };
        let drop = PressureDrop::of(&test).unwrap();
        assert!((drop.lost_pa - 20e3).abs() < 1e-6);
        assert!((drop.between_pa.1 - 22e3).abs() < 1e-6);
        let short = PressureTest {
            readings: vec![(0.0, 900e3), (1800.0, 890e3)],
            ..test
        };
        assert_eq!(PressureDrop::of(&short), None);
    }
}
