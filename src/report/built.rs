//! What lies where, after laying: pipes, joints, fittings and devices down the line, by the survey that was made of them.

use crate::line::{Geometry, Line};
use crate::words::{joint_label, kind_label, label};

/// One thing that lies or stands.
#[derive(Debug, Clone, PartialEq)]
pub struct AsBuilt {
    /// Where, m.
    pub station_m: f64,
    /// What.
    pub what: String,
    /// What the user calls it, or which pipe.
    pub name: String,
}

/// Everything that was declared as laid or standing, down the line; empty where no record is asked for or a pipe is not laid yet.
pub fn built(line: &Line) -> Vec<AsBuilt> {
    if line.works.record.is_none()
        || line.reaches.is_empty()
        || line.reaches.iter().any(|r| !r.is_laid)
    {
        return Vec::new();
    }
    let one = |station_m: f64, what: &str, name: &str| AsBuilt {
        station_m,
        what: what.to_owned(),
        name: name.to_owned(),
    };
    let mut out: Vec<AsBuilt> = Vec::new();
    for reach in &line.reaches {
        out.push(one(reach.from_m, "start of pipe", &reach.pipe.spec));
        out.extend(
            reach
                .joints_at_m
                .iter()
                .map(|s| one(*s, "joint", joint_label(reach.joint))),
        );
        out.push(one(reach.to_m, "end of pipe", &reach.pipe.spec));
    }
    out.extend(
        line.fittings
            .iter()
            .map(|f| one(f.station_m, f.kind.name(), &f.name)),
    );
    let stands = line
        .stands
        .iter()
        .filter(|s| s.state != crate::pipe::WorkingState::Planned);
    out.extend(stands.map(|s| {
        let what = s
            .device
            .map_or_else(|| kind_label(s.kind), |d| label(d.word()));
        one(s.station_m, what, &s.name)
    }));
    out.sort_by(|a, b| a.station_m.total_cmp(&b.station_m));
    out
}

/// Standard deviation of the height at a station, m: of the next one of the grid.
pub fn sd_m(geometry: &Geometry, station_m: f64) -> Option<f64> {
    let next = geometry
        .heights
        .station_m
        .partition_point(|s| *s < station_m - 1e-9);
    geometry
        .heights
        .sd_m
        .get(next)
        .or(geometry.heights.sd_m.last())
        .copied()
}
