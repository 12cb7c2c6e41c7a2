//! In what pieces pipe is sold.

use super::{How, Material, Pipe};
use crate::unit::exact::FOOT_M;

/// Usual pieces of a pipe.
#[derive(Debug, Clone, PartialEq)]
pub struct Pieces {
    /// Lengths, m, rising.
    pub lengths_m: Vec<f64>,
    /// In coils, else in sticks.
    pub coil: bool,
    /// How that is known.
    pub how: How,
    /// Where from.
    pub source: &'static str,
}

/// Pieces that a pipe is usually sold in.
///
/// Polyethylene to 125 mm (6 in by inches) in coils of 25 to 200 m (100 to 1,000 ft), thicker in sticks of 6 and 12 m (20 and 40 ft); PVC in sticks of 6 m
/// (10 and 20 ft); steel 6 m (21 ft). Ask before planning on it: what a yard keeps decides (common practice).
pub fn usual_pieces(pipe: &Pipe) -> Pieces {
    let inches = pipe.standard.starts_with("AS");
    let feet = |lengths: &[f64]| lengths.iter().map(|ft| ft * FOOT_M).collect::<Vec<f64>>();
    let (lengths_m, coil, how, source) = match (pipe.material, inches) {
        (Material::Pe, true) if pipe.outer_diameter_m < 0.17 => (
            feet(&[100.0, 200.0, 300.0, 500.0]),
            true,
            How::Memory,
            "common practice, no source",
        ),
        (Material::Pe, true) => (
            feet(&[20.0, 40.0]),
            false,
            How::Secondary,
            "ASTM D3035 practice, second hand",
        ),
        (Material::Pe, false) if pipe.outer_diameter_m < 0.0635 => (
            vec![25.0, 50.0, 100.0, 150.0, 200.0],
            true,
            How::Secondary,
            "ISO 4427 coils, second hand",
        ),
        (Material::Pe, false) if pipe.outer_diameter_m < 0.1255 => (
            vec![50.0, 100.0],
            true,
            How::Memory,
            "common practice, no source",
        ),
        (Material::Pe, false) => (
            vec![6.0, 12.0],
            false,
            How::Memory,
            "common practice, no source",
        ),
        (Material::Pvc, true) => (
            feet(&[10.0, 20.0]),
            false,
            How::Secondary,
            "ASTM D1785 practice, second hand",
        ),
        (Material::Pvc, false) => (vec![6.0], false, How::Memory, "common practice, no source"),
        (Material::Steel, true) => (
            feet(&[21.0]),
            false,
            How::Memory,
            "common practice, no source",
        ),
        (Material::Steel, false) => (vec![6.0], false, How::Memory, "common practice, no source"),
    };
    Pieces {
        lengths_m,
        coil,
        how,
        source,
    }
}

/// Length at each end of a coil that stays curved and oval and is cut off or straightened before a joint is made, m:
/// about one metre (PPI TN-61 asks to straighten and re-round the last metre; that it is cut off when it does not come straight is common practice).
pub const COIL_END_M: f64 = 1.0;
