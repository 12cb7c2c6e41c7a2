use super::action::{ClimbAir, Missing, UrgentAction};
use super::moved::MovedVerdict;
use super::off_line::left_bare;
use super::parts::{Climbing, Compared, Equipment, LIKELIER, OffLine};
use crate::air;
use crate::line::Discharge;
use crate::pipe::{Joint, MarkKind};
use crate::regrade::{RegradeKind, RegradePlan};
use crate::study::Study;

/// Most lines that one reads in the dark.
const MOST: usize = 10;

/// What to do tonight, the most pressing first.
pub(super) fn tonight(after: &Study, compared: &Compared) -> Vec<UrgentAction> {
    let mut out = Vec::new();
    let worse = Worse::of(compared);
    let stop = stop(after, compared);
    out.extend(stop.map(|station_m| UrgentAction::ShutDown { station_m }));
    let moved = || {
        compared
            .moved
            .iter()
            .filter(|m| m.verdict == MovedVerdict::Moved)
    };
    let air = let_air_out(after, compared, worse);
    let locks = matches!(
        air,
        Some(UrgentAction::LetAirOut {
            air: ClimbAir::Locks | ClimbAir::MayLock,
            ..
        })
    );
    let holds: Vec<HoldingDevice> = holds(after, compared).collect();
    let walk = walk(after, compared);
    if let (None, Some(outlet)) = (stop, &after.line.outlet) {
        let wary = locks
            || !compared.sucked.is_empty()
            || !compared.moved.is_empty()
            || compared.tight.iter().any(|t| !t.cannot_tell)
            || worse.climbs;
        if wary {
            out.push(UrgentAction::RunLow {
                jets: matches!(outlet.how, Discharge::Jets(_)),
                vented: locks,
                held: holds.iter().any(|h| h.is_sure),
                missing: Missing::default(),
            });
        } else {
            // Where nothing was found, how little was looked at comes first.
            out.extend(walk.clone());
            out.push(UrgentAction::RunAsBefore {
                looked: walk.is_some(),
                changed: !(compared.off_line.is_empty() && compared.tight.is_empty()),
                left: 0,
            });
        }
    }
    // The largest movement first: it is the one that may go on.
    let mut by_size: Vec<_> = (compared.moved.iter())
        .filter(|m| m.is_of_what_moved())
        .collect();
    by_size.sort_by(|a, b| b.most_m.total_cmp(&a.most_m));
    if !by_size.is_empty() {
        out.push(UrgentAction::KeepClear {
            reaches_m: by_size.iter().map(|m| (m.from_m, m.to_m)).collect(),
        });
    }
    let longest = moved()
        .filter(|m| pulled(m.longer_m, m.longer_sd_m))
        .max_by(|a, b| a.longer_m.total_cmp(&b.longer_m));
    out.extend(longest.map(|m| UrgentAction::LookAtJoints {
        from_m: m.from_m,
        to_m: m.to_m,
        longer_m: m.longer_m,
    }));
    if !out.iter().any(|t| matches!(t, UrgentAction::Walk { .. })) {
        out.extend(walk);
    }
    // What stood before the storm is told with what was found: no order of tonight.
    let digs = worse.climbs && !compared.regrade.is_empty();
    if stop.is_none() && (moved().next().is_some() || digs) {
        out.push(UrgentAction::ShutToWork);
    }
    if air.is_some()
        || out
            .iter()
            .any(|t| matches!(t, UrgentAction::ShutDown { .. } | UrgentAction::ShutToWork))
    {
        out.extend(cocks(after));
    }
    out.extend(air);
    out.extend(
        compared
            .sucked
            .iter()
            .take(1)
            .map(|s| UrgentAction::RunLess {
                station_m: s.station_m,
            }),
    );
    if !holds.is_empty() {
        out.push(UrgentAction::CheckHolds {
            is_sure: holds.iter().any(|h| h.is_sure),
            stands: holds.iter().map(|h| (h.stand, h.station_m)).collect(),
        });
    }
    out.extend(
        compared
            .tight
            .iter()
            .take(1)
            .map(|t| UrgentAction::EaseBend {
                station_m: t.station_m,
            }),
    );
    if !compared.level_first_m.is_empty() {
        out.push(UrgentAction::Level {
            reaches_m: compared.level_first_m.clone(),
        });
    }
    if digs {
        out.extend(cheapest(&compared.regrade).map(|plan| UrgentAction::Regrade { plan }));
    }
    out.truncate(MOST);
    out
}

