use super::block::block;
use crate::compare::{
    By, CaseChange, ClimbChange, Climbing, Compared, DetectionLimit, Moved, MovedVerdict, NewLow,
    OtherReach, StrengthChange, Sucked, Tight, UrgentAction,
};
use crate::line::Line;
use crate::words::consequence::{Consequence, consequences};
use crate::words::{Say, storm};

block! {
    struct MovedJson of (m: &Moved) {
        from_station_m: f64 = m.from_m,
        to_station_m: f64 = m.to_m,
        /// Upward movement, negative: down, m.
        up_m: f64 = m.up_m,
        /// Standard deviation of the upward movement, m.
        up_sd_m: f64 = m.up_sd_m,
        /// Movement to the left, negative: right, m.
        side_m: Option<f64> = m.side_m,
        /// Standard deviation of the sideways movement, m.
        side_sd_m: Option<f64> = m.side_sd_m,
        /// Movement down the pipe, m.
        along_m: Option<f64> = m.along_m,
        /// Standard deviation of the movement along the pipe, m.
        along_sd_m: Option<f64> = m.along_sd_m,
        /// Elongation, m.
        longer_m: f64 = m.longer_m,
        /// Standard deviation of the elongation, m.
        longer_sd_m: f64 = m.longer_sd_m,
        /// Largest possible movement, m.
        most_m: f64 = m.most_m,
        /// Upward movement at the high point, m.
        crest_up_m: f64 = m.crest_up_m,
        /// Standard deviation of the upward movement at the high point, m.
        crest_up_sd_m: f64 = m.crest_up_sd_m,
        crest_station_m: f64 = m.crest_station_m,
        /// Probability of at least this much without any movement.
        p: Option<f64> = m.p,
        /// Another section that possibly moved in its place.
        instead: Option<OtherReach> = m.instead,
        verdict: MovedVerdict = m.verdict,
    }

    /// The block `storm`: how the surveys were brought together and what it changed.
    struct StormJson of (compared: &Compared, line: &Line, say: Say) with {
        let alignment = &compared.alignment;
    } {
        /// How the two surveys were fitted together.
        aligned: By = alignment.by,
        /// Start of the section that both surveys cover, m.
        covers_from_m: f64 = alignment.from_m,
        /// End of the section that both surveys cover, m.
        covers_to_m: f64 = alignment.to_m,
        /// Offset of height between the surveys, m.
        height_offset_m: f64 = alignment.height_offset_m,
        /// Standard deviation of the offset, m.
        height_offset_sd_m: f64 = alignment.height_offset_sd_m,
        /// True if the later survey was in the opposite direction.
        turned: bool = alignment.turned,
        /// Detection limit of the two surveys.
        sight: DetectionLimit = compared.sight,
        /// First actions, the most urgent first.
        tonight: Vec<String> = storm::tonight(compared, &line.stands, say),
        /// Stable codes of the first actions, in the same order.
        tonight_codes: Vec<UrgentAction> = compared.tonight.clone(),
        climbs: Vec<ChangedClimbJson> = compared.climbs.iter().map(ChangedClimbJson::of).collect(),
        /// Head margin of the restart before, m.
        start_margin_before_m: Option<f64> = compared.start_margin_m.map(|m| m.0),
        /// Head margin of the restart now, m.
        start_margin_after_m: Option<f64> = compared.start_margin_m.map(|m| m.1),
        /// Air without a vent before, m3.
        pockets_before_m3: f64 = compared.pockets_m3.0,
        /// Air without a vent now, m3.
        pockets_after_m3: f64 = compared.pockets_m3.1,
        cases: Vec<ChangedCaseJson> = compared.cases.iter().map(ChangedCaseJson::of).collect(),
        /// Places with new or lower negative pressure.
        sucked: Vec<SuckedJson> = compared.sucked.iter().map(SuckedJson::of).collect(),
        /// Sections with a changed utilization.
        pressed: Vec<PressedJson> = compared.pressed.iter().map(PressedJson::of).collect(),
        /// Bends that are too sharp.
        tight: Vec<TightJson> = compared.tight.iter().map(TightJson::of).collect(),
        lows: Vec<ChangedLowJson> = compared.lows.iter().map(ChangedLowJson::of).collect(),
        /// What is affected: before, now, and the action.
        consequences: Vec<ConsequenceJson> = consequences(compared, &line.fittings, &line.stands, say).into_iter().map(ConsequenceJson::of).collect(),
        /// Devices that are no longer in their place.
        off_line: Vec<String> = compared.off_line.iter().map(|o| storm::off_line(o, &line.fittings, &line.stands, say)).collect(),
        /// Sections to survey with a level before digging.
        level_first: Vec<LevelFirstJson> = compared.level_first_m.iter().map(LevelFirstJson::of).collect(),
    }

    struct ChangedClimbJson of (c: &ClimbChange) {
        what: Climbing = c.what,
        station_m: Option<f64> = c.after.as_ref().or(c.before.as_ref()).map(|c| c.low_station_m),
        /// Rise before, m.
        rise_before_m: Option<f64> = c.before.as_ref().map(|c| c.rise_m),
        /// Rise after the low point; for a comparison, the rise now, m.
        rise_after_m: Option<f64> = c.after.as_ref().map(|c| c.rise_m),
    }

    struct ChangedCaseJson of (c: &CaseChange) {
        name: String = c.state.to_string(),
        /// Flow before, m3/s.
        flow_before_m3_per_s: f64 = c.flow_m3_per_s.0,
        /// Flow now, m3/s.
        flow_after_m3_per_s: f64 = c.flow_m3_per_s.1,
        /// Hydraulic power before, W.
        power_before_w: f64 = c.power_w.0,
        /// Hydraulic power now, W.
        power_after_w: f64 = c.power_w.1,
        /// Standard deviation of the power, W.
        power_sd_w: f64 = c.power_sd_w,
        /// Share of the power with trapped air, before.
        with_air_before: Option<f64> = c.with_air.map(|a| a.0),
        /// Share of the power with trapped air, now.
        with_air_after: Option<f64> = c.with_air.map(|a| a.1),
        /// True if the flow is newly limited by a high point.
        newly_limited: bool = c.newly_limited,
    }

    struct SuckedJson of (s: &Sucked) {
        case: String = s.case.to_string(),
        station_m: f64 = s.station_m,
        /// Lowest pressure before, Pa.
        before_pa: f64 = s.before_pa,
        /// Lowest pressure now, Pa.
        after_pa: f64 = s.after_pa,
    }

    struct PressedJson of (p: &StrengthChange) {
        from_station_m: f64 = p.from_m,
        to_station_m: f64 = p.to_m,
        spec: String = p.spec.clone(),
        /// Utilization before.
        use_high_before: Option<f64> = p.use_high.0,
        /// Utilization now.
        use_high_after: Option<f64> = p.use_high.1,
        /// Share of the allowable external pressure before.
        outside_use_before: f64 = p.outside_use.0,
        /// Share of the allowable external pressure now.
        outside_use_after: f64 = p.outside_use.1,
    }

    struct TightJson of (t: &Tight) {
        station_m: f64 = t.station_m,
        angle_deg: f64 = t.angle_rad.to_degrees(),
        /// Smallest allowable bend radius, m.
        least_radius_m: Option<f64> = t.least_radius_m,
        /// True if the survey is not accurate enough to tell.
        cannot_tell: bool = t.cannot_tell,
    }

    struct ChangedLowJson of (l: &NewLow) {
        station_m: f64 = l.station_m,
        /// Static pressure before, Pa.
        standing_before_pa: f64 = l.standing_pa.0,
        /// Static pressure now, Pa.
        standing_after_pa: f64 = l.standing_pa.1,
        allowed_pa: Option<f64> = l.allowed_pa,
        use_high: Option<f64> = l.use_high,
    }

    struct ConsequenceJson of (c: Consequence) {
        what: String = c.what,
        before: String = c.before,
        /// As it is now.
        now: String = c.now,
        r#do: String = c.act,
        /// True if it is worse than before.
        worse: bool = c.worse,
    }

    struct LevelFirstJson of (of: &(f64, f64)) {
        from_station_m: f64 = of.0,
        to_station_m: f64 = of.1,
    }
}
