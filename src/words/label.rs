use super::Say;
use crate::pipe::{Joint, MarkKind};
use crate::unit::Units;

/// What a word of the results is called where a person reads it: the words themselves stay, for other programs compute with them.
pub fn label(word: &'static str) -> &'static str {
    match word {
        "wanted" => "required",
        "stands" => "existing",
        "block" => "thrust block",
        "loop" => "expansion loop",
        "relief" => "relief valve",
        "stake" => "set-out stake",
        "hand cock" => "hand-operated air cock",
        "crest" => "high point",
        "lower the crest" => "lower the high point",
        "below the crest" => "below the high point",
        "friction law" => "friction formula",
        "roughness, new to slimed" => "roughness, new to fouled",
        "standing" => "static",
        "standing in the sun" => "static, in the sun",
        "standing air" => "trapped air",
        "drop or water level" => "elevation difference or water level",
        "boiling" => "vapour pressure",
        "locks" => "is air-locked",
        "starts" => "restarts",
        "may start" => "may restart",
        "cannot tell" => "not certain",
        "climb" => "rising section",
        "break" => "steeper section begins",
        "below a shut-off" => "below a closed valve",
        "bore" => "inside diameter",
        "near the grade line" => "near the hydraulic grade line",
        "flat" => "nearly level section",
        "long run" => "long section",
        "fused" => "butt-fused",
        "ring" => "rubber-ring",
        "solvent" => "solvent-cemented",
        "thread" => "threaded",
        "flange" => "flanged",
        "surface" => "above ground",
        "raised" => "elevated",
        "hung" => "suspended",
        "stop" => "STOP",
        "fix" => "CORRECT",
        "watch" => "CHECK",
        "over pressure" => "pressure too high",
        "surge over" => "surge pressure too high",
        "column parts" => "column separation",
        "parting not settled" => "column separation not excluded",
        "pressure not settled" => "pressure not certain",
        "collapse not settled" => "collapse not excluded",
        "collapse without air" => "collapse without air inlet",
        "joint in suction" => "joint at negative pressure",
        "joint not settled" => "joint at negative pressure, not certain",
        "start not settled" => "restart not certain",
        "bend not settled" => "bend not certain",
        "full not settled" => "full-pipe flow not certain",
        "no rating" => "pressure rating not known",
        "gauge off" => "gauge reading differs",
        "floats" => "empty pipe floats",
        "float not judged" => "buoyancy not certain",
        "floats in open trench" => "empty pipe floats in the open trench",
        "measured stream short" => "measured stream flow too small",
        "measured stream doubtful" => "measured stream flow not certain",
        "stream not as measured" => "stream flow not as measured",
        "deflects" => "buried pipe deflects too far",
        "deflection not judged" => "deflection not certain",
        "stones against pipe" => "broken rock against the pipe",
        "hold wanted" => "restraint required",
        "anchors wanted" => "anchors required",
        "blocks wanted" => "thrust blocks required",
        "straps wanted" => "straps required",
        "supports wanted" => "supports required",
        "guides wanted" => "guides required",
        "slack wanted" => "expansion loops required",
        "expansion joints wanted" => "expansion joints required",
        "air inlet lacking" => "air inlet missing",
        "lives by vents" => "depends on air vents",
        "vent fails" => "vent does not work",
        "joints forced" => "unavoidable joints",
        "suction" => "negative pressure",
        "low without drain" => "low point without drain",
        "fast" => "high velocity",
        "cannot be" => "operating condition not possible",
        "climb doubtful" => "possible rising section",
        "climb vented" => "rising section with vent",
        "does not run full" => "part-full flow",
        "air takes" => "power loss by trapped air",
        "air gathers" => "air collects",
        "stream short" => "stream flow too small",
        "siphon by hand" => "siphon primed by hand",
        "first metres flat" => "inlet section nearly level",
        "loss high" => "high head loss",
        "lighter would do" => "lighter class sufficient",
        "zones would do" => "lighter classes by section",
        "too warm" => "pipe too warm",
        "is this a slip?" => "possible input error",
        other => other,
    }
}

/// A kind of mark, as a person reads it.
pub fn kind_label(kind: MarkKind) -> &'static str {
    label(kind.word())
}

/// A joint, as a person reads it.
pub fn joint_label(joint: Joint) -> &'static str {
    label(joint.word())
}

/// Words that the trade has otherwise where it thinks in feet.
const US: [(&str, &str); 5] = [
    ("level and staff", "level and rod"),
    ("rubber-ring joint", "gasketed joint"),
    ("pipe centre", "pipe center"),
    ("vapour", "vapor"),
    ("head loss by friction", "friction loss"),
];

/// A sentence in the words of the user's side of the sea.
pub(super) fn local(text: String, say: Say) -> String {
    match say.units {
        Units::Metric => text,
        Units::Us => US
            .iter()
            .fold(text, |text, (metric, us)| text.replace(metric, us)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn feet_bring_their_own_words() {
        let text = || "Survey 0 to 16 with level and staff.".to_owned();
        assert_eq!(local(text(), Say::new(Units::Metric)), text());
        assert_eq!(
            local(text(), Say::new(Units::Us)),
            "Survey 0 to 16 with level and rod."
        );
    }
}
