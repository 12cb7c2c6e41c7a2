use super::{Course, NotMarched, Stage, Timing, WhyNotMarched};
use crate::flow::Run;
use crate::line::{Fitting, Line, Movement, Mover, Way};
use crate::pipe::{Law, Often, RunState};

/// A lever turned a quarter by a hand in a hurry, s. Common practice, no source.
pub const QUICK_LEVER_S: f64 = 0.5;

/// Needles or jet valves shut by hand without hurry, s. Common practice, no source.
pub const BY_HAND_S: f64 = 10.0;

/// Time to turn a gate shut by its hand wheel, s: three turns for each inch of bore and three more, one turn a second. Common practice for water works, from memory.
pub fn hand_wheel_s(bore_m: f64) -> f64 {
    3.0 * bore_m / 0.0254 + 3.0
}

/// A movement to be marched.
#[derive(Debug, Clone)]
pub(crate) struct Move {
    pub(crate) name: String,
    pub(crate) asked: bool,
    pub(crate) of: Mover,
    pub(crate) often: Often,
    pub(crate) during: RunState,
    pub(crate) course: Course,
    pub(crate) timing: Timing,
    pub(crate) answered_by: Option<String>,
}

/// Standard movements, then the user's, with those that cannot be.
pub(crate) fn all(line: &Line, runs: &[Run]) -> (Vec<Move>, Vec<NotMarched>) {
    let mut moves = standard(line, runs);
    for m in &mut moves {
        m.answered_by = line
            .movements
            .iter()
            .find(|own| answers(own, m))
            .map(|own| own.name.clone());
    }
    let mut not = Vec::new();
    for own in &line.movements {
        match check(line, runs, own) {
            Ok(()) => moves.push(Move {
                name: own.name.clone(),
                asked: true,
                of: own.of.clone(),
                often: own.often,
                during: own.during.clone(),
                course: Course {
                    from: own.from,
                    stages: vec![Stage {
                        to: own.to,
                        over_s: own.over_s,
                    }],
                    law: own.law,
                },
                timing: Timing::Said,
                answered_by: None,
            }),
            Err(why) => not.push(NotMarched {
                movement: own.name.clone(),
                why,
            }),
        }
    }
    (moves, not)
}

/// The user's movement says how the standard one is really made.
fn answers(own: &Movement, standard: &Move) -> bool {
    own.of == standard.of
        && standard.timing != Timing::AtOnce
        && (own.to < own.from) == (standard.course.to() < standard.course.from)
}

fn check(line: &Line, runs: &[Run], own: &Movement) -> Result<(), WhyNotMarched> {
    let state = runs
        .iter()
        .find(|r| *r.state() == own.during)
        .ok_or_else(|| WhyNotMarched::NoState(own.during.clone()))?;
    if let Mover::Fitting(i) = own.of {
        let fitting = line.fittings.get(i).ok_or(WhyNotMarched::NotAValve)?;
        if !fitting.kind.is_valve() {
            return Err(WhyNotMarched::NotAValve);
        }
    }
    // from a state that stands still only an opening begins
    if own.from == own.to || (!state.flows() && own.from > 0.0) {
        return Err(WhyNotMarched::NothingMoves);
    }
    Ok(())
}

/// The state the standard movements start from: all jets, or the one with the largest flow.
pub(crate) fn main_state(runs: &[Run]) -> Option<&Run> {
    let flowing = || runs.iter().filter(|r| r.flows());
    flowing()
        .find(|r| r.state().is_everything())
        .or_else(|| flowing().max_by(|a, b| a.flow_m3_per_s.total_cmp(&b.flow_m3_per_s)))
}

fn standard(line: &Line, runs: &[Run]) -> Vec<Move> {
    let (Some(state), Some(outlet)) = (main_state(runs), line.outlet.as_ref()) else {
        return Vec::new();
    };
    let made = |name: String, of: Mover, often: Often, course: Course, timing: Timing| Move {
        name,
        asked: false,
        of,
        often,
        during: if course.from > 0.0 {
            state.state().clone()
        } else {
            RunState::Shut
        },
        course,
        timing,
        answered_by: None,
    };
    let mut moves = Vec::new();
    let jets = matches!(outlet.how, Way::Jets(_));
    if jets {
        moves.push(made(
            "one jet blocked".to_owned(),
            Mover::OneJet,
            Often::Rare,
            Course::straight(1.0, 0.0, 0.0),
            Timing::AtOnce,
        ));
    }
    let (closing, opening) = if jets {
        ("jets closing", "jets opening")
    } else {
        ("turbine closing", "turbine opening")
    };
    for (name, from, to) in [(closing, 1.0, 0.0), (opening, 0.0, 1.0)] {
        moves.push(made(
            name.to_owned(),
            Mover::Jets,
            Often::Routine,
            Course::straight(from, to, BY_HAND_S),
            Timing::ByHand,
        ));
    }
    for (i, valve) in line.fittings.iter().enumerate() {
        let open = state.wish.open(valve);
        if !valve.kind.is_valve() || open <= 0.0 {
            continue;
        }
        let (over_s, timing, often) = pace(line, valve);
        let course = |from: f64, to: f64| Course {
            law: Law::Stroke,
            ..Course::straight(from, to, over_s)
        };
        moves.push(made(
            format!("{} closing", valve.name),
            Mover::Fitting(i),
            often,
            course(open, 0.0),
            timing,
        ));
        if line.at_the_turbine(valve.station_m) {
            moves.push(made(
                format!("{} opening", valve.name),
                Mover::Fitting(i),
                often,
                course(0.0, open),
                timing,
            ));
        }
    }
    moves
}

/// How quickly a valve is shut unless the user says otherwise, and how often it happens at that pace: a lever is slammed by accident, a wheel is turned as a rule.
fn pace(line: &Line, valve: &Fitting) -> (f64, Timing, Often) {
    if valve.kind.is_quarter_turn() {
        (QUICK_LEVER_S, Timing::QuickLever, Often::Rare)
    } else {
        let bore = line
            .reach_at(valve.station_m)
            .map_or(0.0, |r| r.pipe.inner_diameter_m);
        (
            hand_wheel_s(valve.bore_m.unwrap_or(bore)),
            Timing::HandWheel,
            Often::Routine,
        )
    }
}
