use super::form::simple;
use super::{Misread, QuantityKind, form};

/// A quantity as a person writes it, in SI (temperatures in C, grades as a fraction).
///
/// Taken: a number with a decimal point, an exponent or a fraction ("1 1/2 in"), then a unit with or without a blank, in any case;
/// "5' 6\"", "12+50 ft", "0+250 m", "12° 30'", "1 in 40". Refused: a number without a unit, nan and inf, what is too large to be a number, a decimal comma.
pub fn parse(kind: QuantityKind, text: &str) -> Result<f64, Misread> {
    let clean = form::clean(text);
    let value = match form::compound(kind, &clean) {
        Some(value) => value?,
        None => simple(kind, &clean)?,
    };
    if value.is_finite() {
        Ok(value)
    } else {
        Err(Misread::not_finite(kind, &clean))
    }
}

/// A length, m.
pub fn length_m(text: &str) -> Result<f64, Misread> {
    parse(QuantityKind::Length, text)
}

/// A station, m.
pub fn station_m(text: &str) -> Result<f64, Misread> {
    parse(QuantityKind::Station, text)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::unit::table::units;
    use proptest::prelude::*;

    fn close(kind: QuantityKind, text: &str, want: f64) {
        let got = parse(kind, text).unwrap_or_else(|e| panic!("{text}: {e}"));
        assert!(
            (got - want).abs() <= 1e-12 * want.abs().max(1e-9),
            "{text}: {got} for {want}"
        );
    }

    #[test]
    fn quantities_as_written() {
        for (text, want) in [
            ("90 mm", 0.09),
            ("90mm", 0.09),
            ("3 in", 0.0762),
            ("3\"", 0.0762),
            ("1/4 in", 0.00635),
            ("1 1/2\"", 0.0381),
            ("1-1/2 in", 0.0381),
            ("2\u{bd} in", 0.0635),
            ("5'", 1.524),
            ("5' 6\"", 1.6764),
            ("5 ft 6 in", 1.6764),
            ("5'6 1/2\"", 1.6891),
            ("1e3 mm", 1.0),
            ("\u{2212}0.4 m", -0.4),
            ("0.5\u{a0}yd", 0.4572),
            ("10 \u{b5}m", 1e-5),
        ] {
            close(QuantityKind::Length, text, want);
        }
        for (text, want) in [
            ("310 m", 310.0),
            ("0+250 m", 250.0),
            ("1+050 m", 1050.0),
            ("12+50 ft", 381.0),
            ("12+50 m", 1250.0),
            ("1+050.5m", 1050.5),
        ] {
            close(QuantityKind::Station, text, want);
        }
        for (text, want) in [
            ("5 bar", 5e5),
            ("12 m head", 117_679.8),
            ("0.6 MPa", 6e5),
            ("600 kpa", 6e5),
            ("1 kgf/cm2", 98_066.5),
        ] {
            close(QuantityKind::Pressure, text, want);
        }
        close(QuantityKind::Flow, "6 l/s", 0.006);
        close(QuantityKind::Flow, "60 L / min", 0.001);
        close(QuantityKind::Temperature, "8 \u{b0}C", 8.0);
        close(QuantityKind::Temperature, "46 F", 70.0 / 9.0);
        close(QuantityKind::Temperature, "-12 deg C", -12.0);
        close(QuantityKind::Angle, "45 deg", std::f64::consts::FRAC_PI_4);
        close(QuantityKind::Angle, "12\u{b0} 30'", 12.5f64.to_radians());
        close(
            QuantityKind::Angle,
            "-12\u{b0}30'36\"",
            -12.51f64.to_radians(),
        );
        close(QuantityKind::Angle, "0.5 deg", 0.5f64.to_radians());
        close(QuantityKind::Grade, "1 in 40", 0.025);
        close(QuantityKind::Grade, "1:100", 0.01);
        close(QuantityKind::Grade, "2.5 %", 0.025);
        close(QuantityKind::Grade, "25 per mille", 0.025);
        close(QuantityKind::Grade, "45 deg", 1.0);
        close(QuantityKind::Head, "3 m head", 3.0);
        close(QuantityKind::Head, "10 ft", 3.048);
        close(QuantityKind::Time, "8 s", 8.0);
        close(QuantityKind::Modulus, "0.9 GPa", 9e8);
    }

    #[test]
    fn what_is_refused_says_why() {
        for (kind, text, first) in [
            (QuantityKind::Length, "90", "a length needs its unit"),
            (QuantityKind::Length, "", "this is not a length"),
            (QuantityKind::Length, "nan m", "not a finite number"),
            (QuantityKind::Length, "inf", "not a finite number"),
            (QuantityKind::Length, "1e400 m", "not a finite number"),
            (QuantityKind::Length, "1e308 km", "not a finite number"),
            (QuantityKind::Length, "12,5 mm", "a decimal comma"),
            (QuantityKind::Length, "1,200.5 mm", "a decimal comma"),
            (
                QuantityKind::Length,
                "10 bar",
                "found a pressure, where a length is needed",
            ),
            (QuantityKind::Length, "1/0 in", "not a finite number"),
            (
                QuantityKind::Length,
                "3 inn",
                "\"inn\" is not a unit of length",
            ),
            (
                QuantityKind::Station,
                "12+5 ft",
                "the plus of a station is followed by two or three digits",
            ),
            (QuantityKind::Station, "12+50", "a station needs its unit"),
            (QuantityKind::Pressure, "5 mPa", "\"mPa\" has two meanings"),
            (
                QuantityKind::Pressure,
                "12 m",
                "found a length, where a pressure is needed",
            ),
            (
                QuantityKind::Force,
                "200 lb",
                "\"lb\" is not a unit of force",
            ),
            (QuantityKind::Grade, "0.02", "a grade needs its unit"),
            (QuantityKind::Grade, "1 in 0", "not a finite number"),
            (
                QuantityKind::Grade,
                "90 deg",
                "a grade is less than 89 degrees",
            ),
            (
                QuantityKind::Angle,
                "12\u{b0} 75'",
                "minutes and seconds of an angle are less than 60",
            ),
            (QuantityKind::Length, "pipe", "this is not a length"),
        ] {
            let misread = parse(kind, text).unwrap_err();
            assert_eq!(misread.text, first, "{text}");
            assert!(!misread.expected.is_empty() && !misread.advice.is_empty());
        }
    }

    #[test]
    fn no_spelling_means_two_units_of_one_kind() {
        for kind in QuantityKind::ALL {
            let mut seen = std::collections::BTreeMap::new();
            for (index, unit) in units(kind).iter().enumerate() {
                for name in unit.names {
                    let before = seen.insert(name.to_lowercase(), index);
                    assert!(before.is_none_or(|b| b == index), "{kind:?}: {name}");
                    let want = unit.to_si(2.0);
                    assert_eq!(
                        parse(kind, &format!("2 {name}")).ok(),
                        Some(want),
                        "{kind:?}: 2 {name}"
                    );
                }
            }
            assert!(parse(kind, kind.example()).is_ok());
        }
    }

    proptest! {
        #[test]
        fn no_text_panics(text in "\\PC{0,24}", kind in 0..12usize) {
            if let Ok(value) = parse(QuantityKind::ALL[kind], &text) {
                prop_assert!(value.is_finite());
            }
        }

        #[test]
        fn near_quantities_do_not_panic(text in "[0-9+\\-./, '\"°:einftm%]{0,12}", kind in 0..12usize) {
            if let Ok(value) = parse(QuantityKind::ALL[kind], &text) {
                prop_assert!(value.is_finite());
            }
        }

        #[test]
        fn a_bare_number_is_never_taken(x in -1e6..1e6f64, kind in 0..12usize) {
            let text = x.to_string();
            prop_assert!(parse(QuantityKind::ALL[kind], &text).is_err());
        }

        #[test]
        fn every_unit_is_a_straight_line(x in -1e4..1e4f64, kind in 0..12usize, pick in 0..64usize) {
            let kind = QuantityKind::ALL[kind];
            let table = units(kind);
            let unit = table[pick % table.len()];
            let got = parse(kind, &format!("{x}{}", unit.names[0])).unwrap();
            let back = got / unit.factor - unit.offset;
            prop_assert!((back - x).abs() <= 1e-9 * x.abs().max(1.0));
        }
    }
}
