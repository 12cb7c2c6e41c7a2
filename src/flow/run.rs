//! Running states: which there are, and each worked out.

use super::case_model::{CaseModel, Solution};
use super::conduit::Conduit;
use super::demand::Demand;
use super::friction::SAME_M;
use super::limit::FlowProfile;
use super::table::EnergyLine;
use super::{
    Cases, Conditions, LimitedBy, NotRun, Run, WhyNot, demand, doubt, hazen, remedy, silt, suction,
    table,
};
use crate::line::{AirFor, CaseWish, Discharge, Line, Outlet, Wishes};

/// Every running state of a line: "shut"; each number of jets in their order and "all jets", or "running" at a fixed flow; the user's cases.
pub fn cases(line: &Line) -> Cases {
    let mut out = Cases::default();
    for wish in wishes(line.outlet.as_ref(), &line.wishes) {
        match run(line, &wish) {
            Ok(run) => out.runs.push(run),
            Err(not) => out.not_run.push(not),
        }
    }
    out
}

/// The states that [`cases`] works out.
pub fn wishes(outlet: Option<&Outlet>, wishes: &Wishes) -> Vec<CaseWish> {
    // a state of the plant itself that the user declares anew is what they say it is
    let own = Discharge::states(outlet.map(|o| &o.how))
        .into_iter()
        .filter(|(state, _)| wishes.cases.iter().all(|c| c.state != *state))
        .map(|(state, running)| CaseWish::usual(state, running));
    own.chain(wishes.cases.iter().cloned()).collect()
}

/// One running state with its doubts, at the line's usual water, the pipe new; its slimed figures, what silt does and the older law stand beside.
pub fn run(line: &Line, wish: &CaseWish) -> Result<Run, NotRun> {
    let conditions = Conditions::usual(&line.environment);
    let mut out = run_under(line, wish, &conditions)?;
    doubt::propagate_uncertainty(line, wish, &conditions, &mut out);
    out.silt = silt::carrying(&out);
    out.by_hazen = hazen::beside(&line.reaches, &line.environment, &out);
    Ok(out)
}

/// One running state under stated conditions, without its doubts.
pub fn run_under(line: &Line, wish: &CaseWish, conditions: &Conditions) -> Result<Run, NotRun> {
    let not = |why| NotRun {
        state: wish.state.clone(),
        why,
    };
    let case = CaseModel::of(line, wish, conditions).map_err(not)?;
    case.settle().map_err(not)
}

/// Elevation of the grade line, m, at rising stations when so much flows at the turbine in a pipe that is full and holds no air, each on its upper side.
pub fn full_grade_line_m(
    line: &Line,
    wish: &CaseWish,
    flow_m3_per_s: f64,
    stations_m: &[f64],
) -> Result<Vec<f64>, WhyNot> {
    let conditions = Conditions::usual(&line.environment);
    let case = CaseModel::of(line, wish, &conditions)?;
    let profile = case.conduit.profile(flow_m3_per_s, stations_m);
    Ok(profile
        .above_m
        .iter()
        .zip(&profile.speed_above_m)
        .map(|(loss, speed)| case.level_m - loss - speed)
        .collect())
}

/// Less than this between the still water and the nozzles is none, m: no survey knows it, and rounding must not decide whether anything runs.
const LEAST_HEAD_M: f64 = 1e-3;

impl<'a> CaseModel<'a> {
    pub(super) fn of(
        line: &'a Line,
        wish: &'a CaseWish,
        conditions: &'a Conditions,
    ) -> Result<Self, WhyNot> {
        let demand = Demand::of(line.outlet.as_ref(), wish)?;
        let conduit = Conduit::of(line, wish, conditions)?;
        let level_m = line.intake.water_level_m(wish.level);
        let gross_head_m = level_m - line.nozzle_elevation_m();
        if demand != Demand::Shut && gross_head_m <= LEAST_HEAD_M {
            return Err(WhyNot::NoHead { gross_head_m });
        }
        let boiling_m = suction::vapour_head_m(
            line.environment.situation.air_pa(AirFor::Hanging),
            &conditions.water,
            line.environment.situation.gravity_m_per_s2,
        );
        let stations_m = stations(line, &conduit);
        let pipe_m = stations_m
            .iter()
            .map(|&s| line.geometry.elevation_m(s))
            .collect();
        let working_m = suction::working_limits_m(line, &stations_m, boiling_m);
        Ok(Self {
            line,
            wish,
            conditions,
            conduit,
            demand,
            level_m,
            gross_head_m,
            stations_m,
            pipe_m,
            working_m,
            boiling_m,
            stream_counts: true,
        })
    }

