//! Wave speed: how fast a change of pressure runs along a pipe, as a range with an end for pressures and an end for times.

use super::facts::quick_poisson;
use super::{Bed, Joint, Material, Pipe};
use crate::unit::physics::{WaterProperties, water};

/// What a round, elastic tube full of water is made of, as far as a pressure wave is concerned.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Elastic {
    /// Bulk modulus of the water for quick changes, Pa.
    pub bulk_modulus_pa: f64,
    /// Density of the water, kg/m3.
    pub density_kg_per_m3: f64,
    /// Bore, m.
    pub bore_m: f64,
    /// Wall, m.
    pub wall_m: f64,
    /// Modulus of the wall for loads of about a second, Pa; infinite for a rigid pipe.
    pub modulus_pa: f64,
    /// Poisson's ratio of the wall.
    pub poisson: f64,
}

/// How the pipe is held along its length: it decides how far a pressure may stretch it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Restraint {
    /// Held at its upper end only.
    Upstream,
    /// Held all along: buried, or joined so that it pulls and pushes as one.
    Throughout,
    /// Free to slide at every joint.
    Sliding,
}

/// Whether the wall's own thickness counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum WaveWall {
    /// A membrane: bore over wall above about 25.
    Thin,
    /// A thick ring: what plastic pipe is.
    Thick,
}

impl Elastic {
    /// Share of the hoop stretch that the way of holding leaves (c1 of the handbooks).
    ///
    /// Thin wall: 1 - nu/2 held upstream only, 1 - nu2 held throughout, 1 with sliding joints. Older editions print 5/4 - nu for the first; it is not used here.
    pub fn restraint(&self, held: Restraint, wall: WaveWall) -> f64 {
        let nu = self.poisson;
        let thin = match held {
            Restraint::Upstream => 1.0 - nu / 2.0,
            Restraint::Throughout => 1.0 - nu * nu,
            Restraint::Sliding => 1.0,
        };
        match wall {
            WaveWall::Thin => thin,
            // 2e/D (1 + nu) + D/(D + e) thin
            WaveWall::Thick => {
                2.0 * self.wall_m / self.bore_m * (1.0 + nu)
                    + self.bore_m / (self.bore_m + self.wall_m) * thin
            }
        }
    }

    /// Speed of a pressure wave, m/s: a = sqrt(K/rho) / sqrt(1 + c1 (K/E)(D/e)).
    ///
    /// Source: Wylie and Streeter, Fluid Transients in Systems (1993), the form from memory; the ledger holds it against printed tables.
    /// Valid for a round pipe full of water without free gas; infinite modulus gives sound in open water.
    pub fn wave_speed_m_per_s(&self, held: Restraint, wall: WaveWall) -> f64 {
        let give = self.restraint(held, wall) * self.bulk_modulus_pa / self.modulus_pa
            * self.bore_m
            / self.wall_m;
        (self.bulk_modulus_pa / self.density_kg_per_m3 / (1.0 + give)).sqrt()
    }
}

/// A range of a figure that is not known better.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Band {
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

impl Band {
    /// From the lower of both lower ends to the upper of both upper ends.
    #[must_use]
    pub fn with(self, other: Self) -> Self {
        Self {
            low: self.low.min(other.low),
            high: self.high.max(other.high),
        }
    }
}

/// Modulus of the wall for a load of about a second, Pa, at a temperature of the wall, C.
///
/// PE80 0.7 to 1.0 GPa, PE100 and unnamed PE 1.0 to 1.5, PVC-U 3.0 to 3.5, steel 200 to 210, each at 20 C; PE loses 1.5 % and PVC 0.5 % of that a kelvin, steel nothing.
/// From memory: the values are those in common use for surge and are not from a standard. Held between -10 and 60 C. The user's own modulus stands for both ends.
pub fn dynamic_modulus_pa(pipe: &Pipe, wall_c: f64) -> Band {
    let (low, high, loss_per_k) = match pipe.material {
        Material::Pe if is_older_grade(&pipe.grade) => (0.7e9, 1.0e9, 0.015),
        Material::Pe => (1.0e9, 1.5e9, 0.015),
        Material::Pvc => (3.0e9, 3.5e9, 0.005),
        Material::Steel => (200e9, 210e9, 0.0),
    };
    let warmer = wall_c.clamp(-10.0, 60.0) - 20.0;
    let share = 1.0 - loss_per_k * warmer;
    match pipe.modulus_pa {
        Some(own) => Band {
            low: own,
            high: own,
        },
        None => Band {
            low: low * share,
            high: high * share,
        },
    }
}

