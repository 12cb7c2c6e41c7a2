//! What a walked line is made of once it stands: blocks, levelled reaches, nodes, named places, remarks.

use super::known::WalkedRoute;
use crate::earth::LatLon;
use crate::heights;
use crate::heights::{AtOdds, Levelled};
use crate::numeric::series::interpolate;
use crate::route::ladder::ChainageMap;
use crate::route::options::WrittenSpot;
use crate::route::{Node, Plan, StationedPlace};
use crate::text::{Fault, Remark, Sentence};
use crate::unit::OnPegs;
use crate::walk::Polyline;
use crate::walk::block::FixBlock;
use crate::walk::copied::TerrainModelSigns;

/// Spacing of the route's nodes, m.
const NODE_M: f64 = 4.0;

/// A reading within this of an end of the pipe stands at it, m.
const AT_END_M: f64 = 0.01;

/// Most nodes.
const MOST_NODES: f64 = 2000.0;

impl WalkedRoute<'_> {
    /// Blocks with a height inside the pipe, on level stations from its beginning.
    pub(super) fn blocks(
        &self,
        ladder: &ChainageMap,
        from: f64,
        to: f64,
    ) -> Vec<heights::ReadingBlock> {
        let zero = ladder.level_of_plan(from);
        let mut out = Vec::new();
        for (index, pass) in self.gathered.passes.iter().enumerate() {
            let known = pass.along.blocks.iter().zip(&pass.along.station_m);
            // A reading at the very end is inside, whatever the last digit of its station.
            let inside = known.filter(|(b, s)| {
                b.height_m.is_finite() && **s > from - AT_END_M && **s < to + AT_END_M
            });
            out.extend(inside.map(|(b, s)| {
                let level = ladder.level_of_plan(s.clamp(from, to)) - zero;
                block(b, index, pass.has_clock, level)
            }));
        }
        out
    }

    /// Levelled reaches as the heights want them, and the stations of their points.
    pub(super) fn levelled(
        &self,
        ladder: &ChainageMap,
        zero: f64,
        length: f64,
        plan_of: &dyn Fn(&WrittenSpot, &Self) -> Result<f64, Fault>,
    ) -> Result<(Vec<Levelled>, Vec<f64>), Fault> {
        let mut out = Vec::new();
        let mut stations = Vec::new();
        for part in &self.options.parts {
            let begin = part.from.as_ref().map(|at| plan_of(at, self)).transpose()?;
            let end = part.to.as_ref().map(|at| plan_of(at, self)).transpose()?;
            // a reach may be said up the pegs
            let (begin, end) = match (begin, end) {
                (Some(a), Some(b)) => (Some(a.min(b)), Some(a.max(b))),
                ends => ends,
            };
            let span = |plan: Option<f64>| {
                plan.map(|p| (ladder.level_of_plan(p) - zero, ladder.own_of_plan(p)))
            };
            let rough = |level: f64| self.rough.at(ladder.plan_of_level(level + zero));
            let own_to_level = |own: f64| ladder.level_of_plan(ladder.plan_of_own(own)) - zero;
            let laid = super::part::levelled(part, span(begin), span(end), &rough, &own_to_level)?;
            stations.extend(
                laid.points
                    .iter()
                    .map(|p| p.station_m)
                    .filter(|s| (0.0..=length).contains(s)),
            );
            out.push(laid);
        }
        Ok((out, stations))
    }

    pub(super) fn nodes(
        &self,
        slope: &[f64],
        level: &[f64],
        own: &[f64],
        plan: &[f64],
        line: &Polyline,
        from: f64,
    ) -> Vec<Node> {
        let plane = &self.gathered.plane;
        let origin = line.at(0.0);
        let mut nodes = Vec::with_capacity(slope.len());
        for (((&station_m, &horizontal_m), &own_m), &p) in
            slope.iter().zip(level).zip(own).zip(plan)
        {
            let at = line.at(p - from);
            let position = plane.back(at);
            let in_gap = self.gathered.gaps.iter().any(|&(a, b)| p > a && p < b);
            nodes.push(Node {
                station_m,
                horizontal_m,
                on_pegs: OnPegs(own_m),
                plan: Some(Plan {
                    east_m: at[0] - origin[0],
                    north_m: at[1] - origin[1],
                    lat_lon_deg: Some((position.lat_deg, position.lon_deg)),
                }),
                surveyed: !in_gap,
            });
        }
        nodes
    }

    pub(super) fn places(&self, plan: &[f64], station_m: &[f64]) -> Vec<StationedPlace> {
        let reach = (
            plan.first().copied().unwrap_or(0.0),
            plan.last().copied().unwrap_or(0.0),
        );
        let mut out: Vec<StationedPlace> = self
            .readings
            .iter()
            .flat_map(|r| &r.places)
            .map(|place| {
                let at = self
                    .gathered
                    .plane
                    .east_north(LatLon::new(place.lat_deg, place.lon_deg));
                let foot = self.gathered.line.foot(at, reach.0, reach.1);
                StationedPlace {
                    name: place.name.clone(),
                    station_m: interpolate(plan, station_m, foot.station_m),
                    off_m: foot.off_m,
                }
            })
            .collect();
        out.sort_by(|a, b| a.station_m.total_cmp(&b.station_m));
        out
    }

    /// Stretches without a height, as stations; what was levelled in them counts.
    pub(super) fn unrecorded(
        &self,
        plan: &[f64],
        station_m: &[f64],
        levelled: &[Levelled],
        (ladder, zero): (&ChainageMap, f64),
    ) -> Vec<(f64, f64)> {
        let end = plan.last().copied().unwrap_or(0.0);
        let start = plan.first().copied().unwrap_or(0.0);
        let inside = |a: f64, b: f64| {
            levelled
                .iter()
                .flat_map(|l| &l.points)
                .map(|p| ladder.plan_of_level(p.station_m + zero))
                .any(|p| p > a && p < b)
        };
        self.rough
            .lacking
            .iter()
            .map(|&(a, b)| (a.max(start), b.min(end)))
            .filter(|&(a, b)| b - a > 1.0 && !inside(a, b))
            .map(|(a, b)| {
                (
                    interpolate(plan, station_m, a),
                    interpolate(plan, station_m, b),
                )
            })
            .collect()
    }

    pub(super) fn tell(
        &mut self,
        of_heights: &[Sentence],
        copied: Option<TerrainModelSigns>,
        ladder: &ChainageMap,
    ) {
        let place = self.place();
        let mut say = |text: Sentence| {
            self.gathered.remarks.push(Remark::new(place.clone(), text));
        };
        if self.reversed {
            say("the program reversed the route, so that it starts at the intake".into());
        }
        if self.rough.drop_m() < 0.0 {
            say(
                Sentence::from("by the heights in the walks, the lower end of the route is ")
                    .length(-self.rough.drop_m(), 0)
                    .words(" higher than the upper end. Check which end is the intake"),
            );
        }
        let left_out = &self.gathered.left_out;
        let ours = |&&(a, b): &&(f64, f64)| left_out.iter().any(|&(c, d)| c < b && d > a);
        let split = |spans: &[(f64, f64)], own: bool| {
            let some: Vec<_> = spans.iter().filter(|s| ours(s) == own).copied().collect();
            stretches(&some, ladder)
        };
        let gaps = &self.gathered.gaps;
        if let Some(where_) = split(gaps, false) {
            say(Sentence::from("no fix was recorded ")
                .and(&where_)
                .words(". The program assumes a straight route there"));
        }
        if let Some(where_) = split(gaps, true) {
            say(Sentence::from("the fixes recorded ").and(&where_).words(
                " jump to one side and are not used. The program assumes a straight route there",
            ));
        }
        if let Some(where_) = split(&self.rough.lacking, false) {
            say(Sentence::from("no height was recorded ")
                .and(&where_)
                .words(". The profile is not known there"));
        }
        if let Some(where_) = split(&self.rough.lacking, true) {
            say(Sentence::from("the heights recorded ")
                .and(&where_)
                .words(" have sudden jumps and are not used. The profile is not known there"));
        }
        if let Some(copied) = copied {
            let seen = match copied {
                TerrainModelSigns::Drawn => {
                    "the route was drawn on a map, so its heights come from a terrain model"
                }
                TerrainModelSigns::SameAgain => {
                    "the heights seem to be copied from a terrain model (a second walk has the same heights, without the noise of a receiver)"
                }
                TerrainModelSigns::Steps => {
                    "the heights seem to be copied from a terrain model (they stay the same for many metres and then jump)"
                }
                TerrainModelSigns::NoNoise => {
                    "the heights seem to be copied from a terrain model (they have no noise)"
                }
                TerrainModelSigns::FollowPlace => {
                    "the heights seem to be copied from a terrain model (they follow the position errors of the receiver)"
                }
            };
            say(format!(
                "{seen}. If such heights agree with each other, this is no proof. They do not show small rising sections"
            )
            .into());
        }
        for text in of_heights {
            say(text.clone());
        }
    }
}

