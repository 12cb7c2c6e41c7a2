use super::states::{self, held, loads};
use super::zoned::Declared;
use super::{Lacks, NotComputed, Study, advised, collapse_vents};
use crate::air::{self, Air, LineAir};
use crate::flow::{self, Cases};
use crate::laying;
use crate::line::{AirFor, Environment, Geometry, Inlet, Line, Reaches};
use crate::metal;
use crate::profile::{self, Bore};
use crate::proof;
use crate::regrade;
use crate::route::Route;
use crate::solids;
use crate::strength;
use crate::surge::{self, Allowed, MarchMemory, Surge, Surges};
use crate::unit::physics::water;

impl Study {
    /// Runs every room on a line, in order; what cannot be computed is left out with the reason. Then once more with what is wanted laid on, by the same road, until nothing more is wanted.
    pub fn of(route: Route, line: Line) -> Self {
        let memory = MarchMemory::default();
        let mut study = Self::run(route, line, true, 0, &memory);
        let marched = |study: &Self| study.surges.as_ref().map_or(0, |s| s.node_steps);
        let mut node_steps = marched(&study);
        let mut wider = advised::Wider::default();
        for round in 1..=MOST_ROUNDS {
            let Some(line) = advised::line(&study) else {
                break;
            };
            let spent = node_steps.saturating_sub(FREE_NODE_STEPS);
            let advised = Self::run(study.route.clone(), line, false, spent, &memory);
            node_steps += marched(&advised);
            // what is told is what the last run stands on
            let more = round < MOST_ROUNDS && advised::take_up(&mut study, &advised, &mut wider);
            study.as_advised = Some(Box::new(advised));
            if !more {
                break;
            }
            study.lay();
        }
        study.tell_what_was_not_followed_as_advised();
        study
    }

    /// A movement that was followed as the line is and not as it would be is told: its harm once everything stands is not known.
    fn tell_what_was_not_followed_as_advised(&mut self) {
        let not_run = |s: &Self| {
            s.surges
                .as_ref()
                .map_or_else(Vec::new, |s| s.not_run.clone())
        };
        let already = not_run(self);
        let more = self.as_advised.as_deref().map_or_else(Vec::new, not_run);
        let new = more
            .into_iter()
            .filter(|n| already.iter().all(|a| a.movement != n.movement));
        self.not_computed.extend(new.map(|n| NotComputed {
            what: "as_advised",
            why: Lacks::AsAdvised(n),
        }));
    }

    /// The pieces, joints and what to buy, by what is wanted.
    fn lay(&mut self) {
        self.laying = self.laying.is_some().then(|| {
            let mut plan = laying::plan(
                &self.line,
                &self.profile,
                self.air.as_ref(),
                self.anchor.as_ref(),
            );
            let (line, air) = (&self.line, self.air.as_ref());
            let loads = loads(line, &self.cases, self.surges.as_ref(), air);
            laying::meet_pressures(
                &mut plan,
                &line.geometry,
                &line.reaches,
                &states::largest_pa(line, &loads),
            );
            plan
        });
    }

    /// How many marks are wanted beyond those that stand. On the line as advised: what is wanted still once everything that was wanted stands; not nothing where that is not reached.
    pub fn wanted(&self) -> usize {
        advised::wanted(self)
    }

