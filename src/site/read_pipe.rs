use super::bounds as b;
use super::read_at::{as_at, at};
use super::section::Section;
use super::whole::PipeRun;
use super::words as w;
use crate::pipe::{Own, outside_of_name_m, own};
use crate::unit::QuantityKind;
use toml::de::DeValue;

/// `[[pipe]]`.
pub(super) fn pipe(s: Section<'_, '_>) -> PipeRun {
    let keys = own_keys(&s);
    let spec = s.text("spec");
    let run = PipeRun {
        spec,
        own: keys,
        from: at(&s, "from"),
        to: at(&s, "to"),
        joint: s.word("joint", crate::pipe::Joint::WORDS),
        joint_rating_pa: s.quantity("joint_rating", QuantityKind::Pressure, b::PRESSURE),
        pieces_m: pieces(&s),
        coil: s.flag("coil"),
        joints_at: s
            .list("joints_at")
            .into_iter()
            .filter_map(|v| as_at(&s, "joints_at", v))
            .collect(),
        is_laid: s.choice("state", w::PIPE_STATES),
        condition: s.choice("condition", crate::pipe::Condition::WORDS),
        derate: s.number("derate", b::SOME_SHARE),
        surge_allowance: s.number("surge_allowance", b::SURGE_ALLOWANCE),
        price_per_m: s.number("price_per_m", b::PRICE),
        said: s.said(),
    };
    whole_pipe(&s, &run);
    s.finish();
    run
}

/// The key `piece`: one length, or a list of those that can be bought.
fn pieces(s: &Section<'_, '_>) -> Vec<f64> {
    let is_list = matches!(
        s.value("piece").map(|v| v.get_ref()),
        Some(DeValue::Array(_))
    );
    if !is_list {
        return s
            .quantity("piece", QuantityKind::Length, b::LENGTH)
            .into_iter()
            .collect();
    }
    let values = s.list("piece");
    if values.is_empty() {
        s.tell("piece", "no length is given", |f| {
            f.expected("the lengths in stock, such as [\"50 m\", \"100 m\"]")
                .advice("give at least one, or remove the key")
        });
    }
    values
        .into_iter()
        .filter_map(|v| s.as_quantity("piece", v, QuantityKind::Length, b::LENGTH))
        .collect()
}

fn own_keys(s: &Section<'_, '_>) -> Own {
    let keys = Own {
        material: s.choice("material", crate::pipe::Material::WORDS),
        outer_diameter_m: s.quantity("outer_diameter", QuantityKind::Length, b::DIAMETER),
        wall_m: s.quantity("wall", QuantityKind::Length, b::WALL),
        inner_diameter_m: s.quantity("inner_diameter", QuantityKind::Length, b::DIAMETER),
        roughness_m: s.quantity("roughness", QuantityKind::Length, b::ROUGHNESS),
        rating_pa: s.quantity("rating", QuantityKind::Pressure, b::PRESSURE),
        modulus_pa: s.quantity("modulus", QuantityKind::Modulus, b::MODULUS),
        wave_speed_m_per_s: s.quantity("wave_speed", QuantityKind::Speed, b::WAVE_SPEED),
        friction_factor: s.number("friction_factor", b::FRICTION_FACTOR),
    };
    if let Some(outside_m) = keys
        .outer_diameter_m
        .filter(|_| is_in_inches(s, "outer_diameter"))
        && let Some(named_m) = outside_of_name_m(outside_m)
    {
        let inches = outside_m / 0.0254;
        let measured = named_m / 0.0254;
        s.tell("outer_diameter", "this outside diameter is a nominal size", |f| {
            f.expected(format!(
                "the measured outside diameter: pipe with the name {inches} in has {measured:.3} in"
            ))
            .advice(format!(
                "write \"{measured:.3} in\", or a spec from the catalogue. If the pipe really measures this, write \"{:.1} mm\"",
                outside_m * 1000.0
            ))
        });
    }
    keys
}

/// Whether a quantity was written in inches: a name of a size is written so, a measure in millimetres is one.
fn is_in_inches(s: &Section<'_, '_>, key: &'static str) -> bool {
    matches!(s.value(key).map(|v| v.get_ref()), Some(DeValue::String(text))
        if text.contains("in") || text.contains(['"', '\u{2033}', '\u{201d}']) || text.contains("''"))
}

/// Without a spec the pipe's own keys must make a pipe. Nothing is said of them where one could not be read.
fn whole_pipe(s: &Section<'_, '_>, run: &PipeRun) {
    let sizes = ["material", "outer_diameter", "wall", "inner_diameter"];
    if s.has("spec") {
        if s.has("material") {
            s.tell(
                "material",
                "spec and material both give the pipe material",
                |f| {
                    f.expected("one of the two")
                        .advice("remove material; the catalogue has it")
                },
            );
        }
        return;
    }
    if sizes.iter().all(|k| !s.has(k)) {
        s.missing(
            "spec",
            "words of the catalogue such as \"PE100 SDR11 90\", or material with two of outer_diameter, wall and inner_diameter",
            "give the pipe",
        );
        return;
    }
    let unread = [
        ("material", run.own.material.is_none()),
        ("outer_diameter", run.own.outer_diameter_m.is_none()),
        ("wall", run.own.wall_m.is_none()),
        ("inner_diameter", run.own.inner_diameter_m.is_none()),
    ]
    .into_iter()
    .any(|(key, empty)| empty && s.has(key));
    if unread {
        return;
    }
    if let Err(fault) = own(&run.own) {
        s.tell(fault.key(), fault.to_string(), |f| {
            f.expected(
                "a material and two of outer_diameter, wall and inner_diameter that leave a bore",
            )
            .advice(fault.advice())
        });
    }
}