/// Grades of polyethylene softer than PE100.
fn is_older_grade(grade: &str) -> bool {
    ["80", "63", "40", "32", "LD", "MD"]
        .iter()
        .any(|mark| grade.to_ascii_uppercase().contains(mark))
        && !grade.contains("100")
        && !grade.contains("4710")
}

/// How a pipe is held, by its joints and its bed.
///
/// Rubber rings slide. What is buried, or fused, welded, flanged, threaded or solvent-welded into one piece, is held throughout.
pub fn restraint_of(joint: Joint, bed: Bed) -> Restraint {
    match (joint, bed) {
        (Joint::Ring | Joint::RepairCoupling, _) => Restraint::Sliding,
        (_, Bed::Buried) => Restraint::Throughout,
        (Joint::Barbed | Joint::Compression, _) => Restraint::Upstream,
        _ => Restraint::Throughout,
    }
}

/// Temperatures the wave speed is taken between, C.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Between {
    /// Coldest water, C.
    pub coldest_c: f64,
    /// Warmest water, C.
    pub warmest_c: f64,
}

/// Wave speed in a pipe as a range, m/s: the high end is what pressures are worked out with, the low end what times are.
///
/// High: thin-wall formula, the stiffer end of the modulus, the temperature that gives more. Low: thick-wall formula, the softer end, the temperature that gives less.
/// The real one lies between; for PE the range is some 25 %. The user's own wave speed stands for both ends. The wall is taken to be as warm as the water.
pub fn wave_speed(pipe: &Pipe, held: Restraint, water_c: Between) -> Band {
    if let Some(own) = pipe.wave_speed_m_per_s {
        return Band {
            low: own,
            high: own,
        };
    }
    let ends = [water_c.coldest_c, water_c.warmest_c].map(|c| {
        let at = water(c);
        let modulus = dynamic_modulus_pa(pipe, c);
        Band {
            low: tube(pipe, &at, modulus.low).wave_speed_m_per_s(held, WaveWall::Thick),
            high: tube(pipe, &at, modulus.high).wave_speed_m_per_s(held, WaveWall::Thin),
        }
    });
    let [cold, warm] = ends;
    Band {
        low: cold.low.min(warm.low),
        high: cold.high.max(warm.high),
    }
}

fn tube(pipe: &Pipe, water: &WaterProperties, modulus_pa: f64) -> Elastic {
    Elastic {
        bulk_modulus_pa: water.bulk_modulus_pa,
        density_kg_per_m3: water.density_kg_per_m3,
        bore_m: pipe.inner_diameter_m,
        wall_m: pipe.wall_m,
        modulus_pa,
        poisson: quick_poisson(pipe.material),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pe100_sdr11() -> Elastic {
        Elastic {
            bulk_modulus_pa: 2.1e9,
            density_kg_per_m3: 1000.0,
            bore_m: 0.09,
            wall_m: 0.01,
            modulus_pa: 1.0e9,
            poisson: 0.46,
        }
    }

    #[test]
    fn a_thick_wall_is_slower_than_the_membrane_says() {
        let tube = pe100_sdr11();
        for held in [
            Restraint::Upstream,
            Restraint::Throughout,
            Restraint::Sliding,
        ] {
            assert!(
                tube.wave_speed_m_per_s(held, WaveWall::Thick)
                    < tube.wave_speed_m_per_s(held, WaveWall::Thin)
            );
        }
    }

    #[test]
    fn a_rigid_pipe_carries_sound_in_open_water() {
        let rigid = Elastic {
            modulus_pa: f64::INFINITY,
            ..pe100_sdr11()
        };
        let a = rigid.wave_speed_m_per_s(Restraint::Sliding, WaveWall::Thin);
        assert!((a - (2.1e9_f64 / 1000.0).sqrt()).abs() < 1e-9);
    }

    #[test]
    fn grades_are_told_apart() {
        assert!(is_older_grade("PE80"));
        assert!(is_older_grade("PE 80"));
        assert!(!is_older_grade("PE100"));
        assert!(!is_older_grade("PE100-RC"));
        assert!(!is_older_grade("PE4710"));
        assert!(!is_older_grade("PE"));
    }
}
