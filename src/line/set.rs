//! What is set on the line or lies around it, brought onto stations.

use super::places::PlaceFinder;
use super::{Appurtenance, Fitting, Flood, Ground, Laid, Tap};
use crate::pipe::{Debris, Dig, Traffic, WorkingState};
use crate::site::{DeclaredMark, DeclaredPlace, Draw, Located, Site};
use crate::text::{Fault, Sentence};

/// Stations of both ends, the upper first, where both can be found. A reach is said down the line or up the pegs.
fn ends(
    from: &Located<DeclaredPlace>,
    to: &Located<DeclaredPlace>,
    places: &PlaceFinder<'_>,
    faults: &mut Vec<Fault>,
) -> Option<(f64, f64)> {
    let mut station = |at| places.station_m(at).map_err(|f| faults.push(f)).ok();
    let (a, b) = (station(from)?, station(to)?);
    let back = from
        .value
        .on_pegs()
        .zip(to.value.on_pegs())
        .is_some_and(|(from, to)| to <= from && places.pegs().is_above(to, from));
    if a == b {
        faults.push(
            to.fault("the section has no length")
                .expected("two different places on the pipeline"),
        );
        return None;
    }
    if back {
        faults.push(
            to.fault("this section ends before it begins")
                .found(from.value.told().words(" to ").and(&to.value.told()))
                .expected("a station further down than from")
                .advice("stations of this survey increase from the intake down"),
        );
        return None;
    }
    Some((a.min(b), a.max(b)))
}

/// Reaches of one kind in order down the line, side by side.
fn in_order<'a, T>(
    what: &str,
    all: &'a [T],
    said: fn(&T) -> (&Located<DeclaredPlace>, &Located<DeclaredPlace>),
    places: &PlaceFinder<'_>,
    faults: &mut Vec<Fault>,
) -> Vec<(f64, f64, &'a T)> {
    let mut out: Vec<(f64, f64, &T)> = Vec::new();
    for reach in all {
        let (from, to) = said(reach);
        if let Some((from_m, to_m)) = ends(from, to, places, faults) {
            out.push((from_m, to_m, reach));
        }
    }
    out.sort_by(|a, b| a.0.total_cmp(&b.0));
    for pair in out.windows(2) {
        if let [(_, end_m, _), (begin_m, _, reach)] = pair
            && *begin_m < end_m - SAME_M
        {
            let on_pegs = |station_m: f64| places.pegs().on_pegs(station_m).0;
            faults.push(
                said(reach)
                    .0
                    .fault(format!("this [[{what}]] overlaps another one"))
                    .found(
                        Sentence::from("it begins at ")
                            .short(on_pegs(*begin_m))
                            .words(", another ends at ")
                            .short(on_pegs(*end_m)),
                    )
                    .expected("sections that do not overlap")
                    .advice("let one end where the next begins"),
            );
        }
    }
    out
}

/// Stations this near are one, m.
const SAME_M: f64 = 1e-6;

/// How the pipe sits, by reach, in order.
pub(super) fn laid(site: &Site, places: &PlaceFinder<'_>, faults: &mut Vec<Fault>) -> Vec<Laid> {
    in_order("laid", &site.laid, |l| (&l.from, &l.to), places, faults)
        .into_iter()
        .map(|(from_m, to_m, reach)| Laid {
            from_m,
            to_m,
            bed: reach.bed,
            cover_m: reach.cover_m,
            height_m: reach.height_m,
            traffic: reach.traffic.unwrap_or(Traffic::None),
            trench: reach.trench,
        })
        .collect()
}

/// Fittings in order of station, and for each fitting of the site file its place in that order.
pub(super) fn fittings(
    site: &Site,
    places: &PlaceFinder<'_>,
    faults: &mut Vec<Fault>,
) -> (Vec<Fitting>, Vec<usize>) {
    let found = places.in_order(&site.fittings, |f| &f.at, faults);
    let mut order = vec![0; site.fittings.len()];
    for (place, (_, i, _)) in found.iter().enumerate() {
        if let Some(slot) = order.get_mut(*i) {
            *slot = place;
        }
    }
    let fittings = found.into_iter().map(|(station_m, _, said)| Fitting {
        station_m,
        kind: said.kind,
        name: said
            .name
            .as_ref()
            .map_or_else(|| said.kind.name().to_owned(), |n| n.value.clone()),
        k: said.k,
        open: said.open.unwrap_or(1.0),
        angle_rad: said.angle_rad,
        in_plan: said.in_plan,
        bore_m: said.bore_m,
        rating_pa: said.rating_pa,
    });
    (fittings.collect(), order)
}

/// What stands, in order.
pub(super) fn stands(
    site: &Site,
    places: &PlaceFinder<'_>,
    faults: &mut Vec<Fault>,
) -> Vec<Appurtenance> {
    let found = places.in_order(&site.marks, |m| &m.at, faults);
    let stand = |(station_m, _, mark): (f64, usize, &DeclaredMark)| Appurtenance {
        kind: mark.kind,
        station_m,
        device: mark.device,
        bore_m: mark.bore_m,
        top_m: mark.top_m,
        cock_open: mark.cock_open.unwrap_or(true),
        state: mark.state.unwrap_or(WorkingState::Works),
        strength_n: mark.strength_n,
        opens_at_pa: mark.opens_at_pa,
        slack_m: mark.slack_m,
        name: mark
            .name
            .as_ref()
            .map_or_else(String::new, |n| n.value.clone()),
    };
    found.into_iter().map(stand).collect()
}

/// Water taken off, in order.
pub(super) fn taps(site: &Site, places: &PlaceFinder<'_>, faults: &mut Vec<Fault>) -> Vec<Tap> {
    let found = places.in_order(&site.draws, |d| &d.at, faults);
    let tap = |(station_m, _, draw): (f64, usize, &Draw)| Tap {
        station_m,
        flow_m3_per_s: draw.flow_m3_per_s,
    };
    found.into_iter().map(tap).collect()
}

/// Ground by reach, in order.
pub(super) fn ground(
    site: &Site,
    places: &PlaceFinder<'_>,
    faults: &mut Vec<Fault>,
) -> Vec<Ground> {
    in_order("ground", &site.ground, |g| (&g.from, &g.to), places, faults)
        .into_iter()
        .map(|(from_m, to_m, reach)| Ground {
            from_m,
            to_m,
            soil: reach.soil,
            friction: reach.friction,
            dig: reach.dig.unwrap_or(Dig::Easy),
        })
        .collect()
}

/// Floods by reach, in order.
pub(super) fn floods(site: &Site, places: &PlaceFinder<'_>, faults: &mut Vec<Fault>) -> Vec<Flood> {
    in_order("flood", &site.floods, |f| (&f.from, &f.to), places, faults)
        .into_iter()
        .map(|(from_m, to_m, reach)| Flood {
            from_m,
            to_m,
            speed_m_per_s: reach.speed_m_per_s,
            depth_m: reach.depth_m,
            debris: reach.debris.unwrap_or(Debris::None),
        })
        .collect()
}

/// Reaches that must stay, in order.
pub(super) fn fixed(
    site: &Site,
    places: &PlaceFinder<'_>,
    faults: &mut Vec<Fault>,
) -> Vec<(f64, f64)> {
    let mut out: Vec<(f64, f64)> = site
        .fixed
        .iter()
        .filter_map(|(from, to)| ends(from, to, places, faults))
        .collect();
    out.sort_by(|a, b| a.0.total_cmp(&b.0));
    out
}
