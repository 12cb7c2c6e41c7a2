//! What is set on the line or lies around it, brought onto stations.

use super::places::Places;
use super::{Fitting, Flood, Ground, Laid, Stand, Tap};
use crate::pipe::{Debris, Dig, State, Traffic};
use crate::site::{At, Said, Site};
use crate::text::Fault;

/// Stations of both ends, lower first, where both can be found.
fn ends(
    from: &Said<At>,
    to: &Said<At>,
    places: &Places<'_>,
    faults: &mut Vec<Fault>,
) -> Option<(f64, f64)> {
    let mut station = |at| places.station_m(at).map_err(|f| faults.push(f)).ok();
    let (a, b) = (station(from)?, station(to)?);
    if a == b {
        faults.push(
            to.fault("the reach has no length")
                .expected("two different places on the line"),
        );
        return None;
    }
    Some((a.min(b), a.max(b)))
}

/// How the pipe sits, by reach, in order.
pub(super) fn laid(site: &Site, places: &Places<'_>, faults: &mut Vec<Fault>) -> Vec<Laid> {
    let mut out: Vec<Laid> = Vec::new();
    for reach in &site.laid {
        let Some((from_m, to_m)) = ends(&reach.from, &reach.to, places, faults) else {
            continue;
        };
        out.push(Laid {
            from_m,
            to_m,
            bed: reach.bed,
            cover_m: reach.cover_m,
            height_m: reach.height_m,
            traffic: reach.traffic.unwrap_or(Traffic::None),
        });
    }
    out.sort_by(|a, b| a.from_m.total_cmp(&b.from_m));
    out
}

/// Fittings in order of station, and for each fitting of the site file its place in that order.
pub(super) fn fittings(
    site: &Site,
    places: &Places<'_>,
    faults: &mut Vec<Fault>,
) -> (Vec<Fitting>, Vec<usize>) {
    let mut found: Vec<(usize, Fitting)> = Vec::new();
    for (i, said) in site.fittings.iter().enumerate() {
        let station_m = match places.station_m(&said.at) {
            Ok(m) => m,
            Err(fault) => {
                faults.push(fault);
                continue;
            }
        };
        found.push((
            i,
            Fitting {
                station_m,
                kind: said.kind,
                name: said
                    .name
                    .as_ref()
                    .map_or_else(|| said.kind.word().to_owned(), |n| n.value.clone()),
                k: said.k,
                open: said.open.unwrap_or(1.0),
                angle_rad: said.angle_rad,
                in_plan: said.in_plan,
                bore_m: said.bore_m,
                rating_pa: said.rating_pa,
            },
        ));
    }
    found.sort_by(|a, b| a.1.station_m.total_cmp(&b.1.station_m));
    let mut order = vec![0; site.fittings.len()];
    for (place, (i, _)) in found.iter().enumerate() {
        if let Some(slot) = order.get_mut(*i) {
            *slot = place;
        }
    }
    (found.into_iter().map(|(_, f)| f).collect(), order)
}

/// What stands, in order.
pub(super) fn stands(site: &Site, places: &Places<'_>, faults: &mut Vec<Fault>) -> Vec<Stand> {
    let mut out = Vec::new();
    for mark in &site.marks {
        match places.station_m(&mark.at) {
            Ok(station_m) => out.push(Stand {
                kind: mark.kind,
                station_m,
                device: mark.device,
                bore_m: mark.bore_m,
                top_m: mark.top_m,
                cock_open: mark.cock_open.unwrap_or(true),
                state: mark.state.unwrap_or(State::Works),
                strength_n: mark.strength_n,
                opens_at_pa: mark.opens_at_pa,
                name: mark
                    .name
                    .as_ref()
                    .map_or_else(String::new, |n| n.value.clone()),
            }),
            Err(fault) => faults.push(fault),
        }
    }
    out.sort_by(|a, b| a.station_m.total_cmp(&b.station_m));
    out
}

/// Water taken off, in order.
pub(super) fn taps(site: &Site, places: &Places<'_>, faults: &mut Vec<Fault>) -> Vec<Tap> {
    let mut out = Vec::new();
    for draw in &site.draws {
        match places.station_m(&draw.at) {
            Ok(station_m) => out.push(Tap {
                station_m,
                flow_m3_per_s: draw.flow_m3_per_s,
            }),
            Err(fault) => faults.push(fault),
        }
    }
    out.sort_by(|a, b| a.station_m.total_cmp(&b.station_m));
    out
}

/// Ground by reach, in order.
pub(super) fn ground(site: &Site, places: &Places<'_>, faults: &mut Vec<Fault>) -> Vec<Ground> {
    let mut out = Vec::new();
    for reach in &site.ground {
        let Some((from_m, to_m)) = ends(&reach.from, &reach.to, places, faults) else {
            continue;
        };
        out.push(Ground {
            from_m,
            to_m,
            soil: reach.soil,
            friction: reach.friction,
            dig: reach.dig.unwrap_or(Dig::Easy),
        });
    }
    out.sort_by(|a, b| a.from_m.total_cmp(&b.from_m));
    out
}

/// Floods by reach, in order.
pub(super) fn floods(site: &Site, places: &Places<'_>, faults: &mut Vec<Fault>) -> Vec<Flood> {
    let mut out = Vec::new();
    for reach in &site.floods {
        let Some((from_m, to_m)) = ends(&reach.from, &reach.to, places, faults) else {
            continue;
        };
        out.push(Flood {
            from_m,
            to_m,
            speed_m_per_s: reach.speed_m_per_s,
            depth_m: reach.depth_m,
            debris: reach.debris.unwrap_or(Debris::None),
        });
    }
    out.sort_by(|a, b| a.from_m.total_cmp(&b.from_m));
    out
}

/// Reaches that must stay, in order.
pub(super) fn fixed(site: &Site, places: &Places<'_>, faults: &mut Vec<Fault>) -> Vec<(f64, f64)> {
    let mut out: Vec<(f64, f64)> = site
        .fixed
        .iter()
        .filter_map(|(from, to)| ends(from, to, places, faults))
        .collect();
    out.sort_by(|a, b| a.0.total_cmp(&b.0));
    out
}
