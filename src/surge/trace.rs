use super::Trace;

/// Most points of a trace.
const MOST: usize = 400;

/// Head against time in few points: the first and the last, and of each even share of the steps between its highest and its lowest, so that no peak is lost. It ends at `until_s`.
pub(crate) fn thinned(station_m: f64, step_s: f64, heads: &[f64], until_s: f64) -> Trace {
    let timed: Vec<(f64, f64)> = heads
        .iter()
        .enumerate()
        .map(|(i, h)| (i as f64 * step_s, *h))
        .take_while(|(t, _)| *t <= until_s)
        .collect();
    if timed.len() <= MOST {
        return Trace {
            station_m,
            points: timed,
        };
    }
    let by_head = |a: &&(f64, f64), b: &&(f64, f64)| a.1.total_cmp(&b.1);
    let size = timed.len().div_ceil((MOST - 2) / 2);
    let mut points: Vec<(f64, f64)> = timed.first().into_iter().copied().collect();
    for share in timed.chunks(size) {
        let low = share.iter().min_by(by_head);
        let high = share.iter().max_by(by_head);
        let mut both: Vec<(f64, f64)> = low.into_iter().chain(high).copied().collect();
        both.sort_by(|a, b| a.0.total_cmp(&b.0));
        points.extend(both);
    }
    points.extend(timed.last());
    points.dedup();
    Trace { station_m, points }
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
    fn it_ends_where_it_must() {
        let trace = thinned(0.0, 0.5, &[1.0; 100], 3.0);
        assert_eq!(trace.points.len(), 7);
    }
}
