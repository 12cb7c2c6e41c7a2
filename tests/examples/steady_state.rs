//! The steady states of a line: flow, net head, and the hydraulic grade line.

use std::error::Error;
use std::path::Path;
use steadyfall::{flow, prelude};

/// Prints each running state of the metric sample.
pub fn main() -> Result<(), Box<dyn Error>> {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-surveys/juniper-draw/site.toml");
    let site = steadyfall::site::read_file(&file).map_err(prelude::Faults)?;
    let route = steadyfall::study::read_route(&site)?;
    let line = steadyfall::line::build(&site, &route).map_err(prelude::Faults)?;
    for run in flow::cases(&line).runs {
        println!(
            "{}: {:.2} L/s at {:.1} m net head",
            run.wish.state,
            1e3 * run.flow_m3_per_s,
            run.net_head_m
        );
    }
    Ok(())
}
