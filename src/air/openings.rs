use super::pipe_profile::Opening;

/// The openings of a line, sorted, so that those near a crest are found without asking all.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Openings {
    /// Stations of vents, m, rising.
    at_m: Vec<f64>,
    /// Ranges in which the crew looks for the highest place, by where they begin: from, to, and the farthest end so far, m.
    on_top_m: Vec<(f64, f64, f64)>,
}

impl Openings {
    /// In any order.
    pub fn of(openings: &[Opening]) -> Self {
        let mut out = Self::default();
        for opening in openings {
            match *opening {
                Opening::At(at) => out.at_m.push(at),
                Opening::OnTopOf(from, to) => out.on_top_m.push((from, to, to)),
            }
        }
        out.at_m.sort_by(f64::total_cmp);
        out.on_top_m.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut farthest = f64::NEG_INFINITY;
        for (_, to, so_far) in &mut out.on_top_m {
            farthest = farthest.max(*to);
            *so_far = farthest;
        }
        out
    }

    /// Vents above one station and not below another, m.
    pub(super) fn within(&self, above_m: f64, to_m: f64) -> &[f64] {
        let first = self.at_m.partition_point(|&v| v <= above_m);
        let end = self.at_m.partition_point(|&v| v <= to_m);
        self.at_m.get(first..end).unwrap_or_default()
    }

    /// Whether the crew sets a vent on a crest that stands there.
    pub(super) fn on_top_of(&self, crest_m: f64) -> bool {
        let begun = self.on_top_m.partition_point(|r| r.0 <= crest_m);
        self.on_top_m
            .iter()
            .take(begun)
            .rev()
            .take_while(|r| r.2 >= crest_m)
            .any(|r| r.1 >= crest_m)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn the_same_are_found_as_by_asking_all(at in prop::collection::vec(0.0..100.0_f64, 0..20), ranges in prop::collection::vec((0.0..100.0_f64, 0.0..30.0_f64), 0..20), crest in 0.0..100.0_f64, low in 0.0..100.0_f64) {
            let all: Vec<Opening> = at.iter().map(|&v| Opening::At(v)).chain(ranges.iter().map(|&(a, l)| Opening::OnTopOf(a, a + l))).collect();
            let openings = Openings::of(&all);
            let asked = at.iter().filter(|&&v| v > crest && v <= low).count();
            prop_assert_eq!(openings.within(crest, low).len(), asked);
            prop_assert_eq!(openings.on_top_of(crest), ranges.iter().any(|&(a, l)| (a..=a + l).contains(&crest)));
        }
    }
}
