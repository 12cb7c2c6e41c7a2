//! Which finding comes first.

use super::one::Finding;

/// Every code, in order of harm: among findings of one severity that harm alike, the one that stands first here is told first.
pub const CODES: &[&str] = &[
    "over-pressure",
    "not-pressure-pipe",
    "no-rating",
    "forbidden-joint",
    "unrestrained",
    "surge-over",
    "column-parts",
    "pressure-not-settled",
    "hold-end",
    "hold-thrust",
    "too-warm",
    "slip-wave-speed",
    "slip-modulus",
    "parting-not-settled",
    "surge-not-valid",
    "test-leaks",
    "test-air",
    "test-not-certain",
    "test-low",
    "used-pipe",
    "collapse-without-air",
    "air-inlet-lacking",
    "collapse-not-settled",
    "joint-in-suction",
    "joint-not-settled",
    "misclosure",
    "terrain-model",
    "not-recorded",
    "gauge-off",
    "traffic-over",
    "traffic-not-judged",
    "hold-slope",
    "hold-flood",
    "floats",
    "float-not-judged",
    "deflects",
    "stones-against-pipe",
    "deflection-not-judged",
    "floats-in-open-trench",
    "slack-wanted",
    "expansion-joints-wanted",
    "hold-jointed",
    "hold-heat",
    "hold-span",
    "slip-relief",
    "slip-level",
    "jet-can-block",
    "clearance-can-block",
    "metal-pair",
    "earth-bonded",
    "earth-current",
    "soil-corrodes",
    "water-soft",
    "vent-fails",
    "lives-by-vents",
    "bend-too-sharp",
    "bend-not-settled",
    "fitting-in-bend",
    "joints-forced",
    "suction",
    "low-without-drain",
    "fast",
    "slip-nozzle-height",
    "slip-jet",
    "slip-roughness",
    "slip-water-to-wire",
    "no-head",
    "cannot-be",
    "siphon-fails",
    "air-lock",
    "start-not-settled",
    "climb",
    "does-not-run-full",
    "climb-doubtful",
    "may-start",
    "full-not-settled",
    "air-takes",
    "stream-short",
    "stream-measured-short",
    "stream-measured-doubtful",
    "stream-not-as-measured",
    "siphon-by-hand",
    "air-gathers",
    "submergence",
    "first-metres-flat",
    "grit-wears",
    "basin-small",
    "basin-fast",
    "basin-not-flushed",
    "nozzle-wears",
    "screen-draws-down",
    "screen-fast",
    "screen-steep",
    "silt-settles",
    "flat",
    "climb-vented",
    "loss-high",
    "check-marking",
    "lighter-would-do",
    "zones-would-do",
];

/// Findings in order of harm, numbered: the most severe first; among equals what harms people, then the plant, then its power; then the gravest kind, the most certain, then down the line.
pub fn in_order(mut findings: Vec<Finding>) -> Vec<Finding> {
    let rank = |of: &Finding| CODES.iter().position(|c| *c == of.kind.code());
    findings.sort_by(|a, b| {
        b.severity
            .cmp(&a.severity)
            .then(a.kind.harm().cmp(&b.kind.harm()))
            .then(rank(a).cmp(&rank(b)))
            .then(b.certainty.total_cmp(&a.certainty))
            .then(a.from_m.total_cmp(&b.from_m))
    });
    for (i, finding) in findings.iter_mut().enumerate() {
        finding.number = i + 1;
    }
    findings
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::finding::found::{Found, Severity};
    use crate::finding::kind::{ALL, Kind, LossHigh, NeedsAir, NoHead, SurgeNotValid, SurgeOver};

    #[test]
    fn every_code_has_its_place_and_no_two_are_alike() {
        let mut told: Vec<&str> = ALL.iter().copied().flatten().copied().collect();
        let mut placed = CODES.to_vec();
        told.sort_unstable();
        placed.sort_unstable();
        assert_eq!(told, placed);
        placed.dedup();
        assert_eq!(placed.len(), CODES.len());
        let is_word = |code: &&str| code.chars().all(|c| c.is_ascii_lowercase() || c == '-');
        assert!(placed.iter().all(is_word));
    }

    #[test]
    fn what_harms_people_comes_before_the_plant_and_that_before_its_power() {
        let told = |severity, kind: Kind| Finding::from(Found::new(severity, kind, 0.0, 1.0));
        let fix = |kind| told(Severity::Fix, kind);
        let lacks = NeedsAir {
            stand: 0,
            wanted: 1,
        };
        let short = LossHigh {
            case: crate::pipe::RunState::AllJets,
            share: 0.4,
        };
        let over = SurgeOver {
            movement: "m".to_owned(),
            pressure_pa: 2.0,
            allowed_pa: 1.0,
            safe_s: None,
            law: crate::pipe::Law::Stroke,
            at_once: false,
        };
        let gravest = told(Severity::Stop, NoHead { gross_head_m: -1.0 }.into());
        let watched = told(Severity::Watch, SurgeNotValid {}.into());
        let all = in_order(vec![
            watched,
            fix(short.into()),
            fix(lacks.into()),
            gravest,
            fix(over.into()),
        ]);
        let codes: Vec<&str> = all.iter().map(|f| f.kind.code()).collect();
        assert_eq!(
            codes,
            [
                "no-head",
                "surge-over",
                "air-inlet-lacking",
                "loss-high",
                "surge-not-valid"
            ]
        );
        assert_eq!(all.last().map(|f| f.number), Some(5));
    }
}
