//! Checkers for tests/checks/transient*.csv.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex};

use steadyfall::march::closed::{Interlocking, SinglePipe, rigid_rise_share};
use steadyfall::march::{
    Floor, Forebay, InitialState, LowerEnd, MocGrid, Nozzles, OpeningSchedule, PipeSeries,
    QuadraticLoss, ScheduleStage, TransientOptions, TransientResult, Tube, run_moc,
};
use steadyfall::pipe::Machine;
use steadyfall::pipe::wave::{Elastic, Restraint, WaveWall};
use steadyfall::unit::WaterState;
use steadyfall::unit::physics::{WaterProperties, air_pressure_geopotential, water, water_at};

use crate::ledger::{Answer, Checker, Inputs};

type Found = Result<Answer, String>;

/// The quantities of this topic.
pub fn checkers() -> Vec<Checker> {
    let of = |quantity, of, work| Checker { quantity, of, work };
    vec![
        of("density of water", "unit::physics::water_at", |i| {
            Ok(state(i)?.density_kg_per_m3.into())
        }),
        of("speed of sound in water", "unit::physics::water_at", |i| {
            let w = state(i)?;
            Ok((w.bulk_modulus_pa / w.density_kg_per_m3).sqrt().into())
        }),
        of("bulk modulus of water", "unit::physics::water_at", |i| {
            Ok((state(i)?.bulk_modulus_pa / 1e9).into())
        }),
        of("vapour pressure of water", "unit::physics::water_at", |i| {
            Ok((state(i)?.vapour_pa / 1e3).into())
        }),
        of(
            "pressure of the air by altitude",
            "unit::physics::air_pressure_geopotential",
            |i| Ok((air_pressure_geopotential(i.number("altitude_m")?) / 1e3).into()),
        ),
        of("boiling limit by altitude", "unit::physics::water", |i| {
            let air = air_pressure_geopotential(i.number("altitude_m")?);
            let boils = water(i.number("temperature_c")?).vapour_pa;
            Ok(((boils - air) / i.number("weight")?).into())
        }),
        of("wave speed in a pipe", "pipe::wave::Elastic", |i| {
            Ok(wave_speed(i)?.into())
        }),
        of(
            "equivalent wave speed of tubes in series",
            "march::PipeSeries::critical_time_s",
            |i| {
                let chain = bare(i)?;
                Ok((2.0 * chain.length_m() / chain.critical_time_s()).into())
            },
        ),
        of(
            "time of a wave to the intake and back",
            "march::PipeSeries::critical_time_s",
            |i| Ok(bare(i)?.critical_time_s().into()),
        ),
        of("Joukowsky's rise", "march::closed::SinglePipe", |i| {
            Ok(single(i)?.joukowsky_m().into())
        }),
        of(
            "critical time of one pipe",
            "march::closed::SinglePipe",
            |i| Ok(single(i)?.critical_time_s().into()),
        ),
        of("Michaud's rise", "march::closed::SinglePipe", |i| {
            Ok(single(i)?.michaud_m(i.number("over_s")?).into())
        }),
        of(
            "Michaud's rise as pressure",
            "march::closed::SinglePipe",
            |i| pressure(i, single(i)?.michaud_m(i.number("over_s")?)),
        ),
        of(
            "Joukowsky's rise as pressure",
            "march::closed::SinglePipe",
            |i| pressure(i, single(i)?.joukowsky_m()),
        ),
        of(
            "rigid-column average as pressure",
            "march::closed::SinglePipe",
            |i| pressure(i, single(i)?.rigid_average_m(i.number("over_s")?)),
        ),
        of(
            "rigid-column rise over head",
            "march::closed::rigid_rise_share",
            |i| Ok(rigid_rise_share(i.number("n")?).into()),
        ),
        of("Joukowsky's pressure", "pipe::wave, surge::closed", |i| {
            let head = in_pipe(i, 9.80665)?.joukowsky_m();
            Ok((head * 9.80665 * i.number("density")? / 1e6).into())
        }),
        of(
            "Joukowsky's head in a pipe",
            "pipe::wave, surge::closed",
            |i| Ok(in_pipe(i, i.number("gravity")?)?.joukowsky_m().into()),
        ),
        of(
            "critical time in a pipe",
            "pipe::wave, surge::closed",
            |i| Ok(in_pipe(i, 9.81)?.critical_time_s().into()),
        ),
        of("blocked-jet rule", "march::closed::SinglePipe", |i| {
            Ok((single(i)?.joukowsky_m() / i.number("jets")?).into())
        }),
        of(
            "highest head of a straight closing, marched",
            "march::run_moc",
            |i| Ok(pure(i, true)?.outlet.max_m.into()),
        ),
        of(
            "lowest head of a straight closing, marched",
            "march::run_moc",
            |i| Ok(pure(i, true)?.outlet.min_m.into()),
        ),
        of("when the highest head stands", "march::run_moc", |i| {
            Ok(pure(i, true)?.outlet.max_at_s.into())
        }),
        of("when the lowest head stands", "march::run_moc", |i| {
            Ok(pure(i, true)?.outlet.min_at_s.into())
        }),
        of(
            "highest head of a straight opening, marched",
            "march::run_moc",
            |i| Ok(pure(i, false)?.outlet.max_m.into()),
        ),
        of(
            "lowest head of a straight opening, marched",
            "march::run_moc",
            |i| Ok(pure(i, false)?.outlet.min_m.into()),
        ),
        of(
            "highest head of a runner that chokes, marched",
            "march::run_moc",
            |i| Ok(pure(i, true)?.outlet.max_m.into()),
        ),
        of(
            "lowest head of a runner that opens, marched",
            "march::run_moc",
            |i| Ok(pure(i, true)?.outlet.min_m.into()),
        ),
        of(
            "runaway speed over the running speed",
            "pipe::Machine::runaway_speed",
            |i| {
                let machine = match i.word("machine")? {
                    "francis" => Machine::Francis,
                    "propeller" => Machine::Propeller,
                    other => return Err(format!("no machine {other}")),
                };
                let (least, most) = machine.runaway_speed().ok_or("no speed")?;
                Ok(if i.word("which")? == "least" {
                    least
                } else {
                    most
                }
                .into())
            },
        ),
        of(
            "highest head of a straight closing, chained",
            "march::closed::Interlocking",
            |i| Ok(interlocking(i)?.closing().max.into()),
        ),
        of(
            "lowest head of a straight closing, chained",
            "march::closed::Interlocking",
            |i| Ok(interlocking(i)?.closing().min.into()),
        ),
        of("marched highest head at a station", "march::run_moc", |i| {
            Ok(marched(i)?.0.at(i.number("station_m")?).0.into())
        }),
        of("marched lowest head at a station", "march::run_moc", |i| {
            Ok(marched(i)?.0.at(i.number("station_m")?).1.into())
        }),
        of(
            "marched highest head at the outlet",
            "march::run_moc",
            |i| Ok(marched(i)?.0.outlet.max_m.into()),
        ),
        of("marched lowest head at the outlet", "march::run_moc", |i| {
            Ok(marched(i)?.0.outlet.min_m.into())
        }),
        of("marched flow at last", "march::run_moc", |i| {
            Ok(marched(i)?.0.last_flow_m3_per_s.into())
        }),
        of("marched head at last", "march::run_moc", |i| {
            Ok(marched(i)?.0.last_head_m.into())
        }),
        of(
            "marched head after the first instant",
            "march::run_moc",
            |i| first(&marched(i)?.0.watched_m[10..], 1),
        ),
        of(
            "marched head at a station at a time",
            "march::run_moc",
            at_a_time,
        ),
        of(
            "marched head at a station between steps",
            "march::run_moc",
            at_a_time,
        ),
        of(
            "marched least pressure head at a vertex",
            "march::run_moc",
            |i| {
                let station = i.number("station_m")?;
                let height = between(&i.numbers("vertices_m")?, &i.numbers("heights_m")?, station);
                Ok((marched(i)?.0.at(station).1 - height).into())
            },
        ),
        of(
            "marched time of a first fall below",
            "march::run_moc",
            |i| {
                let station_m = i.number("station_m")?;
                let height = between(
                    &i.numbers("vertices_m")?,
                    &i.numbers("heights_m")?,
                    station_m,
                );
                let floor = Floor {
                    station_m,
                    head_m: height + i.number("below_m")?,
                };
                let case = Case::of(i)?;
                let m = case.march(Vec::new(), vec![floor]);
                m.first_below
                    .map(|f| f.1.into())
                    .ok_or_else(|| "it never falls below".to_owned())
            },
        ),
    ]
}

