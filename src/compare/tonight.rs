use super::moved::Verdict;
use super::parts::{Climbing, Compared, OffLine, Standing};
use crate::air;
use crate::pipe::{Joint, MarkKind};
use crate::regrade::{Kind, Plan};
use crate::study::Study;

/// One thing to do, or to keep from, tonight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Tonight {
    /// Shut the intake slowly and leave the air inlet below it open: something may burst or part. Do not run.
    ShutDown {
        /// Where it is weakest, m.
        station_m: f64,
    },
    /// Look at the joints here before there is pressure on them: the pipe grew longer by so much.
    LookAtJoints {
        /// From, m.
        from_m: f64,
        /// To, m.
        to_m: f64,
        /// How much longer, m.
        longer_m: f64,
    },
    /// Do not stand below or on this reach: the ground moved.
    KeepClear {
        /// From, m.
        from_m: f64,
        /// To, m.
        to_m: f64,
    },
    /// It may run with one jet, watched.
    RunOneJet,
    /// It may run as before.
    RunAsBefore,
    /// Open (or fit) a vent here before filling: air would lock the line.
    LetAirOut {
        /// Where, m.
        station_m: f64,
    },
    /// Air is drawn in here when it runs: keep the flow down.
    RunLess {
        /// Where the pressure is lowest, m.
        station_m: f64,
    },
    /// An anchor, block, strap or support no longer holds what it held.
    CheckHold {
        /// Which: index into the later line's `stands`.
        stand: usize,
        /// Where, m.
        station_m: f64,
    },
    /// A bend is sharper than the pipe may take: ease it.
    EaseBend {
        /// Where, m.
        station_m: f64,
    },
    /// Level this reach first: the survey cannot tell.
    Level {
        /// From, m.
        from_m: f64,
        /// To, m.
        to_m: f64,
    },
    /// Set out the stakes of the cheapest plan.
    Regrade {
        /// Which plan: index into `Compared::regrade`.
        plan: usize,
    },
}

/// Most lines that one reads in the dark.
const MOST: usize = 10;

/// What to do tonight, the most pressing first.
pub(super) fn tonight(after: &Study, compared: &Compared) -> Vec<Tonight> {
    let mut out = Vec::new();
    let stop = stop(after, compared);
    out.extend(stop.map(|station_m| Tonight::ShutDown { station_m }));
    let moved = || {
        compared
            .moved
            .iter()
            .filter(|m| m.verdict == Verdict::Moved)
    };
    // The largest movement first: it is the one that may go on.
    let mut by_size: Vec<_> = moved().collect();
    by_size.sort_by(|a, b| b.most_m.total_cmp(&a.most_m));
    out.extend(by_size.iter().take(2).map(|m| Tonight::KeepClear {
        from_m: m.from_m,
        to_m: m.to_m,
    }));
    out.extend(
        moved()
            .filter(|m| pulled(m.longer_m, m.longer_sd_m))
            .take(2)
            .map(|m| Tonight::LookAtJoints {
                from_m: m.from_m,
                to_m: m.to_m,
                longer_m: m.longer_m,
            }),
    );
    let locks = compared
        .start
        .is_some_and(|(_, now)| matches!(now, air::Verdict::Locks | air::Verdict::CannotTell));
    if locks {
        let wanted = after
            .air
            .as_ref()
            .map(|a| a.cure.stations_m.clone())
            .unwrap_or_default();
        out.extend(
            wanted
                .into_iter()
                .take(2)
                .map(|station_m| Tonight::LetAirOut { station_m }),
        );
    }
    out.extend(compared.sucked.iter().take(1).map(|s| Tonight::RunLess {
        station_m: s.station_m,
    }));
    if stop.is_none() {
        let wary = locks
            || !compared.sucked.is_empty()
            || moved().next().is_some()
            || compared
                .climbs
                .iter()
                .any(|c| matches!(c.what, Climbing::New | Climbing::Worse));
        out.push(if wary {
            Tonight::RunOneJet
        } else {
            Tonight::RunAsBefore
        });
    }
    out.extend(holds(after, compared).take(2));
    out.extend(compared.tight.iter().take(1).map(|t| Tonight::EaseBend {
        station_m: t.station_m,
    }));
    out.extend(
        compared
            .level_first_m
            .iter()
            .take(2)
            .map(|&(from_m, to_m)| Tonight::Level { from_m, to_m }),
    );
    out.extend(cheapest(&compared.regrade).map(|plan| Tonight::Regrade { plan }));
    out.truncate(MOST);
    out
}

/// Where the pipe may burst, collapse or part; `None` where it need not be shut down.
fn stop(after: &Study, compared: &Compared) -> Option<f64> {
    let strength = after.strength.as_ref()?;
    let over = compared
        .pressed
        .iter()
        .zip(&strength.reaches)
        .find_map(|(p, r)| {
            let now = p.use_high.1.is_some_and(|u| u > 1.0) || p.outside_use.1 > 1.0;
            now.then(|| r.governing.as_ref().map_or(r.from_m, |g| g.station_m))
        });
    over.or_else(|| {
        compared
            .moved
            .iter()
            .filter(|m| m.verdict == Verdict::Moved && pulled(m.longer_m, m.longer_sd_m))
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

/// What holds the pipe and stands where it moved.
fn holds<'a>(after: &'a Study, compared: &'a Compared) -> impl Iterator<Item = Tonight> + 'a {
    compared.off_line.iter().filter_map(|off| match *off {
        OffLine::PipeMoved {
            what: Standing::Mark(stand),
            station_m,
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
            .then_some(Tonight::CheckHold { stand, station_m })
        }
        _ => None,
    })
}

/// The plan that costs least of those that cure everything, else of all.
fn cheapest(plans: &[Plan]) -> Option<usize> {
    let cures = |p: &Plan| p.remaining.is_empty();
    let any = plans.iter().any(cures);
    plans
        .iter()
        .enumerate()
        .filter(|(_, p)| !any || cures(p))
        .min_by(|(_, a), (_, b)| {
            a.cost
                .total_cmp(&b.cost)
                .then((a.kind != Kind::Mixed).cmp(&(b.kind != Kind::Mixed)))
        })
        .map(|(i, _)| i)
}
