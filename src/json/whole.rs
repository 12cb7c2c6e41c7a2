use super::air::{AirJson, StartUpJson};
use super::block::block;
use super::drawn_section::ColumnJson;
use super::drawn_section::columns;
use super::found::FindingJson;
use super::holds::AnchorsJson;
use super::instruments::{GaugesJson, IntakeJson, StreamJson};
use super::metal::MetalsJson;
use super::proof::TestJson;
use super::route::{ClimbJson, RouteJson, SurveyJson};
use super::running::{CaseJson, LargestJson};
use super::solids::{GritJson, ScreenJson};
use super::storm::{MovedJson, StormJson};
use super::strong::{NotJudgedJson, OutsideJson, StrengthJson, ZonesJson};
use super::surge::SurgeJson;
use super::work::{LayingJson, RegradeJson, WorkStepJson};
use crate::finding::Verdict;
use crate::flow::Run;
use crate::line::{Assumed, Line};
use crate::mark::{Mark, MarkReason, Status};
use crate::pipe::{Device, MarkKind};
use crate::profile::{Flat, Low};
use crate::report::account::{Report, StormReport, SurveyReport};
use crate::report::laying_list;
use crate::report::marked::{Marked, vented_by};
use crate::report::pegged::on_pegs;
use crate::strength::ReachStrength;
use crate::study::{Falls, JudgedReach, Lacks, NotComputed, Study};
use crate::surge::FillingSlam;
use crate::unit::Units;
use crate::view::section;
use crate::words::{AssumedValue, Say, lacks, survey_line, taken, verdict_line, why_word};
use serde::Serialize;
use serde_json::{Value, json};

/// Rises when a key changes meaning or goes.
pub(super) const FORMAT: u32 = 2;

/// Values are in SI, with the unit in the key.
/// Heights, hydraulic grade lines and surge heads are elevations in the datum of the survey.
/// Pressures are above atmospheric pressure.
/// A list that was calculated is present, even if it is empty.
/// A missing key means that it was not calculated: not_computed gives the reason.
/// Words in the values are fixed: stands is existing, wanted is required, locks is air-locked, cannot tell and not settled mean that the survey is not accurate enough.
#[derive(Debug, Default, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(super) struct ResultJson {
    #[cfg_attr(test, schemars(extend("const" = FORMAT)))]
    format: u32,
    program: ProgramJson,
    title: String,
    /// Units that the user selected for texts: metric or US. All values in this file are in SI.
    units: Units,
    #[cfg_attr(test, schemars(required))]
    verdict: Option<VerdictJson>,
    /// The verdict in one line, in the user's units.
    verdict_text: String,
    /// Results that were not calculated, each with its reason.
    not_computed: Vec<NotComputedJson>,
    /// Data of the survey.
    survey: SurveyJson,
    /// The route of the pipe.
    route: RouteJson,
    /// Sections of the pipe with their verdict.
    reaches: Option<Vec<FallsJson>>,
    climbs: Vec<ClimbJson>,
    lows: Vec<Low>,
    /// Nearly level sections.
    flats: Vec<Flat>,
    cases: Option<Vec<CaseJson>>,
    start_up: Option<StartUpJson>,
    /// Air in the pipe: pockets, vents, drains, filling.
    air: Option<AirJson>,
    /// Maximum hydraulic power of this pipe.
    largest_power: Option<LargestJson>,
    /// Surge (water hammer) of each valve operation.
    surges: Option<Vec<SurgeJson>>,
    /// Pressure rise when the filling water stops suddenly.
    filling_blow: Option<FillingSlam>,
    strength: Option<Vec<StrengthJson>>,
    /// Pipe classes by section.
    zones: Option<ZonesJson>,
    /// External pressure: vacuum and traffic.
    outside: Option<OutsideJson>,
    /// What could not be assessed.
    not_judged: Option<NotJudgedJson>,
    /// Gauge readings and their explanation.
    gauges: Option<GaugesJson>,
    /// Available flow and the conditions that it supplies.
    stream: Option<StreamJson>,
    /// Submergence, siphon and first section.
    intake: Option<IntakeJson>,
    /// Screen before the pipe inlet.
    screen: Option<ScreenJson>,
    /// Corrosion of metal parts.
    metals: Option<MetalsJson>,
    /// Pressure test as it was done.
    pressure_test: Option<TestJson>,
    /// Sand in the water, settling basin and wear of the nozzles.
    grit: Option<GritJson>,
    /// Regrading plans.
    regrade: Option<Vec<RegradeJson>>,
    /// Pipe-laying schedule and material list.
    laying: Option<LayingJson>,
    /// Anchors, thrust blocks and supports.
    anchors: Option<AnchorsJson>,
    /// Results that change when the required devices are installed.
    as_advised: Option<AdvisedJson>,
    /// the order of work, step by step
    work: Option<Vec<WorkStepJson>>,
    /// the columns of the table under the drawn section
    section: Vec<ColumnJson>,
    /// Devices and points on the pipeline, existing and required.
    marks: Option<Vec<MarkJson>>,
    /// Assumed values, because no input was given.
    assumed: Option<Vec<AssumedJson>>,
    /// Findings in order of severity.
    findings: Vec<FindingJson>,
    /// Sections that moved.
    moved: Option<Vec<MovedJson>>,
    /// Results of the comparison.
    storm: Option<StormJson>,
    #[cfg_attr(test, schemars(schema_with = "earlier"))]
    before: Option<Value>,
}