fn state(i: &Inputs) -> Result<WaterProperties, String> {
    Ok(water_at(WaterState {
        kelvin: i.number("temperature_c")? + 273.15,
        pressure_pa: i.number("pressure_pa")?,
    }))
}

fn elastic(i: &Inputs) -> Result<Elastic, String> {
    Ok(Elastic {
        bulk_modulus_pa: i.number("bulk_gpa")? * 1e9,
        density_kg_per_m3: i.number("density")?,
        bore_m: i.number("bore_mm")? / 1e3,
        wall_m: i.number("wall_mm")? / 1e3,
        modulus_pa: i.number("modulus_gpa")? * 1e9,
        poisson: i.number("poisson")?,
    })
}

fn held(i: &Inputs) -> Result<Restraint, String> {
    match i.word("held")? {
        "upstream" => Ok(Restraint::Upstream),
        "throughout" => Ok(Restraint::Throughout),
        "sliding" => Ok(Restraint::Sliding),
        other => Err(format!("held how: {other}")),
    }
}

fn wall(i: &Inputs) -> Result<WaveWall, String> {
    match i.word("wall")? {
        "thin" => Ok(WaveWall::Thin),
        "thick" => Ok(WaveWall::Thick),
        other => Err(format!("wall: {other}")),
    }
}

