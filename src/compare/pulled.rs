//! Stretch between places that both surveys name: a joint that was pulled, on a line that else lies as it lay.

use super::estimate::{AxisTold, MovementEstimate, MovementPlace};
use super::moved::{Moved, MovedVerdict, MovementJudge, located};
use super::offset::wanders;
use crate::numeric::math;
use crate::reading::Method;
use crate::route::StationedPlace;

/// Less than this is a joint's play or the mark's own size, m.
const PLAY_M: f64 = 0.05;
/// How well a tape is read at a mark, m.
const READ_M: f64 = 0.01;
/// So many standard deviations and a stretch grew, and so many and it may have, between two books and where a walk has a part.
const SURE_SDS: [f64; 2] = [3.8, 3.5];
const MAY_SDS: [f64; 2] = [2.8, 2.7];
/// How well a receiver places a mark along the line, m.
const RECEIVER_M: f64 = 3.0;

impl MovementJudge<'_> {
    /// Lengths between neighbouring places of the same name that grew or shrank beyond their doubt, and lie in no reach that is listed already.
    pub(super) fn pulled(&self, listed: &[Moved]) -> Vec<Moved> {
        let whole_m = self.after.length_m();
        let walk = usize::from(wanders(self.before) || wanders(self.after));
        let bar = |sds: [f64; 2]| sds.get(walk).copied().unwrap_or(f64::INFINITY);
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
                if longer_m.abs() < PLAY_M || sds < bar(MAY_SDS) {
                    return None;
                }
                let (up, side) = self.over(*from_m, *to_m)?;
                Some(Moved {
                    from_m: *from_m,
                    to_m: *to_m,
                    up_m: up.mean.m,
                    up_sd_m: up.mean.sd_m,
                    side_m: side.map(|s| s.mean.m),
                    side_sd_m: side.map(|s| s.mean.sd_m),
                    crest_up_m: up.crest.m,
                    crest_up_sd_m: up.crest.sd_m,
                    crest_station_m: up.crest_at_m,
                    p: None,
                    along_m: None,
                    along_sd_m: None,
                    longer_m,
                    longer_sd_m,
                    most_m: longer_m.abs(),
                    instead: None,
                    verdict: if sds >= bar(SURE_SDS) {
                        MovedVerdict::Moved
                    } else {
                        MovedVerdict::CannotTell
                    },
                })
            })
            .collect()
    }

    /// What both surveys tell of a stretch that is not found to have moved.
    fn over(&self, from_m: f64, to_m: f64) -> Option<(AxisTold, Option<AxisTold>)> {
        let search = self.search?;
        let window = search
            .windows
            .get(search.window_at(0.5 * (from_m + to_m)))?;
        let place = MovementPlace {
            reach_m: (from_m, to_m),
            wide_m: (from_m, to_m),
            peak_m: 0.5 * (from_m + to_m),
            size_m: [0.0; 2],
            mixed: Default::default(),
        };
        let told = MovementEstimate::of(window, &place, &[]);
        Some((told.up, told.side))
    }
}
