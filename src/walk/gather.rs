//! Everything that was walked, brought onto one line.

use super::assemble::{Elsewhere, OVER_M, assemble};
use super::block::blocks;
use super::centre::{LegPass as OnLine, centre};
use super::clean::{Cleaned, Track, clean};
use super::gap::{left_out, uncovered};
use super::leg::{WalkLeg, cut_at_turns};
use super::line_ends::LineEnds;
use super::median::sampled;
use super::polyline::Polyline;
use super::repeat::repeats;
use super::scatter::{PlanScatter, length_sd_m, scatter};
use super::source::WalkSource;
use crate::earth::{LatLon, Plane};
use crate::numeric::math;
use crate::numeric::median_in;
use crate::reading::{Data, Reading};
use crate::text::{Fault, Place, Remark, Sentence};

/// A line shorter than this cannot be told from a receiver that stands still, m.
const SHORTEST_M: f64 = 20.0;

/// The walks on their line, in the order of the files: which end is the intake is not settled yet.
pub(crate) struct GatheredWalks<'a> {
    pub(crate) sources: Vec<WalkSource<'a>>,
    pub(crate) plane: Plane,
    pub(crate) line: Polyline,
    /// Where it begins and ends on the walks' own line.
    pub(crate) ends: LineEnds,
    /// By what share noise in plan makes the line longer than the ground.
    pub(crate) lengthened: f64,
    pub(crate) passes: Vec<OnLine>,
    /// Stretches of the line that nothing recorded, m.
    pub(crate) gaps: Vec<(f64, f64)>,
    /// Stretches on which something that was recorded was left out as a spike, m.
    pub(crate) left_out: Vec<(f64, f64)>,
    /// Scatter of one walk in plan, m by axis.
    pub(crate) plan_sd_m: f64,
    /// How many times the line was walked on the mean: pieces that carry each other on are one walk, out and back are two.
    pub(crate) times: f64,
    pub(crate) drawn: bool,
    pub(crate) points_used: usize,
    pub(crate) remarks: Vec<Remark>,
}

/// Cleans every walk and draws one line through them; `wanted` are places the line must pass.
pub(crate) fn gather<'a>(
    readings: &'a [Reading],
    wanted: &[LatLon],
) -> Result<GatheredWalks<'a>, Fault> {
    let mut remarks = Vec::new();
    let (sources, drawn) = choose(readings, &mut remarks)?;
    let counts = repeats(&sources, &mut remarks);
    let plane = plane_for(&sources, &counts)?;
    let mut legs = Vec::new();
    for (walk, (source, counts)) in sources.iter().zip(&counts).enumerate() {
        let track = clean(source.pass, counts, &plane);
        tell(&track.cleaned, source, &mut remarks);
        legs.extend(legs_of(walk, &track));
    }
    let wanted: Vec<[f64; 2]> = wanted.iter().map(|&w| plane.east_north(w)).collect();
    let assembly = match assemble(legs, &wanted) {
        Ok(Some(assembly)) => assembly,
        Ok(None) => return Err(nowhere(&sources)),
        Err(elsewhere) => return Err(apart(&elsewhere, &sources)),
    };
    for stray in &assembly.strays {
        let source = sources.get(stray.walk);
        let line = stray.blocks.first().map_or(1, |b| b.line);
        remarks.push(Remark::new(
            Place::line(source.map_or("", |s| s.file), line),
            Sentence::from("a section of ")
                .length(stray.length_m(), 0)
                .words(" is not on the route and is not used"),
        ));
    }
    let settled = centre(assembly);
    let mut passes = settled.passes;
    let ends = LineEnds::of(&settled.line, &passes);
    let (start, end) = (ends.start.station_m, ends.end.station_m);
    if end - start < SHORTEST_M {
        return Err(nowhere(&sources));
    }
    let line = cut(&settled.line, start, end);
    for pass in &mut passes {
        for s in &mut pass.along.station_m {
            *s = (*s - start).clamp(0.0, end - start);
        }
    }
    for pass in passes.iter().filter(|p| p.along.left_out > 0) {
        if let Some(source) = sources.get(pass.walk) {
            remarks.push(Remark::new(
                source.place(),
                match pass.along.left_out {
                    1 => Sentence::from(format!(
                        "1 group of fixes in \"{}\" is more than ",
                        source.pass.name
                    ))
                    .length(OVER_M, 0)
                    .words(" from the route and is not used"),
                    n => Sentence::from(format!(
                        "{n} groups of fixes in \"{}\" are more than ",
                        source.pass.name
                    ))
                    .length(OVER_M, 0)
                    .words(" from the route and are not used"),
                },
            ));
        }
    }
    let gaps = uncovered(&passes, end - start);
    let left_out = left_out(&passes);
    let points_used = passes
        .iter()
        .flat_map(|p| &p.along.blocks)
        .map(|b| b.fixes as usize)
        .sum();
    let walked: f64 = passes
        .iter()
        .map(|p| p.along.reach_m())
        .map(|(a, b)| b - a)
        .sum();
    let times = (walked / (end - start)).max(1.0);
    Ok(GatheredWalks {
        plan_sd_m: scatter(&PlanScatter {
            passes: &passes,
            times,
            drawn,
            wander_rad2: settled.wander_rad2,
            length_m: end - start,
        }),
        times,
        sources,
        plane,
        line,
        ends,
        lengthened: settled.lengthened,
        passes,
        gaps,
        left_out,
        drawn,
        points_used,
        remarks,
    })
}

