use super::places::Places;
use super::{
    Assumed, Laid, Limits, Line, Mouth, RegradeWish, Stream, centre, grid, machine, nature,
    reaches, set,
};
use crate::pipe::{Bed, Entrance, IntakeKind};
use crate::route::{Heights, Plan, Reckoning, Route};
use crate::site::{PipeRun, Site, Surveyed};
use crate::text::Fault;

/// Brings a site onto its route: every name found, every default taken and told.
///
/// # Errors
/// Every place, pipe or reach of the site file that does not fit the line, each at its own line and column.
pub fn build(site: &Site, route: &Route) -> Result<Line, Vec<Fault>> {
    let mut faults = Vec::new();
    let mut assumed = Vec::new();
    let places = Places::new(route);
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
    let cases = machine::cases(site, outlet.as_ref());
    let movements = machine::movements(site, outlet.as_ref(), &fittings, &fitting_of, &mut faults);
    if !faults.is_empty() {
        return Err(faults);
    }

    let must: Vec<f64> = reaches
        .iter()
        .map(|r| r.to_m)
        .chain(fittings.iter().map(|f| f.station_m))
        .chain(stands.iter().map(|s| s.station_m))
        .chain(taps.iter().map(|t| t.station_m))
        .chain(gauges.iter().map(|g| g.station_m))
        .chain(laid.iter().flat_map(|l| [l.from_m, l.to_m]))
        .chain(floods.iter().flat_map(|l| [l.from_m, l.to_m]))
        .collect();
    let stations = grid::stations(&route.heights.station_m, &route.heights.mean_m, &must);
    let surveyed = route.heights.on(&stations);
    let of = surveyed_thing(site, &mut assumed);
    let uncovered = |l: &Laid| l.bed == Bed::Buried && l.cover_m.is_none();
    if of == Surveyed::Ground && laid.iter().any(uncovered) {
        assumed.push(Assumed::Cover);
    }
    let mut heights = surveyed.clone();
    centre::bring(&mut heights, of, &reaches, &laid);
    let ground_m = ground_line(of, &surveyed, &heights);
    let horizontal_m: Vec<f64> = stations
        .iter()
        .filter_map(|&s| along(route, s, |n| Some(n.horizontal_m)))
        .collect();
    let plan = stations.iter().map(|&s| plan_at(route, s)).collect();
    let situation = nature::situation(site, route, &mut assumed);
    let water = nature::water(site, &mut assumed);
    let intake = mouth(
        site,
        crate::numeric::series::first(&heights.mean_m),
        &mut assumed,
    );
    Ok(Line {
        title: title(site),
        surveyed_on: site
            .survey
            .date
            .as_ref()
            .map(ToString::to_string)
            .unwrap_or_default(),
        horizontal_m,
        plan,
        ground_m,
        pegs: Reckoning::of(route),
        bends: route.bends.clone(),
        length_sd_m: route.length_sd_m,
        station_sd_m: route.station_sd_m,
        heights,
        reaches,
        laid,
        fittings,
        stands,
        taps,
        intake,
        outlet,
        cases,
        movements,
        gauges,
        ground,
        floods,
        fixed,
        regrade: regrade(site),
        stream: site.stream.as_ref().map(|s| Stream {
            flow_m3_per_s: s.flow_m3_per_s.clone(),
            leave_m3_per_s: s.leave_m3_per_s.unwrap_or(0.0),
        }),
        situation,
        water,
        limits: limits(site),
        assumed,
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

fn surveyed_thing(site: &Site, assumed: &mut Vec<Assumed>) -> Surveyed {
    site.survey.of.unwrap_or_else(|| {
        let planned = |p: &PipeRun| p.is_laid == Some(false);
        if !site.pipes.is_empty() && site.pipes.iter().all(planned) {
            assumed.push(Assumed::SurveyedGround);
            return Surveyed::Ground;
        }
        assumed.push(Assumed::SurveyedCentre);
        Surveyed::PipeCentre
    })
}

/// The ground where it was surveyed and differs from the pipe's centre.
fn ground_line(of: Surveyed, surveyed: &Heights, pipe: &Heights) -> Vec<Option<f64>> {
    surveyed
        .mean_m
        .iter()
        .zip(&pipe.mean_m)
        .map(|(ground, centre)| {
            (of == Surveyed::Ground || (ground - centre).abs() > 0.25).then_some(*ground)
        })
        .collect()
}

fn mouth(site: &Site, mouth_m: f64, assumed: &mut Vec<Assumed>) -> Mouth {
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
    Mouth {
        level_m: mouth_m + level,
        low_level_m: mouth_m + low,
        flood_level_m: mouth_m + flood,
        level_known: usual.is_some(),
        entrance: said.and_then(|i| i.entrance).unwrap_or(Entrance::Sharp),
        entrance_k: said.and_then(|i| i.entrance_k),
        screen_k: said.and_then(|i| i.screen_k).unwrap_or(0.0),
        kind: said.and_then(|i| i.kind).unwrap_or(IntakeKind::Box),
    }
}

fn regrade(site: &Site) -> RegradeWish {
    let usual = RegradeWish::default();
    RegradeWish {
        least_grade: site.regrade.least_grade.unwrap_or(usual.least_grade),
        dig_price: site.regrade.dig_price.unwrap_or(usual.dig_price),
        prop_price: site.regrade.prop_price.unwrap_or(usual.prop_price),
        deepest_m: site.regrade.deepest_m,
        highest_m: site.regrade.highest_m,
    }
}

fn limits(site: &Site) -> Limits {
    let usual = Limits::default();
    Limits {
        suction_m: site.limits.suction_m,
        velocity_m_per_s: site
            .limits
            .velocity_m_per_s
            .unwrap_or(usual.velocity_m_per_s),
        fill_speed_m_per_s: site
            .limits
            .fill_speed_m_per_s
            .unwrap_or(usual.fill_speed_m_per_s),
    }
}

/// A value of the route's nodes at a station, straight between them; `None` where a node beside it has none.
fn along(
    route: &Route,
    station_m: f64,
    value: impl Fn(&crate::route::Node) -> Option<f64>,
) -> Option<f64> {
    let above = route.nodes.partition_point(|n| n.station_m < station_m);
    match (
        above.checked_sub(1).and_then(|i| route.nodes.get(i)),
        route.nodes.get(above),
    ) {
        (Some(a), Some(b)) if b.station_m > a.station_m => {
            let (from, to) = (value(a)?, value(b)?);
            Some(from + (to - from) * (station_m - a.station_m) / (b.station_m - a.station_m))
        }
        (_, Some(n)) | (Some(n), None) => value(n),
        (None, None) => None,
    }
}

/// Positions are told only where every point of the survey has one.
fn plan_at(route: &Route, station_m: f64) -> Option<Plan> {
    let on_earth = |p: &Plan| p.lat_lon_deg.is_some();
    let all = |has: &dyn Fn(&Plan) -> bool| {
        let points = &route.nodes;
        points.iter().all(|n| n.plan.as_ref().is_some_and(has))
    };
    if !all(&|_| true) {
        return None;
    }
    let of = |pick: &dyn Fn(Plan) -> Option<f64>| along(route, station_m, |n| pick(n.plan?));
    let lat = of(&|p| p.lat_lon_deg.map(|l| l.0));
    let lon = of(&|p| p.lat_lon_deg.map(|l| l.1));
    Some(Plan {
        east_m: of(&|p| Some(p.east_m))?,
        north_m: of(&|p| Some(p.north_m))?,
        lat_lon_deg: lat.zip(lon).filter(|_| all(&on_earth)),
    })
}
