use super::drained::drained;
use super::{Lacks, NotComputed, Study, advised};
use crate::air::{self, Air};
use crate::anchor::{self, Anchor};
use crate::flow::{self, Cases};
use crate::laying;
use crate::line::Line;
use crate::pipe::Often;
use crate::profile::{self, Bore};
use crate::regrade;
use crate::route::Route;
use crate::strength::{self, Load, LoadKind, Strength};
use crate::surge::{self, Allowed, Surges};

impl Study {
    /// Runs every room on a line, in order; what cannot be computed is left out with the reason. Then once more with what is wanted laid on.
    pub fn of(route: Route, line: Line) -> Self {
        let mut study = Self::run(route, line, true);
        study.as_advised =
            advised::line(&study).map(|line| Box::new(Self::run(study.route.clone(), line, false)));
        study
    }

    /// One run of the rooms; the search for the shortest safe times is what takes longest and depends on no vent's advice.
    fn run(route: Route, line: Line, search: bool) -> Self {
        let mut not_computed = Vec::new();
        let profile = profile::judge(&line.heights, &bores(&line));
        let piped = !line.reaches.is_empty();
        if !piped {
            not_computed.push(NotComputed {
                what: "cases",
                why: Lacks::Pipe,
            });
        } else if line.outlet.is_none() {
            not_computed.push(NotComputed {
                what: "surges",
                why: Lacks::Turbine,
            });
        } else if line.length_m() < LEAST_MARCHED_M {
            not_computed.push(NotComputed {
                what: "surges",
                why: Lacks::Length(LEAST_MARCHED_M),
            });
        }
        let cases = if piped {
            flow::cases(&line)
        } else {
            Cases::default()
        };
        not_computed.extend(cases.not_run.iter().map(|n| NotComputed {
            what: "cases",
            why: Lacks::Case(n.clone()),
        }));
        // The air is judged before the surge, which must know whether a climb may hold air, and again with the surge's rise, which a standpipe must clear.
        let first_air =
            piped.then(|| air::judge(&line, &profile, &cases.runs, &air::Given::default()));
        let marched = piped && line.outlet.is_some() && line.length_m() >= LEAST_MARCHED_M;
        let surges = marched.then(|| march(&line, &cases, first_air.as_ref(), search));
        not_computed.extend(surges.iter().flat_map(|s| &s.not_run).map(|n| NotComputed {
            what: "surges",
            why: Lacks::Movement(n.clone()),
        }));
        let air = match (&surges, first_air) {
            (Some(surges), Some(_)) if !surges.runs.is_empty() => {
                let given = air::Given {
                    surge_rise_m: rise_m(&line, surges),
                    ..air::Given::default()
                };
                Some(air::judge(&line, &profile, &cases.runs, &given))
            }
            (_, first) => first,
        };
        let strength = piped.then(|| strong(&line, &cases, surges.as_ref()));
        let anchor = piped.then(|| held(&line, &cases, surges.as_ref()));
        let laying = piped.then(|| laying::plan(&line, &profile, air.as_ref(), anchor.as_ref()));
        let gauges = if piped {
            flow::gauges(&line, &profile.climbs)
        } else {
            None
        };
        let stream = if piped { flow::stream(&line) } else { None };
        let intake = flow::intake(&line, &cases.runs);
        let largest = (piped && line.outlet.is_some())
            .then(|| flow::largest_power(&line).ok())
            .flatten();
        // A line that falls has nothing to regrade, whatever grade was wished for.
        let regrade = if profile.climbs.is_empty() {
            Vec::new()
        } else {
            regrade::plans(&line)
        };
        Self {
            route,
            line,
            profile,
            cases,
            gauges,
            stream,
            largest,
            intake,
            air,
            surges,
            strength,
            anchor,
            regrade,
            laying,
            as_advised: None,
            not_computed,
        }
    }
}

/// Shorter lines are not marched, m: a wave crosses them in the time of a blink, and the steps would be as short.
const LEAST_MARCHED_M: f64 = 5.0;