fn wave_speed(i: &Inputs) -> Result<f64, String> {
    Ok(elastic(i)?.wave_speed_m_per_s(held(i)?, wall(i)?))
}

fn single(i: &Inputs) -> Result<SinglePipe, String> {
    Ok(SinglePipe {
        length_m: i.number("length_m")?,
        wave_speed_m_per_s: i.number("speed_m_per_s")?,
        velocity_m_per_s: i.number("velocity_m_per_s")?,
        head_m: 1.0,
        gravity_m_per_s2: i.number("gravity")?,
    })
}

/// A single pipe whose wave speed is worked out from its wall.
fn in_pipe(i: &Inputs, gravity_m_per_s2: f64) -> Result<SinglePipe, String> {
    Ok(SinglePipe {
        length_m: i.number_or("length_m", 1.0)?,
        wave_speed_m_per_s: wave_speed(i)?,
        velocity_m_per_s: i.number_or("velocity_m_per_s", 1.0)?,
        head_m: 1.0,
        gravity_m_per_s2,
    })
}

/// A rise of head in the unit the row asks for, upon a static pressure where it states one.
fn pressure(i: &Inputs, head_m: f64) -> Found {
    if let Ok(weight) = i.number("psi_per_ft") {
        return Ok((head_m / 0.3048 * weight).into());
    }
    let pa = head_m * i.number("density")? * i.number("gravity")?;
    let unit = match (i.word("psi"), i.word("kgf")) {
        (Ok(_), _) => 6_894.757_293_168,
        (_, Ok(_)) => i.number("gravity")?,
        _ => 1e3,
    };
    Ok((pa / unit + i.number_or("static_kpa", 0.0)?).into())
}

