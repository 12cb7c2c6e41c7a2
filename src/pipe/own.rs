//! A pipe by the user's own keys, alone or laid over a row of the catalogue.

use super::{How, Known, Material, Pipe, density_kg_per_m3, roughness};
use std::fmt;

/// What the user says of a pipe in the site file's own keys. All lengths in metres, pressures in pascals.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Own {
    /// What it is made of; asked for where no catalogue row stands behind.
    pub material: Option<Material>,
    /// Outside diameter, m.
    pub outer_diameter_m: Option<f64>,
    /// Wall, m.
    pub wall_m: Option<f64>,
    /// Bore, m.
    pub inner_diameter_m: Option<f64>,
    /// Sand roughness, m.
    pub roughness_m: Option<f64>,
    /// Pressure it may take, Pa.
    pub rating_pa: Option<f64>,
    /// Short-term modulus, Pa.
    pub modulus_pa: Option<f64>,
    /// Wave speed, m/s.
    pub wave_speed_m_per_s: Option<f64>,
    /// Darcy friction factor.
    pub friction_factor: Option<f64>,
}

/// Why a pipe cannot be made of the user's keys.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum OwnFault {
    /// No material.
    NoMaterial,
    /// Two of outside diameter, wall and bore are needed.
    TooFewSizes,
    /// Outside diameter, wall and bore contradict one another: the bore that the other two give, m.
    Contradiction {
        /// Outside diameter less two walls, m.
        bore_m: f64,
        /// The bore as given, m.
        given_m: f64,
    },
    /// The wall is nothing, or fills the pipe.
    NoBore,
}

impl OwnFault {
    /// The key of the site file that it is about.
    pub fn key(&self) -> &'static str {
        match self {
            Self::NoMaterial => "material",
            Self::TooFewSizes | Self::NoBore => "outer_diameter",
            Self::Contradiction { .. } => "inner_diameter",
        }
    }

    /// What to do about it.
    pub fn advice(&self) -> &'static str {
        match self {
            Self::NoMaterial => {
                "write material = \"pe\", \"pvc\" or \"steel\", or a spec from the catalogue"
            }
            Self::TooFewSizes => {
                "give two of outer_diameter, wall and inner_diameter as measured, not the nominal size"
            }
            Self::Contradiction { .. } => {
                "remove one of outer_diameter, wall and inner_diameter, or measure again"
            }
            Self::NoBore => {
                "the wall thickness must be more than zero and less than the radius: measure the outside diameter and the wall again"
            }
        }
    }
}

impl fmt::Display for OwnFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoMaterial => write!(f, "a pipe by its own keys needs a material"),
            Self::TooFewSizes => write!(
                f,
                "a pipe by its own keys needs two of outer diameter, wall and inner diameter"
            ),
            Self::Contradiction { bore_m, given_m } => write!(
                f,
                "the outside diameter and the wall give an inside diameter of {:.1} mm, not {:.1} mm",
                bore_m * 1000.0,
                given_m * 1000.0
            ),
            Self::NoBore => write!(
                f,
                "the outside diameter, the wall and the inside diameter do not agree"
            ),
        }
    }
}

impl std::error::Error for OwnFault {}

/// A pipe made of the user's own keys alone.
///
/// Without a rating, `rating_pa` is `None`: strength is then not judged. Roughness is the material's unless given (and then new and old alike).
pub fn own(keys: &Own) -> Result<Pipe, OwnFault> {
    let material = keys.material.ok_or(OwnFault::NoMaterial)?;
    let blank = Pipe {
        spec: String::new(),
        id: String::new(),
        standard: String::new(),
        material,
        grade: match material {
            Material::Pe => "PE",
            Material::Pvc => "PVC-U",
            Material::Steel => "steel",
        }
        .to_owned(),
        size_label: String::new(),
        series: String::new(),
        outer_diameter_m: 0.0,
        wall_m: 0.0,
        inner_diameter_m: 0.0,
        rating_pa: None,
        rating_basis: "given by the user".to_owned(),
        rating_temp_c: if material == Material::Steel {
            60.0
        } else {
            20.0
        },
        mass_kg_per_m: 0.0,
        how_dims: How::Computed,
        how_rating: How::Computed,
        source: "given by the user".to_owned(),
        note: String::new(),
        roughness_m: 0.0,
        roughness_old_m: 0.0,
        modulus_pa: None,
        wave_speed_m_per_s: None,
        friction_factor: None,
        refused: None,
    };
    let rough = roughness(&blank);
    let mut pipe = Pipe {
        roughness_m: rough.new_m,
        roughness_old_m: rough.old_m,
        ..blank
    }
    .with(keys)?;
    if [keys.outer_diameter_m, keys.wall_m, keys.inner_diameter_m]
        .iter()
        .flatten()
        .count()
        < 2
    {
        return Err(OwnFault::TooFewSizes);
    }
    pipe.spec = format!(
        "{} {:.1} x {:.1} mm (own)",
        pipe.grade,
        pipe.outer_diameter_m * 1000.0,
        pipe.wall_m * 1000.0
    );
    Ok(pipe)
}

/// Sizes may contradict one another by rounding: this much of the bore, or half a millimetre.
const ROUNDING: f64 = 0.01;

