//! On the plan of a comparison: the line as it lay, arrows to where it lies now, and the stakes.

use super::ink::{Ink, Pen};
use super::item::{Box, Item, PaperPoint, Role};
use super::plan_chart::{Chart, PlanArrow, PlanMoved};
use super::plan_label::PlanLabel;
use super::symbol::Symbol;
use crate::numeric::math;
use crate::pipe::MarkKind;

/// The longest arrow, mm.
const LONGEST_MM: f64 = 15.0;

impl PlanMoved {
    /// How many times as long as on the ground arrows are drawn: a round number.
    pub(super) fn times(&self, mm_per_m: f64) -> f64 {
        let reach = |a: &PlanArrow| a.left_m.abs().max(2.0 * a.sd_m);
        let most = self.arrows.iter().map(reach).fold(0.0, f64::max) * mm_per_m;
        [50.0, 20.0, 10.0, 5.0, 2.0]
            .into_iter()
            .find(|t| most * t <= LONGEST_MM)
            .unwrap_or(1.0)
    }

    fn at(&self, station_m: f64) -> (f64, f64) {
        let axis = |pick: fn(&(f64, f64)) -> f64| {
            let values: Vec<f64> = self.east_north_m.iter().map(pick).collect();
            crate::numeric::series::interpolate(&self.station_m, &values, station_m)
        };
        (axis(|p| p.0), axis(|p| p.1))
    }

    /// To the left of the line on paper, unit.
    fn left(&self, station_m: f64) -> PaperPoint {
        let (a, b) = (self.at(station_m - 2.0), self.at(station_m + 2.0));
        let (east, north) = (b.0 - a.0, b.1 - a.1);
        let long = math::hypot(east, north).max(1e-9);
        // North is up the sheet, and y runs down it.
        (-north / long, -east / long)
    }

    /// The line as it lay, in chart order under the line as it lies.
    pub(super) fn line(&self, chart: &Chart) -> Item {
        let points = self.east_north_m.iter().map(|p| chart.at(*p)).collect();
        Item::line(points, Ink::BEFORE_PEN)
    }

    /// Arrows and stakes; their labels and the room they take.
    pub(super) fn things(
        &self,
        chart: &Chart,
        now: impl Fn(f64) -> (f64, f64),
    ) -> (Vec<Item>, Vec<PlanLabel>, Vec<Box>) {
        let times = self.times(chart.mm_per_m);
        let (mut items, mut wanted, mut taken) = (Vec::new(), Vec::new(), Vec::new());
        let mut last: Option<PaperPoint> = None;
        for station in &self.stakes_m {
            let at = chart.at(now(*station));
            if last.is_some_and(|l| math::hypot(l.0 - at.0, l.1 - at.1) < 2.2) {
                continue;
            }
            items.extend(Symbol::Mark(MarkKind::Stake).items(at, true));
            last = Some(at);
        }
        for arrow in &self.arrows {
            let tail = chart.at(self.at(arrow.station_m));
            let left = self.left(arrow.station_m);
            let long = arrow.left_m * times * chart.mm_per_m;
            let head = (tail.0 + left.0 * long, tail.1 + left.1 * long);
            let radius_mm = (2.0 * arrow.sd_m * times * chart.mm_per_m).min(LONGEST_MM);
            items.push(Item::Group {
                name: arrow.label.clone(),
                items: drawn(tail, head, radius_mm, arrow.certain),
            });
            taken.push(Box {
                left: tail.0.min(head.0) - 1.0,
                right: tail.0.max(head.0) + 1.0,
                top: tail.1.min(head.1) - 1.0,
                bottom: tail.1.max(head.1) + 1.0,
            });
            wanted.push(PlanLabel {
                at: head,
                text: arrow.label.clone(),
                role: Role::Figure,
                reach_mm: radius_mm.max(2.0) + 0.8,
                must: true,
                colour: Ink::BLACK,
            });
        }
        (items, wanted, taken)
    }
}

/// A shaft, a barbed head, and round it where the pipe lies nineteen times in twenty; dashed where the surveys cannot tell.
pub(super) fn drawn(
    tail: PaperPoint,
    head: PaperPoint,
    radius_mm: f64,
    certain: bool,
) -> Vec<Item> {
    let pen = if certain {
        Pen::new(Ink::SURGE, 0.6)
    } else {
        Pen::new(Ink::SURGE, 0.35).dashed(super::ink::Dash::Short)
    };
    let thin = Pen::new(Ink::SURGE, 0.2);
    let mut items = vec![Item::line(vec![tail, head], pen)];
    let (dx, dy) = (head.0 - tail.0, head.1 - tail.1);
    let long = math::hypot(dx, dy);
    if long > 1.2 {
        let (ux, uy) = (dx / long, dy / long);
        let barb = |side: f64| {
            (
                head.0 - 1.9 * ux + side * 0.9 * uy,
                head.1 - 1.9 * uy - side * 0.9 * ux,
            )
        };
        items.push(Item::Path {
            chains: vec![vec![head, barb(1.0), barb(-1.0)]],
            closed: true,
            pen: Some(thin),
            fill: Some(if certain { Ink::SURGE } else { Ink::WHITE }),
        });
    }
    if radius_mm > 0.3 {
        items.push(Item::Circle {
            at: head,
            radius_mm,
            pen: Some(thin),
            fill: None,
        });
    }
    items
}