/// Pairs that are named; the widest say enough.
const MOST_ODDS: usize = 2;

impl WalkedRoute<'_> {
    /// Which walks contradict each other, and where; `own`: the survey's own station of a level one.
    pub(super) fn tell_odds(&mut self, odds: &[AtOdds], own: impl Fn(f64) -> f64) {
        let source = |pass: usize| {
            let walk = self.gathered.passes.get(pass)?.walk;
            self.gathered.sources.get(walk)
        };
        let told: Vec<Remark> = odds
            .iter()
            .take(MOST_ODDS)
            .filter_map(|o| {
                let (one, other) = (source(o.passes.0)?, source(o.passes.1)?);
                let text = Sentence::from(format!(
                    "\"{}\" and \"{}\" contradict each other from ",
                    one.pass.name, other.pass.name
                ))
                .length(own(o.from_m), 0)
                .words(" to ")
                .length(own(o.to_m), 0)
                .words(": their heights differ by ")
                .length(o.apart_m, 0)
                .words(" there, in addition to their difference elsewhere. This increases the uncertainty. Walk there again, or use a level");
                Some(Remark::new(other.place(), text))
            })
            .collect();
        self.gathered.remarks.extend(told);
    }
}

fn block(b: &FixBlock, pass: usize, has_clock: bool, station_m: f64) -> heights::ReadingBlock {
    heights::ReadingBlock {
        pass,
        clock_s: has_clock.then_some(b.clock_s),
        station_m,
        height_m: b.height_m,
        count: b.heights,
        rounded_sd_m: b.rounded_sd_m,
        dilution: b.dilution.is_finite().then_some(b.dilution),
    }
}

