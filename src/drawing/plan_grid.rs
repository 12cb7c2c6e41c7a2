//! Round the plan: crosses of the local grid, and north.

use super::frame::HEAD_MM;
use super::ink::{Ink, Pen};
use super::item::{Align, Item, PaperPoint, Role, Text};
use super::plan_chart::{Chart, PlanView};
use super::scale::{DrawingScale, ruling};

/// Crosses of the local grid with their coordinates along two edges.
pub(super) fn grid(view: &PlanView, chart: &Chart, scale: &DrawingScale) -> Vec<Item> {
    let step = scale.step_m(28.0);
    let area = chart.area;
    let mut items = Vec::new();
    let mut strokes = Vec::new();
    let east_end = chart.west_m + (area.right - area.left) / chart.mm_per_m;
    let north_end = chart.south_m + (area.bottom - area.top) / chart.mm_per_m;
    let steps = |from: f64, to: f64| {
        std::iter::successors(Some((from / step).ceil() * step), move |v| Some(v + step))
            .take_while(move |v| *v <= to)
    };
    for east in steps(chart.west_m, east_end) {
        let (x, _) = chart.at((east, chart.south_m));
        strokes.push(vec![(x, area.bottom), (x, area.bottom - 1.2)]);
        items.push(Item::Text(
            Text::new(
                (x, area.bottom + 3.0),
                HEAD_MM,
                Role::Ruling,
                ruling(east, step, view.units),
            )
            .align(Align::Middle)
            .colour(Ink::GREY),
        ));
        for north in steps(chart.south_m, north_end) {
            let (x, y) = chart.at((east, north));
            strokes.push(vec![(x - 1.0, y), (x + 1.0, y)]);
            strokes.push(vec![(x, y - 1.0), (x, y + 1.0)]);
        }
    }
    for north in steps(chart.south_m, north_end) {
        let (_, y) = chart.at((chart.west_m, north));
        strokes.push(vec![(area.left, y), (area.left + 1.2, y)]);
        if y > area.top + 8.0 && y < area.bottom - 8.0 {
            items.push(Item::Text(
                Text::new(
                    (area.left - 1.2, y),
                    HEAD_MM,
                    Role::Ruling,
                    ruling(north, step, view.units),
                )
                .align(Align::Middle)
                .turned()
                .colour(Ink::GREY),
            ));
        }
    }
    items.push(Item::lines(strokes, Pen::new(Ink::PALE, 0.16)));
    items.extend(north_arrow((area.right - 8.0, area.top + 16.0)));
    items
}

/// North: a needle, half of it filled.
fn north_arrow(at: PaperPoint) -> Vec<Item> {
    let (x, y) = at;
    let pen = Some(Pen::new(Ink::BLACK, 0.3));
    let half = |points: Vec<PaperPoint>, fill| Item::Path {
        chains: vec![points],
        closed: true,
        pen,
        fill: Some(fill),
    };
    vec![
        half(
            vec![(x, y - 9.0), (x, y + 4.0), (x - 2.4, y + 6.0)],
            Ink::BLACK,
        ),
        half(
            vec![(x, y - 9.0), (x, y + 4.0), (x + 2.4, y + 6.0)],
            Ink::WHITE,
        ),
        Item::Text(
            Text::new((x, y - 10.2), 3.4, Role::Word, "N")
                .align(Align::Middle)
                .bold(),
        ),
    ]
}
