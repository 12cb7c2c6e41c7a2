use crate::pipe::{Joint, Machine};

/// A default that was taken because the user did not say; its words and reason stand in the report.
#[derive(Debug, Clone, PartialEq)]
pub enum Assumed {
    /// What was surveyed: the pipe's centre.
    SurveyedCentre,
    /// What was surveyed: the ground, as no pipe lies there yet.
    SurveyedGround,
    /// Pipe that is buried lies just under the ground that was surveyed.
    Cover,
    /// The still water stands at the pipe's centre at its mouth.
    WaterLevel,
    /// What a machine does when its load is gone, by its kind.
    Runaway {
        /// The machine.
        machine: Machine,
        /// Flow at runaway over the flow before.
        flow: (f64, f64),
        /// Time to get there, s.
        over_s: f64,
    },
    /// Nobody knows what a machine of unknown kind does then: it is left out.
    NoRunaway,
    /// The stream carries what it did on the lowest day that was measured, m3/s.
    StreamAsMeasured(f64),
    /// Gravity of the poles, m/s2: the latitude is not known.
    Gravity(f64),
    /// The site's altitude is not known: the air of the harmful one is taken each time.
    Altitude {
        /// For water that hangs or boils, m.
        highest_m: f64,
        /// For what presses on the pipe and for air shut in, m.
        lowest_m: f64,
    },
    /// Hottest air, degrees C.
    HottestAir(f64),
    /// No sun on pipe that lies bare.
    Shade,
    /// Temperatures of the water, degrees C.
    Water {
        /// For running figures.
        usual_c: f64,
        /// The cold end.
        coldest_c: f64,
        /// The warm end.
        warmest_c: f64,
    },
    /// The pipe of this spec lies there already.
    Laid(String),
    /// The pipe of this spec comes in the lengths that are usual.
    Pieces {
        /// The pipe.
        spec: String,
        /// In coils, else in sticks.
        coil: bool,
    },
    /// The joints that are usual for the pipe of this spec.
    Joints {
        /// The pipe.
        spec: String,
        /// The joint.
        joint: Joint,
    },
    /// The pipe of this spec is new.
    New(String),
    /// Discharge coefficient of the jets.
    Discharge(f64),
    /// The limit of the gauge at a station, as a share of its reading.
    GaugeLimit {
        /// Where the gauge sits, m.
        station_m: f64,
        /// The share, 0 to 1.
        share: f64,
    },
}

crate::text::by_word! {
    Assumed {
        Self::SurveyedCentre => "surveyed-centre",
        Self::SurveyedGround => "surveyed-ground",
        Self::Cover => "cover",
        Self::WaterLevel => "water-level",
        Self::Runaway { .. } => "runaway",
        Self::NoRunaway => "no-runaway",
        Self::StreamAsMeasured(..) => "stream-as-measured",
        Self::Gravity(..) => "gravity",
        Self::Altitude { .. } => "altitude",
        Self::HottestAir(..) => "hottest-air",
        Self::Shade => "shade",
        Self::Water { .. } => "water",
        Self::Laid(..) => "laid",
        Self::Pieces { .. } => "pipe-lengths",
        Self::Joints { .. } => "joints",
        Self::New(..) => "new",
        Self::Discharge(..) => "discharge",
        Self::GaugeLimit { .. } => "gauge-limit",
    }
}
