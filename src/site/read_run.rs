use super::bounds as b;
use super::parts::{CaseRuns, DeclaredCase, DeclaredJet, DeclaredRunaway, Turbine, WaterWay};
use super::section::Section;
use crate::pipe::{Machine, RunState, WaterLevel};
use crate::unit::QuantityKind;

/// Names that mean a state or all jets, so that nothing of the user's own may be called so.
pub(super) const RESERVED: [&str; 5] = ["shut", "all jets", "running", "jets", "one jet"];

/// `[turbine]` and `[[jet]]`.
pub(super) fn turbine(top: &Section<'_, '_>) -> Option<Turbine> {
    let long: Vec<_> = top
        .tables("jet")
        .into_iter()
        .enumerate()
        .map(|(i, s)| jet(s, i))
        .collect();
    let Some(s) = top.table("turbine") else {
        let jets: Option<Vec<DeclaredJet>> = long.into_iter().collect();
        return jets.filter(|j| !j.is_empty()).map(|jets| Turbine {
            way: WaterWay::Jets(jets),
            nozzle_height_m: None,
            water_to_wire: None,
            machine: Machine::Jets,
            runaway: DeclaredRunaway::default(),
            said: top
                .paper
                .said(&(top.byte_of("jet")..top.byte_of("jet")), "jet", ()),
        });
    };
    let count = s.count("jets", b::MOST_JETS);
    let nozzle = s.quantity("nozzle_diameter", QuantityKind::Length, b::DIAMETER);
    let discharge = s.number("discharge_coefficient", b::COEFFICIENT);
    let velocity = s.number("velocity_coefficient", b::COEFFICIENT);
    let flow = s.quantity("flow", QuantityKind::Flow, b::FLOW);
    let machine = s
        .choice("machine", crate::pipe::Machine::WORDS)
        .unwrap_or(Machine::Jets);
    let runaway = runaway(&s);
    let ways = [s.has("jets"), s.has("flow"), top.has("jet")];
    let way = if ways.iter().filter(|w| **w).count() > 1 {
        let key = if s.has("flow") { "flow" } else { "jets" };
        s.tell(key, "the flow of the turbine is given twice", |f| {
            f.expected("one of: jets with nozzle_diameter, [[jet]] tables, or flow")
                .advice("remove the others")
        });
        None
    } else if s.has("jets") {
        s.need(
            "nozzle_diameter",
            "the nozzle diameter",
            "write for example nozzle_diameter = \"9 mm\"",
        );
        count.zip(nozzle).map(|(count, nozzle_diameter_m)| {
            WaterWay::Jets(
                (1..=count)
                    .map(|n| DeclaredJet {
                        name: n.to_string(),
                        nozzle_diameter_m,
                        open: None,
                        discharge_coefficient: discharge,
                        velocity_coefficient: velocity,
                    })
                    .collect(),
            )
        })
    } else if s.has("flow") {
        flow.map(WaterWay::Flow)
    } else if top.has("jet") {
        let jets: Option<Vec<DeclaredJet>> = long.into_iter().collect();
        jets.filter(|j| !j.is_empty()).map(|jets| {
            WaterWay::Jets(
                jets.into_iter()
                    .map(|j| DeclaredJet {
                        discharge_coefficient: j.discharge_coefficient.or(discharge),
                        velocity_coefficient: j.velocity_coefficient.or(velocity),
                        ..j
                    })
                    .collect(),
            )
        })
    } else {
        s.missing(
            "jets",
            "jets with nozzle_diameter, [[jet]] tables, or flow",
            "give the nozzles or the flow, or remove [turbine]",
        );
        None
    };
    if machine != Machine::Jets && !s.has("flow") {
        s.tell("machine", "a machine without jets needs a flow", |f| {
            f.expected("flow = \"6 L/s\"")
                .advice("give its flow, or remove machine")
        });
    }
    let nozzle_height_m = s.quantity("nozzle_height", QuantityKind::Length, b::OFFSET);
    let water_to_wire = s.number("water_to_wire", b::SOME_SHARE);
    let said = s.said();
    s.finish();
    Some(Turbine {
        way: way?,
        nozzle_height_m,
        water_to_wire,
        machine,
        runaway,
        said,
    })
}

/// What the machine does when its load is gone.
fn runaway(s: &Section<'_, '_>) -> DeclaredRunaway {
    let runaway = DeclaredRunaway {
        flow: s.number("runaway_flow", b::RUNAWAY_FLOW),
        over_s: s.quantity("runaway_time", QuantityKind::Time, b::TIME),
        closing_s: s.quantity("closing_time", QuantityKind::Time, b::TIME),
    };
    for key in ["runaway_flow", "runaway_time", "closing_time"] {
        if s.has(key) && !s.has("flow") {
            s.tell(
                key,
                format!("\"{key}\" belongs to a machine without jets"),
                |f| {
                    f.expected("flow and machine").advice(
                        "remove the key: the speed of a wheel does not change the flow of its jets",
                    )
                },
            );
        }
    }
    runaway
}

