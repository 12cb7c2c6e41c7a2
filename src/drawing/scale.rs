use crate::numeric::math;
use crate::unit::Units;
use crate::unit::exact::FOOT_M;

/// A true scale: so many millimetres of ground on one of paper, written as the trade writes it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DrawingScale {
    /// One over the scale: 2500 for 1:2500.
    pub ratio: f64,
    /// Written in feet to the inch.
    pub units: Units,
}

impl DrawingScale {
    /// The largest round scale at which a length fits into so many millimetres: 1, 1.25, 1.5, 2, 2.5, 3, 4, 5, 6, 7.5, 8 to a power of ten, or feet to the inch in tens.
    pub fn to_fit(length_m: f64, room_mm: f64, units: Units) -> Self {
        let needed = (length_m.max(1e-3) * 1e3 / room_mm.max(1.0)).max(1.0);
        let (unit, steps): (f64, &[f64]) = match units {
            Units::Metric => (
                1.0,
                &[1.0, 1.25, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 7.5, 8.0],
            ),
            Units::Us => (12.0, &[1.0, 1.25, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0]),
        };
        let mut power = 1.0_f64;
        loop {
            for step in steps {
                let ratio = unit * step * power;
                if ratio >= needed * (1.0 - 1e-9) {
                    return Self { ratio, units };
                }
            }
            power *= 10.0;
            if power > 1e12 {
                return Self {
                    ratio: needed,
                    units,
                };
            }
        }
    }

    /// Millimetres of paper a metre.
    pub fn mm_per_m(&self) -> f64 {
        1e3 / self.ratio
    }

    /// "1:2500", or "1 in = 200 ft".
    pub fn text(&self) -> String {
        match self.units {
            Units::Metric => format!("1:{}", self.ratio),
            Units::Us => format!("1 in = {} ft", self.ratio / 12.0),
        }
    }

    /// A round step of ground whose marks stand at least so far apart on paper, m: 1, 2 or 5 to a power of ten in the units shown.
    pub fn step_m(&self, least_mm: f64) -> f64 {
        let unit = unit_m(self.units);
        let least = least_mm / self.mm_per_m() / unit;
        round_step(least) * unit
    }
}

/// The least round step no smaller than a wished one: 1, 2 or 5 to a power of ten.
pub(super) fn round_step(least: f64) -> f64 {
    let power = math::powf(10_f64, math::log10(least.max(1e-9)).floor());
    [1.0, 2.0, 5.0, 10.0]
        .iter()
        .map(|s| s * power)
        .find(|s| *s >= least * (1.0 - 1e-9))
        .unwrap_or(10.0 * power)
}

/// The unit that stations and heights are counted in, m.
pub fn unit_m(units: Units) -> f64 {
    match units {
        Units::Metric => 1.0,
        Units::Us => FOOT_M,
    }
}

/// Where a ruling of stations has its strokes: a station along the line and its round figure on the pegs, each step, m.
pub fn round_stations(station_m: &[f64], pegs_m: &[f64], step_m: f64) -> Vec<(f64, f64)> {
    let mut both: Vec<(f64, f64)> = pegs_m
        .iter()
        .copied()
        .zip(station_m.iter().copied())
        .collect();
    both.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (Some(&(low, _)), Some(&(high, _))) = (both.first(), both.last()) else {
        return Vec::new();
    };
    let (pegs, stations): (Vec<f64>, Vec<f64>) = both.into_iter().unzip();
    let mut out = Vec::new();
    let mut figure = (low / step_m - 1e-9).ceil() * step_m;
    while step_m > 0.0 && figure <= high + 1e-6 {
        out.push((
            crate::numeric::series::interpolate(&pegs, &stations, figure),
            figure,
        ));
        figure += step_m;
    }
    out
}

/// A ruling's number: whole where its step is whole.
pub fn ruling(value_m: f64, step_m: f64, units: Units) -> String {
    let unit = unit_m(units);
    let step = step_m / unit;
    let decimals = if step >= 1.0 {
        0
    } else {
        (-math::log10(step).floor()).clamp(0.0, 6.0) as usize
    };
    let value = value_m / unit;
    let value = if value.abs() < step * 1e-6 {
        0.0
    } else {
        value
    };
    format!("{value:.decimals$}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn scales_are_round_and_fit() {
        let fit = |m, mm| DrawingScale::to_fit(m, mm, Units::Metric).ratio;
        assert_eq!(fit(640.0, 256.0), 2500.0);
        assert_eq!(fit(641.0, 256.0), 3000.0);
        assert_eq!(fit(90.0, 100.0), 1000.0);
        let us = DrawingScale::to_fit(378.0, 230.0, Units::Us);
        assert_eq!(us.text(), "1 in = 150 ft");
        assert!(378.0 * us.mm_per_m() <= 230.0);
        assert_eq!(
            DrawingScale {
                ratio: 2500.0,
                units: Units::Metric
            }
            .step_m(15.0),
            50.0
        );
    }
}
