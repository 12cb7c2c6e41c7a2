//! The units of the sheets: SI for metric users, what a merchant and a tape say for US ones.

use super::CsvCell;
use crate::unit::exact::{FOOT_M, PSI_PA};
use crate::unit::{Limit, Units};

/// A unit of a column: how its head ends, and its size in SI.
#[derive(Debug, Clone, Copy)]
pub struct ColumnUnit {
    unit: &'static str,
    size: f64,
}

impl ColumnUnit {
    const fn new(unit: &'static str, size: f64) -> Self {
        Self { unit, size }
    }

    /// The head of a column: "station_m", "station_ft".
    pub fn head(&self, base: &str) -> String {
        format!("{base}_{}", self.unit)
    }

    /// The unit alone.
    pub fn unit(&self) -> &'static str {
        self.unit
    }

    /// A cell with what is asked for at least, given in SI: rounded up.
    pub fn at_least(&self, value: Option<f64>, decimals: usize) -> CsvCell {
        let step = (0..decimals).fold(1.0, |step, _| step / 10.0);
        let up = |v: f64| Limit::AtLeast.rounded(v / self.size, step);
        CsvCell::maybe(value.map(up), decimals)
    }

    /// A cell with a figure given in SI.
    pub fn cell(&self, value: Option<f64>, decimals: usize) -> CsvCell {
        CsvCell::maybe(value.map(|v| v / self.size), decimals)
    }
}

/// The units of one user. Feet, inches and pounds by NIST SP 811 (2008), Appendix B; a cubic yard is 27 cubic feet.
#[derive(Debug, Clone, Copy)]
pub struct Measures {
    /// Stations, heights, lengths.
    pub length: ColumnUnit,
    /// Bores.
    pub bore: ColumnUnit,
    /// Masses.
    pub mass: ColumnUnit,
    /// Forces.
    pub force: ColumnUnit,
    /// Pressures that a fitting is bought for.
    pub rating: ColumnUnit,
    /// Pressures that were computed.
    pub pressure: ColumnUnit,
    /// Concrete.
    pub concrete: ColumnUnit,
}

const METRIC: Measures = Measures {
    length: ColumnUnit::new("m", 1.0),
    bore: ColumnUnit::new("mm", 1e-3),
    mass: ColumnUnit::new("kg", 1.0),
    force: ColumnUnit::new("n", 1.0),
    rating: ColumnUnit::new("bar", 1e5),
    pressure: ColumnUnit::new("pa", 1.0),
    concrete: ColumnUnit::new("m3", 1.0),
};

const US: Measures = Measures {
    length: ColumnUnit::new("ft", FOOT_M),
    bore: ColumnUnit::new("in", 0.0254),
    mass: ColumnUnit::new("lb", 0.453_592_37),
    force: ColumnUnit::new("lbf", 4.448_221_615_260_5),
    rating: ColumnUnit::new("psi", PSI_PA),
    pressure: ColumnUnit::new("psi", PSI_PA),
    concrete: ColumnUnit::new("yd3", 0.764_554_857_984),
};

impl Measures {
    /// The units of a user.
    pub fn of(units: Units) -> &'static Self {
        match units {
            Units::Metric => &METRIC,
            Units::Us => &US,
        }
    }

    /// Whether they are the US ones: whole feet are finer than whole metres, so a digit less is shown.
    pub fn is_us(&self) -> bool {
        self.length.size < 1.0
    }
}
