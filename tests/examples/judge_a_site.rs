//! A site file to its verdict and to every file of its folder.
//!
//! Run it with the names of a site file and of a new folder, or with none: a sample is judged then, and nothing is written.

use std::path::Path;
use steadyfall::prelude::*;
use steadyfall::report::words;

/// Judges a site, tells what must be done, and writes the folder where one is named.
pub fn judge(file: &Path, folder: Option<&Path>) -> Result<Report, Faults> {
    let report = check(file)?;
    println!("{:?}", report.verdict());
    for finding in &report.findings {
        if finding.severity == Severity::Stop {
            println!("{}", words::text(finding, report.say()));
        }
    }
    if let Some(folder) = folder {
        write(&report, folder)?;
    }
    Ok(report)
}

/// Reads the names.
pub fn main() -> Result<(), Faults> {
    let given: Vec<String> = std::env::args().skip(1).collect();
    let sample = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/sample-surveys/juniper-draw/site.toml"
    );
    let file = given.first().map_or(sample, String::as_str);
    judge(Path::new(file), given.get(1).map(Path::new))?;
    Ok(())
}
