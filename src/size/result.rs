use super::{Family, JetChoice};
use crate::flow::{Largest, WhyNot};
use crate::pipe::Pipe;

/// What to look through, and how much to show.
#[derive(Debug, Clone, PartialEq)]
pub struct SizeOptions {
    /// Words that the pipes must fit: "PE100", "PVC SDR21"; `None`: the standard and grade of the line's first pipe.
    pub of: Option<String>,
    /// Rows to show.
    pub show: usize,
    /// March the shown rows through their surges and judge their strength.
    pub march: bool,
}

impl Default for SizeOptions {
    /// The declared kind of pipe, twenty rows, marched.
    fn default() -> Self {
        Self {
            of: None,
            show: 20,
            march: true,
        }
    }
}

/// Sizes side by side.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Sizes {
    /// The rows to show, by choice of jets and then from the small bore to the large.
    pub rows: Vec<SizeRow>,
    /// Candidates that were worked out.
    pub screened: usize,
    /// Sizes that cannot serve, and why.
    pub set_aside: Vec<SetAside>,
    /// The most power of the pipe as declared, and the jets that reach it; `None` where nothing could flow.
    pub largest: Option<Largest>,
    /// The doubt of the drop is over 5 % of it: its share, at most 1. Classes are then a guess and are to be chosen after a better survey.
    pub drop_in_doubt: Option<f64>,
}

/// One size with one choice of jets.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct SizeRow {
    /// The size.
    pub family: Family,
    /// The class needed, station to station: from, to, pipe; at most three.
    pub zones: Vec<(f64, f64, Pipe)>,
    /// Which jets.
    pub choice: JetChoice,
    /// How many jets; 0 for a machine that is not jets.
    pub jets: usize,
    /// The hole of each, m; `None` where the declared jets differ among themselves, or for a machine that is not jets.
    pub nozzle_diameter_m: Option<f64>,
    /// Least bore, m.
    pub bore_m: f64,
    /// Flow, m3/s.
    pub flow_m3_per_s: f64,
    /// Gross head, m.
    pub gross_head_m: f64,
    /// Net head, m.
    pub net_head_m: f64,
    /// Share of the gross head that is lost.
    pub loss_share: f64,
    /// Highest velocity, m/s.
    pub velocity_m_per_s: f64,
    /// It is over the limit of velocity.
    pub too_fast: bool,
    /// Water power, new pipe, W.
    pub water_power_w: f64,
    /// The same slimed, W.
    pub slimed_power_w: f64,
    /// Electrical power by the user's efficiency, W.
    pub electrical_w: Option<f64>,
    /// Mass of the pipe, kg.
    pub mass_kg: f64,
    /// Price, where every zone's pipe has one on the line as declared.
    pub price: Option<f64>,
    /// Water power that one size more would bring with the same choice of jets, W; `None` for the largest.
    pub gain_next_w: Option<f64>,
    /// Where the line does not run full, m.
    pub limited_station_m: Option<f64>,
    /// The row is the line as declared.
    pub declared: bool,
    /// What the march says; `None` where it was not asked for or could not be made.
    pub shown: Option<SizeDetails>,
}

/// What is worked out only for the rows shown.
#[derive(Debug, Clone, PartialEq)]
pub struct SizeDetails {
    /// Standard deviation of the flow, m3/s.
    pub flow_sd_m3_per_s: f64,
    /// Standard deviation of the net head, m.
    pub net_head_sd_m: f64,
    /// Standard deviation of the water power, W.
    pub water_power_sd_w: f64,
    /// Largest pressure over what it may take at + 2 sd, surges with it.
    pub use_high: f64,
    /// State or movement that governs.
    pub governed_by: String,
    /// Where, m.
    pub worst_station_m: f64,
    /// What is left of the allowed pressure: 1 less the share in use; negative where it is over.
    pub margin: f64,
    /// A movement parts the water somewhere: the margin does not count the blow of its joining, for which no pressure can be given.
    pub vapour: bool,
    /// Movements that do so.
    pub parts_in: Vec<String>,
}

/// A size that cannot serve.
#[derive(Debug, Clone, PartialEq)]
pub struct SetAside {
    /// The size.
    pub family: Family,
    /// Why.
    pub why: SizeRefusal,
}

/// Why a size cannot serve.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum SizeRefusal {
    /// No class of it takes the standing pressure with its margin, or lives through draining.
    NotStrongEnough,
    /// The stopped pipe gets hotter in the sun than its tables speak of.
    TooWarm,
    /// No state could be worked out.
    NotRun(WhyNot),
}
