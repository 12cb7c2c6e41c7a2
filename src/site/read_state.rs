use super::key::KeyForm;
use super::parts::{
    DeclaredCase, DeclaredFitting, DeclaredGauge, DeclaredMovement, Mover, Turbine,
};
use super::read_at::{as_at, date};
use super::section::Section;
use super::{GaugeAt, Located, bounds as b};
use crate::pipe::{FittingKind, RunState};
use crate::unit::QuantityKind;
use toml::de::DeValue;

/// The state that is meant by a name: one that the plant has by itself, or a case's. Tells a state that there is not.
fn known_state(
    s: &Section<'_, '_>,
    key: &'static str,
    said: Located<String>,
    turbine: Option<&Turbine>,
    cases: &[DeclaredCase],
) -> Option<Located<RunState>> {
    let by_itself = Turbine::states(turbine);
    let state = RunState::named(&said.value, &by_itself);
    if by_itself.contains(&state) || cases.iter().any(|c| c.state.value == state) {
        return Some(said.map(|_| state));
    }
    let of_cases = cases.iter().map(|c| &c.state.value);
    let known: Vec<String> = by_itself
        .iter()
        .chain(of_cases)
        .map(ToString::to_string)
        .collect();
    let fault = said
        .fault(format!("no state is called \"{}\"", said.value))
        .found(&said.value)
        .choices(known.iter().map(String::as_str));
    let near = crate::text::nearest(&said.value, known.iter().map(String::as_str));
    let fault = match near {
        Some(near) => fault.advice(format!("did you mean \"{near}\"?")),
        None => fault.advice("use the name of a [[case]], or add one"),
    };
    s.paper.tell(s.byte_of(key), fault);
    None
}

/// `[[movement]]`.
pub(super) fn movement(
    s: Section<'_, '_>,
    fittings: &[DeclaredFitting],
    turbine: Option<&Turbine>,
    cases: &[DeclaredCase],
) -> Option<DeclaredMovement> {
    let name = s.text("name");
    let of = s.text("of");
    for (key, expected) in [
        ("name", "a name of its own"),
        ("of", "\"jets\", \"one jet\", or a fitting's name"),
        ("from", "the share at the start, 0 to 1"),
        ("to", "the share at the end, 0 to 1"),
        ("over", "the closing or opening time"),
    ] {
        s.need(key, expected, "add this key");
    }
    let moves = of.and_then(|of| moves(&s, of, fittings, turbine));
    let during = s
        .text("during")
        .and_then(|said| known_state(&s, "during", said, turbine, cases));
    let from = s.number("from", b::SHARE);
    let to = s.number("to", b::SHARE);
    if from.is_some() && from == to {
        s.tell("to", "from and to are equal", |f| {
            f.expected("another share than from")
                .advice("1.0 is open, 0.0 is closed")
        });
    }
    let over_s = s.quantity("over", QuantityKind::Time, b::TIME);
    let law = s.choice("law", crate::pipe::Law::WORDS);
    let often = s.choice("often", crate::pipe::Often::WORDS);
    s.finish();
    Some(DeclaredMovement {
        name: name?,
        of: moves?,
        during,
        from: from?,
        to: to?,
        over_s: over_s?,
        law,
        often,
    })
}

