//! Checkers for tests/checks/solids.csv.

use crate::ledger::{Answer, Checker, Inputs};
use steadyfall::flow::branch::Rack;
use steadyfall::flow::{clear_k, open_share};
use steadyfall::line::Screen;
use steadyfall::pipe::ScreenKind;

/// The quantities of this topic.
pub fn checkers() -> Vec<Checker> {
    vec![
        Checker {
            quantity: "rack loss",
            of: "flow::branch::Rack::head_m",
            work: |i| {
                let rack = Rack {
                    shape: i.number("shape")?,
                    bar_m: i.number("bar_m")?,
                    gap_m: i.number("opening_m")?,
                    velocity_m_per_s: i.number("velocity_m_per_s")?,
                    tilt_rad: i.number("slope_deg")?.to_radians(),
                };
                Ok(rack.head_m(i.number("g")?).into())
            },
        },
        Checker {
            quantity: "velocity between bars",
            of: "flow::open_share",
            work: |i| {
                let open = open_share(&screen(i)?).ok_or("no open share")?;
                Ok((i.number("velocity_m_per_s")? / open).into())
            },
        },
        Checker {
            quantity: "screen coefficient",
            of: "flow::clear_k",
            work: |i| -> Result<Answer, String> {
                Ok(clear_k(&screen(i)?).ok_or("no coefficient")?.0.into())
            },
        },
    ]
}

fn screen(i: &Inputs) -> Result<Screen, String> {
    Ok(Screen {
        kind: match i.word("kind")? {
            "flat bars" => ScreenKind::FlatBars,
            "mesh" => ScreenKind::Mesh,
            "plate" => ScreenKind::Plate,
            other => return Err(format!("no kind {other}")),
        },
        opening_m: i.number("opening_m")?,
        bar_m: i.number("bar_m").ok(),
        open_share: i.number("open_share").ok(),
        face_m: None,
        slope_rad: i.number("slope_deg").ok().map(f64::to_radians),
        cleaned: None,
        least_clearance_m: None,
    })
}
