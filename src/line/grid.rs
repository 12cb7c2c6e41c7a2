//! The stations that all results share.

use crate::numeric::series::last;

/// At most so many stations.
pub(super) const MOST: usize = 2_000;

/// A station nearer than this to another is the same, m.
const SAME_M: f64 = 0.01;

/// Surveyed vertices and the places that something stands at, then evenly filled: at most 2,000, strictly rising, from 0 to the end.
///
/// Where there are more vertices than room, those that bend the profile most are kept.
pub(super) fn stations(vertex_m: &[f64], height_m: &[f64], must_m: &[f64]) -> Vec<f64> {
    let length = last(vertex_m);
    let mut all: Vec<f64> = most_bending(
        vertex_m,
        height_m,
        MOST.saturating_sub(must_m.len().min(500) + 200),
    );
    all.extend(
        must_m
            .iter()
            .copied()
            .filter(|s| s.is_finite() && *s > 0.0 && *s < length),
    );
    all.push(0.0);
    all.push(length);
    all.sort_by(f64::total_cmp);
    all.dedup_by(|b, a| *b - *a < SAME_M);
    // The end itself must stay the last one, to the bit.
    if let Some(last) = all.last_mut() {
        *last = length;
    }
    filled(&all, length)
}

/// Fills the gaps so that no two stations are further apart than about a three-hundredth of the line, while there is room.
fn filled(stations: &[f64], length_m: f64) -> Vec<f64> {
    let room = MOST.saturating_sub(stations.len());
    let step = (length_m / 300.0)
        .max(length_m / (room.max(1) as f64))
        .max(0.5);
    let mut out = Vec::with_capacity(MOST);
    for pair in stations.windows(2) {
        let [a, b] = pair else { continue };
        out.push(*a);
        let parts = ((b - a) / step).ceil().clamp(1.0, 2_000.0) as usize;
        for k in 1..parts {
            if out.len() + 1 < MOST {
                out.push(a + (b - a) * k as f64 / parts as f64);
            }
        }
    }
    out.extend(stations.last());
    out
}

/// The vertices that a polyline cannot do without: the line is split again and again where it departs most from the chord, until there is no more room.
fn most_bending(station_m: &[f64], height_m: &[f64], room: usize) -> Vec<f64> {
    if station_m.len() <= room {
        return station_m.to_vec();
    }
    let mut kept = vec![false; station_m.len()];
    let last = station_m.len() - 1;
    let mut spans = std::collections::BinaryHeap::new();
    let push = |from: usize, to: usize, spans: &mut std::collections::BinaryHeap<ChordSpan>| {
        spans.extend(ChordSpan::of(station_m, height_m, from, to));
    };
    push(0, last, &mut spans);
    let mut count = 2;
    while let Some(span) = spans.pop() {
        if count >= room {
            break;
        }
        if let Some(k) = kept.get_mut(span.at) {
            *k = true;
        }
        count += 1;
        push(span.from, span.at, &mut spans);
        push(span.at, span.to, &mut spans);
    }
    station_m
        .iter()
        .zip(kept)
        .filter(|(_, kept)| *kept)
        .map(|(s, _)| *s)
        .collect()
}

/// A stretch of vertices and the one among them that departs most from its chord.
struct ChordSpan {
    from: usize,
    to: usize,
    at: usize,
    off_m: f64,
}

impl ChordSpan {
    fn of(station_m: &[f64], height_m: &[f64], from: usize, to: usize) -> Option<Self> {
        let point = |i: usize| Some((*station_m.get(i)?, *height_m.get(i)?));
        let ((s0, z0), (s1, z1)) = (point(from)?, point(to)?);
        let grade = if s1 > s0 { (z1 - z0) / (s1 - s0) } else { 0.0 };
        (from + 1..to)
            .filter_map(|i| point(i).map(|(s, z)| (i, (z - z0 - grade * (s - s0)).abs())))
            .max_by(|a, b| a.1.total_cmp(&b.1))
            .map(|(at, off_m)| Self {
                from,
                to,
                at,
                off_m,
            })
    }
}

impl PartialEq for ChordSpan {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other).is_eq()
    }
}

impl Eq for ChordSpan {}

impl PartialOrd for ChordSpan {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for ChordSpan {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        self.off_m
            .total_cmp(&other.off_m)
            .then(other.from.cmp(&self.from))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::numeric::math;
    use proptest::prelude::*;

    #[test]
    fn two_points_are_filled_evenly_and_ends_stay() {
        let grid = stations(&[0.0, 400.0], &[60.0, 0.0], &[2.0, 398.0]);
        assert!(grid.contains(&2.0) && grid.contains(&398.0));
        assert_eq!((grid.first(), grid.last()), (Some(&0.0), Some(&400.0)));
        assert!(grid.windows(2).all(|w| w[1] - w[0] <= 400.0 / 300.0 + 1e-9));
    }

    proptest! {
        #[test]
        fn never_too_many_and_always_rising(n in 2usize..6000, length in 1.0f64..20_000.0, must in proptest::collection::vec(0.0f64..20_000.0, 0..40)) {
            let vertex: Vec<f64> = (0..n).map(|i| length * i as f64 / (n - 1) as f64).collect();
            let height: Vec<f64> = vertex.iter().map(|s| 0.1 * (length - s) + math::sin(s / 7.0)).collect();
            let grid = stations(&vertex, &height, &must);
            prop_assert!(grid.len() <= MOST);
            prop_assert!(grid.windows(2).all(|w| w[0] < w[1]));
            prop_assert_eq!(grid.last().copied(), vertex.last().copied());
        }
    }
}