/// The recorded walks; routes drawn on a map only where nothing was recorded.
fn choose<'a>(
    readings: &'a [Reading],
    remarks: &mut Vec<Remark>,
) -> Result<(Vec<WalkSource<'a>>, bool), Fault> {
    let all: Vec<WalkSource<'a>> = readings
        .iter()
        .filter_map(|r| match &r.data {
            Data::Walks(passes) => Some(passes.iter().map(|pass| WalkSource {
                file: &r.file,
                pass,
            })),
            Data::Book(_) => None,
        })
        .flatten()
        .filter(|s| s.pass.segments.iter().map(Vec::len).sum::<usize>() > 1)
        .collect();
    let drawn = !all.is_empty() && all.iter().all(|s| s.pass.drawn);
    if !drawn {
        for source in all.iter().filter(|s| s.pass.drawn) {
            remarks.push(Remark::new(
                source.place(),
                format!(
                    "the drawn route \"{}\" is not used, because there are recorded tracks",
                    source.pass.name
                ),
            ));
        }
    }
    let kept: Vec<WalkSource<'a>> = all.into_iter().filter(|s| drawn || !s.pass.drawn).collect();
    if kept.is_empty() {
        return Err(no_track(readings));
    }
    Ok((kept, drawn))
}

/// A plane at the middle of everything, at the mean height.
fn plane_for(sources: &[WalkSource<'_>], counts: &[Vec<bool>]) -> Result<Plane, Fault> {
    let segments = || {
        let all = sources.iter().zip(counts);
        all.flat_map(|(s, counts)| s.pass.segments.iter().zip(counts))
            .filter(|(_, counts)| **counts)
            .map(|(segment, _)| segment)
    };
    let count = segments().map(Vec::len).sum();
    let fixes = || sampled(segments().flatten(), count);
    let mut lat: Vec<f64> = fixes().map(|f| f.lat_deg).collect();
    let middle_lat = median_in(&mut lat);
    drop(lat);
    // Longitudes are taken from the first fix, so that a walk across the 180th meridian stays together.
    let first = fixes().next().map_or(0.0, |f| f.lon_deg);
    let turn = |lon: f64| (lon + 540.0).rem_euclid(360.0) - 180.0;
    let mut lon: Vec<f64> = fixes().map(|f| turn(f.lon_deg - first)).collect();
    let middle_lon = turn(median_in(&mut lon) + first);
    drop(lon);
    let mut heights: Vec<f64> = fixes()
        .filter_map(|f| f.elevation_m)
        .filter(|h| (-500.0..9000.0).contains(h))
        .collect();
    if heights.is_empty() || heights.iter().all(|&h| h == 0.0) {
        let other = fixes().find_map(|f| f.elevation_m.filter(|h| *h != 0.0));
        return Err(no_heights(sources, other, !heights.is_empty()));
    }
    let height = median_in(&mut heights);
    Ok(Plane::new(LatLon::new(middle_lat, middle_lon), height))
}

fn legs_of(walk: usize, track: &Track) -> Vec<WalkLeg> {
    let (Some(first), Some(last)) = (track.fixes.first(), track.fixes.last()) else {
        return Vec::new();
    };
    let pieces = cut_at_turns(blocks(track));
    let count = pieces.len();
    pieces
        .into_iter()
        .enumerate()
        .filter_map(|(i, (piece, path))| {
            let begin = if i == 0 { first.at } else { piece.first()?.at };
            let end = if i + 1 == count {
                last.at
            } else {
                piece.last()?.at
            };
            WalkLeg::with_path(walk, track.has_clock, piece, path, [begin, end])
        })
        .collect()
}

/// The stretch of a line between two stations; it goes on straight where they lie beyond its ends.
pub(crate) fn cut(line: &Polyline, from: f64, to: f64) -> Polyline {
    let inside = line
        .points()
        .iter()
        .zip(line.station_m())
        .filter(|&(_, &s)| s > from + 1e-6 && s < to - 1e-6)
        .map(|(p, _)| *p);
    Polyline::new(
        std::iter::once(line.at(from))
            .chain(inside)
            .chain(std::iter::once(line.at(to))),
    )
}

fn tell(cleaned: &Cleaned, source: &WalkSource<'_>, remarks: &mut Vec<Remark>) {
    let name = &source.pass.name;
    let counts = [
        (cleaned.duplicates, "repeated fix", "repeated fixes"),
        (
            cleaned.plan_spikes,
            "fix with a sudden jump to one side",
            "fixes with a sudden jump to one side",
        ),
        (
            cleaned.height_spikes,
            "height with a sudden jump",
            "heights with a sudden jump",
        ),
        (
            cleaned.no_heights,
            "height that is not possible (0, or no ground has it)",
            "heights that are not possible (0, or no ground has them)",
        ),
        (
            cleaned.backward,
            "fix with a time earlier than the fix before it",
            "fixes with a time earlier than the fix before them",
        ),
    ];
    let left: Vec<String> = counts
        .iter()
        .filter(|(n, ..)| *n > 0)
        .map(|(n, one, more)| format!("{n} {}", if *n == 1 { one } else { more }))
        .collect();
    if !left.is_empty() {
        remarks.push(Remark::new(
            source.place(),
            format!("\"{name}\": not used: {}", left.join(", ")),
        ));
    }
    if cleaned.turned_segments > 0 {
        remarks.push(Remark::new(
            source.place(),
            format!("\"{name}\": the times of one segment run backwards. The program reversed this segment"),
        ));
    }
    if cleaned.clocks_filled > 0 {
        let (fixes, their) = match cleaned.clocks_filled {
            1 => (
                "1 fix has no time. The program gives it a time".to_owned(),
                "it",
            ),
            n => (
                format!("{n} fixes have no time. The program gives them times"),
                "them",
            ),
        };
        remarks.push(Remark::new(
            source.place(),
            format!("\"{name}\": {fixes} in equal steps between the fixes next to {their}"),
        ));
    }
    if cleaned.clock_lost {
        remarks.push(Remark::new(
            source.place(),
            format!("\"{name}\": the times cannot be used (they are missing, do not change, or go back). The program estimates the drift from the distance along the route"),
        ));
    }
}

fn no_track(readings: &[Reading]) -> Fault {
    let place = readings
        .iter()
        .flat_map(|r| {
            let remarked = r.remarks.iter().map(|m| m.place.clone());
            remarked.chain(r.places.iter().map(|p| p.place.clone()))
        })
        .next()
        .unwrap_or_else(|| Place::line(readings.first().map_or("", |r| r.file.as_str()), 1));
    Fault::new(place, "no track with two or more points")
        .found("only waypoints or single points")
        .expected("a track recorded along the pipe, or a route drawn over it")
        .advice("record a track while you walk along the complete pipe, and export it")
}

/// `other`: a height that no ground has.
fn no_heights(sources: &[WalkSource<'_>], other: Option<f64>, zeros: bool) -> Fault {
    let place = sources
        .first()
        .map_or_else(Place::default, WalkSource::place);
    let found = match other {
        Some(height_m) => Sentence::default()
            .length(height_m, 0)
            .words(" and similar heights. No ground has such a height"),
        None if zeros => "0 for every height".into(),
        None => "no height at any point".into(),
    };
    Fault::new(place, "the track has no heights")
        .found(found)
        .expected("a height (<ele>) at most points")
        .advice("switch on the recording of heights in the receiver, and walk again. Or survey the route with a level, and give a table of points")
}

fn nowhere(sources: &[WalkSource<'_>]) -> Fault {
    let place = sources
        .first()
        .map_or_else(Place::default, WalkSource::place);
    Fault::new(place, "the walk is too short")
        .found(
            Sentence::from("less than ")
                .length(SHORTEST_M, 0)
                .words(" from end to end"),
        )
        .expected("a track along the complete pipe")
        .advice("give the track that was recorded along the pipe")
}

fn apart(elsewhere: &Elsewhere, sources: &[WalkSource<'_>]) -> Fault {
    let told = |leg: &WalkLeg| {
        let source = sources.get(leg.walk);
        let line = leg.blocks.first().map_or(1, |b| b.line);
        (
            Place::line(source.map_or("", |s| s.file), line),
            source.map_or("", |s| s.pass.name.as_str()),
        )
    };
    let (place, name) = told(&elsewhere.other);
    let (main, main_name) = told(&elsewhere.main);
    Fault::new(place, "the walks do not follow the same route")
        .found(
            Sentence::from(format!("\"{name}\" is at least "))
                .length(elsewhere.apart_m, 0)
                .words(format!(" from \"{main_name}\" ({main}), or most of it follows a different route")),
        )
        .expected("tracks on the same route, or tracks that continue each other")
        .advice("give only the tracks along the pipe. Or give the places of its two ends (`intake`, `turbine`), so that the program does not use tracks beyond them")
}

/// Walks in plan only: the line through them, before any height is judged.
#[derive(Debug, Clone, PartialEq)]
pub struct WalkedPlan {
    /// Latitude and longitude of the line's points, degrees, as its longest walk runs.
    pub lat_lon_deg: Vec<(f64, f64)>,
    /// Length in plan at the walks' mean height, m.
    pub length_m: f64,
    /// Its standard deviation, m.
    pub length_sd_m: f64,
    /// Error of one walk in plan by axis, m, as far as it shows (docs/basis/route.md).
    pub plan_sd_m: f64,
    /// Stretches in one direction that lie on it.
    pub passes: usize,
    /// Blocks of about three seconds on their stations.
    pub blocks: usize,
    /// Fixes that were used.
    pub points_used: usize,
}

/// Reads nothing but the plan from walks: cleaned, on one centreline, each block on its station.
///
/// # Errors
/// As `Route::from`, where no line can be made.
pub fn plan_of_walks(readings: &[Reading]) -> Result<WalkedPlan, Fault> {
    let gathered = gather(readings, &[])?;
    let length_m = gathered.line.length_m() / (1.0 + gathered.lengthened);
    let station_sd_m = gathered.plan_sd_m / gathered.times.sqrt();
    Ok(WalkedPlan {
        lat_lon_deg: gathered
            .line
            .points()
            .iter()
            .map(|&p| gathered.plane.back(p))
            .map(|at| (at.lat_deg, at.lon_deg))
            .collect(),
        length_m,
        length_sd_m: math::hypot(
            length_sd_m(&gathered.line, station_sd_m, length_m),
            gathered.ends.beyond_m(true, true),
        ),
        plan_sd_m: gathered.plan_sd_m,
        passes: gathered.passes.len(),
        blocks: gathered.passes.iter().map(|p| p.along.blocks.len()).sum(),
        points_used: gathered.points_used,
    })
}
