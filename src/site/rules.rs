//! What must hold between the parts of a site.

use super::bounds::MOST_VALVES;
use super::diagnostics::Diagnostics;
use super::parts::DeclaredCase;
use super::{Located, Site, WaterWay};
use crate::text::Fault;

/// Tells what does not agree between the parts of a site that each read well.
pub(super) fn check(paper: &Diagnostics<'_>, site: &Site) {
    pipes(paper, site);
    let named = |s: &Option<Located<String>>| s.clone();
    twice(
        paper,
        "fitting",
        site.fittings.iter().filter_map(|f| named(&f.name)),
    );
    twice(
        paper,
        "mark",
        site.marks.iter().filter_map(|m| named(&m.name)),
    );
    let called = |c: &DeclaredCase| c.state.clone().map(|state| state.to_string());
    twice(paper, "case", site.cases.iter().map(called));
    twice(
        paper,
        "movement",
        site.movements.iter().map(|m| m.name.clone()),
    );
    reserved(paper, site);
    jets_twice(paper, site);
    valves(paper, site);
    for case in &site.cases {
        for (name, _) in &case.fittings_open {
            if !site
                .fittings
                .iter()
                .any(|f| f.name.as_ref().is_some_and(|n| n.value == name.value))
            {
                tell(
                    paper,
                    name.fault(format!("no fitting is called \"{}\"", name.value))
                        .found(&name.value)
                        .expected("the name of a [[fitting]]")
                        .advice("give this name to the fitting"),
                );
            }
        }
    }
}

/// Each valve is shut in its turn, so that there is an end to them.
fn valves(paper: &Diagnostics<'_>, site: &Site) {
    let all: Vec<_> = site.fittings.iter().filter(|f| f.kind.is_valve()).collect();
    if let Some(beyond) = all.get(MOST_VALVES) {
        tell(
            paper,
            beyond
                .at
                .fault("too many valves")
                .found(all.len().to_string())
                .expected(format!("at most {MOST_VALVES}"))
                .advice("give only the valves that are operated with water flowing; give the others by k alone"),
        );
    }
}

fn tell(paper: &Diagnostics<'_>, fault: Fault) {
    let byte = paper.byte_of(&fault.place);
    paper.tell(byte, fault);
}

/// Only the last pipe may leave its end open. Whether they stand in order `line` tells: it knows which way the pegs count.
fn pipes(paper: &Diagnostics<'_>, site: &Site) {
    let above = site.pipes.len().saturating_sub(1);
    for pipe in site.pipes.iter().take(above).filter(|p| p.to.is_none()) {
        tell(
            paper,
            pipe.said
                .fault("[[pipe]] needs \"to\", because another pipe follows")
                .expected("the lower end of this pipe; only the last pipe can omit it")
                .advice("write for example to = \"310 m\""),
        );
    }
}

/// Nothing of one kind is called like another of it.
fn twice(paper: &Diagnostics<'_>, what: &str, names: impl Iterator<Item = Located<String>>) {
    let mut seen: Vec<String> = Vec::new();
    for name in names {
        if seen.contains(&name.value) {
            tell(
                paper,
                name.fault(format!("two [[{what}]] are called \"{}\"", name.value))
                    .found(&name.value)
                    .expected("each name once")
                    .advice("give one of them another name"),
            );
        }
        seen.push(name.value);
    }
}

fn reserved(paper: &Diagnostics<'_>, site: &Site) {
    let names = site
        .fittings
        .iter()
        .filter_map(|f| f.name.as_ref())
        .chain(site.marks.iter().filter_map(|m| m.name.as_ref()))
        .chain(site.movements.iter().map(|m| &m.name));
    for name in names {
        if super::read_run::RESERVED.contains(&name.value.to_lowercase().as_str()) {
            tell(
                paper,
                name.fault(format!("\"{}\" is a reserved name", name.value))
                    .found(&name.value)
                    .expected(format!(
                        "a name that is none of: {}",
                        super::read_run::RESERVED.join(", ")
                    ))
                    .advice("use another name"),
            );
        }
    }
}

fn jets_twice(paper: &Diagnostics<'_>, site: &Site) {
    let Some(turbine) = &site.turbine else { return };
    let WaterWay::Jets(jets) = &turbine.way else {
        return;
    };
    for (i, jet) in jets.iter().enumerate() {
        if jets.iter().take(i).any(|j| j.name == jet.name) {
            tell(
                paper,
                turbine
                    .said
                    .fault(format!("two jets are called \"{}\"", jet.name))
                    .found(&jet.name)
                    .expected("each name once")
                    .advice("give one of the [[jet]] another name"),
            );
        }
    }
}
