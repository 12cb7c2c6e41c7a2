//! How rough a pipe is inside, new and after years.

use super::{How, Material, Pipe};

/// Sand roughness of a jointed line, new and slimed or rusted, m, and how far that is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Roughness {
    /// New, m.
    pub new_m: f64,
    /// After years of stream water, m.
    pub old_m: f64,
    /// How the new figure is known.
    pub how_new: How,
    /// How the old figure is known.
    pub how_old: How,
    /// Where the figures come from.
    pub source: &'static str,
}

/// Roughness by material, for a line of joined pieces, m.
///
/// Plastics: drawn tube is smooth to 0.0015 mm (Hydraulic Institute Engineering Data Book), but joints and beads are not; 0.01 mm stands for a joined line
/// (common practice, no source) and 0.1 mm for one with a film of slime (from memory). Steel: 0.046 mm new (White, Fluid Mechanics, 7th ed.),
/// 0.7 mm as the upper end of moderate rust (Idelchik, Handbook of Hydraulic Resistance). Stainless: 0.015 mm new (Hydraulic Institute), 0.1 mm slimed (from memory).
/// Valid for pipe between about 20 and 315 mm; a neglected steel line can reach 2 mm.
pub fn roughness(pipe: &Pipe) -> Roughness {
    match pipe.material {
        Material::Pe | Material::Pvc => Roughness {
            new_m: 0.01e-3,
            old_m: 0.1e-3,
            how_new: How::Memory,
            how_old: How::Memory,
            source: "Hydraulic Institute Engineering Data Book gives 0.0015 mm for clean pipe; joined and fouled pipe: common practice, no source",
        },
        Material::Steel if pipe.grade.starts_with("304") => Roughness {
            new_m: 0.015e-3,
            old_m: 0.1e-3,
            how_new: How::Read,
            how_old: How::Memory,
            source: "Hydraulic Institute Engineering Data Book; fouled: from memory",
        },
        Material::Steel => Roughness {
            new_m: 0.046e-3,
            old_m: 0.7e-3,
            how_new: How::Read,
            how_old: How::Read,
            source: "White, Fluid Mechanics, 7th ed.; Idelchik, Handbook of Hydraulic Resistance",
        },
    }
}
