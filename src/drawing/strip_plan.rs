//! The plan for the width of a phone: the route, north, and where each finding lies.

use super::ink::{Ink, Pen};
use super::item::{Align, Box, Item, PaperPoint, PaperSheet, Role, Text};
use super::plan_chart::{Chart, PlanView};
use super::scale::{round_step, ruling, unit_m};
use super::strip::{Badge, TYPE, WIDTH};

/// Highest that the picture may be.
const MOST: f64 = 100.0;
const EDGE: f64 = 8.0;
/// Room of the bar under the route.
const FOOT: f64 = 10.0;

/// The picture; `None` where there are fewer than two positions.
pub fn strip_plan(view: &PlanView, badges: &[Badge]) -> Option<PaperSheet> {
    if view.station_m.len() < 2 || view.station_m.len() != view.east_north_m.len() {
        return None;
    }
    let ends = |pick: fn(&(f64, f64)) -> f64| {
        let values = view.east_north_m.iter().map(pick);
        let low = values.clone().fold(f64::INFINITY, f64::min);
        (low, values.fold(f64::NEG_INFINITY, f64::max))
    };
    let ((west, east), (south, north)) = (ends(|p| p.0), ends(|p| p.1));
    let (wide, high) = ((east - west).max(1.0), (north - south).max(1.0));
    let mm_per_m = ((WIDTH - 2.0 * EDGE) / wide).min((MOST - 2.0 * EDGE) / high);
    if !(mm_per_m.is_finite() && mm_per_m > 0.0) {
        return None;
    }
    let bottom = high * mm_per_m + EDGE;
    let chart = Chart {
        area: Box {
            left: 0.5 * (WIDTH - wide * mm_per_m),
            top: EDGE,
            right: WIDTH - EDGE,
            bottom,
        },
        west_m: west,
        south_m: south,
        mm_per_m,
    };
    let mut items: Vec<Item> = badges
        .iter()
        .map(|badge| Item::Spot {
            id: format!("plan-F{}", badge.number),
            items: vec![Item::line(
                route(view, &chart, badge.from_m, badge.to_m),
                Pen::new(Ink::FOUND_EDGE, 3.2),
            )],
        })
        .collect();
    for reach in &view.reaches {
        let ink = if reach.certain { Ink::AIR } else { Ink::UNSURE };
        items.push(Item::line(
            route(view, &chart, reach.from_m, reach.to_m),
            Pen::new(ink, 2.2),
        ));
    }
    items.push(Item::line(
        route(view, &chart, f64::NEG_INFINITY, f64::INFINITY),
        Ink::PIPE_PEN,
    ));
    for tag in &view.tags {
        let at = chart.at(view.at(tag.station_m));
        items.push(Item::Group {
            name: tag.name.clone(),
            items: tag.symbol.items(at, tag.wanted),
        });
    }
    items.extend(north_and_bar(view, mm_per_m, bottom + FOOT));
    Some(PaperSheet {
        width_mm: WIDTH,
        height_mm: bottom + FOOT + 4.0,
        title: view.words.kind.clone(),
        description: view.words.title.clone(),
        items,
    })
}

/// The route between two stations; where they are one, a short piece of it.
fn route(view: &PlanView, chart: &Chart, from_m: f64, to_m: f64) -> Vec<PaperPoint> {
    let half = 1.0 / chart.mm_per_m;
    let (from, to) = if to_m - from_m < 2.0 * half {
        (0.5 * (from_m + to_m) - half, 0.5 * (from_m + to_m) + half)
    } else {
        (from_m, to_m)
    };
    let first = view.station_m.first().copied().unwrap_or(0.0);
    let last = view.station_m.last().copied().unwrap_or(0.0);
    let (from, to) = (from.clamp(first, last), to.clamp(first, last));
    let inner = view
        .station_m
        .iter()
        .zip(&view.east_north_m)
        .filter(|(s, _)| **s > from && **s < to)
        .map(|(_, p)| *p);
    std::iter::once(view.at(from))
        .chain(inner)
        .chain([view.at(to)])
        .map(|p| chart.at(p))
        .collect()
}

fn north_and_bar(view: &PlanView, mm_per_m: f64, y: f64) -> Vec<Item> {
    let unit = unit_m(view.units);
    let step_m = round_step(20.0 / mm_per_m / unit) * unit;
    let long = step_m * mm_per_m;
    let pen = Pen::new(Ink::BLACK, 0.5);
    let x = WIDTH - 6.0;
    vec![
        Item::line(
            vec![
                (4.0, y - 1.2),
                (4.0, y),
                (4.0 + long, y),
                (4.0 + long, y - 1.2),
            ],
            pen,
        ),
        Item::Text(Text::new(
            (6.0 + long, y + 0.6),
            TYPE,
            Role::Ruling,
            format!("{} {}", ruling(step_m, step_m, view.units), view.words.unit),
        )),
        Item::line(vec![(x, y), (x, y - 9.0)], pen),
        Item::area(
            vec![(x, y - 11.0), (x - 1.8, y - 7.0), (x + 1.8, y - 7.0)],
            Ink::BLACK,
        ),
        Item::Text(Text::new((x - 6.0, y), TYPE, Role::Word, "N").align(Align::Middle)),
    ]
}
