use super::{Say, states};
use crate::air::{Gathers, Relation, VentFault, VentWhy, Verdict};
use crate::unit::Quantity;

/// The word of a start's verdict.
pub fn start_word(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Starts => "starts",
        Verdict::MayStart => "may start",
        Verdict::Locks => "locks",
        Verdict::CannotTell => "cannot tell",
    }
}

/// Why air stays at a place.
pub fn gathers_word(why: Gathers) -> &'static str {
    match why {
        Gathers::Climb => "climb",
        Gathers::Break => "break",
        Gathers::NearGradeLine => "near the grade line",
        Gathers::Flat => "flat",
        Gathers::BelowShutOff => "below a shut-off",
        Gathers::LongRun => "long run",
    }
}

/// A relation for sweeping by the name it goes by.
pub fn relation_word(relation: Relation) -> &'static str {
    match relation {
        Relation::Escarameia => "Escarameia 2005",
        Relation::Wisner => "Wisner and others 1975",
        Relation::Kent => "Kent 1952",
        Relation::KalinskeBlissLow => "Kalinske and Bliss 1943, lower form",
        Relation::KalinskeBlissHigh => "Kalinske and Bliss 1943, higher form",
    }
}

/// What a vent is for.
pub fn vent_why_word(why: VentWhy) -> &'static str {
    match why {
        VentWhy::Start => "start",
        VentWhy::StartUnattended => "start with nobody there",
        VentWhy::BelowHeadValve => "below the head valve",
        VentWhy::BelowValve => "below a valve",
        VentWhy::Collapse => "keeps the pipe from being pressed flat",
        VentWhy::Running => "air while running",
        VentWhy::LongRun => "long run",
        VentWhy::Priming => "fills the siphon",
        VentWhy::Doubtful => "doubtful climb: look first",
        VentWhy::Stands => "stands, nothing asks for it",
    }
}

/// What is wrong with a vent, after its name.
pub fn vent_fault(fault: &VentFault, say: Say) -> String {
    match fault {
        VentFault::Stuck => "does not work".to_owned(),
        VentFault::CockShut => "has its isolating cock shut".to_owned(),
        VentFault::OnlyIn => "lets air in but never out, and air must leave here".to_owned(),
        VentFault::OnlyOut => {
            "lets air out but hardly in: it does not guard the pipe against collapse".to_owned()
        }
        VentFault::ByHand => "must be opened by hand: with nobody there it does nothing".to_owned(),
        VentFault::ToCome => {
            "is planned and does not stand yet: on pipe that is laid it does not count".to_owned()
        }
        VentFault::Spills { over_m, .. } => format!(
            "is too short: water can rise {} above its top",
            say.at_least(Quantity::Head, *over_m)
        ),
        VentFault::TopUnknown => "has no stated top: whether it spills cannot be told".to_owned(),
        VentFault::BoreUnder(m) => format!(
            "is too narrow: it needs a bore of at least {}",
            say.at_least(Quantity::Bore, *m)
        ),
        VentFault::BoreUnknown => {
            "has no stated bore: whether it lets enough air in cannot be told".to_owned()
        }
        VentFault::Inhales(cases) => format!("draws air in while running ({})", states(cases)),
        VentFault::BelowCrest(m) => format!(
            "stands below the crest: a pocket {} high stays above it",
            say.head(*m)
        ),
    }
}
