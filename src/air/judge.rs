use super::Air;
use super::course::{StartupLine, openings};
use super::design::Design;
use super::drains::{drains, filling};
use super::gather::{Squeeze, pockets};
use super::inputs::AirInputs;
use super::needs::draws_air;
use super::order::OrderInputs;
use super::place_vents::place_vents;
use super::residual_pockets::{Trapped, residual_pockets};
use super::shut::{shut_fill, siphon, siphon_to_m};
use super::start::{Trials, start};
use crate::flow::Run;
use crate::line::{Line, Watch};
use crate::profile::Profile;

/// Judges air on a line as it stands: where it gathers, whether the line starts, the smallest cure, vents, drains, filling and the order of work.
///
/// `runs` are the running states that could be worked out; without any, nothing is said of sweeping, inhaling and running with pockets.
/// `None` where the line has no pipe.
pub fn judge(line: &Line, profile: &Profile, runs: &[Run], given: &AirInputs) -> Option<Air> {
    let piped = StartupLine::of(line)?;
    let by_hand = openings(line, Watch::Attended);
    let alone = openings(line, Watch::Unattended);
    let never = f64::NEG_INFINITY;
    // somebody who is there fills a siphon, where it can hold
    let siphon_to_m = siphon_to_m(line);
    let siphon = siphon_to_m.and_then(|to| {
        let filled = Trials::of(&without_draws(line), &piped, &by_hand, to);
        siphon(line, &filled.mean)
    });
    let primed_to_m = siphon_to_m
        .filter(|_| siphon.is_some_and(|s| s.holds()))
        .unwrap_or(never);
    let attended = Trials::of(line, &piped, &by_hand, primed_to_m);
    let unattended = if alone == by_hand && primed_to_m == never {
        attended.clone()
    } else {
        Trials::of(line, &piped, &alone, never)
    };
    let start_attended = start(line, profile, &attended);
    let start_unattended = start(line, profile, &unattended);
    let cure = place_vents(line, profile, &attended, &unattended, given.margin_m, |s| {
        draws_air(line, runs, s)
    });
    // air gathers where it gathers, vented or not: the crests of the bare pipe
    let bare = Trials::of(&without_draws(line), &piped, &[], never);
    let left_in = residual_pockets(
        line,
        runs,
        &piped,
        &by_hand,
        primed_to_m,
        attended.mean.outcome.needs_squeezed_m,
    );
    let largest = runs
        .iter()
        .filter(|r| r.flows())
        .max_by(|a, b| a.flow_m3_per_s.total_cmp(&b.flow_m3_per_s));
    let heights = piped.heights(&line.geometry.heights.mean_m);
    let pockets = pockets(
        line,
        profile,
        runs,
        &bare.mean.outcome.crests,
        &Squeeze {
            line,
            run: largest,
            legs: &Trapped::all(&piped.course(&heights), &[], never),
            left: largest.and_then(|run| left_in.iter().find(|l| l.case == *run.state())),
            air_head_m: piped.air_head_m,
        },
    );
    let filling = filling(line);
    let vents = Design {
        siphon: siphon.as_ref(),
        line,
        profile,
        runs,
        pockets: &pockets,
        crests: &start_attended.crests,
        cure: &cure,
        filling,
        given,
    }
    .vents();
    let drains = drains(line, profile);
    let shut_fill_alone = shut_fill(line, &piped, &alone);
    let shut_fill = shut_fill(line, &piped, &by_hand);
    let work = OrderInputs {
        line,
        pockets: &pockets,
        runs,
        vents: &vents,
        drains: &drains,
        filling,
        crests: &start_attended.crests,
        shut_fill: &shut_fill,
        siphon: siphon.as_ref(),
        start: start_attended.verdict,
        alone: start_unattended.verdict,
        cure: &cure,
        given,
    }
    .steps();
    Some(Air {
        level_m: line.intake.low_level_m,
        air_head_m: piped.air_head_m,
        left_in,
        pockets,
        start: start_attended,
        unattended: start_unattended,
        shut_fill,
        shut_fill_alone,
        siphon,
        cure,
        vents,
        drains,
        filling,
        work,
    })
}

/// The line with its mean heights alone.
fn without_draws(line: &Line) -> Line {
    let mut bare = line.clone();
    bare.geometry.heights.draws.clear();
    bare
}
