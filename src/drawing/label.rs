//! Labels in a row: each as near to its own place as the others let it, none over another.

/// A label that wants to stand at a place.
#[derive(Debug, Clone, Copy)]
pub struct LabelRequest {
    /// Where it would like to stand, mm.
    pub at_mm: f64,
    /// The room it takes, mm.
    pub room_mm: f64,
}

/// Places for labels whose wishes come in order, between two ends: the sum of the squared distances is the least there is, the order is kept and none overlap.
///
/// `None` where they need more room than there is.
pub fn spread(wishes: &[LabelRequest], from_mm: f64, to_mm: f64) -> Option<Vec<f64>> {
    let needed: f64 = wishes.iter().map(|w| w.room_mm).sum();
    if needed > to_mm - from_mm + 1e-9 {
        return None;
    }
    // Without the room of those before it a label's place need only not fall below its neighbour's: pools of equal places (isotonic regression).
    let mut before = 0.0;
    let mut pools: Vec<(f64, usize)> = Vec::new();
    for wish in wishes {
        let own = wish.at_mm - (before + wish.room_mm / 2.0);
        before += wish.room_mm;
        pools.push((own, 1));
        while let [.., (a, n), (b, m)] = pools.as_slice() {
            if a <= b {
                break;
            }
            let mean = (a * *n as f64 + b * *m as f64) / (n + m) as f64;
            let count = n + m;
            pools.pop();
            pools.pop();
            pools.push((mean, count));
        }
    }
    let free = to_mm - from_mm - needed;
    let places = pools.iter().flat_map(|(place, count)| {
        let held = (place - from_mm).clamp(0.0, free.max(0.0)) + from_mm;
        std::iter::repeat_n(held, *count)
    });
    let mut before = 0.0;
    Some(
        places
            .zip(wishes)
            .map(|(place, wish)| {
                let at = place + before + wish.room_mm / 2.0;
                before += wish.room_mm;
                at
            })
            .collect(),
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn labels_never_overlap_and_stay_between_the_ends(mut at in proptest::collection::vec(-20.0..120.0f64, 0..20), room in 1.0..5.0f64) {
            at.sort_by(f64::total_cmp);
            let wishes: Vec<LabelRequest> = at.iter().map(|a| LabelRequest { at_mm: *a, room_mm: room }).collect();
            let places = spread(&wishes, 0.0, 100.0).unwrap();
            prop_assert_eq!(places.len(), wishes.len());
            for pair in places.windows(2) {
                prop_assert!(pair[1] - pair[0] >= room - 1e-6);
            }
            for place in &places {
                prop_assert!(*place >= room / 2.0 - 1e-6 && *place <= 100.0 - room / 2.0 + 1e-6);
            }
        }
    }

    #[test]
    fn a_lone_label_stands_at_its_place() {
        let wish = |at_mm| LabelRequest {
            at_mm,
            room_mm: 4.0,
        };
        assert_eq!(
            spread(&[wish(30.0), wish(60.0)], 0.0, 100.0),
            Some(vec![30.0, 60.0])
        );
        assert_eq!(
            spread(&[wish(30.0), wish(30.0)], 0.0, 100.0),
            Some(vec![28.0, 32.0])
        );
        assert_eq!(spread(&[wish(0.0), wish(1.0)], 0.0, 7.0), None);
    }
}
