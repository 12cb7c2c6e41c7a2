use super::gridded::{Gridded, OnIt};
use super::places::PlaceFinder;
use super::{
    Assumed, Environment, Geometry, Heading, Inlet, Laid, Line, Measured, Reaches, Stream, Wishes,
    Works, environment, machine, metals, reaches, set,
};
use crate::pipe::{Bed, Entrance, IntakeKind};
use crate::route::{Reckoning, Route};
use crate::site::{PipeRun, Site, SurveyedLine};
use crate::text::Faults;

/// Brings a site onto its route: every name found, every default taken and told.
///
/// # Errors
/// Every place, pipe or reach of the site file that does not fit the line, each at its own line and column.
pub fn build(site: &Site, route: &Route) -> Result<Line, Faults> {
    let mut faults = Vec::new();
    let mut assumed = Vec::new();
    let places = PlaceFinder::new(route);
    let reaches = reaches::reaches(site, &places, &mut assumed, &mut faults);
    let laid = set::laid(site, &places, &mut faults);
    let (fittings, fitting_of) = set::fittings(site, &places, &mut faults);
    let stands = set::stands(site, &places, &mut faults);
    let taps = set::taps(site, &places, &mut faults);
    let ground = set::ground(site, &places, &mut faults);
    let floods = set::floods(site, &places, &mut faults);
    let fixed = set::fixed(site, &places, &mut faults);
    let gauges = machine::gauges(site, &places, &mut assumed, &mut faults);
    let outlet = machine::outlet(site, &mut assumed);
    let runaway = machine::runaway(site, &mut assumed);
    let cases = machine::cases(site, outlet.as_ref());
    let movements = machine::movements(site, outlet.as_ref(), &fittings, &fitting_of, &mut faults);
    let corrosion = metals::corrosion(site, &places, &mut faults);
    let metals = metals::metals(site, &places, &mut faults);
    if !faults.is_empty() {
        return Err(faults.into());
    }

    let of = surveyed_thing(site, &mut assumed);
    let uncovered = |l: &Laid| l.bed == Bed::Buried && l.cover_m.is_none();
    if of == SurveyedLine::Ground && laid.iter().any(uncovered) {
        assumed.push(Assumed::Cover);
    }
    let on_it = OnIt {
        reaches: &reaches,
        fittings: &fittings,
        stands: &stands,
        taps: &taps,
        gauges: &gauges,
        laid: &laid,
        floods: &floods,
    };
    let Gridded {
        heights,
        horizontal_m,
        plan,
        ground_m,
    } = Gridded::of(route, of, &on_it);
    let situation = environment::situation(site, route, &mut assumed);
    let water = environment::water(site, &mut assumed);
    let intake = mouth(
        site,
        crate::numeric::series::first(&heights.mean_m),
        &mut assumed,
    );
    Ok(Line {
        heading: heading(site),
        geometry: Geometry {
            of,
            horizontal_m,
            plan,
            ground_m,
            pegs: Reckoning::of(route),
            bends: route.bends.clone(),
            length_sd_m: route.length_sd_m,
            station_sd_m: route.station_sd_m,
            heights,
        },
        reaches: Reaches(reaches),
        fittings,
        stands,
        taps,
        intake,
        outlet,
        runaway,
        works: Works {
            screen: site.screen,
            grit: site.grit,
            basin: site.basin,
            record: site.record.clone(),
            corrosion,
            metals,
        },
        wishes: Wishes {
            cases,
            movements,
            fixed,
            regrade: site.regrade,
            limits: site.limits,
        },
        measured: Measured {
            gauges,
            gauged: Vec::new(),
            pressure_test: site.pressure_test.clone(),
        },
        environment: Environment {
            laid,
            ground,
            floods,
            situation,
            water,
            stream: stream(site),
        },
        assumed,
    })
}

fn heading(site: &Site) -> Heading {
    let date = site.survey.date.as_ref();
    Heading {
        title: title(site),
        surveyed_on: date.map(ToString::to_string).unwrap_or_default(),
        title_block: site.sheet.clone(),
    }
}

fn stream(site: &Site) -> Option<Stream> {
    let said = site.stream.as_ref();
    said.filter(|s| !s.flow_m3_per_s.is_empty())
        .map(|s| Stream {
            flow_m3_per_s: s.flow_m3_per_s.clone(),
            leave_m3_per_s: s.leave_m3_per_s.unwrap_or(0.0),
        })
}

/// The site's title; without one, the name of its file.
fn title(site: &Site) -> String {
    site.title.clone().unwrap_or_else(|| {
        std::path::Path::new(&site.file)
            .file_stem()
            .map_or_else(|| "site".to_owned(), |s| s.to_string_lossy().into_owned())
    })
}

fn surveyed_thing(site: &Site, assumed: &mut Vec<Assumed>) -> SurveyedLine {
    site.survey.of.unwrap_or_else(|| {
        let planned = |p: &PipeRun| p.is_laid == Some(false);
        if !site.pipes.is_empty() && site.pipes.iter().all(planned) {
            assumed.push(Assumed::SurveyedGround);
            return SurveyedLine::Ground;
        }
        assumed.push(Assumed::SurveyedCentre);
        SurveyedLine::PipeCentre
    })
}

fn mouth(site: &Site, mouth_m: f64, assumed: &mut Vec<Assumed>) -> Inlet {
    let said = site.intake.as_ref();
    let usual = said.and_then(|i| i.water_level_m);
    if usual.is_none() {
        assumed.push(Assumed::WaterLevel);
    }
    let level = usual.unwrap_or(0.0);
    let low = said.and_then(|i| i.low_level_m).unwrap_or(level).min(level);
    let flood = said
        .and_then(|i| i.flood_level_m)
        .unwrap_or(level)
        .max(level);
    Inlet {
        level_m: mouth_m + level,
        low_level_m: mouth_m + low,
        flood_level_m: mouth_m + flood,
        level_known: usual.is_some(),
        entrance: said.and_then(|i| i.entrance).unwrap_or(Entrance::Sharp),
        entrance_k: said.and_then(|i| i.entrance_k),
        screen_k: said.and_then(|i| i.screen_k),
        kind: said.and_then(|i| i.kind).unwrap_or(IntakeKind::Box),
    }
}
