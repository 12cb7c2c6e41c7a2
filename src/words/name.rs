use crate::air::Caution;
use crate::finding::{Cause, Severity, cause};
use crate::laying::{elbows, is_sold};
use crate::mark::{MarkReason, Status};
use crate::pipe::{Bed, Device, Joint, MarkKind, RunState, Traffic};
use crate::regrade::RegradeKind;

/// Running states in a row: "2 jets, all jets".
pub fn states(states: &[RunState]) -> String {
    let called: Vec<String> = states.iter().map(ToString::to_string).collect();
    called.join(", ")
}

/// A kind of mark.
pub fn kind_word(kind: MarkKind) -> &'static str {
    match kind {
        MarkKind::Vent => "vent",
        MarkKind::Drain => "drain",
        MarkKind::Anchor => "anchor",
        MarkKind::Block => "block",
        MarkKind::Strap => "strap",
        MarkKind::Support => "support",
        MarkKind::Guide => "guide",
        MarkKind::Relief => "relief",
        MarkKind::Joint => "joint",
        MarkKind::Elbow => "elbow",
        MarkKind::Reducer => "reducer",
        MarkKind::Stake => "stake",
        MarkKind::Loop => "loop",
        MarkKind::ExpansionJoint => "expansion joint",
    }
}

/// A device at a vent.
pub fn device_word(device: Device) -> &'static str {
    match device {
        Device::Standpipe => "standpipe",
        Device::AirValve => "air valve",
        Device::VacuumValve => "vacuum valve",
        Device::CombinationValve => "combination valve",
        Device::HandCock => "hand cock",
    }
}

/// A joint.
pub fn joint_word(joint: Joint) -> &'static str {
    joint.word()
}

/// The elbows that make a turn: "an elbow of 22.5\u{b0}", "elbows of 22.5\u{b0} and 11.25\u{b0}", "an elbow cut to 30\u{b0}".
pub fn elbow_words(turn_rad: f64) -> String {
    let say = |rad: f64| format!("{}\u{b0}", (rad.to_degrees() * 100.0).round() / 100.0);
    match elbows(turn_rad).as_slice() {
        [one] if is_sold(*one) => format!("an elbow of {}", say(*one)),
        [one, two] => format!("elbows of {} and {}", say(*one), say(*two)),
        _ => format!("an elbow cut to {}", say(turn_rad)),
    }
}

/// How the pipe sits.
pub fn bed_word(bed: Bed) -> &'static str {
    match bed {
        Bed::Surface => "surface",
        Bed::Buried => "buried",
        Bed::Span => "span",
        Bed::Raised => "raised",
        Bed::Hung => "hung",
    }
}

/// Traffic over a pipe.
pub fn traffic_word(traffic: Traffic) -> &'static str {
    match traffic {
        Traffic::None => "none",
        Traffic::Car => "car",
        Traffic::Truck => "truck",
    }
}

/// The word of a severity.
pub fn severity_word(severity: Severity) -> &'static str {
    match severity {
        Severity::Stop => "stop",
        Severity::Fix => "fix",
        Severity::Watch => "watch",
    }
}

/// Stands or wanted.
pub fn standing_word(standing: Status) -> &'static str {
    match standing {
        Status::Existing => "stands",
        Status::Proposed => "wanted",
    }
}

/// Why a mark is there.
pub fn why_word(why: MarkReason) -> &'static str {
    match why {
        MarkReason::Declared => "as declared",
        MarkReason::DeclaredStuck => "declared, does not work",
        MarkReason::DeclaredShut => "declared, its cock is shut",
        MarkReason::StartUp => "lets out the air that would lock the line at the start",
        MarkReason::Priming => "fills the siphon by hand; it must not open by itself",
        MarkReason::Gathers => "lets out air that gathers while running",
        MarkReason::BelowHeadValve => "lets air in below the head valve when it shuts",
        MarkReason::Collapse => "lets air in so that the pipe is not sucked flat",
        MarkReason::Low => "lets water and silt out at the low",
        MarkReason::Thrust => "takes the thrust of pressure",
        MarkReason::Slope => "holds the pipe on the slope",
        MarkReason::Flood => "holds the pipe down and in place in a flood",
        MarkReason::Carried => "carries the pipe above ground",
        MarkReason::PieceEnds => "one piece ends, the next begins",
        MarkReason::TooSharp => "the route turns more sharply than the pipe may be bent",
        MarkReason::BoreChanges => "the bore changes",
        MarkReason::Heat => "keeps the pipe from snaking in the heat",
        MarkReason::Slack => {
            "gives slack, so that heat and cold do not press and pull at the hold beside it"
        }
        MarkReason::Jointed => "holds the steel between two expansion joints",
        MarkReason::Regrade => "height to dig or prop to",
        MarkReason::End => "holds the end of the line",
    }
}

/// The words of a caution.
pub fn act_cautions(caution: Caution) -> &'static str {
    match caution {
        Caution::NoAirTest => {
            "Test with water only. Air under pressure is a spring that throws caps and pipe."
        }
        Caution::BleedFromTheSide => {
            "Let air out slowly, standing to the side; nobody in line with caps, plugs or couplings."
        }
        Caution::ZeroTwice => {
            "Loosen nothing before the gauge shows zero and an open cock runs dry: a pocket behind a shut cock keeps its pressure."
        }
        Caution::VentBeforeDrain => {
            "Open a vent above before you open anything below: a sealed pipe that empties can be sucked flat."
        }
        Caution::NoBlowing => "Do not throw a valve open to blow the air out.",
        Caution::StandClear => "Stand clear of bends, ends and joints while the pressure rises.",
        Caution::Outfall => {
            "Let water go where it washes nothing out; leave to discharge may be needed, and silt at low flow kills what lives below."
        }
        Caution::Frost => "Water left in lows, stubs and risers freezes first.",
        Caution::WalkTheRoute => {
            "Walk the whole route after filling: a leak on a slope can start a slide."
        }
        Caution::Electrics => {
            "Keep the electrical side off and dry; know where the jet and a burst would throw water."
        }
        Caution::ConfinedSpace => {
            "Tanks, chambers and large pipe can hold bad air or fill suddenly: test the air, lock off the inflow, never alone."
        }
    }
}

/// The word of a plan's kind.
pub fn plan_word(kind: RegradeKind) -> &'static str {
    match kind {
        RegradeKind::Mixed => "mixed",
        RegradeKind::Dig => "dig",
        RegradeKind::Prop => "prop",
    }
}

/// The word of a cause: "standing", a case's or movement's name.
pub fn load_word(cause: &Cause) -> String {
    match cause {
        Cause::Standing => "standing".to_owned(),
        Cause::StandingInSun => "standing in the sun".to_owned(),
        Cause::Running(name) | Cause::Surge(name) => name.clone(),
        Cause::Filling => "filling".to_owned(),
        Cause::Test => "test".to_owned(),
        Cause::Emptied(how) => how.clone(),
    }
}
