use super::RegradeKind;
use super::fall::{FallProblem, MoveCost};
use crate::line::Line;
use crate::numeric::series;
use crate::numeric::{AtMost, Programme};
use crate::pipe::{InBend, least_radius_m};
use std::ops::Range;

/// Most stations that are worked out at once.
const MOST: usize = 220;
/// How far a reach is widened at first, m, so that a stiff pipe can come down to the cut.
const WIDER_M: f64 = 12.0;
/// Stations that lie on a straight line between their neighbours within this are left out of the programme, m.
const STRAIGHT_M: f64 = 0.002;
/// A pipe that is not to be bent still takes so much at a joint, rad (half a degree; our judgement).
const STRAIGHT_RAD: f64 = 0.009;

/// What a plan must keep beside the fall.
pub(super) struct PlanLimits {
    /// Largest change of slope at each station beside what is there, rad.
    bend_rad: Vec<f64>,
    deepest_m: Option<f64>,
    highest_m: Option<f64>,
}

impl PlanLimits {
    pub(super) fn of(line: &Line, kind: RegradeKind) -> Self {
        let station = &line.geometry.heights.station_m;
        let first = series::first(station);
        let last = series::last(station);
        let before = std::iter::once(first).chain(station.iter().copied());
        let after = station.iter().copied().skip(1).chain(std::iter::once(last));
        let bend_rad = station
            .iter()
            .zip(before.zip(after))
            .map(|(&s, (a, b))| {
                let radius = line.reaches.at(s).and_then(|r| {
                    least_radius_m(&r.pipe, line.environment.water.coldest_c, InBend::Pipe)
                });
                radius.map_or(STRAIGHT_RAD, |r| 0.5 * (b - a) / r.value.max(1e-3))
            })
            .collect();
        Self {
            bend_rad,
            deepest_m: line
                .wishes
                .regrade
                .deepest_m
                .filter(|_| kind != RegradeKind::Prop),
            highest_m: line
                .wishes
                .regrade
                .highest_m
                .filter(|_| kind != RegradeKind::Dig),
        }
    }

    /// Stations where a line bends more than the pipe may and more than it does now.
    pub(super) fn too_tight(&self, ground: &FallProblem<'_>, wanted_m: &[f64]) -> Vec<f64> {
        let now = turns(ground.station_m, ground.height_m);
        turns(ground.station_m, wanted_m)
            .iter()
            .zip(&now)
            .zip(self.bend_rad.iter().zip(ground.station_m))
            .filter(|((turn, now), (limit, _))| turn.abs() > limit.max(now.abs()) + 1e-4)
            .map(|(_, (_, s))| *s)
            .collect()
    }

    fn too_far(&self, ground: &FallProblem<'_>, wanted_m: &[f64]) -> bool {
        ground.height_m.iter().zip(wanted_m).any(|(z, y)| {
            self.deepest_m.is_some_and(|d| z - y > d + 1e-6)
                || self.highest_m.is_some_and(|h| y - z > h + 1e-6)
        })
    }
}

/// Change of slope at each station, rad, positive where the line turns upward; 0 at the ends.
fn turns(station_m: &[f64], height_m: &[f64]) -> Vec<f64> {
    let slopes: Vec<f64> = station_m
        .iter()
        .zip(height_m)
        .zip(station_m.iter().zip(height_m).skip(1))
        .map(|((s0, z0), (s1, z1))| ((z1 - z0) / (s1 - s0).max(1e-9)).clamp(-20.0, 20.0))
        .collect();
    let inner = slopes.iter().zip(slopes.iter().skip(1)).map(|(a, b)| b - a);
    let mut out: Vec<f64> = std::iter::once(0.0).chain(inner).collect();
    out.resize(station_m.len(), 0.0);
    out
}

/// The free plan where it keeps the limits; else the cheapest that does, worked out by a linear programme over each reach that changes.
///
/// A reach for which there is none even when it is widened over its neighbours keeps the free plan: what is then too tight or too deep is told by the caller.
pub(super) fn keep(
    ground: &FallProblem<'_>,
    prices: &[MoveCost],
    limits: &PlanLimits,
    kind: RegradeKind,
    free_m: Vec<f64>,
) -> Vec<f64> {
    if limits.too_tight(ground, &free_m).is_empty() && !limits.too_far(ground, &free_m) {
        return free_m;
    }
    let mut wanted = free_m;
    let mut from = 0;
    while let Some(window) = next_changed(ground, &wanted, from) {
        from = window.end;
        let part = |y: &[f64]| {
            !limits.too_tight(ground, y).iter().any(|s| {
                let at = ground.station_m.partition_point(|x| x < s);
                window.contains(&at)
            })
        };
        if part(&wanted) && !limits.too_far(ground, &wanted) {
            continue;
        }
        let mut wider = WIDER_M;
        for _ in 0..4 {
            let window = widened(ground, &wanted, &window, wider);
            wider *= 2.0;
            if let Some(solved) = solve(ground, prices, limits, kind, &window) {
                from = from.max(window.end.saturating_sub(1));
                for (slot, y) in wanted.iter_mut().skip(window.start).zip(solved) {
                    *slot = y;
                }
                break;
            }
        }
    }
    wanted
}

