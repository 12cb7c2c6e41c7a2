//! Checkers for tests/checks/survey-gps.csv.

use crate::ledger::{Answer, Checker, Inputs};
use steadyfall::earth::{LatLon, Plane, at_height};

/// The quantities of this topic.
pub fn checkers() -> Vec<Checker> {
    vec![
        Checker {
            quantity: "length of a geodesic",
            of: "earth::LatLon::distance_m",
            work: |row| {
                let (a, b) = ends(row)?;
                Ok(a.distance_m(b).into())
            },
        },
        Checker {
            quantity: "azimuth of a geodesic at its start",
            of: "earth::LatLon::azimuth_rad",
            work: |row| {
                let (a, b) = ends(row)?;
                Ok(a.azimuth_rad(b).to_degrees().into())
            },
        },
        Checker {
            quantity: "azimuth of a geodesic at its end",
            of: "earth::LatLon::azimuth_rad",
            work: |row| {
                let (a, b) = ends(row)?;
                // Seen from the end the start lies the other way.
                let back = b.azimuth_rad(a).to_degrees();
                Ok(if back < 0.0 {
                    back + 180.0
                } else {
                    back - 180.0
                }
                .into())
            },
        },
        Checker {
            quantity: "local east",
            of: "earth::Plane::local",
            work: |row| local(row, 0),
        },
        Checker {
            quantity: "local north",
            of: "earth::Plane::local",
            work: |row| local(row, 1),
        },
        Checker {
            quantity: "local up",
            of: "earth::Plane::local",
            work: |row| local(row, 2),
        },
        Checker {
            quantity: "scale of a level distance at a height",
            of: "earth::at_height",
            work: |row| Ok(at_height(row.number("height_m")?).into()),
        },
    ]
}

fn ends(row: &Inputs) -> Result<(LatLon, LatLon), String> {
    Ok((
        LatLon::new(row.number("lat1_deg")?, row.number("lon1_deg")?),
        LatLon::new(row.number("lat2_deg")?, row.number("lon2_deg")?),
    ))
}

fn local(row: &Inputs, which: usize) -> Result<Answer, String> {
    let origin = LatLon::new(row.number("lat0_deg")?, row.number("lon0_deg")?);
    let plane = Plane::new(origin, row.number("height0_m")?);
    let at = LatLon::new(row.number("lat_deg")?, row.number("lon_deg")?);
    let found = plane.local(at, row.number("height_m")?);
    found
        .get(which)
        .copied()
        .map(Answer::from)
        .ok_or_else(|| "no such axis".to_owned())
}