fn interlocking(i: &Inputs) -> Result<Interlocking, String> {
    Ok(Interlocking {
        pipe_number: i.number("pipe_number")?,
        phases: i.number("phases")?,
    })
}

/// A frictionless pipe in pure numbers: head 1, and a wave takes 1 to go and come back. With a `share`, what is open goes from all to it.
fn pure(i: &Inputs, closes: bool) -> Result<Arc<TransientResult>, String> {
    let (rho, phases) = (i.number("pipe_number")?, i.number("phases")?);
    let share = i.number("share").ok();
    kept(&format!("pure {rho} {phases} {closes} {share:?}"), || {
        let tube = Tube {
            length_m: 1.0,
            bore_m: 1.0,
            wave_speed_m_per_s: 2.0,
            friction_factor: 0.0,
        };
        // rho = a V/(2 g H) with H = 1 and g = 1
        let flow = rho * tube.area_m2();
        let mut nozzles = Nozzles::passing(flow, 1.0, 0.0, 1.0);
        let (from, to) = match share {
            Some(share) => (1.0, share),
            None if closes => (1.0, 0.0),
            None => (0.0, 1.0),
        };
        nozzles.course = OpeningSchedule::straight(from, to, phases);
        let chain = PipeSeries {
            gravity_m_per_s2: 1.0,
            forebay: Forebay {
                level_m: 1.0,
                mouth: QuadraticLoss::default(),
            },
            tubes: vec![tube],
            joins: Vec::new(),
            end: LowerEnd::Nozzles(nozzles),
        };
        // a thousand steps a phase, so that a peak between falls on one
        let grid = MocGrid::with_step(&chain.tubes, 0.001);
        let orders = TransientOptions {
            // a closing without friction repeats its extremes for ever: the first of them are asked for
            duration_s: phases + if closes { 1.0 } else { 3.0 },
            air_head_m: 10.0,
            ..TransientOptions::default()
        };
        run_moc(
            &chain,
            &grid,
            &InitialState::flowing(&chain, flow * from),
            &orders,
        )
    })
}

fn tubes(i: &Inputs) -> Result<Vec<Tube>, String> {
    let lengths = i.numbers("lengths_m")?;
    let speeds = i.numbers("speeds_m_per_s")?;
    let given = |name: &str, default: f64| match i.word(name) {
        Ok(_) => i.numbers(name),
        Err(_) => Ok(vec![default; lengths.len()]),
    };
    let (bores, frictions) = (given("bores_m", 1.0)?, given("frictions", 0.0)?);
    Ok((0..lengths.len())
        .map(|k| Tube {
            length_m: lengths[k],
            bore_m: bores[k],
            wave_speed_m_per_s: speeds[k],
            friction_factor: frictions[k],
        })
        .collect())
}

fn bare(i: &Inputs) -> Result<PipeSeries, String> {
    Ok(PipeSeries {
        gravity_m_per_s2: 9.81,
        forebay: Forebay {
            level_m: i.number_or("level_m", 0.0)?,
            mouth: QuadraticLoss::default(),
        },
        tubes: tubes(i)?,
        joins: Vec::new(),
        end: LowerEnd::Shut,
    })
}

/// A case of the reference marches: tubes, nozzles that pass a flow at the head left over, and a movement of them or of one jet.
struct Case {
    chain: PipeSeries,
    flow: f64,
    cells: f64,
    duration_s: f64,
}

