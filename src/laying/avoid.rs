//! Where no joint should stand.

use super::BendCheck;
use crate::line::Laid;
use crate::pipe::Bed;
use crate::profile::Profile;

/// Why a joint is kept away.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum AvoidWhy {
    /// A bend tighter than a joint bears.
    Bend,
    /// A crest, where air stands and a vent is set.
    Crest,
    /// A climb: a joint that leaks there takes in air, and one that sags deepens it.
    Climb,
    /// A span without support beneath.
    Span,
}

/// A stretch without joints.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Avoid {
    /// From, m.
    pub from_m: f64,
    /// To, m.
    pub to_m: f64,
    /// Why.
    pub why: AvoidWhy,
}

/// On either side of a crest, m: room for the vent's saddle (common practice, no source).
const CREST_M: f64 = 1.0;

/// Stretches of a line without joints, in order.
pub fn avoided(laid: &[Laid], profile: &Profile, bends: &[BendCheck]) -> Vec<Avoid> {
    let mut out: Vec<Avoid> = bends
        .iter()
        .filter(|b| b.clear_m > 0.0)
        .map(|b| Avoid {
            from_m: b.station_m - b.clear_m,
            to_m: b.station_m + b.clear_m,
            why: AvoidWhy::Bend,
        })
        .collect();
    for climb in &profile.climbs {
        out.push(Avoid {
            from_m: climb.crest_from_m.min(climb.crest_station_m) - CREST_M,
            to_m: climb.crest_to_m.max(climb.crest_station_m) + CREST_M,
            why: AvoidWhy::Crest,
        });
        out.push(Avoid {
            from_m: climb.low_station_m,
            to_m: climb.end_station_m,
            why: AvoidWhy::Climb,
        });
    }
    for laid in laid
        .iter()
        .filter(|l| matches!(l.bed, Bed::Span | Bed::Hung))
    {
        out.push(Avoid {
            from_m: laid.from_m,
            to_m: laid.to_m,
            why: AvoidWhy::Span,
        });
    }
    out.sort_by(|a, b| {
        a.from_m
            .total_cmp(&b.from_m)
            .then(a.to_m.total_cmp(&b.to_m))
            .then(a.why.cmp(&b.why))
    });
    out
}

/// The bends themselves, where no joint may stand whatever else has to be given up.
pub(super) fn forbidden(bends: &[BendCheck]) -> Vec<Avoid> {
    bends
        .iter()
        .filter(|b| b.clear_m > 0.0 && !b.bears_joint)
        .map(|b| Avoid {
            from_m: b.station_m - b.length_m / 2.0,
            to_m: b.station_m + b.length_m / 2.0,
            why: AvoidWhy::Bend,
        })
        .collect()
}

/// Why a station is avoided, if it is; ends of a stretch are allowed.
pub(super) fn why_at(avoid: &[Avoid], station_m: f64) -> Option<AvoidWhy> {
    avoid
        .iter()
        .find(|a| station_m > a.from_m && station_m < a.to_m)
        .map(|a| a.why)
}

/// The last station at or above one where a joint may stand, m: moved uphill out of every stretch that is avoided.
pub(super) fn move_up(avoid: &[Avoid], station_m: f64) -> f64 {
    let mut at = station_m;
    while let Some(from) = avoid
        .iter()
        .filter(|a| at > a.from_m && at < a.to_m)
        .map(|a| a.from_m)
        .reduce(f64::min)
    {
        at = from;
    }
    at
}

/// The first station at or below one where a joint may stand, m: the far end of all that is avoided round it.
pub(super) fn move_down(avoid: &[Avoid], station_m: f64) -> f64 {
    let mut at = station_m;
    while let Some(to) = avoid
        .iter()
        .filter(|a| at > a.from_m && at < a.to_m)
        .map(|a| a.to_m)
        .reduce(f64::max)
    {
        at = to;
    }
    at
}
