//! From walks to a route: which end is the intake, where the pipe begins and ends, heights.

use super::known::WalkedRoute;
use super::lay::stations;
use super::named_ends::NamedEnds;
use super::suspect;
use super::witness::PipeReach;
use crate::earth::{LatLon, at_height};
use crate::heights;
use crate::heights::{HeightsOptions, Tie};
use crate::numeric::math;
use crate::numeric::series::interpolate;
use crate::reading::{Method, Reading};
use crate::route::ladder::{ChainageMap, slope_stations};
use crate::route::longest::{LOWEST_M, refuse_no_ground, refuse_too_long};
use crate::route::options::{RouteOptions, Spot, WrittenSpot};
use crate::route::{Route, bend, peg, spot};
use crate::text::{Fault, Place, Remark, Sentence};
use crate::walk::copied::{TerrainModelSigns, copied};
use crate::walk::gather::{GatheredWalks, cut, gather};
use crate::walk::rough::Rough;
use crate::walk::scatter::length_sd_m;

/// A line at least this long whose ends lie no farther apart than that (or 3 % of its length) is a ring, m.
const RING_M: f64 = 150.0;
const CLOSED_M: f64 = 20.0;

/// One line from walks, with levelled reaches laid in.
pub(in crate::route) fn walked(
    readings: &[Reading],
    options: &RouteOptions,
) -> Result<Route, Fault> {
    let wanted: Vec<LatLon> = [&options.intake, &options.turbine]
        .into_iter()
        .flatten()
        .map(|at| spot::position(at, readings))
        .collect::<Result<Vec<_>, _>>()?
        .into_iter()
        .flatten()
        .collect();
    let is_placed = !wanted.is_empty();
    let named = NamedEnds::of(readings, options);
    let wanted: Vec<LatLon> = wanted.into_iter().chain(named.positions()).collect();
    let mut gathered = gather(readings, &wanted)?;
    refuse_what_is_no_pipe(&gathered)?;
    let rough = Rough::new(&gathered.passes, gathered.line.length_m())
        .ok_or_else(|| no_heights(&gathered))?;
    let (by_name, turns_by_name) = named.on(options, &mut gathered, &rough, SHORTEST_M);
    let options = by_name.as_ref().unwrap_or(options);
    if !is_placed && by_name.is_none() {
        refuse_a_ring(&gathered)?;
    }
    suspect::level_datums(&mut gathered, &rough);
    let mut survey = WalkedRoute {
        readings,
        options,
        reversed: false,
        rough,
        gathered,
    };
    if survey.must_turn(turns_by_name)? {
        survey.turn();
    }
    survey.finish()
}

fn place_of(gathered: &GatheredWalks<'_>) -> Place {
    gathered
        .sources
        .first()
        .map_or_else(Place::default, |s| s.place())
}

/// A line of a length that no pressure pipe has, or of which most was not recorded, is refused: a straight line over it would be an invention.
fn refuse_what_is_no_pipe(gathered: &GatheredWalks<'_>) -> Result<(), Fault> {
    let length = gathered.line.length_m();
    let lost: f64 = gathered.gaps.iter().map(|g| g.1 - g.0).sum();
    refuse_too_long(length, place_of(gathered))?;
    if lost > 0.5 * length {
        return Err(
            Fault::new(place_of(gathered), "most of the route was not recorded")
                .found(Sentence::default().length(lost, 0).words(" without a fix on ").length(length, 0))
                .expected("a track along the complete pipe, with no gap longer than some tens of metres")
                .advice("walk the route again with an open view of the sky. Or draw it on a map as a route, and survey the heights"),
        );
    }
    Ok(())
}

/// A walk that ends where it began, and not over its own way, shows no pipe: which part of it is the pipe must be said.
fn refuse_a_ring(gathered: &GatheredWalks<'_>) -> Result<(), Fault> {
    let length = gathered.line.length_m();
    let points = gathered.line.points();
    let (Some(&first), Some(&last)) = (points.first(), points.last()) else {
        return Ok(());
    };
    let apart = crate::walk::clean::span(first, last);
    if length < RING_M || apart > CLOSED_M.max(0.03 * length) {
        return Ok(());
    }
    Err(
        Fault::new(place_of(gathered), "the walk ends at its start: it is a closed loop")
            .found(
                Sentence::default()
                    .length(length, 0)
                    .words(" of walk, and ")
                    .length(apart, 0)
                    .words(" from its end to its start"),
            )
            .expected("a walk along the pipe from one end to the other, or there and back along the same route")
            .advice("delete the points that are not on the pipe, or give the places of its two ends (`intake`, `turbine`)"),
    )
}

fn no_heights(gathered: &GatheredWalks<'_>) -> Fault {
    let place = place_of(gathered);
    Fault::new(place, "the track has no heights along the route")
        .expected("a height (<ele>) at most points")
        .advice("switch on the recording of heights in the receiver, and walk again. Or survey the route with a level, and give a table of points")
}

