//! Vents: where, of what kind, how large, how high; and whether those that stand do their work.

use super::gather::{below_m, steepest_rad};
use super::judge::Given;
use super::lock::CrestState;
use super::orifice::{
    Across, FILLING_PA, Running, VACUUM_PA, burst_m3_per_s, smooth_m3_per_s, trade_size_m,
};
use super::{Cure, Filling, Gathers, Pocket, Siphon, Vent, VentFault, VentWhy};
use crate::capacity::{emptying_pa, full_vacuum_pa};
use crate::flow::Run;
use crate::line::{AirFor, Line, Stand, Watch};
use crate::numeric::math;
use crate::pipe::{Device, MarkKind, RunState, State};
use crate::profile::{Profile, Verdict};
use crate::unit::nature::water;

/// A standpipe higher than this is no longer easily stayed, m (common practice, no source): a valve then.
pub const STAYED_M: f64 = 7.0;

/// A standpipe on the line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Riser {
    /// Highest still water at the intake, m: in flood, not as usual.
    pub level_m: f64,
    /// Pipe's centre where it stands, m.
    pub pipe_m: f64,
    /// Rise of a surge there above the standing level, m.
    pub surge_rise_m: f64,
    /// Freeboard, m.
    pub freeboard_m: f64,
}

/// Height of a standpipe's top above the pipe, m: flood level, surge and freeboard over the pipe's centre.
pub fn standpipe_top_m(riser: Riser) -> f64 {
    (riser.level_m - riser.pipe_m).max(0.0) + riser.surge_rise_m.max(0.0) + riser.freeboard_m
}

/// Vents are not sized for less than this, Pa (own caution): pipe that cannot take it is not saved by a vent, and strength says so.
const LEAST_VACUUM_PA: f64 = 1_000.0;

/// How far below a head valve its vent is set, m: close, clear of the valve's body.
const BELOW_VALVE_M: f64 = 0.5;

/// What the vents of a line are judged with.
pub(super) struct Design<'a> {
    pub(super) line: &'a Line,
    pub(super) profile: &'a Profile,
    pub(super) runs: &'a [Run],
    pub(super) pockets: &'a [Pocket],
    pub(super) crests: &'a [CrestState],
    pub(super) siphon: Option<&'a Siphon>,
    pub(super) cure: &'a Cure,
    pub(super) filling: Filling,
    pub(super) given: &'a Given,
}

