use super::Limit;
use super::exact::{FOOT_M, INCH_M, POUND_FORCE_N, PSI_PA, US_GALLON_M3};
use super::physics::STANDARD_GRAVITY_M_PER_S2;
use crate::numeric::math;
use std::fmt;

crate::text::words! {
    /// How results are shown.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
    pub enum Units {
        /// Metres, bar, litres a second.
        #[default]
        Metric = "metric",
        /// Feet, psi, US gallons a minute.
        Us = "us",
    }
}

/// What a shown figure is of: chooses its unit and how fine it is shown where no doubt is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Quantity {
    /// A length along or across, m.
    Length,
    /// A bore, a nozzle, a wall, m.
    Bore,
    /// A head of water, m.
    Head,
    /// A pressure, Pa.
    Pressure,
    /// A flow, m3/s.
    Flow,
    /// A speed, m/s.
    Speed,
    /// A temperature, C.
    Temperature,
    /// A force, N.
    Force,
    /// A force a metre, N/m.
    ForcePerLength,
    /// An area, m2.
    Area,
    /// A time, s.
    Time,
    /// A power, W.
    Power,
    /// A volume, m3.
    Volume,
    /// A mass a metre, kg/m.
    MassPerLength,
    /// A mass, kg.
    Mass,
}

/// The `+-` of a shown figure is this many standard deviations: about 19 in 20 lie within.
pub const DOUBT_SDS: f64 = 2.0;

/// A figure in SI with its standard deviation where one is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Figure {
    /// The value, SI.
    pub value: f64,
    /// Its standard deviation in the same unit. `None`: not known, or none to speak of.
    pub sd: Option<f64>,
    /// What it is of.
    pub quantity: Quantity,
}

/// A figure ready to print: no digit stands below its doubt.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Shown {
    /// The value's digits; "not certain" where the value is not a number.
    pub value: String,
    /// The doubt's digits, in the same unit.
    pub doubt: Option<String>,
    /// The unit; empty where the value is not certain.
    pub unit: &'static str,
}

impl Figure {
    /// A figure without a doubt.
    pub fn new(quantity: Quantity, value: f64) -> Self {
        Self {
            value,
            sd: None,
            quantity,
        }
    }

    /// The same figure with its standard deviation.
    #[must_use]
    pub fn sd(mut self, sd: f64) -> Self {
        self.sd = Some(sd);
        self
    }

    /// The figure in words: "78 m +- 8".
    pub fn show(self, units: Units) -> String {
        self.parts(units).to_string()
    }

    /// The figure as a limit, rounded to the side that is safe: "at least 4.99 kN" for 4,982 N. Its doubt is counted in it already.
    pub fn limit(self, side: Limit, units: Units) -> String {
        let face = face(self.quantity, units, self.value);
        let value = self.value / face.size - face.shift;
        if !value.is_finite() {
            return self.show(units);
        }
        let place = plain_place(value, &face);
        Shown {
            value: digits(side.rounded(value, ten(place)), place),
            doubt: None,
            unit: face.unit,
        }
        .to_string()
    }

    /// The figure's digits, doubt and unit apart, for tables.
    pub fn parts(self, units: Units) -> Shown {
        let face = face(self.quantity, units, self.value);
        let value = self.value / face.size - face.shift;
        if !value.is_finite() {
            return Shown {
                value: "not certain".to_owned(),
                doubt: None,
                unit: "",
            };
        }
        let doubt = self
            .sd
            .map(|sd| DOUBT_SDS * sd.abs() / face.size)
            .filter(|d| d.is_finite());
        match doubt {
            Some(doubt) if rounds_to_something(doubt, face.decimals) => {
                let place = doubt_place(doubt).max(-face.decimals);
                Shown {
                    value: digits(value, place),
                    doubt: Some(digits(round_up(doubt, place), place)),
                    unit: face.unit,
                }
            }
            _ => Shown {
                value: digits(value, plain_place(value, &face)),
                doubt: None,
                unit: face.unit,
            },
        }
    }
}

