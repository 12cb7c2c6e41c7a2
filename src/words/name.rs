use crate::air::Caution;
use crate::laying::{elbows, is_sold};
use crate::mark::MarkReason;

/// States in a row, by what they are called: "2 jets, all jets".
pub fn states<T: ToString>(states: &[T]) -> String {
    let called: Vec<String> = states.iter().map(ToString::to_string).collect();
    called.join(", ")
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

/// Why a mark is there.
pub fn why_word(why: MarkReason) -> &'static str {
    match why {
        MarkReason::Declared => "as declared",
        MarkReason::DeclaredStuck => "as declared, does not work",
        MarkReason::DeclaredShut => "as declared, isolating valve closed",
        MarkReason::StartUp => "releases the air that would block the restart",
        MarkReason::Priming => "primes the siphon by hand; it must not open automatically",
        MarkReason::Gathers => "releases air that collects in operation",
        MarkReason::BelowHeadValve => "lets air in below the head valve when it closes",
        MarkReason::Collapse => "lets air in so that the pipe does not collapse",
        MarkReason::Low => "drains water and silt at the low point",
        MarkReason::Thrust => "resists the pressure thrust",
        MarkReason::Slope => "holds the pipe on the slope",
        MarkReason::Flood => "holds the pipe down and in place in a flood",
        MarkReason::Carried => "supports the pipe above ground",
        MarkReason::PieceEnds => "joint between two lengths of pipe",
        MarkReason::TooSharp => "the route turns more sharply than the minimum bend radius",
        MarkReason::BoreChanges => "the inside diameter changes",
        MarkReason::Heat => "prevents snaking of the pipe in heat",
        MarkReason::Slack => {
            "allows thermal movement, so that the pipe does not push or pull on the adjacent anchor"
        }
        MarkReason::Jointed => "anchors the steel pipe between two expansion joints",
        MarkReason::Regrade => "height for digging or raising the pipe",
        MarkReason::End => "holds the end of the pipeline",
    }
}

/// The words of a caution.
pub fn act_cautions(caution: Caution) -> &'static str {
    match caution {
        Caution::NoAirTest => {
            "Test with water only, never with air. Compressed air can hurl caps and pipe."
        }
        Caution::BleedFromTheSide => {
            "Release air slowly, and stand to the side. Nobody must be in line with caps, plugs or couplings."
        }
        Caution::ZeroTwice => {
            "WARNING: Do not loosen a part before the gauge shows zero and no water flows from an open valve. An air pocket behind a closed valve keeps its pressure."
        }
        Caution::VentBeforeDrain => {
            "WARNING: Open an upper vent before you open a lower outlet. A sealed pipe that empties can collapse."
        }
        Caution::NoBlowing => "Do not open a valve suddenly to release the air.",
        Caution::StandClear => "Stay away from bends, ends and joints while the pressure rises.",
        Caution::Outfall => {
            "Release the water where it causes no erosion. A permit can be necessary. Silt in a low stream kills fish and other life downstream."
        }
        Caution::Frost => "Water that stays at low points, in stubs and in risers freezes first.",
        Caution::WalkTheRoute => {
            "Walk the whole route after filling. A leak on a slope can start a landslide."
        }
        Caution::Electrics => {
            "Keep the electrical equipment off and dry. Find out where the jet or a burst would spray water."
        }
    }
}
