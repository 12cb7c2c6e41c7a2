//! The code beside each text: it stays when the words change.

use crate::air::{Act, VentWhy};
use crate::compare::UrgentAction;
use crate::line::Assumed;
use crate::mark::MarkReason;
use crate::study::Lacks;

/// A step of a procedure.
pub(super) fn act_code(of: &Act) -> &'static str {
    match of {
        Act::WalkFirst => "walk-first",
        Act::SetVentsFirst(..) => "install-vents-first",
        Act::VentsDoNotCure => "vents-not-sufficient",
        Act::OpenCocks(..) => "open-cocks",
        Act::OpenCocksAsItFalls(..) => "open-cocks-as-it-falls",
        Act::ShutCocks(..) => "close-cocks",
        Act::CheckVents(..) => "check-vents",
        Act::ShutDrains(..) => "close-drains",
        Act::OpenDrains(..) => "open-drains",
        Act::FlushDrains(..) => "flush-drains",
        Act::CrackLowerEnd(..) => "open-lower-end-slightly",
        Act::Prime(..) => "prime",
        Act::FillAt { .. } => "fill-at",
        Act::WaitAtCrest { .. } => "wait-at-high-point",
        Act::IfNoWaterComes { .. } => "if-no-water-comes",
        Act::ReadShutGauge { .. } => "read-static-gauge",
        Act::HoldStanding { .. } => "static-test",
        Act::PlugForTest { .. } => "plug-for-test",
        Act::HoldTest { .. } => "pressure-test",
        Act::UnplugAfterTest(..) => "unplug-after-test",
        Act::NoHigherTest(..) => "no-higher-test",
        Act::ShutHeadValve(..) => "close-head-valve",
        Act::CutWater => "divert-water",
        Act::ShutLowerEnd { .. } => "close-lower-end",
        Act::OpenHeadValve(..) => "open-head-valve",
        Act::OpenVentBelowHeadValve(..) => "open-vent-below-head-valve",
        Act::NoVentBelowHeadValve(..) => "no-vent-below-head-valve",
        Act::EmptyAtLowerEnd { .. } => "empty-at-lower-end",
        Act::Stays { .. } => "water-stays",
        Act::FlushAt { .. } => "flush-at",
        Act::OpenJets { .. } => "open-jets",
        Act::OpenToRestart(..) => "open-to-restart",
    }
}

/// A first action after a storm.
pub(super) fn tonight_code(of: &UrgentAction) -> &'static str {
    match of {
        UrgentAction::ShutDown { .. } => "shut-down",
        UrgentAction::Forbidden { .. } => "forbidden",
        UrgentAction::Walk { .. } => "walk",
        UrgentAction::LookAtJoints { .. } => "inspect-joints",
        UrgentAction::KeepClear { .. } => "keep-clear",
        UrgentAction::RunLow { .. } => "operate-reduced",
        UrgentAction::RunAsBefore { .. } => "operate-as-before",
        UrgentAction::ShutToWork => "close-before-work",
        UrgentAction::LetAirOut { .. } => "let-air-out",
        UrgentAction::OpenCocks { .. } => "open-cocks",
        UrgentAction::RunLess { .. } => "reduce-flow",
        UrgentAction::CheckHolds { .. } => "inspect-restraints",
        UrgentAction::EaseBend { .. } => "increase-bend-radius",
        UrgentAction::Level { .. } => "level",
        UrgentAction::Regrade { .. } => "regrade",
    }
}

/// Why a result was not calculated.
pub(super) fn lacks_code(of: &Lacks) -> &'static str {
    match of {
        Lacks::Pipe => "pipe",
        Lacks::Turbine => "turbine",
        Lacks::Length(..) => "length",
        Lacks::Case(..) => "case",
        Lacks::Movement(..) | Lacks::AsAdvised(..) => "movement",
        Lacks::Zones(..) => "zones",
        Lacks::SurveyAlone => "survey-alone",
    }
}

/// An assumed value.
pub(super) fn assumed_code(of: &Assumed) -> &'static str {
    match of {
        Assumed::SurveyedCentre => "surveyed-centre",
        Assumed::SurveyedGround => "surveyed-ground",
        Assumed::Cover => "cover",
        Assumed::WaterLevel => "water-level",
        Assumed::Runaway { .. } => "runaway",
        Assumed::NoRunaway => "no-runaway",
        Assumed::StreamAsMeasured(..) => "stream-as-measured",
        Assumed::Gravity(..) => "gravity",
        Assumed::Altitude { .. } => "altitude",
        Assumed::HottestAir(..) => "hottest-air",
        Assumed::Shade => "shade",
        Assumed::Water { .. } => "water",
        Assumed::Laid(..) => "laid",
        Assumed::Pieces { .. } => "pipe-lengths",
        Assumed::Joints { .. } => "joints",
        Assumed::New(..) => "new",
        Assumed::Discharge(..) => "discharge",
        Assumed::GaugeLimit { .. } => "gauge-limit",
    }
}

/// The purpose of a mark.
pub(super) fn why_code(why: MarkReason) -> &'static str {
    match why {
        MarkReason::Declared => "declared",
        MarkReason::DeclaredStuck => "declared-stuck",
        MarkReason::DeclaredShut => "declared-shut",
        MarkReason::StartUp => "start-up",
        MarkReason::Priming => "priming",
        MarkReason::Gathers => "air-collects",
        MarkReason::BelowHeadValve => "below-head-valve",
        MarkReason::Collapse => "collapse",
        MarkReason::Low => "drain-low-point",
        MarkReason::Thrust => "thrust",
        MarkReason::Slope => "slope",
        MarkReason::Flood => "flood",
        MarkReason::Carried => "carried",
        MarkReason::PieceEnds => "piece-ends",
        MarkReason::TooSharp => "too-sharp",
        MarkReason::BoreChanges => "bore-changes",
        MarkReason::Heat => "heat",
        MarkReason::Slack => "slack",
        MarkReason::Jointed => "jointed",
        MarkReason::Regrade => "regrade",
        MarkReason::End => "end",
    }
}

/// The purpose of a vent.
pub(super) fn vent_why_code(why: VentWhy) -> &'static str {
    match why {
        VentWhy::Start => "start",
        VentWhy::StartUnattended => "start-unattended",
        VentWhy::BelowHeadValve => "below-head-valve",
        VentWhy::BelowValve => "below-valve",
        VentWhy::Collapse => "collapse",
        VentWhy::Running => "running",
        VentWhy::LongRun => "long-run",
        VentWhy::Priming => "priming",
        VentWhy::Doubtful => "possible-rise",
        VentWhy::Stands => "existing",
    }
}