    /// One run of the rooms. Zones of class, shortest safe times and ways to make it fall are sought on the line as declared alone: no pressure, mark or verdict hangs on them. `spent`: nodes times steps that earlier rounds took away from the marching of this one; `memory`: what they marched.
    fn run(route: Route, line: Line, declared: bool, spent: u64, memory: &MarchMemory) -> Self {
        let mut not_computed = Vec::new();
        let profile = profile::judge(
            &line.geometry.heights,
            &bores(&line.geometry, &line.reaches),
        )
        .unsure_within(&route.unrecorded);
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
        } else if line.geometry.length_m() < LEAST_MARCHED_M {
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
        let given = air::AirInputs {
            test_pa: states::test_pa(&line),
            ..air::AirInputs::default()
        };
        let line_air = LineAir::of(&line, &profile, &cases.runs, given.margin_m);
        let first_air = line_air.as_ref().map(|air| air.judged(&given));
        let marched = piped && line.outlet.is_some() && line.geometry.length_m() >= LEAST_MARCHED_M;
        let surges = marched.then(|| {
            let air = first_air.as_ref();
            march(&line, &cases, air, declared, spent, memory)
        });
        not_computed.extend(surges.iter().flat_map(|s| &s.not_run).map(|n| NotComputed {
            what: "surges",
            why: Lacks::Movement(n.clone()),
        }));
        // Judged again with what the first judgement could not know: the surge's rise, which a standpipe must clear, and where the pipe needs a vent to live.
        let air = first_air.zip(line_air).map(|(first, line_air)| {
            let given = air::AirInputs {
                surge_rise_m: surges
                    .as_ref()
                    .filter(|s| !s.runs.is_empty())
                    .map_or_else(Vec::new, |s| rise_m(&line.intake, s)),
                shut_s: surges.as_ref().and_then(|s| safe_s(s, |m| m.to < m.from)),
                open_s: surges.as_ref().and_then(|s| safe_s(s, |m| m.to > m.from)),
                to_live_m: collapse_vents::vents_against_collapse_m(&line, &first),
                ..given
            };
            if given.surge_rise_m.is_empty()
                && given.to_live_m.is_empty()
                && given.shut_s.or(given.open_s).is_none()
            {
                first
            } else {
                line_air.judged(&given)
            }
        });
        let loads = if piped {
            loads(&line, &cases, surges.as_ref(), air.as_ref())
        } else {
            Vec::new()
        };
        let mut strength = piped.then(|| strength::judge(&line, &loads));
        let mut zoned = None;
        if let Some(strength) = strength.as_mut().filter(|_| declared) {
            let declared = Declared {
                line: &line,
                cases: &cases,
                surges: surges.as_ref(),
                strength,
            };
            zoned = declared.zoned();
            if let Err(why) = &strength.zones {
                not_computed.push(NotComputed {
                    what: "zones",
                    why: Lacks::Zones(*why),
                });
            }
            let lightest = declared.lightest();
            for (reach, light) in strength.reaches.iter_mut().zip(lightest) {
                reach.lightest = light;
            }
        }
        let anchor = piped.then(|| held(&line, &cases, &loads));
        let laying = piped.then(|| {
            let mut plan = laying::plan(&line, &profile, air.as_ref(), anchor.as_ref());
            laying::meet_pressures(
                &mut plan,
                &line.geometry,
                &line.reaches,
                &states::largest_pa(&line, &loads),
            );
            plan
        });
        let gauges = if piped {
            flow::gauges(&line, &states::air_legs(&profile, air.as_ref()))
        } else {
            None
        };
        let stream = if piped { flow::stream(&line) } else { None };
        let intake = flow::intake(&line, &cases.runs);
        let screen = flow::screen(&line, &cases.runs, intake.as_ref());
        let largest = (piped && line.outlet.is_some())
            .then(|| flow::largest_power(&line).ok())
            .flatten();
        // A line that falls has nothing to regrade, whatever grade was wished for; and marks move no ground.
        let regrade = if profile.climbs.is_empty() || !declared {
            Vec::new()
        } else {
            regrade::plans(&line)
        };
        Self {
            passes: solids::passes(line.outlet.as_ref(), &line.works),
            grit: solids::grit(&line, &cases.runs),
            metal: metal::corroded(&line),
            proof: proof::proof(
                &line.reaches,
                &line.measured,
                air.as_ref().and_then(states::tested_pa),
            ),
            screen,
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
            zoned,
            anchor,
            regrade,
            laying,
            as_advised: None,
            not_computed,
        }
    }
}

/// How often what is wanted is laid on: what a vent or a hold brings with it may want another, or a wider one.
const MOST_ROUNDS: usize = 6;

/// Marching of all rounds together up to which each round may march as if it were the first, in nodes times steps: beyond it the later rounds have less.
const FREE_NODE_STEPS: u64 = 300_000_000;

