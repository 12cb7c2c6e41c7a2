use crate::unit::Units;

/// Paper that a sheet is laid out for, always across.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum PaperSize {
    /// 297 x 210 mm (ISO 216).
    A4,
    /// 420 x 297 mm (ISO 216).
    A3,
    /// 11 x 8.5 in (ANSI A).
    Letter,
    /// 17 x 11 in (ANSI B).
    Tabloid,
}

impl PaperSize {
    /// Every paper.
    pub const ALL: [Self; 4] = [Self::A4, Self::A3, Self::Letter, Self::Tabloid];

    /// Width and height lying across, mm.
    pub fn size_mm(self) -> (f64, f64) {
        match self {
            Self::A4 => (297.0, 210.0),
            Self::A3 => (420.0, 297.0),
            Self::Letter => (279.4, 215.9),
            Self::Tabloid => (431.8, 279.4),
        }
    }

    /// The paper that lies in the printer where people count so.
    pub fn usual(units: Units) -> Self {
        match units {
            Units::Metric => Self::A4,
            Units::Us => Self::Letter,
        }
    }
}

/// White edge that every printer needs, mm.
pub(super) const EDGE_MM: f64 = 9.0;
