use super::places::PlaceFinder;
use super::{
    Assumed, CaseWish, Discharge, Fitting, Gauge, Jet, Movement, Mover, Outlet, Runaway, Running,
};
use crate::pipe::{FittingKind, Law, Machine, Often};
use crate::site::{self, CaseRuns, GaugeAt, Site, WaterWay};
use crate::text::Fault;

/// Discharge coefficient of a jet where none was said: a clean tapered nozzle, middle of the printed range 0.90 to 0.98.
const DISCHARGE: f64 = 0.95;

/// Velocity coefficient where none was said: good needle nozzles reach 0.97 to 0.98 (from memory).
const VELOCITY: f64 = 0.97;

/// What the water leaves by.
pub(super) fn outlet(site: &Site, assumed: &mut Vec<Assumed>) -> Option<Outlet> {
    let turbine = site.turbine.as_ref()?;
    let how = match &turbine.way {
        WaterWay::Flow(flow) => Discharge::Flow(*flow),
        WaterWay::Jets(jets) => {
            if jets.iter().any(|j| j.discharge_coefficient.is_none()) {
                assumed.push(Assumed::Discharge(DISCHARGE));
            }
            Discharge::Jets(jets.iter().map(jet).collect())
        }
    };
    Some(Outlet {
        how,
        nozzle_height_m: turbine.nozzle_height_m.unwrap_or(0.0),
        water_to_wire: turbine.water_to_wire,
    })
}

/// Time from the loss of the load to runaway where none was said, s: a small machine without a flywheel (common practice, no source).
const RUNS_AWAY_S: f64 = 1.0;

/// What the machine does when its load is gone; what was not said of it is taken by its kind.
pub(super) fn runaway(site: &Site, assumed: &mut Vec<Assumed>) -> Option<Runaway> {
    let turbine = site.turbine.as_ref()?;
    let said = turbine.runaway;
    let flow = match said.flow {
        Some(flow) => (flow, flow),
        None => {
            let by_kind = turbine.machine.runaway_flow();
            if by_kind.is_none() && turbine.machine == Machine::Other {
                assumed.push(Assumed::NoRunaway);
            }
            by_kind?
        }
    };
    if said.flow.is_none() || said.over_s.is_none() {
        assumed.push(Assumed::Runaway {
            machine: turbine.machine,
            flow,
            over_s: said.over_s.unwrap_or(RUNS_AWAY_S),
        });
    }
    Some(Runaway {
        machine: turbine.machine,
        flow,
        over_s: said.over_s.unwrap_or(RUNS_AWAY_S),
        closing_s: said.closing_s,
    })
}

fn jet(jet: &site::DeclaredJet) -> Jet {
    Jet {
        name: jet.name.clone(),
        nozzle_diameter_m: jet.nozzle_diameter_m,
        open: jet.open.unwrap_or(1.0),
        discharge_coefficient: jet.discharge_coefficient.unwrap_or(DISCHARGE),
        velocity_coefficient: jet.velocity_coefficient.unwrap_or(VELOCITY),
    }
}

/// The user's running states.
pub(super) fn cases(site: &Site, outlet: Option<&Outlet>) -> Vec<CaseWish> {
    let (_, everything) = Discharge::everything(outlet.map(|o| &o.how));
    site.cases
        .iter()
        .map(|case| CaseWish {
            state: case.state.value.clone(),
            running: match &case.runs {
                CaseRuns::All => everything.clone(),
                CaseRuns::Jets(jets) if jets.is_empty() => Running::Shut,
                CaseRuns::Jets(jets) => Running::Jets(jets.clone()),
                CaseRuns::Flow(flow) if *flow <= 0.0 => Running::Shut,
                CaseRuns::Flow(flow) => Running::Flow(*flow),
            },
            level: case.level,
            fittings_open: case
                .fittings_open
                .iter()
                .map(|(name, open)| (name.value.clone(), *open))
                .collect(),
            screen_blocked: case.screen_blocked,
        })
        .collect()
}

