//! What would settle a climb that cannot be told: more walks, a barometer carried, or levelling, each with its chance.

use super::Climb;
use crate::heights::FollowedWalk;
use crate::numeric::math;
use crate::receiver::{Class, Errors};
use crate::route::Route;

/// What would settle it, and how likely it does.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct SettlingSurvey {
    /// More walks with a barometer and a second one at the powerhouse.
    pub barometer: Chance,
    /// Walking speed for which this is calculated, m/s.
    pub pace_m_per_s: f64,
    /// More walks at the same pace with the same receiver; absent where no count up to eight has an even chance.
    pub walks: Option<Chance>,
}

/// So many walks, and the chance that they settle it.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct Chance {
    /// Number of additional walks.
    pub walks: usize,
    /// Probability that these walks give a clear result, 0 to 1.
    pub chance: f64,
}

/// Most walks that are asked of anybody.
const MOST_WALKS: usize = 8;
/// A count of walks is named from this chance on.
const EVEN: f64 = 0.5;
/// Settled: at least so many standard deviations over half a bore (0.90), or so many below (0.05).
const CLIMBS_SDS: f64 = 1.282;
const FALLS_SDS: f64 = 1.645;
/// Pace where no walk has a clock, m/s.
const USUAL_PACE_M_PER_S: f64 = 0.8;

/// What would settle a climb of a walked line; `None` for a line that more walks tell nothing of.
///
/// The rise from low to crest is as the draws have it; n more walks see it with the error that each walk's own errors make over the time from one to the other, by the root of n. Where the answer hangs on one walk, one of the new ones is not counted: they have to do without any.
pub fn settling(route: &Route, climb: &Climb, half_bore_m: f64) -> Option<SettlingSurvey> {
    if !route.more_walks_tell() || route.followed.is_empty() {
        return None;
    }
    let pace_m_per_s = pace(&route.followed).unwrap_or(USUAL_PACE_M_PER_S);
    let station_m = &route.heights.station_m;
    let index = |s: f64| {
        station_m
            .partition_point(|x| *x < s)
            .min(station_m.len().saturating_sub(1))
    };
    let (low, crest) = (index(climb.low_station_m), index(climb.crest_station_m));
    let rises: Vec<f64> = route
        .heights
        .draws
        .iter()
        .filter_map(|line| Some(line.get(crest)? - line.get(low)?))
        .collect();
    let time_s = (climb.crest_station_m - climb.low_station_m).max(1.0) / pace_m_per_s;
    let chance = |sd: f64| {
        let settled = rises.iter().map(|rise| {
            let z = (rise - half_bore_m) / sd;
            math::normal_cdf(z - CLIMBS_SDS) + math::normal_cdf(-z - FALLS_SDS)
        });
        settled.sum::<f64>() / rises.len().max(1) as f64
    };
    let seen = |errors: &Errors| math::hypot(errors.change_sd(time_s), errors.white_sd_m).max(1e-3);
    let own =
        route.followed.iter().map(|f| seen(&f.errors)).sum::<f64>() / route.followed.len() as f64;
    let least = |sd: f64, spare: usize, enough: f64| {
        (1 + spare..=MOST_WALKS)
            .map(|walks| Chance {
                walks,
                chance: chance(sd / ((walks - spare) as f64).sqrt()),
            })
            .find(|c| c.chance >= enough)
    };
    let spare = usize::from(climb.hangs_on_one_walk);
    let logs = seen(&Class::PressureLogs.usual());
    let two = Chance {
        walks: 2,
        chance: chance(logs / 2f64.sqrt()),
    };
    Some(SettlingSurvey {
        // One walk more beside one alone is what makes it two.
        walks: least(own, spare, 0.8).or_else(|| least(own, spare, EVEN)),
        barometer: least(logs, 0, 0.8).unwrap_or(two),
        pace_m_per_s,
    })
}

/// The pace in the middle of the walks, m/s.
fn pace(followed: &[FollowedWalk]) -> Option<f64> {
    let mut paces: Vec<f64> = followed
        .iter()
        .filter_map(|walk| {
            let (first, last) = (walk.blocks.first()?, walk.blocks.last()?);
            let time = (last.clock_s? - first.clock_s?).abs();
            let way = (last.station_m - first.station_m).abs();
            (time > 1.0 && way > 1.0).then_some(way / time)
        })
        .collect();
    paces.sort_by(f64::total_cmp);
    paces.get(paces.len() / 2).copied()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::heights::Heights;
    use crate::heights::ReadingBlock;
    use crate::reading::Method;
    use crate::route::Route;

    /// A rise that is all but certain needs little; one about half a bore is never settled by walking.
    #[test]
    fn what_is_clear_is_settled_sooner() {
        let route = |rise: f64| Route {
            method: Some(Method::Gpx),
            heights: Heights::from_draws(
                vec![0.0, 40.0, 60.0, 100.0],
                (0..101)
                    .map(|i| vec![10.0, 5.0, 5.0 + rise + 0.004 * f64::from(i - 50), 0.0])
                    .collect(),
            ),
            followed: vec![FollowedWalk {
                pass: 0,
                blocks: (0..20)
                    .map(|i| ReadingBlock {
                        clock_s: Some(6.0 * f64::from(i)),
                        station_m: 5.0 * f64::from(i),
                        ..ReadingBlock::default()
                    })
                    .collect(),
                errors: Errors {
                    slow_sd_m: 1.0,
                    slow_time_s: 60.0,
                    fast_sd_m: 0.2,
                    fast_time_s: 10.0,
                    white_sd_m: 0.1,
                },
            }],
            ..Route::default()
        };
        let climb = Climb {
            low_station_m: 40.0,
            crest_station_m: 60.0,
            end_station_m: 80.0,
            crest_from_m: 60.0,
            crest_to_m: 60.0,
            reach_from_m: 40.0,
            reach_to_m: 80.0,
            rise_m: 1.0,
            rise_sd_m: 0.3,
            probability: 0.8,
            seal_probability: 0.8,
            verdict: super::super::ClimbVerdict::CannotTell,
            hangs_on_one_walk: false,
            pocket_m3: 0.0,
        };
        let of = |rise: f64| settling(&route(rise), &climb, 0.05).unwrap();
        assert!((of(1.0).pace_m_per_s - 5.0 / 6.0).abs() < 1e-9);
        let (large, small) = (of(3.0).walks.unwrap(), of(1.2).walks.unwrap());
        assert!(large.walks < small.walks, "{large:?} {small:?}");
        let hanging = Climb {
            hangs_on_one_walk: true,
            ..climb.clone()
        };
        let more = settling(&route(3.0), &hanging, 0.05)
            .unwrap()
            .walks
            .unwrap();
        assert_eq!(more.walks, large.walks + 1);
        assert!(of(0.1).walks.is_none() && of(0.1).barometer.chance < 0.5);
        assert!(of(1.0).barometer.walks <= 2 && of(1.0).barometer.chance >= 0.8);
        assert!(
            settling(
                &Route {
                    method: Some(Method::Level),
                    ..route(1.0)
                },
                &climb,
                0.05
            )
            .is_none()
        );
    }
}
