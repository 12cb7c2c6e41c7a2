//! Crests that could be vented, and which of them a station lies under.

/// A crest that could be vented: where the crew looks for its highest place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Candidate {
    pub(super) station_m: f64,
    pub(super) from_m: f64,
    pub(super) to_m: f64,
}

impl Candidate {
    pub(super) fn covers(&self, station_m: f64) -> bool {
        (self.from_m..=self.to_m).contains(&station_m)
    }
}

/// Candidates by where they begin, each with the farthest end up to it: those that cover a station stand close together.
pub(super) struct Cover<'a>(Vec<(usize, &'a Candidate, f64)>);

impl<'a> Cover<'a> {
    pub(super) fn new(candidates: &'a [Candidate]) -> Self {
        let mut order: Vec<(usize, &Candidate)> = candidates.iter().enumerate().collect();
        order.sort_by(|a, b| a.1.from_m.total_cmp(&b.1.from_m));
        let mut farthest_m = f64::NEG_INFINITY;
        let with_end = order.into_iter().map(|(i, c)| {
            farthest_m = farthest_m.max(c.to_m);
            (i, c, farthest_m)
        });
        Self(with_end.collect())
    }

    pub(super) fn of(&self, station_m: f64) -> Vec<usize> {
        let begun = self.0.partition_point(|(_, c, _)| c.from_m <= station_m);
        self.0
            .iter()
            .take(begun)
            .rev()
            .take_while(|(_, _, farthest_m)| *farthest_m >= station_m)
            .filter(|(_, c, _)| c.covers(station_m))
            .map(|(i, ..)| *i)
            .collect()
    }
}