/// Not surveyed again: less than this at an end is no reach, m.
const END_M: f64 = 10.0;

/// What the surveys leave to the eye.
fn walk(after: &Study, compared: &Compared) -> Option<UrgentAction> {
    let whole_m = after.line.geometry.length_m();
    let (from_m, to_m) = (compared.alignment.from_m, compared.alignment.to_m);
    let unseen_m: Vec<(f64, f64)> = [(0.0, from_m), (to_m, whole_m)]
        .into_iter()
        .filter(|(a, b)| b - a > END_M)
        .collect();
    let sight = compared.sight.is_dim().then_some(compared.sight);
    (sight.is_some() || !unseen_m.is_empty()).then_some(UrgentAction::Walk { sight, unseen_m })
}

/// What was found on the line as it lies, counted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FoundCounts {
    /// Findings that forbid filling and running.
    pub stops: usize,
    /// Those of them that did not stand before.
    pub new_stops: usize,
    /// Where the first of them begins, m.
    pub first_stop_m: f64,
    /// Findings that are to be put right.
    pub fixes: usize,
    /// What must stand before it may run.
    pub missing: Missing,
}

/// What got worse since the earlier survey.
#[derive(Debug, Clone, Copy)]
struct Worse {
    /// A climb is new, or rises more.
    climbs: bool,
    /// The start.
    start: bool,
}

impl Worse {
    fn of(compared: &Compared) -> Self {
        let grave = |verdict: air::StartVerdict| match verdict {
            air::StartVerdict::Starts => 0,
            air::StartVerdict::MayStart => 1,
            air::StartVerdict::CannotTell => 2,
            air::StartVerdict::Locks => 3,
        };
        let climbs = compared
            .climbs
            .iter()
            .any(|c| matches!(c.what, Climbing::New | Climbing::Worse));
        Self {
            climbs,
            start: climbs || compared.start.is_some_and(|(a, b)| grave(b) > grave(a)),
        }
    }
}

impl Compared {
    /// Puts first what forbids filling and running the line as it lies: nothing below may say that it may run.
    pub fn heed(&mut self, found: FoundCounts) {
        for line in &mut self.tonight {
            match line {
                UrgentAction::RunAsBefore { left, .. } => *left = found.fixes,
                UrgentAction::RunLow { missing, .. } => *missing = found.missing,
                _ => {}
            }
        }
        if found.stops == 0 {
            return;
        }
        let forbidden = UrgentAction::Forbidden {
            count: found.stops,
            new: found.new_stops,
            first_m: found.first_stop_m,
        };
        let runs = |t: &UrgentAction| {
            matches!(
                t,
                UrgentAction::RunLow { .. } | UrgentAction::RunAsBefore { .. }
            )
        };
        self.tonight.retain(|t| !runs(t));
        if !self
            .tonight
            .iter()
            .any(|t| matches!(t, UrgentAction::ShutDown { .. }))
        {
            self.tonight.insert(0, forbidden);
            self.tonight.truncate(MOST);
        }
    }
}

/// Less than this share of the power left with air in the climbs is worth a vent.
const HELD_BACK: f64 = 0.9;

/// A share that changed by less is the same.
const LESS: f64 = 0.01;

/// Vents to open or fit, where air newly locks the line, may lock it, or holds power back.
fn let_air_out(after: &Study, compared: &Compared, worse: Worse) -> Option<UrgentAction> {
    let bare = |o: &OffLine| match *o {
        OffLine::Unvented { crest_m } | OffLine::NotAtCrest { crest_m, .. } => Some(crest_m),
        OffLine::PipeMoved { .. } => None,
    };
    // A vent harms nothing where the pipe falls after all: one climb that is new and likelier than not is enough.
    let likely = || {
        let new = compared
            .climbs
            .iter()
            .filter(|c| matches!(c.what, Climbing::New | Climbing::Worse) && !c.climbs_now())
            .filter_map(|c| c.after.as_ref());
        new.filter(|c| c.probability > LIKELIER)
            .filter_map(|c| left_bare(after, c))
    };
    let crests = || {
        let sure = compared.off_line.iter().filter_map(bare);
        sure.chain(likely().filter_map(|o| bare(&o)))
    };
    let wanted = || {
        let cure = after.air.as_ref().map(|a| a.cure.stations_m.clone());
        cure.filter(|s| !s.is_empty())
            .unwrap_or_else(|| crests().collect())
    };
    // The state that has most to lose speaks for all, as it does beside what changed.
    let left = compared
        .cases
        .iter()
        .filter_map(|c| c.with_air.map(|a| (c.power_w.1, a)))
        .max_by(|(a, _), (b, _)| a.total_cmp(b))
        .map_or((1.0, 1.0), |(_, shares)| shares);
    let less = left.1 < left.0 - LESS;
    let left = left.1;
    let (stations_m, air) = match compared.start.map(|s| s.1) {
        Some(air::StartVerdict::Locks) if worse.start => (wanted(), ClimbAir::Locks),
        Some(air::StartVerdict::CannotTell) if worse.start => (wanted(), ClimbAir::MayLock),
        _ if less && left < HELD_BACK => (crests().collect(), ClimbAir::HoldsBack(left)),
        _ => return None,
    };
    (!stations_m.is_empty()).then_some(UrgentAction::LetAirOut { stations_m, air })
}

