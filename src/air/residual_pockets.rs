//! Running with the pockets of the start left in: what flow and power they take.

use super::course::StartupLine;
use super::leg::FallingLeg;
use super::openings::Openings;
use super::pipe_profile::PipeProfile;
use super::{AirVolume, LeftIn, LeftPocket};
use crate::flow::{Conditions, Run, StandingAir, full_grade_line_m, run_under};
use crate::line::Line;
use crate::numeric::{Bracket, root};

/// A falling leg that the start left full of air.
#[derive(Debug, Clone)]
pub(super) struct Trapped {
    /// Its crest, m.
    pub(super) station_m: f64,
    /// Height of the crest, m.
    pub(super) height_m: f64,
    /// The air by the leg's real shape.
    pub(super) leg: FallingLeg,
    /// Mean area of the leg's bore, m2.
    area_m2: f64,
}

impl Trapped {
    /// The legs behind sealed crests that these openings leave full, from the intake down; crests up to a station are primed and hold none.
    pub(super) fn all(course: &PipeProfile<'_>, vents_m: &[f64], primed_to_m: f64) -> Vec<Self> {
        let openings = Openings::of(vents_m);
        course
            .humps()
            .sealed
            .iter()
            .filter(|hump| course.station(hump.crest) > primed_to_m)
            .map(|hump| {
                let long_m = course.station(hump.next_low) - course.station(hump.crest);
                Self {
                    station_m: course.station(hump.crest),
                    height_m: course.height(hump.crest),
                    leg: FallingLeg::down(course, hump.crest, hump.next_low, &openings),
                    area_m2: course.volume_m3(hump.crest, hump.next_low) / long_m,
                }
            })
            .filter(|t| t.leg.sealed_height_m() > 0.0)
            .collect()
    }

    /// The air, sealed at the air's own pressure, where the grade line stands so far above its crest, m: Boyle's law on the leg's shape. Below the air's pressure it fills its leg and no more.
    pub(super) fn squeezed(&self, air_head_m: f64, over_m: f64) -> AirVolume {
        const LEAST_M: f64 = 1e-3;
        let to_m = (air_head_m + over_m).max(LEAST_M);
        let (height_m, volume_m3) = self.leg.pressed(air_head_m, to_m);
        AirVolume {
            volume_m3,
            height_m,
        }
    }

    fn full(&self) -> AirVolume {
        AirVolume {
            volume_m3: self.leg.sealed_m3(),
            height_m: self.leg.sealed_height_m(),
        }
    }
}

/// Each running case that runs full, with the pockets left in.
///
/// A pocket takes its own height of head (May, Allen and Nelson 2018: the loss of a pocket in 25 and 38 mm pipe is close to its vertical height).
/// `start_needs_m`: water level, m, that the start needs with the air squeezed: below it nothing runs.
/// Its air was sealed at the air's own pressure and is squeezed by what runs: `(ha + H - z) V = ha V0`, H the grade line at its crest less what the pockets above take, z the crest.
/// In the dry part of a leg water runs down as a film, so the friction of a full pipe is taken off again there. Basis page: start-up.
pub(super) fn residual_pockets(
    line: &Line,
    runs: &[Run],
    piped: &StartupLine,
    vents_m: &[f64],
    primed_to_m: f64,
    start_needs_m: f64,
) -> Vec<LeftIn> {
    let heights = piped.heights(&line.geometry.heights.mean_m);
    let legs = Trapped::all(&piped.course(&heights), vents_m, primed_to_m);
    if legs.is_empty() {
        return Vec::new();
    }
    let line = without_doubt(line);
    runs.iter()
        .filter(|r| r.flows() && r.limited.is_none())
        .map(|run| {
            let case = FlowingCase {
                line: &line,
                run,
                legs: &legs,
                air_head_m: piped.air_head_m,
            };
            // what the start does not carry over its last crest does not run
            let starts = run.level_m > start_needs_m;
            let settled = |by| starts.then(|| case.settled(by)).flatten();
            let (squeezed, full) = (settled(Squeezed::Running), settled(Squeezed::Not));
            let share = |r: &Option<(Run, Vec<AirVolume>)>| {
                r.as_ref()
                    .map_or(0.0, |(r, _)| r.water_power_w / run.water_power_w)
            };
            // where it does not run the air stands as the water at rest squeezes it
            let held = squeezed
                .as_ref()
                .map_or_else(|| case.at_rest(), |(_, held)| held.clone());
            LeftIn {
                case: run.state().clone(),
                head_compressed_m: held.iter().map(|h| h.height_m).sum(),
                head_full_m: legs.iter().map(|t| t.full().height_m).sum(),
                power_share_compressed: share(&squeezed),
                power_share_full: share(&full),
                flow_compressed_m3_per_s: squeezed.map(|(r, _)| r.flow_m3_per_s),
                flow_full_m3_per_s: full.map(|(r, _)| r.flow_m3_per_s),
                pockets: legs
                    .iter()
                    .zip(held)
                    .map(|(t, held)| LeftPocket {
                        station_m: t.station_m,
                        held,
                    })
                    .collect(),
            }
        })
        .collect()
}

