//! What keeps out what the water carries.

use super::block::block;
use crate::flow::ScreenFlow;
use crate::solids::{Carried, Passage, ScreenPasses, Settled, Wear};

block! {
    struct ScreenJson of (passes: &ScreenPasses, flow: Option<&ScreenFlow>) {
        /// Clear width of its openings, m.
        opening_m: f64 = passes.opening_m,
        /// Largest opening that is sufficient, m.
        opening_wanted_m: Option<f64> = passes.wanted_m,
        /// The smallest open nozzle.
        jet: Option<PassageJson> = passes.jet.as_ref().map(PassageJson::of),
        /// The smallest clearance of the machine.
        clearance: Option<PassageJson> = passes.clearance.as_ref().map(PassageJson::of),
        case: Option<String> = flow.map(|f| f.case.to_string()),
        /// Flow through the screen, m3/s.
        flow_m3_per_s: Option<f64> = flow.map(|f| f.flow_m3_per_s),
        /// Velocity at the screen, over its wetted area square to the flow, m/s.
        velocity_m_per_s: Option<Option<f64>> = flow.map(|f| f.before_m_per_s),
        /// Velocity in the openings of the clean screen, m/s.
        velocity_between_m_per_s: Option<Option<f64>> = flow.map(|f| f.between_m_per_s),
        /// Open share of its area.
        open_share: Option<Option<f64>> = flow.map(|f| f.open_share),
        /// Head loss of the clean screen, m.
        clean_m: Option<Option<f64>> = flow.map(|f| f.clean_m),
        /// Head loss of the half blocked screen, m.
        half_blocked_m: Option<Option<f64>> = flow.map(|f| f.half_m),
        /// Submergence of the crown of the pipe inlet with the screen half blocked, at the low water level, m.
        half_blocked_cover_m: Option<f64> = flow.and_then(|f| f.half_cover_m),
        /// True if the formula of the head loss was not measured on such a screen.
        outside_its_range: Option<bool> = flow.map(|f| f.outside),
        /// Wetted area that keeps the velocity at the screen within the limit, m2.
        area_wanted_m2: Option<f64> = flow.map(|f| f.wanted_m2),
    }

    struct GritJson of (c: &Carried) {
        case: String = c.case.to_string(),
        /// Flow at the intake, m3/s.
        flow_m3_per_s: f64 = c.flow_m3_per_s,
        /// Net head, m.
        net_head_m: f64 = c.net_head_m,
        /// Grain size by sieve, as given, mm.
        grain_mm: f64 = 1e3 * c.grain_m,
        /// Settling velocity of this grain in the coldest water, m/s.
        settles_m_per_s: f64 = c.asked.settles_m_per_s,
        /// Surface of a basin that settles 90 % of this grain, m2.
        area_wanted_m2: f64 = c.asked.area_m2,
        /// Largest velocity in the basin that leaves this grain on the floor, m/s.
        fastest_m_per_s: f64 = c.asked.fastest_m_per_s,
        /// Required cross-section of the basin: width times depth, m2.
        section_wanted_m2: f64 = c.asked.section_m2,
        /// Settling basin.
        basin: Option<BasinJson> = c.settled.as_ref().map(BasinJson::of),
        /// Largest grain that reaches the machine, mm.
        reaches_mm: f64 = 1e3 * c.reaches_m,
        /// Largest grain for this head, mm.
        bears_mm: f64 = 1e3 * c.bears_m,
        /// Wear of the nozzles.
        wear: Option<WearJson> = c.wear.as_ref().map(WearJson::of),
    }

    struct PassageJson of (p: &Passage) {
        /// Width of the passage, m.
        width_m: f64 = p.width_m,
        /// Opening of the screen divided by this width.
        share: f64 = p.share,
        /// True if one stone that goes through the screen can block it.
        blocks: bool = p.blocks(),
        /// True if two stones or a stick can block it.
        bridges: bool = p.bridges(),
    }

    struct BasinJson of (s: &Settled) {
        /// Share of this grain that settles, 0 to 1.
        share: f64 = s.share,
        /// Smallest grain of which 90 % settles, mm.
        least_grain_mm: f64 = 1e3 * s.least_grain_m,
        /// Velocity of the water in the basin, m/s.
        velocity_m_per_s: f64 = s.through_m_per_s,
        /// Time until the space for sand is full, s.
        fills_s: Option<f64> = s.fills_s,
        /// Drag of the flushing water on the floor, Pa.
        flush_pa: Option<f64> = s.flush_pa,
        /// True if the flushing water moves settled grit.
        flushed: Option<bool> = s.is_flushed(),
        /// Minimum flow that flushes the basin, m3/s.
        flush_wanted_m3_per_s: Option<f64> = s.flush_wanted_m3_per_s,
    }

    struct WearJson of (w: &Wear) {
        /// Name of the nozzle that wears first.
        jet: String = w.jet.clone(),
        nozzle_diameter_m: f64 = w.nozzle_diameter_m,
        /// Velocity of the jet, m/s.
        speed_m_per_s: f64 = w.speed_m_per_s,
        /// Time in operation until the nozzle area has increased by 5 %, s.
        worn_after_s: Option<f64> = w.worn_after_s,
        /// True if that is less than a year in operation.
        within_a_year: Option<bool> = w.within_a_year(),
    }
}
