use super::bounds as b;
use super::parts::{DeclaredFitting, DeclaredMark, Draw, FloodReach, GroundReach, LaidReach};
use super::read_at::need_at;
use super::section::Section;
use super::{DeclaredPlace, Located, words as w};
use crate::pipe::{Bed, FittingKind, MarkKind, Trench};
use crate::unit::QuantityKind;

/// The two ends of a reach. Whether they stand in order `line` tells: it knows which way the pegs count.
pub(super) fn reach(
    s: &Section<'_, '_>,
) -> Option<(Located<DeclaredPlace>, Located<DeclaredPlace>)> {
    need_at(s, "from").zip(need_at(s, "to"))
}

/// `[[laid]]`.
pub(super) fn laid(s: Section<'_, '_>) -> Option<LaidReach> {
    let ends = reach(&s);
    let bed = s.choice("how", Bed::WORDS);
    s.need_choice(
        "how",
        Bed::WORDS,
        "give the installation condition of the pipe",
    );
    let cover_m = s.quantity("cover", QuantityKind::Length, b::SMALL_LENGTH);
    let height_m = s.quantity("height", QuantityKind::Length, b::SMALL_LENGTH);
    let traffic = s.choice("traffic", crate::pipe::Traffic::WORDS);
    let trench = trench(&s, cover_m);
    for (key, belongs) in [
        ("cover", Bed::Buried),
        ("traffic", Bed::Buried),
        ("wet", Bed::Buried),
        ("scour", Bed::Buried),
        ("surround", Bed::Buried),
        ("tamped", Bed::Buried),
        ("trench_width", Bed::Buried),
        ("height", Bed::Raised),
    ] {
        if s.has(key) && bed.is_some_and(|b| b != belongs) {
            let word = if belongs == Bed::Buried {
                "buried"
            } else {
                "raised"
            };
            s.tell(
                key,
                format!("\"{key}\" belongs to pipe that is {word}"),
                |f| {
                    f.expected(format!("how = \"{word}\""))
                        .advice("remove the key, or change how")
                },
            );
        }
    }
    s.finish();
    let (from, to) = ends?;
    Some(LaidReach {
        from,
        to,
        bed: bed?,
        cover_m,
        height_m,
        traffic,
        trench,
    })
}

/// The trench of a `[[laid]]`.
fn trench(s: &Section<'_, '_>, cover_m: Option<f64>) -> Trench {
    let wet = s.choice("wet", crate::pipe::Wet::WORDS);
    let scour_m = s.quantity("scour", QuantityKind::Length, b::SMALL_LENGTH);
    if let (Some(scour), Some(cover)) = (scour_m, cover_m)
        && scour > cover
    {
        s.tell("scour", "the flood scours the bed below the pipe", |f| {
            f.expected("at most the cover")
                .advice("give a deeper cover, or check the two values")
        });
    }
    Trench {
        wet,
        scour_m,
        surround: s.choice("surround", w::SURROUNDS),
        tamped: s.choice("tamped", w::TAMPED),
        width_m: s.quantity("trench_width", QuantityKind::Length, b::TRENCH),
    }
}

/// `[[fitting]]`.
pub(super) fn fitting(s: Section<'_, '_>) -> Option<DeclaredFitting> {
    let at = need_at(&s, "at");
    let kind = s.choice("kind", FittingKind::WORDS);
    let k = s.number("k", b::LOSS);
    if !s.has("kind") && !s.has("k") {
        s.missing(
            "kind",
            "a kind of fitting, or its loss coefficient k",
            "write for example kind = \"gate valve\"",
        );
    } else if kind == Some(FittingKind::Other) && !s.has("k") {
        s.missing(
            "k",
            "its loss coefficient",
            "give its loss coefficient: it is not in the tables",
        );
    }
    let angle_rad = s.quantity("angle", QuantityKind::Angle, b::TURN);
    let in_plan = s.choice("plane", w::PLANES);
    let bends = matches!(kind, Some(FittingKind::Elbow | FittingKind::Mitre));
    if bends && !s.has("angle") && !s.has("k") {
        s.missing(
            "angle",
            "the angle of the bend",
            "write for example angle = \"45 deg\"",
        );
    }
    for key in ["angle", "plane"] {
        if s.has(key) && kind.is_some() && !bends {
            s.tell(
                key,
                format!("\"{key}\" belongs to an elbow or a mitre"),
                |f| {
                    f.expected("kind = \"elbow\" or \"mitre\"")
                        .advice("remove the key, or change kind")
                },
            );
        }
    }
    let open = s.number("open", b::SHARE);
    let name = s.text("name");
    let bore_m = s.quantity("bore", QuantityKind::Length, b::DIAMETER);
    let rating_pa = s.quantity("rating", QuantityKind::Pressure, b::PRESSURE);
    s.finish();
    Some(DeclaredFitting {
        at: at?,
        kind: kind.unwrap_or(FittingKind::Other),
        name,
        k,
        open,
        angle_rad,
        in_plan,
        bore_m,
        rating_pa,
    })
}

