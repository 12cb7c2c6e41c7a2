//! The plan: the route from above on a local grid.

use super::foot::{FOOT_MM, Footer, foot};
use super::frame::{TITLE_STRIP_MM, TYPE_MM, title};
use super::ink::{Dash, Ink, Pen};
use super::item::{Box, Item, PaperPoint, PaperSheet, Role};
use super::paper::{EDGE_MM, PaperSize};
use super::plan_chart::{Chart, PlanView};
use super::plan_grid::grid;
use super::plan_label::{PlanLabel, placed};
use super::plan_push;
use super::scale::{DrawingScale, round_stations, ruling};
use super::section::LegendKey;
use crate::numeric::{Spans, math};

/// The plan on a sheet of paper; `None` where there are fewer than two positions.
pub fn plan(view: &PlanView, paper: PaperSize) -> Option<PaperSheet> {
    if view.station_m.len() < 2 || view.station_m.len() != view.east_north_m.len() {
        return None;
    }
    let across = paper.size_mm();
    let upright = (across.1, across.0);
    // The way round that shows more.
    let (lying, standing) = (chart(view, across), chart(view, upright));
    let ((width_mm, height_mm), (chart, scale)) = if lying.1.ratio <= standing.1.ratio {
        (across, lying)
    } else {
        (upright, standing)
    };
    let area = chart.area;
    let mut legend = view.legend.clone();
    if let Some(moved) = view.moved.as_ref().filter(|m| !m.arrows.is_empty()) {
        legend.push((LegendKey::Moved, (moved.told)(moved.times(chart.mm_per_m))));
    }
    let mut items = title(&view.words, "", width_mm);
    items.extend(grid(view, &chart, &scale));
    items.extend(route(view, &chart, &scale));
    items.extend(things(view, &chart, &scale));
    items.push(Item::rectangle(
        area,
        Some(Pen::new(Ink::BLACK, 0.35)),
        None,
    ));
    items.extend(foot(
        &Footer {
            legend: &legend,
            notes: &view.notes,
            words: &view.words,
            scale: (view.words.scale)(&scale.text()),
            across: &scale,
            up: None,
        },
        width_mm,
        height_mm,
    ));
    Some(PaperSheet {
        width_mm,
        height_mm,
        title: format!("{}: {}", view.words.title, view.words.kind),
        description: view.words.verdict.clone(),
        items,
    })
}

/// The chart on paper of a size, and its scale.
fn chart(view: &PlanView, (width_mm, height_mm): (f64, f64)) -> (Chart, DrawingScale) {
    let area = Box {
        left: EDGE_MM + 5.0,
        right: width_mm - EDGE_MM,
        top: EDGE_MM + TITLE_STRIP_MM + 1.5,
        bottom: height_mm - EDGE_MM - FOOT_MM - 7.0,
    };
    let span = |pick: fn(&(f64, f64)) -> f64| {
        let all = view.east_north_m.iter().map(pick);
        let low = all.clone().fold(f64::INFINITY, f64::min);
        (low, all.fold(f64::NEG_INFINITY, f64::max))
    };
    let ((west, east), (south, north)) = (span(|p| p.0), span(|p| p.1));
    // Labels stand round the line, and arrows point away from it: an edge is kept for them.
    let edge = if view.pushes.is_empty() { 22.0 } else { 44.0 };
    let (wide, high) = (area.right - area.left - 56.0, area.bottom - area.top - edge);
    let by_width = DrawingScale::to_fit(east - west, wide, view.units);
    let by_height = DrawingScale::to_fit(north - south, high, view.units);
    let scale = if by_width.ratio > by_height.ratio {
        by_width
    } else {
        by_height
    };
    let chart = Chart {
        mm_per_m: scale.mm_per_m(),
        west_m: 0.5 * (west + east) - 0.5 * (area.right - area.left) / scale.mm_per_m(),
        south_m: 0.5 * (south + north) - 0.5 * (area.bottom - area.top) / scale.mm_per_m(),
        area,
    };
    (chart, scale)
}

