use super::CliError;
use super::arguments::PageArguments;
use super::exit::print;
use crate::text::{Fault, Place, neutral};
use std::fs;
use std::io::ErrorKind;
use std::path::PathBuf;
use std::process::ExitCode;

/// The whole program in one page, as it was built last.
const PAGE: &[u8] = include_bytes!("../../docs/page/index.html");

/// How every page of ours begins.
const HEAD: &[u8] = b"<!DOCTYPE html>\n<!-- steadyfall page -->\n";

/// Writes the page. An earlier page of ours is replaced, nothing else is.
pub fn run(arguments: &PageArguments) -> Result<ExitCode, CliError> {
    let file = arguments
        .file
        .clone()
        .unwrap_or_else(|| PathBuf::from("steadyfall.html"));
    let shown = file.display().to_string();
    let fault = |text: &str, found: String| {
        Fault::new(Place::file(&shown), text)
            .found(found)
            .expected("a new file, or an earlier page of this program")
            .advice("give another file: steadyfall page FILE")
    };
    match fs::read(&file) {
        Ok(there) if !there.starts_with(HEAD) => {
            return Err(fault(
                "this file exists already; nothing was written",
                format!("{} bytes of other content", there.len()),
            )
            .into());
        }
        Err(error) if error.kind() != ErrorKind::NotFound => {
            return Err(fault("the page cannot be written here", error.to_string()).into());
        }
        _ => {}
    }
    // Written beside and renamed: a page that is half there would open and not run.
    let beside = file.with_extension("html.partial");
    fs::write(&beside, PAGE)
        .and_then(|()| fs::rename(&beside, &file))
        .map_err(|e| fault("the page cannot be written here", e.to_string()))?;
    print(&format!(
        "Wrote {} ({:.1} MB). Open it in a browser, or send it to a phone. An iPhone needs it on a web server with https.",
        neutral(&shown),
        PAGE.len() as f64 / 1e6
    ))?;
    Ok(ExitCode::SUCCESS)
}
