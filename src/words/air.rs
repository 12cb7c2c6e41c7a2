use super::{Say, label, states};
use crate::air::{StartVerdict, VentFault, VentWhy};
use crate::unit::Quantity;

/// The same for a person.
pub fn start_label(verdict: StartVerdict) -> &'static str {
    label(verdict.word())
}

/// What a vent is for.
pub fn vent_why_word(why: VentWhy) -> &'static str {
    match why {
        VentWhy::Start => "start",
        VentWhy::StartUnattended => "start with nobody there",
        VentWhy::BelowHeadValve => "below the head valve",
        VentWhy::BelowValve => "below a valve",
        VentWhy::Collapse => "protects the pipe against collapse",
        VentWhy::Running => "air while running",
        VentWhy::LongRun => "long run",
        VentWhy::Priming => "fills the siphon",
        VentWhy::Doubtful => "possible rising section: inspect first",
        VentWhy::Stands => "existing, not required",
    }
}

/// What is wrong with a vent, after its name.
pub fn vent_fault(fault: &VentFault, say: Say) -> String {
    match fault {
        VentFault::Stuck => "does not work".to_owned(),
        VentFault::CockShut => "has a closed isolating valve below it".to_owned(),
        VentFault::OnlyIn => "lets air in but not out. Air must leave here".to_owned(),
        VentFault::OnlyOut => {
            "lets air out but almost no air in. It does not protect the pipe against collapse"
                .to_owned()
        }
        VentFault::ByHand => {
            "must be opened by hand. With nobody there it has no effect".to_owned()
        }
        VentFault::ToCome => {
            "is planned and not yet installed. On pipe that is laid it is not counted".to_owned()
        }
        VentFault::Spills { over_m, .. } => format!(
            "is too short. Water can rise {} above its top",
            say.at_least(Quantity::Head, *over_m)
        ),
        VentFault::TopUnknown => {
            "has no given top height, so overflow cannot be excluded".to_owned()
        }
        VentFault::BoreUnder(m) => format!(
            "is too narrow. It needs an inside diameter of at least {}",
            say.at_least(Quantity::Bore, *m)
        ),
        VentFault::BoreUnknown => {
            "has no given inside diameter, so the air flow is not known".to_owned()
        }
        VentFault::Inhales(cases) => format!("draws air in during operation ({})", states(cases)),
        VentFault::BelowCrest(m) => format!(
            "is below the high point. An air pocket {} high stays above it",
            say.head(*m)
        ),
    }
}
