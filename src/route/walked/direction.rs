//! Which end of a walked line is the intake.

use super::known::WalkedRoute;
use crate::route::options::End;
use crate::text::{Fault, Sentence};
use crate::walk::centre::LegPass;

/// Standard deviations of the drop from which the heights tell the way by themselves, and from which they deny what was said.
const TELLS: f64 = 2.0;
pub(super) const DENIES: f64 = 3.0;

/// Share of the longest leg of a walk that its first one must cover to speak for the way it sets out.
const GOOD_PART: f64 = 0.25;

impl WalkedRoute<'_> {
    /// Whether the line as it stands runs from the turbine to the intake; `by_name`: what waypoints at its ends say.
    pub(super) fn must_turn(&self, by_name: Option<bool>) -> Result<bool, Fault> {
        let half = 0.5 * self.length_m();
        let ends = (
            self.options
                .intake
                .as_ref()
                .map(|a| self.foot(a))
                .transpose()?
                .flatten(),
            self.options
                .turbine
                .as_ref()
                .map(|a| self.foot(a))
                .transpose()?
                .flatten(),
        );
        let said = match ends {
            (Some(intake), Some(turbine)) => Some(turbine < intake),
            _ => self
                .options
                .from
                .map(|from| (from == End::Intake) != self.first_leg_runs_with_line()),
        };
        let drop = self.rough.drop_m();
        let expected = &self.options.heights.expected;
        let sds = drop.abs() / expected.drop_sd_m(self.gathered.times);
        let denied = |turn: bool| sds > DENIES && (drop > 0.0) == turn;
        if let Some(turn) = said {
            return if denied(turn)
                && self.options.intake.is_none()
                && self.options.turbine.is_none()
            {
                Err(self.climbs_as_said(drop.abs()))
            } else {
                Ok(turn)
            };
        }
        if let (Some(intake), None) = ends
            && (intake - half).abs() > 0.5 * half
        {
            return Ok(intake > half);
        }
        if let (None, Some(turbine)) = ends
            && (turbine - half).abs() > 0.5 * half
        {
            return Ok(turbine < half);
        }
        // Names that the heights surely deny are not followed.
        if let Some(turn) = by_name
            && !denied(turn)
        {
            return Ok(turn);
        }
        if sds <= TELLS {
            return Err(self.ask(
                Sentence::from("the two ends differ by ")
                    .length(drop.abs(), 1)
                    .words(" in height. A walk is not accurate enough to show this difference"),
            ));
        }
        // The line runs as its main walk does, which need not be the first one in the files.
        let uphill_in_files = (drop < 0.0) == self.first_leg_runs_with_line();
        if uphill_in_files && self.options.stations_used {
            return Err(self.ask("the site file uses stations, and the walk goes uphill".into()));
        }
        Ok(drop < 0.0)
    }

    /// Whether the first walk of the files sets out along the line as it stands: told by its first leg of some length, so that a few steps about the intake before setting out do not speak for it.
    fn first_leg_runs_with_line(&self) -> bool {
        let passes = &self.gathered.passes;
        let Some(walk) = passes.iter().map(|p| p.walk).min() else {
            return true;
        };
        let began = |p: &LegPass| {
            let clocks = p.along.blocks.iter().map(|b| b.clock_s);
            clocks.fold(f64::INFINITY, f64::min)
        };
        let covers = |p: &LegPass| {
            let ends = |(low, high): (f64, f64), s: &f64| (low.min(*s), high.max(*s));
            let none = (f64::INFINITY, f64::NEG_INFINITY);
            let (low, high) = p.along.station_m.iter().fold(none, ends);
            (high - low).max(0.0)
        };
        let legs = || passes.iter().filter(|p| p.walk == walk);
        let longest = legs().map(covers).fold(0.0, f64::max);
        legs()
            .filter(|p| covers(p) >= GOOD_PART * longest)
            .min_by(|a, b| began(a).total_cmp(&began(b)))
            .is_none_or(|p| p.along.forward)
    }

    fn ask(&self, why: Sentence) -> Fault {
        Fault::new(
            self.place(),
            "the survey does not show which end is the intake",
        )
        .asks("survey.from")
        .found(why)
        .expected("from = \"intake\" or from = \"turbine\": the end that is first in the file")
        .advice(
            "add the key `from` under [survey], or give the places of `intake` and `turbine` there",
        )
    }

    fn climbs_as_said(&self, rise_m: f64) -> Fault {
        Fault::new(
            self.place(),
            "the lower end of the pipe is higher than the upper end",
        )
        .asks("survey.from")
        .found(
            Sentence::from("with this value of `from`, the turbine is ")
                .length(rise_m, 0)
                .words(" above the intake"),
        )
        .expected("an intake above the turbine")
        .advice("change `from` to the other end. It gives the end that is first in the file")
    }

    /// Turns the line round.
    pub(super) fn turn(&mut self) {
        let length = self.length_m();
        self.reversed = true;
        self.gathered.line = self.gathered.line.turned();
        self.gathered.ends = self.gathered.ends.turned();
        for pass in &mut self.gathered.passes {
            pass.along.forward = !pass.along.forward;
            for s in pass.along.station_m.iter_mut().chain(&mut pass.along.raw_m) {
                *s = length - *s;
            }
        }
        let turned = |spans: &[(f64, f64)]| -> Vec<(f64, f64)> {
            spans
                .iter()
                .rev()
                .map(|&(a, b)| (length - b, length - a))
                .collect()
        };
        self.gathered.gaps = turned(&self.gathered.gaps);
        self.rough.lacking = turned(&self.rough.lacking);
        self.rough.station_m = self
            .rough
            .station_m
            .iter()
            .rev()
            .map(|s| length - s)
            .collect();
        self.rough.height_m.reverse();
    }
}
