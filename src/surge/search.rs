use super::{ClosingTimeSearch, Governs};
use crate::march::{OpeningSchedule, ScheduleStage};

/// How far a movement is over its limits at the worst station, as head: below nothing it is safe.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Margin {
    pub(crate) over_m: f64,
    pub(crate) station_m: f64,
    pub(crate) by: Governs,
}

/// Longest time looked at, s.
pub(crate) const LONGEST_S: f64 = 300.0;

/// Shares of the travel made in the first stage, with the share of the time it takes: tried in turn.
const SHAPES: [(f64, f64); 8] = [
    (0.5, 0.3),
    (0.6, 0.4),
    (0.7, 0.5),
    (0.7, 0.3),
    (0.8, 0.5),
    (0.8, 0.3),
    (0.3, 0.5),
    (0.4, 0.6),
];

/// A hand does not stop exactly where it was told: a bend this share of the travel further must be safe too.
const OVERSHOT: f64 = 0.05;

impl ClosingTimeSearch {
    /// Nothing found yet, by the margin of the states before and after.
    pub(crate) fn none(still: Margin) -> Self {
        Self {
            straight_s: None,
            staged: None,
            longest_s: LONGEST_S,
            governing_station_m: still.station_m,
            governed_by: still.by,
            hopeless: still.over_m > 0.0,
        }
    }
}

/// Finds the shortest time of a movement that stays within its limits.
///
/// `march` gives the margin of a course, or at least a part of it that is beyond the bound it is given, m; `still` is that of the states before and after with nothing moving. The margin falls with the time as a rule, not always: times above the one found are looked at too.
pub(crate) fn shortest(
    course: &OpeningSchedule,
    critical_s: f64,
    still: Margin,
    mut march: impl FnMut(&OpeningSchedule, f64) -> Margin,
) -> ClosingTimeSearch {
    let mut search = ClosingTimeSearch::none(still);
    if search.hopeless {
        return search;
    }
    let straight = OpeningSchedule {
        stages: vec![ScheduleStage {
            to: course.to(),
            over_s: 1.0,
        }],
        ..course.clone()
    };
    let Some((time_s, margin)) = least_time(&straight, critical_s, &mut march) else {
        let margin = march(&straight.lasting(LONGEST_S), 0.0);
        (search.governing_station_m, search.governed_by) = (margin.station_m, margin.by);
        return search;
    };
    search.straight_s = Some(rounded_up_s(time_s));
    (search.governing_station_m, search.governed_by) = (margin.station_m, margin.by);
    if time_s > 2.0 * critical_s {
        search.staged = staged(&straight, time_s, critical_s, &mut march);
    }
    search
}

/// A time that a person can count: up to half a second below ten, to a whole second above.
pub(crate) fn rounded_up_s(time_s: f64) -> f64 {
    if time_s <= 10.0 {
        (time_s * 2.0 - 1e-9).ceil().max(0.0) / 2.0
    } else {
        (time_s - 1e-9).ceil()
    }
}

fn least_time(
    shape: &OpeningSchedule,
    critical_s: f64,
    march: &mut impl FnMut(&OpeningSchedule, f64) -> Margin,
) -> Option<(f64, Margin)> {
    let mut at = |t: f64| march(&shape.lasting(t), 0.0);
    let at_once = at(0.0);
    if at_once.over_m <= 0.0 {
        return Some((0.0, at_once));
    }
    let (mut low, mut over) = (0.0, at_once);
    let mut high = (2.0 * critical_s).clamp(0.5, LONGEST_S);
    'climb: loop {
        let mut margin = at(high);
        while margin.over_m > 0.0 {
            if high >= LONGEST_S {
                return None;
            }
            (low, over) = (high, margin);
            high = (2.0 * high).min(LONGEST_S);
            margin = at(high);
        }
        // the overshoot goes about as one over the time: straight in that, with halving to keep the pace
        let mut governs = over;
        for i in 0..12 {
            if high - low <= 0.02 * high {
                break;
            }
            let inverse = |t: f64| 1.0 / t.max(0.05 * high);
            let (x, y) = (inverse(low), inverse(high));
            let share = margin.over_m / (margin.over_m - over.over_m);
            let guess = 1.0 / (y + (x - y) * share);
            let middle = 0.5 * (low + high);
            let t = if i % 3 == 2 {
                middle
            } else {
                guess.clamp(low + 0.05 * (high - low), high - 0.05 * (high - low))
            };
            let m = at(t);
            if m.over_m > 0.0 {
                (low, over) = (t, m);
                governs = m;
            } else {
                (high, margin) = (t, m);
            }
        }
        // a longer time may fall in with the line's own swing
        for longer in [1.15, 1.35, 1.6, 2.0] {
            let t = longer * high;
            if t >= LONGEST_S {
                break;
            }
            let m = at(t);
            if m.over_m > 0.0 {
                (low, over) = (t, m);
                high = 1.2 * t;
                continue 'climb;
            }
        }
        return Some((
            high,
            Margin {
                over_m: margin.over_m,
                ..governs
            },
        ));
    }
}