/// What a hand or a motor moves evenly, where nothing else is said: the stem of a gate or globe valve, the lever of a cock or flap, the spindle of a needle in a jet; the open area of a machine that is known by its flow alone.
///
/// Gate, cock and flap: Weisbach's experiments count travel and angle, as handbooks reprint them (from memory). Needle: the area that a cone leaves open in a round hole, 2 s - s2 of its stroke s, by geometry.
pub(crate) fn usual_law(of: &Mover, fittings: &[Fitting], outlet: Option<&Outlet>) -> Law {
    match of {
        Mover::Fitting(i) if fittings.get(*i).is_some_and(|f| f.kind.is_valve()) => Law::Stroke,
        Mover::Jets | Mover::OneJet
            if matches!(outlet.map(|o| &o.how), Some(Discharge::Jets(_))) =>
        {
            Law::Stroke
        }
        _ => Law::Area,
    }
}

/// The user's movements. `fitting_of` gives the place in the line's order of a fitting by its place in the site file.
pub(super) fn movements(
    site: &Site,
    outlet: Option<&Outlet>,
    fittings: &[Fitting],
    fitting_of: &[usize],
    faults: &mut Vec<Fault>,
) -> Vec<Movement> {
    let (everything, _) = Discharge::everything(outlet.map(|o| &o.how));
    let mut out = Vec::new();
    for movement in &site.movements {
        let of = match movement.of.value.clone() {
            Mover::Fitting(i) => {
                let valve = site.fittings.get(i).is_some_and(|f| {
                    f.kind.is_valve()
                        || matches!(f.kind, FittingKind::Other | FittingKind::CheckValve)
                });
                if !valve {
                    faults.push(
                        movement
                            .of
                            .fault("this fitting cannot be closed")
                            .expected("jets, one jet, or the name of a valve")
                            .advice("use a gate, ball, butterfly or globe valve"),
                    );
                    continue;
                }
                Mover::Fitting(fitting_of.get(i).copied().unwrap_or(i))
            }
            of => of,
        };
        out.push(Movement {
            name: movement.name.value.clone(),
            during: movement
                .during
                .as_ref()
                .map_or_else(|| everything.clone(), |d| d.value.clone()),
            from: movement.from,
            to: movement.to,
            over_s: movement.over_s,
            law: movement
                .law
                .unwrap_or_else(|| usual_law(&of, fittings, outlet)),
            of,
            often: movement.often.unwrap_or(Often::Routine),
        });
    }
    out
}

/// Share of a reading that a gauge of no stated limit may be off: an ordinary dial of class 2.5.
const UNSTATED_LIMIT: f64 = 0.025;

/// What gauges showed. A limit of +- is taken as an even chance between its ends (GUM, JCGM 100:2008, 4.3.7): sd = limit / sqrt 3.
pub(super) fn gauges(
    site: &Site,
    places: &PlaceFinder<'_>,
    assumed: &mut Vec<Assumed>,
    faults: &mut Vec<Fault>,
) -> Vec<Gauge> {
    let mut out = Vec::new();
    for gauge in &site.gauges {
        let station_m = match &gauge.at.value {
            GaugeAt::Turbine => places.length_m(),
            GaugeAt::Line(at) => match places.station_m(&gauge.at.clone().map(|_| at.clone())) {
                Ok(m) => m,
                Err(fault) => {
                    faults.push(fault);
                    continue;
                }
            },
        };
        let pressure_sd_pa = gauge.sd_pa.unwrap_or_else(|| {
            let limit = gauge.limit_pa.unwrap_or_else(|| {
                assumed.push(Assumed::GaugeLimit {
                    station_m,
                    share: UNSTATED_LIMIT,
                });
                UNSTATED_LIMIT * gauge.pressure_pa.abs()
            });
            limit / 3f64.sqrt()
        });
        out.push(Gauge {
            station_m,
            height_m: gauge.height_m.unwrap_or(0.0),
            state: gauge.state.value.clone(),
            pressure_pa: gauge.pressure_pa,
            pressure_sd_pa,
            flow_m3_per_s: gauge.flow_m3_per_s,
            flow_sd_m3_per_s: gauge
                .flow_sd_m3_per_s
                .or(gauge.flow_limit_m3_per_s.map(|l| l / 3f64.sqrt())),
        });
    }
    out
}
