use super::figure::number_of;
use super::{Say, label, states};
use crate::finding::AlsoHeld;
use crate::flow::{
    Explanation, Largest, Limited, LimitedBy, Loss, LossSource, NextReading, Remedy, Run, Unused,
};
use crate::line::{Discharge, Fitting, Outlet, Reaches};
use crate::pipe::RunState;
use crate::unit::Quantity;

/// What takes head in a state, in station order, each with its word.
pub fn losses<'a>(
    run: &'a Run,
    reaches: &Reaches,
    fittings: &[Fitting],
) -> Vec<(String, &'a Loss)> {
    run.losses
        .items
        .iter()
        .map(|l| (taker(l.by, reaches, fittings), l))
        .collect()
}

fn taker(by: LossSource, reaches: &Reaches, fittings: &[Fitting]) -> String {
    match by {
        LossSource::Entrance => "entrance".to_owned(),
        LossSource::Screen => "screen".to_owned(),
        LossSource::Wall(i) => format!(
            "pipe {}",
            reaches.get(i).map_or("", |r| r.pipe.spec.as_str())
        ),
        LossSource::Fitting(i) => fittings.get(i).map_or_else(String::new, |f| f.name.clone()),
        LossSource::Bend(_) => "bend".to_owned(),
        LossSource::ChangeOfBore(_) => "change of bore".to_owned(),
        LossSource::Air => "air".to_owned(),
        LossSource::Fall => "part-full fall".to_owned(),
    }
}

/// A remedy with its number: what to do and what comes of it.
pub fn remedy(remedy: &Remedy, limited: &Limited, say: Say) -> String {
    let at = say.station(limited.station_m);
    match remedy {
        Remedy::Throttle {
            flow_m3_per_s,
            net_head_m,
            water_power_w,
            area_share,
        } => format!(
            "Throttle at the turbine valve to {} of the nozzle area. The flow is then {} at a net head of {}. The hydraulic power is {}, and the pipeline stays full.",
            say.share_at_most(*area_share),
            say.at_most(Quantity::Flow, *flow_m3_per_s),
            say.head(*net_head_m),
            say.power(*water_power_w)
        ),
        Remedy::LowerCrest { by_m } => {
            format!(
                "Lower the pipe at {at} by {}.",
                say.at_least(Quantity::Head, *by_m)
            )
        }
        Remedy::LargerUpperPipe { bore_m } => format!(
            "Lay a pipe with an inside diameter of at least {} from the intake to a point below {at}.",
            say.at_least(Quantity::Bore, *bore_m)
        ),
        Remedy::ShutVent => format!(
            "Close or remove the vent at {at}. The pipe then has negative pressure there, and no protection against collapse."
        ),
    }
}

/// The reading to take next.
pub fn next_reading(next: &NextReading, say: Say) -> String {
    match next {
        NextReading::ShutAtTurbine => {
            "with the turbine valve closed, the pipe full and the upper valve open".to_owned()
        }
        NextReading::RunningWithFlow => "in operation, with the flow measured".to_owned(),
        NextReading::MeasureFlow => {
            "the same operating condition again, with the flow measured".to_owned()
        }
        NextReading::AnotherFlow => "another number of nozzles, with the flow measured".to_owned(),
        NextReading::AnotherStation { station_m } => format!(
            "the same operating condition at {} along the pipe",
            say.station(*station_m)
        ),
        NextReading::AfterBleeding { stations_m } => format!(
            "static again, after you release the air at {}",
            say.stations(stations_m)
        ),
        NextReading::SecondGauge => "static again, with another gauge".to_owned(),
    }
}

/// Why a reading was set aside.
pub fn unused_word(why: Unused) -> &'static str {
    match why {
        Unused::NoSuchState => "no operating condition has that name",
        Unused::NotRun => "that operating condition could not be calculated",
        Unused::NotFull => {
            "the pipe is part full in that operating condition: the gauge shows the height of the water column, not a head loss"
        }
    }
}

/// The most power of a line in words, no digit below its doubt.
pub struct Most {
    /// Power in the water.
    pub power: String,
    /// Its flow.
    pub flow: String,
    /// Its net head.
    pub head: String,
    /// The nozzles that reach it, after a comma; empty without nozzles.
    pub nozzles: String,
}

