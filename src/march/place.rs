use super::grid::MocGrid;
use super::pipe_series::PipeSeries;

/// A station as a place in the rows of whole steps, tube after tube: head is straight between two nodes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct GridPoint {
    pub(crate) node: usize,
    share: f64,
}

impl GridPoint {
    /// Where a station stands, m from the forebay.
    pub(crate) fn of(chain: &PipeSeries, grid: &MocGrid, station_m: f64) -> Self {
        let (mut from, mut first) = (0.0, 0);
        let mut found = Self {
            node: 0,
            share: 0.0,
        };
        for (tube, &cells) in chain.tubes.iter().zip(&grid.cells) {
            let x = ((station_m - from) / tube.length_m).clamp(0.0, 1.0) * cells as f64;
            let node = (x.floor() as usize).min(cells - 1);
            found = Self {
                node: first + node,
                share: x - node as f64,
            };
            from += tube.length_m;
            first += cells + 1;
            if station_m <= from {
                break;
            }
        }
        found
    }

    /// The head there, m, by the heads of nodes.
    pub(crate) fn head(self, at: impl Fn(usize) -> Option<f64>) -> f64 {
        let low = at(self.node).unwrap_or(0.0);
        let high = at(self.node + 1).unwrap_or(low);
        low + (high - low) * self.share
    }
}
