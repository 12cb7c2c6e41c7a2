/// The vents of a line, sorted, so that those near a crest are found without asking all.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Openings(Vec<f64>);

impl Openings {
    /// Of vents at these stations, m, in any order.
    pub fn of(vents_m: &[f64]) -> Self {
        let mut at_m = vents_m.to_vec();
        at_m.sort_by(f64::total_cmp);
        Self(at_m)
    }

    /// Vents above one station and not below another, m.
    pub(super) fn within(&self, above_m: f64, to_m: f64) -> &[f64] {
        let first = self.0.partition_point(|&v| v <= above_m);
        let end = self.0.partition_point(|&v| v <= to_m);
        self.0.get(first..end).unwrap_or_default()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn the_same_are_found_as_by_asking_all(at in prop::collection::vec(0.0..100.0_f64, 0..20), crest in 0.0..100.0_f64, low in 0.0..100.0_f64) {
            let asked = at.iter().filter(|&&v| v > crest && v <= low).count();
            prop_assert_eq!(Openings::of(&at).within(crest, low).len(), asked);
        }
    }
}