impl Design<'_> {
    /// Standing vents judged, wanted ones designed, in order from the intake.
    pub(super) fn vents(&self) -> Vec<Vent> {
        let mut out: Vec<Vent> = self
            .line
            .stands
            .iter()
            .enumerate()
            .filter(|(_, s)| s.kind == MarkKind::Vent)
            .map(|(i, s)| self.standing(i, s))
            .collect();
        for (station_m, why) in self.wanted() {
            out.push(self.wanted_vent(station_m, why));
        }
        out.sort_by(|a, b| a.station_m.total_cmp(&b.station_m).then(a.why.cmp(&b.why)));
        out
    }

    /// Where vents are wanted, each place once, for the most pressing reason.
    fn wanted(&self) -> Vec<(f64, VentWhy)> {
        let mut out: Vec<(f64, VentWhy)> = Vec::new();
        let mut add = |station_m: f64, why: VentWhy| {
            if !out.iter().any(|w| (w.0 - station_m).abs() < 2.0) {
                out.push((station_m, why));
            }
        };
        if let Some(siphon) = self.siphon {
            let stands =
                self.line.stands.iter().any(|s| {
                    s.kind == MarkKind::Vent && (s.station_m - siphon.station_m).abs() < 2.0
                });
            if !stands {
                add(siphon.station_m, VentWhy::Priming);
            }
        }
        for &s in &self.cure.stations_m {
            add(s, VentWhy::Start);
        }
        for &s in &self.cure.unattended_m {
            add(s, VentWhy::StartUnattended);
        }
        for pocket in self
            .pockets
            .iter()
            .filter(|p| p.why == Gathers::BelowShutOff)
        {
            if !self.air_comes_in_below(pocket.station_m) {
                let head = self.line.at_the_intake(pocket.station_m);
                let why = if head {
                    VentWhy::BelowHeadValve
                } else {
                    VentWhy::BelowValve
                };
                add(pocket.station_m + BELOW_VALVE_M, why);
            }
        }
        for &s in &self.given.to_live_m {
            add(s, VentWhy::Collapse);
        }
        // what gathers at the very end leaves by the jets
        let end = self.line.length_m() - 1.0;
        let open = |p: &&Pocket| p.vented_by.is_empty() && p.station_m < end;
        for pocket in self.pockets.iter().filter(open) {
            match pocket.why {
                Gathers::Climb => {
                    let certain = pocket.climb.is_none_or(|i| {
                        self.profile
                            .climbs
                            .get(i)
                            .is_none_or(|c| c.verdict == Verdict::Climbs)
                    });
                    let why = if certain {
                        VentWhy::Running
                    } else {
                        VentWhy::Doubtful
                    };
                    add(pocket.station_m, why);
                }
                Gathers::LongRun => add(pocket.station_m, VentWhy::LongRun),
                _ => {}
            }
        }
        out
    }

    /// Air gathers at a place, or must leave there for the line to start: what is set there has to let it out too.
    fn air_stays(&self, station_m: f64) -> bool {
        let near = |s: f64| (s - station_m).abs() < 2.0;
        let gathers =
            |p: &Pocket| matches!(p.why, Gathers::Climb | Gathers::LongRun) && near(p.station_m);
        self.pockets.iter().any(gathers)
            || self.cure.stations_m.iter().any(|s| near(*s))
            || self.cure.unattended_m.iter().any(|s| near(*s))
    }

    fn air_comes_in_below(&self, station_m: f64) -> bool {
        let reach = station_m - 0.1..=station_m + below_m(self.line);
        self.line
            .stands
            .iter()
            .any(|s| self.line.lets_in(s) && reach.contains(&s.station_m))
    }

    fn wanted_vent(&self, station_m: f64, why: VentWhy) -> Vent {
        let needs = self.needs(station_m, why);
        let top_m = self.top_m(station_m, true);
        let device = match why {
            VentWhy::Priming => Device::HandCock,
            _ if !needs.inhales.is_empty() => Device::HandCock,
            _ if top_m <= STAYED_M => Device::Standpipe,
            VentWhy::BelowHeadValve | VentWhy::BelowValve | VentWhy::Collapse
                if !self.air_stays(station_m) =>
            {
                Device::VacuumValve
            }
            _ if needs.guards => Device::CombinationValve,
            _ => Device::AirValve,
        };
        let bore_m = match device {
            Device::AirValve | Device::HandCock => needs.bore_out_m,
            Device::VacuumValve => needs.bore_in_m,
            Device::Standpipe | Device::CombinationValve if needs.guards => {
                needs.bore_out_m.max(needs.bore_in_m)
            }
            Device::Standpipe | Device::CombinationValve => needs.bore_out_m,
        };
        Vent {
            station_m,
            tolerance_m: self.tolerance_m(station_m),
            stands: None,
            why,
            device,
            bore_m: trade_size_m(bore_m),
            top_m: (device == Device::Standpipe).then_some(top_m),
            isolating_cock: device.wants_cock(),
            inhales: needs.inhales,
            out_m3_per_s: needs.out_m3_per_s,
            in_m3_per_s: needs.in_m3_per_s,
            vacuum_pa: needs.vacuum_pa,
            faults: Vec::new(),
            from_memory: true,
        }
    }

    fn standing(&self, index: usize, stand: &Stand) -> Vent {
        let why = self.why_it_stands(index, stand);
        let needs = self.needs(stand.station_m, why);
        let device = stand.device.unwrap_or(Device::HandCock);
        let faults = self.faults(stand, &needs);
        Vent {
            station_m: stand.station_m,
            tolerance_m: self.line.station_sd_m,
            stands: Some(index),
            why,
            device,
            bore_m: stand.bore_m.unwrap_or_else(|| {
                trade_size_m(if needs.guards {
                    needs.bore_out_m.max(needs.bore_in_m)
                } else {
                    needs.bore_out_m
                })
            }),
            top_m: stand.top_m,
            isolating_cock: device.wants_cock(),
            inhales: needs.inhales,
            out_m3_per_s: needs.out_m3_per_s,
            in_m3_per_s: needs.in_m3_per_s,
            vacuum_pa: needs.vacuum_pa,
            faults,
            from_memory: true,
        }
    }

    fn why_it_stands(&self, index: usize, stand: &Stand) -> VentWhy {
        let serves = |p: &&Pocket| p.vented_by.contains(&index) || p.by_hand.contains(&index);
        let near = |p: &&Pocket| {
            p.why == Gathers::BelowShutOff
                && (p.station_m - 0.1..=p.station_m + below_m(self.line)).contains(&stand.station_m)
        };
        let crest = self
            .pockets
            .iter()
            .filter(|p| p.why == Gathers::Climb)
            .find(serves);
        match (crest, self.pockets.iter().find(near)) {
            (Some(p), _) if p.seals => VentWhy::Start,
            (_, Some(p)) if self.line.at_the_intake(p.station_m) => VentWhy::BelowHeadValve,
            (_, Some(_)) => VentWhy::BelowValve,
            (Some(_), None) => VentWhy::Running,
            (None, None)
                if self.line.lets_in(stand) && guard(self.line, stand.station_m).needs_air =>
            {
                VentWhy::Collapse
            }
            (None, None) => VentWhy::Stands,
        }
    }

    fn faults(&self, stand: &Stand, needs: &Needs) -> Vec<VentFault> {
        let mut out = Vec::new();
        if stand.state == State::Stuck {
            out.push(VentFault::Stuck);
        }
        match stand.device {
            None | Some(Device::HandCock) => out.push(VentFault::ByHand),
            Some(Device::VacuumValve) => out.push(VentFault::OnlyIn),
            Some(Device::AirValve) if needs.guards => out.push(VentFault::OnlyOut),
            _ => {}
        }
        if stand.is_shut_off() {
            out.push(VentFault::CockShut);
        }
        if stand.device == Some(Device::Standpipe) {
            let rises_m = self.top_m(stand.station_m, false);
            match stand.top_m {
                None => out.push(VentFault::TopUnknown),
                Some(top) if top < rises_m => out.push(VentFault::SpillsBy(rises_m - top)),
                Some(_) => {}
            }
        }
        let bore_m = match stand.device {
            Some(Device::VacuumValve) => needs.bore_in_m,
            Some(Device::Standpipe | Device::CombinationValve) if needs.guards => {
                needs.bore_out_m.max(needs.bore_in_m)
            }
            _ => needs.bore_out_m,
        };
        match stand.bore_m {
            None => out.push(VentFault::BoreUnknown),
            Some(bore) if bore < bore_m - 1e-6 => out.push(VentFault::BoreUnder(bore_m)),
            Some(_) => {}
        }
        if self.line.draws_in(stand) && !needs.inhales.is_empty() {
            out.push(VentFault::Inhales(needs.inhales.clone()));
        }
        let leg = self.crests.iter().find(|c| {
            !c.vented
                && c.station_m < stand.station_m
                && stand.station_m <= c.next_low_station_m
                && self.line.lets_out(stand, Watch::Attended)
        });
        if let Some(crest) = leg {
            out.push(VentFault::BelowCrest(
                crest.height_m - self.line.elevation_m(stand.station_m),
            ));
        }
        out
    }

    /// Height that water can rise to above the pipe at a station, m: flood level and surge; with the freeboard for a new standpipe.
    fn top_m(&self, station_m: f64, with_freeboard: bool) -> f64 {
        let level_m = self.line.intake.flood_level_m.max(self.line.intake.level_m);
        let surge_m = crate::route::interpolate(
            &self.line.heights.station_m,
            &self.given.surge_rise_m,
            station_m,
        );
        standpipe_top_m(Riser {
            level_m,
            pipe_m: self.line.elevation_m(station_m),
            surge_rise_m: surge_m,
            freeboard_m: if with_freeboard {
                self.given.freeboard_m
            } else {
                0.0
            },
        })
    }

    fn tolerance_m(&self, station_m: f64) -> f64 {
        self.profile
            .climbs
            .iter()
            .find(|c| (c.crest_from_m..=c.crest_to_m).contains(&station_m))
            .map_or(0.5, |c| 0.5 * (c.crest_to_m - c.crest_from_m))
            .max(self.line.station_sd_m)
            .max(0.5)
    }

    fn needs(&self, station_m: f64, why: VentWhy) -> Needs {
        let line = self.line;
        let out_m3_per_s = self.filling.flow_m3_per_s;
        let running = self
            .runs
            .iter()
            .map(|r| r.flow_m3_per_s)
            .fold(0.0, f64::max);
        let bursts = burst_below_m3_per_s(line, station_m);
        let in_m3_per_s = running.max(bursts);
        let weakest = guard(line, station_m);
        let vacuum_pa = weakest.vacuum_pa.clamp(LEAST_VACUUM_PA, VACUUM_PA);
        let always = matches!(
            why,
            VentWhy::BelowHeadValve | VentWhy::BelowValve | VentWhy::Collapse
        );
        Needs {
            out_m3_per_s,
            in_m3_per_s,
            vacuum_pa,
            guards: always || weakest.needs_air,
            bore_out_m: Across::outward(line.situation.air_pa(AirFor::Passing), FILLING_PA)
                .bore_for_m(out_m3_per_s),
            bore_in_m: Across::inward(line.situation.air_pa(AirFor::Passing), vacuum_pa)
                .bore_for_m(in_m3_per_s),
            inhales: inhales(line, self.runs, station_m),
        }
    }
}

