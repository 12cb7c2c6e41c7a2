//! What is left of a rating when the wall is warm: each standard by its own table.

use super::{How, Known, Material, Pipe};

/// Share of the rating that is left with the wall at a temperature, C; `None` where the pipe is not to stand under pressure.
///
/// Never above 1: cold never raises a rating. Each standard's own table is used:
/// * inch polyethylene: steps, the lower of the two printed tables (AWWA M55 (2006) Table 4-6 and the PPI handbook's Table A.2), to 60 C;
/// * metric polyethylene: the older, stricter line of ISO 4427-1 Annex A (1.0, 0.87, 0.74 at 20, 30, 40 C, from memory) and its slope on to 60 C;
/// * PVC in inches: the lower of the printed values (Machinery's Handbook, 31st ed.), straight between, to 60 C;
/// * metric PVC: 1.0 to the temperature its class is printed for (ISO 1452-2: 25 C), then 2 % a kelvin, to 45 C;
/// * steel: 1.0 to 60 C, where water pipe ends.
///
/// A pipe by the user's own keys takes the stricter of the two tables of its material.
pub fn temperature_factor(pipe: &Pipe, wall_c: f64) -> Option<Known> {
    let own = pipe.standard.is_empty();
    let inch = pipe.standard.starts_with("ASTM");
    match pipe.material {
        Material::Steel => (wall_c <= 60.0).then_some(Known::new(
            1.0,
            How::Memory,
            "steel keeps its strength at water temperatures, from memory",
        )),
        Material::Pe if own => Some(pe_inch(wall_c)?.smaller(pe_metric(wall_c)?)),
        Material::Pe if inch => pe_inch(wall_c),
        Material::Pe => pe_metric(wall_c),
        Material::Pvc if own => Some(pvc_inch(wall_c)?.smaller(pvc_metric(pipe, wall_c)?)),
        Material::Pvc if inch => pvc_inch(wall_c),
        Material::Pvc => pvc_metric(pipe, wall_c),
    }
}

/// Hottest wall that each table still speaks of, C: above it the factor is `None`.
pub fn hottest_wall_c(pipe: &Pipe) -> f64 {
    match pipe.material {
        Material::Pvc if !pipe.standard.starts_with("ASTM") => 45.0,
        _ => 60.0,
    }
}

/// Wall of a pipe that stands full and stopped in the sun, C.
///
/// Black pipe has been seen at 70 C in air of 40 C (secondary source): 30 K above the air, which a balance of sun and still air gives too
/// (absorbed 950 W/m2 over the projected width, lost at 10 W/m2K over the girth: 950/(pi 10) = 30 K). Grey and white pipe stay lower, about 20 K (from memory).
/// It applies to pipe that lies open; running water keeps the wall at its own temperature.
pub fn sun_wall_c(pipe: &Pipe, hottest_air_c: f64) -> Known {
    match pipe.material {
        Material::Pe => Known::new(
            (hottest_air_c + 30.0).min(70.0),
            How::Secondary,
            "secondary source: black pipe 30 K above the air; agrees with a heat balance",
        ),
        _ => Known::new(
            (hottest_air_c + 20.0).min(60.0),
            How::Memory,
            "from memory: 20 K above the air",
        ),
    }
}

/// Steps: (upper end of the band, C; factor).
const PE_INCH: [(f64, f64); 5] = [
    (27.0, 1.0),
    (32.0, 0.9),
    (43.0, 0.78),
    (54.0, 0.7),
    (60.0, 0.6),
];

fn pe_inch(wall_c: f64) -> Option<Known> {
    let (_, factor) = PE_INCH.iter().find(|(upper, _)| wall_c <= *upper)?;
    Some(Known::new(
        *factor,
        How::Read,
        "the lower of AWWA M55 (2006) Table 4-6, the PPI Handbook of PE Pipe Table A.2 and NRCS Technical Note 12 Table 1",
    ))
}

fn pe_metric(wall_c: f64) -> Option<Known> {
    // 1.0, 0.87, 0.74 at 20, 30, 40 C, and the same slope on.
    (wall_c <= 60.0).then_some(Known::new(
        (1.0 - 0.013 * (wall_c - 20.0)).min(1.0),
        How::Memory,
        "ISO 4427-1 Annex A, older editions, from memory; its slope carried on above 40 C",
    ))
}

/// (C, factor), straight between.
const PVC_INCH: [(f64, f64); 8] = [
    (23.0, 1.0),
    (26.7, 0.88),
    (32.2, 0.75),
    (37.8, 0.62),
    (43.3, 0.5),
    (48.9, 0.4),
    (54.4, 0.3),
    (60.0, 0.22),
];

fn pvc_inch(wall_c: f64) -> Option<Known> {
    let value = match PVC_INCH.windows(2).find_map(|w| match w {
        [(_, _), (t1, _)] if wall_c > *t1 => None,
        [(t0, f0), (t1, f1)] => Some(f0 + (f1 - f0) * (wall_c - t0) / (t1 - t0)),
        _ => None,
    }) {
        Some(value) => value.min(1.0),
        None => return None,
    };
    Some(Known::new(
        value,
        How::Read,
        "Machinery's Handbook, 31st ed., the lower of the printed values",
    ))
}

fn pvc_metric(pipe: &Pipe, wall_c: f64) -> Option<Known> {
    if wall_c > 45.0 {
        return None;
    }
    if pipe.standard.starts_with("ISO 1452") && wall_c <= 25.0 {
        return Some(Known::new(
            1.0,
            How::Read,
            "EN ISO 1452-2, scope: no reduction to 25 C",
        ));
    }
    // Classes of DIN 8062 are printed for 20 C and those of IS 4985 for 27 C; ISO 1452-2 counts from 20 C once it is past 25 C.
    let from_c = if pipe.standard.starts_with("IS ") {
        27.0
    } else {
        20.0
    };
    Some(Known::new(
        (1.0 - 0.02 * (wall_c - from_c)).min(1.0),
        How::Secondary,
        "2 % a kelvin above the temperature of the class, secondary source, on the safe side of the standard's curve",
    ))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pipe::{catalogue, find};
    use proptest::prelude::*;

    fn factor(words: &str, c: f64) -> Option<f64> {
        temperature_factor(&find(words).unwrap(), c).map(|k| k.value)
    }

    #[test]
    fn each_standard_has_its_own_table() {
        assert_eq!(factor("PE4710 DR 11 3 in IPS", 40.0), Some(0.78));
        assert!((factor("PE100 SDR 11 90", 40.0).unwrap() - 0.74).abs() < 1e-12);
        assert!((factor("PVC schedule 40 3 in", 37.8).unwrap() - 0.62).abs() < 1e-12);
        assert_eq!(factor("ISO 1452 PN 10 90", 25.0), Some(1.0));
        assert!((factor("DIN 8062 PN 10 90", 25.0).unwrap() - 0.9).abs() < 1e-12);
        assert_eq!(factor("DIN 8062 PN 10 90", 46.0), None);
        assert_eq!(factor("PE4710 DR 11 3 in IPS", 61.0), None);
    }

    proptest! {
        #[test]
        fn warmth_never_helps_and_cold_never_raises(row in 0usize..800, cold in -20.0f64..65.0, more in 0.0f64..20.0) {
            let pipe = catalogue().nth(row).unwrap();
            let of = |c| temperature_factor(pipe, c).map_or(0.0, |k| k.value);
            prop_assert!(of(cold) <= 1.0);
            prop_assert!(of(cold + more) <= of(cold) + 1e-12);
        }
    }
}