    pub(super) fn slope(&self, area_m2: f64) -> FlowProfile<'_> {
        FlowProfile {
            conduit: &self.conduit,
            stations_m: &self.stations_m,
            pipe_m: &self.pipe_m,
            working_m: &self.working_m,
            level_m: self.level_m,
            nozzle_m: self.level_m - self.gross_head_m,
            area_m2,
        }
    }

    /// Flow of a full, airtight line and the area that passes it.
    pub(super) fn sealed(&self) -> Result<(f64, f64), WhyNot> {
        let g = self.conduit.gravity_m_per_s2;
        match &self.demand {
            Demand::Shut => Ok((0.0, 0.0)),
            Demand::Jets(indexes) => {
                let area = demand::nozzle_area_m2(self.line.outlet.as_ref(), indexes);
                let flow = demand::full_flow_m3_per_s(&self.conduit, self.gross_head_m, area)?;
                Ok((flow, area))
            }
            Demand::Flow(asked) => {
                let head = self.gross_head_m - self.conduit.loss_m(*asked);
                if head <= 0.0 {
                    return Err(WhyNot::TooMuch {
                        asked_m3_per_s: *asked,
                        most_m3_per_s: demand::open_flow_m3_per_s(
                            &self.conduit,
                            self.gross_head_m,
                        )?,
                    });
                }
                // a machine whose law is not known is taken as a nozzle that passes its flow at its running head
                Ok((*asked, asked / (2.0 * g * head).sqrt()))
            }
        }
    }

    pub(super) fn answer(&self) -> Result<Solution, WhyNot> {
        let (sealed, area_m2) = self.sealed()?;
        let slope = self.slope(area_m2);
        let profile = self.conduit.profile(sealed, &self.stations_m);
        let gauge = slope.gauge_m(&profile, self.level_m);
        let given = self.given_by_stream();
        let starved = given.is_some_and(|g| g < sealed);
        let mut out = Solution {
            flow_m3_per_s: sealed,
            sealed_m3_per_s: sealed,
            area_m2,
            broken: None,
        };
        let shut = self.demand == Demand::Shut;
        if slope.holds(&gauge) && (shut || !starved) {
            return Ok(out);
        }
        let broken = if shut {
            slope.parted(&gauge)
        } else {
            slope.broken(sealed, given)?
        };
        out.flow_m3_per_s = broken.flow_m3_per_s;
        let by = if !shut && starved && given.is_some_and(|g| g <= broken.flow_m3_per_s) {
            LimitedBy::Stream
        } else if gauge.iter().any(|&g| g < self.boiling_m) {
            LimitedBy::Boiling
        } else {
            LimitedBy::Crest
        };
        out.broken = Some((by, broken));
        Ok(out)
    }

    /// Total head at the nozzles above their axis, m: in a broken line what the jets take to pass the flow, in a full one what is left of the gross head.
    pub(super) fn net_head_m(&self, answer: &Solution) -> f64 {
        if answer.broken.is_some() && answer.area_m2 > 0.0 {
            let g = self.conduit.gravity_m_per_s2;
            demand::jet_head_m(answer.flow_m3_per_s, answer.area_m2, g)
        } else {
            self.gross_head_m - self.conduit.loss_m(answer.flow_m3_per_s)
        }
    }

    /// The most the stream gives at the turbine, m3/s: its best month less what must stay and what is taken off on the way.
    fn given_by_stream(&self) -> Option<f64> {
        let stream = self
            .line
            .environment
            .stream
            .as_ref()
            .filter(|_| self.stream_counts)?;
        let best = stream.flow_m3_per_s.iter().copied().fold(0.0, f64::max);
        Some(best - stream.leave_m3_per_s - self.conduit.taken_off_m3_per_s())
    }

    fn settle(&self) -> Result<Run, WhyNot> {
        let answer = self.answer()?;
        let heads = EnergyLine::of(self, &answer);
        let mut run = table::lay_out(self, &answer, &heads);
        if let Some((by, broken)) = &answer.broken {
            run.limited = Some(remedy::limited(self, &answer, *by, broken));
        }
        Ok(run)
    }
}

/// The grid with the stations of vents, ends of pipes, steps and taps among it.
fn stations(line: &Line, conduit: &Conduit) -> Vec<f64> {
    let length = line.geometry.length_m();
    let mut out = line.geometry.heights.station_m.clone();
    out.extend(conduit.channels.iter().map(|c| c.to_m));
    out.extend(conduit.steps.iter().map(|p| p.step.station_m));
    out.extend(suction::open_vents(line).map(|s| s.station_m));
    out.retain(|s| (0.0..=length).contains(s));
    out.sort_by(f64::total_cmp);
    // the grid's own stations stay: of two that are one, the first
    out.dedup_by(|b, a| *b - *a < SAME_M);
    out
}
