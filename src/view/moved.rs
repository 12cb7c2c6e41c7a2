//! The overlay of a comparison: both lines from above with what moved, and every reach that changed seen from the side with its stakes.

use self as moved_view;
use super::moved_told::{KIND, aligned, stakes};
use super::{drawn, moved_part, plan as plan_view};
use crate::compare::{Climbing, Moved, MovedVerdict};
use crate::drawing;
use crate::drawing::{
    LegendKey, LongSection, PlanArrow, PlanMoved, PlanTag, PlanView, SectionLine, Symbol,
};
use crate::line::Geometry;
use crate::pipe::MarkKind;
use crate::report::account::StormReport;
use crate::words::storm::movement;
use crate::words::{Say, start_label};

/// So much of the line is shown on both sides of what changed, m.
const MARGIN_M: f64 = 15.0;
/// Most reaches that are drawn; the page's tables tell of all.
const MOST: usize = 6;
/// Stakes further apart than this are of two reaches, m.
const RUN_M: f64 = 20.0;

/// Both lines from above; `None` where the surveys have no positions.
pub fn plan(account: &StormReport) -> Option<PlanView> {
    let say = account.after.say();
    let mut view = plan_view::of_check(&account.after)?;
    let before = &account.before.study.line;
    let (station_m, east_north_m) =
        plan_view::positions(&before.geometry.heights.station_m, &before.geometry.plan)?;
    // Only what the storm is about: the stakes, and the places that both surveys name.
    view.tags.retain(|t| t.symbol == Symbol::Place);
    view.bends.clear();
    view.pushes.clear();
    view.tags.extend(stake_tags(account));
    view.tags
        .sort_by(|a, b| a.station_m.total_cmp(&b.station_m));
    view.legend.retain(|(key, _)| {
        matches!(
            key,
            LegendKey::Pipe | LegendKey::Doubt | LegendKey::PlanClimb | LegendKey::PlanUnsure
        )
    });
    view.legend.push((
        LegendKey::Trace(SectionLine::Before),
        "as it lay before".to_owned(),
    ));
    view.legend.extend(drawn::symbol_keys(
        view.tags.iter().map(|t| (t.symbol, t.wanted)),
    ));
    view.notes.insert(0, aligned(account, say));
    view.moved = Some(PlanMoved {
        station_m,
        east_north_m,
        arrows: account
            .compared
            .moved
            .iter()
            .map(|m| PlanArrow {
                station_m: 0.5 * (m.from_m + m.to_m),
                left_m: m.side_m.unwrap_or(0.0),
                sd_m: m.side_sd_m.unwrap_or(0.0),
                certain: m.verdict == MovedVerdict::Moved,
                label: movement(m, say),
            })
            .collect(),
        stakes_m: stakes(account).iter().map(|s| s.station_m).collect(),
        told: |times| {
            if times > 1.0 {
                format!("sideways movement, {times:.0} times as long; ring: 95 %")
            } else {
                "sideways movement; ring: 95 %".to_owned()
            }
        },
    });
    KIND.clone_into(&mut view.words.kind);
    view.words.verdict = told(account, say);
    Some(view)
}

/// Every reach that moved, climbs anew or is to be put right, from the side: as it lay, as it lies, as it is wanted, with the stakes.
pub fn sections(account: &StormReport) -> Vec<LongSection> {
    reaches(account)
        .into_iter()
        .take(MOST)
        .map(|(from, to)| moved_part::part(account, from, to))
        .collect()
}

/// The first and the last stake of each run carry their numbers.
fn stake_tags(account: &StormReport) -> Vec<PlanTag> {
    let marks: Vec<_> = account
        .after
        .marks
        .iter()
        .filter(|m| m.kind == MarkKind::Stake)
        .collect();
    let mut out = Vec::new();
    for run in marks.chunk_by(|a, b| b.station_m - a.station_m <= RUN_M) {
        let mut ends = vec![run.first(), run.last()];
        ends.dedup_by_key(|m| m.map(|m| &m.id));
        out.extend(ends.into_iter().flatten().map(|m| PlanTag {
            station_m: m.station_m,
            symbol: Symbol::Mark(MarkKind::Stake),
            wanted: true,
            label: m.id.clone(),
            name: m.id.clone(),
        }));
    }
    out
}

/// What the storm did, in a line.
fn told(account: &StormReport, say: Say) -> String {
    let compared = &account.compared;
    let count = |verdict| {
        compared
            .moved
            .iter()
            .filter(|m| m.verdict == verdict)
            .count()
    };
    let new = compared
        .climbs
        .iter()
        .filter(|c| matches!(c.what, Climbing::New | Climbing::Worse))
        .count();
    let start = compared.start.map_or_else(String::new, |(_, now)| {
        format!(". Restart after draining: {}", start_label(now))
    });
    let sure = |m: &&Moved| m.verdict == MovedVerdict::Moved;
    let moved: Vec<(f64, f64)> = (compared.moved.iter().filter(sure))
        .map(|m| (m.from_m, m.to_m))
        .collect();
    let first = match moved.as_slice() {
        [] => String::new(),
        [first, _, _, ..] => format!(", the first: {}", say.reach(first.0, first.1)),
        few => format!(": {}", say.reaches(few)),
    };
    format!(
        "{} moved{first}. {} not certain. {new} new or larger rising sections{start}",
        count(MovedVerdict::Moved),
        count(MovedVerdict::CannotTell),
    )
}

/// Reaches worth a drawing, in order, none into another.
fn reaches(account: &StormReport) -> Vec<(f64, f64)> {
    let compared = &account.compared;
    let line = &account.after.study.line;
    let mut all: Vec<(f64, f64)> = compared.moved.iter().map(|m| (m.from_m, m.to_m)).collect();
    all.extend(
        compared
            .climbs
            .iter()
            .filter(|c| matches!(c.what, Climbing::New | Climbing::Worse))
            .filter_map(|c| c.after.as_ref())
            .map(|c| (c.low_station_m, c.end_station_m)),
    );
    for run in stakes(account).chunk_by(|a, b| b.station_m - a.station_m <= RUN_M) {
        all.extend(
            run.first()
                .zip(run.last())
                .map(|(a, b)| (a.station_m, b.station_m)),
        );
    }
    let mut wide: Vec<(f64, f64)> = all
        .iter()
        .map(|(a, b)| {
            (
                on_grid(&line.geometry, a - MARGIN_M),
                on_grid(&line.geometry, b + MARGIN_M),
            )
        })
        .collect();
    wide.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut out: Vec<(f64, f64)> = Vec::new();
    for (from, to) in wide {
        match out.last_mut() {
            Some(last) if from <= last.1 => last.1 = last.1.max(to),
            _ => out.push((from, to)),
        }
    }
    out.retain(|(a, b)| b > a);
    out
}

/// The nearest station of the grid.
fn on_grid(geometry: &Geometry, station_m: f64) -> f64 {
    geometry
        .heights
        .station_m
        .iter()
        .copied()
        .min_by(|a, b| (a - station_m).abs().total_cmp(&(b - station_m).abs()))
        .unwrap_or(station_m)
}

/// The overlay of a comparison: the plan with both lines where the surveys have positions, then each reach that changed from the side.
pub(crate) fn overlay(account: &StormReport) -> Vec<drawing::PaperSheet> {
    let paper = account.after.paper;
    let plan = moved_view::plan(account).and_then(|view| drawing::plan(&view, paper));
    let sections = moved_view::sections(account);
    let sides = sections
        .iter()
        .flat_map(|s| drawing::profile(s, paper))
        .map(|p| p.sheet);
    plan.into_iter().chain(sides).collect()
}
