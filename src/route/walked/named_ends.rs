//! Waypoints that are called intake or powerhouse mark the pipe's ends, where the user named no others.

use super::direction::DENIES;
use crate::earth::LatLon;
use crate::numeric::math;
use crate::reading::{Data, NamedPlace, Reading};
use crate::route::options::{RouteOptions, Spot, WrittenSpot};
use crate::route::spot::{ON_LINE_M, SAME_M};
use crate::text::{Place, Remark, Sentence, neutral};
use crate::walk::gather::GatheredWalks;
use crate::walk::rough::Rough;

/// What waypoints at the ends are called, capitals and blanks aside.
const INTAKE: &[&str] = &["intake", "start"];
const TURBINE: &[&str] = &["powerhouse", "turbine", "end"];

/// A waypoint this near the walk's own end is that end, m: of several fixes there the mean is nearer than the one of the waypoint.
const AT_THE_END_M: f64 = 10.0;

/// A waypoint by whose name the pipe may begin or end.
#[derive(Debug, Clone)]
struct Named {
    name: String,
    position: LatLon,
    place: Place,
}

/// The pipe's ends by name, and what is to be said of them.
#[derive(Debug, Clone, Default)]
pub(super) struct NamedEnds {
    intake: Option<Named>,
    turbine: Option<Named>,
    remarks: Vec<Remark>,
}

impl NamedEnds {
    /// The waypoints of those names by the walks; an end that the user gave is looked for by no name.
    pub(super) fn of(readings: &[Reading], options: &RouteOptions) -> Self {
        let mut out = Self::default();
        if options.intake.is_none() {
            out.intake = out.first_of(INTAKE, readings);
        }
        if options.turbine.is_none() {
            out.turbine = out.first_of(TURBINE, readings);
        }
        out
    }

    /// The place of the first name that stands in the survey.
    fn first_of(&mut self, names: &[&str], readings: &[Reading]) -> Option<Named> {
        let all: Vec<&NamedPlace> = readings.iter().flat_map(|r| &r.places).collect();
        for name in names {
            let found: Vec<&NamedPlace> =
                all.iter().copied().filter(|p| is(&p.name, name)).collect();
            let Some(first) = found.first() else { continue };
            let position = |p: &NamedPlace| LatLon::new(p.lat_deg, p.lon_deg);
            let here = position(first);
            let shown = neutral(&first.name);
            if found.iter().any(|p| here.distance_m(position(p)) > SAME_M) {
                self.remarks.push(Remark::new(
                    first.place.clone(),
                    format!("several places have the name \"{shown}\". The program uses none of them as an end of the pipe"),
                ));
                continue;
            }
            let off_m = nearest_fix_m(here, readings);
            if off_m > ON_LINE_M {
                self.remarks.push(Remark::new(
                    first.place.clone(),
                    Sentence::from(format!("the waypoint \"{shown}\" is "))
                        .length(off_m, 0)
                        .words(" from the walk. The program does not use it as an end of the pipe"),
                ));
                continue;
            }
            return Some(Named {
                name: shown,
                position: here,
                place: first.place.clone(),
            });
        }
        None
    }

