use super::heights::FollowedWalk;
use super::receiver::Class;
use super::{Backed, Witness};
use crate::numeric::series::interpolate;
use crate::survey::{Method, Misclosure, Source};
use crate::text::Remark;
use crate::unit::OnPegs;

/// The surveyed line, in order from the intake down.
///
/// Stations run along the line on the slope. Heights are of what was surveyed, brought to the pipe's centre by `line`.
#[derive(Debug, Clone, Default, PartialEq)]
#[non_exhaustive]
pub struct Route {
    /// Points along the line, at least two, stations strictly rising from 0.
    pub nodes: Vec<Node>,
    /// Heights with their doubt, on the nodes.
    pub heights: Heights,
    /// Bends that stand above their doubt.
    pub bends: Vec<Bend>,
    /// Standard deviation of the length along the line, m.
    pub length_sd_m: f64,
    /// Standard deviation of a station, m (the plan's doubt along the line).
    pub station_sd_m: f64,
    /// How it was surveyed.
    pub method: Option<Method>,
    /// The files it was made from.
    pub files: Vec<Source>,
    /// Points in the files.
    pub points_read: usize,
    /// Points that the line rests on.
    pub points_used: usize,
    /// Walks over the line.
    pub passes: usize,
    /// The walks behind the heights: their readings on this line's stations, and how they err. Empty for a book.
    pub followed: Vec<FollowedWalk>,
    /// How likely each class of receivers is, by how the walks' heights err. Empty for a book and for heights of a terrain model.
    pub receiver: Vec<(Class, f64)>,
    /// Whether the survey ran uphill and was turned.
    pub reversed: bool,
    /// Misclosure of the book.
    pub misclosure: Option<Misclosure>,
    /// Named places brought onto the line.
    pub places: Vec<StationedPlace>,
    /// Heights look copied from a terrain model.
    pub terrain_model: bool,
    /// A book whose heights hang on a known height, not on a datum of its own.
    pub tied: bool,
    /// Stretches from one recorded height to the next, far apart, m: what lies between was not surveyed.
    pub unrecorded: Vec<(f64, f64)>,
    /// What each walk or book says by itself, on the same stations.
    pub witnesses: Vec<Witness>,
    /// What was done or noticed on the way.
    pub remarks: Vec<Remark>,
}

/// A point along the line.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Node {
    /// Along the line from the intake, m.
    pub station_m: f64,
    /// Level distance from the intake along the plan, m.
    pub horizontal_m: f64,
    /// The same point on the survey's pegs.
    pub on_pegs: OnPegs,
    /// Position, where the survey has one.
    pub plan: Option<Plan>,
    /// Whether it was surveyed (else filled in between).
    pub surveyed: bool,
}

/// Position in plan.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Plan {
    /// East of the first point on a local grid, m.
    pub east_m: f64,
    /// North of the first point, m.
    pub north_m: f64,
    /// Latitude and longitude, degrees, where the survey is tied to the earth.
    pub lat_lon_deg: Option<(f64, f64)>,
}

/// Heights on stations as a joint posterior: means, standard deviations and draws from it.
///
/// `draws` holds equally likely lines, each one height a station; their share answers every question of "how sure".
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Heights {
    /// Stations, m, strictly rising.
    pub station_m: Vec<f64>,
    /// Posterior mean, m.
    pub mean_m: Vec<f64>,
    /// Posterior standard deviation of the height itself, m (relative to the datum).
    pub sd_m: Vec<f64>,
    /// Equally likely lines: `draws[k][i]` is the height at station i in draw k, m.
    pub draws: Vec<Vec<f64>>,
    /// Standard deviation of the drop from the first to the last station, m.
    pub drop_sd_m: f64,
    /// Passes behind the heights. 0 for a book.
    pub walks: usize,
    /// Where no walk stands alone. Elsewhere none makes a climb certain, for nothing but a model of its errors parts them from ground.
    pub backed: Backed,
}

