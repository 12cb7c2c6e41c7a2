//! Which valve is which: the one at the intake, the turbine's own, and those on the way. The one place that knows.

use super::{Fitting, Geometry, Line};

/// A valve farther from an end than this is on the way, m: a powerhouse and its forecourt, an intake and its box, are no longer (own choice).
const NEAR_M: f64 = 10.0;

/// On a short line the end is a share of it, never less than a few steps, m: see [`Geometry::at_the_turbine`].
const NEAR_SHARE: f64 = 0.05;
const NEAR_LEAST_M: f64 = 2.0;

impl Geometry {
    /// How near to an end a valve stands at it, m: 10 m, on a line under 200 m a twentieth of it, at least 2 m; never more than a third of the line.
    fn near_m(&self) -> f64 {
        let length_m = self.length_m();
        (NEAR_SHARE * length_m)
            .clamp(NEAR_LEAST_M, NEAR_M)
            .min(length_m / 3.0)
    }

    /// Whether a valve at a station is the turbine's own: opening it starts the plant, it shuts the line and not the air out, and what lies below it drains through the jets and is too short to be pulled at.
    pub fn at_the_turbine(&self, station_m: f64) -> bool {
        station_m >= self.length_m() - self.near_m() - 1e-9
    }

    /// Whether a valve at a station is the one at the intake.
    pub fn at_the_intake(&self, station_m: f64) -> bool {
        station_m <= self.near_m() + 1e-9
    }
}

impl Line {
    /// Valves below which the pipe empties once they are shut: all but the turbine's own.
    pub fn shut_offs(&self) -> impl Iterator<Item = &Fitting> {
        self.placed_shut_offs().map(|(_, f)| f)
    }

    /// The same, each with its place among the fittings.
    pub fn placed_shut_offs(&self) -> impl Iterator<Item = (usize, &Fitting)> {
        self.fittings
            .iter()
            .enumerate()
            .filter(|(_, f)| f.kind.is_valve() && !self.geometry.at_the_turbine(f.station_m))
    }

    /// The valve at the intake, the uppermost.
    pub fn head_valve(&self) -> Option<&Fitting> {
        let mut all = self.fittings.iter();
        all.find(|f| f.kind.is_valve() && self.geometry.at_the_intake(f.station_m))
    }

    /// The turbine's own valve, the lowest.
    pub fn turbine_valve(&self) -> Option<&Fitting> {
        let mut all = self.fittings.iter();
        all.rfind(|f| f.kind.is_valve() && self.geometry.at_the_turbine(f.station_m))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pipe::{self, FittingKind};

    fn line(length_m: f64, valves_m: &[f64]) -> Line {
        let pipe = pipe::find("PE100 SDR17 110").unwrap();
        let mut line = Line::plain(&[(0.0, 50.0), (length_m, 0.0)], &pipe);
        line.fittings = valves_m
            .iter()
            .map(|&station_m| Fitting {
                station_m,
                kind: FittingKind::GateValve,
                name: format!("valve at {station_m}"),
                k: None,
                open: 1.0,
                angle_rad: None,
                in_plan: None,
                bore_m: None,
                rating_pa: None,
            })
            .collect();
        line
    }

    #[test]
    fn a_valve_eighty_metres_above_the_turbine_is_on_the_way_for_everybody() {
        let line = line(2_000.0, &[2.0, 1_920.0, 1_995.0]);
        assert!(!line.geometry.at_the_turbine(1_920.0) && line.geometry.at_the_turbine(1_995.0));
        let way: Vec<f64> = line.shut_offs().map(|f| f.station_m).collect();
        assert_eq!(way, [2.0, 1_920.0]);
        assert_eq!(line.head_valve().unwrap().station_m, 2.0);
        assert_eq!(line.turbine_valve().unwrap().station_m, 1_995.0);
    }

    #[test]
    fn one_valve_is_never_both_on_a_short_line() {
        for length_m in [3.0, 8.0, 30.0, 120.0, 400.0] {
            let line = line(length_m, &[]);
            for k in 0..=20 {
                let s = length_m * f64::from(k) / 20.0;
                assert!(
                    !(line.geometry.at_the_turbine(s) && line.geometry.at_the_intake(s)),
                    "{s} of {length_m}"
                );
            }
            assert!(line.geometry.at_the_turbine(length_m) && line.geometry.at_the_intake(0.0));
        }
        // two metres before the end of a short line is still the powerhouse
        assert!(
            line(30.0, &[]).geometry.at_the_turbine(28.0)
                && !line(30.0, &[]).geometry.at_the_turbine(27.0)
        );
    }
}
