use super::codes::{assumed_code, lacks_code, why_code};
use super::found::findings;
use super::{
    air, drawn_section, holds, instruments, metal, proof, route, running, solids, storm, strong,
    surge, work,
};
use crate::line::Line;
use crate::mark::Mark;
use crate::report::account::{Report, StormReport, SurveyReport};
use crate::report::marked::{Marked, vented_by};
use crate::report::pegged::on_pegs;
use crate::report::words::{
    AssumedValue, Say, falls_word, lacks, standing_word, survey_line, taken, verdict_line,
    verdict_word, why_word,
};
use crate::report::{laying_list, section};
use crate::study::{Lacks, NotComputed, Study};
use crate::unit::Units;
use serde_json::{Map, Value, json};

/// Rises when a key changes meaning or goes.
pub const FORMAT: u32 = 2;

/// result.json of a whole check.
pub fn of_check(account: &Report) -> Value {
    super::rounded(pegged(checked(account), account))
}

/// With every place on the pegs too.
fn pegged(result: Map<String, Value>, account: &Report) -> Value {
    on_pegs(Value::Object(result), &account.study.line.geometry.pegs)
}

/// result.json of a comparison: the line as it lies now on the top level, the earlier one under `before`.
pub fn of_storm(account: &StormReport) -> Value {
    let say = account.after.say();
    let mut out = checked(&account.after);
    out.insert("moved".into(), storm::moved(&account.compared.moved));
    out.insert(
        "storm".into(),
        storm::storm(
            &account.compared,
            &account.after.study.line.fittings,
            &account.after.study.line.stands,
            say,
        ),
    );
    let mut out = pegged(out, &account.after);
    if let Some(out) = out.as_object_mut() {
        let before = pegged(checked(&account.before), &account.before);
        out.insert("before".into(), before);
    }
    super::rounded(out)
}

fn checked(account: &Report) -> Map<String, Value> {
    let study = &account.study;
    let line = &study.line;
    let say = account.say();
    // the narrowest bore, which is what a climb must rise by to seal
    let bore = study.profile.seal_threshold_m;
    let mut out = head(
        &line.heading.title,
        account.units,
        (
            verdict_word(account.verdict()),
            &verdict_line(&account.findings, say),
        ),
        not_computed(&study.not_computed, Some(line), say),
    );
    out.insert(
        "survey".into(),
        route::survey(&study.route, bore, study.profile.climb_threshold_m, say),
    );
    if let (Some(Value::Object(survey)), false) =
        (out.get_mut("survey"), line.heading.surveyed_on.is_empty())
    {
        survey.insert("date".into(), json!(line.heading.surveyed_on));
    }
    out.insert(
        "route".into(),
        route::of_line(&line.geometry, &study.profile),
    );
    out.insert("climbs".into(), climbs(account));
    out.insert("lows".into(), json!(route::lows(&study.profile.lows)));
    out.insert("flats".into(), json!(route::flats(&study.profile.flats)));
    out.insert(
        "cases".into(),
        study
            .cases
            .runs
            .iter()
            .map(|r| running::case(r, line, say))
            .collect(),
    );
    if let Some(held) = &study.air {
        out.insert("start_up".into(), air::start_up(held));
        out.insert("air".into(), air::air(held, &Marked::of(account), say));
    }
    if let Some(largest) = &study.largest {
        out.insert("largest_power".into(), running::largest(largest));
    }
    if let Some(surges) = &study.surges {
        out.insert(
            "surges".into(),
            surges.runs.iter().map(surge::surge).collect(),
        );
        if let Some(filling) = surge::filling(surges) {
            out.insert("filling_blow".into(), filling);
        }
    }
    if let Some(strength) = &study.strength {
        out.insert("strength".into(), strong::strength(strength));
        if let Some(zoned) = &study.zoned {
            out.insert("zones".into(), strong::zones(zoned));
        }
        out.insert("outside".into(), strong::outside(strength, &account.marks));
        out.insert(
            "not_judged".into(),
            strong::not_judged(strength, &line.fittings),
        );
    }
    if let Some(gauges) = &study.gauges {
        out.insert(
            "gauges".into(),
            instruments::gauges(gauges, &line.measured, say),
        );
    }
    if let Some(stream) = &study.stream {
        out.insert("stream".into(), instruments::stream(stream, &line.measured));
    }
    if let Some(intake) = &study.intake {
        out.insert("intake".into(), instruments::intake(intake));
    }
    if let Some(screen) = solids::screen(study) {
        out.insert("screen".into(), screen);
    }
    if let Some(metals) = metal::metals(study) {
        out.insert("metals".into(), metals);
    }
    if let Some(test) = proof::pressure_test(study, say) {
        out.insert("pressure_test".into(), test);
    }
    if let Some(grit) = solids::grit(study) {
        out.insert("grit".into(), grit);
    }
    if !study.profile.climbs.is_empty() {
        out.insert("regrade".into(), work::regrade(&study.regrade));
    }
    if let Some(laying) = &study.laying {
        out.insert(
            "laying".into(),
            work::laying(laying, &laying_list::list(account)),
        );
    }
    if let Some(anchor) = &study.anchor {
        out.insert("anchors".into(), holds::anchors(anchor, &line.stands));
    }
    if let Some(advised) = study.as_advised.as_deref() {
        out.insert("as_advised".into(), as_advised(advised));
    }
    if let Some(held) = &study.air {
        out.insert("work".into(), work::steps(&held.work, say));
    }
    out.insert(
        "section".into(),
        drawn_section::columns(&section::of_check(account), account.paper),
    );
    out.insert("marks".into(), account.marks.iter().map(mark).collect());
    out.insert(
        "assumed".into(),
        line.assumed
            .iter()
            .map(|a| {
                let AssumedValue { what, value, why } = taken(a, say);
                json!({"code": assumed_code(a), "what": what, "value": value, "why": why})
            })
            .collect(),
    );
    out.insert("findings".into(), findings(&account.findings, say));
    out
}

