use super::block::block;
use super::gauging::{MeasuredJson, measured};
use crate::flow::{
    Explanation, GaugeCause, GaugeReading, Gauges, IntakeCheck, IntakeSiphon, Month, StreamUse,
    Submergence, Takes, Unused,
};
use crate::line::Measured;
use crate::words::{Say, next_reading, unused_word};

block! {
    /// The block `gauges`.
    struct GaugesJson of (gauges: &Gauges, plant: &Measured, say: Say) {
        /// The readings.
        readings: Vec<ReadingJson> = gauges.readings.iter().map(|r| ReadingJson::of(r, plant)).collect(),
        /// Readings that were not used, with the reason.
        unused: Vec<UnusedJson> = gauges.unused.iter().map(|(i, why)| UnusedJson::of(*i, *why, plant)).collect(),
        /// True if all readings agree with the pipeline.
        agree: bool = gauges.agree(),
        /// Possible causes of the deviations.
        explanations: Vec<ExplanationJson> = gauges.explanations.iter().map(ExplanationJson::of).collect(),
        /// True if the readings can rank the causes.
        ranked: bool = gauges.ranked,
        /// The next reading to take.
        next_reading: Option<String> = gauges.next.as_ref().map(|n| next_reading(n, say)),
    }

    struct ExplanationJson of (e: &Explanation) {
        cause: GaugeCause = e.cause,
        head_m: f64 = e.head_m,
        sd_m: f64 = e.sd_m,
        /// Fit to all readings, 0 to 1.
        fit: f64 = e.fit,
        /// Group number: causes with the same number cannot be separated.
        alike: usize = e.alike,
        /// Stations of the high points, m.
        crests_m: Vec<f64> = e.crests_m.clone(),
        /// True if it needs more air than filling leaves.
        came_later: bool = e.came_later,
    }

    struct ReadingJson of (r: &GaugeReading, plant: &Measured) with {
        let gauge = plant.gauges.get(r.gauge);
    } {
        /// Number of the gauge in the site file, from 0.
        gauge: usize = r.gauge,
        station_m: Option<f64> = gauge.map(|g| g.station_m),
        height_m: Option<f64> = gauge.map(|g| g.height_m),
        state: Option<String> = gauge.map(|g| g.state.to_string()),
        /// True for a static reading.
        shut: bool = r.shut,
        pressure_pa: Option<f64> = gauge.map(|g| g.pressure_pa),
        /// Standard deviation of the reading, Pa.
        pressure_sd_pa: Option<f64> = gauge.map(|g| g.pressure_sd_pa),
        /// Expected pressure, Pa.
        expected_pa: f64 = r.expected_pa,
        off_m: f64 = r.off_m,
        /// Standard deviation of the deviation, m.
        off_sd_m: f64 = r.off_sd_m,
        /// True if it agrees within two standard deviations.
        agrees: bool = r.agrees,
        /// Measured head loss above the gauge, m.
        loss_m: f64 = r.loss_m,
        /// Calculated head loss above the gauge, m.
        loss_expected_m: f64 = r.loss_expected_m,
        flow_m3_per_s: f64 = r.flow_m3_per_s,
        /// True if the flow was measured.
        flow_measured: bool = r.flow_measured,
        /// Calculated flow, m3/s.
        flow_expected_m3_per_s: f64 = r.flow_expected_m3_per_s,
    }

    struct UnusedJson of (index: usize, why: Unused, plant: &Measured) {
        /// Index of the reading among those of the site file.
        gauge: usize = index,
        state: Option<String> = plant.gauges.get(index).map(|g| g.state.to_string()),
        why: &'static str = unused_word(why),
    }

    /// The block `stream`: what may be taken month by month.
    struct StreamJson of (stream: &StreamUse, plant: &Measured) {
        /// Measured days, in order of time.
        measured: Vec<MeasuredJson> = measured(stream, plant),
        /// Values by month.
        months: Vec<MonthJson> = stream.months.iter().map(|m| MonthJson::of(m, stream)).collect(),
        /// Compensation flow that stays in the stream, m3/s.
        leave_m3_per_s: f64 = stream.leave_m3_per_s,
        /// Month of the lowest flow, 1 to 12.
        driest_month: usize = stream.driest + 1,
        /// Flow required by each operating condition.
        takes: Vec<TakeJson> = stream.takes.iter().map(TakeJson::of).collect(),
    }

    struct MonthJson of (m: &Month, stream: &StreamUse) {
        flow_m3_per_s: f64 = m.flow_m3_per_s,
        /// Available flow, after the compensation flow, m3/s.
        may_take_m3_per_s: f64 = m.may_take_m3_per_s,
        /// Operating condition that the flow supplies with full pipe.
        feeds: Option<String> = m.feeds.and_then(|i| stream.takes.get(i)).map(|t| t.state.to_string()),
    }

    /// The block `intake`.
    struct IntakeJson of (intake: &IntakeCheck) {
        case: String = intake.case.to_string(),
        velocity_m_per_s: f64 = intake.velocity_m_per_s,
        cover_m: Option<f64> = intake.cover_m,
        wanted_m: f64 = intake.wanted_m,
        /// True if the submergence is sufficient.
        deep_enough: Option<bool> = intake.is_deep_enough(),
        siphon: Option<SiphonCrestJson> = intake.siphon.map(SiphonCrestJson::of),
        /// Required submergence by formula.
        formulas: Vec<FormulaJson> = intake.formulas.iter().map(FormulaJson::of).collect(),
        /// Station where the pipe has fallen by one inside diameter, m.
        first_to_m: f64 = intake.first.to_m,
        /// Lowest pressure head in the first section, m.
        first_least_gauge_m: f64 = intake.first.least_gauge_m,
        /// Station of the lowest pressure head in the first section, m.
        first_least_station_m: f64 = intake.first.least_station_m,
    }

    struct TakeJson of (t: &Takes) {
        case: String = t.state.to_string(),
        /// Flow at the intake, m3/s.
        at_intake_m3_per_s: f64 = t.at_intake_m3_per_s,
        /// Flow required in the stream, m3/s.
        stream_m3_per_s: f64 = t.stream_m3_per_s,
    }

    struct SiphonCrestJson of (s: IntakeSiphon) {
        crest_station_m: f64 = s.crest_station_m,
        lift_m: f64 = s.lift_m,
        /// Pressure head at the high point, m.
        gauge_m: f64 = s.gauge_m,
        working_limit_m: f64 = s.working_limit_m,
        vented: bool = s.vented,
        holds: bool = s.holds,
    }

    struct FormulaJson of (of: &(Submergence, f64)) with { let (by, cover_m) = *of; } {
        /// Name of the formula.
        formula: Submergence = by,
        cover_m: f64 = cover_m,
        from_memory: bool = by.is_from_memory(),
        /// True if this formula is used.
        used: bool = by == Submergence::GordonUneven,
    }
}
