//! Thrusts on the plan: arrows that point where the pipe is pushed, as long as the push is large.

use super::ink::{Ink, Pen};
use super::item::{Box, Item, PaperPoint};
use crate::numeric::math;

/// A thrust with its words.
#[derive(Debug, Clone, PartialEq)]
pub struct PlanPush {
    /// Where, m.
    pub station_m: f64,
    /// Where it goes, seen from above.
    pub way: PushWay,
    /// The joints carry it; else it wants a block.
    pub carried: bool,
    /// Its size in words, for what is built against it.
    pub label: String,
    /// Its full name, for a pointer.
    pub name: String,
}

/// Where a thrust goes, seen from above.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum PushWay {
    /// Mostly level: its bearing from north by east, rad, and its level part over the largest on the plan.
    Level {
        /// Bearing, rad.
        bearing_rad: f64,
        /// Share of the largest.
        share: f64,
    },
    /// Up, out of the paper.
    Up,
    /// Down, into the paper.
    Down,
}

/// Length of the largest, mm.
const LONGEST_MM: f64 = 16.0;

/// Length that still shows a head, mm.
const SHORTEST_MM: f64 = 3.0;

/// How far from the pipe's middle an arrow begins, mm.
const OFF_MM: f64 = 1.4;

/// Length and half width of a head, mm.
const HEAD_MM: (f64, f64) = (2.6, 1.1);

const PEN: Pen = Pen::new(Ink::BLACK, 0.45);

/// The arrow's beginning, the root of its head, and its tip, with the pipe at a place on paper.
fn points(at: PaperPoint, bearing_rad: f64, share: f64) -> (PaperPoint, PaperPoint, PaperPoint) {
    // paper's second axis points down
    let (dx, dy) = (math::sin(bearing_rad), -math::cos(bearing_rad));
    let long = (LONGEST_MM * share).max(SHORTEST_MM);
    let along = |mm: f64| (at.0 + dx * mm, at.1 + dy * mm);
    (
        along(OFF_MM),
        along(OFF_MM + long - HEAD_MM.0),
        along(OFF_MM + long),
    )
}

/// The arrow, or the sign for a push out of or into the paper; filled where it wants a block, hollow where the joints carry it.
pub(super) fn arrow(way: PushWay, carried: bool, at: PaperPoint) -> Vec<Item> {
    let fill = Some(if carried { Ink::WHITE } else { Ink::BLACK });
    match way {
        PushWay::Level { bearing_rad, share } => {
            let (from, root, tip) = points(at, bearing_rad, share);
            let (px, py) = (
                math::cos(bearing_rad) * HEAD_MM.1,
                math::sin(bearing_rad) * HEAD_MM.1,
            );
            vec![
                Item::line(vec![from, root], PEN),
                Item::Path {
                    chains: vec![vec![
                        tip,
                        (root.0 + px, root.1 + py),
                        (root.0 - px, root.1 - py),
                    ]],
                    closed: true,
                    pen: Some(PEN),
                    fill,
                },
            ]
        }
        PushWay::Up | PushWay::Down => {
            let (x, y) = beside(at);
            let ring = Item::Circle {
                at: (x, y),
                radius_mm: 1.7,
                pen: Some(PEN),
                fill: Some(Ink::WHITE),
            };
            let sign = if way == PushWay::Up {
                // the point of an arrow that comes
                vec![Item::Circle {
                    at: (x, y),
                    radius_mm: 0.7,
                    pen: Some(PEN),
                    fill,
                }]
            } else {
                // the feathers of one that goes
                vec![
                    Item::line(vec![(x - 1.2, y - 1.2), (x + 1.2, y + 1.2)], PEN),
                    Item::line(vec![(x - 1.2, y + 1.2), (x + 1.2, y - 1.2)], PEN),
                ]
            };
            std::iter::once(ring).chain(sign).collect()
        }
    }
}

/// Where the sign of a push out of or into the paper stands.
fn beside(at: PaperPoint) -> PaperPoint {
    (at.0 + 4.2, at.1 - 3.0)
}

/// Where its words belong.
pub(super) fn tip(way: PushWay, at: PaperPoint) -> PaperPoint {
    match way {
        PushWay::Level { bearing_rad, share } => points(at, bearing_rad, share).2,
        PushWay::Up | PushWay::Down => beside(at),
    }
}

/// Boxes along it that labels keep clear of.
pub(super) fn room(way: PushWay, at: PaperPoint) -> Vec<Box> {
    let around = |(x, y): PaperPoint, by: f64| Box {
        left: x - by,
        right: x + by,
        top: y - by,
        bottom: y + by,
    };
    match way {
        PushWay::Level { bearing_rad, share } => {
            let (from, _, tip) = points(at, bearing_rad, share);
            let between = |t: f64| (from.0 + (tip.0 - from.0) * t, from.1 + (tip.1 - from.1) * t);
            [0.15, 0.38, 0.62, 0.85]
                .iter()
                .map(|t| around(between(*t), 1.1))
                .collect()
        }
        PushWay::Up | PushWay::Down => vec![around(beside(at), 1.9)],
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::FRAC_PI_2;

    #[test]
    fn an_arrow_points_where_the_thrust_goes_and_is_as_long_as_it_is_large() {
        let east = |share| PushWay::Level {
            bearing_rad: FRAC_PI_2,
            share,
        };
        let (x, y) = tip(east(1.0), (50.0, 50.0));
        assert!((x - 50.0 - OFF_MM - LONGEST_MM).abs() < 1e-9 && (y - 50.0).abs() < 1e-9);
        let half = tip(east(0.5), (50.0, 50.0)).0;
        assert!((half - 50.0 - OFF_MM - 0.5 * LONGEST_MM).abs() < 1e-9);
        // north is up on paper
        let north = PushWay::Level {
            bearing_rad: 0.0,
            share: 1.0,
        };
        assert!(tip(north, (50.0, 50.0)).1 < 35.0);
    }

    #[test]
    fn what_the_joints_carry_and_up_and_down_look_different_without_colour() {
        let ways = [
            (PushWay::Up, true),
            (PushWay::Down, true),
            (PushWay::Up, false),
            (
                PushWay::Level {
                    bearing_rad: 0.0,
                    share: 1.0,
                },
                true,
            ),
            (
                PushWay::Level {
                    bearing_rad: 0.0,
                    share: 1.0,
                },
                false,
            ),
        ];
        for (i, a) in ways.iter().enumerate() {
            for b in ways.iter().skip(i + 1) {
                assert_ne!(arrow(a.0, a.1, (0.0, 0.0)), arrow(b.0, b.1, (0.0, 0.0)));
            }
        }
    }
}
