//! What pressure gauges say: each reading held against what the line computes, and what could explain the difference.
//!
//! A shut gauge checks the drop, or shows air that stands. A running gauge shows the real loss. One reading never tells one cause from another:
//! causes are ranked only when readings outnumber the groups of causes that the readings could tell apart.

use super::case_model::CaseModel;
use super::explanation::{AirLeg, Explanation, GaugeCause, GaugeReading};
use super::run::wishes;
use super::{Conditions, Run, causes};
use crate::line::{CaseWish, Gauge, Geometry, Line, Measured, Running};
use crate::numeric::math;
use crate::numeric::series::last;

/// What the gauges say together.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Gauges {
    /// Each reading that could be used, in the order of the line's gauges.
    pub readings: Vec<GaugeReading>,
    /// Readings that could not be used, and why.
    pub unused: Vec<(usize, Unused)>,
    /// What could explain the differences, the best fit first; empty where every reading agrees.
    pub explanations: Vec<Explanation>,
    /// The readings suffice to tell the causes apart, so the order of the explanations means something.
    pub ranked: bool,
    /// The reading that would tell most next; `None` where all agree and both a shut and a running reading stand.
    pub next: Option<NextReading>,
}

impl Gauges {
    /// Whether every reading lies within twice its doubt of what was computed.
    pub fn agree(&self) -> bool {
        self.readings.iter().all(|r| r.agrees)
    }
}

/// Why a reading cannot be used.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Unused {
    /// No such state.
    NoSuchState,
    /// The state could not be worked out.
    NotRun,
    /// The line does not run full in that state: a gauge then shows where the column stands, not a loss.
    NotFull,
}

/// What to read next.
#[derive(Debug, Clone, PartialEq)]
pub enum NextReading {
    /// Shut at the turbine, with the pipe full and the valve at the top open.
    ShutAtTurbine,
    /// Running, with the flow measured.
    RunningWithFlow,
    /// The same state again, with the flow measured.
    MeasureFlow,
    /// Another number of jets, with the flow measured.
    AnotherFlow,
    /// The same state at another station, about half the loss up.
    AnotherStation {
        /// Where, m.
        station_m: f64,
    },
    /// Shut again, after letting the air out at these stations.
    AfterBleeding {
        /// Where, m.
        stations_m: Vec<f64>,
    },
    /// Shut again with another gauge.
    SecondGauge,
}

/// Holds the line's gauges against the line. `legs`: where air may stand, from the intake down. `None` where no gauge was read.
pub fn gauges(line: &Line, legs: &[AirLeg]) -> Option<Gauges> {
    if line.measured.gauges.is_empty() {
        return None;
    }
    let all = wishes(line.outlet.as_ref(), &line.wishes);
    let conditions = Conditions::usual(&line.environment);
    let mut readings = Vec::new();
    let mut unused = Vec::new();
    for (index, gauge) in line.measured.gauges.iter().enumerate() {
        match read(line, &all, &conditions, index, gauge) {
            Ok(r) => readings.push(r),
            Err(why) => unused.push((index, why)),
        }
    }
    let agree = readings.iter().all(|r| r.agrees);
    let (explanations, ranked) = if agree {
        (Vec::new(), false)
    } else {
        causes::explain(line, legs, &readings)
    };
    let next = next_reading(
        &line.geometry,
        &line.measured,
        legs,
        &readings,
        &explanations,
    );
    Some(Gauges {
        readings,
        unused,
        explanations,
        ranked,
        next,
    })
}

