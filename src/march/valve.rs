//! Loss of a valve by its opening.

use crate::numeric::math;
use crate::pipe::{FittingKind, Law};

/// How the loss of a valve goes with its opening.
///
/// Source: Weisbach's experiments of 1842 to 1855 on gates, cocks and flaps in round pipes, as hydraulics handbooks reprint them; the figures are from memory.
/// A ball valve is taken as his cock, a globe valve as one whose open area follows its stem.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ValveLaw {
    /// Which table.
    pub kind: ValveKind,
    /// Share of what a course counts: open area, or travel of stem or lever.
    pub by: Law,
    /// Added so that the law meets the loss known for the state the movement starts from.
    pub shift: f64,
}

/// Kinds of valve with a table of their own.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ValveKind {
    /// Gate.
    Gate,
    /// Ball, or cock.
    Ball,
    /// Butterfly.
    Butterfly,
    /// Globe.
    Globe,
}

impl ValveKind {
    /// The table of a fitting; `None` for what cannot be shut.
    pub fn of(kind: FittingKind) -> Option<Self> {
        match kind {
            FittingKind::GateValve => Some(Self::Gate),
            FittingKind::BallValve => Some(Self::Ball),
            FittingKind::ButterflyValve => Some(Self::Butterfly),
            FittingKind::GlobeValve => Some(Self::Globe),
            _ => None,
        }
    }

    /// Rows of travel open, area open, loss coefficient beyond that of the open valve; falling openings.
    fn rows(self) -> &'static [ValveRow] {
        match self {
            Self::Gate => &GATE,
            Self::Ball => &COCK,
            Self::Butterfly => &BUTTERFLY,
            Self::Globe => &GLOBE,
        }
    }
}

struct ValveRow {
    travel: f64,
    area: f64,
    k: f64,
}

const fn row(travel: f64, area: f64, k: f64) -> ValveRow {
    ValveRow { travel, area, k }
}

/// Gate in a round pipe: eighths of its travel.
static GATE: [ValveRow; 7] = [
    row(0.875, 0.948, 0.07),
    row(0.750, 0.856, 0.26),
    row(0.625, 0.740, 0.81),
    row(0.500, 0.609, 2.06),
    row(0.375, 0.466, 5.52),
    row(0.250, 0.315, 17.0),
    row(0.125, 0.159, 97.8),
];

/// Cock in a round pipe: shut at 82.5 degrees, the rows at 5 to 65.
static COCK: [ValveRow; 13] = [
    row(1.0 - 5.0 / 82.5, 0.926, 0.05),
    row(1.0 - 10.0 / 82.5, 0.850, 0.29),
    row(1.0 - 15.0 / 82.5, 0.772, 0.75),
    row(1.0 - 20.0 / 82.5, 0.692, 1.56),
    row(1.0 - 25.0 / 82.5, 0.613, 3.10),
    row(1.0 - 30.0 / 82.5, 0.535, 5.47),
    row(1.0 - 35.0 / 82.5, 0.458, 9.68),
    row(1.0 - 40.0 / 82.5, 0.385, 17.3),
    row(1.0 - 45.0 / 82.5, 0.315, 31.2),
    row(1.0 - 50.0 / 82.5, 0.250, 52.6),
    row(1.0 - 55.0 / 82.5, 0.190, 106.0),
    row(1.0 - 60.0 / 82.5, 0.137, 206.0),
    row(1.0 - 65.0 / 82.5, 0.091, 486.0),
];

/// Flap in a round pipe: open area 1 - sin of the angle; the rows at 5 to 70 degrees of 90.
static BUTTERFLY: [ValveRow; 8] = [
    row(1.0 - 5.0 / 90.0, 0.913, 0.24),
    row(1.0 - 10.0 / 90.0, 0.826, 0.52),
    row(1.0 - 20.0 / 90.0, 0.658, 1.54),
    row(1.0 - 30.0 / 90.0, 0.500, 3.91),
    row(1.0 - 40.0 / 90.0, 0.357, 10.8),
    row(1.0 - 50.0 / 90.0, 0.234, 32.6),
    row(1.0 - 60.0 / 90.0, 0.134, 118.0),
    row(1.0 - 70.0 / 90.0, 0.060, 751.0),
];

/// Globe: its own loss, about 6 when open, over the square of its open area, which follows the stem.
static GLOBE: [ValveRow; 5] = [
    row(0.75, 0.75, 4.7),
    row(0.50, 0.50, 18.0),
    row(0.25, 0.25, 90.0),
    row(0.10, 0.10, 594.0),
    row(0.05, 0.05, 2394.0),
];

impl ValveLaw {
    /// Loss coefficient on the bore's velocity head at a share open, 0 to 1; infinite when shut.
    ///
    /// Between rows the logarithm of the coefficient runs straight over the logarithm of the opening; below the last row it grows with the inverse square of the opening.
    pub fn loss_coefficient(&self, share: f64) -> f64 {
        let at = |row: &ValveRow| match self.by {
            Law::Area => row.area,
            Law::Stroke => row.travel,
        };
        if share <= 0.0 {
            return f64::INFINITY;
        }
        let rows = self.kind.rows();
        let below = rows.partition_point(|r| at(r) > share);
        let k = match (
            below.checked_sub(1).and_then(|i| rows.get(i)),
            rows.get(below),
        ) {
            // above the first row: straight to nothing at fully open
            (None, Some(first)) => first.k * (1.0 - share.min(1.0)) / (1.0 - at(first)),
            (Some(upper), Some(lower)) => {
                let x = math::ln(share / at(lower)) / math::ln(at(upper) / at(lower));
                math::exp(math::ln(lower.k) + math::ln(upper.k / lower.k) * x)
            }
            (Some(last), None) => last.k * math::powi(at(last) / share, 2),
            (None, None) => 0.0,
        };
        (k + self.shift).max(0.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_less_open_the_more_it_takes() {
        for kind in [
            ValveKind::Gate,
            ValveKind::Ball,
            ValveKind::Butterfly,
            ValveKind::Globe,
        ] {
            for by in [Law::Area, Law::Stroke] {
                let law = ValveLaw {
                    kind,
                    by,
                    shift: 0.0,
                };
                let mut before = f64::INFINITY;
                for i in 0..=1000 {
                    let k = law.loss_coefficient(f64::from(i) / 1000.0);
                    assert!(k <= before, "{kind:?} {by:?} {i}");
                    before = k;
                }
                assert_eq!(before, 0.0);
            }
        }
    }

    #[test]
    fn rows_are_met() {
        let law = ValveLaw {
            kind: ValveKind::Gate,
            by: Law::Stroke,
            shift: 0.15,
        };
        assert!((law.loss_coefficient(0.25) - 17.15).abs() < 1e-9);
        assert!((law.loss_coefficient(1.0) - 0.15).abs() < 1e-12);
    }
}