/// Even stations about four metres apart, with others laid in where they are not close to one.
pub(super) fn stations(length: f64, extra: &[f64]) -> Vec<f64> {
    let steps = (length / NODE_M).ceil().clamp(1.0, MOST_NODES);
    let mut out: Vec<f64> = (0..=steps as usize)
        .map(|i| length * i as f64 / steps)
        .collect();
    out.extend(extra);
    out.sort_by(f64::total_cmp);
    let wanted: Vec<f64> = extra.to_vec();
    let mut kept: Vec<f64> = Vec::with_capacity(out.len());
    for s in out {
        let is_wanted = wanted.contains(&s);
        match kept.last_mut() {
            Some(last) if s - *last < 0.25 => {
                if is_wanted && *last > 0.0 && s < length {
                    *last = s;
                }
            }
            _ => kept.push(s),
        }
    }
    if let Some(last) = kept.last_mut() {
        *last = length;
    }
    kept
}

/// Stretches in words: each where they are few, else how many and the longest.
fn stretches(spans: &[(f64, f64)], ladder: &ChainageMap) -> Option<Sentence> {
    let told = |said: Sentence, &(a, b): &(f64, f64)| {
        said.words("from ")
            .length(ladder.own_of_plan(a), 0)
            .words(" to ")
            .length(ladder.own_of_plan(b), 0)
    };
    let longest = spans
        .iter()
        .max_by(|a, b| (a.1 - a.0).total_cmp(&(b.1 - b.0)))?;
    Some(if spans.len() <= 3 {
        spans
            .iter()
            .enumerate()
            .fold(Sentence::default(), |said, (i, span)| {
                told(said.words(if i == 0 { "" } else { ", " }), span)
            })
    } else {
        let many = format!("in {} sections, the longest ", spans.len());
        told(many.into(), longest)
    })
}
