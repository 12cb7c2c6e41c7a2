use super::block::{BlockSite, block};
use super::buoyant::afloat;
use super::floods::floods;
use super::ground::depth_m;
use super::heat::{heat, pulls};
use super::holds::holds;
use super::jointed::jointed;
use super::pushes::pushes;
use super::slopes::slopes;
use super::steel::steel;
use super::supports::supports;
use super::{Anchor, Loads, Push, ThrustSource};
use crate::line::Line;

/// Judges what holds a line: thrusts, blocks, ends, slopes, heat, floods, supports, and all of it as things to set.
///
/// A thrust on restrained joints gets no block: the pipe carries it, and its ends are looked at instead.
pub fn judge(line: &Line, loads: &Loads) -> Anchor {
    let jointed = jointed(line, loads);
    let (pushes, curves) = pushes(line, loads, &jointed);
    let steel = steel(line, loads, &jointed);
    // a bend in profile of steel has its block by the whole list of forces
    let by_steel = |p: &Push| {
        matches!(p.at, ThrustSource::Bend | ThrustSource::Elbow(_))
            && steel
                .iter()
                .any(|s| (s.station_m - p.station_m).abs() < 0.5)
    };
    let blocks = pushes
        .iter()
        .enumerate()
        .filter(|(_, p)| (!p.restrained || p.jointed) && !p.doubtful && p.size_n > 0.0)
        .filter(|(_, p)| !by_steel(p))
        .filter_map(|(i, push)| {
            let place = BlockSite {
                soil: line.environment.soil_at(push.station_m),
                depth_m: depth_m(
                    &line.environment,
                    line.reaches.at(push.station_m),
                    push.station_m,
                ),
                outer_diameter_m: line.reaches.at(push.station_m)?.pipe.outer_diameter_m,
            };
            Some(block(i, push, place))
        })
        .collect();
    let heat = heat(line, loads);
    let mut out = Anchor {
        parting: loads.parting.clone(),
        pushes,
        blocks,
        pulls: pulls(line, loads, &heat, &jointed),
        slopes: slopes(line, &jointed),
        curves,
        jointed,
        heat,
        floods: floods(line),
        afloat: afloat(&line.reaches, &line.environment),
        supports: supports(line),
        steel,
        holds: Vec::new(),
    };
    out.holds = holds(line, &out);
    out
}
