//! What must hold between the parts of a site.

use super::bounds::MOST_VALVES;
use super::paper::Paper;
use super::parts::Case;
use super::{At, Said, Site, WaterWay};
use crate::text::{Fault, Sentence};

/// Tells what does not agree between the parts of a site that each read well.
pub(super) fn check(paper: &Paper<'_>, site: &Site) {
    pipes(paper, site);
    let laid: Vec<_> = site.laid.iter().map(|l| (&l.from, &l.to)).collect();
    let ground: Vec<_> = site.ground.iter().map(|g| (&g.from, &g.to)).collect();
    let floods: Vec<_> = site.floods.iter().map(|f| (&f.from, &f.to)).collect();
    for (what, reaches) in [("laid", laid), ("ground", ground), ("flood", floods)] {
        overlaps(paper, what, &reaches);
    }
    let named = |s: &Option<Said<String>>| s.clone();
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
    let called = |c: &Case| c.state.clone().map(|state| state.to_string());
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
                        .advice("give the fitting this name"),
                );
            }
        }
    }
}

/// Each valve is shut in its turn, so that there is an end to them.
fn valves(paper: &Paper<'_>, site: &Site) {
    let all: Vec<_> = site.fittings.iter().filter(|f| f.kind.is_valve()).collect();
    if let Some(beyond) = all.get(MOST_VALVES) {
        tell(
            paper,
            beyond
                .at
                .fault("too many valves on the line")
                .found(all.len().to_string())
                .expected(format!("at most {MOST_VALVES}"))
                .advice("give those that are moved while water runs; others by their k alone"),
        );
    }
}

fn tell(paper: &Paper<'_>, fault: Fault) {
    let byte = paper.byte_of(&fault.place);
    paper.tell(byte, fault);
}

/// Pipes stand in order from the intake; only the last may leave its end open.
fn pipes(paper: &Paper<'_>, site: &Site) {
    let mut above: Option<&Said<At>> = None;
    for (i, pipe) in site.pipes.iter().enumerate() {
        if let (Some(from), Some(above)) = (&pipe.from, above)
            && let (Some(begins), Some(ends)) = (from.value.station_m(), above.value.station_m())
            && begins != ends
        {
            let what = if begins < ends {
                "this pipe overlaps the one above it"
            } else {
                "a gap stands above this pipe"
            };
            tell(
                paper,
                from.fault(what)
                    .found(
                        Sentence::from("it begins at ")
                            .short(begins)
                            .words("; the one above ends at ")
                            .short(ends),
                    )
                    .expected("each pipe from where the one above it ends")
                    .advice("leave from out: a pipe begins where the one above it ends"),
            );
        }
        match &pipe.to {
            Some(to) => {
                let begins = pipe
                    .from
                    .as_ref()
                    .or(above)
                    .and_then(|a| a.value.station_m());
                if let (Some(ends), Some(begins)) = (to.value.station_m(), begins)
                    && ends <= begins
                {
                    tell(
                        paper,
                        to.fault(
                            "this pipe ends before it begins: pipes overlap or stand out of order",
                        )
                        .found(
                            Sentence::from("it ends at ")
                                .short(ends)
                                .words(" and begins at ")
                                .short(begins),
                        )
                        .expected("pipes in order from the intake down, each to further down")
                        .advice("put the [[pipe]] tables in order and check each to"),
                    );
                }
                above = Some(to);
            }
            None if i + 1 < site.pipes.len() => tell(
                paper,
                pipe.said
                    .fault("[[pipe]] needs \"to\": another pipe stands below it")
                    .expected("where this pipe ends; only the last one may leave it out")
                    .advice("write for example to = \"310 m\""),
            ),
            None => {}
        }
    }
}

/// Reaches of one kind do not overlap.
fn overlaps(paper: &Paper<'_>, what: &str, reaches: &[(&Said<At>, &Said<At>)]) {
    let mut known: Vec<(f64, f64, &Said<At>)> = reaches
        .iter()
        .filter_map(|(from, to)| Some((from.value.station_m()?, to.value.station_m()?, *from)))
        .collect();
    known.sort_by(|a, b| a.0.total_cmp(&b.0));
    for pair in known.windows(2) {
        if let [(_, end, _), (begin, _, from)] = pair
            && begin < end
        {
            tell(
                paper,
                from.fault(format!("this [[{what}]] overlaps another one"))
                    .found(
                        Sentence::from("it begins at ")
                            .short(*begin)
                            .words("; another ends at ")
                            .short(*end),
                    )
                    .expected("reaches side by side")
                    .advice("let one end where the next begins"),
            );
        }
    }
}

/// Nothing of one kind is called like another of it.
fn twice(paper: &Paper<'_>, what: &str, names: impl Iterator<Item = Said<String>>) {
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

fn reserved(paper: &Paper<'_>, site: &Site) {
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
                    .advice("call it something else"),
            );
        }
    }
}

fn jets_twice(paper: &Paper<'_>, site: &Site) {
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
