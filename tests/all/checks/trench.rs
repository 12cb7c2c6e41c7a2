//! Checkers for tests/checks/trench.csv.

use super::anchor::{WATER, pe, soil};
use crate::ledger::{Answer, Checker, Inputs};
use steadyfall::anchor::COVER_SAFETY;
use steadyfall::anchor::buoyant::{cover_for_m, drowned_n_per_m3, fill_area_m2, safety};
use steadyfall::pipe::Tamped;
use steadyfall::strength::bedded::{BeddedRing, Grain, ring_pa, soil_reaction, width_m};

const PSI: f64 = 6_894.757_293_168;

/// Pound-force a cubic foot, N/m3.
const POUND_A_CUBIC_FOOT: f64 = 157.087_463_8;

/// The quantities of this topic.
pub fn checkers() -> Vec<Checker> {
    vec![
        of(
            "fill that rises with a pipe",
            "anchor::buoyant::fill_area_m2",
            |i| Ok(fill_area_m2(i.number("od_m")?, i.number("cover_m")?).into()),
        ),
        of(
            "fill under water",
            "anchor::buoyant::drowned_n_per_m3",
            |i| Ok((drowned_n_per_m3(soil(i)?) / POUND_A_CUBIC_FOOT).into()),
        ),
        of(
            "safety asked against uplift",
            "anchor::buoyant::COVER_SAFETY",
            |_| Ok(COVER_SAFETY.into()),
        ),
        of("pipe stiffness", "strength::bedded::ring_pa", |i| {
            let ring = ring_pa(i.number("modulus_psi")? * PSI, i.number("dr")?);
            Ok((ring / 0.149 / PSI).into())
        }),
        of("ring stiffness", "strength::bedded::ring_pa", |i| {
            // E I / D^3 of ISO 9969 is an eighth of E I / r^3
            Ok((ring_pa(i.number("modulus_pa")?, i.number("dr")?) / 8e3).into())
        }),
        of(
            "deflection by the Iowa formula",
            "strength::bedded::BeddedRing::deflection",
            |i| {
                let ring = BeddedRing {
                    earth_pa: i.number("earth_pa")?,
                    wheel_pa: i.number("wheel_pa")?,
                    ring_pa: ring_pa(i.number("modulus_psi")? * PSI, i.number("dr")?),
                    soil_reaction_pa: i.number("soil_reaction_psi")? * PSI,
                };
                Ok(ring.deflection().into())
            },
        ),
        of(
            "modulus of soil reaction",
            "strength::bedded::soil_reaction",
            |i| {
                let grain = match i.word("grain")? {
                    "fine" => Grain::Fine,
                    "mixed" => Grain::Mixed,
                    "clean" => Grain::Clean,
                    "crushed" => Grain::Crushed,
                    other => return Err(format!("no grain {other}")),
                };
                let tamped = match i.word("tamped")? {
                    "dumped" => Tamped::Dumped,
                    "light" => Tamped::Light,
                    "well" => Tamped::Well,
                    other => return Err(format!("not tamped {other}")),
                };
                Ok((soil_reaction(grain, tamped).0 / PSI).into())
            },
        ),
        of("trench width", "strength::bedded::width_m", |i| {
            Ok(width_m(i.number("od_m")?, i.number("depth_m")?).into())
        }),
        of("safety against uplift", "anchor::buoyant::safety", |i| {
            let fill = drowned_n_per_m3(soil(i)?);
            Ok(safety(&pe(i)?, fill, i.number("cover_m")?, WATER).into())
        }),
        of(
            "cover against uplift",
            "anchor::buoyant::cover_for_m",
            |i| {
                let fill = drowned_n_per_m3(soil(i)?);
                let cover = cover_for_m(&pe(i)?, fill, COVER_SAFETY, WATER);
                Ok(cover.ok_or("no cover does")?.into())
            },
        ),
    ]
}

fn of(
    quantity: &'static str,
    of: &'static str,
    work: fn(&Inputs) -> Result<Answer, String>,
) -> Checker {
    Checker { quantity, of, work }
}
