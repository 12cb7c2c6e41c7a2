//! How a field book was kept: what `[survey]` and `[[survey.part]]` say beside the columns.

use super::key::KeyForm;
use super::section::Section;
use super::survey::Booked;
use super::{bounds as b, words as w};
use crate::reading::{LevellingOrder, Tape};
use crate::unit::{QuantityKind, parse};
use toml::de::DeValue;

/// Kilometres in an international mile (NIST SP 811, 2008, Appendix B).
const KM_PER_MILE: f64 = 1.609_344;

/// The keys of a book, of a whole survey or of a part.
pub(super) fn booked(s: &Section<'_, '_>) -> Booked {
    Booked {
        misclosure: order(s),
        spread: s.choice("spread", crate::reading::Spread::WORDS),
        staff_m: s.quantity("staff", QuantityKind::Length, b::STAFF),
        eye_m: s.quantity("eye", QuantityKind::Length, b::EYE),
        declination_rad: s.quantity("declination", QuantityKind::Angle, b::DECLINATION),
        index_error_rad: s.quantity("index_error", QuantityKind::Angle, b::INDEX_ERROR),
        tape: s.table("tape").map(tape),
    }
}

fn tape(s: Section<'_, '_>) -> Tape {
    let usual = Tape::default();
    let length = |key, bounds| s.quantity(key, QuantityKind::Length, bounds);
    let warmth = |key| s.quantity(key, QuantityKind::Temperature, b::AIR_TEMPERATURE);
    let force = |key| s.quantity(key, QuantityKind::Force, b::TAPE_PULL);
    let (width_m, thickness_m) = (
        length("width", b::TAPE_SECTION),
        length("thickness", b::TAPE_SECTION),
    );
    let (length_m, true_m) = (length("length", b::TAPE), length("true_length", b::TAPE));
    let nominal_m = length_m.unwrap_or(usual.nominal_m);
    let tape = Tape {
        nominal_m,
        true_m: true_m.unwrap_or(nominal_m),
        standard_c: warmth("standard_temperature").unwrap_or(usual.standard_c),
        standard_pull_n: force("standard_pull"),
        section_m2: width_m.zip(thickness_m).map(|(width, thick)| width * thick),
        modulus_pa: s
            .quantity("modulus", QuantityKind::Modulus, b::MODULUS)
            .unwrap_or(usual.modulus_pa),
        expansion_per_k: s
            .number("expansion_per_k", b::EXPANSION)
            .unwrap_or(usual.expansion_per_k),
        weight_n_per_m: force("weight").map(|w| w / nominal_m),
        span_m: length("span", b::TAPE),
        field_c: warmth("temperature"),
        field_pull_n: force("pull"),
    };
    if let (Some(length), Some(true_m)) = (length_m, true_m)
        && (true_m - length).abs() > 0.01 * length
    {
        s.tell("true_length", "a tape with an error of more than 1 %", |f| {
            f.expected("almost the length of its marks")
                .advice("check the unit and the decimal point: true_length and length are both for the whole tape")
        });
    }
    for (one, other) in [
        ("true_length", "length"),
        ("weight", "length"),
        ("width", "thickness"),
        ("thickness", "width"),
    ] {
        if s.has(one) && !s.has(other) {
            s.tell(one, format!("{one} has no effect without {other}"), |f| {
                f.expected(format!("{one} and {other}"))
                    .advice(format!("give {other} also, or remove {one}"))
            });
        }
    }
    s.finish();
    tape
}

/// The key `misclosure`: a surveyor's word, or a length per root of a kilometre or mile.
pub(super) fn order(s: &Section<'_, '_>) -> Option<LevellingOrder> {
    s.hear("misclosure", KeyForm::words(w::ORDERS), None);
    let value = s.value("misclosure")?;
    if let DeValue::String(text) = value.get_ref()
        && let Some((length, root_km)) = per_root(text)
    {
        let allowed_m = parse(QuantityKind::Length, length).ok();
        if let Some(m) = allowed_m.filter(|m| *m > 0.0 && *m <= 1.0) {
            return Some(LevellingOrder::Own(m / root_km));
        }
        s.tell("misclosure", "a misclosure that cannot be read", |f| {
            f.expected("a length up to 1 m, as in \"24 mm per root km\"")
                .advice("write for example \"24 mm per root km\" or \"0.10 ft per root mile\"")
        });
        return None;
    }
    s.choice("misclosure", w::ORDERS)
}

/// The length in "24 mm per root km", and the root of the kilometres it is for.
fn per_root(text: &str) -> Option<(&str, f64)> {
    let (length, unit) = text.split_once(" per root ")?;
    match unit.trim() {
        "km" | "kilometre" | "kilometer" => Some((length, 1.0)),
        "mile" | "mi" => Some((length, KM_PER_MILE.sqrt())),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::site::{Site, read_text};

    fn read(lines: &str) -> Result<Site, String> {
        let text = format!("format = 1\n[survey]\nfiles = [\"book.csv\"]\n{lines}\n");
        read_text("site.toml", &text).map_err(|faults| faults[0].to_string())
    }

    #[test]
    fn a_foot_and_mile_rule_is_the_metric_one() {
        let site = read("misclosure = \"0.10 ft per root mile\"\n[limits]\nmisclosure = \"rough\"")
            .unwrap();
        let Some(LevellingOrder::Own(m)) = site.survey.booked.misclosure else {
            panic!("{:?}", site.survey.booked)
        };
        assert!((m - 0.024).abs() < 1e-4, "{m}");
        assert_eq!(site.misclosure, Some(LevellingOrder::Rough));
        assert!(read("misclosure = \"24 mm per root mole\"").is_err());
        assert!(read("misclosure = \"24 m per root km\"").is_err());
    }

    #[test]
    fn half_a_tape_is_told() {
        for (lines, key) in [
            ("[survey.tape]\ntrue_length = \"30.01 m\"", "length"),
            (
                "[survey.tape]\nlength = \"30 m\"\ntrue_length = \"100 ft\"",
                "more than 1 %",
            ),
            ("[survey.tape]\nwidth = \"10 mm\"", "thickness"),
            ("[survey.tape]\nlenght = \"30 m\"", "length"),
            (
                "kind = \"gpx\"\n[survey.tape]\nlength = \"30 m\"",
                "angle book",
            ),
        ] {
            let fault = read(lines).unwrap_err();
            assert!(fault.contains(key), "{lines}: {fault}");
        }
    }
}
