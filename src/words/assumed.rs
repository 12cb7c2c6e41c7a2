use super::Say;
use crate::line::Assumed;
use crate::unit::Units;
use crate::unit::exact::FOOT_M;

/// A default that was taken, in words and the user's units.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AssumedValue {
    /// What it is of: "water temperature".
    pub what: String,
    /// What was taken.
    pub value: String,
    /// Why this one, and how to say better.
    pub why: String,
}

/// What was taken and why.
pub fn taken(assumed: &Assumed, say: Say) -> AssumedValue {
    let (what, value, why) = match assumed {
        Assumed::SurveyedCentre => (
            "what was surveyed".to_owned(),
            "the pipe centre".to_owned(),
            "not given; write of = \"ground\" if you surveyed the ground",
        ),
        Assumed::SurveyedGround => (
            "what was surveyed".to_owned(),
            "the ground".to_owned(),
            "not given, and no pipe is there yet; write of = \"trench bed\" if you surveyed that",
        ),
        Assumed::Cover => (
            "cover of buried pipe".to_owned(),
            "none".to_owned(),
            "not given, and the survey is of the ground; write cover = \"0.6 m\" under [[laid]] to lower the pipe by it",
        ),
        Assumed::WaterLevel => (
            "water level at the intake".to_owned(),
            "at the pipe centre".to_owned(),
            "not given; measure the static water level above the pipe centre at the inlet",
        ),
        Assumed::Runaway {
            machine,
            flow,
            over_s,
        } => (
            "runaway".to_owned(),
            format!(
                "{}: {} to {} of the flow, in {}",
                machine.word(),
                say.share(flow.0),
                say.share(flow.1),
                say.time(*over_s)
            ),
            "not given; write runaway_flow and runaway_time from the chart of the machine",
        ),
        Assumed::NoRunaway => (
            "runaway".to_owned(),
            "not calculated".to_owned(),
            "the kind of machine is not given; write machine = \"francis\", \"crossflow\", \"propeller\" or \"pump as turbine\"",
        ),
        Assumed::StreamAsMeasured(flow) => (
            "stream flow".to_owned(),
            say.flow(*flow),
            "the lowest measured day; write flow or months under [stream] if you know the dry season",
        ),
        Assumed::Gravity(m_per_s2) => (
            "gravity".to_owned(),
            gravity(*m_per_s2, say),
            "the latitude is not known; gravity at the poles gives the highest pressure",
        ),
        Assumed::Altitude {
            highest_m,
            lowest_m,
        } => (
            "air pressure".to_owned(),
            format!(
                "at {} altitude for negative pressure, at {} for external pressure",
                say.paced(*highest_m),
                say.paced(*lowest_m)
            ),
            "the altitude is not known; each check uses the worse limit",
        ),
        Assumed::HottestAir(c) => (
            "hottest air".to_owned(),
            say.temperature(*c),
            "not given; heat makes plastic pipe weaker",
        ),
        Assumed::Shade => (
            "sun on the pipe".to_owned(),
            "none".to_owned(),
            "not given; write sun = true if bare pipe lies in the sun, because heat makes plastic weaker",
        ),
        Assumed::Water {
            usual_c,
            coldest_c,
            warmest_c,
        } => (
            "water temperature".to_owned(),
            format!(
                "{}; limits {} to {}",
                say.temperature(*usual_c),
                say.temperature(*coldest_c),
                say.temperature(*warmest_c)
            ),
            "not given; typical hill stream",
        ),
        Assumed::Laid(spec) => (
            format!("state of {spec}"),
            "laid".to_owned(),
            "not given; write state = \"planned\" for pipe that is not bought yet, and the report lists its lengths",
        ),
        Assumed::Pieces { spec, coil } => (
            format!("lengths of {spec}"),
            if *coil {
                "standard coils"
            } else {
                "standard straight lengths"
            }
            .to_owned(),
            "not given; ask your supplier for the lengths in stock and write piece",
        ),
        Assumed::Joints { spec, joint } => (
            format!("joints of {spec}"),
            joint.word().to_owned(),
            "usual joint for this material; other joints can be weaker",
        ),
        Assumed::New(spec) => (
            format!("condition of {spec}"),
            "new".to_owned(),
            "its history was not given",
        ),
        Assumed::Discharge(c) => (
            "discharge coefficient of the nozzles".to_owned(),
            format!("{c}"),
            "not given; clean tapered nozzle",
        ),
        Assumed::GaugeLimit { station_m, share } => (
            format!("limit of the gauge at {}", say.station(*station_m)),
            format!("+- {:.1} % of its reading", share * 100.0),
            "not given; ordinary dial gauge",
        ),
    };
    AssumedValue {
        what,
        value,
        why: why.to_owned(),
    }
}

fn gravity(m_per_s2: f64, say: Say) -> String {
    match say.units {
        Units::Metric => format!("{m_per_s2:.3} m/s2"),
        Units::Us => format!("{:.2} ft/s2", m_per_s2 / FOOT_M),
    }
}
