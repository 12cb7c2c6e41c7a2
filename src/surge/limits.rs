//! The shortest time of a movement within what the line may take.

use super::build::BuiltModel;
use super::follow::{LineConstants, SimulatedMovement};
use super::moves::{Made, Move};
use super::search::{Margin, rounded_up_s, shortest};
use super::transient_case::{BoundedPlace, TransientCase};
use super::{Allowed, ClosingTimeSearch, Governs};
use crate::line::Mover;
use crate::march::grid::COARSE_CELLS;
use crate::march::moc::WaveHeads;
use crate::march::{OpeningSchedule, TransientResult};
use crate::pipe::Often;

/// How often a time that does not hold is made longer before it is given up.
const LONGER: usize = 12;

/// So many waves it is asked after each whether it is over, then after twice as many each time.
const EACH_WAVE: usize = 4;

/// While a time is sought, a march is followed like one behind a coarser march that had its last new extreme in this wave: what is found is then followed to the end.
const SOUGHT_WAVE: usize = 0;

/// How far above a valve its upper side ends, m.
const ABOVE_M: f64 = 1e-6;

/// What the heads of a movement must stay within, station by station.
pub(crate) struct HeadLimits {
    each: Vec<BoundHead>,
}

struct BoundHead {
    station_m: f64,
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
                    station_m: s,
                    most_m: z + high / looking.weight,
                    least_m: z + (low / looking.weight).max(looking.boiling_m),
                })
                .collect(),
        }
    }

    /// The same where they are read on a march.
    fn on<'a>(&'a self, looking: &TransientCase<'_>, built: &BuiltModel) -> LimitsOnGrid<'a> {
        LimitsOnGrid {
            limits: &self.each,
            places: looking.places(built),
            adjustment: built.grid.adjustment,
        }
    }

    /// How far a movement that was followed at both ends of the wave speed is over at its worst station.
    pub(crate) fn of_followed(&self, followed: &SimulatedMovement<'_>) -> Margin {
        [&followed.fast, &followed.slow]
            .map(|(built, marched)| self.on(&followed.looking, built).of(marched, f64::INFINITY))
            .into_iter()
            .fold(NOWHERE_OVER, worse)
    }
}

/// Limits with the places at which a march is held to them.
struct LimitsOnGrid<'a> {
    limits: &'a [BoundHead],
    places: Vec<BoundedPlace>,
    /// What the grid changes the wave speed by: so much of the swing goes off both sides.
    adjustment: f64,
}

impl LimitsOnGrid<'_> {
    /// How far a march is over at the worst station down to a place.
    fn of(&self, marched: &TransientResult, down_to_m: f64) -> Margin {
        self.margin(|place| place.heads_m(marched), down_to_m)
    }

    fn margin(&self, heads: impl Fn(&BoundedPlace) -> (f64, f64), down_to_m: f64) -> Margin {
        let mut worst = NOWHERE_OVER;
        let down_to = self.limits.iter().zip(&self.places);
        for (limit, place) in down_to.take_while(|(l, _)| l.station_m <= down_to_m) {
            let (max, min) = heads(place);
            let unsure = self.adjustment * (max - min);
            for (over_m, by) in [
                (max + unsure - limit.most_m, Governs::Largest),
                (limit.least_m - min + unsure, Governs::Least),
            ] {
                if over_m > worst.over_m {
                    worst = Margin {
                        over_m,
                        station_m: limit.station_m,
                        by,
                    };
                }
            }
        }
        worst
    }

    /// Whether a march is over by more than so much already.
    fn is_over(&self, known: &WaveHeads<'_>, by_m: f64) -> bool {
        let so_far = |place: &BoundedPlace| place.bound(place.at.heads(|t, i| known.so_far(t, i)));
        self.margin(so_far, f64::INFINITY).over_m > by_m
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
                && self.coarse(made, &made.course.lasting(time_s), 0.0).over_m <= 0.0
                && self.still(made).over_m <= 0.0
            {
                continue;
            }
            let still = self.still(made);
            let one = shortest(
                &made.course,
                self.critical_time_s,
                still,
                |course, bound_m| self.coarse(made, course, bound_m),
            );
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
        let mut worst = None;
        for made in kept {
            let looking = self.ground.looking(self.m, made);
            let build = |speeds: &[f64]| looking.build_shown(speeds, &made.course);
            let (Some(slow), Some(fast)) = (build(&self.ground.slow), build(&self.ground.fast))
            else {
                continue;
            };
            for built in [slow, fast] {
                let margin = self.marched(&looking, &built, 0.0);
                worst = Some(worse(worst.unwrap_or(NOWHERE_OVER), margin));
                if margin.over_m > 0.0 {
                    return margin;
                }
            }
        }
        worst.unwrap_or(NOT_BUILT)
    }

    /// The margin of a course on a coarse grid: where it is over by more than the bound, by how much at the least.
    fn coarse(&self, made: &Made<'_>, course: &OpeningSchedule, bound_m: f64) -> Margin {
        let looking = self.ground.looking(self.m, made);
        let built = looking.build(&self.ground.fast, course, COARSE_CELLS);
        built.map_or(NOT_BUILT, |built| {
            let built = BuiltModel {
                scouted_wave: Some(SOUGHT_WAVE),
                ..built
            };
            self.marched(&looking, &built, bound_m)
        })
    }

    /// The margin of a march that is left as soon as it is over by more than the bound.
    fn marched(&self, looking: &TransientCase<'_>, built: &BuiltModel, bound_m: f64) -> Margin {
        let limits = HeadLimits::of(looking, self.m.often, self.allowed);
        let on = limits.on(looking, built);
        let marched = looking.march_until(built, |known| {
            let waves = known.waves();
            (waves <= EACH_WAVE || waves.is_power_of_two()) && on.is_over(known, bound_m)
        });
        on.of(&marched, f64::INFINITY)
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
            let looking = self.ground.looking(self.m, made);
            let built = looking.build(&self.ground.fast, &course, COARSE_CELLS);
            built.map_or(NOT_BUILT, |built| {
                let limits = HeadLimits::of(&looking, self.m.often, self.allowed);
                let stands = looking.stand(&built);
                limits.on(&looking, &built).of(&stands, down_to_m)
            })
        };
        worse(held(made.course.from), held(made.course.to()))
    }
}
