//! The shortest time of a movement within what the line may take.

use super::build::BuiltModel;
use super::follow::{COARSE_CELLS, Keep, LineConstants, SimulatedMovement};
use super::moves::{Made, Move};
use super::search::{Margin, rounded_up_s, shortest};
use super::transient_case::TransientCase;
use super::{
    Allowed, ClosingTimeSearch, Governs, OpeningSchedule, TransientOptions, TransientResult,
};
use crate::line::Mover;
use crate::pipe::Often;

/// How often a time that does not hold is made longer before it is given up.
const LONGER: usize = 12;

/// How far above a valve its upper side ends, m.
const ABOVE_M: f64 = 1e-6;

/// What the heads of a movement must stay within, station by station.
pub(crate) struct HeadLimits {
    each: Vec<BoundHead>,
}

struct BoundHead {
    /// Station and elevation of the pipe, m.
    at: (f64, f64),
    most_m: f64,
    least_m: f64,
}

impl HeadLimits {
    pub(crate) fn of(looking: &TransientCase<'_>, often: Often, allowed: &Allowed) -> Self {
        let largest = match often {
            Often::Routine => &allowed.routine_pa,
            Often::Rare => &allowed.rare_pa,
        };
        let heights = &looking.line.geometry.heights;
        let each = heights.station_m.iter().zip(&heights.mean_m);
        Self {
            each: each
                .zip(largest.iter().zip(&allowed.least_pa))
                .map(|((&s, &z), (high, low))| BoundHead {
                    at: (s, z),
                    most_m: z + high / looking.weight,
                    least_m: z + (low / looking.weight).max(looking.boiling_m),
                })
                .collect(),
        }
    }

    /// How far these heads are over at the worst station down to a place. What the grid changes the wave speed by goes off both sides.
    fn margin(
        &self,
        heads: impl Fn((f64, f64)) -> (f64, f64),
        adjustment: f64,
        down_to_m: f64,
    ) -> Margin {
        let mut worst = Margin {
            over_m: f64::NEG_INFINITY,
            station_m: 0.0,
            by: Governs::Largest,
        };
        for limit in self.each.iter().take_while(|l| l.at.0 <= down_to_m) {
            let (max, min) = heads(limit.at);
            let unsure = adjustment * (max - min);
            for (over_m, by) in [
                (max + unsure - limit.most_m, Governs::Largest),
                (limit.least_m - min + unsure, Governs::Least),
            ] {
                if over_m > worst.over_m {
                    worst = Margin {
                        over_m,
                        station_m: limit.at.0,
                        by,
                    };
                }
            }
        }
        worst
    }

    /// The same of a movement that was followed at both ends of the wave speed.
    pub(crate) fn of_followed(&self, followed: &SimulatedMovement<'_>) -> Margin {
        [&followed.fast, &followed.slow]
            .map(|(built, marched)| {
                let heads = |at| followed.looking.heads_m(built, marched, at);
                self.margin(heads, built.grid.adjustment, f64::INFINITY)
            })
            .into_iter()
            .fold(NOWHERE_OVER, worse)
    }
}

const NOWHERE_OVER: Margin = Margin {
    over_m: f64::NEG_INFINITY,
    station_m: 0.0,
    by: Governs::Largest,
};

const NOT_BUILT: Margin = Margin {
    over_m: f64::INFINITY,
    ..NOWHERE_OVER
};

fn worse(a: Margin, b: Margin) -> Margin {
    if b.over_m > a.over_m { b } else { a }
}

/// A movement whose shortest time is sought, in every running state that it is made in.
pub(crate) struct Sought<'a> {
    pub(crate) ground: &'a LineConstants<'a>,
    pub(crate) m: &'a Move,
    pub(crate) made: &'a [Made<'a>],
    pub(crate) allowed: &'a Allowed,
    pub(crate) critical_time_s: f64,
}

