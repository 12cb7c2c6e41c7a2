//! Vents: where, of what kind, how large, how high; and whether those that stand do their work.

use super::design::Design;
use super::gather::{below_m, serves};
use super::needs::{AirDemand, Needs, guard, inhales};
use super::orifice::trade_size_m;
use super::{Pocket, PocketCause, SiphonAir, Vent, VentFault, VentWhy};
use crate::line::{Appurtenance, Watch};
use crate::pipe::{Device, MarkKind, WorkingState};
use crate::profile::ClimbVerdict;

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

/// Two wishes nearer than this are for one place, m: one device serves them.
const ONE_PLACE_M: f64 = 2.0;

/// A bore this much under what was reckoned is enough: what is told is rounded, and no coefficient is known nearer.
const BORE_ENOUGH: f64 = 0.99;

/// A top this much too low is high enough, m: what is told is rounded.
const SAME_TOP_M: f64 = 5e-3;

/// Rounded up to the centimetre, m: what is told must be enough.
fn up_to_cm(height_m: f64) -> f64 {
    (height_m * 100.0 - 1e-6).ceil() / 100.0
}

/// A place where a vent is wanted.
struct VentPlace {
    station_m: f64,
    why: VentWhy,
    asked: AirDemand,
}

/// How far below a head valve its vent is set, m: close, clear of the valve's body.
const BELOW_VALVE_M: f64 = 0.5;

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
        for place in self.wanted() {
            if let Some(asked) = self.unmet(&place) {
                // a vent that stands there, or will once it is opened, lets the air out: this one only lets it in
                let only_in = AirDemand::by(place.why).out && !asked.out;
                let why = if only_in {
                    VentWhy::Collapse
                } else {
                    place.why
                };
                out.push(self.wanted_vent(&VentPlace {
                    asked,
                    why,
                    ..place
                }));
            }
        }
        out.sort_by(|a, b| a.station_m.total_cmp(&b.station_m).then(a.why.cmp(&b.why)));
        out
    }

    /// Where vents are wanted: each place once, with all that is asked of it and the most pressing reason.
    fn wanted(&self) -> Vec<VentPlace> {
        let mut out: Vec<VentPlace> = Vec::new();
        let mut add = |station_m: f64, why: VentWhy| {
            let near = |p: &&mut VentPlace| (p.station_m - station_m).abs() < ONE_PLACE_M;
            match out.iter_mut().find(near) {
                Some(place) => place.asked = place.asked.and(AirDemand::by(why)),
                None => out.push(VentPlace {
                    station_m,
                    why,
                    asked: AirDemand::by(why),
                }),
            }
        };
        if let Some(siphon) = self.siphon {
            let stands = self.line.stands.iter().any(|s| {
                s.kind == MarkKind::Vent && (s.station_m - siphon.station_m).abs() < ONE_PLACE_M
            });
            if !stands {
                add(siphon.station_m, VentWhy::Priming);
            }
        }
        // vents that do not bring the line to start are wanted for what gathers while it runs, not for the start
        if self.cure.starts {
            for &s in &self.cure.stations_m {
                add(s, VentWhy::Start);
            }
        }
        if self.cure.starts_unattended {
            for &s in &self.cure.unattended_m {
                add(s, VentWhy::StartUnattended);
            }
        }
        for pocket in self
            .pockets
            .iter()
            .filter(|p| p.why == PocketCause::BelowShutOff)
        {
            let head = self.line.geometry.at_the_intake(pocket.station_m);
            let why = if head {
                VentWhy::BelowHeadValve
            } else {
                VentWhy::BelowValve
            };
            add(self.below_m(pocket.station_m), why);
        }
        for &s in &self.given.to_live_m {
            add(s, VentWhy::Collapse);
        }
        // what gathers at the very end leaves by the jets; a siphon's crest is bled by hand, for an open vent there breaks it
        let end = self.line.geometry.length_m() - 1.0;
        let at_siphon = |p: &&Pocket| {
            let near = |s: &SiphonAir| (s.station_m - p.station_m).abs() < ONE_PLACE_M;
            self.siphon.is_some_and(near)
        };
        let gathers = |p: &&Pocket| p.station_m < end && !at_siphon(p);
        for pocket in self.pockets.iter().filter(gathers) {
            match pocket.why {
                PocketCause::Climb if self.is_certain(pocket) => {
                    add(pocket.station_m, VentWhy::Running);
                }
                PocketCause::Climb => add(pocket.station_m, VentWhy::Doubtful),
                PocketCause::LongRun => add(pocket.station_m, VentWhy::LongRun),
                _ => {}
            }
        }
        for place in &mut out {
            if place.why != VentWhy::Priming && guard(self.line, place.station_m).needs_air {
                place.asked.inward = true;
            }
        }
        out
    }

    /// A climb that the survey is sure of.
    fn is_certain(&self, pocket: &Pocket) -> bool {
        pocket.climb.is_none_or(|i| {
            self.profile
                .climbs
                .get(i)
                .is_none_or(|c| c.verdict == ClimbVerdict::Climbs)
        })
    }

    /// Where the vent below a shut-off is set: close below it, clear of its body; where the pipe is sucked at there, at the first place near enough where it is not.
    fn below_m(&self, valve_m: f64) -> f64 {
        let first_m = valve_m + BELOW_VALVE_M;
        let last_m = valve_m + below_m(&self.line.reaches);
        let grid = self.line.geometry.heights.station_m.iter().copied();
        std::iter::once(first_m)
            .chain(grid.filter(|s| *s > first_m && *s <= last_m))
            .find(|s| inhales(&self.line.geometry, &self.line.intake, self.runs, *s).is_empty())
            .unwrap_or(first_m)
    }

    /// What is asked of a place beyond what stands there, or will once it is set or opened; `None`: all of it is done.
    fn unmet(&self, place: &VentPlace) -> Option<AirDemand> {
        let by_hand = !inhales(
            &self.line.geometry,
            &self.line.intake,
            self.runs,
            place.station_m,
        )
        .is_empty();
        let pockets = self.pockets_of(place);
        let at: Vec<&Appurtenance> = self
            .line
            .stands
            .iter()
            .filter(|s| s.kind == MarkKind::Vent && self.serves(place, &pockets, s.station_m))
            .filter(|s| self.line.reaches.counts(s) || self.line.reaches.is_to_come(s))
            .collect();
        let device = |s: &&Appurtenance| s.device.unwrap_or(Device::HandCock);
        // where an open vent would draw air in, a cock is all that can stand
        let alone = |s: &&Appurtenance| !s.is_by_hand() || by_hand;
        let out = place.asked.out
            && !at
                .iter()
                .any(|s| device(s).lets_out() && (alone(s) || !place.asked.alone));
        let inward = place.asked.inward
            && !at
                .iter()
                .any(|s| device(s).lets_in() || (by_hand && s.is_by_hand()));
        (out || inward).then_some(AirDemand {
            out,
            inward,
            ..place.asked
        })
    }

    /// The pockets that a place is for: of the same crest, or below the same shut-off.
    fn pockets_of(&self, place: &VentPlace) -> Vec<&Pocket> {
        let of = |p: &&Pocket| match p.why {
            PocketCause::BelowShutOff => self.below_m(p.station_m) == place.station_m,
            PocketCause::Climb => p.station_m == place.station_m,
            _ => false,
        };
        self.pockets.iter().filter(of).collect()
    }

    /// Whether a vent at a station does its work for a place and its pockets: on the same crest, or near enough below the same shut-off.
    fn serves(&self, place: &VentPlace, pockets: &[&Pocket], station_m: f64) -> bool {
        (station_m - place.station_m).abs() < ONE_PLACE_M
            || pockets
                .iter()
                .any(|p| serves(&self.line.geometry, &self.line.reaches, p, station_m))
    }

    fn wanted_vent(&self, place: &VentPlace) -> Vent {
        let needs = self.needs(place.station_m);
        let top_m = self.top_m(place.station_m, true);
        let device = match (place.asked.out, place.asked.inward) {
            _ if place.why == VentWhy::Priming => Device::HandCock,
            _ if !needs.inhales.is_empty() => Device::HandCock,
            _ if top_m <= STAYED_M => Device::Standpipe,
            (false, true) => Device::VacuumValve,
            (true, true) => Device::CombinationValve,
            (_, false) => Device::AirValve,
        };
        let asked = place.asked;
        Vent {
            station_m: place.station_m,
            tolerance_m: self.tolerance_m(place.station_m),
            stands: None,
            why: place.why,
            device,
            bore_m: trade_size_m(needs.bore_m(asked)),
            top_m: (device == Device::Standpipe).then_some(top_m),
            isolating_cock: device.wants_cock(),
            out: asked.out.then_some(needs.out),
            inward: asked.inward.then_some(needs.inward),
            by_hand: device == Device::HandCock,
            inhales: needs.inhales,
            faults: Vec::new(),
            from_memory: true,
        }
    }

    fn standing(&self, index: usize, stand: &Appurtenance) -> Vent {
        let (why, asked) = self.asked_of(index, stand);
        let needs = self.needs(stand.station_m);
        let device = stand.device.unwrap_or(Device::HandCock);
        let faults = self.faults(stand, asked, &needs);
        Vent {
            station_m: stand.station_m,
            tolerance_m: self.line.geometry.station_sd_m,
            stands: Some(index),
            why,
            device,
            bore_m: stand
                .bore_m
                .unwrap_or_else(|| trade_size_m(needs.bore_m(asked))),
            top_m: stand.top_m,
            isolating_cock: device.wants_cock(),
            out: asked.out.then_some(needs.out),
            inward: asked.inward.then_some(needs.inward),
            by_hand: stand.is_by_hand(),
            inhales: needs.inhales,
            faults,
            from_memory: true,
        }
    }

    /// What is asked of the place where a vent stands, and the most pressing reason.
    fn asked_of(&self, index: usize, stand: &Appurtenance) -> (VentWhy, AirDemand) {
        if self
            .siphon
            .is_some_and(|s| (s.station_m - stand.station_m).abs() < ONE_PLACE_M)
        {
            return (VentWhy::Priming, AirDemand::by(VentWhy::Priming));
        }
        let at = |why: PocketCause| {
            self.pockets
                .iter()
                .filter(move |p| p.why == why)
                .find(|p| serves(&self.line.geometry, &self.line.reaches, p, stand.station_m))
        };
        let mut asked = AirDemand::default();
        let mut why = VentWhy::Stands;
        if guard(self.line, stand.station_m).needs_air {
            asked.inward = true;
            if stand.device.is_some_and(Device::lets_in) {
                why = VentWhy::Collapse;
            }
        }
        if let Some(crest) = at(PocketCause::Climb) {
            // another vent on the crest lets the air out already
            let other = crest.vented_by.iter().any(|i| *i != index);
            if !other || self.line.reaches.lets_out(stand, Watch::Attended) {
                asked = asked.and(AirDemand::by(VentWhy::Running));
            }
            if stand.device.is_none_or(Device::lets_out) {
                why = if crest.seals {
                    VentWhy::Start
                } else {
                    VentWhy::Running
                };
            }
        }
        if let Some(valve) = at(PocketCause::BelowShutOff) {
            asked.inward = true;
            if why != VentWhy::Start {
                why = if self.line.geometry.at_the_intake(valve.station_m) {
                    VentWhy::BelowHeadValve
                } else {
                    VentWhy::BelowValve
                };
            }
        }
        (why, asked)
    }

    fn faults(&self, stand: &Appurtenance, asked: AirDemand, needs: &Needs) -> Vec<VentFault> {
        let line = self.line;
        let mut out = Vec::new();
        if stand.state == WorkingState::Stuck {
            out.push(VentFault::Stuck);
        }
        if line.reaches.is_to_come(stand) {
            out.push(VentFault::ToCome);
        }
        let near = |s: &&Appurtenance| (s.station_m - stand.station_m).abs() < ONE_PLACE_M;
        let beside = || line.stands.iter().filter(|s| *s != stand).filter(near);
        let no_inlet = asked.inward && !beside().any(|s| line.reaches.lets_in(s));
        let no_outlet = asked.out && !beside().any(|s| line.reaches.lets_out(s, Watch::Attended));
        let cock_only = !needs.inhales.is_empty();
        match stand.device {
            // where an open vent would draw air in, a cock is what can stand
            None | Some(Device::HandCock) if (asked.alone || no_inlet) && !cock_only => {
                out.push(VentFault::ByHand);
            }
            Some(Device::VacuumValve) if no_outlet => out.push(VentFault::OnlyIn),
            Some(Device::AirValve) if no_inlet => out.push(VentFault::OnlyOut),
            _ => {}
        }
        if stand.is_shut_off() {
            out.push(VentFault::CockShut);
        }
        if stand.device == Some(Device::Standpipe) {
            let rises_m = self.top_m(stand.station_m, false);
            match stand.top_m {
                None => out.push(VentFault::TopUnknown),
                Some(top) if top < rises_m - SAME_TOP_M => out.push(VentFault::Spills {
                    over_m: rises_m - top,
                    raise_m: up_to_cm(rises_m + self.given.freeboard_m - top),
                }),
                Some(_) => {}
            }
        }
        let does = AirDemand {
            out: asked.out && stand.device.is_none_or(Device::lets_out),
            inward: asked.inward
                && (stand.device.is_some_and(Device::lets_in) || (cock_only && stand.is_by_hand())),
            ..asked
        };
        let bore_m = needs.bore_m(does);
        match stand.bore_m {
            None if does.out || does.inward => out.push(VentFault::BoreUnknown),
            Some(bore) if bore < BORE_ENOUGH * bore_m => {
                out.push(VentFault::BoreUnder(trade_size_m(bore_m)));
            }
            _ => {}
        }
        if line.reaches.draws_in(stand) && !needs.inhales.is_empty() {
            out.push(VentFault::Inhales(needs.inhales.clone()));
        }
        let leg = self.crests.iter().find(|c| {
            !c.vented
                && c.station_m < stand.station_m
                && stand.station_m <= c.next_low_station_m
                && line.reaches.lets_out(stand, Watch::Attended)
        });
        if let Some(crest) = leg {
            out.push(VentFault::BelowCrest(
                crest.height_m - line.geometry.elevation_m(stand.station_m),
            ));
        }
        out
    }

    /// Height that water can rise to above the pipe at a station, m: flood level and surge; with the freeboard for a new standpipe.
    fn top_m(&self, station_m: f64, with_freeboard: bool) -> f64 {
        let level_m = self.line.intake.flood_level_m.max(self.line.intake.level_m);
        let surge_m = crate::numeric::series::interpolate(
            &self.line.geometry.heights.station_m,
            &self.given.surge_rise_m,
            station_m,
        );
        standpipe_top_m(Riser {
            level_m,
            pipe_m: self.line.geometry.elevation_m(station_m),
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
            .max(self.line.geometry.station_sd_m)
            .max(0.5)
    }
}
