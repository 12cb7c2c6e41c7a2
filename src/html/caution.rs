//! Cautions that belong to this site.

use super::markup::list as bullets;
use crate::pipe::Bed;
use crate::study::Study;

/// What holds for everybody who only walks the line.
pub(super) const WALK: &str = "<ul><li>Steep ground, loose stones and fast water: not alone, and not after heavy rain.</li><li>A filled pipe on the way stores pressure: loosen nothing.</li><li>Local codes and licensed practice go before this page.</li></ul>";

pub(super) fn list(study: &Study) -> String {
    let line = &study.line;
    let mut all = vec![
        "A full pipe stores pressure. Before anything is loosened: lower end open, gauge at nought, an open cock running dry, and both seen.",
        "Trapped air is a spring. It throws caps, plugs and couplings; let it out slowly and stand to the side. Never test with air.",
        "A pipe that empties with no air let in can be sucked flat. Open a vent above before anything below.",
        "Stand clear of bends, ends and joints while the pressure rises. A burst on a slope starts slides.",
    ];
    if line.laid.iter().any(|l| l.bed == Bed::Buried) || !study.regrade.is_empty() {
        all.push("Trenches cave in without a sign. Shore or slope them, keep spoil and wheels back from the edge, and find buried services first.");
    }
    if !line.floods.is_empty() {
        all.push("Part of the route lies where floods run: keep out of it in rising water, and look at straps and anchors after each flood.");
    }
    all.push("Streams and dams: taking water, damming it and letting silt go need leave in most places, and what must stay in the stream comes first. A dam that gives way harms those below.");
    if line.outlet.is_some() {
        all.push("Electrics: water and electricity meet in the powerhouse. Shut off and lock before opening a casing; a runner goes on turning; the wiring is work for a licensed electrician.");
    }
    if line.situation.coldest_air_c < 0.0 {
        all.push(
            "Frost: water left in lows, stubs, risers and cocks freezes first and bursts them.",
        );
    }
    all.push("The figures are for planning. Local codes, permits and licensed practice go before them; where a failure could hurt somebody, have an engineer look at the site.");
    bullets(&all.iter().map(ToString::to_string).collect::<Vec<_>>())
}