/// The figures of the most power, each to the place that the like figure of `beside` leaves it.
pub fn most(largest: &Largest, beside: Option<&Run>, outlet: Option<&Outlet>, say: Say) -> Most {
    let jets = match outlet.map(|o| &o.how) {
        Some(Discharge::Jets(jets)) => jets.len(),
        _ => 0,
    };
    let held = |quantity, value: f64, of: fn(&Run) -> (f64, f64)| {
        let share = beside
            .map(of)
            .filter(|(value, _)| *value > 0.0)
            .map_or(0.0, |(value, sd)| sd / value);
        say.held(quantity, value, share * value)
    };
    Most {
        power: held(Quantity::Power, largest.water_power_w, |r| {
            (r.water_power_w, r.water_power_sd_w)
        }),
        flow: held(Quantity::Flow, largest.flow_m3_per_s, |r| {
            (r.flow_m3_per_s, r.flow_sd_m3_per_s)
        }),
        head: held(Quantity::Head, largest.net_head_m, |r| {
            (r.net_head_m, r.net_head_sd_m)
        }),
        nozzles: largest.nozzle_diameter_m.map_or_else(String::new, |d| {
            let count = number_of(jets, "nozzle");
            format!(", with {count} of {}", say.bore(d))
        }),
    }
}

/// The most power of a pipe, and the jets that reach it, in a sentence.
///
/// It is as doubtful, share for share, as the state it is held against: the same heights and the same walls.
pub fn largest_power(
    largest: &Largest,
    beside: Option<&Run>,
    outlet: Option<&Outlet>,
    say: Say,
) -> String {
    let at = most(largest, beside, outlet, say);
    format!(
        "Maximum hydraulic power of this pipe: {}, at {} and a net head of {}. The head loss is then {}{}.{} The power varies little near its maximum: choose a smaller flow.",
        at.power,
        at.flow,
        at.head,
        say.share(largest.loss_share),
        at.nozzles,
        if largest.held_by_crest {
            " A larger flow would not keep the pipe full, because a high point is above the hydraulic grade line."
        } else {
            ""
        }
    )
}

/// A line that does not run full in a state, and where else the same holds.
pub(super) fn not_full(
    case: &RunState,
    flow_m3_per_s: f64,
    limited: &Limited,
    also: &[AlsoHeld],
    at: &str,
    say: Say,
) -> String {
    let also: Vec<RunState> = also.iter().map(|a| a.case.clone()).collect();
    let why = if limited.vented {
        ", and a vent there lets air in"
    } else if limited.by == LimitedBy::Boiling {
        ", so high that the water would boil"
    } else {
        ", higher than the negative pressure limit allows"
    };
    if flow_m3_per_s <= 0.0 {
        return format!(
            "{case}: the pipeline does not fill. The pipe {at} is above the static water level{why}.{}",
            if also.is_empty() {
                String::new()
            } else {
                format!(" No water flows with {} either.", states(&also))
            }
        );
    }
    let more = if also.is_empty() {
        String::new()
    } else {
        format!(" The same applies to {}.", states(&also))
    };
    let best = limited.at_best.map_or_else(String::new, |b| {
        format!(
            " An airtight pipe would carry at most {} for a limited time.",
            say.flow(b.flow_m3_per_s)
        )
    });
    format!(
        "{case}: the pipeline does not flow full. The pipe {at} is above the hydraulic grade line{why}. Only {} flows. The pipe is full again from {} on.{best}{more}",
        say.flow(flow_m3_per_s),
        say.station(limited.full_again_m)
    )
}

/// What could explain the gauges: one cause is named before the others only where the readings suffice.
pub(super) fn explained(causes: &[Explanation], ranked: bool, say: Say) -> String {
    if causes.is_empty() {
        return String::new();
    }
    if ranked && causes.iter().all(|e| e.fit < GOOD_FIT) {
        return " No single cause explains all readings.".to_owned();
    }
    // where the readings cannot rank them, none is left out: one alone would look like the answer
    let all: Vec<String> = causes
        .iter()
        .filter(|e| !ranked || e.fit >= GOOD_FIT)
        .map(|e| {
            let at = if e.crests_m.is_empty() {
                String::new()
            } else {
                format!(", below {}", say.stations(&e.crests_m))
            };
            let later = if e.came_later {
                ", more air than filling leaves"
            } else {
                ""
            };
            format!(
                "{} ({} {}{at}{later}, fit {})",
                label(e.cause.word()),
                if e.head_m < 0.0 { "adds" } else { "loses" },
                say.head_sd(e.head_m.abs(), e.sd_m),
                say.share(e.fit)
            )
        })
        .collect();
    if ranked {
        format!(" Possible causes, the best fit first: {}.", all.join(", "))
    } else {
        format!(
            " Possible causes: {}. These readings cannot separate them.",
            all.join(", ")
        )
    }
}

/// A cause that fits worse is not named where the readings can rank them, though the tables show it.
const GOOD_FIT: f64 = 0.05;
