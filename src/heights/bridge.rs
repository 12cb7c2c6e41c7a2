#![expect(
    clippy::indexing_slicing,
    reason = "indices are made here from the lengths of the same lists"
)]

use super::chain::StepEntry;
use super::layout::Layout;

/// Where readings stand farther apart than this, m, the ground between them is held to their slope, at places as far apart ...
const UNREAD_M: f64 = 24.0;
/// ... within this, m per m: a bank of 1 in 2 more or less than the slope all round.
const UNREAD_SLOPE_SD: f64 = 0.5;

impl Layout {
    /// Where nothing was read for long, nodes are told that the ground hardly leaves the slope between the readings on both sides: roughness is unknown there,
    /// and the roughest class alone would let the line swing by tens of metres. `read`: stations and heights of all readings, in order.
    pub(super) fn bridge(&mut self, read: &[(f64, f64)]) {
        let (Some(first), Some(last)) = (self.node_m.first(), self.node_m.last()) else {
            return;
        };
        let ends = [*first, *last].map(|s| (s, f64::NAN));
        let before = std::iter::once(ends[0]).chain(read.iter().copied());
        let after = read.iter().copied().chain(std::iter::once(ends[1]));
        let gaps: Vec<(f64, f64, f64)> = before
            .zip(after)
            .filter(|(a, b)| b.0 - a.0 > UNREAD_M)
            .map(|(a, b)| {
                let slope = (b.1 - a.1) / (b.0 - a.0);
                // Before the first reading and beyond the last there is only the slope of the whole.
                let slope = if slope.is_finite() {
                    slope - self.base_slope
                } else {
                    0.0
                };
                (a.0, b.0, slope)
            })
            .collect();
        for (from, to, slope) in gaps {
            let parts = ((to - from) / UNREAD_M).floor();
            for i in 1..=parts as usize {
                let step = self.step_at(from + (to - from) * i as f64 / (parts + 1.0));
                let at = self.node_m[step];
                if at > from && at < to {
                    self.steps[step].fixed.push(StepEntry {
                        weight: [0.0, 1.0, 0.0, 0.0],
                        height_m: slope,
                        count: UNREAD_SLOPE_SD * UNREAD_SLOPE_SD,
                        ..StepEntry::default()
                    });
                }
            }
        }
    }
}