/// The earlier survey's figures, in a schema: the whole once more.
#[cfg(test)]
fn earlier(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
    schemars::json_schema!({ "$ref": "#" })
}

/// The verdict on a plant, or on a survey alone.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(untagged)]
enum VerdictJson {
    Plant(Verdict),
    Survey(Falls),
}

block! {
    /// The figures that change once what is wanted stands.
    struct AdvisedJson of (study: &Study) with {
        let findings = crate::finding::of_study(study);
        let reaches = study.strength.as_ref().map(|s| &s.reaches);
    } {
        verdict: Verdict = crate::finding::verdict(&findings),
        /// Devices that are still required then.
        marks_wanted_still: usize = study.wanted(),
        cases: Vec<AdvisedCaseJson> = study.cases.runs.iter().map(AdvisedCaseJson::of).collect(),
        start_up: Option<StartUpJson> = study.air.as_ref().map(StartUpJson::of),
        strength: Option<Vec<AdvisedReachJson>> = reaches.map(|all| all.iter().map(AdvisedReachJson::of).collect()),
    }

    struct AssumedJson of (a: &Assumed, say: Say) with { let AssumedValue { what, value, why } = taken(a, say); } {
        code: Assumed = a.clone(),
        what: String = what,
        /// The value as text.
        value: String = value,
        why: String = why,
    }

    struct FallsJson of (r: &JudgedReach) {
        from_station_m: f64 = r.from_m,
        to_station_m: f64 = r.to_m,
        verdict: Falls = r.falls,
    }

    #[derive(Default)]
    struct ProgramJson of () {
        name: &'static str = env!("CARGO_PKG_NAME"),
        /// Version of the program.
        version: &'static str = env!("CARGO_PKG_VERSION"),
    }

    struct NotComputedJson of (n: &NotComputed, line: Option<&Line>, say: Say) {
        code: Lacks = n.why.clone(),
        what: &'static str = n.what,
        why: String = lacks(&n.why, line, say),
    }

    struct AdvisedCaseJson of (r: &Run) {
        name: String = r.state().to_string(),
        flow_m3_per_s: f64 = r.flow_m3_per_s,
        net_head_m: f64 = r.net_head_m,
        limited_station_m: Option<f64> = r.limited.as_ref().map(|l| l.station_m),
    }

    struct AdvisedReachJson of (s: &ReachStrength) {
        from_station_m: f64 = s.from_m,
        to_station_m: f64 = s.to_m,
        use_high: Option<f64> = s.use_high,
        #[cfg_attr(test, schemars(with = "Option<f64>"))]
        outside_use: f64 = s.outside_use,
    }

    struct MarkJson of (mark: &Mark) {
        id: String = mark.id.clone(),
        /// Kind: vent, drain, anchor, block, strap, support, guide, relief, joint, elbow, reducer, stake, loop, expansion joint.
        kind: MarkKind = mark.kind,
        /// A fixed word: stands (existing) or wanted (required).
        state: Status = mark.standing,
        name: Option<String> = (!mark.name.is_empty()).then(|| mark.name.clone()),
        station_m: f64 = mark.station_m,
        tolerance_m: f64 = mark.tolerance_m,
        elevation_m: f64 = mark.elevation_m,
        lat: Option<f64> = mark.lat_lon_deg.map(|p| p.0),
        lon: Option<f64> = mark.lat_lon_deg.map(|p| p.1),
        device: Option<Device> = mark.device,
        bore_m: Option<f64> = mark.bore_m,
        top_m: Option<f64> = mark.top_m,
        force_n: Option<f64> = mark.force_n,
        volume_m3: Option<f64> = mark.volume_m3,
        /// Movement that the expansion loop or joint must allow, m.
        slack_m: Option<f64> = mark.slack_m,
        /// Installation sequence number.
        turn: Option<usize> = mark.turn,
        why: &'static str = why_word(mark.why),
        why_code: MarkReason = mark.why,
    }
}

