//! What ground may take, by named table: the tables differ by two to four times.
//!
//! Presumptive values are a first estimate for undisturbed ground. Basis page: blocks.

use crate::pipe::Soil;
use crate::unit::exact::{FOOT_M, PSF_PA};

/// Below this cover the lateral value that grows with depth is looked at too, m.
const SHALLOW_M: f64 = 1.0;

crate::text::words! {
    /// A table of presumptive bearing.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
    pub enum BearingTable {
        /// International Building Code 2012, table 1806.2: vertical, lateral by depth, friction.
        BuildingCode = "International Building Code 2012, table 1806.2, lateral by depth",
        /// Thrust-block table as it is printed with pipe, cover over 2 ft (secondary source).
        PipeTrade = "thrust-block table printed with pipe (secondary source)",
        /// Thrust-block sheet of the University of Toledo, course CET-2030.
        Course = "University of Toledo, CET-2030",
    }
}

/// A row of the building code's table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CodeRow {
    /// Vertical bearing, Pa.
    pub vertical_pa: f64,
    /// Lateral bearing a metre of depth, Pa/m.
    pub lateral_pa_per_m: f64,
    /// Friction of a base on it; `None` where it clings instead.
    pub friction: Option<f64>,
    /// Cohesion, Pa, where it clings: never more than half the weight.
    pub cohesion_pa: Option<f64>,
}

/// International Building Code 2012, table 1806.2; `None` for soil that it does not list.
pub fn building_code(soil: Soil) -> Option<CodeRow> {
    let row = |vertical: f64, lateral: f64, friction: Option<f64>, cohesion: Option<f64>| CodeRow {
        vertical_pa: vertical * PSF_PA,
        lateral_pa_per_m: lateral * PSF_PA / FOOT_M,
        friction,
        cohesion_pa: cohesion.map(|c| c * PSF_PA),
    };
    Some(match soil {
        Soil::Rock => row(12_000.0, 1_200.0, Some(0.70), None),
        Soil::WeakRock => row(4_000.0, 400.0, Some(0.35), None),
        Soil::Gravel => row(3_000.0, 200.0, Some(0.35), None),
        Soil::Sand => row(2_000.0, 150.0, Some(0.25), None),
        Soil::Clay | Soil::Silt | Soil::HardClay => row(1_500.0, 100.0, None, Some(130.0)),
        Soil::SoftClay | Soil::Peat => return None,
    })
}

/// Thrust-block table as it is printed with pipe, Pa sideways, cover over 2 ft (secondary source).
pub fn pipe_trade_pa(soil: Soil) -> Option<f64> {
    Some(
        PSF_PA
            * match soil {
                Soil::Peat => 0.0,
                Soil::SoftClay => 1_000.0,
                Soil::Sand => 2_000.0,
                Soil::Gravel => 3_000.0,
                Soil::HardClay => 4_000.0,
                Soil::WeakRock => 10_000.0,
                Soil::Clay | Soil::Silt | Soil::Rock => return None,
            },
    )
}

/// Thrust-block sheet of the University of Toledo, CET-2030, Pa sideways. Its sandy silt and sandy clay have no word of their own here.
pub fn course_pa(soil: Soil) -> Option<f64> {
    Some(
        PSF_PA
            * match soil {
                Soil::Peat => 0.0,
                Soil::SoftClay => 1_000.0,
                Soil::Silt => 1_500.0,
                Soil::Sand => 4_000.0,
                Soil::HardClay => 9_000.0,
                Soil::Clay | Soil::Gravel | Soil::WeakRock | Soil::Rock => return None,
            },
    )
}

/// What the ground at a place may take.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GroundBearing {
    /// Table that rules.
    pub table: BearingTable,
    /// Allowed pressure sideways, Pa: the lowest of the tables at this cover.
    pub sideways_pa: f64,
    /// Allowed pressure downward, Pa.
    pub downward_pa: f64,
    /// Highest of the tables sideways, Pa: how far they differ.
    pub sideways_high_pa: f64,
    /// Friction of concrete on it.
    pub friction: f64,
    /// Cover that the sideways value was taken at, m.
    pub cover_m: f64,
    /// A figure is not verified against its document.
    pub from_memory: bool,
}

/// Friction counted on clay and silt, where the code gives cohesion instead (own caution, from memory).
const CLAY_FRICTION: f64 = 0.2;

/// Allowed pressures of a soil at a depth of the block's middle, m: the lowest table rules.
///
/// The trade's table and the course's are for cover over 2 ft; at less than a metre the code's lateral value, which grows with depth, is looked at beside them
/// and the smallest is taken. Undisturbed ground, or fill tamped to 95 %; never fill that was merely thrown back.
pub fn ground(soil: Soil, depth_m: f64) -> GroundBearing {
    let code = building_code(soil);
    let lateral = code.map(|c| (BearingTable::BuildingCode, c.lateral_pa_per_m * depth_m));
    let printed = [
        pipe_trade_pa(soil).map(|q| (BearingTable::PipeTrade, q)),
        course_pa(soil).map(|q| (BearingTable::Course, q)),
    ];
    let mut offers: Vec<(BearingTable, f64)> = printed.into_iter().flatten().collect();
    if depth_m < SHALLOW_M || offers.is_empty() {
        offers.extend(lateral);
    }
    let (table, sideways_pa) = offers
        .iter()
        .copied()
        .min_by(|a, b| a.1.total_cmp(&b.1))
        .unwrap_or((BearingTable::PipeTrade, 0.0));
    let downward = code.map_or(f64::INFINITY, |c| c.vertical_pa).min(
        printed
            .into_iter()
            .flatten()
            .map(|p| p.1)
            .fold(f64::INFINITY, f64::min),
    );
    GroundBearing {
        table,
        sideways_pa,
        downward_pa: if downward.is_finite() { downward } else { 0.0 },
        sideways_high_pa: offers.iter().map(|o| o.1).fold(0.0, f64::max),
        friction: code.and_then(|c| c.friction).unwrap_or(CLAY_FRICTION),
        cover_m: depth_m,
        from_memory: table == BearingTable::PipeTrade || code.and_then(|c| c.friction).is_none(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shallow_sand_takes_the_lateral_value() {
        // 150 psf a foot at 0.5 m is 11.8 kPa, far below the 96 to 192 of the block tables
        let shallow = ground(Soil::Sand, 0.5);
        assert_eq!(shallow.table, BearingTable::BuildingCode);
        assert!((shallow.sideways_pa - 11_781.0).abs() < 5.0, "{shallow:?}");
        let deep = ground(Soil::Sand, 1.5);
        assert_eq!(deep.table, BearingTable::PipeTrade);
        assert!((deep.sideways_high_pa / deep.sideways_pa - 2.0).abs() < 1e-9);
    }

    #[test]
    fn peat_bears_nothing() {
        assert_eq!(ground(Soil::Peat, 2.0).sideways_pa, 0.0);
        assert_eq!(ground(Soil::Peat, 2.0).downward_pa, 0.0);
    }
}
