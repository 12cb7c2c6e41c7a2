//! What movements do, as `surges` and `filling_blow`.

use super::block::block;
use crate::march::ScheduleStage;
use crate::pipe::{Law, Often};
use crate::surge::{
    ClosedForms, ClosingTimeSearch, Governs, HeadHistory, InState, Surge, SurgeAssumption,
    SurgePoint, Timing,
};

block! {
    struct SurgeJson of (surge: &Surge) {
        /// Name of the valve operation.
        movement: String = surge.movement.clone(),
        /// Load case: routine or rare (recurring, occasional).
        often: Often = surge.often,
        standard: bool = !surge.asked,
        /// Operation that replaces this one in the assessment.
        answered_by: Option<String> = surge.answered_by.clone(),
        /// Operating condition at the start of the operation.
        during: String = surge.during.to_string(),
        /// Opening at the start, 0 to 1.
        from: f64 = surge.from,
        /// Opening at the end, 0 to 1.
        to: f64 = surge.to,
        /// Closing or opening time, s.
        over_s: f64 = surge.over_s,
        /// what goes evenly in that time and in the shortest safe one: "stroke" or open "area"
        law: Law = surge.law,
        /// How the time is given.
        timing: Timing = surge.timing,
        /// False while trapped air can stay at a high point.
        valid: bool = surge.valid,
        /// Operating conditions from which the operation was calculated.
        states: Vec<SurgeStateJson> = surge.states.iter().map(SurgeStateJson::of).collect(),
        /// Wave speed of each pipe, in order, m/s.
        wave_speeds_m_per_s: Vec<f64> = surge.wave_speeds_m_per_s.clone(),
        /// Low limit of each wave speed, m/s.
        wave_speeds_low_m_per_s: Vec<f64> = surge.wave_speed_bands_m_per_s.iter().map(|b| b.low).collect(),
        /// High limit of each wave speed, m/s.
        wave_speeds_high_m_per_s: Vec<f64> = surge.wave_speed_bands_m_per_s.iter().map(|b| b.high).collect(),
        /// Largest relative change of a wave speed to fit whole cells.
        wave_speed_adjustment: f64 = surge.adjustment,
        /// Largest distance of a device from its node, m.
        grid_shift_m: f64 = surge.moved_m,
        /// Critical time 2L/a: the travel time of a wave to the intake and back, s.
        critical_time_s: f64 = surge.critical_time_s,
        /// Minimum safe closing or opening time, s.
        shortest_safe_s: Option<f64> = surge.shortest_safe_s,
        /// Search for the minimum safe time.
        search: Option<SearchJson> = surge.search.as_ref().map(SearchJson::of),
        head_max_m: f64 = surge.head_max_m,
        /// Time of the maximum head, s.
        head_max_at_s: f64 = surge.head_max_at_s,
        head_min_m: Option<f64> = surge.head_min_m,
        /// Maximum head with the low wave speeds, m.
        head_max_slow_m: f64 = surge.head_slow_m.0,
        /// Minimum head with the low wave speeds, m.
        head_min_slow_m: Option<f64> = surge.head_slow_m.1,
        /// True if the pressure falls to vapour pressure: column separation.
        vapour: bool = surge.vapour.is_some(),
        /// Start of the section with column separation, m.
        vapour_from_m: Option<f64> = surge.vapour.map(|v| v.from_m),
        /// End of the section with column separation, m.
        vapour_to_m: Option<f64> = surge.vapour.map(|v| v.to_m),
        /// Time of the first column separation, s.
        vapour_at_s: Option<f64> = surge.vapour.map(|v| v.at_s),
        /// Station of the first column separation, m.
        vapour_first_m: Option<f64> = surge.vapour.map(|v| v.first_m),
        /// True if air enters at the nozzles.
        air_at_jets: bool = surge.air_at_jets,
        /// Existing devices in the calculation.
        stands_counted: Vec<usize> = stands(surge, true),
        /// Existing devices that are not in the calculation.
        stands_left_out: Vec<usize> = stands(surge, false),
        points: Vec<SurgePoint> = surge.points.clone(),
        /// Head against time at the turbine.
        at_turbine: TraceJson = TraceJson::of(&surge.at_turbine),
        /// Head against time at the governing station.
        at_worst: TraceJson = TraceJson::of(&surge.at_worst),
        /// Closed formulas, for comparison only.
        closed_forms: ClosedForms = surge.closed,
    }

    struct TraceJson of (t: &HeadHistory) {
        station_m: f64 = t.station_m,
        /// Time, s.
        time_s: Vec<f64> = t.points.iter().map(|p| p.0).collect(),
        head_m: Vec<f64> = t.points.iter().map(|p| p.1).collect(),
    }

    struct SurgeStateJson of (s: &InState) {
        state: String = s.state.to_string(),
        head_max_m: f64 = s.head_max_m,
        head_min_m: Option<f64> = s.head_min_m,
    }

    struct SearchJson of (search: &ClosingTimeSearch) {
        /// Minimum safe time at a constant rate, s.
        straight_s: Option<f64> = search.straight_s,
        /// Stages of a two-stage operation.
        stages: Option<Vec<ScheduleStage>> = search.staged.clone(),
        /// Longest time that was checked, s.
        longest_s: f64 = search.longest_s,
        /// Station that governs, m.
        governing_station_m: f64 = search.governing_station_m,
        /// What governs the time.
        governed_by: Governs = search.governed_by,
        /// True if no time is sufficient.
        no_time_helps: bool = search.hopeless,
    }
}

/// Marks on the line that took part, or could not: their indexes among the marks.
fn stands(surge: &Surge, counted: bool) -> Vec<usize> {
    surge
        .taken
        .iter()
        .filter_map(|t| match t {
            SurgeAssumption::StandCounted(i) if counted => Some(*i),
            SurgeAssumption::StandLeftOut(i) if !counted => Some(*i),
            _ => None,
        })
        .collect()
}
