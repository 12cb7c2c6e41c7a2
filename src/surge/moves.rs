use super::{NotMarched, Timing, WhyNotMarched};
use crate::flow::Run;
use crate::line::{
    Discharge, Fitting, Line, Movement, Mover, Reaches, Runaway, Running, usual_law,
};
use crate::march::{OpeningSchedule, ScheduleStage};
use crate::pipe::{Often, RunState};

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
    /// The state that it is made in; `None`: every running state in which it can be.
    pub(crate) during: Option<RunState>,
    pub(crate) course: OpeningSchedule,
    pub(crate) timing: Timing,
}

/// A movement as it is made in one running state; an opening in the one that it leads to.
#[derive(Debug, Clone)]
pub(crate) struct Made<'a> {
    pub(crate) state: &'a Run,
    pub(crate) course: OpeningSchedule,
}

impl Move {
    /// Whether it opens.
    pub(crate) fn opens(&self) -> bool {
        self.course.to() > self.course.from
    }

    /// The state it starts from, where it is followed in this one.
    pub(crate) fn starts_in(&self, state: &Run) -> RunState {
        match &self.during {
            Some(during) => during.clone(),
            None if self.course.from <= 0.0 => RunState::Shut,
            None => state.state().clone(),
        }
    }

    /// The running states that it is made in, that of the largest flow first: a blocked jet strikes hardest where it is the only one, a valve where the most flows or where it takes hold latest.
    pub(crate) fn made<'a>(
        &self,
        fittings: &[Fitting],
        runs: &'a [Run],
    ) -> Result<Vec<Made<'a>>, WhyNotMarched> {
        if let Some(during) = &self.during {
            let named = runs
                .iter()
                .find(|r| r.state() == during)
                .ok_or_else(|| WhyNotMarched::NoState(during.clone()))?;
            // an opening begins at rest: its losses are those of the state it leads to
            let state = if named.flows() {
                named
            } else {
                main_state(runs).ok_or(WhyNotMarched::NothingMoves)?
            };
            return Ok(vec![Made {
                state,
                course: self.course.clone(),
            }]);
        }
        let main = main_state(runs).ok_or(WhyNotMarched::NothingMoves)?;
        let others = runs.iter().filter(|r| r.flows() && !std::ptr::eq(*r, main));
        let made: Vec<Made<'a>> = std::iter::once(main)
            .chain(others)
            .filter_map(|state| self.made_in(fittings, state))
            .collect();
        if made.is_empty() {
            return Err(WhyNotMarched::NothingMoves);
        }
        Ok(made)
    }

    fn made_in<'a>(&self, fittings: &[Fitting], state: &'a Run) -> Option<Made<'a>> {
        let mut course = self.course.clone();
        match self.of {
            Mover::OneJet => {
                matches!(&state.wish.running, Running::Jets(jets) if !jets.is_empty())
                    .then_some(())?;
            }
            Mover::Jets => {}
            Mover::Fitting(i) => {
                let open = state.wish.open(fittings.get(i)?);
                (open > 0.0).then_some(())?;
                // a standard movement shuts it from where it stands in the state, and opens it to there
                if !self.asked && self.timing != Timing::Said {
                    course = if self.opens() {
                        course.between(0.0, open)
                    } else {
                        course.between(open, 0.0)
                    };
                }
            }
        }
        Some(Made { state, course })
    }
}

/// Standard movements, then the user's, with those that cannot be.
pub(crate) fn all(line: &Line, runs: &[Run]) -> (Vec<Move>, Vec<NotMarched>) {
    let mut moves = standard(line, runs);
    let mut not = Vec::new();
    for own in &line.wishes.movements {
        match check(&line.fittings, runs, own) {
            Ok(()) => moves.push(Move {
                name: own.name.clone(),
                asked: true,
                of: own.of.clone(),
                often: own.often,
                during: Some(own.during.clone()),
                course: OpeningSchedule::straight(own.from, own.to, own.over_s).by(own.law),
                timing: Timing::Said,
            }),
            Err(why) => not.push(NotMarched {
                movement: own.name.clone(),
                why,
            }),
        }
    }
    (moves, not)
}

/// Whether a movement of the user's says how the standard one is really made: the same thing moved the same way, and as far. A jet that a stone blocks is moved by nobody.
pub(crate) fn answers(own: &Move, standard: &Move) -> bool {
    const SAME: f64 = 1e-9;
    let (from, to) = (own.course.from, own.course.to());
    let as_far = if standard.opens() {
        from <= standard.course.from + SAME && to >= standard.course.to() - SAME
    } else {
        from >= standard.course.from - SAME && to <= standard.course.to() + SAME
    };
    own.asked
        && !standard.asked
        && !matches!(standard.timing, Timing::AtOnce | Timing::Runaway)
        && own.of == standard.of
        && own.opens() == standard.opens()
        && as_far
}