fn jet(s: Section<'_, '_>, index: usize) -> Option<DeclaredJet> {
    s.need(
        "nozzle_diameter",
        "the nozzle diameter",
        "write for example nozzle_diameter = \"9 mm\"",
    );
    let nozzle = s.quantity("nozzle_diameter", QuantityKind::Length, b::DIAMETER);
    let name = s
        .text("name")
        .map_or_else(|| (index + 1).to_string(), |n| n.value);
    let open = s.number("open", b::SHARE);
    let discharge_coefficient = s.number("discharge_coefficient", b::COEFFICIENT);
    let velocity_coefficient = s.number("velocity_coefficient", b::COEFFICIENT);
    free_name(&s, "name", &name);
    s.finish();
    Some(DeclaredJet {
        name,
        nozzle_diameter_m: nozzle?,
        open,
        discharge_coefficient,
        velocity_coefficient,
    })
}

/// Tells a name that is reserved.
pub(super) fn free_name(s: &Section<'_, '_>, key: &'static str, name: &str) {
    if RESERVED.contains(&name.to_lowercase().as_str()) {
        s.tell(key, format!("\"{name}\" is a reserved name"), |f| {
            f.expected(format!("a name that is none of: {}", RESERVED.join(", ")))
                .advice("use another name")
        });
    }
}

/// `[[case]]`.
pub(super) fn case(s: Section<'_, '_>, turbine: Option<&Turbine>) -> Option<DeclaredCase> {
    let name = s.text("name");
    match &name {
        Some(name) => free_name(&s, "name", &name.value),
        None if !s.has("name") => s.missing(
            "name",
            "a name of its own",
            "give it a name, so that gauges and movements can refer to it",
        ),
        None => {}
    }
    let runs = case_runs(&s, turbine);
    let level = s
        .choice("level", crate::pipe::WaterLevel::WORDS)
        .unwrap_or(WaterLevel::Usual);
    let screen_blocked = s.number("screen_blocked", b::SHARE).unwrap_or(0.0);
    let fittings_open = s.shares("fittings");
    s.finish();
    let by_itself = Turbine::states(turbine);
    Some(DeclaredCase {
        state: name?.map(|name| RunState::named(&name, &by_itself)),
        runs: runs?,
        level,
        fittings_open,
        screen_blocked,
    })
}

fn case_runs(s: &Section<'_, '_>, turbine: Option<&Turbine>) -> Option<CaseRuns> {
    let jets = match turbine.map(|t| &t.way) {
        Some(WaterWay::Jets(jets)) => jets.as_slice(),
        _ => &[],
    };
    let said = ["jets", "open", "flow"]
        .into_iter()
        .filter(|k| s.has(k))
        .count();
    let count = s.count("jets", b::MOST_JETS);
    let named = s.texts("open");
    let flow = s.quantity("flow", QuantityKind::Flow, b::FLOW_OR_NONE);
    if said > 1 {
        let key = if s.has("open") { "open" } else { "flow" };
        s.tell(key, "this case gives its nozzles or flow twice", |f| {
            f.expected("one of: jets, open, flow")
                .advice("remove the others")
        });
        return None;
    }
    if s.has("jets") {
        let count = count?;
        if count > jets.len() {
            s.tell("jets", "more jets are open than exist", |f| {
                f.expected(format!("at most {}", jets.len()))
                    .advice("the jets are in [turbine] or [[jet]]")
            });
            return None;
        }
        return Some(CaseRuns::Jets((0..count).collect()));
    }
    if s.has("open") {
        let mut indexes = Vec::new();
        for name in &named {
            match jets.iter().position(|j| j.name == name.value) {
                Some(index) => indexes.push(index),
                None => {
                    let names: Vec<&str> = jets.iter().map(|j| j.name.as_str()).collect();
                    let fault = name
                        .fault(format!("no jet is called \"{}\"", name.value))
                        .found(&name.value)
                        .expected(if names.is_empty() {
                            "jets in [turbine] or [[jet]]".to_owned()
                        } else {
                            names.join(", ")
                        })
                        .advice("use the jet names of [[jet]]; the short form has the names \"1\", \"2\" and so on");
                    s.paper.tell(s.byte_of("open"), fault);
                }
            }
        }
        indexes.sort_unstable();
        indexes.dedup();
        return Some(if indexes.is_empty() {
            CaseRuns::Flow(0.0)
        } else {
            CaseRuns::Jets(indexes)
        });
    }
    if s.has("flow") {
        return flow.map(CaseRuns::Flow);
    }
    Some(CaseRuns::All)
}