/// Shorter lines are not marched, m: a wave crosses them in the time of a blink, and the steps would be as short.
const LEAST_MARCHED_M: f64 = 5.0;

/// The bores of the line down the stations; a line without pipe is judged by a bore of 25 mm.
fn bores(geometry: &Geometry, reaches: &Reaches) -> Vec<Bore> {
    if reaches.is_empty() {
        return vec![Bore {
            to_m: geometry.length_m(),
            bore_m: super::BORE_WITHOUT_PIPE_M,
        }];
    }
    reaches
        .iter()
        .map(|r| Bore {
            to_m: r.to_m,
            bore_m: r.pipe.inner_diameter_m,
        })
        .collect()
}

fn march(
    line: &Line,
    cases: &Cases,
    air: Option<&Air>,
    search: bool,
    spent: u64,
    memory: &MarchMemory,
) -> Surges {
    let limits = strength::limits(line);
    let least_pa = least_allowed_pa(&line.environment, cases, &limits);
    let options = surge::SurgeOptions {
        allowed: Some(Allowed {
            routine_pa: limits.routine_pa,
            rare_pa: limits.rare_pa,
            least_pa,
        }),
        climb_may_hold_air: air.is_some_and(holds_air),
        envelope_only: !search,
        pressures_only: false,
        spent,
    };
    let wanted = air
        .iter()
        .flat_map(|a| &a.vents)
        .filter(|v| v.stands.is_none());
    let near_m: Vec<f64> = wanted.map(|v| v.station_m).collect();
    surge::study_with(line, &cases.runs, &options, memory, &near_m)
}

/// A movement is asked to keep the doubts away from the least pressure allowed only where the steady states have so much to spare and this besides, m:
/// where they have not, no slowness helps, and that they may be too low is told by itself.
const TO_SPARE_M: f64 = 1.0;

/// The least pressure that a movement is allowed at each station, Pa: with the survey's doubt (2 sd) on it, and the weather's on that at which water boils, wherever the steady states leave room for that.
fn least_allowed_pa(
    environment: &Environment,
    cases: &Cases,
    limits: &strength::PressureLimits,
) -> Vec<f64> {
    let usual = water(environment.water.usual_c);
    let spare = TO_SPARE_M * usual.density_kg_per_m3 * environment.situation.gravity_m_per_s2;
    let boils_pa = water(environment.water.warmest_c).vapour_pa
        - environment.situation.air_pa(AirFor::Hanging);
    let weather_pa = environment.situation.weather_pa();
    (0..)
        .zip(limits.least_pa.iter().zip(&limits.doubt_pa))
        .map(|(i, (least, doubt))| {
            let steady = cases
                .runs
                .iter()
                .filter_map(|run| run.points.get(i))
                .map(|p| p.pressure_pa.min(p.pressure_below_pa))
                .fold(f64::INFINITY, f64::min);
            let all = least.max(boils_pa + weather_pa) + doubt;
            let without_weather = least.max(boils_pa) + doubt;
            [all, without_weather]
                .into_iter()
                .find(|limit| steady >= limit + spare)
                .unwrap_or(*least)
        })
        .collect()
}

/// A climb that nothing vents by itself may hold air.
fn holds_air(air: &Air) -> bool {
    air.pockets
        .iter()
        .any(|p| p.climb.is_some() && p.vented_by.is_empty())
}

/// Highest rise of water in a standpipe above the standing level in any movement, m, on the grid.
fn rise_m(intake: &Inlet, surges: &Surges) -> Vec<f64> {
    let level = intake.flood_level_m;
    surges
        .standpipe_levels_m()
        .iter()
        .map(|m| (m - level).max(0.0))
        .collect()
}

/// Longest of the shortest safe times of the movements that are chosen, s; `None` where one of them has none.
fn safe_s(surges: &Surges, of: impl Fn(&Surge) -> bool) -> Option<f64> {
    surges
        .weighed()
        .filter(|s| s.search.is_some() && of(s))
        .map(|s| s.shortest_safe_s)
        .try_fold(0.0, |longest: f64, s| Some(longest.max(s?)))
        .filter(|s| *s > 0.0)
}