/// result.json of a survey alone.
pub fn of_survey(account: &SurveyReport) -> Value {
    let surveyed = &account.surveyed;
    let (route, profile) = (&surveyed.route, &surveyed.profile);
    let missing = [NotComputed {
        what: "cases",
        why: Lacks::SurveyAlone,
    }];
    let mut out = head(
        &account.title,
        account.units,
        (
            falls_word(account.surveyed.falls()),
            &survey_line(surveyed, account.say()),
        ),
        not_computed(&missing, None, account.say()),
    );
    out.insert(
        "survey".into(),
        route::survey(
            route,
            surveyed.bore_m,
            profile.climb_threshold_m,
            account.say(),
        ),
    );
    out.insert("route".into(), route::of_survey(route, profile));
    out.insert(
        "reaches".into(),
        surveyed
            .reaches()
            .iter()
            .map(|r| json!({"from_station_m": r.from_m, "to_station_m": r.to_m, "verdict": falls_word(r.falls)}))
            .collect(),
    );
    out.insert(
        "climbs".into(),
        profile
            .climbs
            .iter()
            .map(|c| route::climb(c, route, profile.climb_threshold_m, &[]))
            .collect(),
    );
    out.insert("lows".into(), json!(route::lows(&profile.lows)));
    out.insert("flats".into(), json!(route::flats(&profile.flats)));
    out.insert(
        "section".into(),
        drawn_section::columns(&section::of_survey(account), account.paper),
    );
    out.insert(
        "findings".into(),
        findings(&account.findings, account.say()),
    );
    super::rounded(on_pegs(Value::Object(out), &account.pegs))
}

fn head(
    title: &str,
    units: Units,
    (verdict, verdict_text): (&str, &str),
    not_computed: Value,
) -> Map<String, Value> {
    let mut out = Map::new();
    out.insert("format".into(), json!(FORMAT));
    out.insert(
        "program".into(),
        json!({"name": env!("CARGO_PKG_NAME"), "version": env!("CARGO_PKG_VERSION")}),
    );
    out.insert("title".into(), json!(title));
    out.insert(
        "units".into(),
        json!(match units {
            Units::Metric => "metric",
            Units::Us => "us",
        }),
    );
    out.insert("verdict".into(), json!(verdict));
    out.insert("verdict_text".into(), json!(verdict_text));
    out.insert("not_computed".into(), not_computed);
    out
}

fn not_computed(list: &[NotComputed], line: Option<&Line>, say: Say) -> Value {
    list.iter()
        .map(|n| json!({"code": lacks_code(&n.why), "what": n.what, "why": lacks(&n.why, line, say)}))
        .collect()
}

/// The figures that change once what is wanted stands.
fn as_advised(study: &Study) -> Value {
    let findings = crate::finding::of_study(study);
    let mut out = Map::new();
    out.insert(
        "verdict".into(),
        json!(verdict_word(crate::finding::verdict(&findings))),
    );
    out.insert("marks_wanted_still".into(), json!(study.wanted()));
    out.insert(
        "cases".into(),
        study
            .cases
            .runs
            .iter()
            .map(|r| json!({"name": r.state().to_string(), "flow_m3_per_s": r.flow_m3_per_s, "net_head_m": r.net_head_m, "limited_station_m": r.limited.as_ref().map(|l| l.station_m)}))
            .collect(),
    );
    if let Some(held) = &study.air {
        out.insert("start_up".into(), air::start_up(held));
    }
    if let Some(strength) = &study.strength {
        out.insert(
            "strength".into(),
            strength
                .reaches
                .iter()
                .map(|s| json!({"from_station_m": s.from_m, "to_station_m": s.to_m, "use_high": s.use_high, "outside_use": s.outside_use}))
                .collect(),
        );
    }
    Value::Object(out)
}

/// Climbs with what the air room knows of them: the pocket, and the marks that vent it.
fn climbs(account: &Report) -> Value {
    let study = &account.study;
    study
        .profile
        .climbs
        .iter()
        .enumerate()
        .map(|(i, climb)| {
            let vents = vented_by(account, i);
            route::climb(climb, &study.route, study.profile.climb_threshold_m, &vents)
        })
        .collect()
}

fn mark(mark: &Mark) -> Value {
    json!({
        "id": mark.id,
        "kind": mark.kind.word(),
        "state": standing_word(mark.standing),
        "name": (!mark.name.is_empty()).then_some(&mark.name),
        "station_m": mark.station_m,
        "tolerance_m": mark.tolerance_m,
        "elevation_m": mark.elevation_m,
        "lat": mark.lat_lon_deg.map(|p| p.0),
        "lon": mark.lat_lon_deg.map(|p| p.1),
        "device": mark.device.map(crate::pipe::Device::word),
        "bore_m": mark.bore_m,
        "top_m": mark.top_m,
        "force_n": mark.force_n,
        "volume_m3": mark.volume_m3,
        "slack_m": mark.slack_m,
        "turn": mark.turn,
        "why": why_word(mark.why),
        "why_code": why_code(mark.why),
    })
}

/// A result as text: indented by two, keys in the order of the contract, a line feed at the end.
pub fn printed(value: &Value) -> String {
    let mut text = serde_json::to_string_pretty(value).unwrap_or_default();
    text.push('\n');
    text
}
