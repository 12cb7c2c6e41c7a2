use crate::anchor::{At, Hold};
use crate::finding::{Finding, Kind, Severity};
use crate::pipe::MarkKind;
use crate::study::Study;

/// A block or anchor within this of a thrust is taken to hold it, m.
const NEAR_M: f64 = 2.0;

/// Thrusts on joints that do not hold them and where nothing stands; and what is wanted to hold the line, kind by kind.
pub fn holds(study: &Study) -> Vec<Finding> {
    let Some(anchor) = &study.anchor else {
        return Vec::new();
    };
    let stands = |station_m: f64| {
        study.line.stands.iter().any(|s| {
            matches!(s.kind, MarkKind::Block | MarkKind::Anchor)
                && (s.station_m - station_m).abs() <= NEAR_M
        })
    };
    let mut found: Vec<Finding> = anchor
        .pushes
        .iter()
        .filter(|p| {
            !p.restrained && !p.doubtful && p.size_n > LEAST_THRUST_N && !stands(p.station_m)
        })
        .map(|p| {
            let end = matches!(p.at, At::End | At::Valve(_));
            Finding::new(
                Severity::Stop,
                Kind::Unrestrained {
                    force_n: p.size_n,
                    joint: p.joint,
                    end,
                },
                p.station_m,
                p.station_m,
            )
        })
        .collect();
    let mut groups: Vec<Vec<&Hold>> = Vec::new();
    for hold in anchor.holds.iter().filter(|h| h.stands.is_none()) {
        match groups.iter_mut().find(|g| {
            g.first()
                .is_some_and(|f| f.kind == hold.kind && f.why == hold.why)
        }) {
            Some(group) => group.push(hold),
            None => groups.push(vec![hold]),
        }
    }
    found.extend(groups.iter().filter_map(|group| {
        let first = group.first()?;
        let ends = group.iter().map(|h| h.station_m);
        let (from, to) = (
            ends.clone().min_by(f64::total_cmp)?,
            ends.max_by(f64::total_cmp)?,
        );
        let force_n = group.iter().map(|h| h.force_n).max_by(f64::total_cmp)?;
        let kind = Kind::HoldWanted {
            kind: first.kind,
            force_n,
            count: group.len(),
            why: first.why,
        };
        Some(
            Finding::new(Severity::Watch, kind, from, to)
                .from_memory(group.iter().any(|h| h.from_memory)),
        )
    }));
    found
}

/// Thrusts under this are held by the weight and friction of any pipe that lies on ground, N (our judgement).
const LEAST_THRUST_N: f64 = 300.0;