/// result.json of a whole check.
pub fn of_check(account: &Report) -> Value {
    crate::report::round::rounded(pegged(checked(account), account))
}

/// With every place on the pegs too.
fn pegged(result: ResultJson, account: &Report) -> Value {
    on_pegs(json!(result), &account.study.line.geometry.pegs)
}

/// result.json of a comparison: the line as it lies now on the top level, the earlier one under `before`.
pub fn of_storm(account: &StormReport) -> Value {
    let (compared, after) = (&account.compared, &account.after);
    let result = ResultJson {
        moved: Some(compared.moved.iter().map(MovedJson::of).collect()),
        storm: Some(StormJson::of(compared, &after.study.line, after.say())),
        ..checked(after)
    };
    let mut out = pegged(result, after);
    if let Some(out) = out.as_object_mut() {
        let before = pegged(checked(&account.before), &account.before);
        out.insert("before".into(), before);
    }
    crate::report::round::rounded(out)
}

fn checked(account: &Report) -> ResultJson {
    let study = &account.study;
    let (line, profile, say) = (&study.line, &study.profile, account.say());
    let threshold_m = profile.climb_threshold_m;
    let date = Some(line.heading.surveyed_on.clone()).filter(|d| !d.is_empty());
    let climb = |(i, climb)| ClimbJson::of(climb, &study.route, threshold_m, vented_by(account, i));
    let surges = study.surges.as_ref();
    let strength = study.strength.as_ref();
    let not_computed = study.not_computed.iter();
    let regrade = (!profile.climbs.is_empty()).then_some(&study.regrade);
    let test = study
        .proof
        .as_ref()
        .zip(line.measured.pressure_test.as_ref());
    ResultJson {
        verdict: Some(VerdictJson::Plant(account.verdict())),
        verdict_text: verdict_line(&account.findings, say),
        not_computed: not_computed
            .map(|n| NotComputedJson::of(n, Some(line), say))
            .collect(),
        // the narrowest bore, which is what a climb must rise by to seal
        survey: SurveyJson::of(
            &study.route,
            profile.seal_threshold_m,
            threshold_m,
            date,
            say,
        ),
        route: RouteJson::of_line(&line.geometry, profile),
        climbs: profile.climbs.iter().enumerate().map(climb).collect(),
        lows: profile.lows.clone(),
        flats: profile.flats.clone(),
        cases: Some(
            study
                .cases
                .runs
                .iter()
                .map(|r| CaseJson::of(r, line, say))
                .collect(),
        ),
        start_up: study.air.as_ref().map(StartUpJson::of),
        air: study
            .air
            .as_ref()
            .map(|a| AirJson::of(a, &Marked::of(account), say)),
        largest_power: study.largest.as_ref().map(LargestJson::of),
        surges: surges.map(|s| s.runs.iter().map(SurgeJson::of).collect()),
        filling_blow: surges.and_then(|s| s.filling),
        strength: strength.map(|s| s.reaches.iter().map(StrengthJson::of).collect()),
        zones: strength.and(study.zoned.as_ref()).map(ZonesJson::of),
        outside: strength.map(|s| OutsideJson::of(s, &account.marks)),
        not_judged: strength.map(|s| NotJudgedJson::of(s, &line.fittings)),
        gauges: study
            .gauges
            .as_ref()
            .map(|g| GaugesJson::of(g, &line.measured, say)),
        stream: study
            .stream
            .as_ref()
            .map(|s| StreamJson::of(s, &line.measured)),
        intake: study.intake.as_ref().map(IntakeJson::of),
        screen: study
            .passes
            .as_ref()
            .map(|p| ScreenJson::of(p, study.screen.as_ref())),
        metals: study.metal.as_ref().map(MetalsJson::of),
        pressure_test: test.map(|(proof, test)| TestJson::of(proof, test, say)),
        grit: study.grit.as_ref().map(GritJson::of),
        regrade: regrade.map(|plans| plans.iter().map(RegradeJson::of).collect()),
        laying: study
            .laying
            .as_ref()
            .map(|l| LayingJson::of(l, &laying_list::list(account))),
        anchors: study
            .anchor
            .as_ref()
            .map(|a| AnchorsJson::of(a, &line.stands)),
        as_advised: study.as_advised.as_deref().map(AdvisedJson::of),
        work: study
            .air
            .as_ref()
            .map(|a| a.work.iter().map(|s| WorkStepJson::of(s, say)).collect()),
        section: columns(&section::of_check(account), account.paper),
        marks: Some(account.marks.iter().map(MarkJson::of).collect()),
        assumed: Some(
            line.assumed
                .iter()
                .map(|a| AssumedJson::of(a, say))
                .collect(),
        ),
        findings: account
            .findings
            .iter()
            .map(|f| FindingJson::of(f, say))
            .collect(),
        ..ResultJson::under(&line.heading.title, account.units)
    }
}

