use super::{Say, joint_word};
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
            "the pipe's centre".to_owned(),
            "not said; write of = \"ground\" if the ground was",
        ),
        Assumed::SurveyedGround => (
            "what was surveyed".to_owned(),
            "the ground".to_owned(),
            "not said, and no pipe lies there yet; write of = \"trench bed\" if that was",
        ),
        Assumed::WaterLevel => (
            "water level at the intake".to_owned(),
            "at the pipe's centre".to_owned(),
            "not said; measure the still water above the pipe's centre at its mouth",
        ),
        Assumed::Gravity(m_per_s2) => (
            "gravity".to_owned(),
            gravity(*m_per_s2, say),
            "the latitude is not known: that of the poles makes the most pressure",
        ),
        Assumed::Altitude {
            highest_m,
            lowest_m,
        } => (
            "air pressure".to_owned(),
            format!(
                "that at {} for water that hangs, at {} for what presses on the pipe",
                say.paced(*highest_m),
                say.paced(*lowest_m)
            ),
            "the altitude is not known: thin air holds up less water, thick air presses harder",
        ),
        Assumed::HottestAir(c) => (
            "hottest air".to_owned(),
            say.temperature(*c),
            "not said; heat takes strength from plastic pipe",
        ),
        Assumed::Shade => (
            "sun on the pipe".to_owned(),
            "none".to_owned(),
            "not said; write sun = true if bare pipe lies in the sun, it makes plastic weaker",
        ),
        Assumed::Water {
            usual_c,
            coldest_c,
            warmest_c,
        } => (
            "water temperature".to_owned(),
            format!(
                "{}, {} to {} at the harmful ends",
                say.temperature(*usual_c),
                say.temperature(*coldest_c),
                say.temperature(*warmest_c)
            ),
            "not said; a hill stream",
        ),
        Assumed::Laid(spec) => (
            format!("state of {spec}"),
            "laid".to_owned(),
            "not said; write state = \"planned\" for pipe still to be bought: its pieces are then laid out and listed",
        ),
        Assumed::Pieces { spec, coil } => (
            format!("pieces of {spec}"),
            if *coil { "usual coils" } else { "usual sticks" }.to_owned(),
            "the lengths that can be bought were not said; ask what the yard keeps and give piece",
        ),
        Assumed::Joints { spec, joint } => (
            format!("joints of {spec}"),
            joint_word(*joint).to_owned(),
            "the usual way to join this material; other joints may take less",
        ),
        Assumed::New(spec) => (
            format!("condition of {spec}"),
            "new".to_owned(),
            "nothing was said of its past",
        ),
        Assumed::Discharge(c) => (
            "discharge coefficient of the jets".to_owned(),
            format!("{c}"),
            "not said; a clean tapered nozzle",
        ),
        Assumed::GaugeLimit { station_m, share } => (
            format!("limit of the gauge at {}", say.station(*station_m)),
            format!("+- {:.1} % of its reading", share * 100.0),
            "not said; an ordinary dial",
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
