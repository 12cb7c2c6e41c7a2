//! Buried pipe and its trench: the list `afloat` of `anchors`.

use super::block::block;
use crate::anchor::{Afloat, COVER_SAFETY, WetBy};
use crate::pipe::{Soil, Surround, Tamped};
use crate::strength::Bedded;
use crate::words::{no_deflection, no_fill};

block! {
    /// A reach that water stands round.
    struct AfloatJson of (a: &Afloat) with {
        let fill = a.fill.as_ref().ok();
    } {
        from_station_m: f64 = a.from_m,
        to_station_m: f64 = a.to_m,
        /// Water around the buried pipe: trench, stream or flood.
        wet_by: WetBy = a.by,
        lift_empty_n_per_m: f64 = a.lift_empty_n_per_m,
        lift_full_n_per_m: f64 = a.lift_full_n_per_m,
        to_lay: bool = a.to_lay,
        /// Cover that counts, without the scour depth, m.
        counted_cover_m: Option<f64> = fill.map(|f| f.cover_m),
        /// Weight of the fill under water, N/m.
        fill_n_per_m: Option<f64> = fill.map(|f| f.weight_n_per_m),
        /// Safety of pipe and fill against uplift.
        float_safety: Option<f64> = fill.map(|f| f.safety),
        /// Required safety.
        asked_safety: f64 = COVER_SAFETY,
        /// Reason why the fill is not assessed.
        why_not_judged: Option<&'static str> = a.fill.err().map(no_fill),
        /// Required cover, m.
        wanted_cover_m: Option<f64> = a.wanted_cover_m,
        /// Concrete weights that are sufficient without fill, weighed in air, kg/m.
        ballast_kg_per_m: f64 = a.ballast_kg_per_m,
        from_memory: bool = true,
    }

    /// A trench that was spoken of.
    struct BeddedJson of (b: &Bedded) with {
        let d = b.deflects.as_ref().ok();
    } {
        from_station_m: f64 = b.from_m,
        to_station_m: f64 = b.to_m,
        /// Soil of the trench.
        soil: Option<Soil> = b.soil,
        /// Material against the buried pipe.
        surround: Surround = b.surround,
        /// Compaction of the surround.
        tamped: Tamped = b.tamped,
        to_lay: bool = b.to_lay,
        /// Width at the pipe, m.
        width_m: f64 = b.size.width_m,
        /// Bedding below the pipe, m.
        bed_m: f64 = b.size.bed_m,
        /// Surround above the pipe, m.
        over_m: f64 = b.size.over_m,
        /// Largest stone allowed against the pipe, m.
        largest_stone_m: f64 = b.size.stone_m,
        /// True if broken rock lies against the pipe.
        stones: bool = b.stones,
        /// Excavation, m3.
        dug_m3: Option<f64> = b.volumes.map(|v| v.dug_m3),
        /// Bedding and surround, m3.
        surround_m3: Option<f64> = b.volumes.map(|v| v.surround_m3),
        /// Fill above the surround, m3.
        back_m3: Option<f64> = b.volumes.map(|v| v.back_m3),
        /// Surplus soil, m3.
        surplus_m3: Option<f64> = b.volumes.map(|v| v.left_m3),
        /// Pressure of the soil on the pipe, Pa.
        ground_pa: Option<f64> = d.map(|d| d.earth_pa),
        /// Pressure of traffic on the pipe, Pa.
        wheel_pa: Option<f64> = d.map(|d| d.wheel_pa),
        /// Modulus of soil reaction E', Pa.
        soil_reaction_pa: Option<f64> = d.map(|d| d.soil_reaction_pa),
        /// Stiffness of the pipe ring, EI/r3, Pa.
        ring_pa: Option<f64> = d.map(|d| d.ring_pa),
        /// Deflection, share of the diameter, mean.
        deflection_mean_share: Option<f64> = d.map(|d| d.share),
        /// The same with the spread found in the field.
        deflection_share: Option<f64> = d.map(|d| d.share_high),
        /// Allowable deflection, share of the diameter.
        allowed_share: Option<f64> = d.map(|d| d.allowed),
        /// Reason why the deflection is not calculated.
        why_not_judged: Option<&'static str> = b.deflects.err().map(no_deflection),
        from_memory: bool = true,
    }
}