struct Needs {
    out_m3_per_s: f64,
    in_m3_per_s: f64,
    vacuum_pa: f64,
    /// It must also let air in, or the pipe there could be pressed flat or suck in its joints.
    guards: bool,
    bore_out_m: f64,
    bore_in_m: f64,
    inhales: Vec<RunState>,
}

/// What the pipe below a station stands of suction while it empties from there.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct Guard {
    /// Vacuum that may be let come, Pa: what the weakest pipe and joint down to the next low may take.
    pub(super) vacuum_pa: f64,
    /// The deepest vacuum that draining can make on the way is more than that there.
    pub(super) needs_air: bool,
}

/// Suction below a station: the pipe empties there with no air let in; judged down to the next low, where the water seals it.
pub(super) fn guard(line: &Line, station_m: f64) -> Guard {
    let weight = super::course::weight_n_per_m3(line);
    let full_pa = full_vacuum_pa(line);
    let lowest_m = line.next_low_m(station_m);
    let bottom_m = line.elevation_m(lowest_m);
    let inside = line.heights.station_m.iter().copied();
    std::iter::once(station_m)
        .chain(inside.filter(|s| *s > station_m && *s < lowest_m))
        .filter_map(|s| {
            let reach = line.reach_at(s).filter(|r| r.pipe.wall_m > 0.0)?;
            let vacuum_pa = emptying_pa(line, reach, s);
            let hangs_pa = (line.elevation_m(s) - bottom_m).max(0.0) * weight;
            Some(Guard {
                vacuum_pa,
                needs_air: vacuum_pa < hangs_pa.min(full_pa),
            })
        })
        .reduce(|a, b| Guard {
            vacuum_pa: a.vacuum_pa.min(b.vacuum_pa),
            needs_air: a.needs_air || b.needs_air,
        })
        .unwrap_or(Guard {
            vacuum_pa: full_pa,
            needs_air: false,
        })
}