/// Doubt, line, reaches, strokes at round stations.
fn route(view: &PlanView, chart: &Chart, scale: &DrawingScale) -> Vec<Item> {
    let line: Vec<PaperPoint> = view.east_north_m.iter().map(|p| chart.at(*p)).collect();
    let mut items = Vec::new();
    if view.sd_m > 0.0 {
        items.push(Item::line(
            line.clone(),
            Pen::new(Ink::DOUBT, (4.0 * view.sd_m * scale.mm_per_m()).max(1.4)),
        ));
    }
    for reach in &view.reaches {
        let part: Vec<PaperPoint> = part(view, reach.from_m, reach.to_m)
            .iter()
            .map(|p| chart.at(*p))
            .collect();
        items.push(Item::line(
            part,
            Pen::new(if reach.certain { Ink::AIR } else { Ink::CLIMB }, 2.4),
        ));
    }
    let unsure = Spans::of(
        view.reaches
            .iter()
            .filter(|r| !r.certain)
            .map(|r| (r.from_m, r.to_m - 1e-9)),
    );
    let mut sure_chains: Vec<Vec<PaperPoint>> = Vec::new();
    let mut unsure_chains: Vec<Vec<PaperPoint>> = Vec::new();
    for (pair, s) in line.windows(2).zip(&view.station_m) {
        let chains = if unsure.hold(*s) {
            &mut unsure_chains
        } else {
            &mut sure_chains
        };
        match (chains.last_mut(), pair) {
            (Some(chain), [a, b]) if chain.last() == Some(a) => chain.push(*b),
            (_, pair) => chains.push(pair.to_vec()),
        }
    }
    items.extend(view.moved.as_ref().map(|m| m.line(chart)));
    items.push(Item::lines(sure_chains, Ink::PIPE_PEN));
    items.push(Item::lines(
        unsure_chains,
        Pen::new(Ink::BLACK, 0.7).dashed(Dash::Short),
    ));
    items
}

fn part(view: &PlanView, from_m: f64, to_m: f64) -> Vec<(f64, f64)> {
    let mut out = vec![view.at(from_m)];
    out.extend(
        view.station_m
            .iter()
            .zip(&view.east_north_m)
            .filter(|(s, _)| **s > from_m && **s < to_m)
            .map(|(_, p)| *p),
    );
    out.push(view.at(to_m));
    out
}

/// Stations, bends and marks with labels that keep clear of the line and of each other.
fn things(view: &PlanView, chart: &Chart, scale: &DrawingScale) -> Vec<Item> {
    let line: Vec<PaperPoint> = view.east_north_m.iter().map(|p| chart.at(*p)).collect();
    let (mut items, mut wanted, arrows) = view
        .moved
        .as_ref()
        .map(|m| m.things(chart, |s| view.at(s)))
        .unwrap_or_default();
    for tag in &view.tags {
        let at = chart.at(view.at(tag.station_m));
        items.push(Item::Group {
            name: tag.name.clone(),
            items: tag.symbol.items(at, tag.wanted),
        });
        wanted.push(PlanLabel {
            at,
            text: tag.label.clone(),
            role: Role::Figure,
            reach_mm: 2.4,
            must: true,
            colour: Ink::BLACK,
        });
    }
    for bend in &view.bends {
        let at = chart.at(view.at(bend.station_m));
        items.push(Item::Circle {
            at,
            radius_mm: 1.9,
            pen: Some(Pen::new(Ink::STILL, 0.35)),
            fill: None,
        });
        wanted.push(PlanLabel {
            at,
            text: bend.label.clone(),
            role: Role::Figure,
            reach_mm: 2.4,
            must: true,
            colour: Ink::STILL,
        });
    }
    let mut kept_free: Vec<Box> = arrows;
    for push in &view.pushes {
        let at = chart.at(view.at(push.station_m));
        items.push(Item::Group {
            name: push.name.clone(),
            items: plan_push::arrow(push.way, push.carried, at),
        });
        kept_free.extend(plan_push::room(push.way, at));
        wanted.push(PlanLabel {
            at: plan_push::tip(push.way, at),
            text: push.label.clone(),
            role: Role::Figure,
            reach_mm: 1.6,
            must: true,
            colour: Ink::BLACK,
        });
    }
    let step = scale.step_m(18.0);
    let mut strokes = Vec::new();
    for (station, figure) in round_stations(&view.station_m, &view.pegs_m, step) {
        let at = chart.at(view.at(station));
        let ahead = chart.at(view.at(station + 1.0));
        let behind = chart.at(view.at((station - 1.0).max(0.0)));
        let (dx, dy) = (ahead.0 - behind.0, ahead.1 - behind.1);
        let long = math::hypot(dx, dy).max(1e-9);
        let (nx, ny) = (-dy / long * 1.3, dx / long * 1.3);
        strokes.push(vec![(at.0 - nx, at.1 - ny), (at.0 + nx, at.1 + ny)]);
        wanted.push(PlanLabel {
            at,
            text: ruling(figure, step, view.units),
            role: Role::Ruling,
            reach_mm: 1.8,
            must: false,
            colour: Ink::GREY,
        });
    }
    items.push(Item::lines(strokes, Pen::new(Ink::BLACK, 0.3)));
    let tags = view.tags.iter().map(|t| chart.at(view.at(t.station_m)));
    kept_free.extend(tags.map(|(x, y)| Box {
        left: x - 2.0,
        right: x + 2.0,
        top: y - 2.6,
        bottom: y + 2.6,
    }));
    let (x, y) = (chart.area.right - 8.0, chart.area.top + 16.0);
    kept_free.push(Box {
        left: x - 4.0,
        right: x + 4.0,
        top: y - 14.0,
        bottom: y + 7.0,
    });
    items.extend(placed(&wanted, &line, &kept_free, &chart.area, TYPE_MM));
    items
}
