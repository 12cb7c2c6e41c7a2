/// What a quantity measures: says which units its text may have and which SI unit it becomes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum QuantityKind {
    /// A length, m.
    Length,
    /// A station along the pipe, m.
    Station,
    /// A pressure above the air's, Pa.
    Pressure,
    /// A height of water, m.
    Head,
    /// A flow, m3/s.
    Flow,
    /// A temperature, C.
    Temperature,
    /// An angle, rad.
    Angle,
    /// A grade, rise over level distance.
    Grade,
    /// A speed, m/s.
    Speed,
    /// A force, N.
    Force,
    /// A time, s.
    Time,
    /// A modulus of elasticity, Pa.
    Modulus,
}

impl QuantityKind {
    /// Every kind there is.
    pub const ALL: [Self; 12] = [
        Self::Length,
        Self::Station,
        Self::Pressure,
        Self::Head,
        Self::Flow,
        Self::Temperature,
        Self::Angle,
        Self::Grade,
        Self::Speed,
        Self::Force,
        Self::Time,
        Self::Modulus,
    ];

    /// What it is called in a message.
    pub fn noun(self) -> &'static str {
        match self {
            Self::Length => "a length",
            Self::Station => "a station",
            Self::Pressure => "a pressure",
            Self::Head => "a head of water",
            Self::Flow => "a flow",
            Self::Temperature => "a temperature",
            Self::Angle => "an angle",
            Self::Grade => "a grade",
            Self::Speed => "a speed",
            Self::Force => "a force",
            Self::Time => "a time",
            Self::Modulus => "a modulus",
        }
    }

    /// The units its text may have, as a message lists them.
    pub fn choices(self) -> &'static str {
        match self {
            Self::Length => "mm, cm, m, km, in, ft, yd",
            Self::Station => "m, km, ft, or with a plus: \"0+250 m\", \"12+50 ft\"",
            Self::Pressure => "Pa, kPa, MPa, bar, psi, kgf/cm2, m head, ft head",
            Self::Head => "m head, ft head, kPa, bar, psi",
            Self::Flow => "L/s, L/min, m3/s, m3/h, gpm (US), igpm, cfs",
            Self::Temperature => "C, F, K",
            Self::Angle => "deg, rad, gon, or degrees and minutes: \"12\u{b0} 30'\"",
            Self::Grade => "\"1 in 40\", \"2.5 %\", \"25 per mille\", \"1.4 deg\"",
            Self::Speed => "m/s, km/h, ft/s, mph",
            Self::Force => "N, kN, lbf, kgf",
            Self::Time => "s, ms, min, h",
            Self::Modulus => "Pa, MPa, GPa, psi, ksi",
        }
    }

    /// A text that would be taken, for a message.
    pub fn example(self) -> &'static str {
        match self {
            Self::Length => "90 mm",
            Self::Station => "250 m",
            Self::Pressure => "10 bar",
            Self::Head => "3 m head",
            Self::Flow => "6 L/s",
            Self::Temperature => "8 C",
            Self::Angle => "45 deg",
            Self::Grade => "1 in 40",
            Self::Speed => "2 m/s",
            Self::Force => "2 kN",
            Self::Time => "8 s",
            Self::Modulus => "900 MPa",
        }
    }
}
