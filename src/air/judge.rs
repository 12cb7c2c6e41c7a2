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
    LineAir::of(line, profile, runs, given.margin_m).map(|air| air.judged(given))
}

/// What of the air hangs on the line and its running states alone, whatever later rooms know.
pub(crate) struct LineAir<'a> {
    line: &'a Line,
    profile: &'a Profile,
    runs: &'a [Run],
    /// Vents, drains and the order of work are still to come.
    air: Air,
}

impl<'a> LineAir<'a> {
    /// `margin_m` as in [`AirInputs`]; the rest as in [`judge`].
    pub(crate) fn of(
        line: &'a Line,
        profile: &'a Profile,
        runs: &'a [Run],
        margin_m: f64,
    ) -> Option<Self> {
        let geometry = &line.geometry;
        let piped = StartupLine::of(line)?;
        let by_hand = openings(&line.reaches, &line.stands, Watch::Attended);
        let alone = openings(&line.reaches, &line.stands, Watch::Unattended);
        let never = f64::NEG_INFINITY;
        // somebody who is there fills a siphon, where it can hold
        let siphon_to_m = siphon_to_m(geometry, &line.intake);
        let siphon = siphon_to_m.and_then(|to| {
            let filled = Trials::of(&without_draws(line).geometry, &piped, &by_hand, to);
            siphon(line, &filled.mean)
        });
        let primed_to_m = siphon_to_m
            .filter(|_| siphon.is_some_and(|s| s.holds()))
            .unwrap_or(never);
        let attended = Trials::of(geometry, &piped, &by_hand, primed_to_m);
        let unattended = if alone == by_hand && primed_to_m == never {
            attended.clone()
        } else {
            Trials::of(geometry, &piped, &alone, never)
        };
        let start_attended = start(geometry, profile, &attended);
        let start_unattended = start(geometry, profile, &unattended);
        let cure = place_vents(geometry, profile, &attended, &unattended, margin_m, |s| {
            draws_air(geometry, &line.intake, runs, s)
        });
        // air gathers where it gathers, vented or not: the crests of the bare pipe
        let bare = Trials::of(&without_draws(line).geometry, &piped, &[], never);
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
        let heights = piped.heights(&geometry.heights.mean_m);
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
        let shut_fill_alone = shut_fill(geometry, &line.environment, &piped, &alone);
        let shut_fill = shut_fill(geometry, &line.environment, &piped, &by_hand);
        let air = Air {
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
            vents: Vec::new(),
            drains: drains(line, profile),
            filling: filling(line),
            work: Vec::new(),
        };
        Some(Self {
            line,
            profile,
            runs,
            air,
        })
    }

    /// The whole, with what later rooms know.
    pub(crate) fn judged(&self, given: &AirInputs) -> Air {
        let Self {
            line,
            profile,
            runs,
            ref air,
        } = *self;
        let vents = Design {
            siphon: air.siphon.as_ref(),
            line,
            profile,
            runs,
            pockets: &air.pockets,
            crests: &air.start.crests,
            cure: &air.cure,
            filling: air.filling,
            given,
        }
        .vents();
        let work = OrderInputs {
            line,
            pockets: &air.pockets,
            runs,
            vents: &vents,
            drains: &air.drains,
            filling: air.filling,
            crests: &air.start.crests,
            shut_fill: &air.shut_fill,
            siphon: air.siphon.as_ref(),
            start: air.start.verdict,
            alone: air.unattended.verdict,
            cure: &air.cure,
            given,
        }
        .steps();
        Air {
            vents,
            work,
            ..air.clone()
        }
    }
}

/// The line with its mean heights alone.
fn without_draws(line: &Line) -> Line {
    let mut bare = line.clone();
    bare.geometry.heights.draws.clear();
    bare
}
