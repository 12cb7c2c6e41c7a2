use super::Line;
use crate::pipe::Soil;

/// Ends nearer than this are one, m.
const SAME_M: f64 = 0.01;

impl Line {
    /// A stretch parted where the pipe or the ground changes, and at other places that part it.
    pub fn alike(&self, (from_m, to_m): (f64, f64), also: &[f64]) -> Vec<(f64, f64)> {
        let inside = |s: &f64| *s > from_m && *s < to_m;
        let mut cuts: Vec<f64> = self
            .reaches
            .iter()
            .map(|r| r.to_m)
            .chain(
                self.environment
                    .ground
                    .iter()
                    .flat_map(|g| [g.from_m, g.to_m]),
            )
            .chain(also.iter().copied())
            .filter(inside)
            .chain([from_m, to_m])
            .collect();
        cuts.sort_by(f64::total_cmp);
        cuts.dedup_by(|a, b| (*a - *b).abs() < SAME_M);
        cuts.iter()
            .copied()
            .zip(cuts.iter().copied().skip(1))
            .collect()
    }

    /// The soil at a station, where said.
    pub fn soil_at(&self, station_m: f64) -> Option<Soil> {
        self.environment
            .ground
            .iter()
            .find(|g| (g.from_m..=g.to_m).contains(&station_m))
            .and_then(|g| g.soil)
    }
}
