//! A question, and how answers are put.

use crate::finding::{Finding, Harm, Kind, Severity};
use crate::study::Study;
use crate::words::{Say, lacks};

/// What is asked, in the order in which it is asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Question {
    /// Does it fall?
    Falls,
    /// Is it strong enough?
    Strong,
    /// What reaches the jets?
    Jets,
    /// How fast may a valve move?
    Valves,
    /// Where do vents, drains, anchors go?
    SetOut,
    /// What to buy and in what order to work?
    Work,
    /// What is not known?
    Unknown,
}

impl Question {
    /// All of them.
    pub const ALL: [Self; 7] = [
        Self::Falls,
        Self::Strong,
        Self::Jets,
        Self::Valves,
        Self::SetOut,
        Self::Work,
        Self::Unknown,
    ];

    /// As a heading.
    pub fn asked(self) -> &'static str {
        match self {
            Self::Falls => "Does the pipe fall all the way?",
            Self::Strong => "Is the pipe strong enough, and which class is necessary where?",
            Self::Jets => "What arrives at the turbine?",
            Self::Valves => "How fast can a valve move?",
            Self::SetOut => "Where do vents, drains and anchors go?",
            Self::Work => "What to buy, and in which order to work?",
            Self::Unknown => "What is not known?",
        }
    }

    /// In a word, for a column.
    pub fn short(self) -> &'static str {
        match self {
            Self::Falls => "fall",
            Self::Strong => "strength",
            Self::Jets => "nozzles",
            Self::Valves => "valves",
            Self::SetOut => "set out",
            Self::Work => "buy",
            Self::Unknown => "not known",
        }
    }

    /// Its name in the page.
    pub fn id(self) -> &'static str {
        match self {
            Self::Falls => "q-fall",
            Self::Strong => "q-strength",
            Self::Jets => "q-nozzles",
            Self::Valves => "q-valves",
            Self::SetOut => "q-set-out",
            Self::Work => "q-work",
            Self::Unknown => "q-not-known",
        }
    }

    /// The question that a finding belongs to.
    pub fn of(kind: &Kind) -> Self {
        match kind.code() {
            "climb" | "climb-doubtful" | "climb-vented" | "flat" | "not-recorded"
            | "terrain-model" | "misclosure" | "first-metres-flat" => Self::Falls,
            "surge-over"
            | "column-parts"
            | "parting-not-settled"
            | "surge-not-valid"
            | "slip-wave-speed"
            | "slip-modulus"
            | "slip-relief" => Self::Valves,
            "unrestrained"
            | "air-inlet-lacking"
            | "lives-by-vents"
            | "vent-fails"
            | "low-without-drain"
            | "air-gathers"
            | "slack-wanted"
            | "expansion-joints-wanted" => Self::SetOut,
            code if code.starts_with("hold-") => Self::SetOut,
            "bend-too-sharp" | "bend-not-settled" | "fitting-in-bend" | "joints-forced" => {
                Self::Work
            }
            "suction" | "traffic-over" | "traffic-not-judged" | "check-marking"
            | "lighter-would-do" | "zones-would-do" => Self::Strong,
            code if code.contains("collapse") || code.contains("joint") => Self::Strong,
            "fast" | "gauge-off" | "slip-level" => Self::Jets,
            _ => match kind.harm() {
                Harm::People => Self::Strong,
                Harm::Plant => Self::SetOut,
                Harm::Power => Self::Jets,
                Harm::Purse => Self::Unknown,
            },
        }
    }
}

/// The findings of a question, in order of severity.
pub fn findings(of: &[Finding], question: Question) -> impl Iterator<Item = &Finding> + Clone {
    of.iter().filter(move |f| Question::of(&f.kind) == question)
}

/// The first of a list, and how many more.
pub(super) fn listed(all: &[String], most: usize) -> String {
    let shown = all.iter().take(most).cloned().collect::<Vec<_>>();
    match all.len().saturating_sub(most) {
        0 => shown.join(", "),
        n => format!("{}, and {n} more", shown.join(", ")),
    }
}

/// The first reason why something was not calculated.
pub(super) fn why_not(study: &Study, what: &str, say: Say) -> String {
    study
        .not_computed
        .iter()
        .find(|n| n.what == what)
        .map_or_else(
            || "no turbine is given".to_owned(),
            |n| lacks(&n.why, Some(&study.line), say),
        )
}

/// Whether a finding forbids a plain yes.
pub(super) fn is_grave(finding: &Finding) -> bool {
    finding.severity > Severity::Watch
}