/// Hand cocks that stand on the line.
fn cocks(after: &Study) -> Option<UrgentAction> {
    let stations_m: Vec<f64> = after
        .line
        .reaches
        .counted(&after.line.stands, MarkKind::Vent)
        .filter(|(_, s)| s.is_by_hand())
        .map(|(_, s)| s.station_m)
        .collect();
    (!stations_m.is_empty()).then_some(UrgentAction::OpenCocks { stations_m })
}

/// Where the pipe newly may burst, collapse or part; `None` where the storm made nothing of the kind. What forbids running anyhow is found on the line by itself.
fn stop(after: &Study, compared: &Compared) -> Option<f64> {
    let strength = after.strength.as_ref()?;
    let over = compared
        .pressed
        .iter()
        .zip(&strength.reaches)
        .find_map(|(p, r)| {
            let grew = |before: f64, now: f64| now > 1.0 && (before <= 1.0 || now > before + LESS);
            let inside = p
                .use_high
                .1
                .is_some_and(|now| grew(p.use_high.0.unwrap_or(0.0), now));
            (inside || grew(p.outside_use.0, p.outside_use.1))
                .then(|| r.governing.as_ref().map_or(r.from_m, |g| g.station_m))
        });
    over.or_else(|| {
        compared
            .moved
            .iter()
            .filter(|m| m.verdict == MovedVerdict::Moved && pulled(m.longer_m, m.longer_sd_m))
            .find(|m| loose(after, m.from_m, m.to_m))
            .map(|m| 0.5 * (m.from_m + m.to_m))
    })
}

/// A line that grew by more than its doubt and by more than a joint's play, m.
fn pulled(longer_m: f64, sd_m: f64) -> bool {
    longer_m > 0.05 && longer_m > 3.0 * sd_m
}

/// Whether joints in a reach can be pulled apart by hand's-breadths: pushed in, not fused, glued or bolted.
fn loose(after: &Study, from_m: f64, to_m: f64) -> bool {
    after
        .line
        .reaches
        .iter()
        .filter(|r| r.to_m > from_m && r.from_m < to_m)
        .any(|r| {
            matches!(
                r.joint,
                Joint::Ring | Joint::Barbed | Joint::Compression | Joint::RepairCoupling
            )
        })
}

/// Something that holds the pipe and stands where it moved or may have.
struct HoldingDevice {
    stand: usize,
    station_m: f64,
    is_sure: bool,
}

fn holds<'a>(after: &'a Study, compared: &'a Compared) -> impl Iterator<Item = HoldingDevice> + 'a {
    compared.off_line.iter().filter_map(|off| match *off {
        OffLine::PipeMoved {
            what: Equipment::Mark(stand),
            station_m,
            is_sure,
            ..
        } => {
            let kind = after.line.stands.get(stand)?.kind;
            matches!(
                kind,
                MarkKind::Anchor
                    | MarkKind::Block
                    | MarkKind::Strap
                    | MarkKind::Support
                    | MarkKind::Guide
            )
            .then_some(HoldingDevice {
                stand,
                station_m,
                is_sure,
            })
        }
        _ => None,
    })
}

/// The plan that costs least of those that cure everything, else of all.
pub(super) fn cheapest(plans: &[RegradePlan]) -> Option<usize> {
    let cures = |p: &RegradePlan| p.remaining.is_empty();
    let any = plans.iter().any(cures);
    plans
        .iter()
        .enumerate()
        .filter(|(_, p)| !any || cures(p))
        .min_by(|(_, a), (_, b)| {
            a.cost
                .total_cmp(&b.cost)
                .then((a.kind != RegradeKind::Mixed).cmp(&(b.kind != RegradeKind::Mixed)))
        })
        .map(|(i, _)| i)
}