/// The next run of stations that change, with one station on each side.
fn next_changed(ground: &FallProblem<'_>, wanted_m: &[f64], from: usize) -> Option<Range<usize>> {
    let first = (from..wanted_m.len()).find(|&i| changed(ground, wanted_m, i))?;
    Some(at_rest(
        ground,
        wanted_m,
        first.saturating_sub(1)..first + 1,
    ))
}

/// Whether the plan moves a station.
fn changed(ground: &FallProblem<'_>, wanted_m: &[f64], i: usize) -> bool {
    ground
        .height_m
        .get(i)
        .zip(wanted_m.get(i))
        .is_some_and(|(z, y)| (z - y).abs() > 1e-6)
}

/// A window with its ends moved outward to where the plan leaves two stations in a row as they are.
/// One alone is the height that a pool was levelled to, in the middle of it.
fn at_rest(ground: &FallProblem<'_>, wanted_m: &[f64], window: Range<usize>) -> Range<usize> {
    let moves = |i: usize| changed(ground, wanted_m, i);
    let (mut start, mut last) = (window.start, window.end.saturating_sub(1));
    while start > 0 && (moves(start) || moves(start - 1)) {
        start -= 1;
    }
    while last + 1 < wanted_m.len() && (moves(last) || moves(last + 1)) {
        last += 1;
    }
    start..last + 1
}

fn widened(
    ground: &FallProblem<'_>,
    wanted_m: &[f64],
    window: &Range<usize>,
    by_m: f64,
) -> Range<usize> {
    let station_m = ground.station_m;
    let at = |i: usize| series::at(station_m, i);
    let (a, b) = (at(window.start), at(window.end.saturating_sub(1)));
    let wider =
        station_m.partition_point(|s| *s < a - by_m)..station_m.partition_point(|s| *s <= b + by_m);
    at_rest(ground, wanted_m, wider)
}

/// Stations of a window that carry its shape: those left out lie straight between their neighbours.
fn nodes(ground: &FallProblem<'_>, window: &Range<usize>) -> Vec<usize> {
    let point = |i: usize| {
        (
            series::at(ground.station_m, i),
            series::at(ground.height_m, i),
        )
    };
    let held = |i: usize| ground.held.get(i).copied().unwrap_or(false);
    let last = window.end.saturating_sub(1);
    let mut out = vec![window.start];
    for i in window.start + 1..last {
        let start = out.last().copied().unwrap_or(window.start);
        let ((s0, z0), (s1, z1)) = (point(start), point(i + 1));
        let straight = (start + 1..=i).all(|j| {
            let (s, z) = point(j);
            (z0 + (z1 - z0) * (s - s0) / (s1 - s0).max(1e-9) - z).abs() <= STRAIGHT_M
        });
        // A straight pipe is still cut somewhere along its length: every two metres it may bend.
        if !straight || held(i) || s1 - s0 > 2.0 {
            out.push(i);
        }
    }
    out.push(last);
    out
}

/// The cheapest line over a window that falls, bends and stays within the limits, and meets the line outside in height and slope; `None` where there is none.
fn solve(
    ground: &FallProblem<'_>,
    prices: &[MoveCost],
    limits: &PlanLimits,
    kind: RegradeKind,
    window: &Range<usize>,
) -> Option<Vec<f64>> {
    if window.len() < 3 {
        return None;
    }
    let nodes = nodes(ground, window);
    if nodes.len() > MOST {
        return None;
    }
    let programme = StationWindow {
        ground,
        prices,
        limits,
        kind,
        nodes: &nodes,
    }
    .programme()?;
    let best = programme.solve().ok()?;
    let count = nodes.len();
    let height: Vec<(f64, f64)> = nodes
        .iter()
        .enumerate()
        .map(|(k, &i)| {
            let dug = series::at(&best.x, k);
            let propped = series::at(&best.x, count + k);
            let z = series::at(ground.height_m, i);
            let s = series::at(ground.station_m, i);
            (s, z - dug + propped)
        })
        .collect();
    let (at, values): (Vec<f64>, Vec<f64>) = height.into_iter().unzip();
    let stations = ground.station_m.get(window.clone())?;
    Some(
        stations
            .iter()
            .map(|&s| crate::numeric::series::interpolate(&at, &values, s))
            .collect(),
    )
}

struct StationWindow<'a> {
    ground: &'a FallProblem<'a>,
    prices: &'a [MoveCost],
    limits: &'a PlanLimits,
    kind: RegradeKind,
    nodes: &'a [usize],
}

