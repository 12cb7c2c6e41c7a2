use super::block::block;
use super::whole::ProgramJson;
use crate::gauge_book::{
    Cause, ChannelKind, Episode, ExplainedReading, Forecast, GaugeBook, JudgedBook, ReadNext,
    Readings, Suspect,
};
use crate::line::Line;
use crate::report::pegged::on_pegs;
use crate::unit::date;
use serde_json::{Value, json};

block! {
    /// Results of a gauge book. Values are in SI, with the unit in the key.
    struct BookResultJson of (judged: &JudgedBook, book: &GaugeBook, line: &Line) {
        #[cfg_attr(test, schemars(extend("const" = super::whole::FORMAT)))]
        format: u32 = super::whole::FORMAT,
        program: ProgramJson = ProgramJson::of(),
        title: String = line.heading.title.clone(),
        /// The gauge book.
        gauge_book: BookJson = BookJson::of(judged, book),
    }

    struct BookJson of (judged: &JudgedBook, book: &GaugeBook) {
        /// Number of readings.
        rows_read: usize = book.rows,
        /// True if the file is a logger file.
        from_logger: bool = book.logged,
        /// Date of the first reading.
        from_date: String = date(judged.days.0),
        /// Date of the last reading.
        to_date: String = date(judged.days.1),
        /// Standard deviation of the level at the intake by itself, m.
        wander_m: f64 = judged.wander_m,
        /// The readings by kind, operating condition and place.
        readings: Vec<BookReadingsJson> = judged.rows.iter().map(BookReadingsJson::of).collect(),
        /// The changes found, in the order of their beginning.
        changes: Vec<ChangeJson> = judged.episodes.iter().map(ChangeJson::of).collect(),
        /// Rows of the sheet that are outliers. They are not used.
        alone_rows: Vec<u32> = judged.alone.iter().filter_map(|i| book.entries.get(*i)).map(|e| e.line).collect(),
        /// Forecast of a change that grows. Missing if none grows or there are not enough readings.
        forecast: Option<ForecastJson> = judged.forecast.map(ForecastJson::of),
        /// Remarks on the sheet.
        remarks: Vec<String> = book.remarks.iter().map(|r| r.text.to_string()).collect(),
    }

    struct DatesJson of (days: (f64, f64, f64)) with { let (soon, likely, late) = days; } {
        /// Earliest date (95 %).
        earliest: String = date(soon),
        /// Most likely date.
        likeliest: String = date(likely),
        /// Latest date (95 %). Missing if there is no limit.
        latest: Option<String> = late.is_finite().then(|| date(late.min(likely + 3650.0))),
    }

    struct ForecastJson of (f: Forecast) {
        /// Cause, a fixed word.
        cause: Cause = f.cause,
        /// Share of the power that is lost now, 0 to 1.
        power_lost_now: f64 = f.lost_now,
        /// When 5 % of the power are lost.
        five_percent: Option<DatesJson> = f.five.map(DatesJson::of),
        /// When 10 % of the power are lost.
        ten_percent: Option<DatesJson> = f.ten.map(DatesJson::of),
        /// Number of readings behind the forecast.
        readings: usize = f.readings,
    }

    struct ChangeJson of (e: &Episode) {
        /// Date on which it begins.
        from_date: String = date(e.course.from),
        /// Date on which it is complete.
        full_date: String = date(e.course.full),
        /// Date on which it ends. Missing if it is still there.
        until_date: Option<String> = (!e.on_now).then(|| date(e.course.until)),
        /// Logarithm of the likelihood ratio against no change.
        log_likelihood_ratio: f64 = e.ratio,
        /// True if the readings separate the first cause from all others.
        told_apart: bool = e.alike().len() == 1,
        /// Possible causes, the most likely first.
        causes: Vec<SuspectJson> = e.suspects.iter().map(SuspectJson::of).collect(),
        /// The next reading that separates the first cause from its rival.
        next_reading: Option<BookNextJson> = e.next.as_ref().map(BookNextJson::of),
    }

    struct SuspectJson of (s: &Suspect) {
        /// Cause, a fixed word.
        cause: Cause = s.cause,
        /// Probability, 0 to 1. The probabilities of all causes of one change add up to 1.
        chance: f64 = s.chance,
        /// Size in the cause's own measure. Obstruction, air, level and gauge: head in m. Growth: share of the change from new to fouled pipe. Nozzles: share of their area. Leak: flow in m3/s.
        size: f64 = s.size,
        /// Standard deviation of the size, in the same measure.
        size_sd: f64 = s.size_sd,
        /// Effect on the gauge at the turbine with the valve closed, m.
        gauge_shut_m: Option<f64> = s.shut_m,
        /// Effect on the gauge at the turbine at the largest flow, m.
        gauge_running_m: Option<f64> = s.running_m,
        /// Share of the power that is lost at the largest flow, 0 to 1.
        power_lost: Option<f64> = s.power_lost,
    }

    struct BookNextJson of (n: &ReadNext) with {
        let [if_first_m, if_first_m3_per_s, if_first_w] = by_unit(n.kind, n.expected.0);
        let [if_rival_m, if_rival_m3_per_s, if_rival_w] = by_unit(n.kind, n.expected.1);
    } {
        /// What to read.
        kind: ChannelKind = n.kind,
        /// Operating condition for the reading.
        state: String = n.state.to_string(),
        /// Expected value if the first cause is true: pressure head, m.
        if_first_m: Option<f64> = if_first_m,
        /// Expected value if the first cause is true: flow, m3/s.
        if_first_m3_per_s: Option<f64> = if_first_m3_per_s,
        /// Expected value if the first cause is true: power, W.
        if_first_w: Option<f64> = if_first_w,
        /// Expected value if the rival is true: pressure head, m.
        if_rival_m: Option<f64> = if_rival_m,
        /// Expected value if the rival is true: flow, m3/s.
        if_rival_m3_per_s: Option<f64> = if_rival_m3_per_s,
        /// Expected value if the rival is true: power, W.
        if_rival_w: Option<f64> = if_rival_w,
        /// The other cause, a fixed word.
        rival: Cause = n.rival,
    }

    struct BookReadingsJson of (r: &Readings) with {
        let [computed_m, computed_m3_per_s, computed_w] = by_unit(r.kind, r.computed);
        let [computed_sd_m, computed_sd_m3_per_s, computed_sd_w] = by_unit(r.kind, r.computed_sd);
        let [off_m, off_m3_per_s, off_w] = by_unit(r.kind, r.off);
        let [noise_m, noise_m3_per_s, noise_w] = by_unit(r.kind, r.noise);
    } {
        /// What is read.
        kind: ChannelKind = r.kind,
        /// Operating condition.
        state: String = r.state.to_string(),
        station_m: f64 = r.station_m,
        /// Calculated value: pressure head, m.
        computed_m: Option<f64> = computed_m,
        /// Calculated value: flow, m3/s.
        computed_m3_per_s: Option<f64> = computed_m3_per_s,
        /// Calculated value: power, W.
        computed_w: Option<f64> = computed_w,
        /// Standard deviation of the calculated value: pressure head, m.
        computed_sd_m: Option<f64> = computed_sd_m,
        /// Standard deviation of the calculated value: flow, m3/s.
        computed_sd_m3_per_s: Option<f64> = computed_sd_m3_per_s,
        /// Standard deviation of the calculated value: power, W.
        computed_sd_w: Option<f64> = computed_sd_w,
        /// Reading less calculated value from the first reading on: pressure head, m.
        off_m: Option<f64> = off_m,
        /// Reading less calculated value from the first reading on: flow, m3/s.
        off_m3_per_s: Option<f64> = off_m3_per_s,
        /// Reading less calculated value from the first reading on: power, W.
        off_w: Option<f64> = off_w,
        /// Standard deviation of one reading: pressure head, m.
        noise_m: Option<f64> = noise_m,
        /// Standard deviation of one reading: flow, m3/s.
        noise_m3_per_s: Option<f64> = noise_m3_per_s,
        /// Standard deviation of one reading: power, W.
        noise_w: Option<f64> = noise_w,
        /// The readings in the order of time.
        points: Vec<BookPointJson> = r.points.iter().map(|p| BookPointJson::of(p, r.kind)).collect(),
    }

    struct BookPointJson of (p: &ExplainedReading, kind: ChannelKind) with {
        let [read_m, read_m3_per_s, read_w] = by_unit(kind, p.read);
        let [explained_m, explained_m3_per_s, explained_w] = by_unit(kind, p.explained);
    } {
        /// Date and time of the reading.
        date: String = date(p.day),
        /// As read: pressure head, m.
        read_m: Option<f64> = read_m,
        /// As read: flow, m3/s.
        read_m3_per_s: Option<f64> = read_m3_per_s,
        /// As read: power, W.
        read_w: Option<f64> = read_w,
        /// Expected with the difference from the start and all changes found: pressure head, m.
        explained_m: Option<f64> = explained_m,
        /// Expected with the difference from the start and all changes found: flow, m3/s.
        explained_m3_per_s: Option<f64> = explained_m3_per_s,
        /// Expected with the difference from the start and all changes found: power, W.
        explained_w: Option<f64> = explained_w,
        /// True for an outlier. It is not used.
        alone: Option<bool> = p.alone.then_some(true),
    }
}

/// The JSON of a book.
pub fn value(judged: &JudgedBook, book: &GaugeBook, line: &Line) -> Value {
    let out = BookResultJson::of(judged, book, line);
    on_pegs(json!(out), &line.geometry.pegs)
}

/// A figure under the key whose ending is the unit of what is read: `_m`, `_m3_per_s`, `_w`.
fn by_unit(kind: ChannelKind, value: f64) -> [Option<f64>; 3] {
    match kind {
        ChannelKind::Pressure => [Some(value), None, None],
        ChannelKind::Flow | ChannelKind::Fed => [None, Some(value), None],
        ChannelKind::Power => [None, None, Some(value)],
    }
}
