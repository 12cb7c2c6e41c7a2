/// Stretches of a line laid together: whether a place lies in any of them is found in steps that grow with the logarithm of their number.
#[derive(Debug, Clone, PartialEq)]
pub struct Spans(Vec<(f64, f64)>);

impl Spans {
    /// The union of stretches, ends included; one whose end lies before its beginning, or that is no number, is left out.
    pub fn of(stretches: impl IntoIterator<Item = (f64, f64)>) -> Self {
        let mut all: Vec<(f64, f64)> = stretches.into_iter().filter(|s| s.0 <= s.1).collect();
        all.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut out: Vec<(f64, f64)> = Vec::new();
        for (from, to) in all {
            match out.last_mut() {
                Some(last) if from <= last.1 => last.1 = last.1.max(to),
                _ => out.push((from, to)),
            }
        }
        Self(out)
    }

    /// Whether a place lies in one of them.
    pub fn hold(&self, at: f64) -> bool {
        self.0
            .partition_point(|s| s.0 <= at)
            .checked_sub(1)
            .and_then(|i| self.0.get(i))
            .is_some_and(|s| at <= s.1)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn what_touches_becomes_one() {
        let spans = Spans::of([
            (5.0, 6.0),
            (1.0, 2.0),
            (2.0, 3.0),
            (9.0, 8.0),
            (f64::NAN, 1.0),
        ]);
        assert_eq!(spans.0.len(), 2);
        assert!(spans.hold(1.0) && spans.hold(2.5) && spans.hold(6.0));
        assert!(!spans.hold(0.9) && !spans.hold(4.0) && !spans.hold(6.1));
        assert!(!Spans::of([]).hold(0.0));
    }

    proptest! {
        #[test]
        fn they_hold_what_any_of_them_holds(
            all in proptest::collection::vec((0u8..50, 0u8..50), 0..12), at in 0u8..50,
        ) {
            let all: Vec<(f64, f64)> = all.iter().map(|&(a, b)| (f64::from(a), f64::from(b))).collect();
            let at = f64::from(at);
            prop_assert_eq!(
                Spans::of(all.iter().copied()).hold(at),
                all.iter().any(|s| s.0 <= at && at <= s.1)
            );
        }
    }
}
