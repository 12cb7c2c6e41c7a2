use super::CliError;
use super::arguments::{DemoArguments, SampleWord};
use super::check::{Output, conclude};
use super::exit::print;
use super::output::units;
use super::progress::Progress;
use crate::gauging;
use crate::line;
use crate::site;
use crate::study::{Study, read_route_from, with_gauged};
use crate::survey;
use crate::text::{Fault, Place};
use std::path::Path;
use std::process::ExitCode;

/// A sample that the program carries in itself.
struct DemoSample {
    site: &'static str,
    files: &'static [(&'static str, &'static [u8])],
}

const METRIC: DemoSample = DemoSample {
    site: include_str!("../../sample-surveys/otter-gill/site.toml"),
    files: &[(
        "walk.gpx",
        include_bytes!("../../sample-surveys/otter-gill/walk.gpx"),
    )],
};

const US: DemoSample = DemoSample {
    site: include_str!("../../sample-surveys/juniper-draw/site.toml"),
    files: &[
        (
            "level-book.csv",
            include_bytes!("../../sample-surveys/juniper-draw/level-book.csv"),
        ),
        (
            "stream-weir.csv",
            include_bytes!("../../sample-surveys/juniper-draw/stream-weir.csv"),
        ),
    ],
};

const WORKS: DemoSample = DemoSample {
    site: include_str!("../../sample-surveys/heron-beck/site.toml"),
    files: &[
        (
            "points.csv",
            include_bytes!("../../sample-surveys/heron-beck/points.csv"),
        ),
        (
            "stream-salt.csv",
            include_bytes!("../../sample-surveys/heron-beck/stream-salt.csv"),
        ),
        (
            "stream-weir.csv",
            include_bytes!("../../sample-surveys/heron-beck/stream-weir.csv"),
        ),
    ],
};

/// The whole check on a sample, no files needed.
pub fn run(arguments: &DemoArguments) -> Result<ExitCode, CliError> {
    let sample = match arguments.sample {
        SampleWord::Metric => &METRIC,
        SampleWord::Us => &US,
        SampleWord::Works => &WORKS,
    };
    if let Some(folder) = &arguments.files {
        return unpack(sample, folder);
    }
    let site = site::read_text("", sample.site)?;
    let own = |path: &Path| {
        let name = path
            .file_name()
            .map(|n| n.to_string_lossy().into_owned())
            .unwrap_or_default();
        let bytes = sample.files.iter().find(|(n, _)| *n == name).map(|f| f.1);
        bytes
            .ok_or_else(|| Fault::new(Place::file(&name), "the sample does not have this file"))
            .map(|bytes| (name, bytes))
    };
    let route = read_route_from(&site, &|path, kind, options| {
        let (name, bytes) = own(path)?;
        survey::read_bytes(bytes, &name, kind, options)
    })?;
    let line = with_gauged(&site, line::build(&site, &route)?, &|path, gravity| {
        let (name, bytes) = own(path)?;
        gauging::read_text(bytes, &name, gravity)
    })?;
    let progress = Progress::start(
        arguments.judging.common.quiet,
        "calculating flow, air and surge",
    );
    let study = Study::of(route, line);
    conclude(
        study,
        units(arguments.judging.common.units, site.units),
        Output {
            folder: Path::new("steadyfall-demo"),
            first_file: Path::new(""),
            made: None,
            inputs: Vec::new(),
        },
        &arguments.judging,
        progress,
    )
}

/// Writes the sample's own files; one that is there already is left alone, and nothing is written then.
fn unpack(sample: &DemoSample, folder: &Path) -> Result<ExitCode, CliError> {
    let site = ("site.toml", sample.site.as_bytes());
    let files: Vec<(&str, &[u8])> = std::iter::once(site)
        .chain(sample.files.iter().copied())
        .collect();
    super::new::write(folder, &files, "give another folder")?;
    let names: Vec<&str> = files.iter().map(|f| f.0).collect();
    print(&format!(
        "Wrote {} into {}.",
        names.join(", "),
        crate::text::neutral(&folder.display().to_string())
    ))?;
    Ok(ExitCode::SUCCESS)
}
