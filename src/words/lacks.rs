use super::Say;
use crate::flow::{NotRun, WhyNot};
use crate::line::Line;
use crate::strength::NoZones;
use crate::study::Lacks;
use crate::surge::{NotMarched, WhyNotMarched};

/// Why something was not computed, in a sentence without a stop. The line names what stands on it; a survey alone has none.
pub fn lacks(why: &Lacks, line: Option<&Line>, say: Say) -> String {
    match why {
        Lacks::Pipe => "no [[pipe]] is given".to_owned(),
        Lacks::Turbine => {
            "no [turbine] is given, so nothing runs and nothing can be shut".to_owned()
        }
        Lacks::Length(least_m) => format!("the line is shorter than {}", say.head(*least_m)),
        Lacks::Case(not) => format!("{}: {}", not.state, not_run(not, line, say)),
        Lacks::Movement(not) => format!("{}: {}", not.movement, not_marched(not)),
        Lacks::Zones(why) => match why {
            NoZones::DropInDoubt { share } if *share >= 1.0 => {
                "the doubt of the drop is as large as the drop: no class is chosen by that; measure it better".to_owned()
            }
            NoZones::DropInDoubt { share } => format!(
                "the doubt of the drop is {} of it: no class is chosen by that; measure the drop better",
                say.share(*share)
            ),
            NoZones::NoneStrongEnough => {
                "no class of this size takes what the line asks of it".to_owned()
            }
            NoZones::NotInCatalogue => {
                "a pipe on the line is not from the catalogue, so its other classes are not known"
                    .to_owned()
            }
            NoZones::TooWarm => {
                "a pipe on the line can stand hotter in the sun than its standard speaks of"
                    .to_owned()
            }
        },
        Lacks::SurveyAlone => {
            "a survey alone has no pipe: use check with a site file, or with --pipe and --jets"
                .to_owned()
        }
    }
}

fn not_run(not: &NotRun, line: Option<&Line>, say: Say) -> String {
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
            "the still water stands {} below the nozzles: there is no head",
            say.head(-gross_head_m)
        ),
        WhyNot::NoHead { .. } => {
            "the still water stands no higher than the nozzles: there is no head".to_owned()
        }
        WhyNot::TooMuch {
            asked_m3_per_s,
            most_m3_per_s,
        } => format!(
            "{} is asked for and the pipe passes {} at most",
            say.flow(asked_m3_per_s),
            say.flow(most_m3_per_s)
        ),
        WhyNot::TapsTakeAll => "what is taken off on the way uses up the head".to_owned(),
        WhyNot::ValveShut { .. } => format!("{} is shut", fitting.unwrap_or("a valve")),
        WhyNot::NoCoefficient { .. } => format!(
            "no loss coefficient is known for {}: give its k",
            fitting.unwrap_or("a fitting")
        ),
        WhyNot::ScreenBlocked => "the screen is blocked wholly".to_owned(),
        WhyNot::NoJets => "no jet is open".to_owned(),
        WhyNot::NoPipe => "the line has no pipe".to_owned(),
        WhyNot::NotSettled => "the search for the flow did not settle".to_owned(),
    }
}

fn not_marched(not: &NotMarched) -> String {
    match &not.why {
        WhyNotMarched::NoState(state) => format!(
            "the state it starts from, {state}, could not be worked out or does not run full"
        ),
        WhyNotMarched::NothingMoves => {
            "nothing that it could shut or open runs in the state it starts from".to_owned()
        }
        WhyNotMarched::NoPipe => "the line has no pipe".to_owned(),
        WhyNotMarched::NotAValve => "what it names cannot be shut".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pipe::RunState;
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
            "all jets: 10.0 L/s is asked for and the pipe passes 8.00 L/s at most"
        );
    }
}
