//! Invented years of a plant's gauge: a true plant that differs from the computed one, a gauge that is off and read to its marks, a level that wanders, water that warms, days without a reading, slips of the pen.

use steadyfall::flow::{Dial, PlantChange, respond, wishes};
use steadyfall::gauge_book::{Cause, Entry, TimeCourse};
use steadyfall::line::{Discharge, Jet, Line, Outlet};
use steadyfall::numeric::Rng;
use steadyfall::pipe::RunState;

/// A year with what happened in it.
pub struct Year {
    /// The line as computed.
    pub line: Line,
    /// What was read.
    pub entries: Vec<Entry>,
    /// What happened.
    pub happened: Vec<Event>,
    /// Where air may stand, m of head it may take.
    pub air_m: f64,
}

/// Something that happened.
#[derive(Debug, Clone, Copy)]
pub struct Event {
    pub cause: Cause,
    /// When, days from the first.
    pub course: TimeCourse,
    /// In the cause's measure.
    pub size: f64,
}

/// How often what is read.
#[derive(Debug, Clone, Copy)]
pub struct Habit {
    /// Days between readings with all jets.
    pub all_jets: f64,
    /// Days between readings with half of the jets; none where infinite.
    pub half: f64,
    /// Days between shut readings.
    pub shut: f64,
    /// Flow and power are read with all jets.
    pub power: bool,
}

pub const DAILY: Habit = Habit {
    all_jets: 1.0,
    half: f64::INFINITY,
    shut: 14.0,
    power: false,
};

pub const TWO_STATES: Habit = Habit {
    all_jets: 1.0,
    half: 1.0,
    shut: 14.0,
    power: false,
};

/// The first day of an invented year: 2024-01-01.
pub const FIRST_DAY: f64 = 19_723.0;

/// A plant by its seed.
pub fn plant(draws: &mut Rng) -> (Line, Line) {
    let length_m = draws.between(250.0, 700.0);
    let drop_m = length_m * draws.between(0.10, 0.25);
    let bore_m = *[0.0736, 0.0818, 0.1002, 0.1278]
        .get(draws.below(4))
        .unwrap();
    let mut pipe = steadyfall::pipe::find("PE100 SDR11 90").unwrap();
    pipe.inner_diameter_m = bore_m;
    let mut line = Line::plain(&[(0.0, 300.0), (length_m, 300.0 - drop_m)], &pipe);
    line.intake.level_m += 0.6;
    line.geometry.heights.drop_sd_m = 0.4;
    // jets that take 10 to 25 % of the head with all of them open
    let jets = 2 + draws.below(3);
    let wanted = draws.between(0.10, 0.25);
    let (mut low, mut high) = (0.002, 0.6 * bore_m);
    for _ in 0..40 {
        let d = 0.5 * (low + high);
        line.outlet = Some(outlet(jets, d));
        let lost = all_jets(&line).map_or(1.0, |(_, share)| share);
        if lost < wanted {
            low = d;
        } else {
            high = d;
        }
    }
    let mut truth = line.clone();
    let rough = draws.between(0.9, 1.3);
    for reach in truth.reaches.iter_mut() {
        reach.pipe.roughness_m *= rough;
        reach.pipe.inner_diameter_m *= 1.0 + 0.007 * draws.normal();
    }
    truth.intake.level_m += 0.3 * draws.normal();
    (line, truth)
}

fn outlet(jets: usize, diameter_m: f64) -> Outlet {
    let jet = |i: usize| Jet {
        name: format!("{}", i + 1),
        nozzle_diameter_m: diameter_m,
        open: 1.0,
        discharge_coefficient: 0.95,
        velocity_coefficient: 0.97,
    };
    Outlet {
        how: Discharge::Jets((0..jets).map(jet).collect()),
        nozzle_height_m: 0.0,
        water_to_wire: None,
    }
}

/// Flow with all jets and the share of the head that is lost.
fn all_jets(line: &Line) -> Option<(f64, f64)> {
    let wish = wishes(line.outlet.as_ref(), &line.wishes)
        .into_iter()
        .find(|w| w.state == RunState::AllJets)?;
    let end = Dial {
        station_m: line.geometry.length_m(),
        height_m: 0.0,
    };
    let r = respond(line, &wish, end, &PlantChange::default()).ok()?;
    let gross = line.intake.level_m - line.nozzle_elevation_m();
    Some((r.flow_m3_per_s, 1.0 - r.net_head_m / gross))
}

/// The size of a cause that takes a share of the power with all jets (or, for what takes none, moves the gauge by that share of two thirds of the head).
pub fn size_for(line: &Line, cause: Cause, share: f64) -> f64 {
    let wish = wishes(line.outlet.as_ref(), &line.wishes)
        .into_iter()
        .find(|w| w.state == RunState::AllJets)
        .unwrap();
    let end = Dial {
        station_m: line.geometry.length_m(),
        height_m: 0.0,
    };
    let power = |size: f64| {
        let r = respond(line, &wish, end, &change(line, cause, size)).ok();
        r.map_or(0.0, |r| r.flow_m3_per_s * r.net_head_m)
    };
    let before = power(0.0);
    if cause == Cause::GaugeOff {
        return -share * (line.intake.level_m - line.nozzle_elevation_m()) * 2.0 / 3.0;
    }
    let (mut low, mut high) = (0.0, 1e-3);
    let far = |size: f64| (1.0 - power(size) / before).abs() < share;
    while far(high) && high < 1e3 {
        high *= 1.5;
    }
    for _ in 0..50 {
        let middle = 0.5 * (low + high);
        if far(middle) {
            low = middle
        } else {
            high = middle
        }
    }
    0.5 * (low + high)
}

