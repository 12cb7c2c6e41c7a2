//! What is said of what attacks metal.

use super::Say;
use crate::finding::Rust;
use crate::pipe::Metal;
use crate::study::Study;
use crate::unit::{Quantity, Units};

/// A metal as it is spelt where the results are read.
fn metal(of: Metal, say: Say) -> &'static str {
    match (of, say.units) {
        (Metal::Aluminium, Units::Us) => "aluminum",
        _ => of.word(),
    }
}

/// What was found.
pub(super) fn harm(rust: &Rust, at: &str, say: Say) -> String {
    match rust {
        Rust::Pair(p) => format!(
            "The part \"{}\" {at} is {}. It touches {}. In water or wet soil, the {} corrodes: the difference is {:.2} V, the limit 0.15 V.",
            p.part,
            metal(p.metal, say),
            metal(p.other, say),
            metal(p.eaten, say),
            p.apart_v
        ),
        Rust::EarthBonded { metal: of } => format!(
            "The buried steel pipe is connected to the earth electrode of the generator, which is {}. The steel corrodes at each damage of its coating.",
            metal(*of, say)
        ),
        Rust::EarthCurrent { away_m, wanted_m } => format!(
            "The direct current of the earth electrode corrodes the buried steel pipe {at}. The distance along the pipe is {}. Required: {}.",
            say.head(*away_m),
            say.at_least(Quantity::Head, *wanted_m)
        ),
        Rust::Soil { ohm_m } => format!(
            "The soil has a resistivity of {ohm_m:.0} ohm m: it is {}. The steel pipe {at} has no complete coating.",
            crate::metal::soil_class(*ohm_m).word()
        ),
        Rust::SoftWater { index } => format!(
            "The water dissolves lime (Langelier index {index:.1}). It removes the layer that protects steel and zinc, and corrodes the pipe from the inside."
        ),
    }
}

/// What to do about it.
pub(super) fn mend(rust: &Rust, say: Say) -> String {
    match rust {
        Rust::Pair(_) => "Use a part of the same metal. Or install an insulating joint, and coat both sides. Do not coat only the metal that corrodes.".to_owned(),
        Rust::EarthBonded { .. } => "Install an insulating joint between the pipe and the powerhouse. A licensed electrician must decide on the earthing: do not remove an earth connection yourself.".to_owned(),
        Rust::EarthCurrent { wanted_m, .. } => format!(
            "Move the electrode to {} or more from the steel. Find the cause of the direct current. A licensed electrician must do this.",
            say.at_least(Quantity::Head, *wanted_m)
        ),
        Rust::Soil { .. } => "Use pipe with a complete coating, or polyethylene in the ground. Repair each damage of the coating before you fill the trench.".to_owned(),
        Rust::SoftWater { .. } => "Use steel with a lining, or plastic pipe. Measure the wall at the lower end each year. Zinc does not last in such water.".to_owned(),
    }
}

/// What is told of soil, water and parts, on one line each.
pub fn metal_lines(study: &Study) -> Vec<String> {
    let Some(c) = &study.metal else {
        return Vec::new();
    };
    let mut out = Vec::new();
    if let Some(class) = c.soil {
        out.push(format!("Soil: {}.", class.word()));
    }
    if let Some(index) = c.index {
        out.push(format!(
            "Water: Langelier index {index:.1} in the coldest water. Below -0.5 it corrodes steel and zinc."
        ));
    }
    out.push(match c.pairs.len() {
        0 => "Metal parts: no pair above the limit of 0.15 V.".to_owned(),
        1 => "Metal parts: one pair above the limit of 0.15 V.".to_owned(),
        n => format!("Metal parts: {n} pairs above the limit of 0.15 V."),
    });
    out
}

/// The same on one line.
pub fn metal_row(study: &Study) -> Option<String> {
    let c = study.metal.as_ref()?;
    let mut parts = Vec::new();
    parts.extend(c.soil.map(|s| format!("soil {}", s.word())));
    parts.extend(c.index.map(|i| format!("Langelier index {i:.1}")));
    parts.push(match c.pairs.len() {
        1 => "1 pair above the limit".to_owned(),
        n => format!("{n} pairs above the limit"),
    });
    Some(parts.join(", "))
}
