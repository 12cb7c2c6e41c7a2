use super::booked::{read_options, read_options_of};
use super::gauged::with_gauged;
use super::pressed::{LogReader, WalkedWith};
use crate::heights::HeightsOptions;
use crate::line::Line;
use crate::profile::{Bore, Profile};
use crate::reading::{Method, ReadOptions, Reading};
use crate::route::{
    End, KnownHeight, Peg, Route, RouteOptions, Spot, SurveyPart, WrittenSpot as RouteAt,
};
use crate::site::{DeclaredPlace, GaugeAt, Located, Site, Taped};
use crate::text::{Fault, Faults, NO_SUCH_FILE, Remark};
use crate::track::pressure::read_log;
use crate::{gauging, line, profile, site, survey};
use std::path::Path;

/// A survey judged alone: no pipe needed.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct JudgedSurvey {
    /// The route.
    pub route: Route,
    /// Climbs, lows, flats by the bore asked for.
    pub profile: Profile,
    /// The bore it was judged by, m.
    pub bore_m: f64,
}

/// Judges a route by a bore.
pub fn survey(route: Route, bore_m: f64) -> JudgedSurvey {
    let length = route.length_m();
    let profile = profile::judge(
        &route.heights,
        &[Bore {
            to_m: length,
            bore_m,
        }],
    )
    .unsure_within(&route.unrecorded);
    JudgedSurvey {
        route,
        profile,
        bore_m,
    }
}

/// Reads the files of a site and brings them onto one route.
///
/// # Errors
/// A file that cannot be read or used, each with its place.
pub fn read_route(site: &Site) -> Result<Route, Fault> {
    read_route_from(site, &|path, kind, options| {
        survey::read(path, kind, options)
    })
}

/// Reads the files of a site and brings its pipe onto the surveyed line, with what was measured of the stream.
///
/// # Errors
/// A file that cannot be read or used, or everything of the site file that does not fit the line, each with its place.
pub fn on_line(site: &Site) -> Result<(Route, Line), Faults> {
    let route = read_route(site)?;
    let line = with_gauged(site, line::build(site, &route)?, &|path, gravity| {
        gauging::read(path, gravity)
    })?;
    Ok((route, line))
}

/// Reads one survey file: from the disk, or from what the program carries in itself.
pub type Reader<'a> = &'a dyn Fn(&Path, Option<Method>, &ReadOptions) -> Result<Reading, Fault>;

/// The same with another way to come by the survey files.
///
/// # Errors
/// As [`read_route`].
pub fn read_route_from(site: &Site, read: Reader<'_>) -> Result<Route, Fault> {
    read_route_with(site, read, &read_log)
}

/// The same with another way to come by every file.
///
/// # Errors
/// As [`read_route`].
pub fn read_route_with(site: &Site, read: Reader<'_>, log: LogReader<'_>) -> Result<Route, Fault> {
    let said = &site.survey;
    let mut points = 0;
    let mut read_all = |files: &[Located<String>], kind: Option<Method>, options: &ReadOptions| {
        let readings = files.iter().map(|file| {
            let path = site.path_of(file);
            let mut reading =
                read(&path, kind, options).map_err(|fault| missing(&path, file, fault))?;
            reading.remarks.extend(namesake(site, &path, file));
            Ok(reading)
        });
        survey::together(readings, &mut points)
    };
    let options = read_options(site);
    let mut readings = read_all(&said.files, said.kind, &options)?;
    let mut parts = Vec::new();
    for part in &said.parts {
        let options = read_options_of(site, part);
        parts.push(SurveyPart {
            readings: read_all(&part.files, part.kind, &options)?,
            from: part.from.as_ref().map(place),
            to: part.to.as_ref().map(place),
            replaces: part.replaces,
            place: part.said.place.clone(),
        });
    }
    let heights = WalkedWith::of(site).heights(&mut readings, log)?;
    Route::from(&readings, &route_options(site, parts, heights))
}

