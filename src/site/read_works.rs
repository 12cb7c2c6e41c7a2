use super::bounds as b;
use super::read_at::{at, need_at};
use super::section::Section;
use super::works::{
    Analysis, Basin, DeclaredCorrosion, DeclaredMetalPart, Grit, PressureTest, Record, Screen, Worn,
};
use crate::unit::QuantityKind;

/// `[screen]`.
pub(super) fn screen(s: Section<'_, '_>) -> Option<Screen> {
    for (key, expected, advice) in [
        (
            "kind",
            "what the screen is made of",
            "write for example kind = \"flat bars\"",
        ),
        (
            "opening",
            "the clear width of its openings",
            "write for example opening = \"8 mm\"",
        ),
    ] {
        s.need(key, expected, advice);
    }
    let kind = s.choice("kind", crate::pipe::ScreenKind::WORDS);
    let opening = s.quantity("opening", QuantityKind::Length, b::PASSAGE);
    let bar_m = s.quantity("bar", QuantityKind::Length, b::PASSAGE);
    let open_share = s.number("open_share", b::SOME_SHARE);
    let width_m = s.quantity("width", QuantityKind::Length, b::FACE);
    let length_m = s.quantity("length", QuantityKind::Length, b::FACE);
    let slope_rad = s.quantity("slope", QuantityKind::Angle, b::STEEP);
    let cleaned = s.choice("cleaned", crate::pipe::Cleaner::WORDS);
    let least_clearance_m = s.quantity("least_clearance", QuantityKind::Length, b::PASSAGE);
    for (this, other) in [("width", "length"), ("length", "width")] {
        if s.has(this) {
            s.need(
                other,
                "both sides of the wetted face",
                "give width and length, or remove both",
            );
        }
    }
    s.finish();
    Some(Screen {
        kind: kind?,
        opening_m: opening?,
        bar_m,
        open_share,
        face_m: width_m.zip(length_m),
        slope_rad,
        cleaned,
        least_clearance_m,
    })
}

/// `[grit]`.
pub(super) fn grit(s: Section<'_, '_>) -> Option<Grit> {
    s.need(
        "grain",
        "the grain that the basin must settle",
        "write for example grain = \"0.3 mm\"",
    );
    let grain = s.quantity("grain", QuantityKind::Length, b::GRAIN);
    let load_mg_per_l = s.number("load_mg_per_l", b::LOAD);
    let hours_per_year = s.number("hours_per_year", b::HOURS_OF_YEAR);
    let worn_by_m = s.quantity("worn_by", QuantityKind::Length, b::GRAIN);
    let worn_hours = s.number("worn_hours", b::HOURS);
    let worn_head_m = s.quantity("worn_head", QuantityKind::Head, b::WORN_HEAD);
    for (this, other) in [
        ("worn_by", "worn_hours"),
        ("worn_hours", "worn_by"),
        ("worn_head", "worn_by"),
    ] {
        if s.has(this) {
            s.need(
                other,
                "the increase of the nozzle diameter and its hours",
                "give worn_by and worn_hours, or remove both",
            );
        }
    }
    s.finish();
    Some(Grit {
        grain_m: grain?,
        load_kg_per_m3: load_mg_per_l.map(|mg| 1e-3 * mg),
        per_year_s: hours_per_year.map(|h| b::HOUR_S * h),
        worn: worn_by_m.zip(worn_hours).map(|(by_m, hours)| Worn {
            by_m,
            over_s: b::HOUR_S * hours,
            head_m: worn_head_m,
        }),
    })
}

/// `[basin]`.
pub(super) fn basin(s: Section<'_, '_>) -> Option<Basin> {
    for key in ["width", "length", "depth"] {
        s.need(
            key,
            "width, length and depth of the water",
            "measure them with the basin full, above the sand",
        );
    }
    let width = s.quantity("width", QuantityKind::Length, b::SIDE);
    let length = s.quantity("length", QuantityKind::Length, b::SIDE);
    let depth = s.quantity("depth", QuantityKind::Length, b::SIDE);
    let sand_depth_m = s.quantity("sand_depth", QuantityKind::Length, b::SIDE);
    let flush_flow_m3_per_s = s.quantity("flush_flow", QuantityKind::Flow, b::FLOW);
    let floor_grade = s.quantity("floor", QuantityKind::Grade, b::GRADE);
    for (this, other) in [("flush_flow", "floor"), ("floor", "flush_flow")] {
        if s.has(this) {
            s.need(
                other,
                "the flow that flushes the basin and the grade of its floor",
                "give flush_flow and floor, or remove both",
            );
        }
    }
    s.finish();
    Some(Basin {
        width_m: width?,
        length_m: length?,
        depth_m: depth?,
        sand_depth_m,
        flush: flush_flow_m3_per_s.zip(floor_grade),
    })
}