fn moves(
    s: &Section<'_, '_>,
    of: Located<String>,
    fittings: &[DeclaredFitting],
    turbine: Option<&Turbine>,
) -> Option<Located<Mover>> {
    let tell = |text: String, expected: String, advice: &str| {
        let fault = of
            .fault(text)
            .found(&of.value)
            .expected(expected)
            .advice(advice);
        s.paper.tell(s.byte_of("of"), fault);
    };
    let moves = match of.value.to_lowercase().as_str() {
        "jets" => Some(Mover::Jets),
        "one jet" => Some(Mover::OneJet),
        _ => None,
    };
    if let Some(moves) = moves {
        if turbine.is_none() {
            tell(
                "there are no jets to operate".to_owned(),
                "[turbine] with jets or a flow".to_owned(),
                "give the jets or the flow",
            );
            return None;
        }
        return Some(of.map(|_| moves));
    }
    let index = fittings
        .iter()
        .position(|f| f.name.as_ref().is_some_and(|n| n.value == of.value));
    let Some((index, fitting)) = index.and_then(|i| fittings.get(i).map(|f| (i, f))) else {
        let names: Vec<&str> = ["jets", "one jet"]
            .into_iter()
            .chain(
                fittings
                    .iter()
                    .filter_map(|f| f.name.as_ref())
                    .map(|n| n.value.as_str()),
            )
            .collect();
        let advice = crate::text::nearest(&of.value, names.iter().copied())
            .map_or("give the [[fitting]] this name".to_owned(), |n| {
                format!("did you mean \"{n}\"?")
            });
        tell(
            format!("no jet or valve is called \"{}\"", of.value),
            names.join(", "),
            &advice,
        );
        return None;
    };
    if !(fitting.kind.is_valve()
        || matches!(fitting.kind, FittingKind::CheckValve | FittingKind::Other))
    {
        tell(
            format!("\"{}\" cannot be closed", of.value),
            "a valve".to_owned(),
            "only valves and jets can have a movement",
        );
        return None;
    }
    Some(of.map(|_| Mover::Fitting(index)))
}

/// `[[gauge]]`.
pub(super) fn gauge(
    s: Section<'_, '_>,
    turbine: Option<&Turbine>,
    cases: &[DeclaredCase],
) -> Option<DeclaredGauge> {
    for (key, expected) in [
        ("at", "\"turbine\" or a station"),
        ("state", "\"shut\" or a case's name"),
        ("pressure", "the reading"),
    ] {
        s.need(key, expected, "add this key");
    }
    s.hear("at", KeyForm::Place, None);
    let at = s.value("at").and_then(|value| match value.get_ref() {
        DeValue::String(text) if text.trim().eq_ignore_ascii_case("turbine") => {
            Some(s.as_text("at", value)?.map(|_| GaugeAt::Turbine))
        }
        _ => Some(as_at(&s, "at", value)?.map(GaugeAt::Line)),
    });
    let state = s
        .text("state")
        .and_then(|said| known_state(&s, "state", said, turbine, cases));
    let pressure_pa = s.quantity("pressure", QuantityKind::Pressure, b::GAUGE_PRESSURE);
    let height_m = s.quantity("height", QuantityKind::Length, b::OFFSET);
    let limit_pa = s.quantity("limit", QuantityKind::Pressure, b::PRESSURE);
    let sd_pa = s.quantity("sd", QuantityKind::Pressure, b::PRESSURE);
    let flow_m3_per_s = s.quantity("flow", QuantityKind::Flow, b::FLOW_OR_NONE);
    let flow_limit_m3_per_s = s.quantity("flow_limit", QuantityKind::Flow, b::FLOW);
    let flow_sd_m3_per_s = s.quantity("flow_sd", QuantityKind::Flow, b::FLOW);
    let date = date(&s, "date");
    for (limit, sd) in [("limit", "sd"), ("flow_limit", "flow_sd")] {
        if s.has(limit) && s.has(sd) {
            s.tell(
                sd,
                format!("{limit} and {sd} both give the uncertainty of the reading"),
                |f| f.expected("one of the two").advice("remove one of them"),
            );
        }
        if limit == "flow_limit" && (s.has(limit) || s.has(sd)) && !s.has("flow") {
            s.missing(
                "flow",
                "the flow that was measured",
                "give the flow, or remove its limit",
            );
        }
    }
    s.finish();
    Some(DeclaredGauge {
        at: at?,
        height_m,
        state: state?,
        pressure_pa: pressure_pa?,
        limit_pa,
        sd_pa,
        flow_m3_per_s,
        flow_limit_m3_per_s,
        flow_sd_m3_per_s,
        date,
    })
}