impl Case {
    fn of(i: &Inputs) -> Result<Self, String> {
        let mut chain = bare(i)?;
        let passes = i.number("flow_m3_per_s")?;
        let head = chain
            .steady_heads_m(&InitialState::flowing(&chain, passes))
            .last()
            .map_or(0.0, |h| h.1);
        let mut nozzles = Nozzles::passing(passes, head, 0.0, 9.81);
        let opens = i.word("opening").is_ok();
        let shares = match i.word("shares") {
            Ok(_) => i.numbers("shares")?,
            Err(_) => vec![if opens { 1.0 } else { 0.0 }],
        };
        nozzles.course = OpeningSchedule {
            from: if opens { 0.0 } else { 1.0 },
            stages: i
                .numbers("over_s")?
                .into_iter()
                .zip(shares)
                .map(|(over_s, to)| ScheduleStage { to, over_s })
                .collect(),
            law: steadyfall::pipe::Law::Area,
        };
        let jets = i.number_or("jets", 1.0)?;
        let whole = nozzles.area_moved_m2;
        nozzles.area_moved_m2 = whole / jets;
        nozzles.area_kept_m2 = whole - whole / jets;
        chain.end = LowerEnd::Nozzles(nozzles);
        Ok(Self {
            chain,
            flow: if opens { 0.0 } else { passes },
            cells: i.number("cells")?,
            duration_s: i.number("duration_s")?,
        })
    }

    fn grid(&self) -> MocGrid {
        let travel = self.chain.critical_time_s() / 2.0;
        MocGrid::with_step(&self.chain.tubes, travel / self.cells)
    }

    fn march(&self, watch_m: Vec<f64>, floors: Vec<Floor>) -> TransientResult {
        let orders = TransientOptions {
            duration_s: self.duration_s,
            watch_m,
            floors,
            air_head_m: 10.33,
            ..TransientOptions::default()
        };
        let start = InitialState::flowing(&self.chain, self.flow);
        run_moc(&self.chain, &self.grid(), &start, &orders)
    }
}

/// The march of a row's case, with head against time at eleven even stations; one march serves every row of its case.
fn marched(i: &Inputs) -> Result<(Arc<TransientResult>, f64), String> {
    let key = [
        "lengths_m",
        "bores_m",
        "speeds_m_per_s",
        "frictions",
        "level_m",
        "flow_m3_per_s",
        "cells",
        "over_s",
        "shares",
        "jets",
        "opening",
        "duration_s",
    ]
    .map(|name| i.word(name).unwrap_or("-"))
    .join("|");
    let case = Case::of(i)?;
    let length = case.chain.length_m();
    let stations = (0..=10).map(|k| length * f64::from(k) / 10.0).collect();
    Ok((kept(&key, || case.march(stations, Vec::new()))?, length))
}

fn kept(key: &str, work: impl FnOnce() -> TransientResult) -> Result<Arc<TransientResult>, String> {
    static KEPT: Mutex<BTreeMap<String, Arc<TransientResult>>> = Mutex::new(BTreeMap::new());
    let mut kept = KEPT.lock().map_err(|e| e.to_string())?;
    Ok(kept
        .entry(key.to_owned())
        .or_insert_with(|| Arc::new(work()))
        .clone())
}

fn at_a_time(i: &Inputs) -> Found {
    let (time, station) = (i.number("time_s")?, i.number("station_m")?);
    let case = Case::of(i)?;
    let m = match marched(i)? {
        (m, length) if station == length => (m.watched_m[10].clone(), m.step_s),
        _ => {
            let m = case.march(vec![station], Vec::new());
            (m.watched_m[0].clone(), m.step_s)
        }
    };
    let times: Vec<f64> = (0..m.0.len()).map(|k| k as f64 * m.1).collect();
    Ok(between(&times, &m.0, time).into())
}

fn first(watched: &[Vec<f64>], step: usize) -> Found {
    watched
        .first()
        .and_then(|w| w.get(step))
        .map(|h| (*h).into())
        .ok_or_else(|| "no step was made".to_owned())
}

fn between(at: &[f64], values: &[f64], x: f64) -> f64 {
    let i = at.partition_point(|a| *a < x - 1e-9).clamp(1, at.len() - 1);
    let share = ((x - at[i - 1]) / (at[i] - at[i - 1])).clamp(0.0, 1.0);
    values[i - 1] + (values[i] - values[i - 1]) * share
}
