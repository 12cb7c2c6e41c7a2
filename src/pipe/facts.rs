//! What the materials are: density, Poisson's ratio, thermal expansion.

use super::{How, Known, Material, Pipe};

/// Density of the wall, kg/m3.
///
/// Polyethylene 955 (PE100 and PE4710 lie between 940 and 960), PVC-U 1,410 (1,400 to 1,420), steel 7,850, stainless 7,930.
pub fn density_kg_per_m3(pipe: &Pipe) -> Known {
    match pipe.material {
        Material::Pe => Known::new(955.0, How::Memory, "common value for PE100, from memory"),
        Material::Pvc => Known::new(1410.0, How::Memory, "common value for PVC-U, from memory"),
        Material::Steel if is_stainless(pipe) => Known::new(7930.0, How::Memory, "from memory"),
        Material::Steel => Known::new(7850.0, How::Memory, "from memory"),
    }
}

/// Poisson's ratio of the wall under a load that stays.
///
/// Polyethylene 0.45 (0.35 to 0.45 for quick loads), PVC-U 0.38 (0.38 to 0.41), steel 0.30. The lower end for PVC gives the lower collapse pressure.
pub fn poisson(pipe: &Pipe) -> Known {
    match pipe.material {
        Material::Pe => Known::new(0.45, How::Memory, "from memory"),
        Material::Pvc => Known::new(
            0.38,
            How::Secondary,
            "printed collapse tables of PVC pipe, reproduced with it",
        ),
        Material::Steel => Known::new(0.30, How::Memory, "from memory"),
    }
}

/// Poisson's ratio of the wall for a load of about a second, a pressure wave: PE 0.46, PVC-U 0.40, steel 0.30 (from memory).
///
/// The figures that handbooks of waves use beside their dynamic moduli; [`poisson`] is for loads that stay.
pub(super) fn quick_poisson(material: Material) -> f64 {
    match material {
        Material::Pe => 0.46,
        Material::Pvc => 0.40,
        Material::Steel => 0.30,
    }
}

/// Thermal expansion along the pipe, 1/K: the larger figure in use, for movement.
///
/// Polyethylene 1.8e-4 (printed from 1.2e-4, Machinery's Handbook, 31st ed.), PVC-U 7.0e-5 (printed from 5.2e-5), steel 1.17e-5.
pub fn thermal_expansion_per_k(pipe: &Pipe) -> Known {
    match pipe.material {
        Material::Pe => Known::new(
            1.8e-4,
            How::Memory,
            "design value in common use, from memory",
        ),
        Material::Pvc => Known::new(
            7.0e-5,
            How::Secondary,
            "upper design value of metric PVC-U tables, second hand",
        ),
        Material::Steel if is_stainless(pipe) => Known::new(1.7e-5, How::Memory, "from memory"),
        Material::Steel => Known::new(1.17e-5, How::Read, "Machinery's Handbook, 31st ed."),
    }
}

pub(super) fn is_stainless(pipe: &Pipe) -> bool {
    pipe.grade.starts_with("304") || pipe.grade.starts_with("316")
}

/// Whether the wall rusts: steel that is not stainless.
pub fn rusts(pipe: &Pipe) -> bool {
    pipe.material == Material::Steel && !is_stainless(pipe)
}

/// A free length's change with temperature, m: alpha L dT.
///
/// Nothing holds the pipe; a held one presses or pulls instead. Source: the definition of thermal expansion.
pub fn length_change_m(expansion_per_k: f64, length_m: f64, kelvin: f64) -> f64 {
    expansion_per_k * length_m * kelvin
}
