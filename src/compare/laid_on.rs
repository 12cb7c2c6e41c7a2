use super::alignment::Alignment;
use super::seam::Seam;
use crate::heights::{Backed, Heights};
use crate::numeric::series::interpolate;
use crate::numeric::{math, series};
use crate::route::{Bend, Node, Plan, Reckoning, Route};

/// The line as it lies now, in the earlier survey's own reckoning: the later survey where it covers the line, the earlier one elsewhere.
///
/// Offsets and drift are taken out of the later heights, so a fitting or peg of the earlier survey stands at the same station in its own reckoning. Draws are
/// paired; where the two meet no step is left, draw by draw: a step between two walks would be a climb, or a fall, that nobody saw.
pub fn laid_on(before: &Route, after: &Route, alignment: &Alignment) -> Route {
    let mut nodes: Vec<(Node, HeightSource)> = Vec::new();
    let outside =
        |n: &&Node| n.station_m < alignment.from_m - 0.5 || n.station_m > alignment.to_m + 0.5;
    nodes.extend(
        before
            .nodes
            .iter()
            .filter(outside)
            .map(|n| (*n, HeightSource::Before(n.station_m))),
    );
    let own = Reckoning::of(before);
    let feet: Vec<(f64, f64)> = alignment
        .matched
        .iter()
        .map(|m| (m.after_m, m.before_m))
        .collect();
    let (at, to): (Vec<f64>, Vec<f64>) = feet.into_iter().unzip();
    let whole = after.length_m();
    let (Some(first), Some(last)) = (at.first().copied(), at.last().copied()) else {
        return before.clone();
    };
    for node in &after.nodes {
        let along = if alignment.turned {
            whole - node.station_m
        } else {
            node.station_m
        };
        if along < first - 1e-6 || along > last + 1e-6 {
            continue;
        }
        let before_m = interpolate(&at, &to, along);
        nodes.push((
            Node {
                station_m: before_m,
                on_pegs: own.on_pegs(before_m),
                plan: node.plan.and_then(|p| moved_plan(before, p, alignment)),
                ..*node
            },
            HeightSource::After {
                own_m: node.station_m,
                before_m,
            },
        ));
    }
    // The ends of the pipe stay: stations that part by a decimetre must not cut it short.
    for (node, edge_m) in [
        (before.nodes.first(), alignment.from_m),
        (before.nodes.last(), alignment.to_m),
    ] {
        let Some(node) = node.filter(|n| (n.station_m - edge_m).abs() <= 0.5) else {
            continue;
        };
        if !nodes
            .iter()
            .any(|(n, _)| (n.station_m - node.station_m).abs() < 0.05)
        {
            let own_m = own_station(after, alignment, node.station_m);
            let before_m = node.station_m;
            nodes.push((*node, HeightSource::After { own_m, before_m }));
        }
    }
    nodes.sort_by(|a, b| a.0.station_m.total_cmp(&b.0.station_m));
    nodes.dedup_by(|b, a| b.0.station_m - a.0.station_m < 0.05);
    let heights = heights(before, after, alignment, &nodes);
    joined(before, after, alignment, nodes, heights)
}

/// Where a node's height comes from.
#[derive(Clone, Copy)]
enum HeightSource {
    Before(f64),
    After { own_m: f64, before_m: f64 },
}

/// A position of the later survey in the earlier one's frame: its latitude and longitude as they are, its grid by the fit.
fn moved_plan(before: &Route, plan: Plan, alignment: &Alignment) -> Option<Plan> {
    let motion = alignment.motion?;
    let earth = |r: &Route| {
        r.nodes
            .iter()
            .all(|n| n.plan.is_some_and(|p| p.lat_lon_deg.is_some()))
    };
    if plan.lat_lon_deg.is_some() && earth(before) {
        let first = before.nodes.first()?.plan?;
        let (lat, lon) = first.lat_lon_deg?;
        let plane = crate::earth::Plane::new(crate::earth::LatLon::new(lat, lon), 0.0);
        let (here, there) = plan.lat_lon_deg?;
        let [east, north, _] = plane.local(crate::earth::LatLon::new(here, there), 0.0);
        let (e, n) = motion.of((east, north));
        return Some(Plan {
            east_m: first.east_m + e,
            north_m: first.north_m + n,
            lat_lon_deg: plan.lat_lon_deg,
        });
    }
    let (east_m, north_m) = motion.of((plan.east_m, plan.north_m));
    Some(Plan {
        east_m,
        north_m,
        lat_lon_deg: None,
    })
}