/// result.json of a survey alone.
pub fn of_survey(account: &SurveyReport) -> Value {
    let (surveyed, say) = (&account.surveyed, account.say());
    let (route, profile) = (&surveyed.route, &surveyed.profile);
    let missing = NotComputed {
        what: "cases",
        why: Lacks::SurveyAlone,
    };
    let threshold_m = profile.climb_threshold_m;
    let climb = |c| ClimbJson::of(c, route, threshold_m, Vec::new());
    let result = ResultJson {
        verdict: Some(VerdictJson::Survey(surveyed.falls())),
        verdict_text: survey_line(surveyed, say),
        not_computed: vec![NotComputedJson::of(&missing, None, say)],
        survey: SurveyJson::of(route, surveyed.bore_m, threshold_m, None, say),
        route: RouteJson::of_survey(route, profile),
        reaches: Some(surveyed.reaches().iter().map(FallsJson::of).collect()),
        climbs: profile.climbs.iter().map(climb).collect(),
        lows: profile.lows.clone(),
        flats: profile.flats.clone(),
        section: columns(&section::of_survey(account), account.paper),
        findings: account
            .findings
            .iter()
            .map(|f| FindingJson::of(f, say))
            .collect(),
        ..ResultJson::under(&account.title, account.units)
    };
    crate::report::round::rounded(on_pegs(json!(result), &account.pegs))
}

impl ResultJson {
    /// The head alone.
    fn under(title: &str, units: Units) -> Self {
        Self {
            format: FORMAT,
            program: ProgramJson::of(),
            title: title.to_owned(),
            units,
            ..Self::default()
        }
    }
}

/// A result as text: indented by two, keys in the order of the contract, a line feed at the end.
pub fn printed(value: &Value) -> String {
    let mut text = serde_json::to_string_pretty(value).unwrap_or_default();
    text.push('\n');
    text
}
