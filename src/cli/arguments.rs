//! What may stand on the command line: words only, nothing is done here.

use clap::{Args, Parser, Subcommand, ValueEnum, ValueHint};
use std::path::PathBuf;

/// Judges the pressure pipe of a small hydro plant from a walked or levelled route.
#[derive(Debug, Parser)]
#[command(
    name = "steadyfall",
    version,
    max_term_width = 100,
    after_help = "Start with `steadyfall demo`: it needs no files and says which one to open.\nFigures are an aid, not a permit: local codes and licensed people have the last word."
)]
pub struct Arguments {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

/// The commands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// The whole check on an invented sample site; no files needed
    Demo(Demo),
    /// Read and judge a survey alone: route, profile, where it climbs, how sure
    Survey(Survey),
    /// The main job: everything that the site file allows
    Check(Check),
    /// Hold a new survey of the same pipe against the site's: what moved, what it broke, how to put it back
    Compare(Compare),
    /// Pipe sizes, classes and jets side by side
    Size(Size),
    /// The pipe catalogue, by open standard
    Pipes(Pipes),
    /// How a figure is worked out, with its source and limits
    Basis(Basis),
    /// Write a commented site file and blank field sheets
    New(New),
    /// Write shell completions or man pages
    Shell(Shell),
}

/// Options that most commands share.
#[derive(Debug, Args)]
pub struct Common {
    /// Folder for the results [default: beside the first file]
    #[arg(long, value_name = "DIR", value_hint = ValueHint::DirPath)]
    pub out: Option<PathBuf>,
    /// Print the content of result.json and nothing else; write a folder only with --out
    #[arg(long)]
    pub json: bool,
    /// Units of what is shown [default: the site file's, else metric]
    #[arg(long, value_enum)]
    pub units: Option<UnitsWord>,
    /// Say nothing unless something is wrong
    #[arg(long)]
    pub quiet: bool,
}

/// Units of results.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum UnitsWord {
    /// Metres, bar, litres a second
    Metric,
    /// Feet, psi, US gallons a minute
    Us,
}

/// A severity.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum SeverityWord {
    /// Only what forbids filling or running
    Stop,
    /// That, and what must be put right
    Fix,
    /// Anything found
    Watch,
}

/// What every judging command takes beside the common options: when it fails, and what its sheets are printed on.
#[derive(Debug, Args)]
pub struct Judging {
    /// Options that most commands share.
    #[command(flatten)]
    pub common: Common,
    /// Exit with status 3 if a finding at or above this stands
    #[arg(long, value_enum, value_name = "SEVERITY")]
    pub fail_on: Option<SeverityWord>,
    /// Paper that the sheets are drawn for [default: a4, or letter where results are shown in feet]
    #[arg(long, value_enum, value_name = "PAPER")]
    pub paper: Option<PaperWord>,
    /// Write the CSV sheets as one XLSX workbook too
    #[arg(long)]
    pub workbook: bool,
}

/// Paper of the sheets.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum PaperWord {
    /// 297 x 210 mm
    A4,
    /// 420 x 297 mm
    A3,
    /// 11 x 8.5 in
    Letter,
    /// 17 x 11 in
    Tabloid,
}

impl From<PaperWord> for crate::drawing::Paper {
    fn from(word: PaperWord) -> Self {
        match word {
            PaperWord::A4 => Self::A4,
            PaperWord::A3 => Self::A3,
            PaperWord::Letter => Self::Letter,
            PaperWord::Tabloid => Self::Tabloid,
        }
    }
}

/// `demo`
#[derive(Debug, Args)]
pub struct Demo {
    /// What every judging command takes.
    #[command(flatten)]
    pub judging: Judging,
    /// Which sample
    #[arg(long, value_enum, default_value = "metric")]
    pub sample: UnitsWord,
}

/// What survey files do not say of themselves.
#[derive(Debug, Args)]
pub struct Unsaid {
    /// How the tape lay: slope or horizontal
    #[arg(long)]
    pub taped: Option<String>,
    /// Which end comes first: intake or turbine
    #[arg(long)]
    pub from: Option<String>,
}

