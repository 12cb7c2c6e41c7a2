use super::QuantityKind;
use super::exact::{
    FOOT_M, IMPERIAL_GALLON_M3, INCH_M, METRE_HEAD_PA, POUND_FORCE_N, PSI_PA, US_GALLON_M3,
};
use super::physics::STANDARD_GRAVITY_M_PER_S2;

/// A unit: SI value = (figure + offset) x factor.
///
/// Factors: NIST SP 811 (2008), Appendix B.8 and B.9; the foot is the international foot, the gallon the US gallon unless it says imperial,
/// heads are of conventional water (1 m = 9 806.65 Pa).
#[derive(Debug, Clone, Copy)]
pub(super) struct Unit {
    /// Spellings; the first one is the one to print.
    pub(super) names: &'static [&'static str],
    /// SI units in one of these.
    pub(super) factor: f64,
    /// Added to the figure first (temperatures).
    pub(super) offset: f64,
}

impl Unit {
    /// A figure in this unit as SI. A unit that is a whole part of the SI unit divides, so that 9 mm is 0.009 m to the last bit.
    pub(super) fn to_si(self, figure: f64) -> f64 {
        let parts = (1.0 / self.factor).round();
        let value = figure + self.offset;
        if parts > 1.0 && (parts * self.factor - 1.0).abs() < 1e-14 {
            value / parts
        } else {
            value * self.factor
        }
    }
}

const fn unit(names: &'static [&'static str], factor: f64) -> Unit {
    Unit {
        names,
        factor,
        offset: 0.0,
    }
}

const DEGREE_RAD: f64 = std::f64::consts::PI / 180.0;

const LENGTHS: &[Unit] = &[
    unit(
        &[
            "mm",
            "millimetre",
            "millimetres",
            "millimeter",
            "millimeters",
        ],
        1e-3,
    ),
    unit(
        &[
            "cm",
            "centimetre",
            "centimetres",
            "centimeter",
            "centimeters",
        ],
        1e-2,
    ),
    unit(&["m", "metre", "metres", "meter", "meters"], 1.0),
    unit(
        &["km", "kilometre", "kilometres", "kilometer", "kilometers"],
        1e3,
    ),
    unit(&["um", "\u{b5}m", "\u{3bc}m", "micron", "microns"], 1e-6),
    unit(
        &["in", "in.", "inch", "inches", "\"", "\u{2033}", "''"],
        INCH_M,
    ),
    unit(&["ft", "ft.", "foot", "feet", "'", "\u{2032}"], FOOT_M),
    unit(&["yd", "yard", "yards"], 3.0 * FOOT_M),
];

const STATIONS: &[Unit] = &[
    unit(&["m", "metre", "metres", "meter", "meters"], 1.0),
    unit(
        &["km", "kilometre", "kilometres", "kilometer", "kilometers"],
        1e3,
    ),
    unit(&["ft", "ft.", "foot", "feet", "'", "\u{2032}"], FOOT_M),
];

const PRESSURES: &[Unit] = &[
    unit(&["Pa", "pascal", "pascals"], 1.0),
    unit(&["kPa"], 1e3),
    unit(&["MPa", "N/mm2", "N/mm\u{b2}"], 1e6),
    unit(&["bar", "bars", "bar g", "barg"], 1e5),
    unit(&["mbar"], 1e2),
    unit(&["psi", "psig", "lbf/in2"], PSI_PA),
    unit(
        &["kgf/cm2", "kgf/cm\u{b2}", "kg/cm2"],
        STANDARD_GRAVITY_M_PER_S2 * 1e4,
    ),
    unit(
        &[
            "m head",
            "m of head",
            "m water",
            "m of water",
            "mH2O",
            "mWC",
            "m wc",
        ],
        METRE_HEAD_PA,
    ),
    unit(
        &[
            "ft head",
            "ft of head",
            "feet head",
            "feet of head",
            "ft water",
            "ft of water",
            "feet of water",
            "ftH2O",
        ],
        FOOT_M * METRE_HEAD_PA,
    ),
];

const HEADS: &[Unit] = &[
    unit(
        &[
            "m head",
            "m",
            "m of head",
            "m water",
            "m of water",
            "mH2O",
            "mWC",
            "m wc",
            "metres head",
            "meters head",
        ],
        1.0,
    ),
    unit(
        &[
            "ft head",
            "ft",
            "ft of head",
            "feet head",
            "feet of head",
            "ft water",
            "ft of water",
            "feet of water",
            "ftH2O",
        ],
        FOOT_M,
    ),
    unit(&["kPa"], 1e3 / METRE_HEAD_PA),
    unit(&["bar", "bars"], 1e5 / METRE_HEAD_PA),
    unit(&["mbar"], 1e2 / METRE_HEAD_PA),
    unit(&["psi", "psig"], PSI_PA / METRE_HEAD_PA),
];

const FLOWS: &[Unit] = &[
    unit(
        &[
            "L/s", "l/s", "lps", "litres/s", "liters/s", "L/sec", "l/sec",
        ],
        1e-3,
    ),
    unit(&["L/min", "l/min", "lpm"], 1e-3 / 60.0),
    unit(&["L/h", "l/h"], 1e-3 / 3600.0),
    unit(&["m3/s", "m\u{b3}/s", "m^3/s"], 1.0),
    unit(&["m3/h", "m\u{b3}/h", "m^3/h", "m3/hr"], 1.0 / 3600.0),
    unit(
        &[
            "gpm",
            "US gpm",
            "usgpm",
            "gal/min",
            "US gal/min",
            "gpm (US)",
        ],
        US_GALLON_M3 / 60.0,
    ),
    unit(
        &[
            "igpm",
            "imp gpm",
            "imperial gpm",
            "imp gal/min",
            "UK gpm",
            "gpm (imperial)",
        ],
        IMPERIAL_GALLON_M3 / 60.0,
    ),
    unit(
        &["cfs", "ft3/s", "ft\u{b3}/s", "ft^3/s", "cusec"],
        FOOT_M * FOOT_M * FOOT_M,
    ),
    unit(
        &["cfm", "ft3/min", "ft\u{b3}/min"],
        FOOT_M * FOOT_M * FOOT_M / 60.0,
    ),
];

