//! Stretch between places that both surveys name: a joint that was pulled, on a line that else lies as it lay.

use super::moved::{Bars, Judge, Moved, Verdict, located};
use crate::numeric::math;
use crate::route::StationedPlace;
use crate::survey::Method;

/// Less than this is a joint's play or the mark's own size, m.
const PLAY_M: f64 = 0.05;
/// How well a tape is read at a mark, m.
const READ_M: f64 = 0.01;
/// How well a receiver places a mark along the line, m.
const RECEIVER_M: f64 = 3.0;

impl Judge<'_> {
    /// Lengths between neighbouring places of the same name that grew or shrank beyond their doubt, and lie in no reach that is listed already.
    pub(super) fn pulled(&self, listed: &[Moved]) -> Vec<Moved> {
        let whole_m = self.after.nodes.last().map_or(0.0, |n| n.station_m);
        let bars = Bars::of(self.before, self.after);
        // A name that stands twice names no place.
        let once = |places: &[StationedPlace], name: &str| {
            let mut found = places
                .iter()
                .filter(|q| q.name.trim().eq_ignore_ascii_case(name));
            let only = found.next().map(|q| q.station_m);
            only.filter(|_| found.next().is_none())
        };
        let mut same: Vec<(f64, f64)> = self
            .before
            .places
            .iter()
            .map(|p| p.name.trim())
            .filter(|name| !name.is_empty())
            .filter_map(|name| {
                let before_m = once(&self.before.places, name)?;
                let own_m = once(&self.after.places, name)?;
                let turned = self.alignment.turned;
                Some((before_m, if turned { whole_m - own_m } else { own_m }))
            })
            .collect();
        same.sort_by(|a, b| a.0.total_cmp(&b.0));
        let walked = [self.before, self.after]
            .iter()
            .any(|r| matches!(r.method, Some(Method::Gpx | Method::Mixed) | None));
        let taped = !(located(self.before) && located(self.after));
        let clear = |from: f64, to: f64| listed.iter().all(|m| to <= m.from_m || from >= m.to_m);
        same.iter()
            .zip(same.iter().skip(1))
            .filter(|((a, _), (b, _))| b - a > PLAY_M && clear(*a, *b))
            .filter_map(|((from_m, from_now_m), (to_m, to_now_m))| {
                let apart_m = to_m - from_m;
                let longer_m = to_now_m - from_now_m - apart_m;
                let mark_m: f64 = if walked { RECEIVER_M } else { READ_M };
                let tape_m = if taped { 0.003 * apart_m } else { 0.0 };
                let longer_sd_m = math::hypot(mark_m, tape_m) * std::f64::consts::SQRT_2;
                let sds = longer_m.abs() / longer_sd_m;
                if longer_m.abs() < PLAY_M || sds < bars.may_sds {
                    return None;
                }
                let run = self.between(*from_m, *to_m)?;
                let (up_sd_m, side_sd_m) = self.doubt(&run, apart_m.max(1.0));
                let mean = |values: &[f64]| {
                    let part = values.get(run.clone()).unwrap_or_default();
                    part.iter().sum::<f64>() / part.len().max(1) as f64
                };
                Some(Moved {
                    from_m: *from_m,
                    to_m: *to_m,
                    up_m: mean(&self.series.up_m),
                    up_sd_m,
                    side_m: self.series.side_m.as_deref().map(mean),
                    side_sd_m,
                    along_m: None,
                    along_sd_m: None,
                    longer_m,
                    longer_sd_m,
                    most_m: longer_m.abs(),
                    verdict: if sds >= bars.moved_sds {
                        Verdict::Moved
                    } else {
                        Verdict::CannotTell
                    },
                })
            })
            .collect()
    }

    /// Stations of the series from one to another; `None` where there are none.
    fn between(&self, from_m: f64, to_m: f64) -> Option<std::ops::Range<usize>> {
        let stations = &self.series.station_m;
        let run =
            stations.partition_point(|s| *s < from_m)..stations.partition_point(|s| *s <= to_m);
        (!run.is_empty()).then_some(run)
    }
}
