//! Every thrust of a line, in order from the intake.

use super::curves::curved;
use super::pieces::{Curve, Jointed};
use super::pushes::{Maker, SAME_M};
use super::{Loads, Push};
use crate::line::{Fitting, Line};
use crate::pipe::FittingKind;

/// All thrusts, in order from the intake.
pub(super) fn pushes(line: &Line, loads: &Loads, runs: &[Jointed]) -> (Vec<Push>, Vec<Curve>) {
    let make = Maker { line, loads, runs };
    let curved = curved(&make);
    let is_curve = |station_m: f64| curved.stations_m.contains(&station_m);
    let elbows: Vec<&Fitting> = line
        .fittings
        .iter()
        .filter(|f| matches!(f.kind, FittingKind::Elbow | FittingKind::Mitre))
        .collect();
    let mut out: Vec<Push> = line
        .bends
        .iter()
        .filter(|b| !is_curve(b.station_m))
        .filter_map(|b| {
            let elbow = elbows
                .iter()
                .find(|e| (e.station_m - b.station_m).abs() <= SAME_M);
            make.bend(b, elbow.map(|e| e.name.clone()))
        })
        .collect();
    for elbow in elbows {
        let is_bend = line
            .bends
            .iter()
            .any(|b| (b.station_m - elbow.station_m).abs() <= SAME_M);
        if !is_bend {
            out.extend(make.elbow(elbow));
        }
    }
    out.extend(line.fittings.iter().flat_map(|f| make.valve(f)));
    out.extend(line.fittings.iter().filter_map(|f| make.tee(f)));
    for (above, below) in line.reaches.iter().zip(line.reaches.iter().skip(1)) {
        out.extend(make.reducer(above, below));
    }
    out.extend(make.end());
    out.extend(curved.pushes);
    out.sort_by(|a, b| a.station_m.total_cmp(&b.station_m));
    (out, curved.curves)
}
