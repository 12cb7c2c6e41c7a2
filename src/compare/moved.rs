use super::alignment::Alignment;
use super::detection_limit::DetectionLimit;
use super::estimate::{MovementPlace, Told};
use super::least_move::LEAST_M;
use super::offset::wanders;
use super::search::{FoundMovement, MOVED_P, SearchLine, SearchedSurveys};
use crate::numeric::{math, median, spread};
use crate::reading::Method;
use crate::route::Route;

crate::text::words! {
    /// How sure it is that a reach moved.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
    pub enum MovedVerdict {
        /// It moved.
        Moved = "moved",
        /// It may have: level it.
        CannotTell = "cannot tell",
    }
}

/// A reach that moved or may have.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moved {
    /// From, m, stations of the earlier survey.
    pub from_m: f64,
    /// To, m.
    pub to_m: f64,
    /// Mean movement upwards over the reach, m; down is negative.
    pub up_m: f64,
    /// Its standard deviation, m.
    pub up_sd_m: f64,
    /// Mean movement to the left looking down the line, m; `None` without plans.
    pub side_m: Option<f64>,
    /// Its standard deviation, m.
    pub side_sd_m: Option<f64>,
    /// Movement down the line, m, where a place in the reach carries the same name in both surveys.
    pub along_m: Option<f64>,
    /// Its standard deviation, m.
    pub along_sd_m: Option<f64>,
    /// How much longer the line over the reach is than before, m: a pulled joint or a bow; negative where it is shorter.
    pub longer_m: f64,
    /// Its standard deviation, m.
    pub longer_sd_m: f64,
    /// Largest movement of a station in it, m.
    pub most_m: f64,
    /// Movement upwards where it is largest, m: the crest decides whether the line climbs.
    pub crest_up_m: f64,
    /// Its standard deviation, m.
    pub crest_up_sd_m: f64,
    /// Where that is, m.
    pub crest_station_m: f64,
    /// Chance that two such surveys of a line where nothing moved show as much anywhere on it; `None` of a stretch that only grew.
    pub p: Option<f64>,
    /// Another reach that may have moved in its place: a step in the differences is a fall on one side of it or a rise on the other.
    pub instead: Option<OtherReach>,
    /// How sure.
    pub verdict: MovedVerdict,
}

impl Moved {
    /// Whether it moved, or is one of two places of which one moved: nobody stands on either.
    pub(super) fn is_of_what_moved(&self) -> bool {
        self.verdict == MovedVerdict::Moved
            || self.instead.is_some() && self.p.is_some_and(|p| p < MOVED_P)
    }
}

/// A reach that may have moved in place of another.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct OtherReach {
    /// From, m, stations of the earlier survey.
    pub from_station_m: f64,
    /// To, m.
    pub to_station_m: f64,
    /// Probability that it is this one, if it is one of the two.
    pub probability: f64,
}

/// Another reach is told where it is as likely as this, ...
const TOLD_INSTEAD: f64 = 0.05;
/// ... and from this on neither is sure.
const UNSURE_INSTEAD: f64 = 1.0 / 3.0;

/// The reaches that moved between two aligned surveys, with their doubt: the joint test of `search`, and what was pulled longer.
pub fn moved(before: &Route, after: &Route, alignment: &Alignment) -> Vec<Moved> {
    told(before, after, alignment).0
}

/// The reaches that moved, and the least movement that would have been told.
pub fn told(before: &Route, after: &Route, alignment: &Alignment) -> (Vec<Moved>, DetectionLimit) {
    let surveys = SearchedSurveys::of(before, after, alignment);
    let search = surveys.as_ref().and_then(SearchedSurveys::search);
    let judge = MovementJudge {
        before,
        after,
        alignment,
        search: search.as_ref(),
    };
    let mut moved: Vec<Moved> = search.iter().flat_map(|s| judge.reaches(s)).collect();
    let pulled = judge.pulled(&moved);
    moved.extend(pulled);
    moved.sort_by(|a, b| a.from_m.total_cmp(&b.from_m));
    let sight = DetectionLimit::of(surveys.as_ref().zip(search.as_ref()), alignment);
    (moved, sight)
}

/// Tells of reaches.
pub(super) struct MovementJudge<'a> {
    pub(super) before: &'a Route,
    pub(super) after: &'a Route,
    pub(super) alignment: &'a Alignment,
    pub(super) search: Option<&'a SearchLine>,
}

