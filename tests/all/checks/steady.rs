//! Checkers for tests/checks/steady*.csv.

mod losses;
mod nature;
mod states;

use crate::ledger::Checker;

/// The quantities of this topic.
pub fn checkers() -> Vec<Checker> {
    [nature::checkers(), losses::checkers(), states::checkers()]
        .into_iter()
        .flatten()
        .collect()
}

/// SI worth of a unit that a row's answer stands in.
fn si(unit: &str) -> Result<f64, String> {
    const FOOT: f64 = 0.3048;
    const GALLON: f64 = 3.785_411_784e-3;
    const PSI: f64 = 6_894.757_293_168;
    Ok(match unit {
        "1" | "m" | "m/s" | "m3/s" | "W" => 1.0,
        "%" => 0.01,
        "ft" | "ft/s" => FOOT,
        "cfs" => FOOT * FOOT * FOOT,
        "gpm" => GALLON / 60.0,
        "L/s" => 1e-3,
        "L/min" => 1e-3 / 60.0,
        "psi" => PSI,
        "psf" => PSI / 144.0,
        "kPa" => 1e3,
        "MW" => 1e6,
        "hp" => 745.699_871_582_270_2,
        other => return Err(format!("no unit {other}")),
    })
}