impl StationWindow<'_> {
    fn station(&self, i: usize) -> f64 {
        series::at(self.ground.station_m, i)
    }

    fn height(&self, i: usize) -> f64 {
        series::at(self.ground.height_m, i)
    }

    /// Unknowns: how far each node is dug, then how far it is propped.
    fn programme(&self) -> Option<Programme> {
        let count = self.nodes.len();
        let mut programme = Programme {
            cost: vec![0.0; 2 * count],
            rows: Vec::new(),
        };
        for (k, &i) in self.nodes.iter().enumerate() {
            // A node carries the price of the stations up to half-way to its neighbours.
            let from = k
                .checked_sub(1)
                .and_then(|p| self.nodes.get(p))
                .map_or(i, |p| (p + i).div_ceil(2));
            let to = self.nodes.get(k + 1).map_or(i, |n| (i + n) / 2).max(from);
            let (mut dig, mut prop) = (0.0, 0.0);
            for price in self.prices.get(from..=to)? {
                dig += price.dig;
                prop += price.prop;
            }
            *programme.cost.get_mut(k)? = dig.max(1e-9);
            *programme.cost.get_mut(count + k)? = prop.max(1e-9);
            self.bound_node(&mut programme, k, i);
        }
        self.fall(&mut programme);
        self.bend(&mut programme);
        Some(programme)
    }

    /// Ends and held stations stay; digging and propping only as the plan's kind and limits allow.
    fn bound_node(&self, programme: &mut Programme, k: usize, i: usize) {
        let count = self.nodes.len();
        let is_end = k == 0 || k + 1 == count;
        let held = is_end || self.ground.held.get(i).copied().unwrap_or(false);
        let dig = if held || self.kind == RegradeKind::Prop {
            Some(0.0)
        } else {
            self.limits.deepest_m
        };
        let prop = if held || self.kind == RegradeKind::Dig {
            Some(0.0)
        } else {
            self.limits.highest_m
        };
        for (at, most) in [(k, dig), (count + k, prop)] {
            if let Some(most) = most {
                programme.rows.push(AtMost {
                    shares: vec![(at, 1.0)],
                    most,
                });
            }
        }
    }

    /// Height at node k as shares of the unknowns, times a factor.
    fn height_shares(&self, k: usize, factor: f64) -> [(usize, f64); 2] {
        [(k, -factor), (self.nodes.len() + k, factor)]
    }

    fn fall(&self, programme: &mut Programme) {
        for (k, pair) in self.nodes.windows(2).enumerate() {
            let [i, j] = pair else { continue };
            let length = self.station(*j) - self.station(*i);
            // z_j + change_j - z_i - change_i <= -grade * length
            let mut shares = Vec::with_capacity(4);
            shares.extend(self.height_shares(k + 1, 1.0));
            shares.extend(self.height_shares(k, -1.0));
            programme.rows.push(AtMost {
                shares,
                most: self.height(*i) - self.height(*j) - self.ground.least_fall * length,
            });
        }
    }

    /// At each node the change of slope, up or down, within what the pipe may and at least what is there now; at the ends against the line outside.
    fn bend(&self, programme: &mut Programme) {
        for (k, &i) in self.nodes.iter().enumerate() {
            let before = match k.checked_sub(1) {
                Some(p) => self.nodes.get(p).map(|&n| (n, Some(p))),
                None => i.checked_sub(1).map(|n| (n, None)),
            };
            let after = match self.nodes.get(k + 1) {
                Some(&n) => Some((n, Some(k + 1))),
                None => (i + 1 < self.ground.station_m.len()).then_some((i + 1, None)),
            };
            let (Some((a, ka)), Some((b, kb))) = (before, after) else {
                continue;
            };
            let (ha, hb) = (
                self.station(i) - self.station(a),
                self.station(b) - self.station(i),
            );
            if ha <= 0.0 || hb <= 0.0 {
                continue;
            }
            let now =
                (self.height(b) - self.height(i)) / hb - (self.height(i) - self.height(a)) / ha;
            let limit = self.limit(a, i, b).max(now.abs());
            for sign in [1.0, -1.0] {
                let mut shares = Vec::with_capacity(6);
                shares.extend(self.height_shares(k, -sign * (1.0 / ha + 1.0 / hb)));
                if let Some(ka) = ka {
                    shares.extend(self.height_shares(ka, sign / ha));
                }
                if let Some(kb) = kb {
                    shares.extend(self.height_shares(kb, sign / hb));
                }
                programme.rows.push(AtMost {
                    shares,
                    most: limit - sign * now,
                });
            }
        }
    }

    /// What the pipe may turn between the middles of two neighbouring legs: the limits of the stations in between, summed.
    fn limit(&self, a: usize, i: usize, b: usize) -> f64 {
        let from = (a + i).div_ceil(2);
        let to = (i + b) / 2;
        let inside = self.limits.bend_rad.get(from..=to.max(from));
        let own = series::at(&self.limits.bend_rad, i);
        inside.map_or(own, |l| l.iter().sum::<f64>().max(own))
    }
}
