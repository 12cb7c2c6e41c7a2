use super::HeadHistory;

/// Most points of a trace.
const MOST: usize = 400;

/// Heads nearer to each other than this are alike, m: of alike ones the first instant is told, not the one that rounding lifts.
const ALIKE_M: f64 = 1e-6;

/// The first instant whose head is the highest of all, or as good as that; with `sign` -1 the lowest.
fn furthest(share: &[(f64, f64)], sign: f64) -> Option<(f64, f64)> {
    let most = share
        .iter()
        .map(|p| sign * p.1)
        .fold(f64::NEG_INFINITY, f64::max);
    share.iter().find(|p| sign * p.1 >= most - ALIKE_M).copied()
}

/// Head against time in few points: the first and the last, and of each even share of the steps between its highest and its lowest, so that no peak is lost. It ends at `until_s`.
pub(crate) fn thinned(station_m: f64, step_s: f64, heads: &[f64], until_s: f64) -> HeadHistory {
    let timed: Vec<(f64, f64)> = heads
        .iter()
        .enumerate()
        .map(|(i, h)| (i as f64 * step_s, *h))
        .take_while(|(t, _)| *t <= until_s)
        .collect();
    if timed.len() <= MOST {
        return HeadHistory {
            station_m,
            points: timed,
        };
    }
    let size = timed.len().div_ceil((MOST - 2) / 2);
    let mut points: Vec<(f64, f64)> = timed.first().into_iter().copied().collect();
    for share in timed.chunks(size) {
        let ends = [furthest(share, -1.0), furthest(share, 1.0)];
        let mut both: Vec<(f64, f64)> = ends.into_iter().flatten().collect();
        both.sort_by(|a, b| a.0.total_cmp(&b.0));
        points.extend(both);
    }
    points.extend(timed.last());
    points.dedup();
    HeadHistory { station_m, points }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_peak_of_one_step_is_kept() {
        let mut heads = vec![10.0; 9000];
        heads[4321] = 55.0;
        heads[4322] = -3.0;
        let trace = thinned(0.0, 0.01, &heads, f64::INFINITY);
        assert!(trace.points.len() <= MOST);
        assert!(trace.points.contains(&(43.21, 55.0)) && trace.points.contains(&(43.22, -3.0)));
        assert_eq!(trace.points.last(), Some(&(89.99, 10.0)));
        assert!(trace.points.is_sorted_by(|a, b| a.0 < b.0));
    }

    #[test]
    fn rounding_chooses_no_instant() {
        let told = |by: f64| {
            let heads: Vec<f64> = (0..3000).map(|i| 10.0 + f64::from(i % 7) * by).collect();
            let times = thinned(0.0, 0.01, &heads, f64::INFINITY).points;
            times.into_iter().map(|p| p.0).collect::<Vec<_>>()
        };
        assert_eq!(told(0.0), told(1e-13));
        assert_eq!(told(0.0), told(-1e-13));
    }

    #[test]
    fn it_ends_where_it_must() {
        let trace = thinned(0.0, 0.5, &[1.0; 100], 3.0);
        assert_eq!(trace.points.len(), 7);
    }
}