/// `survey`
#[derive(Debug, Args)]
pub struct Survey {
    /// Walks (GPX, KML, KMZ, FIT, TCX, NMEA, GeoJSON, a logger's CSV) or books (CSV, XLSX, ODS), packed or not; several walks are passes over the same line
    #[arg(required = true, value_hint = ValueHint::FilePath)]
    pub files: Vec<PathBuf>,
    /// Bore that a climb is judged by, with its unit [default: 25 mm]
    #[arg(long, value_name = "LENGTH")]
    pub bore: Option<String>,
    /// Kind of survey, where the file does not tell: gpx, level, angle, points, gauge
    #[arg(long)]
    pub kind: Option<String>,
    /// What the files do not say of themselves.
    #[command(flatten)]
    pub unsaid: Unsaid,
    /// What every judging command takes.
    #[command(flatten)]
    pub judging: Judging,
}

/// `check`
#[derive(Debug, Args)]
pub struct Check {
    /// A site file, or survey files with --pipe
    #[arg(required = true, value_hint = ValueHint::FilePath)]
    pub files: Vec<PathBuf>,
    /// The pipe, in words that match one row of the catalogue: "PE100 SDR11 90"; several in order with "to": "PE100 SDR17 110 to 330 m"
    #[arg(long, value_name = "WORDS")]
    pub pipe: Vec<String>,
    /// The jets: "4 x 9 mm"
    #[arg(long, value_name = "JETS")]
    pub jets: Option<String>,
    /// Still water above the pipe's centre at its mouth: "0.6 m"
    #[arg(long, value_name = "HEIGHT")]
    pub water_level: Option<String>,
    /// What the files do not say of themselves.
    #[command(flatten)]
    pub unsaid: Unsaid,
    /// What every judging command takes.
    #[command(flatten)]
    pub judging: Judging,
}

/// `compare`
#[derive(Debug, Args)]
pub struct Compare {
    /// The site file of the earlier survey
    #[arg(value_hint = ValueHint::FilePath)]
    pub site: PathBuf,
    /// The new survey: files, or a TOML with a [survey]
    #[arg(long, required = true, num_args = 1.., value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub after: Vec<PathBuf>,
    /// Station on the pipe where the new survey's end nearest the intake lies, where nothing else says it: "380 m"
    #[arg(long, value_name = "STATION")]
    pub begins_at: Option<String>,
    /// Ground that did not move, from station to station: "0 m to 120 m"; only it then carries the fit in height
    #[arg(long, value_name = "REACH")]
    pub stable: Vec<String>,
    /// How the tape of the new survey lay: slope or horizontal, where the site file does not say it
    #[arg(long)]
    pub taped: Option<String>,
    /// What every judging command takes.
    #[command(flatten)]
    pub judging: Judging,
}

/// `size`
#[derive(Debug, Args)]
pub struct Size {
    /// The site file
    #[arg(value_hint = ValueHint::FilePath)]
    pub site: PathBuf,
    /// Only pipes that these words match: "PE100", "PVC SDR21"
    #[arg(long, value_name = "WORDS")]
    pub of: Option<String>,
    /// How many to show
    #[arg(long, default_value_t = 20)]
    pub show: usize,
    /// Shared options.
    #[command(flatten)]
    pub common: Common,
}

/// `pipes`
#[derive(Debug, Args)]
pub struct Pipes {
    /// Words to look for: standard, material, size, class
    pub words: Vec<String>,
    /// Leave out rows that are not verified against their standard
    #[arg(long)]
    pub verified: bool,
    /// Units of what is shown
    #[arg(long, value_enum)]
    pub units: Option<UnitsWord>,
    /// Print JSON
    #[arg(long)]
    pub json: bool,
}

/// `basis`
#[derive(Debug, Args)]
pub struct Basis {
    /// The topic; without one, all topics are listed
    pub topic: Option<String>,
}

/// `new`
#[derive(Debug, Args)]
pub struct New {
    /// The folder to write into [default: here]
    #[arg(value_hint = ValueHint::DirPath)]
    pub folder: Option<PathBuf>,
    /// Units of the template
    #[arg(long, value_enum, default_value = "metric")]
    pub units: UnitsWord,
}

/// `shell`
#[derive(Debug, Args)]
pub struct Shell {
    /// For which shell; "man" writes the man pages
    #[arg(value_enum)]
    pub what: ShellWord,
    /// Folder for the man pages
    #[arg(long, value_name = "DIR", value_hint = ValueHint::DirPath)]
    pub out: Option<PathBuf>,
}

/// What `shell` writes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum ShellWord {
    /// Completions for bash
    Bash,
    /// Completions for zsh
    Zsh,
    /// Completions for fish
    Fish,
    /// Completions for PowerShell
    Powershell,
    /// Completions for elvish
    Elvish,
    /// Man pages
    Man,
}