/// A bend of the route that stands above its doubt.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bend {
    /// Where, m along the line.
    pub station_m: f64,
    /// Deflection in plan, rad, positive to the left (anticlockwise seen from above).
    pub plan_rad: f64,
    /// Deflection in profile, rad, positive where the pipe turns upward.
    pub profile_rad: f64,
    /// Angle in space between the legs, rad, 0 to pi.
    pub angle_rad: f64,
    /// Standard deviation of that angle, rad.
    pub sd_rad: f64,
    /// Length over which it turns, m; 0 for a sharp bend at a surveyed point.
    pub over_m: f64,
}

/// A named place brought onto the line.
#[derive(Debug, Clone, PartialEq)]
pub struct StationedPlace {
    /// Free text from the file.
    pub name: String,
    /// Where, m along the line.
    pub station_m: f64,
    /// How far off the line it lies, m.
    pub off_m: f64,
}

impl Heights {
    /// How sure a verdict on these heights has to be: a single walk sees its own drift as ground.
    pub fn sure(&self) -> f64 {
        if self.walks == 1 { 0.95 } else { 0.90 }
    }

    /// Whether a climb from a low to a crest, m, rests on more than one walk with a receiver alone.
    pub fn backed_between(&self, low_m: f64, crest_m: f64) -> bool {
        let rise_m = self.at(crest_m) - self.at(low_m);
        self.backed.between(low_m, crest_m, rise_m)
            || (self.walks != 1 && self.backed.without_any(low_m, crest_m, rise_m).is_none())
    }

    /// The middle line without each one of several walks: the index of the first station that it reaches, and heights from there on, m.
    pub fn without_each(&self) -> impl Iterator<Item = (usize, Vec<f64>)> + '_ {
        self.backed.without.iter().map(|line| {
            let on = self.station_m.iter().zip(&self.mean_m);
            let heights = on.map(|(&s, z)| line.off(s, 0.0).map(|off| z + off));
            let first = heights.clone().take_while(Option::is_none).count();
            (first, heights.flatten().collect())
        })
    }

    /// Mean height at a station, m: straight between stations, held at the ends.
    pub fn at(&self, station_m: f64) -> f64 {
        interpolate(&self.station_m, &self.mean_m, station_m)
    }

    /// Standard deviation at a station, m: straight between stations.
    pub fn sd_at(&self, station_m: f64) -> f64 {
        interpolate(&self.station_m, &self.sd_m, station_m)
    }

    /// The same posterior on other stations: means, sd and each draw straight between its own stations.
    #[must_use]
    pub fn on(&self, station_m: &[f64]) -> Self {
        // Where each new station lies between the old ones is the same for every draw: found once.
        let between: Vec<(usize, f64)> = station_m
            .iter()
            .map(|&s| between(&self.station_m, s))
            .collect();
        let each = |values: &[f64]| {
            between
                .iter()
                .map(|&(below, share)| {
                    let low = values.get(below).copied().unwrap_or(0.0);
                    let high = values.get(below + 1).copied().unwrap_or(low);
                    low + share * (high - low)
                })
                .collect::<Vec<f64>>()
        };
        Self {
            station_m: station_m.to_vec(),
            mean_m: each(&self.mean_m),
            sd_m: each(&self.sd_m),
            draws: self.draws.iter().map(|d| each(d)).collect(),
            drop_sd_m: self.drop_sd_m,
            walks: self.walks,
            backed: self.backed.clone(),
        }
    }
}

/// The point below a place and the share of the way to the next one; held at the ends.
fn between(at: &[f64], x: f64) -> (usize, f64) {
    let above = at.partition_point(|&s| s < x);
    let Some(below) = above.checked_sub(1) else {
        return (0, 0.0);
    };
    match (at.get(below), at.get(above)) {
        (Some(a), Some(b)) if b > a => (below, (x - a) / (b - a)),
        _ => (below, 0.0),
    }
}
