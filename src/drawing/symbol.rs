//! Our own symbols. Each has a closed body, so that what stands (filled) and what is wanted (hollow) are told apart without colour.

use super::ink::{Colour, Ink, Pen};
use super::item::{Item, PaperPoint};
use crate::pipe::MarkKind;

/// What a symbol stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Symbol {
    /// What a mark on the line is.
    Mark(MarkKind),
    /// A valve.
    Valve,
    /// Any other thing the water passes through.
    Fitting,
    /// A low.
    Low,
    /// A crest.
    Crest,
    /// A named place of the survey.
    Place,
    /// A gauge.
    Gauge,
    /// The mouth at the intake.
    Intake,
    /// Where the water leaves.
    Turbine,
}

impl Symbol {
    /// Every symbol.
    pub const ALL: [Self; 22] = [
        Self::Mark(MarkKind::Vent),
        Self::Mark(MarkKind::Drain),
        Self::Mark(MarkKind::Anchor),
        Self::Mark(MarkKind::Block),
        Self::Mark(MarkKind::Strap),
        Self::Mark(MarkKind::Support),
        Self::Mark(MarkKind::Guide),
        Self::Mark(MarkKind::Relief),
        Self::Mark(MarkKind::Joint),
        Self::Mark(MarkKind::Elbow),
        Self::Mark(MarkKind::Reducer),
        Self::Mark(MarkKind::Stake),
        Self::Mark(MarkKind::Loop),
        Self::Mark(MarkKind::ExpansionJoint),
        Self::Valve,
        Self::Fitting,
        Self::Low,
        Self::Crest,
        Self::Place,
        Self::Gauge,
        Self::Intake,
        Self::Turbine,
    ];