/// A movement in two stages that is quicker than the straight one by a tenth or more.
fn staged(
    straight: &OpeningSchedule,
    straight_s: f64,
    critical_s: f64,
    march: &mut impl FnMut(&OpeningSchedule, f64) -> Margin,
) -> Option<Vec<ScheduleStage>> {
    let bent = |(made, share): (f64, f64)| OpeningSchedule {
        stages: vec![
            ScheduleStage {
                to: straight.from + (straight.to() - straight.from) * made,
                over_s: share,
            },
            ScheduleStage {
                to: straight.to(),
                over_s: 1.0 - share,
            },
        ],
        ..straight.clone()
    };
    let target = 0.85 * straight_s;
    let beyond = |shape: (f64, f64)| (shape.0 + OVERSHOT, shape.1);
    // a shape that is over its limits as told, or no better than the best so far, need not be looked at beyond
    let mut best: Option<(f64, (f64, f64))> = None;
    for shape in SHAPES {
        let least = best.map_or(0.0, |b| b.0);
        let told = march(&bent(shape).lasting(target), least).over_m;
        if told > least {
            continue;
        }
        let over = told.max(march(&bent(beyond(shape)).lasting(target), least).over_m);
        if over <= 0.0 && best.is_none_or(|b| over < b.0) {
            best = Some((over, shape));
        }
    }
    let (_, best) = best?;
    let shape = bent(best);
    let mut over = |c: &OpeningSchedule, bound_m: f64| {
        let told = march(&bent(best).lasting(c.duration_s()), bound_m);
        if told.over_m > bound_m {
            return told;
        }
        let beyond = march(&bent(beyond(best)).lasting(c.duration_s()), bound_m);
        if told.over_m >= beyond.over_m {
            told
        } else {
            beyond
        }
    };
    let (time_s, _) = least_time(&shape, 0.25 * critical_s.min(straight_s), &mut over)?;
    let stages: Vec<ScheduleStage> = shape
        .lasting(time_s)
        .stages
        .iter()
        .map(|s| ScheduleStage {
            over_s: rounded_up_s(s.over_s),
            ..*s
        })
        .collect();
    let whole: f64 = stages.iter().map(|s| s.over_s).sum();
    (whole <= 0.9 * rounded_up_s(straight_s)).then_some(stages)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn margin(over_m: f64) -> Margin {
        Margin {
            over_m,
            station_m: 0.0,
            by: Governs::Largest,
        }
    }

    #[test]
    fn finds_where_the_overshoot_goes() {
        let course = OpeningSchedule::straight(1.0, 0.0, 1.0);
        let found = shortest(&course, 1.0, margin(-1.0), |c, _| {
            margin(70.5 / c.duration_s().max(0.1) - 5.0)
        });
        assert_eq!(found.straight_s, Some(15.0));
        assert_eq!(found.staged, None);
    }

    #[test]
    fn looks_past_a_swing() {
        let course = OpeningSchedule::straight(1.0, 0.0, 1.0);
        let found = shortest(&course, 1.0, margin(-1.0), |c, _| {
            let t = c.duration_s().max(0.1);
            margin(if (20.0..25.0).contains(&t) {
                1.0
            } else {
                70.0 / t - 5.0
            })
        });
        assert!(found.straight_s.is_some_and(|t| t >= 25.0));
    }

    #[test]
    fn no_time_helps_a_state_that_is_over() {
        let found = shortest(
            &OpeningSchedule::straight(1.0, 0.0, 1.0),
            1.0,
            margin(0.5),
            |_, _| margin(-1.0),
        );
        assert!(found.hopeless && found.straight_s.is_none());
    }

    #[test]
    fn safe_at_once_is_nothing_to_wait_for() {
        let found = shortest(
            &OpeningSchedule::straight(1.0, 0.0, 1.0),
            1.0,
            margin(-1.0),
            |_, _| margin(-0.1),
        );
        assert_eq!(found.straight_s, Some(0.0));
    }
}
