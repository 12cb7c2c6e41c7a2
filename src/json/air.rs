//! The block `air`: where air stays and what it does, vents, drains, filling.

use super::block::block;
use crate::air::{
    Air, CrestState, Decider, Drain, Filling, LeftIn, LeftPocket, Pocket, PocketCause, Relation,
    ShutFill, ShutPocket, SiphonAir, Start, StartVerdict, Sweep, Vent, VentWhy,
};
use crate::pipe::Device;
use crate::report::marked::Marked;
use crate::words::{Say, vent_fault, vent_why_word};

block! {
    struct StartUpJson of (air: &Air) {
        #[serde(flatten)]
        start: StartJson = StartJson::of(&air.start, &air.cure.stations_m),
        /// Head margin in the worst case with these vents, m.
        margin_with_vents_m: f64 = air.cure.margin_m,
        /// Required head margin, m.
        margin_wanted_m: f64 = air.cure.wanted_margin_m,
        /// Probability that the pipeline restarts with these vents.
        probability_with_vents: f64 = air.cure.probability,
        /// True if these vents are sufficient.
        vents_enough: bool = air.cure.enough,
        /// True if the pipeline restarts with these vents.
        starts_with_vents: bool = air.cure.starts,
        /// Number of high points that were considered.
        crests_to_choose_from: usize = air.cure.candidates,
        /// True if every combination of vents was checked.
        all_sets_tried: bool = air.cure.all_sets,
        /// The same with nobody there to open air cocks.
        unattended: StartJson = StartJson::of(&air.unattended, &air.cure.unattended_m),
    }

    struct StartJson of (s: &Start, vents: &[f64]) {
        verdict: StartVerdict = s.verdict,
        /// Head margin in the worst case: downhill sections full of air, m.
        margin_worst_m: f64 = s.margin_worst_m,
        /// Head margin with compressed air, m.
        margin_compressed_m: f64 = s.margin_compressed_m,
        /// Standard deviation of the head margin, m.
        margin_sd_m: f64 = s.margin_sd_m,
        /// Probability that the pipeline restarts in the worst case.
        probability_starts: f64 = s.probability_starts,
        /// Probability that the pipeline restarts with compressed air.
        probability_starts_compressed: f64 = s.probability_compressed,
        /// Stations of the high points that need a vent, m.
        vents_needed: Vec<f64> = vents.to_vec(),
        /// High points with a water seal at the start.
        crests: Vec<CrestJson> = s.crests.iter().map(CrestJson::of).collect(),
        /// Sections with the largest share in the uncertainty.
        decided_by: Vec<DecidingJson> = s.decided_by.iter().map(DecidingJson::of).collect(),
    }

    struct DecidingJson of (d: &Decider) {
        from_station_m: f64 = d.from_m,
        to_station_m: f64 = d.to_m,
        head_m: f64 = d.head_m,
        /// Standard deviation of the head, m.
        head_sd_m: f64 = d.head_sd_m,
        certainty: f64 = d.share,
    }

    struct CrestJson of (c: &CrestState) {
        low_station_m: f64 = c.low_station_m,
        station_m: f64 = c.station_m,
        /// Station of the low point behind the high point, m.
        next_low_station_m: f64 = c.next_low_station_m,
        vented: bool = c.vented,
        /// True if a siphon is primed there by hand.
        primed: bool = c.primed,
        /// Head loss of the air pocket with its downhill section full of air, m.
        eats_m: f64 = c.sealed_m,
        /// Head loss of the compressed air pocket, m.
        eats_compressed_m: f64 = c.squeezed_m,
        volume_m3: f64 = c.sealed_m3,
        volume_compressed_m3: f64 = c.squeezed_m3,
        /// Head required below this high point in the worst case, m.
        needs_worst_m: f64 = c.needs_worst_m,
        /// Head required below this high point with compressed air, m.
        needs_compressed_m: f64 = c.needs_squeezed_m,
    }

    /// The block `air`.
    struct AirJson of (air: &Air, marked: &Marked<'_>, say: Say) {
        level_m: f64 = air.level_m,
        /// Atmospheric pressure as a head of water, m.
        air_head_m: f64 = air.air_head_m,
        pockets: Vec<PocketJson> = air.pockets.iter().map(|p| PocketJson::of(p, marked)).collect(),
        /// Operation with trapped air.
        left_in: Vec<LeftInJson> = air.left_in.iter().map(LeftInJson::of).collect(),
        /// Filling with the lower end closed.
        shut_fill: ShutFillJson = ShutFillJson::of(&air.shut_fill),
        /// The same with nobody there.
        shut_fill_alone: ShutFillJson = ShutFillJson::of(&air.shut_fill_alone),
        siphon: Option<SiphonJson> = air.siphon.as_ref().map(|s| SiphonJson::of(s, marked)),
        vents: Vec<VentJson> = air.vents.iter().map(|v| VentJson::of(v, marked, say)).collect(),
        /// Drains, existing and required.
        drains: Vec<DrainJson> = air.drains.iter().map(|d| DrainJson::of(d, marked)).collect(),
        /// Filling of the pipeline.
        filling: Filling = air.filling,
    }

    struct PocketJson of (p: &Pocket, marked: &Marked<'_>) with {
        let ids = |stands: &[usize]| -> Vec<String> {
        stands.iter().filter_map(|&i| marked.standing(i)).collect()
        };
    } {
        why: PocketCause = p.why,
        station_m: f64 = p.station_m,
        from_station_m: f64 = p.from_m,
        to_station_m: f64 = p.to_m,
        certainty: f64 = p.certainty,
        /// Number of the rising section in climbs, from 0.
        climb: Option<usize> = p.climb,
        /// True if water seals the low point.
        seals: bool = p.seals,
        volume_m3: f64 = p.at_rest.volume_m3,
        height_m: f64 = p.at_rest.height_m,
        volume_compressed_m3: f64 = p.compressed.volume_m3,
        /// Height of the compressed air pocket, m.
        height_compressed_m: f64 = p.compressed.height_m,
        vented_by: Vec<String> = ids(&p.vented_by),
        /// True if the device needs an operator.
        vented_by_hand: Vec<String> = ids(&p.by_hand),
        /// Air clearing by the flow.
        sweeping: Vec<SweepJson> = p.sweeps.iter().map(SweepJson::of).collect(),
        from_memory: bool = p.from_memory,
    }

    struct SweepJson of (s: &Sweep) with {
        let (from, to) = s.relation.tested_rad();
    } {
        case: String = s.case.to_string(),
        /// Name of the formula.
        relation: Relation = s.relation,
        velocity_m_per_s: f64 = s.speed_m_per_s,
        /// Velocity that clears the air, m/s.
        critical_m_per_s: f64 = s.critical_m_per_s,
        /// True if the flow is faster than the clearing velocity.
        faster: bool = s.speed_m_per_s > s.critical_m_per_s,
        slope_deg: f64 = s.slope_rad.to_degrees(),
        /// Smallest slope of the tests, degrees.
        tested_from_deg: f64 = from.to_degrees(),
        /// Largest slope of the tests, degrees.
        tested_to_deg: f64 = to.to_degrees(),
        /// True outside the range of the tests.
        beyond_tests: bool = s.beyond_tests,
        from_memory: bool = s.from_memory,
    }

    struct LeftInJson of (l: &LeftIn) {
        case: String = l.case.to_string(),
        /// Head loss of the compressed air, m.
        head_compressed_m: f64 = l.head_compressed_m,
        /// Head loss with the downhill sections full of air, m.
        head_full_m: f64 = l.head_full_m,
        /// Flow with compressed air, m3/s.
        flow_compressed_m3_per_s: Option<f64> = l.flow_compressed_m3_per_s,
        /// Flow with the downhill sections full of air, m3/s.
        flow_full_m3_per_s: Option<f64> = l.flow_full_m3_per_s,
        /// Share of the power with compressed air.
        power_share_compressed: f64 = l.power_share_compressed,
        /// Share of the power with the downhill sections full of air.
        power_share_full: f64 = l.power_share_full,
        /// True if water flows with compressed air.
        runs_compressed: bool = l.flow_compressed_m3_per_s.is_some(),
        /// True if water flows with the downhill sections full of air.
        runs_full: bool = l.flow_full_m3_per_s.is_some(),
        pockets: Vec<LeftPocketJson> = l.pockets.iter().map(LeftPocketJson::of).collect(),
    }

    struct ShutFillJson of (s: &ShutFill) {
        /// Head margin, m.
        margin_m: f64 = s.margin_m,
        /// Amount by which the gauge at the turbine reads low, m.
        gauge_low_m: f64 = s.gauge_low_m,
        pockets: Vec<ShutPocketJson> = s.pockets.iter().map(ShutPocketJson::of).collect(),
    }

    struct LeftPocketJson of (p: &LeftPocket) {
        station_m: f64 = p.station_m,
        volume_m3: f64 = p.held.volume_m3,
        height_m: f64 = p.held.height_m,
    }

    struct SiphonJson of (s: &SiphonAir, marked: &Marked<'_>) {
        station_m: f64 = s.station_m,
        lift_m: f64 = s.lift_m,
        /// Height at which water boils, m.
        boils_at_m: f64 = s.boils_at_m,
        /// Highest lift that works, m.
        works_to_m: f64 = s.works_to_m,
        holds: bool = s.holds(),
        /// Head margin of the restart after priming, m.
        margin_primed_m: f64 = s.margin_primed_m,
        /// Vent that lets air into the siphon.
        broken_by: Option<String> = s.broken_by.and_then(|i| marked.standing(i)),
    }

    struct ShutPocketJson of (p: &ShutPocket) {
        station_m: f64 = p.station_m,
        /// True for the last downhill section.
        last_leg: bool = p.last_leg,
        fall_m: f64 = p.fall_m,
        volume_m3: f64 = p.held.volume_m3,
        height_m: f64 = p.held.height_m,
        pressure_pa: f64 = p.pressure_pa,
    }

    struct VentJson of (v: &Vent, marked: &Marked<'_>, say: Say) {
        mark: Option<String> = marked.vent(v),
        stands: bool = v.stands.is_some(),
        station_m: f64 = v.station_m,
        tolerance_m: f64 = v.tolerance_m,
        why: &'static str = vent_why_word(v.why),
        why_code: VentWhy = v.why,
        device: Device = v.device,
        bore_m: f64 = v.bore_m,
        top_m: Option<f64> = v.top_m,
        /// True if an isolating valve is required below it.
        isolating_cock: bool = v.isolating_cock,
        /// Operating conditions in which the vent draws air in.
        inhales_in: Vec<String> = v.inhales.iter().map(ToString::to_string).collect(),
        /// Required air release flow, m3/s.
        air_out_m3_per_s: Option<f64> = v.out.map(|p| p.flow_m3_per_s),
        /// Inside diameter for air release, m.
        air_out_bore_m: Option<f64> = v.out.map(|p| p.bore_m),
        /// Required air admission flow, m3/s.
        air_in_m3_per_s: Option<f64> = v.inward.map(|p| p.flow_m3_per_s),
        /// Inside diameter for air admission, m.
        air_in_bore_m: Option<f64> = v.inward.map(|p| p.bore_m),
        /// Allowable vacuum during air admission, Pa.
        vacuum_pa: Option<f64> = v.inward.map(|p| p.across_pa),
        /// True if it needs an operator.
        by_hand: bool = v.by_hand,
        /// What is wrong with the existing vent.
        faults: Vec<String> = v.faults.iter().map(|f| vent_fault(f, say)).collect(),
        from_memory: bool = v.from_memory,
    }

    struct DrainJson of (d: &Drain, marked: &Marked<'_>) {
        mark: Option<String> = marked.drain(d),
        stands: bool = d.stands.is_some(),
        station_m: f64 = d.station_m,
        certainty: f64 = d.certainty,
        bore_m: f64 = d.bore_m,
        /// Inside diameter that passes silt, m.
        silt_bore_m: f64 = d.silt_bore_m,
        /// Emptying time, s.
        emptying_s: f64 = d.emptying_s,
        /// Initial flow, m3/s.
        first_flow_m3_per_s: f64 = d.first_flow_m3_per_s,
        /// Water that stays without this drain, m3.
        left_standing_m3: f64 = d.left_standing_m3,
        /// Length of pipe with water that stays, m.
        left_length_m: f64 = d.left_length_m,
        /// True if the water can freeze.
        frost: bool = d.frost,
        from_memory: bool = d.from_memory,
    }
}