/// `[pressure_test]`.
pub(super) fn pressure_test(s: Section<'_, '_>) -> Option<PressureTest> {
    for (key, expected) in [
        ("loading", "the time to raise the pressure"),
        ("times", "the times since the pump was shut off"),
        ("pressures", "a pressure for each time"),
    ] {
        s.need(key, expected, "write down the readings as you take them");
    }
    let loading = s.quantity("loading", QuantityKind::Time, b::TIME);
    let of = |key: &'static str, kind: QuantityKind, bounds: b::Bounds| -> Vec<Option<f64>> {
        s.list(key)
            .into_iter()
            .map(|v| s.as_quantity(key, v, kind, bounds))
            .collect()
    };
    let times = of("times", QuantityKind::Time, b::TEST_TIME);
    let pressures = of("pressures", QuantityKind::Pressure, b::PRESSURE);
    let limit_pa = s.quantity("limit", QuantityKind::Pressure, b::PRESSURE);
    let backfilled = s.flag("backfilled");
    if times.len() != pressures.len() && s.has("times") && s.has("pressures") {
        s.tell("pressures", "times and pressures differ in number", |f| {
            f.found(format!("{} pressures", pressures.len()))
                .expected(format!("{} pressures", times.len()))
                .advice("write one pressure for each time")
        });
    }
    let readings: Vec<(f64, f64)> = times
        .into_iter()
        .zip(pressures)
        .filter_map(|(t, p)| t.zip(p))
        .collect();
    let rises = readings
        .windows(2)
        .all(|w| matches!(w, [a, b] if a.0 < b.0));
    if !rises {
        s.tell("times", "the times do not rise", |f| {
            f.expected("times since the pump was shut off, each later than the one before")
                .advice("write the readings in the order in which you took them")
        });
    }
    s.finish();
    Some(PressureTest {
        loading_s: loading?,
        readings,
        limit_pa: limit_pa.unwrap_or(0.0),
        backfilled,
    })
}

/// `[record]`.
pub(super) fn record(s: Section<'_, '_>) -> Record {
    let record = Record {
        by: s.text("by").map(|t| t.value).unwrap_or_default(),
        witness: s.text("witness").map(|t| t.value).unwrap_or_default(),
    };
    s.finish();
    record
}

/// `[corrosion]`.
pub(super) fn corrosion(s: Section<'_, '_>) -> DeclaredCorrosion {
    let water = [
        ("water_ph", b::PH),
        ("water_solids_mg_per_l", b::DISSOLVED),
        ("water_calcium_mg_per_l", b::DISSOLVED),
        ("water_alkalinity_mg_per_l", b::DISSOLVED),
    ];
    let analysis = match water.map(|(key, bounds)| s.number(key, bounds)) {
        [Some(ph), Some(solids), Some(calcium), Some(alkalinity)] => Some(Analysis {
            ph,
            solids_mg_per_l: solids,
            calcium_mg_per_l: calcium,
            alkalinity_mg_per_l: alkalinity,
        }),
        _ => None,
    };
    if water.iter().any(|(key, _)| s.has(key)) {
        for (key, _) in water {
            s.need(
                key,
                "all four values of the water analysis",
                "take them from one water sample, or remove all four",
            );
        }
    }
    let corrosion = DeclaredCorrosion {
        coating: s.choice("coating", crate::pipe::Coating::WORDS),
        soil_ohm_m: s.number("soil_ohm_m", b::OHM_M),
        water: analysis,
        earth_at: at(&s, "earth_at"),
        earth: s.choice("earth", crate::pipe::Metal::WORDS),
        earth_dc_a: s.number("earth_dc_a", b::AMPERES),
    };
    for (key, needs) in [
        ("earth_dc_a", "earth_at"),
        ("earth_dc_a", "soil_ohm_m"),
        ("earth", "earth_at"),
    ] {
        if s.has(key) {
            s.need(
                needs,
                "where the earth electrode is, and the soil for its current",
                "give it, or remove the keys of the earth electrode",
            );
        }
    }
    s.finish();
    corrosion
}

/// `[[metal]]`.
pub(super) fn metal(s: Section<'_, '_>) -> Option<DeclaredMetalPart> {
    let at = need_at(&s, "at");
    let metal = s.choice("metal", crate::pipe::Metal::WORDS);
    s.need(
        "metal",
        "of what it is",
        "write for example metal = \"brass\"",
    );
    let insulated = s.flag("insulated").unwrap_or(false);
    let name = s.text("name").map(|n| n.value);
    s.finish();
    Some(DeclaredMetalPart {
        at: at?,
        metal: metal?,
        insulated,
        name,
    })
}
