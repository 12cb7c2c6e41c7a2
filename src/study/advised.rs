use super::{Study, breath};
use crate::line::{Line, Stand};
use crate::pipe::{MarkKind, WorkingState};

/// How many marks are wanted: vents, drains and holds that do not stand.
pub(super) fn wanted(study: &Study) -> usize {
    let air = study.air.as_ref().map_or(0, |air| {
        air.vents.iter().filter(|v| v.stands.is_none()).count()
            + air.drains.iter().filter(|d| d.stands.is_none()).count()
    });
    let holds = study
        .anchor
        .as_ref()
        .map_or(0, |a| a.holds.iter().filter(|h| h.stands.is_none()).count());
    air + holds
}

/// The line once everything that is wanted stands: vents, drains and holds; `None` where nothing is wanted.
///
/// Advice never hides a fault: it is judged on a line of its own, beside the line as declared.
pub(super) fn line(study: &Study) -> Option<Line> {
    let mut wanted: Vec<Stand> = Vec::new();
    if let Some(air) = &study.air {
        wanted.extend(
            air.vents
                .iter()
                .filter(|v| v.stands.is_none())
                .map(breath::stand),
        );
        wanted.extend(
            air.drains
                .iter()
                .filter(|d| d.stands.is_none() && d.to_come.is_none())
                .map(|d| Stand {
                    bore_m: Some(d.bore_m),
                    ..Stand::plain(MarkKind::Drain, d.station_m)
                }),
        );
    }
    if let Some(anchor) = &study.anchor {
        wanted.extend(
            anchor
                .holds
                .iter()
                .filter(|h| h.is_to_buy())
                .map(|h| Stand {
                    strength_n: Some(h.force_n),
                    ..Stand::plain(h.kind, h.station_m)
                }),
        );
    }
    if wanted.is_empty() {
        return None;
    }
    let mut line = study.line.clone();
    for stand in &mut line.stands {
        // What stands and does not work is put right first.
        stand.state = WorkingState::Works;
        stand.cock_open = true;
    }
    line.stands.extend(wanted);
    line.stands
        .sort_by(|a, b| a.station_m.total_cmp(&b.station_m));
    Some(line)
}
