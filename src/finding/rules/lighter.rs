//! The lighter pipe that would do, where any is not bought yet: for a whole reach, and by zones.

use crate::finding::{Finding, Kind, Lighter, LighterZones, Severity};
use crate::strength::{Strength, would_need_air};
use crate::study::Study;

pub(super) fn lighter(study: &Study, strength: &Strength) -> Vec<Finding> {
    let whole = strength
        .reaches
        .iter()
        .zip(&study.line.reaches)
        .filter(|(_, declared)| !declared.is_laid)
        .filter_map(|(s, declared)| {
            let pipe = s.lightest.as_ref().ok()?;
            let kind = Kind::LighterWouldDo(Lighter {
                spec: s.spec.clone(),
                lightest: pipe.spec.clone(),
                needs_air: would_need_air(&study.line, (s.from_m, s.to_m), pipe),
            });
            (pipe.mass_kg_per_m < declared.pipe.mass_kg_per_m * 0.999)
                .then(|| Finding::new(Severity::Watch, kind, s.from_m, s.to_m))
        });
    whole.chain(zones(study)).collect()
}

/// The classes by zones, where they are other than declared and stand.
fn zones(study: &Study) -> Option<Finding> {
    let zoned = study.zoned.as_ref().filter(|z| z.holds)?;
    let open = study.line.reaches.iter().any(|r| !r.is_laid);
    // one class for the whole of each reach is told by itself
    let parted = zoned.list.len() > study.line.reaches.len();
    let declared = study.strength.as_ref().map_or(&[][..], |s| &s.parting);
    // classes in which the water would part anew are no bargain
    let parts_anew = zoned.parting.iter().any(|m| !declared.contains(m));
    if !open || !parted || parts_anew || !zoned.list.iter().any(|z| z.differs) {
        return None;
    }
    let net_head_m = zoned
        .cases
        .iter()
        .max_by(|a, b| {
            a.declared_flow_m3_per_s
                .total_cmp(&b.declared_flow_m3_per_s)
        })
        .map(|c| (c.declared_net_head_m, c.net_head_m));
    let kind = Kind::ZonesWouldDo(LighterZones {
        list: zoned
            .list
            .iter()
            .map(|z| (z.from_m, z.to_m, z.pipe.spec.clone()))
            .collect(),
        saved_kg: zoned.declared_mass_kg - zoned.mass_kg,
        needs_air: zoned
            .list
            .iter()
            .any(|z| would_need_air(&study.line, (z.from_m, z.to_m), &z.pipe)),
        use_high: zoned.use_high,
        net_head_m,
    });
    let memory = zoned.list.iter().any(|z| z.pipe.is_unverified());
    Some(Finding::new(Severity::Watch, kind, 0.0, study.line.length_m()).from_memory(memory))
}
