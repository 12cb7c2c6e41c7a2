//! From walks to a route: which end is the intake, where the pipe begins and ends, heights.

use super::block::Block;
use super::centre::Pass;
use super::gather::{Gathered, cut, gather};
use super::polyline::Polyline;
use super::rough::Rough;
use super::suspect;
use crate::route::bend;
use crate::route::earth::{LatLon, at_height};
use crate::route::heights::{self, HeightsOptions, Levelled, Tie};
use crate::route::ladder::{Ladder, slope_stations};
use crate::route::options::{At, End, RouteOptions, Spot};
use crate::route::peg;
use crate::route::spot;
use crate::route::{Node, Plan, Route, StationedPlace};
use crate::survey::{Method, Reading};
use crate::text::{Fault, Place, Remark};

/// Spacing of the route's nodes, m.
const NODE_M: f64 = 4.0;

/// Most nodes.
const MOST_NODES: f64 = 2000.0;

/// A named place farther off the line than this is not on it, m.
const ON_LINE_M: f64 = 60.0;

/// Standard deviation of the drop of one walk before it is looked into, m: drift of 1.7 m at each end.
const DROP_SD_M: f64 = 2.4;

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
    let mut gathered = gather(readings, &wanted)?;
    let rough = Rough::new(&gathered.passes, gathered.line.length_m())
        .ok_or_else(|| no_heights(&gathered))?;
    suspect::level_datums(&mut gathered, &rough);
    let mut survey = Walked {
        readings,
        options,
        reversed: false,
        rough,
        gathered,
    };
    if survey.must_turn()? {
        survey.turn();
    }
    survey.finish()
}

fn no_heights(gathered: &Gathered<'_>) -> Fault {
    let place = gathered
        .sources
        .first()
        .map_or_else(Place::default, |s| s.place());
    Fault::new(place, "the track has no heights on the line")
        .expected("a height (<ele>) at most points")
        .advice("switch on the recording of heights and walk again, or level the line and give a table of points")
}

struct Walked<'a> {
    readings: &'a [Reading],
    options: &'a RouteOptions,
    reversed: bool,
    rough: Rough,
    gathered: Gathered<'a>,
}