impl fmt::Display for Shown {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.value)?;
        if !self.unit.is_empty() {
            write!(f, " {}", self.unit)?;
        }
        match &self.doubt {
            Some(doubt) => write!(f, " +- {doubt}"),
            None => Ok(()),
        }
    }
}

/// How a quantity is shown: its unit, that unit's size in SI, and the finest decimals worth printing.
struct UnitFace {
    unit: &'static str,
    size: f64,
    shift: f64,
    decimals: i32,
}

const fn plain(unit: &'static str, size: f64, decimals: i32) -> UnitFace {
    UnitFace {
        unit,
        size,
        shift: 0.0,
        decimals,
    }
}

fn face(quantity: Quantity, units: Units, value: f64) -> UnitFace {
    let size = value.abs();
    let large = |step: f64| size >= step;
    match (quantity, units) {
        (Quantity::Length | Quantity::Head, Units::Metric) => plain("m", 1.0, 2),
        (Quantity::Length | Quantity::Head, Units::Us) => plain("ft", FOOT_M, 2),
        (Quantity::Bore, Units::Metric) => plain("mm", 1e-3, 1),
        (Quantity::Bore, Units::Us) => plain("in", INCH_M, 3),
        (Quantity::Pressure, Units::Metric) => plain("bar", 1e5, 2),
        (Quantity::Pressure, Units::Us) => plain("psi", PSI_PA, 1),
        (Quantity::Flow, Units::Metric) => plain("L/s", 1e-3, 2),
        (Quantity::Flow, Units::Us) => plain("gpm", US_GALLON_M3 / 60.0, 1),
        (Quantity::Speed, Units::Metric) => plain("m/s", 1.0, 2),
        (Quantity::Speed, Units::Us) => plain("ft/s", FOOT_M, 1),
        (Quantity::Temperature, Units::Metric) => plain("\u{b0}C", 1.0, 1),
        (Quantity::Temperature, Units::Us) => UnitFace {
            shift: -32.0,
            ..plain("\u{b0}F", 5.0 / 9.0, 0)
        },
        (Quantity::Force, Units::Metric) if large(1e3) => plain("kN", 1e3, 2),
        (Quantity::Force, Units::Metric) => plain("N", 1.0, 0),
        (Quantity::Force, Units::Us) => plain("lbf", POUND_FORCE_N, 0),
        (Quantity::ForcePerLength, Units::Metric) => plain("N/m", 1.0, 0),
        (Quantity::ForcePerLength, Units::Us) => plain("lbf/ft", POUND_FORCE_N / FOOT_M, 1),
        (Quantity::Area, Units::Metric) => plain("m\u{b2}", 1.0, 2),
        (Quantity::Area, Units::Us) => plain("ft\u{b2}", FOOT_M * FOOT_M, 1),
        (Quantity::Time, _) if large(7200.0) => plain("h", 3600.0, 1),
        (Quantity::Time, _) if large(120.0) => plain("min", 60.0, 1),
        (Quantity::Time, _) => plain("s", 1.0, 2),
        (Quantity::Power, _) if large(1e3) => plain("kW", 1e3, 2),
        (Quantity::Power, _) => plain("W", 1.0, 0),
        (Quantity::Volume, Units::Metric) if large(1.0) => plain("m\u{b3}", 1.0, 2),
        (Quantity::Volume, Units::Metric) => plain("L", 1e-3, 1),
        (Quantity::Volume, Units::Us) => plain("gal", US_GALLON_M3, 1),
        (Quantity::MassPerLength, Units::Metric) => plain("kg/m", 1.0, 2),
        (Quantity::MassPerLength, Units::Us) => plain(
            "lb/ft",
            POUND_FORCE_N / STANDARD_GRAVITY_M_PER_S2 / FOOT_M,
            2,
        ),
        (Quantity::Mass, Units::Metric) => plain("kg", 1.0, 1),
        (Quantity::Mass, Units::Us) => plain("lb", POUND_FORCE_N / STANDARD_GRAVITY_M_PER_S2, 1),
    }
}

