//! Cautions that belong to this site.

use super::markup::list as bullets;
use crate::pipe::Bed;
use crate::study::Study;
use maud::Markup;

/// What holds for everybody who only walks the line.
pub(super) const WALK: &[&str] = &[
    "Steep ground, loose stones and fast water: do not go alone, and do not go after heavy rain.",
    "A filled pipe stores pressure. Do not loosen any part of it.",
    "Local codes and licensed practice have priority over this page.",
];

pub(super) fn list(study: &Study) -> Markup {
    let line = &study.line;
    let mut all = vec![
        "A full pipe stores pressure. Before you loosen a part: open the lower end, and check that the gauge shows zero and that no water flows from an open valve. Check both.",
        "Trapped air is a spring. It can hurl caps, plugs and couplings. Release it slowly and stand to the side. Never test with air.",
        "A pipe that empties without an air inlet can collapse. Open an upper vent before you open a lower outlet.",
        "Stay away from bends, ends and joints while the pressure rises. A burst on a slope can start a landslide.",
    ];
    if line.environment.laid.iter().any(|l| l.bed == Bed::Buried) || !study.regrade.is_empty() {
        all.push("Trenches can collapse without warning. Shore or slope the sides. Keep soil and vehicles away from the edge. Find buried services first.");
    }
    if study.anchor.iter().any(|a| !a.afloat.is_empty()) {
        all.push("Part of the trench can be wet. Do not enter a trench that fills with water. Work in a stream only at low water, and never alone.");
    }
    if !line.environment.floods.is_empty() {
        all.push("Part of the route is in a flood area. Stay out of rising water, and inspect straps and anchors after each flood.");
    }
    all.push("Streams and dams: a permit is usually necessary to take water, build a dam or release silt. The compensation flow must stay in the stream. A dam that fails can hurt people below.");
    if line.works.screen.is_some() {
        all.push("Screens: the suction of an operating intake can trap a hand or a foot. Do not stand on a wet screen without a handhold. Close the intake before you reach in. Never clean a screen alone in high water.");
    }
    if line.works.basin.is_some() {
        all.push("Settling basins: wet sand does not carry a person. Do not enter a full basin. A flushing gate releases water suddenly: warn people downstream first.");
    }
    if line.works.corrosion.is_some_and(|c| c.earth.is_some()) {
        all.push("Earthing: an earth electrode protects people. Never disconnect it while the generator can turn. Only a licensed electrician may change it.");
    }
    if line.outlet.is_some() {
        all.push("Electrics: water and electricity meet in the powerhouse. Switch off and lock before you open a casing. A runner continues to turn after shutdown. Only a licensed electrician may do the wiring.");
    }
    if line.environment.situation.coldest_air_c < 0.0 {
        all.push(
            "Frost: water freezes first at low points, in stubs, risers and valves, and bursts them.",
        );
    }
    all.push("The values are for planning. Local codes, permits and licensed practice have priority. Where a failure could hurt a person, an engineer must inspect the site.");
    bullets(&all)
}
