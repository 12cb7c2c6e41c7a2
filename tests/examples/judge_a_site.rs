//! A site file to its verdict and to every file of its folder.

use std::error::Error;
use std::path::Path;
use steadyfall::prelude;

/// Judges the metric sample and counts what would be written.
pub fn main() -> Result<(), Box<dyn Error>> {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-surveys/juniper-draw/site.toml");
    let report = prelude::check(&file)?;
    println!("{:?}", report.verdict());
    for finding in &report.findings {
        println!("{:?} at {:.0} m", finding.severity, finding.from_m);
    }
    let files = steadyfall::report::sheets(&report)?;
    println!("{} files", files.len());
    Ok(())
}
