//! Whole running states: the row's pipe is built as a line and run as the program runs it.

use super::{nature, si};
use crate::ledger::{Answer, Checker, Inputs};
use steadyfall::flow::{self, Conditions, Largest, Run};
use steadyfall::line::{CaseWish, Discharge, Fitting, Jet, Line, Outlet, Reach, Running};
use steadyfall::numeric::{Bracket, root};
use steadyfall::pipe::{FittingKind, Pipe, RunState};
use steadyfall::unit::physics::{WaterProperties, water};

/// A checker that takes one figure out of a run.
macro_rules! state {
    ($figure:literal, $take:expr) => {
        Checker {
            quantity: concat!("running state: ", $figure),
            of: "flow::run_under",
            work: |i| {
                let take: fn(&Run, &Line) -> f64 = $take;
                let (line, run) = run(i)?;
                answer(i, take(&run, &line))
            },
        }
    };
}

/// A checker that takes one figure out of the largest power.
macro_rules! largest {
    ($figure:literal, $take:expr) => {
        Checker {
            quantity: concat!("largest power: ", $figure),
            of: "flow::largest_under",
            work: |i| {
                let take: fn(&Largest, f64) -> f64 = $take;
                let line = line(i)?;
                let found = flow::largest_under(&line, &conditions(i)?).map_err(debug)?;
                answer(i, take(&found, i.number("cv")?))
            },
        }
    };
}

pub fn checkers() -> Vec<Checker> {
    vec![
        state!("flow", |r, _| r.flow_m3_per_s),
        state!("net head", |r, _| r.net_head_m),
        state!("loss", |r, _| r.losses.total_m()),
        state!("loss share", |r, _| r.loss_share()),
        state!("friction", |r, _| r.losses.friction_m),
        state!("friction pressure", |r, line| r.losses.friction_m
            * r.water.density_kg_per_m3
            * line.environment.situation.gravity_m_per_s2),
        state!("pressure", |r, _| r.pressure_turbine_pa),
        state!("velocity", |r, line| r
            .velocity_m_per_s(line.geometry.length_m())),
        state!("jet speed", |r, _| r.jets[0].speed_m_per_s),
        state!("water power", |r, _| r.water_power_w),
        state!("jet power", |r, _| r.jet_power_w.unwrap()),
        Checker {
            quantity: "running state: friction factor",
            of: "flow::run_under",
            work: |i| {
                let run = run(i)?.1;
                let pipe = i.number_or("pipe", 1.0)? as usize - 1;
                Ok(run.stretches[pipe].friction_factor.into())
            },
        },
        largest!("loss share", |l, _| l.loss_share),
        largest!("nozzle", |l, _| l.nozzle_diameter_m.unwrap()),
        largest!("jet power", |l, cv| l.water_power_w * cv * cv),
        Checker {
            quantity: "bore for a loss",
            of: "flow::run_under",
            work: bore_for_a_loss,
        },
        Checker {
            quantity: "gauge head at a point",
            of: "flow::run_under",
            work: |i| gauge_head(i).map(Into::into),
        },
        Checker {
            quantity: "margin to boiling at a point",
            of: "flow::suction::vapour_head_m",
            work: |i| Ok((gauge_head(i)? - nature::boiling(i)?).into()),
        },
    ]
}

fn debug(e: impl std::fmt::Debug) -> String {
    format!("{e:?}")
}

fn answer(i: &Inputs, value: f64) -> Result<Answer, String> {
    Ok((value / si(i.word("answer")?)?).into())
}

fn pipe(bore_m: f64, i: &Inputs) -> Result<Pipe, String> {
    let mut pipe = steadyfall::pipe::find("PE100 SDR11 90").map_err(debug)?;
    pipe.inner_diameter_m = bore_m;
    pipe.roughness_m = i.number("roughness_m")?;
    pipe.roughness_old_m = pipe.roughness_m;
    pipe.friction_factor = i.number("factor").ok();
    Ok(pipe)
}

/// The row's water: density, viscosity; the rest does not enter.
fn conditions(i: &Inputs) -> Result<Conditions, String> {
    let density = i.number_or("rho", 999.7)?;
    let base = water(10.0);
    Ok(Conditions {
        water: WaterProperties {
            density_kg_per_m3: density,
            viscosity_pa_s: i.number_or("nu", 1.3063e-6)? * density,
            ..base
        },
        slime: 0.0,
        bore_share: 1.0,
        friction_share: 1.0,
        standing_air: Vec::new(),
    })
}