/// The last place worth printing without a doubt, as a power of ten: three digits, never rounding whole ones away.
fn plain_place(value: f64, face: &UnitFace) -> i32 {
    if value == 0.0 {
        return -face.decimals;
    }
    (leading_place(value) - 2).clamp(-face.decimals, 0)
}

/// Whether a doubt is large enough to be seen in the finest decimals shown.
fn rounds_to_something(doubt: f64, decimals: i32) -> bool {
    doubt > 0.05 * ten(-decimals)
}

/// The place a doubt is rounded at: its first digit, or its second where the first is a 1.
fn doubt_place(doubt: f64) -> i32 {
    let lead = leading_place(doubt);
    if doubt / ten(lead) < 2.0 {
        lead - 1
    } else {
        lead
    }
}

/// A doubt is rounded up, so that what is printed never promises more than is known.
fn round_up(doubt: f64, place: i32) -> f64 {
    let step = ten(place);
    (doubt / step * (1.0 - 1e-9)).ceil() * step
}

fn leading_place(value: f64) -> i32 {
    math::log10(value.abs()).floor() as i32
}

fn ten(power: i32) -> f64 {
    math::powi(10f64, power)
}

/// Digits down to a power of ten; no minus before a zero.
fn digits(value: f64, place: i32) -> String {
    let decimals = usize::try_from(-place).unwrap_or(0);
    let rounded = if place > 0 {
        (value / ten(place)).round() * ten(place)
    } else {
        value
    };
    let text = format!("{rounded:.decimals$}");
    match text.strip_prefix('-') {
        Some(rest) if rest.chars().all(|c| matches!(c, '0' | '.')) => rest.to_owned(),
        _ => text,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::unit::{QuantityKind, parse};
    use proptest::prelude::*;

    #[test]
    fn limits_are_rounded_towards_safety() {
        let told = |q, v, side| Figure::new(q, v).limit(side, Units::Metric);
        assert_eq!(told(Quantity::Force, 4_982.3, Limit::AtLeast), "4.99 kN");
        assert_eq!(told(Quantity::Force, 4_980.0, Limit::AtLeast), "4.98 kN");
        assert_eq!(told(Quantity::Bore, 0.014_71, Limit::AtLeast), "14.8 mm");
        assert_eq!(told(Quantity::Head, 0.103, Limit::AtLeast), "0.11 m");
        assert_eq!(told(Quantity::Pressure, 5.679e5, Limit::AtMost), "5.67 bar");
    }

    #[test]
    fn no_digit_below_the_doubt() {
        for (figure, metric, us) in [
            (
                Figure::new(Quantity::Head, 78.4).sd(4.0),
                "78 m +- 8",
                "260 ft +- 30",
            ),
            (
                Figure::new(Quantity::Pressure, 758_423.0).sd(40_000.0),
                "7.6 bar +- 0.8",
                "110 psi +- 12",
            ),
            (
                Figure::new(Quantity::Head, 412.304).sd(0.005),
                "412.30 m +- 0.01",
                "1352.70 ft +- 0.04",
            ),
            (Figure::new(Quantity::Head, 412.304), "412 m", "1353 ft"),
            (
                Figure::new(Quantity::Flow, 0.005_994),
                "5.99 L/s",
                "95.0 gpm",
            ),
            (Figure::new(Quantity::Bore, 0.0762), "76.2 mm", "3.00 in"),
            (
                Figure::new(Quantity::Temperature, 8.0).sd(1.0),
                "8 \u{b0}C +- 2",
                "46 \u{b0}F +- 4",
            ),
            (
                Figure::new(Quantity::Power, 1834.0).sd(300.0),
                "1.8 kW +- 0.6",
                "1.8 kW +- 0.6",
            ),
            (Figure::new(Quantity::Length, -0.001), "0.00 m", "0.00 ft"),
            (
                Figure::new(Quantity::Length, 640.0).sd(60.0),
                "640 m +- 120",
                "2100 ft +- 400",
            ),
            (
                Figure::new(Quantity::Length, f64::NAN),
                "not certain",
                "not certain",
            ),
        ] {
            assert_eq!(figure.show(Units::Metric), metric);
            assert_eq!(figure.show(Units::Us), us);
        }
    }

    proptest! {
        #[test]
        fn what_is_shown_holds_the_value(value in -1e5..1e5f64, sd in 1e-3..1e4f64) {
            let shown = Figure::new(Quantity::Length, value).sd(sd).parts(Units::Metric);
            let digits: f64 = shown.value.parse().unwrap();
            let doubt: f64 = shown.doubt.clone().unwrap().parse().unwrap();
            // The doubt is never understated, nor more than doubled; the value is off by at most half the doubt's last place.
            prop_assert!(doubt >= DOUBT_SDS * sd * (1.0 - 1e-6) || doubt == 0.01);
            prop_assert!(doubt <= DOUBT_SDS * sd * 2.0 + 0.0101);
            prop_assert!((digits - value).abs() <= 0.51 * doubt.max(0.01));
            let decimals = |t: &str| t.split_once('.').map_or(0, |(_, d)| d.len());
            prop_assert!(decimals(&shown.value) <= decimals(&shown.doubt.unwrap()));
        }

        /// A limit that is printed and obeyed is enough, in either system, and not much more than is asked for.
        #[test]
        fn a_limit_obeyed_is_enough(value in 1e-3..1e6f64) {
            for (quantity, kind, scale) in [
                (Quantity::Length, QuantityKind::Length, 1.0),
                (Quantity::Bore, QuantityKind::Length, 1e-3),
                (Quantity::Pressure, QuantityKind::Pressure, 1e5),
                (Quantity::Flow, QuantityKind::Flow, 1e-3),
                (Quantity::Force, QuantityKind::Force, 1.0),
                (Quantity::Time, QuantityKind::Time, 1.0),
            ] {
                let figure = Figure::new(quantity, value * scale);
                for units in [Units::Metric, Units::Us] {
                    for side in [Limit::AtLeast, Limit::AtMost] {
                        let told = parse(kind, &figure.limit(side, units)).unwrap();
                        prop_assert!(side.holds(told, figure.value), "{} {}", figure.limit(side, units), figure.value);
                        let face = face(quantity, units, figure.value);
                        let step = ten(plain_place(figure.value / face.size - face.shift, &face)) * face.size;
                        prop_assert!((told - figure.value).abs() <= 1.001 * step + 1e-8 * figure.value);
                    }
                }
            }
        }

        #[test]
        fn what_is_shown_reads_back(value in 1e-3..1e3f64) {
            for (quantity, kind, scale) in [
                (Quantity::Length, QuantityKind::Length, 1.0),
                (Quantity::Bore, QuantityKind::Length, 1e-3),
                (Quantity::Pressure, QuantityKind::Pressure, 1e5),
                (Quantity::Flow, QuantityKind::Flow, 1e-3),
                (Quantity::Speed, QuantityKind::Speed, 1.0),
                (Quantity::Temperature, QuantityKind::Temperature, 1.0),
                (Quantity::Force, QuantityKind::Force, 1.0),
                        (Quantity::Time, QuantityKind::Time, 1.0),
            ] {
                for units in [Units::Metric, Units::Us] {
                    let figure = Figure::new(quantity, value * scale);
                    let back = parse(kind, &figure.show(units)).unwrap();
                    let face = face(quantity, units, figure.value);
                    let step = ten(plain_place(figure.value / face.size - face.shift, &face)) * face.size;
                    prop_assert!((back - figure.value).abs() <= 0.501 * step + 1e-9 * figure.value, "{} {back}", figure.show(units));
                }
            }
        }
    }
}