/// `[[mark]]`.
pub(super) fn mark(s: Section<'_, '_>) -> Option<DeclaredMark> {
    let at = need_at(&s, "at");
    let kind = s.choice("kind", w::MARKS);
    s.need_choice("kind", w::MARKS, "give the kind of device");
    let device = s.choice("device", crate::pipe::Device::WORDS);
    let bore_m = s.quantity("bore", QuantityKind::Length, b::DIAMETER);
    let top_m = s.quantity("top", QuantityKind::Length, b::SMALL_LENGTH);
    let cock_open = s.choice("cock", w::COCKS);
    let state = s.choice("state", crate::pipe::WorkingState::WORDS);
    let strength_n = s.quantity("strength", QuantityKind::Force, b::FORCE);
    let opens_at_pa = s.quantity("opens_at", QuantityKind::Pressure, b::PRESSURE);
    let slack_m = s.quantity("slack", QuantityKind::Length, b::SMALL_LENGTH);
    if let Some(kind) = kind {
        let is_vent = kind == MarkKind::Vent;
        let holds = matches!(
            kind,
            MarkKind::Anchor
                | MarkKind::Block
                | MarkKind::Strap
                | MarkKind::Support
                | MarkKind::Guide
        );
        for (key, fits, belongs) in [
            ("device", is_vent, "a vent"),
            ("top", is_vent, "a vent"),
            ("strength", holds, "a restraint of the pipe"),
            ("opens_at", kind == MarkKind::Relief, "a relief valve"),
            ("slack", kind == MarkKind::Loop, "an expansion loop"),
        ] {
            if s.has(key) && !fits {
                s.tell(key, format!("\"{key}\" belongs to {belongs}"), |f| {
                    f.expected("another kind")
                        .advice("remove the key, or change kind")
                });
            }
        }
        if kind == MarkKind::Relief && !s.has("opens_at") {
            s.missing(
                "opens_at",
                "the pressure it opens at",
                "write for example opens_at = \"9 bar\"",
            );
        }
    }
    if s.has("top") && device.is_some_and(|d| d != crate::pipe::Device::Standpipe) {
        s.tell("top", "\"top\" belongs to a standpipe", |f| {
            f.expected("device = \"standpipe\"")
                .advice("remove the key, or change device")
        });
    }
    let name = s.text("name");
    s.finish();
    Some(DeclaredMark {
        kind: kind?,
        at: at?,
        device,
        bore_m,
        top_m,
        cock_open,
        state,
        strength_n,
        opens_at_pa,
        slack_m,
        name,
    })
}

/// `[[draw]]`.
pub(super) fn draw(s: Section<'_, '_>) -> Option<Draw> {
    let at = need_at(&s, "at");
    s.need(
        "flow",
        "the flow of the branch",
        "write for example flow = \"0.2 L/s\"",
    );
    let flow = s.quantity("flow", QuantityKind::Flow, b::FLOW);
    s.finish();
    Some(Draw {
        at: at?,
        flow_m3_per_s: flow?,
    })
}

/// `[[ground]]`.
pub(super) fn ground(s: Section<'_, '_>) -> Option<GroundReach> {
    let ends = reach(&s);
    let soil = s.choice("soil", crate::pipe::Soil::WORDS);
    let friction = s.number("friction", b::GROUND_FRICTION);
    let dig = s.choice("dig", crate::pipe::Dig::WORDS);
    s.finish();
    let (from, to) = ends?;
    Some(GroundReach {
        from,
        to,
        soil,
        friction,
        dig,
    })
}

/// `[[flood]]`.
pub(super) fn flood(s: Section<'_, '_>) -> Option<FloodReach> {
    let ends = reach(&s);
    for (key, example) in [("speed", "2 m/s"), ("depth", "0.5 m")] {
        s.need(
            key,
            "how the water arrives",
            &format!("write for example {key} = \"{example}\""),
        );
    }
    let speed = s.quantity("speed", QuantityKind::Speed, b::SPEED);
    let depth = s.quantity("depth", QuantityKind::Length, b::DEPTH);
    let debris = s.choice("debris", crate::pipe::Debris::WORDS);
    s.finish();
    let (from, to) = ends?;
    Some(FloodReach {
        from,
        to,
        speed_m_per_s: speed?,
        depth_m: depth?,
        debris,
    })
}
