//! How far a surge may go beyond the rating, by standard.

use super::{How, Known, Material, Often, Pipe};

/// Largest total pressure (standing and surge) over the rating at the wall's temperature, by how often it happens.
///
/// A standard's allowance is used only where it was read, and only for its own pipe; everywhere else it is 1.0.
/// * inch polyethylene, rare: 2.0 (AWWA M55 (2006) pp. 47-48, the worked line); routine: 1.0, because the 1.5 that is quoted for it was not read;
/// * PVC: 1.0, standing and surge together within the rating (NRCS Conservation Practice Standard 430 (2012));
/// * metric polyethylene, steel, pipe by the user's own keys: 1.0.
///
/// The standing pressure alone must always stay within the rating.
pub fn surge_allowance(pipe: &Pipe, often: Often) -> Known {
    let inch_pe = pipe.material == Material::Pe && pipe.standard.starts_with("ASTM");
    match (pipe.material, often) {
        (Material::Pe, Often::Rare) if inch_pe => {
            Known::new(2.0, How::Read, "AWWA M55 (2006) pp. 47-48")
        }
        (Material::Pvc, _) if !pipe.standard.is_empty() => Known::new(
            1.0,
            How::Read,
            "NRCS Conservation Practice Standard 430 (2012): surge included in the rating",
        ),
        _ => Known::new(
            1.0,
            How::Computed,
            "no allowance read for this standard: the rating itself",
        ),
    }
}
