//! Water, air, gravity, and how far below the air's pressure water hangs.

use crate::ledger::{Answer, Checker, Inputs};
use steadyfall::flow::suction;
use steadyfall::unit::WaterState;
use steadyfall::unit::physics::{self, EarthPlace, WaterProperties};

pub fn checkers() -> Vec<Checker> {
    vec![
        Checker {
            quantity: "water density",
            of: "unit::physics::water",
            work: |i| water(i).map(|w| w.density_kg_per_m3.into()),
        },
        Checker {
            quantity: "water volume",
            of: "unit::physics::water_at",
            work: |i| water(i).map(|w| (1.0 / w.density_kg_per_m3).into()),
        },
        Checker {
            quantity: "water viscosity",
            of: "unit::physics::water",
            work: |i| match i.number("density") {
                Ok(density) => Ok(physics::viscosity_pa_s(i.number("kelvin")?, density).into()),
                Err(_) => water(i).map(|w| w.viscosity_pa_s.into()),
            },
        },
        Checker {
            quantity: "water kinematic viscosity",
            of: "unit::physics::water",
            work: |i| water(i).map(|w| w.kinematic_viscosity_m2_per_s().into()),
        },
        Checker {
            quantity: "vapour pressure",
            of: "unit::physics::water",
            work: |i| water(i).map(|w| w.vapour_pa.into()),
        },
        Checker {
            quantity: "water bulk modulus",
            of: "unit::physics::water",
            work: |i| water(i).map(|w| w.bulk_modulus_pa.into()),
        },
        Checker {
            quantity: "pressure of the air",
            of: "unit::physics::air_pressure",
            work: |i| {
                Ok(match i.number("geopotential_m") {
                    Ok(h) => physics::air_pressure_geopotential(h),
                    Err(_) => physics::air_pressure(i.number("altitude_m")?),
                }
                .into())
            },
        },
        Checker {
            quantity: "normal gravity",
            of: "unit::physics::gravity",
            work: gravity,
        },
        Checker {
            quantity: "boiling limit",
            of: "flow::suction::vapour_head_m",
            work: |i| boiling(i).map(|h| (-h).into()),
        },
    ]
}

fn water(i: &Inputs) -> Result<WaterProperties, String> {
    match i.number("celsius") {
        Ok(celsius) => Ok(physics::water(celsius)),
        Err(_) => Ok(physics::water_at(WaterState {
            kelvin: i.number("kelvin")?,
            pressure_pa: i.number("pressure_pa")?,
        })),
    }
}

fn gravity(i: &Inputs) -> Result<Answer, String> {
    let spot = EarthPlace {
        latitude_deg: i.number("latitude_deg")?,
        altitude_m: i.number("altitude_m")?,
    };
    Ok(match i.word("ellipsoid")? {
        "GRS80" => physics::gravity(spot),
        _ => physics::WGS84.gravity_m_per_s2(spot),
    }
    .into())
}

pub fn boiling(i: &Inputs) -> Result<f64, String> {
    Ok(suction::vapour_head_m(
        physics::air_pressure(i.number("altitude_m")?),
        &physics::water(i.number("celsius")?),
        i.number("g")?,
    ))
}