/// Water that a burst below a station lets out, m3/s: the pipe of the steepest stretch below it, full at its own slope.
fn burst_below_m3_per_s(line: &Line, station_m: f64) -> f64 {
    let cold = water(line.water.usual_c);
    line.reaches
        .iter()
        .filter(|r| r.to_m > station_m)
        .map(|r| {
            let fall = math::sin(steepest_rad(line, r.from_m.max(station_m), r.to_m));
            let bore_m = r.pipe.inner_diameter_m;
            burst_m3_per_s(bore_m, fall).max(smooth_m3_per_s(Running {
                bore_m,
                fall,
                roughness_m: r.pipe.roughness_m,
                viscosity_m2_per_s: cold.kinematic_viscosity_m2_per_s(),
                gravity_m_per_s2: line.situation.gravity_m_per_s2,
            }))
        })
        .fold(0.0, f64::max)
}

/// Cases in which an open vent at a station would draw air in: the grade line stands below the pipe, or the pipe runs part-full there.
pub(super) fn inhales(line: &Line, runs: &[Run], station_m: f64) -> Vec<RunState> {
    let stations = &line.heights.station_m;
    runs.iter()
        .filter(|r| r.flows())
        .filter(|run| {
            let pressures: Vec<f64> = run.points.iter().map(|p| p.pressure_pa).collect();
            let below = run
                .points
                .iter()
                .rfind(|p| p.station_m <= station_m)
                .is_some_and(|p| p.part_full);
            below || crate::route::interpolate(stations, &pressures, station_m) < -1.0
        })
        .map(|r| r.state().clone())
        .collect()
}

impl Line {
    /// The next low below a station, m: where the pipe has fallen to before it climbs by more than half its bore again.
    fn next_low_m(&self, station_m: f64) -> f64 {
        let half_bore_m = self
            .reach_at(station_m)
            .map_or(0.0, |r| 0.5 * r.pipe.inner_diameter_m);
        let mut low = (station_m, self.elevation_m(station_m));
        for (s, z) in self.heights.station_m.iter().zip(&self.heights.mean_m) {
            if *s <= station_m {
                continue;
            }
            if *z > low.1 + half_bore_m {
                break;
            }
            if *z <= low.1 {
                low = (*s, *z);
            }
        }
        low.0
    }
}