    /// Where they lie.
    pub(super) fn positions(&self) -> impl Iterator<Item = LatLon> + '_ {
        [&self.intake, &self.turbine]
            .into_iter()
            .flatten()
            .map(|n| n.position)
    }

    /// The options with the ends that hold on the line that was made, and whether that line runs from the turbine to the intake by them; what is taken and what is not is told among the line's remarks.
    pub(super) fn on(
        mut self,
        options: &RouteOptions,
        gathered: &mut GatheredWalks<'_>,
        rough: &Rough,
        shortest_m: f64,
    ) -> (Option<RouteOptions>, Option<bool>) {
        gathered.remarks.append(&mut self.remarks);
        let length = gathered.line.length_m();
        let slack = AT_THE_END_M.max(3.0 * gathered.plan_sd_m);
        let foot = |n: &Named| {
            let foot = gathered
                .line
                .foot_anywhere(gathered.plane.east_north(n.position));
            (foot.off_m <= ON_LINE_M).then(|| foot.station_m.clamp(0.0, length))
        };
        let mut intake = self.intake.and_then(|n| foot(&n).map(|s| (n, s)));
        let mut turbine = self.turbine.and_then(|n| foot(&n).map(|s| (n, s)));
        // Who walked up from the powerhouse may call its end the start.
        let certain_m = DENIES * options.heights.expected.drop_sd_m(gathered.times);
        let climbs = |up: f64, down: f64| rough.at(down) - rough.at(up) > certain_m;
        if let (Some((a, at_a)), Some((b, at_b))) = (&intake, &turbine)
            && climbs(*at_a, *at_b)
        {
            if is(&a.name, "start") && is(&b.name, "end") {
                std::mem::swap(&mut intake, &mut turbine);
            } else {
                gathered.remarks.push(Remark::new(
                    a.place.clone(),
                    format!(
                        "\"{}\" is below \"{}\". The program uses neither as an end of the pipe",
                        a.name, b.name
                    ),
                ));
                return (None, None);
            }
        } else if let (Some((n, at)), None) | (None, Some((n, at))) = (&intake, &turbine)
            && (is(&n.name, "start") || is(&n.name, "end"))
            && options.intake.is_none()
            && options.turbine.is_none()
        {
            // One alone is the end that its height makes it.
            let is_upper = !climbs(*at, 0.5 * length);
            if is_upper != intake.is_some() {
                std::mem::swap(&mut intake, &mut turbine);
            }
        }
        if let (Some((a, at_a)), Some((b, at_b))) = (&intake, &turbine)
            && (at_a - at_b).abs() < shortest_m
        {
            gathered.remarks.push(Remark::new(
                a.place.clone(),
                format!(
                    "\"{}\" and \"{}\" are at the same place on the walk. The program uses neither as an end of the pipe",
                    a.name, b.name
                ),
            ));
            return (None, None);
        }
        let turns = match (&intake, &turbine) {
            (Some((_, upper)), Some((_, lower))) => Some(lower < upper),
            (Some((_, upper)), None) => Some(*upper > 0.5 * length),
            (None, Some((_, lower))) => Some(*lower < 0.5 * length),
            (None, None) => None,
        };
        let mut out = RouteOptions::default();
        for (found, role, slot) in [
            (intake, "intake", &mut out.intake),
            (turbine, "turbine", &mut out.turbine),
        ] {
            let Some((named, at)) = found else { continue };
            let beyond = at.min(length - at);
            let told = Sentence::from(format!(
                "the program uses the waypoint \"{}\" as the {role} end of the pipe",
                named.name
            ));
            if beyond <= slack {
                gathered.remarks.push(Remark::new(
                    named.place,
                    told.words(". The walk ends there"),
                ));
                continue;
            }
            gathered.remarks.push(Remark::new(
                named.place.clone(),
                told.words(". The ")
                    .length(beyond, 0)
                    .words(" of the walk beyond it are not used"),
            ));
            *slot = Some(WrittenSpot {
                spot: Spot::Position {
                    lat_deg: named.position.lat_deg,
                    lon_deg: named.position.lon_deg,
                },
                place: named.place,
            });
        }
        let taken = (out.intake.is_some() || out.turbine.is_some()).then(|| RouteOptions {
            intake: out.intake.or_else(|| options.intake.clone()),
            turbine: out.turbine.or_else(|| options.turbine.clone()),
            ..options.clone()
        });
        (taken, turns)
    }
}

/// Whether a place is called so.
fn is(name: &str, word: &str) -> bool {
    name.chars()
        .filter(|c| !c.is_whitespace())
        .flat_map(char::to_lowercase)
        .eq(word.chars())
}

/// Distance to the nearest fix, m, on a flat earth: near enough to tell whether a place lies by the walk.
fn nearest_fix_m(here: LatLon, readings: &[Reading]) -> f64 {
    const M_PER_DEG: f64 = 111_320.0;
    let shrunk = math::cos(here.lat_deg.to_radians());
    readings
        .iter()
        .filter_map(|r| match &r.data {
            Data::Walks(passes) => Some(passes),
            Data::Book(_) => None,
        })
        .flatten()
        .flat_map(|pass| pass.segments.iter().flatten())
        .map(|fix| {
            let east = (fix.lon_deg - here.lon_deg + 540.0).rem_euclid(360.0) - 180.0;
            let (e, n) = (east * shrunk, fix.lat_deg - here.lat_deg);
            e * e + n * n
        })
        .fold(f64::INFINITY, f64::min)
        .sqrt()
        * M_PER_DEG
}
