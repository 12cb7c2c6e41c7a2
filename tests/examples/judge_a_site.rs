//! A site file to its verdict and to every file of its folder.

use std::path::Path;
use steadyfall::prelude::*;
use steadyfall::words;

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

/// Judges a sample; nothing is written.
pub fn main() -> Result<(), Faults> {
    let sample = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/sample-surveys/juniper-draw/site.toml"
    );
    judge(Path::new(sample), None)?;
    Ok(())
}