/// A file is looked for where the site file says, and nowhere else; where that is another folder and a file of the same name lies beside the site file, it is said which one was judged.
fn namesake(site: &Site, path: &Path, said: &Located<String>) -> Option<Remark> {
    let beside = site::path_beside(&site.file, path.file_name()?.to_str()?);
    (beside != *path && beside.is_file()).then(|| {
        Remark::new(
            said.place.clone(),
            format!(
                "{} was used, as written here; another file of that name is next to this site file and was not read",
                path.display()
            ),
        )
    })
}

/// A file that is not there is told at the place where the site file names it.
fn missing(path: &Path, said: &Located<String>, fault: Fault) -> Fault {
    // What no site file names, the reader's own fault tells by its name.
    if *fault.text != *NO_SUCH_FILE || said.place.line.is_none() {
        return fault;
    }
    said.fault(format!("the survey file \"{}\" does not exist", said.value))
        .found(path.display().to_string())
        .expected("a file next to the site file, or a full path")
        .advice("correct the name, or copy the file there")
}

fn route_options(site: &Site, parts: Vec<SurveyPart>, heights: HeightsOptions) -> RouteOptions {
    let said = &site.survey;
    RouteOptions {
        from: said.from.map(|end| match end {
            site::DeclaredEnd::Intake => End::Intake,
            site::DeclaredEnd::Turbine => End::Turbine,
        }),
        stations_used: uses_stations(site),
        intake: said.intake.as_ref().map(place),
        turbine: said.turbine.as_ref().map(place),
        along_slope: said.taped.map(|t| t == Taped::Slope),
        ties: said
            .ties
            .iter()
            .map(|t| KnownHeight {
                at: place(&t.at),
                elevation_m: t.elevation_m,
                sd_m: t.sd_m.unwrap_or(TIE_SD_M),
            })
            .collect(),
        pegs: said
            .pegs
            .iter()
            .map(|p| Peg {
                at: place(&p.at),
                station: p.station,
                sd_m: p.sd_m,
            })
            .collect(),
        parts,
        heights,
    }
}

/// Standard deviation of a known height where none was said, m: a bench mark or a levelled peg.
const TIE_SD_M: f64 = 0.02;

fn place(at: &Located<DeclaredPlace>) -> RouteAt {
    RouteAt {
        spot: match &at.value {
            DeclaredPlace::Station(m) => Spot::Station(*m),
            DeclaredPlace::Name(name) => Spot::Name(name.clone()),
            DeclaredPlace::LatLon { lat_deg, lon_deg } => Spot::Position {
                lat_deg: *lat_deg,
                lon_deg: *lon_deg,
            },
        },
        place: at.place.clone(),
    }
}

/// Whether anything in the site file stands at a station: then turning the line would move it.
fn uses_stations(site: &Site) -> bool {
    let pipes = site.pipes.iter();
    let reaches = (site.laid.iter().map(|l| (&l.from, &l.to)))
        .chain(site.ground.iter().map(|g| (&g.from, &g.to)))
        .chain(site.floods.iter().map(|f| (&f.from, &f.to)))
        .chain(site.fixed.iter().map(|(from, to)| (from, to)));
    let mut all = pipes
        .flat_map(|p| p.from.iter().chain(&p.to).chain(&p.joints_at))
        .chain(site.fittings.iter().map(|f| &f.at))
        .chain(site.marks.iter().map(|m| &m.at))
        .chain(site.draws.iter().map(|d| &d.at))
        .chain(site.survey.ties.iter().map(|t| &t.at))
        .chain(reaches.flat_map(|(from, to)| [from, to]));
    let gauges = site.gauges.iter().filter_map(|g| match &g.at.value {
        GaugeAt::Line(at) => at.on_pegs(),
        GaugeAt::Turbine => None,
    });
    all.any(|at| at.value.on_pegs().is_some()) || gauges.count() > 0
}