/// The change that a size of a cause is, by its measure.
pub fn change(line: &Line, cause: Cause, size: f64) -> PlantChange {
    let none = PlantChange::default();
    match cause {
        Cause::InTheWay => PlantChange {
            obstruction_s2_per_m5: size / all_jets(line).unwrap().0.powi(2),
            ..none
        },
        Cause::Growth => PlantChange {
            slime: size,
            ..none
        },
        Cause::Air => PlantChange {
            air_m: size,
            air_at_m: 0.4 * line.geometry.length_m(),
            ..none
        },
        Cause::Level => PlantChange {
            level_m: size,
            ..none
        },
        Cause::JetWorn => PlantChange {
            jet_share: size,
            ..none
        },
        Cause::JetBlocked => PlantChange {
            jet_share: -size,
            ..none
        },
        Cause::GaugeOff => PlantChange {
            gauge_m: size,
            ..none
        },
        Cause::Leak => PlantChange {
            leak_m3_per_s: size,
            ..none
        },
    }
}

fn together(a: PlantChange, b: PlantChange) -> PlantChange {
    PlantChange {
        obstruction_s2_per_m5: a.obstruction_s2_per_m5 + b.obstruction_s2_per_m5,
        slime: a.slime + b.slime,
        air_m: a.air_m + b.air_m,
        air_at_m: a.air_at_m.max(b.air_at_m),
        level_m: a.level_m + b.level_m,
        jet_share: a.jet_share + b.jet_share,
        leak_m3_per_s: a.leak_m3_per_s + b.leak_m3_per_s,
        gauge_m: a.gauge_m + b.gauge_m,
    }
}

/// A year of readings by a habit, with what `happens` on the plant.
pub fn year(
    seed: u64,
    habit: Habit,
    days: f64,
    happens: impl FnOnce(&mut Rng, &Line) -> Vec<Event>,
) -> Year {
    let mut draws = Rng::new(seed);
    let (line, mut truth) = plant(&mut draws);
    let happened = happens(&mut draws, &line);
    let gross_m = line.intake.level_m - line.nozzle_elevation_m();
    // marks of a dial of 2.5 times the pressure: two hundred of them
    let mark_m = 2.0 * gross_m / 200.0;
    let gauge_m = 0.012 * gross_m * draws.normal();
    let scatter_m = 0.003 * gross_m;
    let efficiency = draws.between(0.45, 0.6);
    let half = RunState::Jets(1);
    let all = wishes(truth.outlet.as_ref(), &truth.wishes);
    let end = Dial {
        station_m: line.geometry.length_m(),
        height_m: 0.0,
    };
    let mut entries = Vec::new();
    let mut wander_m = 0.0;
    let mut due = [0.0, 0.0, 3.0];
    let mut day = 0.0;
    while day < days {
        // an Ornstein-Uhlenbeck process of 4 cm and four days
        wander_m =
            wander_m * (-0.25_f64).exp() + 0.04 * (1.0 - (-0.5_f64).exp()).sqrt() * draws.normal();
        let season = (2.0 * std::f64::consts::PI * (day - 30.0) / 365.0).cos();
        truth.environment.water.usual_c = 9.0 - 5.0 * season;
        let states = [
            (0, RunState::AllJets, habit.all_jets),
            (1, half.clone(), habit.half),
            (2, RunState::Shut, habit.shut),
        ];
        for (i, state, every) in states {
            let due = &mut due[i];
            if day < *due || !every.is_finite() {
                continue;
            }
            *due = day + every;
            // a day in ten nobody is there
            if draws.uniform() < 0.1 {
                continue;
            }
            let wish = all.iter().find(|w| w.state == state).unwrap();
            let mut now = PlantChange {
                level_m: wander_m,
                gauge_m,
                ..PlantChange::default()
            };
            for event in &happened {
                now = together(
                    now,
                    change(&line, event.cause, event.size * event.course.share(day)),
                );
            }
            let Ok(r) = respond(&truth, wish, end, &now) else {
                continue;
            };
            let mut head_m = r.gauge_m + scatter_m * draws.normal();
            if draws.uniform() < 0.007 {
                head_m *= if draws.uniform() < 0.5 { 0.8 } else { 1.15 };
            }
            let powers = habit.power && state == RunState::AllJets;
            let weight = 9.81 * 1000.0 * efficiency;
            entries.push(Entry {
                day: FIRST_DAY + day + 0.3 + 0.01 * i as f64,
                state,
                dial: end,
                head_m: Some((head_m / mark_m).round() * mark_m),
                flow_m3_per_s: None,
                power_w: powers.then(|| {
                    weight * r.flow_m3_per_s * r.net_head_m * (1.0 + 0.015 * draws.normal())
                }),
                stream_level_m: None,
                fed_m3_per_s: None,
                gauge: String::new(),
                remark: String::new(),
                line: 0,
            });
        }
        day += 1.0;
    }
    Year {
        air_m: 0.15 * gross_m,
        line,
        entries,
        happened,
    }
}
