//! What may stand on the command line: words only, nothing is done here.

use clap::{Args, Parser, Subcommand, ValueEnum, ValueHint};
use std::path::PathBuf;

/// The caution below every answer.
pub const CAUTION: &str =
    "The results are an aid, not a permit. Local codes and licensed practice have priority.";

/// Checks the penstock (pressure pipe) of a small hydro plant from a GPS walk or a level survey.
#[derive(Debug, Parser)]
#[command(
    name = "steadyfall",
    version,
    max_term_width = 100,
    after_help = format!("Start with `steadyfall demo`: it needs no files.\n{CAUTION}")
)]
pub struct Arguments {
    /// Form of the error messages: text for people, or JSON for other programs
    #[arg(
        long,
        global = true,
        value_enum,
        value_name = "FORM",
        default_value = "text"
    )]
    pub faults: FaultsWord,
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

/// How faults are told.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum FaultsWord {
    /// Place in the file, value found, value expected, correction
    Text,
    /// The same as a JSON list
    Json,
}

/// The commands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Full check of an invented sample site; no files needed
    Demo(DemoArguments),
    /// Check a survey only: route, profile, rising sections, uncertainty
    Survey(SurveyArguments),
    /// Full check of one site file: flow, air, surge, strength, anchors
    Check(CheckArguments),
    /// Compare a new survey with the site survey: what moved, what is affected, how to correct it
    Compare(CompareArguments),
    /// Compare pipe sizes, classes and nozzles
    Size(SizeArguments),
    /// Check a gauge book: what changed, when, and the possible causes
    Log(LogArguments),
    /// Pipe catalogue, by open standard
    Pipes(PipesArguments),
    /// Calculation methods, with sources and limits
    Basis(BasisArguments),
    /// Write a commented site file and blank field sheets
    New(NewArguments),
    /// Write shell completions or man pages
    Shell(ShellArguments),
    /// Write this program as one page for a browser; the page works on a phone without a network
    #[cfg(feature = "page")]
    Page(PageArguments),
    /// Print the keys of the site file as JSON, to build a form
    #[command(hide = true)]
    Fields(FieldsArguments),
    /// What the page asks while somebody walks or books, as JSON
    #[command(hide = true)]
    Field(FieldArguments),
}

/// Options that most commands share.
#[derive(Debug, Args)]
pub struct Common {
    /// Folder for the results [default: next to the first file]
    #[arg(long, value_name = "DIR", value_hint = ValueHint::DirPath)]
    pub out: Option<PathBuf>,
    /// Print the content of result.json and nothing else; write a folder only with --out
    #[arg(long)]
    pub json: bool,
    /// Units of the results [default: as in the site file, or metric]
    #[arg(long, value_enum)]
    pub units: Option<UnitsWord>,
    /// Print errors only
    #[arg(long)]
    pub quiet: bool,
    /// Print the answer in short, as JSON
    #[arg(long, hide = true)]
    pub brief: bool,
}

impl Common {
    /// Whether nothing is written: the result is printed, and no folder was named.
    pub fn is_printed_alone(&self) -> bool {
        self.json && self.out.is_none()
    }
}

/// Units of results.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum UnitsWord {
    /// Metres, bar, litres per second
    Metric,
    /// Feet, psi, US gallons per minute
    Us,
}

/// A sample that the program carries in itself.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum SampleWord {
    /// Walks with a receiver, polyethylene, four nozzles
    Metric,
    /// A level book in feet, PVC and polyethylene, three nozzles
    Us,
    /// Buried PVC and steel, a pump run as a turbine, stream flow, pressure test, metals, screen, sand
    Works,
}

/// A severity.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum SeverityWord {
    /// Only findings that forbid filling or operation
    Stop,
    /// Also findings that need correction
    Fix,
    /// All findings
    Watch,
}