/// The shortest pipe that can be judged on a walk, m: less is within a receiver's own wandering.
const SHORTEST_M: f64 = 10.0;

impl WalkedRoute<'_> {
    pub(super) fn place(&self) -> Place {
        self.gathered
            .sources
            .first()
            .map_or_else(Place::default, |s| s.place())
    }

    pub(super) fn length_m(&self) -> f64 {
        self.gathered.line.length_m()
    }

    /// Where a named place or a position falls on the line, along the plan; `None` for a station.
    pub(super) fn foot(&self, at: &WrittenSpot) -> Result<Option<f64>, Fault> {
        let Some(position) = spot::position(at, self.readings)? else {
            return Ok(None);
        };
        let foot = self
            .gathered
            .line
            .foot_anywhere(self.gathered.plane.east_north(position));
        spot::refuse_off(at, foot.off_m)?;
        Ok(Some(foot.station_m.clamp(0.0, self.length_m())))
    }

    /// The reckonings of the whole surveyed line.
    fn ladder(&self) -> ChainageMap {
        let plane = &self.gathered.plane;
        let line = &self.gathered.line;
        let mut level_m = Vec::with_capacity(self.rough.station_m.len());
        let mut level = 0.0;
        let mut last: Option<(f64, [f64; 2], LatLon)> = None;
        for (&s, &z) in self.rough.station_m.iter().zip(&self.rough.height_m) {
            let at = line.at(s);
            let position = plane.back(at);
            if let Some((s0, at0, position0)) = last {
                let chord = crate::walk::clean::span(at0, at);
                let scale = if chord > 1e-3 {
                    position0.distance_m(position) / chord
                } else {
                    1.0
                };
                level += (s - s0) * scale * at_height(z) / (1.0 + self.gathered.lengthened);
            }
            last = Some((s, at, position));
            level_m.push(level);
        }
        ChainageMap::new(self.rough.station_m.clone(), level_m, &self.rough.height_m)
    }

    fn finish(mut self) -> Result<Route, Fault> {
        let mut ladder = self.ladder();
        let pegged = peg::lay(&mut ladder, &self.options.pegs, |at| self.foot(at))?;
        let from = match self.options.intake.as_ref() {
            None => 0.0,
            Some(at) => match (&at.spot, self.foot(at)?) {
                (_, Some(plan)) => plan,
                (Spot::Station(own), None) => on_line(own.0, &ladder, at)?,
                _ => 0.0,
            },
        };
        // Without pegs a walk has no reckoning of its own but the one a person paces from the intake, unless the intake itself was given as a station of the track.
        let by_track = matches!(
            self.options.intake.as_ref().map(|at| &at.spot),
            Some(Spot::Station(_))
        );
        if pegged.is_none() && !by_track {
            let start = ladder.own_of_plan(from);
            ladder.own_m.iter_mut().for_each(|own| *own -= start);
        }
        let plan_of = |at: &WrittenSpot, walked: &Self| -> Result<f64, Fault> {
            match (&at.spot, walked.foot(at)?) {
                (_, Some(plan)) => Ok(plan),
                (Spot::Station(own), None) => on_line(own.0, &ladder, at),
                _ => Ok(0.0),
            }
        };
        let to = self
            .options
            .turbine
            .as_ref()
            .map_or(Ok(self.length_m()), |at| plan_of(at, &self))?;
        if to - from < SHORTEST_M {
            return Err(spot::no_pipe_between(
                self.options,
                self.place(),
                (to - from, SHORTEST_M),
            ));
        }
        let zero = ladder.level_of_plan(from);
        let length = ladder.level_of_plan(to) - zero;
        // What goes along the line step by step relies on it, and only now is its length known.
        refuse_too_long(length, self.place())?;
        let mut ties = Vec::new();
        for tie in &self.options.ties {
            let plan = plan_of(&tie.at, &self)?.clamp(from, to);
            ties.push(Tie {
                station_m: ladder.level_of_plan(plan) - zero,
                height_m: tie.elevation_m,
                sd_m: tie.sd_m,
            });
        }
        if let Some(fault) = suspect::feet(
            &self.options.ties,
            &ties,
            |level| self.rough.at(ladder.plan_of_level(level + zero)),
            self.place(),
        ) {
            return Err(fault);
        }
        let (levelled, extra) = self.levelled(&ladder, zero, length, &plan_of)?;
        let stations = stations(length, &extra);
        let copied = if self.gathered.drawn {
            Some(TerrainModelSigns::Drawn)
        } else {
            copied(&self.gathered.passes, &self.gathered.line, &self.rough)
        };
        let terrain_model = copied.is_some();
        let height_options = HeightsOptions {
            terrain_model,
            ..self.options.heights.clone()
        };
        let blocks = self.blocks(&ladder, from, to);
        if blocks.is_empty() && ties.is_empty() && levelled.is_empty() {
            return Err(no_heights(&self.gathered));
        }
        let walked = heights::walked(&blocks, &ties, &levelled, &stations, &height_options);
        let level_stations = walked.heights.station_m.clone();
        refuse_no_ground(&walked.heights.mean_m, LOWEST_M, self.place())?;
        let mut slope = slope_stations(&level_stations, &walked.heights.mean_m);
        refuse_too_long(slope.last().copied().unwrap_or(0.0), self.place())?;
        let mut level = level_stations.clone();
        let own_start = ladder.own_of_plan(from);
        let plan: Vec<f64> = level_stations
            .iter()
            .map(|l| ladder.plan_of_level(l + zero))
            .collect();
        let own: Vec<f64> = if pegged.is_some() {
            plan.iter().map(|&p| ladder.own_of_plan(p)).collect()
        } else {
            slope.iter().map(|s| own_start + s).collect()
        };
        if pegged.is_some() {
            peg::stretch(&mut slope, &mut level, &own);
        }
        let witnesses = self.witnesses(
            &PipeReach {
                ladder: &ladder,
                from,
                to,
                level_m: &level_stations,
                slope_m: &slope,
            },
            &walked.followed,
            &levelled,
            terrain_model,
        );
        let line = cut(&self.gathered.line, from, to);
        let beyond_m = self.gathered.ends.beyond_m(
            self.options.intake.is_none(),
            self.options.turbine.is_none(),
        );
        let nodes = self.nodes(&slope, &level, &own, &plan, &line, from);
        self.tell(&walked.remarks, copied, &ladder);
        self.tell_odds(&walked.at_odds, |level| {
            ladder.own_of_plan(ladder.plan_of_level(level + zero).clamp(from, to))
        });
        // Pieces that carry each other on are one walk: every place was walked once.
        let passes = ((self.gathered.times + 0.3).floor() as usize)
            .clamp(1, self.gathered.passes.len().max(1));
        let plan_sd_m = self.gathered.plan_sd_m;
        let station_sd_m = plan_sd_m / self.gathered.times.sqrt();
        let total = slope.last().copied().unwrap_or(0.0);
        let walked_sd_m = |a, b| {
            let slope_m = ladder.slope_of_plan(b) - ladder.slope_of_plan(a);
            length_sd_m(&cut(&self.gathered.line, a, b), station_sd_m, slope_m)
        };
        let sure_m = pegged
            .and_then(|p| p.length_sd_m((from, to), walked_sd_m))
            .unwrap_or_else(|| length_sd_m(&line, station_sd_m, total));
        let mut followed = walked.followed;
        for block in followed.iter_mut().flat_map(|f| &mut f.blocks) {
            block.station_m = interpolate(&level_stations, &slope, block.station_m);
        }
        let mut heights = walked.heights;
        heights.walks = heights.walks.min(passes);
        heights.backed = heights
            .backed
            .onto(|s| interpolate(&level_stations, &slope, s));
        heights.station_m = slope;
        let bends = bend::of_walk(&nodes, &heights, station_sd_m, self.gathered.drawn);
        let places = self.places(&plan, &heights.station_m);
        let unrecorded = self.unrecorded(&plan, &heights.station_m, &levelled, (&ladder, zero));
        let mut remarks: Vec<Remark> = self
            .readings
            .iter()
            .flat_map(|r| r.remarks.iter().cloned())
            .collect();
        remarks.append(&mut self.gathered.remarks);
        Ok(Route {
            nodes,
            heights,
            bends,
            length_sd_m: math::hypot(sure_m, beyond_m),
            station_sd_m,
            method: Some(if levelled.is_empty() {
                Method::Gpx
            } else {
                Method::Mixed
            }),
            files: Vec::new(),
            points_read: self.readings.iter().map(|r| r.points_read).sum(),
            points_used: self.gathered.points_used,
            passes,
            followed,
            receiver: walked.classes,
            reversed: self.reversed,
            misclosure: None,
            places,
            terrain_model,
            tied: false,
            unrecorded,
            witnesses,
            remarks,
        })
    }
}

/// The place along the plan of a station in the survey's own reckoning.
fn on_line(own: f64, ladder: &ChainageMap, at: &WrittenSpot) -> Result<f64, Fault> {
    let (first, last) = (
        ladder.own_m.first().copied().unwrap_or(0.0),
        ladder.own_m.last().copied().unwrap_or(0.0),
    );
    let slack = 15.0_f64.max(0.02 * (last - first));
    if own < first - slack || own > last + slack {
        return Err(spot::beyond(at, own, (first, last)));
    }
    Ok(ladder.plan_of_own(own))
}
