//! Other pipe and other jets on a line: building the lines that are held side by side.

use crate::line::{Discharge, Line, Outlet, Reach, Reaches};
use crate::pipe::{Condition, FittingKind, Pipe};

/// Which jets a candidate has.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum JetChoice {
    /// As declared.
    Declared,
    /// As many as declared, of the size at which this share of the gross head is lost.
    Loss(f64),
    /// As many as declared, of the size that takes what the stream gives in its best month.
    Stream,
    /// As many as declared, of the size that gives the most power of the pipe.
    Largest,
}

/// The line with other pipe from station to station; fittings, marks and jets stay. Joints and pieces are those of the declared reach where the material is the same, else the material's usual ones.
///
/// Reducers lose their place with the old bores and count for nothing; where two bores meet the narrowing is counted by itself.
#[must_use]
pub fn with_pipe(line: &Line, zones: &[(f64, f64, Pipe)]) -> Line {
    let mut reaches = Vec::new();
    for (from_m, to_m, pipe) in zones {
        for old in &line.reaches {
            let (from_m, to_m) = (from_m.max(old.from_m), to_m.min(old.to_m));
            if to_m - from_m <= 1e-6 {
                continue;
            }
            let fresh = Reach::of(pipe.clone(), from_m, to_m);
            let same = old.pipe.material == pipe.material;
            reaches.push(Reach {
                joint: if same { old.joint } else { fresh.joint },
                pieces_m: if same {
                    old.pieces_m.clone()
                } else {
                    Vec::new()
                },
                coil: old.coil && same,
                surge_allowance: old.surge_allowance.filter(|_| same),
                price_per_m: price_per_m(&line.reaches, pipe),
                is_laid: false,
                condition: Condition::New,
                ..fresh
            });
        }
    }
    let mut out = line.clone();
    *out.reaches = reaches;
    for fitting in &mut out.fittings {
        if matches!(
            fitting.kind,
            FittingKind::Reducer | FittingKind::Enlargement
        ) {
            fitting.k = Some(0.0);
        }
        // a fitting of its own bore follows the pipe
        fitting.bore_m = None;
    }
    out
}

/// Price of a pipe, where the line as declared has it.
pub(super) fn price_per_m(reaches: &Reaches, pipe: &Pipe) -> Option<f64> {
    reaches
        .iter()
        .find(|r| r.pipe.id == pipe.id && !pipe.id.is_empty())
        .and_then(|r| r.price_per_m)
}

/// The line with jets that pass a flow at a net head: as many equal ones as it has, each open, holes rounded down to a tenth of a millimetre; or with that fixed flow.
#[must_use]
pub fn with_jets(line: &Line, flow_m3_per_s: f64, net_head_m: f64) -> Line {
    let mut out = line.clone();
    let g = line.environment.situation.gravity_m_per_s2;
    if let Some(Outlet { how, .. }) = &mut out.outlet {
        match how {
            Discharge::Flow(flow) => *flow = flow_m3_per_s,
            Discharge::Jets(jets) => {
                let coefficients: f64 = jets.iter().map(|j| j.discharge_coefficient).sum();
                let area = flow_m3_per_s / (2.0 * g * net_head_m).sqrt() / coefficients;
                let hole = (area / std::f64::consts::FRAC_PI_4).sqrt();
                let hole_m = (hole * 1e4 + 1e-6).floor() / 1e4;
                for jet in jets {
                    jet.nozzle_diameter_m = hole_m;
                    jet.open = 1.0;
                }
            }
        }
    }
    out
}