impl Walked<'_> {
    fn place(&self) -> Place {
        self.gathered
            .sources
            .first()
            .map_or_else(Place::default, |s| s.place())
    }

    fn length_m(&self) -> f64 {
        self.gathered.line.length_m()
    }

    /// Where a named place or a position falls on the line, along the plan; `None` for a station.
    fn foot(&self, at: &At) -> Result<Option<f64>, Fault> {
        let Some(position) = spot::position(at, self.readings)? else {
            return Ok(None);
        };
        let foot = self
            .gathered
            .line
            .foot_anywhere(self.gathered.plane.east_north(position));
        if foot.off_m > ON_LINE_M {
            return Err(
                Fault::new(at.place.clone(), "that place is not on the line")
                    .found(format!("{:.0} m off the surveyed line", foot.off_m))
                    .expected(format!("a place within {ON_LINE_M:.0} m of it"))
                    .advice("look at latitude and longitude, or survey as far as there"),
            );
        }
        Ok(Some(foot.station_m.clamp(0.0, self.length_m())))
    }

    /// Whether the line as it stands runs from the turbine to the intake.
    fn must_turn(&self) -> Result<bool, Fault> {
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
            _ => self.options.from.map(|from| {
                let first = self.gathered.passes.iter().min_by(|a, b| {
                    let began = |p: &Pass| (p.walk, p.along.blocks.first().map_or(0, |b| b.line));
                    began(a).cmp(&began(b))
                });
                let with_line = first.is_none_or(|p| p.along.forward);
                (from == End::Intake) != with_line
            }),
        };
        let drop = self.rough.drop_m();
        let sd = DROP_SD_M / (self.gathered.passes.len().max(1) as f64).sqrt();
        let certain = drop.abs() > 3.0 * sd;
        if let Some(turn) = said {
            return if certain
                && (drop > 0.0) == turn
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
        if !certain {
            return Err(self.ask(format!(
                "the ends differ by {:.1} m in height, which a walk cannot tell from nothing",
                drop.abs()
            )));
        }
        // The line runs as its main walk does, which need not be the first one in the files.
        let with_files = self.gathered.passes.first().is_none_or(|p| p.along.forward);
        let uphill_in_files = (drop < 0.0) == with_files;
        if uphill_in_files && self.options.stations_used {
            return Err(self.ask("stations are used and the walk runs uphill".to_owned()));
        }
        Ok(drop < 0.0)
    }

    fn ask(&self, why: String) -> Fault {
        Fault::new(self.place(), "which end is the intake is not certain")
            .found(why)
            .expected("from = \"intake\" or from = \"turbine\": which end comes first in the file")
            .advice(
                "add the key `from` under [survey], or name the places of intake and turbine there",
            )
    }

    fn climbs_as_said(&self, rise_m: f64) -> Fault {
        Fault::new(self.place(), "the pipe would end higher than it begins")
            .found(format!(
                "the turbine stands {rise_m:.0} m above the intake as `from` says"
            ))
            .expected("an intake above the turbine")
            .advice("turn the key `from` round: it says which end comes first in the file")
    }

    /// Turns the line round.
    fn turn(&mut self) {
        let length = self.length_m();
        self.reversed = true;
        self.gathered.line = self.gathered.line.turned();
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

    /// The reckonings of the whole surveyed line.
    fn ladder(&self) -> Ladder {
        let plane = &self.gathered.plane;
        let line = &self.gathered.line;
        let mut level_m = Vec::with_capacity(self.rough.station_m.len());
        let mut level = 0.0;
        let mut last: Option<(f64, [f64; 2], LatLon)> = None;
        for (&s, &z) in self.rough.station_m.iter().zip(&self.rough.height_m) {
            let at = line.at(s);
            let position = plane.back(at);
            if let Some((s0, at0, position0)) = last {
                let chord = super::clean::span(at0, at);
                let scale = if chord > 1e-3 {
                    position0.distance_m(position) / chord
                } else {
                    1.0
                };
                level += (s - s0) * scale * at_height(z);
            }
            last = Some((s, at, position));
            level_m.push(level);
        }
        Ladder::new(self.rough.station_m.clone(), level_m, &self.rough.height_m)
    }

    fn finish(mut self) -> Result<Route, Fault> {
        let mut ladder = self.ladder();
        let pegged = peg::lay(&mut ladder, &self.options.pegs, |at| self.foot(at))?;
        let plan_of = |at: &At, walked: &Self| -> Result<f64, Fault> {
            match (&at.spot, walked.foot(at)?) {
                (_, Some(plan)) => Ok(plan),
                (Spot::Station(own), None) => on_line(*own, &ladder, at),
                _ => Ok(0.0),
            }
        };
        let from = self
            .options
            .intake
            .as_ref()
            .map_or(Ok(0.0), |at| plan_of(at, &self))?;
        let to = self
            .options
            .turbine
            .as_ref()
            .map_or(Ok(self.length_m()), |at| plan_of(at, &self))?;
        if to - from < 10.0 {
            return Err(self.no_length(to - from));
        }
        let zero = ladder.level_of_plan(from);
        let length = ladder.level_of_plan(to) - zero;
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
        let terrain_model =
            self.gathered.drawn || suspect::from_terrain_model(&self.gathered.passes);
        let height_options = HeightsOptions {
            terrain_model,
            ..self.options.heights.clone()
        };
        let blocks = self.blocks(&ladder, from, to);
        let walked = heights::walked(&blocks, &ties, &levelled, &stations, &height_options);
        let level_stations = walked.heights.station_m.clone();
        let mut slope = slope_stations(&level_stations, &walked.heights.mean_m);
        let mut level = level_stations.clone();
        let own_start = ladder.own_of_plan(from);
        let plan: Vec<f64> = level_stations
            .iter()
            .map(|l| ladder.plan_of_level(l + zero))
            .collect();
        let own: Vec<f64> = if pegged {
            plan.iter().map(|&p| ladder.own_of_plan(p)).collect()
        } else {
            slope.iter().map(|s| own_start + s).collect()
        };
        if pegged {
            peg::stretch(&mut slope, &mut level, &own);
        }
        let line = cut(&self.gathered.line, from, to);
        let nodes = self.nodes(&slope, &level, &own, &plan, &line, from);
        self.tell(&walked.remarks, terrain_model, &ladder);
        let passes = self.gathered.passes.len();
        let plan_sd_m = self.gathered.plan_sd_m;
        let station_sd_m = plan_sd_m / (passes.max(1) as f64).sqrt();
        let total = slope.last().copied().unwrap_or(0.0);
        let mut heights = walked.heights;
        heights.station_m = slope;
        let bends = bend::of_walk(&nodes, &heights, station_sd_m, self.gathered.drawn);
        let places = self.places(&plan, &heights.station_m);
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
            // Both ends are as doubtful as a station; what noise adds or smoothing takes is held under 0.2 % (docs/basis/route.md).
            length_sd_m: (station_sd_m * std::f64::consts::SQRT_2).hypot(0.002 * total),
            station_sd_m,
            method: Some(if levelled.is_empty() {
                Method::Gpx
            } else {
                Method::Mixed
            }),
            points_read: self.readings.iter().map(|r| r.points_read).sum(),
            points_used: self.gathered.points_used,
            passes,
            reversed: self.reversed,
            misclosure: None,
            places,
            terrain_model,
            remarks,
        })
    }

    fn no_length(&self, length_m: f64) -> Fault {
        let place = self
            .options
            .turbine
            .as_ref()
            .or(self.options.intake.as_ref())
            .map_or_else(|| self.place(), |a| a.place.clone());
        Fault::new(place, "intake and turbine leave no pipe between them")
            .found(format!("{length_m:.0} m from intake to turbine"))
            .expected("at least 10 m")
            .advice("look at the places of intake and turbine")
    }

    /// Blocks with a height inside the pipe, on level stations from its beginning.
    fn blocks(&self, ladder: &Ladder, from: f64, to: f64) -> Vec<heights::Block> {
        let zero = ladder.level_of_plan(from);
        let mut out = Vec::new();
        for (index, pass) in self.gathered.passes.iter().enumerate() {
            let known = pass.along.blocks.iter().zip(&pass.along.station_m);
            let inside = known.filter(|(b, s)| b.height_m.is_finite() && (from..=to).contains(*s));
            out.extend(
                inside
                    .map(|(b, &s)| block(b, index, pass.has_clock, ladder.level_of_plan(s) - zero)),
            );
        }
        out
    }

    /// Levelled reaches as the heights want them, and the stations of their points.
    fn levelled(
        &self,
        ladder: &Ladder,
        zero: f64,
        length: f64,
        plan_of: &dyn Fn(&At, &Self) -> Result<f64, Fault>,
    ) -> Result<(Vec<Levelled>, Vec<f64>), Fault> {
        let mut out = Vec::new();
        let mut stations = Vec::new();
        for part in &self.options.parts {
            let begin = part.from.as_ref().map(|at| plan_of(at, self)).transpose()?;
            let end = part.to.as_ref().map(|at| plan_of(at, self)).transpose()?;
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

    fn nodes(
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
        for (((&station_m, &horizontal_m), &own_station_m), &p) in
            slope.iter().zip(level).zip(own).zip(plan)
        {
            let at = line.at(p - from);
            let position = plane.back(at);
            let in_gap = self.gathered.gaps.iter().any(|&(a, b)| p > a && p < b);
            nodes.push(Node {
                station_m,
                horizontal_m,
                own_station_m,
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

    fn places(&self, plan: &[f64], station_m: &[f64]) -> Vec<StationedPlace> {
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
                    station_m: crate::route::track::interpolate(plan, station_m, foot.station_m),
                    off_m: foot.off_m,
                }
            })
            .collect();
        out.sort_by(|a, b| a.station_m.total_cmp(&b.station_m));
        out
    }

    fn tell(&mut self, of_heights: &[String], terrain_model: bool, ladder: &Ladder) {
        let place = self.place();
        let mut say = |text: String| self.gathered.remarks.push(Remark::new(place.clone(), text));
        if self.reversed {
            say("the line was turned: it now runs from the intake down".to_owned());
        }
        for &(a, b) in &self.gathered.gaps {
            say(format!(
                "nothing was recorded from {:.0} m to {:.0} m: a straight line is assumed there",
                ladder.own_of_plan(a),
                ladder.own_of_plan(b)
            ));
        }
        for &(a, b) in &self.rough.lacking {
            say(format!(
                "no height was recorded from {:.0} m to {:.0} m: what the ground does there is not known",
                ladder.own_of_plan(a),
                ladder.own_of_plan(b)
            ));
        }
        if terrain_model {
            say(if self.gathered.drawn {
                "the line was drawn on a map, so its heights come from a terrain model: small climbs do not show in them".to_owned()
            } else {
                "the heights look copied from a terrain model (walks agree without a receiver's noise): their agreement proves nothing and small climbs do not show in them".to_owned()
            });
        }
        for text in of_heights {
            say(text.clone());
        }
    }
}

fn block(b: &Block, pass: usize, has_clock: bool, station_m: f64) -> heights::Block {
    heights::Block {
        pass,
        clock_s: has_clock.then_some(b.clock_s),
        station_m,
        height_m: b.height_m,
        count: b.heights,
        dilution: b.dilution.is_finite().then_some(b.dilution),
    }
}

/// The place along the plan of a station in the survey's own reckoning.
fn on_line(own: f64, ladder: &Ladder, at: &At) -> Result<f64, Fault> {
    let (first, last) = (
        ladder.own_m.first().copied().unwrap_or(0.0),
        ladder.own_m.last().copied().unwrap_or(0.0),
    );
    let slack = 15.0_f64.max(0.02 * (last - first));
    if own < first - slack || own > last + slack {
        return Err(
            Fault::new(at.place.clone(), "that station is not on the line")
                .found(format!("{own:.1} m"))
                .expected(format!("{first:.0} m to {last:.0} m"))
                .advice("give a station on the surveyed line, or survey as far as there"),
        );
    }
    Ok(ladder.plan_of_own(own))
}

/// Even stations about four metres apart, with others laid in where they are not close to one.
fn stations(length: f64, extra: &[f64]) -> Vec<f64> {
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