/// What squeezes the pockets.
#[derive(Clone, Copy, PartialEq)]
enum Squeezed {
    /// The running pressure at each.
    Running,
    /// Nothing: more air came in later, and the legs are full.
    Not,
}

struct FlowingCase<'a> {
    line: &'a Line,
    run: &'a Run,
    legs: &'a [Trapped],
    air_head_m: f64,
}

impl FlowingCase<'_> {
    /// The pockets when so much flows, and the head that each takes, m.
    fn pockets(
        &self,
        by: Squeezed,
        flow_m3_per_s: f64,
    ) -> Option<(Vec<AirVolume>, Vec<StandingAir>)> {
        let crests: Vec<f64> = self.legs.iter().map(|t| t.station_m).collect();
        let grade = full_grade_line_m(self.line, &self.run.wish, flow_m3_per_s, &crests).ok()?;
        let mut taken_m = 0.0;
        let mut held = Vec::new();
        let mut air = Vec::new();
        for (t, grade_m) in self.legs.iter().zip(grade) {
            let pocket = match by {
                Squeezed::Running => t.squeezed(self.air_head_m, grade_m - taken_m - t.height_m),
                Squeezed::Not => t.full(),
            };
            let dry_m = pocket.volume_m3 / t.area_m2;
            // water that runs faster than the leg is steep fills it: a pocket gives nothing back
            let head_m =
                (pocket.height_m - dry_m * self.slope(t.station_m, flow_m3_per_s)).max(0.0);
            taken_m += head_m;
            held.push(pocket);
            // Where the water closes below the pocket its head is lost. Within it the air presses alike, so nothing in it hangs.
            air.push(StandingAir {
                station_m: t.station_m + dry_m,
                head_m,
            });
        }
        Some((held, air))
    }

    /// Head that friction takes a metre just below a station at another flow, m/m: it goes nearly with the square of the flow.
    fn slope(&self, station_m: f64, flow_m3_per_s: f64) -> f64 {
        let Some((stretch, reach)) = self
            .run
            .stretch_at(station_m)
            .and_then(|s| Some((s, self.line.reaches.get(s.reach)?)))
        else {
            return 0.0;
        };
        let speed = stretch.velocity_m_per_s * flow_m3_per_s / self.run.flow_m3_per_s;
        stretch.friction_factor * speed * speed
            / (2.0 * self.line.environment.situation.gravity_m_per_s2 * reach.pipe.inner_diameter_m)
    }

    /// The pockets while nothing flows, the line full.
    fn at_rest(&self) -> Vec<AirVolume> {
        self.pockets(Squeezed::Running, 0.0)
            .map_or_else(Vec::new, |p| p.0)
    }

    fn with(&self, air: Vec<StandingAir>) -> Option<Run> {
        let conditions = Conditions {
            standing_air: air,
            ..Conditions::usual(&self.line.environment)
        };
        run_under(self.line, &self.run.wish, &conditions)
            .ok()
            .filter(Run::flows)
    }

    /// The flow that leaves pockets which leave that flow; `None`: it does not run.
    fn settled(&self, by: Squeezed) -> Option<(Run, Vec<AirVolume>)> {
        let most = self.run.flow_m3_per_s;
        let gives = |flow: f64| self.with(self.pockets(by, flow)?.1);
        let tiny = 1e-4 * most;
        let over = |flow: f64| gives(flow).map_or(0.0, |r| r.flow_m3_per_s) - flow;
        let flow = if over(most) >= 0.0 {
            most
        } else {
            let between = Bracket {
                low: tiny,
                high: most,
                width: 1e-6 * most,
            };
            root(between, over).ok()?
        };
        Some((gives(flow)?, self.pockets(by, flow)?.0))
    }
}

/// The line without its draws: these runs carry no doubt of their own.
fn without_doubt(line: &Line) -> Line {
    let mut bare = line.clone();
    bare.geometry.heights.draws.clear();
    bare
}
