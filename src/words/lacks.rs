use super::Say;
use crate::flow::{NotRun, WhyNot};
use crate::line::Line;
use crate::strength::NoZones;
use crate::study::Lacks;
use crate::surge::WhyNotMarched;

/// Why something was not computed, in a sentence without a stop. The line names what stands on it; a survey alone has none.
pub fn lacks(why: &Lacks, line: Option<&Line>, say: Say) -> String {
    match why {
        Lacks::Pipe => "no [[pipe]] is given".to_owned(),
        Lacks::Turbine => {
            "no [turbine] is given, so no operating condition and no valve operation is known"
                .to_owned()
        }
        Lacks::Length(least_m) => format!("the pipeline is shorter than {}", say.head(*least_m)),
        Lacks::Case(not) => format!("{}: {}", not.state, not_run(not, line, say)),
        Lacks::Movement(not) => format!("{}: {}", not.movement, not_marched(&not.why)),
        Lacks::AsAdvised(not) => format!(
            "with the required devices installed, {}: {}",
            not.movement,
            not_marched(&not.why)
        ),
        Lacks::Zones(why) => no_zones(why, say),
        Lacks::SurveyAlone => {
            "a survey alone has no pipe: use check with a site file, or with --pipe and --jets"
                .to_owned()
        }
    }
}

/// Why no lightest class is told.
pub(super) fn no_zones(why: &NoZones, say: Say) -> String {
    match why {
            NoZones::DropInDoubt { share } if *share >= 1.0 => {
                "the uncertainty of the elevation difference is as large as the difference itself; measure it more accurately to select a class".to_owned()
            }
            NoZones::DropInDoubt { share } => format!(
                "the uncertainty of the elevation difference is {} of it; measure it more accurately to select a class",
                say.share(*share)
            ),
            NoZones::NoneStrongEnough => {
                "no class of this size is strong enough for this pipeline".to_owned()
            }
            NoZones::NotInCatalogue => {
                "a pipe is not from the catalogue, so its other classes are not known"
                    .to_owned()
            }
            NoZones::TooWarm => {
                "a pipe can become hotter in the sun than the limit of its standard"
                    .to_owned()
            }
        }
}

pub(super) fn not_run(not: &NotRun, line: Option<&Line>, say: Say) -> String {
    let fitting = match not.why {
        WhyNot::ValveShut { fitting } | WhyNot::NoCoefficient { fitting } => {
            line.and_then(|l| l.fittings.get(fitting))
        }
        _ => None,
    };
    why_not(not.why, fitting.map(|f| f.name.as_str()), say)
}

/// Why a state cannot be, in words; with the fitting that the reason names.
pub fn why_not(why: WhyNot, fitting: Option<&str>, say: Say) -> String {
    match why {
        WhyNot::NoHead { gross_head_m } if gross_head_m < 0.0 => format!(
            "the static water level is {} below the nozzles, so there is no head",
            say.head(-gross_head_m)
        ),
        WhyNot::NoHead { .. } => {
            "the static water level is not above the nozzles, so there is no head".to_owned()
        }
        WhyNot::TooMuch {
            asked_m3_per_s,
            most_m3_per_s,
        } => format!(
            "the required flow is {}, and the pipe carries {} at most",
            say.flow(asked_m3_per_s),
            say.flow(most_m3_per_s)
        ),
        WhyNot::TapsTakeAll => "the branches use all the head".to_owned(),
        WhyNot::ValveShut { .. } => format!("{} is closed", fitting.unwrap_or("a valve")),
        WhyNot::NoCoefficient { .. } => format!(
            "no loss coefficient is known for {}; give its k",
            fitting.unwrap_or("a fitting")
        ),
        WhyNot::ScreenBlocked => "the screen is fully blocked".to_owned(),
        WhyNot::NoJets => "no nozzle is open".to_owned(),
        WhyNot::NoPipe => "the pipeline has no pipe".to_owned(),
        WhyNot::NotSettled => "the calculation of the flow did not converge".to_owned(),
    }
}

pub(super) fn not_marched(why: &WhyNotMarched) -> String {
    match why {
        WhyNotMarched::NoState(state) => {
            format!("its initial condition, {state}, could not be calculated or is part full")
        }
        WhyNotMarched::NothingMoves => {
            "in its initial condition no water flows that it could stop or start".to_owned()
        }
        WhyNotMarched::NoPipe => "the pipeline has no pipe".to_owned(),
        WhyNotMarched::NotAValve => "the part that it names cannot be closed".to_owned(),
        WhyNotMarched::TooMuch => {
            "the calculation takes too long; give fewer operations, or a faster one, which is the more severe case"
                .to_owned()
        }
        WhyNotMarched::NotSearched => {
            "its shortest safe time was not calculated, because too many operations come before it; give fewer at a time"
                .to_owned()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pipe::RunState;
    use crate::surge::NotMarched;
    use crate::unit::Units;

    #[test]
    fn every_reason_is_said_in_words() {
        let marched = |why| {
            Lacks::Movement(NotMarched {
                movement: "closing".to_owned(),
                why,
            })
        };
        let run = |why| {
            Lacks::Case(NotRun {
                state: RunState::AllJets,
                why,
            })
        };
        let all = [
            Lacks::Pipe,
            Lacks::Turbine,
            Lacks::Length(5.0),
            Lacks::SurveyAlone,
            marched(WhyNotMarched::NoState(RunState::Jets(2))),
            marched(WhyNotMarched::NothingMoves),
            marched(WhyNotMarched::NoPipe),
            marched(WhyNotMarched::NotAValve),
            marched(WhyNotMarched::TooMuch),
            marched(WhyNotMarched::NotSearched),
            run(WhyNot::NoHead { gross_head_m: -2.0 }),
            run(WhyNot::ValveShut { fitting: 3 }),
            run(WhyNot::NotSettled),
        ];
        for why in &all {
            let said = lacks(why, None, Say::new(Units::Us));
            // no name of a type or a variant
            assert!(!said.contains(['{', '}', '(', '"']), "{said}");
            assert!(said.contains(' '));
        }
        assert_eq!(
            lacks(
                &run(WhyNot::TooMuch {
                    asked_m3_per_s: 0.01,
                    most_m3_per_s: 0.008
                }),
                None,
                Say::new(Units::Metric)
            ),
            "all jets: the required flow is 10.0 L/s, and the pipe carries 8.00 L/s at most"
        );
    }
}