impl Sought<'_> {
    /// The shortest time that holds in every state. `first` are the states that matter at the pace that is shown: the search begins with them.
    ///
    /// Sought on a coarse grid at the fast end of the wave speed, state by state, each from where the one before left off; what is found is then followed as it would be shown, at both ends, and lengthened until it holds there.
    pub(crate) fn search(&self, first: &[usize]) -> ClosingTimeSearch {
        let others = (0..self.made.len()).filter(|i| !first.contains(i));
        let mut found: Option<ClosingTimeSearch> = None;
        for i in first.iter().copied().chain(others) {
            let Some(made) = self.made.get(i) else {
                continue;
            };
            if let Some(time_s) = found.as_ref().and_then(|f| f.straight_s)
                && self.coarse(made, &made.course.lasting(time_s)).over_m <= 0.0
                && self.still(made).over_m <= 0.0
            {
                continue;
            }
            let one = shortest(&made.course, self.critical_time_s, self.still(made), |c| {
                self.coarse(made, c)
            });
            let longer = found.as_ref().is_none_or(|had| {
                let time = |s: &ClosingTimeSearch| s.straight_s.unwrap_or(f64::INFINITY);
                !had.hopeless && (one.hopeless || time(&one) > time(had))
            });
            if longer {
                found = Some(one);
            }
        }
        self.made_to_hold(found.unwrap_or_else(|| ClosingTimeSearch::none(NOWHERE_OVER)))
    }

    fn made_to_hold(&self, mut found: ClosingTimeSearch) -> ClosingTimeSearch {
        let Some(mut time_s) = found.straight_s else {
            return found;
        };
        let straight = |time_s: f64| OpeningSchedule::straight(1.0, 0.0, time_s);
        for _ in 0..LONGER {
            let margin = self.as_shown(&straight(time_s));
            if margin.over_m <= 0.0 {
                found.straight_s = Some(time_s);
                break;
            }
            (found.governing_station_m, found.governed_by) = (margin.station_m, margin.by);
            time_s = rounded_up_s(1.1 * time_s + 0.5);
            found.straight_s = None;
        }
        let straight_s = found.straight_s.unwrap_or(f64::INFINITY);
        let main = self.made.first().map_or(&self.m.course, |m| &m.course);
        found.staged = found.staged.filter(|stages| {
            let course = OpeningSchedule {
                from: main.from,
                stages: stages.clone(),
                law: main.law,
            };
            let quicker = course.duration_s() <= 0.9 * straight_s;
            quicker && self.as_shown(&course).over_m <= 0.0
        });
        found
    }

    /// The margin of a course as it would be shown: in every state that matters at its pace, at both ends of the wave speed.
    fn as_shown(&self, course: &OpeningSchedule) -> Margin {
        let paced = |made: &Made<'_>| {
            course
                .between(made.course.from, made.course.to())
                .by(made.course.law)
        };
        let made: Vec<Made<'_>> = self
            .made
            .iter()
            .map(|m| Made {
                state: m.state,
                course: paced(m),
            })
            .collect();
        let matter = self.ground.that_matter(self.m, &made, false);
        let kept: Vec<&Made<'_>> = matter.iter().filter_map(|i| made.get(*i)).collect();
        let Ok(followed) = self.ground.follow(self.m, &kept, Keep::Heads) else {
            return NOT_BUILT;
        };
        followed
            .iter()
            .map(|f| HeadLimits::of(&f.looking, self.m.often, self.allowed).of_followed(f))
            .fold(NOWHERE_OVER, worse)
    }

    fn coarse(&self, made: &Made<'_>, course: &OpeningSchedule) -> Margin {
        self.coarse_to(made, course, f64::INFINITY, |l, b| {
            l.run_moc(b, TransientOptions::default())
        })
    }

    fn coarse_to(
        &self,
        made: &Made<'_>,
        course: &OpeningSchedule,
        down_to_m: f64,
        march: impl Fn(&TransientCase<'_>, &BuiltModel) -> TransientResult,
    ) -> Margin {
        let looking = self.ground.looking(self.m, made);
        let limits = HeadLimits::of(&looking, self.m.often, self.allowed);
        let built = looking.build(&self.ground.fast, course, COARSE_CELLS);
        built.map_or(NOT_BUILT, |b| {
            let m = march(&looking, &b);
            limits.margin(
                |at| looking.heads_m(&b, &m, at),
                b.grid.adjustment,
                down_to_m,
            )
        })
    }

    /// The states before and after, with nothing moving. Below a shut valve nothing stands still: the pipe drains.
    fn still(&self, made: &Made<'_>) -> Margin {
        let stands_to_m = match self.m.of {
            Mover::Fitting(i) => {
                let valve = self.ground.line.fittings.get(i);
                valve.map(|f| f.station_m - ABOVE_M)
            }
            Mover::Jets | Mover::OneJet => None,
        };
        let held = |share: f64| {
            let down_to_m = stands_to_m
                .filter(|_| share <= 0.0)
                .unwrap_or(f64::INFINITY);
            let course = OpeningSchedule::held(share).by(made.course.law);
            self.coarse_to(made, &course, down_to_m, |l, b| l.stand(b))
        };
        worse(held(made.course.from), held(made.course.to()))
    }
}