impl Pipe {
    /// The pipe with the user's keys laid over it: what is given rules, what follows from it is worked out again.
    ///
    /// A row of the catalogue whose bore alone is changed keeps its wall and its rating; a changed outside or wall keeps the rating too, which is then the user's to answer for.
    pub fn with(mut self, keys: &Own) -> Result<Self, OwnFault> {
        let sizes = (keys.outer_diameter_m, keys.wall_m, keys.inner_diameter_m);
        match sizes {
            (None, None, None) => {}
            (Some(od), Some(wall), bore) => {
                let left = od - 2.0 * wall;
                if let Some(given) =
                    bore.filter(|b| (b - left).abs() > (ROUNDING * left).max(0.5e-3))
                {
                    return Err(OwnFault::Contradiction {
                        bore_m: left,
                        given_m: given,
                    });
                }
                self.set_sizes(od, wall, bore.unwrap_or(left));
            }
            (Some(od), None, Some(bore)) => self.set_sizes(od, (od - bore) / 2.0, bore),
            (None, Some(wall), Some(bore)) => self.set_sizes(bore + 2.0 * wall, wall, bore),
            (Some(od), None, None) if self.is_sized() => {
                let wall = self.wall_m;
                self.set_sizes(od, wall, od - 2.0 * wall);
            }
            (None, Some(wall), None) if self.outer_diameter_m > 0.0 => {
                let od = self.outer_diameter_m;
                self.set_sizes(od, wall, od - 2.0 * wall);
            }
            (None, None, Some(bore)) if self.outer_diameter_m > 0.0 => self.inner_diameter_m = bore,
            // Drain pipe whose sizes are not in the tables can still be computed with the bore the user measured.
            (None, None, Some(bore)) if self.refused.is_some() => self.inner_diameter_m = bore,
            _ => return Err(OwnFault::TooFewSizes),
        }
        let sized = sizes != (None, None, None);
        let walled = self.is_sized() && self.outer_diameter_m > self.inner_diameter_m;
        if sized && (self.inner_diameter_m <= 0.0 || (!walled && self.refused.is_none())) {
            return Err(OwnFault::NoBore);
        }
        if let Some(rough) = keys.roughness_m {
            self.roughness_m = rough;
            self.roughness_old_m = rough;
        }
        if let Some(pa) = keys.rating_pa.filter(|_| self.refused.is_none()) {
            self.rating_pa = Some(pa);
            self.how_rating = How::Computed;
            self.rating_basis = "given by the user".to_owned();
        }
        self.modulus_pa = keys.modulus_pa.or(self.modulus_pa);
        self.wave_speed_m_per_s = keys.wave_speed_m_per_s.or(self.wave_speed_m_per_s);
        self.friction_factor = keys.friction_factor.or(self.friction_factor);
        Ok(self)
    }

    fn set_sizes(&mut self, outer_m: f64, wall_m: f64, bore_m: f64) {
        self.outer_diameter_m = outer_m;
        self.wall_m = wall_m;
        self.inner_diameter_m = bore_m;
        self.how_dims = How::Computed;
        let Known { value, .. } = density_kg_per_m3(self);
        self.mass_kg_per_m = std::f64::consts::PI * (outer_m - wall_m) * wall_m * value;
    }

    /// Whether a figure of the row rests on memory or a secondary source only: shown with "check the marking on the pipe".
    pub fn is_unverified(&self) -> bool {
        self.how_dims.is_unverified() || self.how_rating.is_unverified()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pipe::find;

    #[test]
    fn two_sizes_make_a_pipe() {
        let keys = Own {
            material: Some(Material::Steel),
            outer_diameter_m: Some(0.1),
            inner_diameter_m: Some(0.09),
            rating_pa: Some(40e5),
            ..Own::default()
        };
        let pipe = own(&keys).unwrap();
        assert!((pipe.wall_m - 0.005).abs() < 1e-12 && pipe.mass_kg_per_m > 11.0);
        assert_eq!(
            own(&Own {
                material: None,
                ..keys
            }),
            Err(OwnFault::NoMaterial)
        );
        assert_eq!(
            own(&Own {
                inner_diameter_m: None,
                ..keys
            }),
            Err(OwnFault::TooFewSizes)
        );
        assert_eq!(
            own(&Own {
                inner_diameter_m: Some(0.11),
                ..keys
            }),
            Err(OwnFault::NoBore)
        );
        let three = Own {
            wall_m: Some(0.01),
            ..keys
        };
        assert!(matches!(own(&three), Err(OwnFault::Contradiction { .. })));
    }

    #[test]
    fn keys_laid_over_a_row_rule() {
        let row = find("PE100 SDR 11 90").unwrap();
        let keys = Own {
            rating_pa: Some(8e5),
            roughness_m: Some(5e-5),
            ..Own::default()
        };
        let pipe = row.clone().with(&keys).unwrap();
        assert_eq!(pipe.rating_pa, Some(8e5));
        assert_eq!(pipe.roughness_old_m, 5e-5);
        assert_eq!(pipe.wall_m, row.wall_m);
        let drain = find("corrugated drain pipe").unwrap();
        let bored = Own {
            inner_diameter_m: Some(0.1),
            rating_pa: Some(5e5),
            ..Own::default()
        };
        let pipe = drain.with(&bored).unwrap();
        assert!(pipe.refused.is_some() && pipe.rating_pa.is_none() && pipe.inner_diameter_m == 0.1);
    }
}