const TEMPERATURES: &[Unit] = &[
    unit(
        &[
            "C", "\u{b0}C", "\u{b0} C", "deg C", "degC", "\u{2103}", "\u{ba}C", "celsius",
        ],
        1.0,
    ),
    Unit {
        names: &[
            "F",
            "\u{b0}F",
            "\u{b0} F",
            "deg F",
            "degF",
            "\u{2109}",
            "\u{ba}F",
            "fahrenheit",
        ],
        factor: 5.0 / 9.0,
        offset: -32.0,
    },
    Unit {
        names: &["K", "kelvin"],
        factor: 1.0,
        offset: -273.15,
    },
];

const ANGLES: &[Unit] = &[
    unit(
        &["deg", "\u{b0}", "degree", "degrees", "\u{ba}"],
        DEGREE_RAD,
    ),
    unit(&["rad", "radian", "radians"], 1.0),
    unit(&["gon", "gons"], std::f64::consts::PI / 200.0),
    unit(
        &["'", "\u{2032}", "arcmin", "arc minutes"],
        DEGREE_RAD / 60.0,
    ),
];

const GRADES: &[Unit] = &[
    unit(&["%", "percent", "per cent", "pct"], 1e-2),
    unit(
        &["\u{2030}", "per mille", "permille", "per mil", "mm/m"],
        1e-3,
    ),
    unit(&["m/m"], 1.0),
];

const SPEEDS: &[Unit] = &[
    unit(&["m/s", "mps", "m/sec"], 1.0),
    unit(&["km/h", "kph", "kmh", "km/hr"], 1.0 / 3.6),
    unit(&["ft/s", "fps", "ft/sec"], FOOT_M),
    unit(&["mph"], 5280.0 * FOOT_M / 3600.0),
];

const FORCES: &[Unit] = &[
    unit(&["N", "newton", "newtons"], 1.0),
    unit(&["kN"], 1e3),
    unit(&["lbf"], POUND_FORCE_N),
    unit(&["kgf"], STANDARD_GRAVITY_M_PER_S2),
];

const TIMES: &[Unit] = &[
    unit(&["s", "sec", "secs", "second", "seconds"], 1.0),
    unit(&["ms"], 1e-3),
    unit(&["min", "mins", "minute", "minutes"], 60.0),
    unit(&["h", "hr", "hour", "hours"], 3600.0),
];

const MODULI: &[Unit] = &[
    unit(&["Pa"], 1.0),
    unit(&["kPa"], 1e3),
    unit(&["MPa", "N/mm2", "N/mm\u{b2}"], 1e6),
    unit(&["GPa", "kN/mm2"], 1e9),
    unit(&["psi"], PSI_PA),
    unit(&["ksi"], 1e3 * PSI_PA),
    unit(&["bar"], 1e5),
];

/// The units of a kind.
pub(super) fn units(kind: QuantityKind) -> &'static [Unit] {
    match kind {
        QuantityKind::Length => LENGTHS,
        QuantityKind::Station => STATIONS,
        QuantityKind::Pressure => PRESSURES,
        QuantityKind::Head => HEADS,
        QuantityKind::Flow => FLOWS,
        QuantityKind::Temperature => TEMPERATURES,
        QuantityKind::Angle => ANGLES,
        QuantityKind::Grade => GRADES,
        QuantityKind::Speed => SPEEDS,
        QuantityKind::Force => FORCES,
        QuantityKind::Time => TIMES,
        QuantityKind::Modulus => MODULI,
    }
}

/// The unit of a kind by its text: as spelled, else in any case. "mPa" is a thousandth of a pascal to one reader and a million to another: never taken.
pub(super) fn find(kind: QuantityKind, text: &str) -> Option<&'static Unit> {
    of_spelling(kind, &squeeze(text))
}

/// The other kinds that have a unit of this text, the first of them.
pub(super) fn other_kind(kind: QuantityKind, text: &str) -> Option<QuantityKind> {
    let text = squeeze(text);
    QuantityKind::ALL
        .into_iter()
        .find(|&k| k != kind && of_spelling(k, &text).is_some())
}

fn of_spelling(kind: QuantityKind, text: &str) -> Option<&'static Unit> {
    if text == "mPa" {
        return None;
    }
    let table = units(kind);
    let in_any_case = |name: &str| {
        let lower = |s| str::chars(s).flat_map(char::to_lowercase);
        lower(name).eq(lower(text))
    };
    table.iter().find(|u| u.names.contains(&text)).or_else(|| {
        table
            .iter()
            .find(|u| u.names.iter().any(|n| in_any_case(n)))
    })
}

/// One blank where there were several, and none round a slash.
fn squeeze(text: &str) -> String {
    text.split_whitespace()
        .collect::<Vec<_>>()
        .join(" ")
        .replace(" / ", "/")
        .replace(" /", "/")
        .replace("/ ", "/")
}