/// Heights on the new nodes, means and draws.
fn heights(
    before: &Route,
    after: &Route,
    alignment: &Alignment,
    nodes: &[(Node, HeightSource)],
) -> Heights {
    let seams = Seam::of(before, after, alignment);
    let line = |a: &[f64], b: &[f64], fit: &Fit| -> Vec<f64> {
        let earlier = |s: f64| interpolate(&before.heights.station_m, a, s);
        let later =
            |own_m: f64, s: f64| interpolate(&after.heights.station_m, b, own_m) - fit.at(s);
        let steps: Vec<(Seam, f64)> = seams
            .iter()
            .map(|seam| {
                let own_m = own_station(after, alignment, seam.at_m);
                (*seam, later(own_m, seam.at_m) - earlier(seam.at_m))
            })
            .collect();
        nodes
            .iter()
            .map(|(_, source)| match source {
                HeightSource::Before(s) => {
                    let out: f64 = steps.iter().map(|(x, m)| x.outside_m(*s, *m)).sum();
                    earlier(*s) + out
                }
                HeightSource::After { own_m, before_m } => {
                    let off: f64 = steps.iter().map(|(x, m)| x.inside_m(*before_m, *m)).sum();
                    later(*own_m, *before_m) - off
                }
            })
            .collect()
    };
    let fit = |a: &[f64], b: &[f64]| Fit::of(before, after, alignment, a, b);
    let mean_m = line(
        &before.heights.mean_m,
        &after.heights.mean_m,
        &fit(&before.heights.mean_m, &after.heights.mean_m),
    );
    let count = before.heights.draws.len().max(after.heights.draws.len());
    let draw = |h: &Heights, k: usize| -> Option<Vec<f64>> {
        if h.draws.is_empty() {
            Some(h.mean_m.clone())
        } else {
            h.draws.get(k % h.draws.len()).cloned()
        }
    };
    let draws: Vec<Vec<f64>> = (0..count)
        .filter_map(|k| {
            let (a, b) = (draw(&before.heights, k)?, draw(&after.heights, k)?);
            Some(line(&a, &b, &fit(&a, &b)))
        })
        .collect();
    let sd_of = |values: &mut dyn Iterator<Item = f64>, mean: f64| {
        let (mut sum, mut n) = (0.0, 0.0_f64);
        for v in values {
            sum += math::powi(v - mean, 2);
            n += 1.0;
        }
        if n > 1.0 { (sum / n).sqrt() } else { 0.0 }
    };
    let sd_m = mean_m
        .iter()
        .enumerate()
        .map(|(i, m)| sd_of(&mut draws.iter().filter_map(|d| d.get(i).copied()), *m))
        .collect();
    let drop = |d: &[f64]| series::first(d) - series::last(d);
    let drop_sd_m = sd_of(&mut draws.iter().map(|d| drop(d)), drop(&mean_m));
    Heights {
        station_m: nodes.iter().map(|(n, _)| n.station_m).collect(),
        mean_m,
        sd_m,
        draws,
        drop_sd_m,
        walks: match (before.heights.walks, after.heights.walks) {
            (0, n) | (n, 0) => n,
            (a, b) => a.min(b),
        },
        backed: backed(before, after, alignment),
    }
}

/// What backs the line as it lies: where the later survey covers it, that one's own; elsewhere the earlier one's.
fn backed(before: &Route, after: &Route, alignment: &Alignment) -> Backed {
    let (from_m, to_m) = (alignment.from_m, alignment.to_m);
    let end_m = series::last(&before.heights.station_m);
    let whole_m = series::last(&after.heights.station_m);
    let at: Vec<f64> = alignment.matched.iter().map(|m| m.after_m).collect();
    let to: Vec<f64> = alignment.matched.iter().map(|m| m.before_m).collect();
    let on_earlier = |own_m: f64| {
        let along = if alignment.turned {
            whole_m - own_m
        } else {
            own_m
        };
        interpolate(&at, &to, along)
    };
    let of = |heights: &Heights, own: &Backed, a: f64, b: f64| {
        if heights.walks == 1 || !own.without.is_empty() {
            own.cut(a, b, 0.0)
        } else {
            Backed {
                reaches_m: vec![(a, b)],
                ..Backed::default()
            }
        }
    };
    let earlier = &before.heights;
    let mut out = of(earlier, &earlier.backed, 0.0, from_m);
    out.join(of(earlier, &earlier.backed, to_m, end_m));
    let later = after.heights.backed.onto(on_earlier);
    out.join(of(&after.heights, &later, from_m, to_m));
    out
}