/// What every judging command takes beside the common options: when it fails, and what its sheets are printed on.
#[derive(Debug, Args)]
pub struct Judging {
    /// Options that most commands share.
    #[command(flatten)]
    pub common: Common,
    /// Exit with status 3 if a finding of this severity or a higher severity is present
    #[arg(long, value_enum, value_name = "SEVERITY")]
    pub fail_on: Option<SeverityWord>,
    /// Paper size of the drawings [default: a4, or letter with US units]
    #[arg(long, value_enum, value_name = "PAPER")]
    pub paper: Option<PaperWord>,
    /// Also write the CSV sheets as one XLSX workbook
    #[arg(long)]
    pub workbook: bool,
    /// Print all findings and values, not one screen
    #[arg(long)]
    pub full: bool,
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

impl From<PaperWord> for crate::drawing::PaperSize {
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
pub struct DemoArguments {
    /// What every judging command takes.
    #[command(flatten)]
    pub judging: Judging,
    /// Which sample
    #[arg(long, value_enum, default_value = "metric")]
    pub sample: SampleWord,
    /// Write the files of the sample to this folder instead
    #[arg(long, value_name = "DIR", value_hint = ValueHint::DirPath)]
    pub files: Option<PathBuf>,
}

/// What survey files do not say of themselves.
#[derive(Debug, Args)]
pub struct Unsaid {
    /// How the tape was held: slope or horizontal
    #[arg(long)]
    pub taped: Option<String>,
    /// Direction of the survey: from intake or from turbine
    #[arg(long)]
    pub from: Option<String>,
    /// The receiver measures heights with a barometer
    #[arg(long)]
    pub barometer: bool,
    /// Log of the air pressure during the walk: CSV with time and pressure
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub pressure_log: Option<PathBuf>,
    /// Air pressure of a logger at a fixed place, to remove the effect of the weather
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub base_log: Option<PathBuf>,
}

impl Unsaid {
    /// The log that was carried, as it was named.
    pub fn pressure_log(&self) -> Option<String> {
        self.pressure_log.as_ref().map(|f| f.display().to_string())
    }