/// A movement at the user's pace, in the running states that theirs does not name: whoever shuts the jets in half a minute when all run does so when one runs.
pub(crate) fn elsewhere(own: &Move) -> Move {
    Move {
        name: format!("{}, other states", own.name),
        asked: false,
        during: None,
        ..own.clone()
    }
}

fn check(fittings: &[Fitting], runs: &[Run], own: &Movement) -> Result<(), WhyNotMarched> {
    let state = runs
        .iter()
        .find(|r| *r.state() == own.during)
        .ok_or_else(|| WhyNotMarched::NoState(own.during.clone()))?;
    if let Mover::Fitting(i) = own.of {
        let fitting = fittings.get(i).ok_or(WhyNotMarched::NotAValve)?;
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

/// The state with everything running, or the one with the largest flow.
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
    let law = |of: &Mover| usual_law(of, &line.fittings, Some(outlet));
    let made =
        |name: String, of: Mover, often: Often, course: OpeningSchedule, timing: Timing| Move {
            name,
            asked: false,
            course: course.by(law(&of)),
            of,
            often,
            during: None,
            timing,
        };
    let mut moves = Vec::new();
    let jets = matches!(outlet.how, Discharge::Jets(_));
    if jets {
        moves.push(made(
            "one jet blocked".to_owned(),
            Mover::OneJet,
            Often::Rare,
            OpeningSchedule::straight(1.0, 0.0, 0.0),
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
            OpeningSchedule::straight(from, to, BY_HAND_S),
            Timing::ByHand,
        ));
    }
    if let Some(runaway) = line.runaway.filter(|_| !jets) {
        for (name, course) in runs_away(&runaway) {
            moves.push(made(
                name.to_owned(),
                Mover::Jets,
                Often::Rare,
                course,
                Timing::Runaway,
            ));
        }
    }
    for (i, valve) in line.fittings.iter().enumerate() {
        // as wide as it stands in any state that runs
        let open = runs
            .iter()
            .filter(|r| r.flows())
            .map(|r| r.wish.open(valve))
            .fold(state.wish.open(valve), f64::max);
        if !valve.kind.is_valve() || open <= 0.0 {
            continue;
        }
        let (over_s, timing, often) = pace(&line.reaches, valve);
        moves.push(made(
            format!("{} closing", valve.name),
            Mover::Fitting(i),
            often,
            OpeningSchedule::straight(open, 0.0, over_s),
            timing,
        ));
        if line.geometry.at_the_turbine(valve.station_m) {
            moves.push(made(
                format!("{} opening", valve.name),
                Mover::Fitting(i),
                often,
                OpeningSchedule::straight(0.0, open, over_s),
                timing,
            ));
        }
    }
    moves
}

/// What a machine does to the flow when its load is gone: the names by which its movements go.
pub const RUNAWAY: [&str; 3] = [
    "runaway, less flow",
    "runaway, more flow",
    "runaway, then closing",
];

/// A change of flow smaller than this is none.
const NO_CHANGE: f64 = 0.01;

/// The machine lets go of its load: its runner spins up and chokes or opens the flow, as an opening that shrinks or grows straight in time. Then guide vanes or a valve shut what is left, where they do so by themselves.
fn runs_away(runaway: &Runaway) -> Vec<(&'static str, OpeningSchedule)> {
    let (least, most) = runaway.flow;
    let [chokes, opens, shuts] = RUNAWAY;
    let mut out = Vec::new();
    if least < 1.0 - NO_CHANGE {
        out.push((
            chokes,
            OpeningSchedule::straight(1.0, least, runaway.over_s),
        ));
    }
    if most > 1.0 + NO_CHANGE {
        out.push((opens, OpeningSchedule::straight(1.0, most, runaway.over_s)));
    }
    if let Some(closing_s) = runaway.closing_s {
        // what is left to shut after the largest flow is shut in the same time: the steepest
        let first = if most > 1.0 + NO_CHANGE { most } else { least };
        let stage = |to: f64, over_s: f64| ScheduleStage { to, over_s };
        out.push((
            shuts,
            OpeningSchedule {
                from: 1.0,
                stages: vec![stage(first, runaway.over_s), stage(0.0, closing_s)],
                ..OpeningSchedule::held(1.0)
            },
        ));
    }
    out
}

/// How quickly a valve is shut unless the user says otherwise, and how often it happens at that pace: a lever is slammed by accident, a wheel is turned as a rule.
fn pace(reaches: &Reaches, valve: &Fitting) -> (f64, Timing, Often) {
    if valve.kind.is_quarter_turn() {
        (QUICK_LEVER_S, Timing::QuickLever, Often::Rare)
    } else {
        let bore = reaches
            .at(valve.station_m)
            .map_or(0.0, |r| r.pipe.inner_diameter_m);
        (
            hand_wheel_s(valve.bore_m.unwrap_or(bore)),
            Timing::HandWheel,
            Often::Routine,
        )
    }
}
