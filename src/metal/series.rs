use crate::pipe::Metal;

/// Metals that touch in the wet may differ by so much, V (MIL-STD-889, harsh surroundings; from memory).
pub const MAY_DIFFER_V: f64 = 0.15;

/// How ignoble a metal is, V below gold (anodic index of MIL-STD-889; from memory).
fn index_v(metal: Metal) -> f64 {
    match metal {
        Metal::Copper => 0.35,
        Metal::Brass => 0.40,
        Metal::Bronze => 0.45,
        Metal::Stainless => 0.50,
        Metal::Steel | Metal::CastIron => 0.85,
        Metal::Aluminium => 0.90,
        Metal::Galvanized => 1.20,
    }
}

/// How far two metals are apart, V.
pub fn apart_v(a: Metal, b: Metal) -> f64 {
    (index_v(a) - index_v(b)).abs()
}

/// The one of two metals that is eaten.
pub fn loses(a: Metal, b: Metal) -> Metal {
    if index_v(a) >= index_v(b) { a } else { b }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_order_does_not_matter_and_a_metal_agrees_with_itself() {
        for &(_, a) in Metal::WORDS {
            assert_eq!(apart_v(a, a), 0.0);
            for &(_, b) in Metal::WORDS {
                assert_eq!(apart_v(a, b), apart_v(b, a));
                assert!(apart_v(a, b) == 0.0 || loses(a, b) == loses(b, a));
            }
        }
    }
}