    /// The log that stood still, as it was named.
    pub fn base_log(&self) -> Option<String> {
        self.base_log.as_ref().map(|f| f.display().to_string())
    }
}

/// `survey`
#[derive(Debug, Args)]
pub struct SurveyArguments {
    /// Walks (GPX, KML, KMZ, FIT, TCX, NMEA, GeoJSON, CSV of a logger) or books (CSV, XLSX, ODS), packed or not. Several walks are passes over the same route
    #[arg(required = true, value_hint = ValueHint::FilePath)]
    pub files: Vec<PathBuf>,
    /// Inside diameter used to find rising sections, with unit [default: 25 mm]
    #[arg(long, value_name = "LENGTH")]
    pub bore: Option<String>,
    /// Kind of survey, if the file does not show it: gpx, level, angle, points, gauge
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
pub struct CheckArguments {
    /// A site file, a zip with a site file and its surveys, or survey files with --pipe
    #[arg(required = true, value_hint = ValueHint::FilePath)]
    pub files: Vec<PathBuf>,
    /// Pipe, in words that match one catalogue row: "PE100 SDR11 90". Give several pipes in order with "to": "PE100 SDR17 110 to 330 m"
    #[arg(long, value_name = "WORDS")]
    pub pipe: Vec<String>,
    /// Nozzles: "4 x 9 mm"
    #[arg(long, value_name = "JETS")]
    pub jets: Option<String>,
    /// Static water level above the pipe centre at the inlet: "0.6 m"
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
pub struct CompareArguments {
    /// The site file of the earlier survey
    #[arg(value_hint = ValueHint::FilePath)]
    pub site: PathBuf,
    /// The new survey: files, or a TOML with a [survey]
    #[arg(long, required = true, num_args = 1.., value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub after: Vec<PathBuf>,
    /// Station where the upper end of the new survey lies, if nothing else shows it: "380 m"
    #[arg(long, value_name = "STATION")]
    pub begins_at: Option<String>,
    /// Section that did not move: "0 m to 120 m". Only this section is used to fit the heights
    #[arg(long, value_name = "REACH")]
    pub stable: Vec<String>,
    /// How the tape of the new survey was held: slope or horizontal, if the site file does not give it
    #[arg(long)]
    pub taped: Option<String>,
    /// What every judging command takes.
    #[command(flatten)]
    pub judging: Judging,
}

/// `log`
#[derive(Debug, Args)]
pub struct LogArguments {
    /// The site file
    #[arg(value_name = "SITE.toml", value_hint = ValueHint::FilePath)]
    pub site: PathBuf,
    /// Gauge books, or files of a pressure logger [default: those in the site file]
    #[arg(value_name = "GAUGE.csv", value_hint = ValueHint::FilePath)]
    pub books: Vec<PathBuf>,
    /// Options that most commands share.
    #[command(flatten)]
    pub common: Common,
}

/// `size`
#[derive(Debug, Args)]
pub struct SizeArguments {
    /// The site file
    #[arg(value_hint = ValueHint::FilePath)]
    pub site: PathBuf,
    /// Only pipes that these words match: "PE100", "PVC SDR21"
    #[arg(long, value_name = "WORDS")]
    pub of: Option<String>,
    /// Number of rows to show
    #[arg(long, default_value_t = 20)]
    pub show: usize,
    /// Shared options.
    #[command(flatten)]
    pub common: Common,
}

/// `pipes`
#[derive(Debug, Args)]
pub struct PipesArguments {
    /// Words to look for: standard, material, size, class
    pub words: Vec<String>,
    /// Exclude rows that are not verified against their standard
    #[arg(long)]
    pub verified: bool,
    /// Units of the results
    #[arg(long, value_enum)]
    pub units: Option<UnitsWord>,
    /// Print JSON
    #[arg(long)]
    pub json: bool,
}

/// `page`
#[cfg(feature = "page")]
#[derive(Debug, Args)]
pub struct PageArguments {
    /// The file to write [default: steadyfall.html]
    #[arg(value_hint = ValueHint::FilePath)]
    pub file: Option<PathBuf>,
}

/// `fields`
#[derive(Debug, Args)]
pub struct FieldsArguments {
    /// A site file, to print its values also
    #[arg(value_hint = ValueHint::FilePath)]
    pub site: Option<PathBuf>,
    /// Changes to make first: a JSON list of {table, index, key, value}, {table, add} or {table, index, remove}
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub changes: Option<PathBuf>,
}

/// `field`
#[derive(Debug, Args)]
pub struct FieldArguments {
    /// What is asked.
    #[command(subcommand)]
    pub work: FieldWork,
}

/// The questions of the field.
#[derive(Debug, Subcommand)]
pub enum FieldWork {
    /// The sheets that can be kept, the marks of a walk, its limits
    Sheets {
        /// Units of the sheets
        #[arg(long, value_enum)]
        units: Option<UnitsWord>,
    },
    /// A book that is being kept: every row carried, the check, the misclosure
    Book {
        /// The book, in CSV
        file: PathBuf,
        /// How the tape was held: slope or horizontal
        #[arg(long)]
        taped: Option<String>,
    },
    /// A walk that the page recorded: passes, gaps, marks, GPX
    Track {
        /// The fixes and events, in JSON
        file: PathBuf,
    },
    /// What the walks so far show, and what one more would show
    Sum {
        /// The walks
        #[arg(required = true)]
        files: Vec<PathBuf>,
        /// Units of the results
        #[arg(long, value_enum)]
        units: Option<UnitsWord>,
    },
    /// Distance and direction to every waypoint
    Places {
        /// Files with waypoints
        #[arg(required = true)]
        files: Vec<PathBuf>,
        /// Position: latitude,longitude
        #[arg(long, allow_hyphen_values = true)]
        at: String,
        /// Accuracy that the receiver gives, m
        #[arg(long)]
        within: Option<f64>,
        /// Units of the results
        #[arg(long, value_enum)]
        units: Option<UnitsWord>,
    },
    /// The gauge book of a site, and one reading more
    Gauge {
        /// The site file
        site: PathBuf,
        /// A reading to add, in JSON
        #[arg(long)]
        add: Option<PathBuf>,
    },
}

/// `basis`
#[derive(Debug, Args)]
pub struct BasisArguments {
    /// Topic; without a topic, all topics are listed
    pub topic: Option<String>,
}

/// `new`
#[derive(Debug, Args)]
pub struct NewArguments {
    /// Folder to write into [default: current folder]
    #[arg(value_hint = ValueHint::DirPath)]
    pub folder: Option<PathBuf>,
    /// Units of the template
    #[arg(long, value_enum, default_value = "metric")]
    pub units: UnitsWord,
}

/// `shell`
#[derive(Debug, Args)]
pub struct ShellArguments {
    /// Shell name; "man" writes the man pages
    #[arg(value_enum)]
    pub what: ShellWord,
    /// Folder for the man pages; completions go to standard output
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