/// The bores of the line down the stations; a line without pipe is judged by a bore of 25 mm.
fn bores(line: &Line) -> Vec<Bore> {
    if line.reaches.is_empty() {
        return vec![Bore {
            to_m: line.length_m(),
            bore_m: super::BORE_WITHOUT_PIPE_M,
        }];
    }
    line.reaches
        .iter()
        .map(|r| Bore {
            to_m: r.to_m,
            bore_m: r.pipe.inner_diameter_m,
        })
        .collect()
}

fn march(line: &Line, cases: &Cases, air: Option<&Air>, search: bool) -> Surges {
    let limits = strength::limits(line);
    let options = surge::Options {
        allowed: Some(Allowed {
            routine_pa: limits.routine_pa,
            rare_pa: limits.rare_pa,
            least_pa: limits.least_pa,
        }),
        climb_may_hold_air: air.is_some_and(holds_air),
        no_search: !search,
    };
    surge::study(line, &cases.runs, &options)
}

/// A climb that nothing vents by itself may hold air.
fn holds_air(air: &Air) -> bool {
    air.pockets
        .iter()
        .any(|p| p.climb.is_some() && p.vented_by.is_empty())
}

/// Highest rise of water in a standpipe above the standing level in any movement, m, on the grid.
fn rise_m(line: &Line, surges: &Surges) -> Vec<f64> {
    let level = line.intake.flood_level_m;
    surges
        .standpipe_levels_m()
        .iter()
        .map(|m| (m - level).max(0.0))
        .collect()
}

/// What holds the line, at the largest pressure of any state.
fn held(line: &Line, cases: &Cases, surges: Option<&Surges>) -> Anchor {
    let standing_pa = Load::standing(line).largest_pa;
    let mut largest_pa = standing_pa.clone();
    for surge in surges.iter().flat_map(|s| s.weighed()) {
        for (most, point) in largest_pa.iter_mut().zip(&surge.points) {
            *most = most.max(point.pressure_max_pa);
        }
    }
    anchor::judge(
        line,
        &anchor::Loads {
            largest_pa,
            standing_pa,
            flow_m3_per_s: cases.largest_flow().map_or(0.0, |r| r.flow_m3_per_s),
        },
    )
}

/// Pressure over what the pipe may take, in every state that was worked out.
fn strong(line: &Line, cases: &Cases, surges: Option<&Surges>) -> Strength {
    strength::judge(line, &loads(line, cases, surges))
}

/// The pressures of every state that was worked out, and of the line that drains.
pub(crate) fn loads(line: &Line, cases: &Cases, surges: Option<&Surges>) -> Vec<Load> {
    let mut loads: Vec<Load> = cases
        .runs
        .iter()
        .filter(|r| r.flows())
        .map(|run| Load {
            name: run.name.clone(),
            kind: LoadKind::Running,
            largest_pa: run
                .points
                .iter()
                .map(|p| p.pressure_pa.max(p.pressure_below_pa))
                .collect(),
            least_pa: run
                .points
                .iter()
                .map(|p| p.pressure_pa.min(p.pressure_below_pa))
                .collect(),
        })
        .collect();
    loads.extend(surges.iter().flat_map(|s| s.weighed()).map(|surge| {
        // Where the water parts the pressure is the vapour's: nothing lower exists.
        let floor = surge.vapour.map_or(-line.situation.air_pa, |v| v.limit_pa);
        Load {
            name: surge.movement.clone(),
            kind: match surge.often {
                Often::Routine => LoadKind::SurgeRoutine,
                Often::Rare => LoadKind::SurgeRare,
            },
            largest_pa: surge.points.iter().map(|p| p.pressure_max_pa).collect(),
            least_pa: surge
                .points
                .iter()
                .map(|p| p.pressure_min_pa.unwrap_or(floor))
                .collect(),
        }
    }));
    loads.push(drained(line));
    loads
}