/// The row's pipes one after another, level under still water as high as the gross head; all losses of the mouth and of fittings as they are summed in the row.
fn line(i: &Inputs) -> Result<Line, String> {
    let lengths = i.numbers("lengths_m")?;
    let bores = i.numbers("bores_m")?;
    let length: f64 = lengths.iter().sum();
    let gross = i.number("gross_m")?;
    let mut line = Line::plain(&[(0.0, 0.0), (length, 0.0)], &pipe(bores[0], i)?);
    line.intake.level_m = gross;
    line.environment.situation.gravity_m_per_s2 = i.number_or("g", 9.806_65)?;
    line.reaches.clear();
    let mut from = 0.0;
    for (length, bore) in lengths.iter().zip(&bores) {
        line.reaches
            .push(Reach::of(pipe(*bore, i)?, from, from + length));
        from += length;
    }
    line.intake.entrance_k = Some(i.number_or("k", 0.0)?);
    if let Ok(ks) = i.numbers("ks") {
        // a loss for each pipe, the change of bore within the lower one's
        line.intake.entrance_k = Some(ks[0]);
        let at = line.reaches[1].from_m;
        let mut reducer = fitting(FittingKind::Reducer, at);
        // the user's k stands on the bore at its station: the upper one, so just below it
        reducer.station_m = at + 0.001;
        reducer.k = Some(ks[1]);
        line.fittings.push(reducer);
    }
    if let Ok(bore) = i.number("ball_valve_bore_m") {
        let mut valve = fitting(FittingKind::BallValve, length / 2.0);
        valve.bore_m = Some(bore);
        line.fittings.push(valve);
    }
    if let Ok(count) = i.number("nozzles") {
        let jet = Jet {
            name: "it".to_owned(),
            nozzle_diameter_m: i.number("nozzle_m")?,
            open: 1.0,
            discharge_coefficient: i.number("cd")?,
            velocity_coefficient: i.number("cv")?,
        };
        line.outlet = Some(Outlet {
            how: Discharge::Jets(vec![jet; count as usize]),
            nozzle_height_m: 0.0,
            water_to_wire: None,
        });
    }
    Ok(line)
}

fn fitting(kind: FittingKind, station_m: f64) -> Fitting {
    Fitting {
        station_m,
        kind,
        name: "it".to_owned(),
        k: None,
        open: 1.0,
        angle_rad: None,
        in_plan: None,
        bore_m: None,
        rating_pa: None,
    }
}

fn run(i: &Inputs) -> Result<(Line, Run), String> {
    let line = line(i)?;
    let running = match (i.number("flow_m3_per_s"), &line.outlet) {
        (Ok(flow), _) => Running::Flow(flow),
        (_, Some(_)) => Running::Jets((0..i.number("nozzles")? as usize).collect()),
        _ => return Err("neither flow nor nozzles".to_owned()),
    };
    let run = flow::run_under(&line, &wish(running), &conditions(i)?).map_err(debug)?;
    Ok((line, run))
}

fn wish(running: Running) -> CaseWish {
    CaseWish::usual(RunState::Case("row".to_owned()), running)
}

fn bore_for_a_loss(i: &Inputs) -> Result<Answer, String> {
    let conditions = conditions(i)?;
    let (length, flow) = (i.number("lengths_m")?, i.number("flow_m3_per_s")?);
    let off = |bore: f64| {
        let mut line = Line::plain(&[(0.0, 0.0), (length, 0.0)], &pipe(bore, i).unwrap());
        line.intake.level_m = 1e4;
        line.environment.situation.gravity_m_per_s2 = i.number("g").unwrap();
        let run = flow::run_under(&line, &wish(Running::Flow(flow)), &conditions).unwrap();
        run.losses.friction_m - i.number("loss_m").unwrap()
    };
    let bracket = Bracket {
        low: 0.2,
        high: 2.0,
        width: 1e-9,
    };
    answer(i, root(bracket, off).map_err(debug)?)
}

/// Gauge head at a point of a line at a fixed flow, m.
fn gauge_head(i: &Inputs) -> Result<f64, String> {
    let (s, z, level) = (
        i.number("station_m")?,
        i.number("pipe_m")?,
        i.number("level_m")?,
    );
    let points = [(0.0, z), (s, z), (2.0 * s, z - 60.0)];
    let mut line = Line::plain(&points, &pipe(i.number("bore_m")?, i)?);
    line.intake.level_m = level;
    line.intake.entrance_k = Some(i.number("k")?);
    let wish = wish(Running::Flow(i.number("flow_m3_per_s")?));
    let run = flow::run_under(&line, &wish, &conditions(i)?).map_err(debug)?;
    let at = run.points.iter().find(|p| p.station_m == s).unwrap();
    Ok(at.grade_line_m - z)
}