    /// The symbol with its foot or middle on a place.
    pub fn items(self, at: PaperPoint, wanted: bool) -> Vec<Item> {
        let outline = Pen::new(Ink::BLACK, 0.3);
        let fill = if wanted { Ink::WHITE } else { Ink::BLACK };
        let stroke = |points: &[PaperPoint]| {
            Item::line(points.iter().map(|p| moved(*p, at)).collect(), outline)
        };
        let body = |points: &[PaperPoint]| solid(points, at, outline, fill);
        let ring = |centre: PaperPoint, radius_mm: f64| Item::Circle {
            at: moved(centre, at),
            radius_mm,
            pen: Some(outline),
            fill: Some(fill),
        };
        match self {
            // A stem up to an open mouth.
            Self::Mark(MarkKind::Vent) => vec![
                stroke(&[(0.0, 0.0), (0.0, -2.0)]),
                body(&[(0.0, -2.0), (-1.2, -4.2), (1.2, -4.2)]),
            ],
            // A stem down to a drop.
            Self::Mark(MarkKind::Drain) => vec![
                stroke(&[(0.0, 0.0), (0.0, 2.0)]),
                body(&[(0.0, 1.6), (1.1, 3.4), (0.6, 4.2), (-0.6, 4.2), (-1.1, 3.4)]),
            ],
            // A wedge with its foot in the ground.
            Self::Mark(MarkKind::Anchor) => vec![
                body(&[(0.0, 0.2), (1.5, 2.6), (-1.5, 2.6)]),
                stroke(&[(-2.0, 2.6), (2.0, 2.6)]),
                stroke(&[(0.0, 2.6), (0.0, 4.0)]),
            ],
            Self::Mark(MarkKind::Block) => {
                vec![body(&[(-1.2, 0.3), (1.2, 0.3), (1.2, 2.7), (-1.2, 2.7)])]
            }
            // A bow over the pipe, both feet down.
            Self::Mark(MarkKind::Strap) => vec![body(&[
                (-1.3, 1.4),
                (-1.3, -0.7),
                (-0.6, -1.4),
                (0.6, -1.4),
                (1.3, -0.7),
                (1.3, 1.4),
                (0.7, 1.4),
                (0.7, -0.4),
                (0.3, -0.8),
                (-0.3, -0.8),
                (-0.7, -0.4),
                (-0.7, 1.4),
            ])],
            // A saddle on two legs.
            Self::Mark(MarkKind::Support) => vec![
                body(&[(-1.3, 0.4), (1.3, 0.4), (1.3, 1.1), (-1.3, 1.1)]),
                stroke(&[(-0.9, 1.1), (-1.3, 3.4)]),
                stroke(&[(0.9, 1.1), (1.3, 3.4)]),
            ],
            Self::Mark(MarkKind::Guide) => vec![
                body(&[(-1.3, -1.5), (-0.7, -1.5), (-0.7, 1.5), (-1.3, 1.5)]),
                body(&[(0.7, -1.5), (1.3, -1.5), (1.3, 1.5), (0.7, 1.5)]),
            ],
            Self::Mark(MarkKind::Relief) => vec![
                stroke(&[(0.0, 0.0), (0.0, -1.8)]),
                ring((0.0, -3.0), 1.2),
                stroke(&[(1.2, -3.0), (2.4, -4.0)]),
            ],
            // Two flanges side by side.
            Self::Mark(MarkKind::Joint) => vec![
                body(&[(-0.75, -1.4), (-0.2, -1.4), (-0.2, 1.4), (-0.75, 1.4)]),
                body(&[(0.2, -1.4), (0.75, -1.4), (0.75, 1.4), (0.2, 1.4)]),
            ],
            Self::Mark(MarkKind::Elbow) => vec![body(&[
                (-1.6, -0.5),
                (0.5, -0.5),
                (0.5, 1.6),
                (-0.5, 1.6),
                (-0.5, 0.5),
                (-1.6, 0.5),
            ])],
            Self::Mark(MarkKind::Reducer) => {
                vec![body(&[(-1.4, -1.3), (1.4, -0.6), (1.4, 0.6), (-1.4, 1.3)])]
            }
            Self::Mark(MarkKind::Stake) => vec![
                stroke(&[(0.0, 0.0), (0.0, -2.6)]),
                body(&[(0.0, -2.6), (1.4, -2.1), (0.0, -1.6)]),
            ],
            // The pipe goes once round and on.
            Self::Mark(MarkKind::ExpansionJoint) => vec![
                body(&[(-0.9, -1.2), (0.9, -1.2), (0.9, 1.2), (-0.9, 1.2)]),
                stroke(&[(-2.2, 0.0), (-0.9, 0.0)]),
                stroke(&[(0.9, 0.0), (2.2, 0.0)]),
            ],
            Self::Mark(MarkKind::Loop) => {
                vec![ring((0.0, -1.4), 1.3), stroke(&[(-2.2, 0.0), (2.2, 0.0)])]
            }
            // Two cones point to point, as the trade draws a valve.
            Self::Valve => vec![
                body(&[(0.0, 0.0), (-1.6, -1.1), (-1.6, 1.1)]),
                body(&[(0.0, 0.0), (1.6, -1.1), (1.6, 1.1)]),
                stroke(&[(0.0, 0.0), (0.0, -1.8)]),
                stroke(&[(-0.8, -1.8), (0.8, -1.8)]),
            ],
            Self::Fitting => vec![body(&[(0.0, -1.3), (1.3, 0.0), (0.0, 1.3), (-1.3, 0.0)])],
            Self::Low => vec![Item::line(
                vec![
                    moved((-1.5, -2.7), at),
                    moved((0.0, -1.2), at),
                    moved((1.5, -2.7), at),
                ],
                Pen::new(Ink::BLACK, 0.4),
            )],
            Self::Crest => vec![Item::line(
                vec![
                    moved((-1.5, 2.7), at),
                    moved((0.0, 1.2), at),
                    moved((1.5, 2.7), at),
                ],
                Pen::new(Ink::BLACK, 0.4),
            )],
            Self::Place => vec![ring((0.0, 0.0), 0.7)],
            Self::Gauge => vec![
                stroke(&[(0.0, 0.0), (0.0, -1.4)]),
                Item::Circle {
                    at: moved((0.0, -2.7), at),
                    radius_mm: 1.3,
                    pen: Some(outline),
                    fill: Some(Ink::WHITE),
                },
                stroke(&[(0.0, -2.7), (0.7, -3.5)]),
            ],
            // The water's level over the mouth, as the trade draws it.
            Self::Intake => vec![
                body(&[(0.0, 0.0), (-1.3, -2.1), (1.3, -2.1)]),
                stroke(&[(-0.9, 0.6), (0.9, 0.6)]),
                stroke(&[(-0.4, 1.1), (0.4, 1.1)]),
            ],
            // A wheel and the jet that strikes it.
            Self::Turbine => vec![ring((0.0, 0.0), 1.5), {
                Item::Circle {
                    at,
                    radius_mm: 0.5,
                    pen: None,
                    fill: Some(if wanted { Ink::BLACK } else { Ink::WHITE }),
                }
            }],
        }
    }
}

fn moved(point: PaperPoint, by: PaperPoint) -> PaperPoint {
    (point.0 + by.0, point.1 + by.1)
}

fn solid(points: &[PaperPoint], at: PaperPoint, outline: Pen, fill: Colour) -> Item {
    Item::Path {
        chains: vec![points.iter().map(|p| moved(*p, at)).collect()],
        closed: true,
        pen: Some(outline),
        fill: Some(fill),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_two_symbols_look_alike_and_what_is_wanted_looks_hollow() {
        for (i, a) in Symbol::ALL.iter().enumerate() {
            for b in Symbol::ALL.iter().skip(i + 1) {
                assert_ne!(
                    a.items((0.0, 0.0), false),
                    b.items((0.0, 0.0), false),
                    "{a:?} {b:?}"
                );
            }
            if !matches!(a, Symbol::Low | Symbol::Crest | Symbol::Gauge) {
                assert_ne!(
                    a.items((0.0, 0.0), false),
                    a.items((0.0, 0.0), true),
                    "{a:?}"
                );
            }
        }
    }
}
