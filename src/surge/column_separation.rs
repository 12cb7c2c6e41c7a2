use super::build::BuiltModel;
use super::transient_case::TransientCase;
use super::{SurgePoint, Vapour};
use crate::march::Floor;

/// Stations at which the water parts, with the head at which it does.
#[derive(Default, PartialEq)]
pub(crate) struct ColumnSeparation(Vec<Floor>);

impl ColumnSeparation {
    pub(crate) fn of(looking: &TransientCase<'_>, points: &[SurgePoint]) -> Self {
        let heights = looking.line.geometry.heights.mean_m.iter();
        Self(
            points
                .iter()
                .zip(heights)
                .filter(|(p, _)| p.head_min_m.is_none())
                .map(|(p, z)| Floor {
                    station_m: p.station_m,
                    head_m: z + looking.boiling_m,
                })
                .collect(),
        )
    }

    /// Whether it parts at all.
    pub(crate) fn anywhere(&self) -> bool {
        !self.0.is_empty()
    }

    /// The same stations as they stand on a grid.
    pub(crate) fn floors(&self, looking: &TransientCase<'_>, built: &BuiltModel) -> Vec<Floor> {
        let on_grid = |f: &Floor| Floor {
            station_m: looking.node_m(built, f.station_m),
            ..*f
        };
        self.0.iter().map(on_grid).collect()
    }

    /// Where and when, from the first floor gone below on the fast march, else on the slow one.
    ///
    /// A dip that lies within one step is seen by the extremes and by no whole step: its time is then that of the lowest head at the worst station.
    pub(crate) fn vapour(
        &self,
        limit_pa: f64,
        first: Option<(usize, f64)>,
        slow_first: impl FnOnce() -> Option<(usize, f64)>,
        lowest_at_s: impl FnOnce() -> f64,
    ) -> Option<Vapour> {
        let (from, to) = (self.0.first()?, self.0.last()?);
        let (index, at_s) = first
            .or_else(slow_first)
            .unwrap_or_else(|| (0, lowest_at_s()));
        Some(Vapour {
            from_m: from.station_m,
            to_m: to.station_m,
            first_m: self.0.get(index).unwrap_or(from).station_m,
            at_s,
            limit_pa,
        })
    }
}

impl Vapour {
    /// From the first of these stations that parts to the last.
    pub(crate) fn over(self, points: &[SurgePoint]) -> Self {
        let parts = || points.iter().filter(|p| p.head_min_m.is_none());
        Self {
            from_m: parts().next().map_or(self.from_m, |p| p.station_m),
            to_m: parts().next_back().map_or(self.to_m, |p| p.station_m),
            ..self
        }
    }
}