impl MovementJudge<'_> {
    fn reaches(&self, search: &SearchLine) -> Vec<Moved> {
        let mut out = Vec::new();
        for found in &search.found {
            let place = &found.place;
            let other = search.instead(found);
            let Some((instead, p)) = other.filter(|(_, p)| *p >= TOLD_INSTEAD) else {
                out.extend(self.reach(search, found, place, None));
                continue;
            };
            let told = |place: &MovementPlace, probability| OtherReach {
                from_station_m: place.reach_m.0,
                to_station_m: place.reach_m.1,
                probability,
            };
            out.extend(self.reach(search, found, place, Some(told(&instead, p))));
            let middle_m = 0.5 * (instead.reach_m.0 + instead.reach_m.1);
            if (out.iter()).all(|m: &Moved| middle_m < m.from_m || middle_m > m.to_m) {
                let alone = Some(told(place, 1.0 - p));
                out.extend(self.reach(search, found, &instead, alone));
            }
        }
        out
    }

    /// What is told of a reach that moved, or of another that moved in its place.
    fn reach(
        &self,
        search: &SearchLine,
        found: &FoundMovement,
        place: &MovementPlace,
        instead: Option<OtherReach>,
    ) -> Option<Moved> {
        let told = search.estimate(found, place);
        let (from_m, to_m) = place.reach_m;
        let most_m = math::hypot(told.up.crest.m, told.side.map_or(0.0, |s| s.crest.m));
        if most_m < LEAST_M {
            return None;
        }
        let (longer_m, longer_sd_m) = self.longer(from_m, to_m, search);
        let along = self.along(from_m, to_m);
        // What lies between surveyed points is not seen, but moved with them.
        let unseen = (0.18 * self.apart_m() / (to_m - from_m).max(1.0)).clamp(0.015, 0.3);
        let elsewhere = instead.map_or(0.0, |o| o.probability);
        let wider = |t: Told| {
            Told {
                sd_m: math::hypot(t.sd_m, unseen * t.m),
                ..t
            }
            .or_nothing(elsewhere)
        };
        let (mean, crest) = (wider(told.up.mean), wider(told.up.crest));
        let side = told.side.map(|s| wider(s.mean));
        Some(Moved {
            from_m,
            to_m,
            up_m: mean.m,
            up_sd_m: mean.sd_m,
            side_m: side.map(|s| s.m),
            side_sd_m: side.map(|s| s.sd_m),
            along_m: along,
            along_sd_m: along.map(|_| self.alignment.station_sd_m.max(0.1)),
            longer_m,
            longer_sd_m,
            most_m,
            crest_up_m: crest.m,
            crest_up_sd_m: crest.sd_m,
            crest_station_m: told.up.crest_at_m,
            p: Some(found.p),
            instead,
            verdict: if found.p < MOVED_P && elsewhere < UNSURE_INSTEAD {
                MovedVerdict::Moved
            } else {
                MovedVerdict::CannotTell
            },
        })
    }

    /// Distance between surveyed points, m: the wider of the two surveys; a walk sees no closer than a few metres.
    fn apart_m(&self) -> f64 {
        let spacing = |r: &Route| {
            let count = r.nodes.iter().filter(|n| n.surveyed).count().max(2);
            r.length_m() / (count - 1) as f64
        };
        let books = !wanders(self.before) && !wanders(self.after);
        let least = if books { 0.0 } else { 5.0 };
        spacing(self.before).max(spacing(self.after)).max(least)
    }

    /// Growth of the line over a reach with some metres on both sides, and how such growths scatter along the line.
    fn longer(&self, from_m: f64, to_m: f64, search: &SearchLine) -> (f64, f64) {
        const MARGIN_M: f64 = 8.0;
        let (at, growth): (Vec<f64>, Vec<f64>) = self
            .alignment
            .matched
            .iter()
            .map(|m| (m.before_m, m.after_m - m.before_m))
            .unzip();
        let (first, last) = (self.alignment.from_m, self.alignment.to_m);
        let (a, b) = ((from_m - MARGIN_M).max(first), (to_m + MARGIN_M).min(last));
        let over = |a: f64, b: f64| {
            let on = |s: f64| crate::numeric::series::interpolate(&at, &growth, s);
            on(b) - on(a)
        };
        let moved = |s: f64| {
            search
                .found
                .iter()
                .any(|f| s >= f.place.reach_m.0 && s <= f.place.reach_m.1)
        };
        let all: Vec<f64> = at
            .iter()
            .filter(|s| **s + (b - a) <= last && !moved(**s))
            .map(|s| over(*s, *s + (b - a)))
            .flat_map(|g| [g, -g])
            .collect();
        // Where a tape gave the length, how it lay counts; where positions did, only how they scatter.
        let doubt = if located(self.before) && located(self.after) {
            0.01
        } else {
            0.003 * (b - a) * std::f64::consts::SQRT_2
        };
        (over(a, b), spread(&all).max(doubt))
    }

    /// How far a place of the same name in the reach went down the line.
    fn along(&self, from_m: f64, to_m: f64) -> Option<f64> {
        let shifts: Vec<f64> = self
            .before
            .places
            .iter()
            .filter(|p| !p.name.is_empty() && p.station_m >= from_m && p.station_m <= to_m)
            .filter_map(|p| {
                let same = self
                    .after
                    .places
                    .iter()
                    .find(|q| q.name.eq_ignore_ascii_case(&p.name))?;
                let whole = self.after.length_m();
                let own = if self.alignment.turned {
                    whole - same.station_m
                } else {
                    same.station_m
                };
                let at: Vec<f64> = self.alignment.matched.iter().map(|m| m.after_m).collect();
                let to: Vec<f64> = self.alignment.matched.iter().map(|m| m.before_m).collect();
                Some(crate::numeric::series::interpolate(&at, &to, own) - p.station_m)
            })
            .collect();
        (!shifts.is_empty()).then(|| median(&shifts))
    }
}

/// Lengths come from positions, not from a tape.
pub(super) fn located(route: &Route) -> bool {
    matches!(route.method, Some(Method::Gpx | Method::Points))
        && route.nodes.iter().all(|n| n.plan.is_some())
}