fn read(
    line: &Line,
    all: &[CaseWish],
    conditions: &Conditions,
    index: usize,
    gauge: &Gauge,
) -> Result<GaugeReading, Unused> {
    let of = all.iter().find(|w| w.state == gauge.state);
    let mut wish = of.ok_or(Unused::NoSuchState)?.clone();
    let run_of = |wish: &CaseWish| {
        let run = super::run_under(line, wish, conditions).map_err(|_| Unused::NotRun)?;
        if run.limited.is_some() {
            Err(Unused::NotFull)
        } else {
            Ok(run)
        }
    };
    let mut run = run_of(&wish)?;
    let computed = flow_at(&run, gauge.station_m);
    if let (Some(flow), true) = (gauge.flow_m3_per_s, run.flows()) {
        wish.running = Running::Flow(flow);
        run = run_of(&wish)?;
    }
    let weight = run.water.density_kg_per_m3 * line.environment.situation.gravity_m_per_s2;
    let case = CaseModel::of(line, &wish, conditions).map_err(|_| Unused::NotRun)?;
    let head_at = |flow: f64| {
        let profile = case.conduit.profile(flow, &[gauge.station_m]);
        (last(&profile.above_m), last(&profile.speed_above_m))
    };
    let (loss, speed) = head_at(run.flow_m3_per_s);
    let dial_m = line.geometry.elevation_m(gauge.station_m) + gauge.height_m;
    let expected_m = case.level_m - loss - speed - dial_m;
    let off_m = gauge.pressure_pa / weight - expected_m;
    let by_flow = gauge.flow_sd_m3_per_s.map_or(0.0, |sd| {
        let (up, v) = head_at(run.flow_m3_per_s + sd);
        up + v - loss - speed
    });
    // the law's and the bore's share of the loss: a bore counts five times
    let by_law =
        loss * (math::powi(super::FRICTION_SD, 2) + math::powi(5.0 * super::BORE_SD, 2)).sqrt();
    let noise_sd_m = root_sum(&[gauge.pressure_sd_pa / weight, by_flow, by_law]);
    let off_sd_m = root_sum(&[noise_sd_m, line.geometry.heights.drop_sd_m]);
    let measured = gauge.flow_m3_per_s.is_some() && run.flows();
    Ok(GaugeReading {
        gauge: index,
        shut: !run.flows(),
        expected_pa: weight * expected_m,
        off_m,
        off_sd_m,
        noise_sd_m,
        agrees: off_m.abs() <= 2.0 * off_sd_m,
        loss_m: loss - off_m,
        loss_expected_m: loss,
        flow_m3_per_s: flow_at(&run, gauge.station_m),
        flow_measured: measured,
        flow_expected_m3_per_s: computed,
    })
}

fn flow_at(run: &Run, station_m: f64) -> f64 {
    run.stretch_at(station_m)
        .map_or(run.flow_m3_per_s, |s| s.flow_m3_per_s)
}

pub(super) fn root_sum(parts: &[f64]) -> f64 {
    parts.iter().map(|p| p * p).sum::<f64>().sqrt()
}

fn next_reading(
    geometry: &Geometry,
    measured: &Measured,
    legs: &[AirLeg],
    readings: &[GaugeReading],
    explanations: &[Explanation],
) -> Option<NextReading> {
    let shut: Vec<&GaugeReading> = readings.iter().filter(|r| r.shut).collect();
    let running: Vec<&GaugeReading> = readings.iter().filter(|r| !r.shut).collect();
    if shut.is_empty() {
        return Some(NextReading::ShutAtTurbine);
    }
    if shut.iter().any(|r| !r.agrees) {
        let air = explanations
            .iter()
            .any(|e| e.cause == GaugeCause::StandingAir && e.fit > 0.1);
        return Some(if air {
            NextReading::AfterBleeding {
                stations_m: legs.iter().map(|l| l.crest_m).collect(),
            }
        } else {
            NextReading::SecondGauge
        });
    }
    if running.is_empty() {
        return Some(NextReading::RunningWithFlow);
    }
    if running.iter().all(|r| r.agrees) {
        return None;
    }
    if running.iter().any(|r| !r.flow_measured) {
        return Some(NextReading::MeasureFlow);
    }
    let flows: Vec<f64> = running.iter().map(|r| r.flow_m3_per_s).collect();
    let least = flows.iter().copied().fold(f64::INFINITY, f64::min);
    let most = flows.iter().copied().fold(0.0, f64::max);
    if most < 1.2 * least {
        return Some(NextReading::AnotherFlow);
    }
    let read_at = running.iter().filter_map(|r| measured.gauges.get(r.gauge));
    let station_m = read_at
        .map(|g| g.station_m)
        .fold(geometry.length_m(), f64::min);
    Some(NextReading::AnotherStation {
        station_m: station_m / 2.0,
    })
}
