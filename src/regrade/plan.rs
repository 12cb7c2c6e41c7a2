use super::bound::{self, PlanLimits};
use super::fall::{FallProblem, MoveCost, cheapest, dig_only, prop_only};
use super::hold::{held, remaining};
use super::stake::stakes;
use super::sure::Sure;
use super::{RegradeKind, RegradePlan};
use crate::line::Line;
use crate::numeric::series;
use crate::pipe::Dig;

/// How much dearer hard ground is to dig than easy ground (roots and stones against loam; our judgement).
const HARD: f64 = 3.0;
/// What never to dig costs, against a price of one: more than any prop.
const NEVER: f64 = 1e6;
/// Less than this is no change, m: it cannot be set out.
const NOTHING_M: f64 = 0.002;

/// The plans that make a line fall by its least grade: mixed, by digging only, by propping only.
///
/// Both ends and the fixed reaches stay. The cost is the sum of depth (or height) times tributary length times the user's price; hard ground is three times as dear.
/// Where a plan would bend the pipe tighter than it may be bent, or dig or prop beyond the limits, it is worked out again with those as bounds; what then remains is told.
/// Empty where the mean line falls by the least grade already, or has fewer than three stations.
pub fn plans(line: &Line) -> Vec<RegradePlan> {
    let heights = &line.geometry.heights;
    if heights.station_m.len() < 3 || heights.mean_m.len() != heights.station_m.len() {
        return Vec::new();
    }
    [RegradeKind::Mixed, RegradeKind::Dig, RegradeKind::Prop]
        .into_iter()
        .filter_map(|kind| plan(line, kind))
        .collect()
}

fn plan(line: &Line, kind: RegradeKind) -> Option<RegradePlan> {
    let heights = &line.geometry.heights;
    let held = held(line, kind);
    let ground = FallProblem {
        station_m: &heights.station_m,
        height_m: &heights.mean_m,
        least_fall: line.wishes.regrade.least_grade,
        held: &held,
    };
    let prices = prices(line, kind);
    let free = match kind {
        RegradeKind::Mixed => cheapest(&ground, &prices),
        RegradeKind::Dig => dig_only(&ground),
        RegradeKind::Prop => prop_only(&ground),
    };
    let limits = PlanLimits::of(line, kind);
    let wanted_m = bound::keep(&ground, &prices, &limits, kind, free);
    let change: Vec<f64> = wanted_m
        .iter()
        .zip(&heights.mean_m)
        .map(|(w, z)| {
            if (w - z).abs() < NOTHING_M {
                0.0
            } else {
                w - z
            }
        })
        .collect();
    let remaining = remaining(line, kind, &wanted_m, &held);
    if change.iter().all(|c| *c == 0.0) && remaining.is_empty() {
        return None;
    }
    let sum = |f: fn(f64) -> f64| -> f64 {
        widths(&heights.station_m)
            .iter()
            .zip(&change)
            .map(|(w, c)| w * f(*c))
            .sum()
    };
    let sure = Sure::of(line, kind, &ground, &change, &remaining);
    Some(RegradePlan {
        kind,
        stakes: stakes(
            &line.geometry,
            &line.reaches,
            &change,
            sure.extra_m.as_deref(),
        ),
        cost: prices
            .iter()
            .zip(&change)
            .map(|(p, c)| p.dig * (-c).max(0.0) + p.prop * c.max(0.0))
            .sum(),
        dug_m2: sum(|c| (-c).max(0.0)),
        propped_m2: sum(|c| c.max(0.0)),
        deepest_m: change.iter().map(|c| -c).fold(0.0, f64::max),
        highest_m: change.iter().copied().fold(0.0, f64::max),
        too_tight_m: limits.too_tight(&ground, &wanted_m),
        remaining,
        wanted_m,
        sure: sure.share,
        sure_with_extra: sure.share_with_extra,
    })
}

/// Half the distance to the neighbours on each side, m: the length a station stands for.
fn widths(station_m: &[f64]) -> Vec<f64> {
    let first = series::first(station_m);
    let last = series::last(station_m);
    let before = std::iter::once(first).chain(station_m.iter().copied());
    let after = station_m
        .iter()
        .copied()
        .skip(1)
        .chain(std::iter::once(last));
    before.zip(after).map(|(a, b)| 0.5 * (b - a)).collect()
}

fn prices(line: &Line, kind: RegradeKind) -> Vec<MoveCost> {
    let station = &line.geometry.heights.station_m;
    station
        .iter()
        .zip(widths(station))
        .map(|(&s, width)| {
            let hard = match (line.environment.dig_at(s), kind) {
                (Dig::Easy, _) => 1.0,
                (Dig::Hard, _) => HARD,
                (Dig::Never, _) => NEVER,
            };
            MoveCost {
                dig: line.wishes.regrade.dig_price.max(0.0) * hard * width,
                prop: line.wishes.regrade.prop_price.max(0.0) * width,
            }
        })
        .collect()
}
