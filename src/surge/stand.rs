use std::f64::consts::FRAC_PI_4;

use super::SurgeAssumption;
use crate::line::{Appurtenance, Line};
use crate::march::{BranchLine, InitialState, PipeSeries};
use crate::pipe::{Device, MarkKind};

/// Whether a mark on the line takes part in a surge.
pub(crate) enum Counts {
    /// It does nothing to the water.
    Not,
    /// It would, but does not work or too little is known of it.
    Unknown,
    /// It does.
    Yes(BranchLine),
}

/// What a mark does in a surge. Only what works, stands open and has a known bore is counted: none of it is a guard that may be guessed.
///
/// A valve that only lets air out, through its small hole, and a cock that a hand must open do nothing here.
pub(crate) fn branch_of(line: &Line, stand: &Appurtenance) -> Counts {
    let device = match (stand.kind, stand.device) {
        (MarkKind::Vent, Some(d)) if d.lets_in() => Some(d),
        (MarkKind::Relief, _) => None,
        _ => return Counts::Not,
    };
    let works = line.reaches.counts(stand) && stand.cock_open;
    let Some(bore_m) = stand.bore_m.filter(|_| works) else {
        return Counts::Unknown;
    };
    let height_m = line.geometry.elevation_m(stand.station_m);
    match device {
        Some(Device::Standpipe) => match stand.top_m {
            Some(top_m) => Counts::Yes(BranchLine::Standpipe {
                height_m,
                rim_m: height_m + top_m,
                bore_m,
            }),
            None => Counts::Unknown,
        },
        Some(device) => Counts::Yes(BranchLine::AirInlet {
            height_m,
            bore_m,
            lets_out: device.lets_out(),
        }),
        None => match stand.opens_at_pa {
            Some(opens_at_pa) => {
                let g = line.environment.situation.gravity_m_per_s2;
                let weight = line.environment.water_n_per_m3();
                // 0.6 for the sharp edge of its seat
                let area = 0.6 * FRAC_PI_4 * bore_m * bore_m;
                Counts::Yes(BranchLine::Relief {
                    opens_at_m: height_m + opens_at_pa / weight,
                    conductance_m5_per_s2: 2.0 * g * area * area,
                })
            }
            None => Counts::Unknown,
        },
    }
}

/// Takes out what would not stand still in the state a movement starts from: a standpipe that runs dry or over, a vent in suction, a relief that stands open. Gives the standpipes that run over, by their joins: taller ones would stand.
pub(crate) fn leave_out_what_cannot_stand(
    chain: &mut PipeSeries,
    start: &InitialState,
    stand_of_join: &[Option<usize>],
    taken: &mut Vec<SurgeAssumption>,
) -> Vec<(usize, BranchLine)> {
    let mut short = Vec::new();
    let heads = chain.steady_heads_m(start);
    for ((i, join), (stand, head)) in chain
        .joins
        .iter_mut()
        .enumerate()
        .zip(stand_of_join.iter().zip(heads.iter().skip(1)))
    {
        let Some(index) = *stand else { continue };
        let still = match join.branch {
            BranchLine::Standpipe {
                height_m, rim_m, ..
            } => head.0 > height_m && head.0 <= rim_m,
            BranchLine::AirInlet { height_m, .. } => head.0 >= height_m,
            BranchLine::Relief { opens_at_m, .. } => head.0 <= opens_at_m,
            BranchLine::None | BranchLine::Tap { .. } => true,
        };
        if !still {
            let left_out = std::mem::replace(&mut join.branch, BranchLine::None);
            if matches!(left_out, BranchLine::Standpipe { rim_m, .. } if head.0 > rim_m) {
                short.push((i, left_out));
            }
            taken.retain(|t| *t != SurgeAssumption::StandCounted(index));
            taken.push(SurgeAssumption::StandLeftOut(index));
        }
    }
    short
}
