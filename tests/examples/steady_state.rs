//! Steady states of a line that no file describes: points, a pipe and nozzles.

use std::error::Error;
use steadyfall::flow::{Run, run};
use steadyfall::line::{CaseWish, Discharge, Jet, Line, Outlet};
use steadyfall::pipe;
use steadyfall::words::Refused;

/// A line of 640 m that falls by 62 m, with one nozzle of a diameter, m.
pub fn line(nozzle_m: f64) -> Result<Line, pipe::NotOne> {
    let pipe = pipe::find("PE100 SDR11 90")?;
    let mut line = Line::plain(&[(0.0, 62.0), (300.0, 30.0), (640.0, 0.0)], &pipe);
    line.outlet = Some(Outlet {
        how: Discharge::Jets(vec![Jet {
            name: "nozzle".to_owned(),
            nozzle_diameter_m: nozzle_m,
            open: 1.0,
            discharge_coefficient: 0.95,
            velocity_coefficient: 0.97,
        }]),
        nozzle_height_m: 0.0,
        water_to_wire: None,
    });
    Ok(line)
}

/// What flows with all nozzles open. The reason why nothing can is an error with its figures.
pub fn running(line: &Line) -> Result<Run, Refused> {
    let (state, running) = Discharge::everything(line.outlet.as_ref().map(|o| &o.how));
    Ok(run(line, &CaseWish::usual(state, running))?)
}

/// Prints the flow of three nozzles.
pub fn main() -> Result<(), Box<dyn Error>> {
    for nozzle_m in [0.012, 0.016, 0.02] {
        let run = running(&line(nozzle_m)?)?;
        println!(
            "{:.0} mm: {:.2} L/s at {:.1} m net head",
            1e3 * nozzle_m,
            1e3 * run.flow_m3_per_s,
            run.net_head_m
        );
    }
    Ok(())
}