/// Station of the later survey, in its own direction, at a station of the earlier one, m.
fn own_station(after: &Route, alignment: &Alignment, before_m: f64) -> f64 {
    let along = alignment.after_m(before_m);
    if alignment.turned {
        after.length_m() - along
    } else {
        along
    }
}

/// What is taken off the later heights along the line, in one pair of draws.
struct Fit {
    offset_m: f64,
    per_m: f64,
}

impl Fit {
    /// The offset between this pair of draws is the middle of its differences, as for the means; the drift is the means'.
    fn of(before: &Route, after: &Route, alignment: &Alignment, a: &[f64], b: &[f64]) -> Self {
        if alignment.height_offset_sd_m == 0.0 {
            return Self {
                offset_m: alignment.height_offset_m,
                per_m: alignment.height_drift,
            };
        }
        let whole = after.length_m();
        let thin = (alignment.matched.len() / 200).max(1);
        let off: Vec<f64> = alignment
            .matched
            .iter()
            .step_by(thin)
            .map(|m| {
                let own = if alignment.turned {
                    whole - m.after_m
                } else {
                    m.after_m
                };
                interpolate(&after.heights.station_m, b, own)
                    - interpolate(&before.heights.station_m, a, m.before_m)
                    - alignment.height_drift * m.before_m
            })
            .collect();
        Self {
            offset_m: crate::numeric::median(&off),
            per_m: alignment.height_drift,
        }
    }

    fn at(&self, before_m: f64) -> f64 {
        self.offset_m + self.per_m * before_m
    }
}

/// The route from its parts: stations are the earlier survey's, because what stands on the pipe was told in them.
fn joined(
    before: &Route,
    after: &Route,
    alignment: &Alignment,
    nodes: Vec<(Node, HeightSource)>,
    heights: Heights,
) -> Route {
    let mut route = Route {
        heights,
        bends: bends(before, after, alignment),
        length_sd_m: before.length_sd_m.max(after.length_sd_m),
        station_sd_m: before.station_sd_m.max(after.station_sd_m),
        method: if before.method == after.method {
            before.method
        } else {
            Some(crate::reading::Method::Mixed)
        },
        files: after.files.clone(),
        points_read: after.points_read,
        points_used: nodes.len(),
        passes: before.passes.min(after.passes),
        followed: Vec::new(),
        receiver: after.receiver.clone(),
        reversed: before.reversed,
        misclosure: after.misclosure.or(before.misclosure),
        places: before.places.clone(),
        terrain_model: before.terrain_model || after.terrain_model,
        tied: before.tied && after.tied,
        unrecorded: before.unrecorded.clone(),
        // The line as it lies is put together from both: what each witness says stands in the surveys themselves.
        witnesses: Vec::new(),
        remarks: after.remarks.clone(),
        nodes: nodes.into_iter().map(|(n, _)| n).collect(),
    };
    let levels: Vec<(f64, f64)> = before
        .nodes
        .iter()
        .map(|n| (n.station_m, n.horizontal_m))
        .collect();
    let (at, level): (Vec<f64>, Vec<f64>) = levels.into_iter().unzip();
    for node in &mut route.nodes {
        node.horizontal_m = interpolate(&at, &level, node.station_m);
    }
    route
}

/// Bends of the later survey where it covers the line, of the earlier one elsewhere.
fn bends(before: &Route, after: &Route, alignment: &Alignment) -> Vec<Bend> {
    // A book without bearings sees no turn in plan: the earlier survey's bends are kept.
    if alignment.motion.is_none() {
        return before.bends.clone();
    }
    let covered = |s: f64| s >= alignment.from_m && s <= alignment.to_m;
    let at: Vec<f64> = alignment.matched.iter().map(|m| m.after_m).collect();
    let to: Vec<f64> = alignment.matched.iter().map(|m| m.before_m).collect();
    let length = after.length_m();
    let mut out: Vec<Bend> = before
        .bends
        .iter()
        .copied()
        .filter(|b| !covered(b.station_m))
        .collect();
    out.extend(after.bends.iter().map(|b| {
        let along = if alignment.turned {
            length - b.station_m
        } else {
            b.station_m
        };
        Bend {
            station_m: interpolate(&at, &to, along),
            ..*b
        }
    }));
    out.sort_by(|a, b| a.station_m.total_cmp(&b.station_m));
    out
}
