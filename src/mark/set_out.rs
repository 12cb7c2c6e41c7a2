use super::{Mark, Status, letter};
use crate::pipe::MarkKind;
use std::collections::BTreeMap;

/// Puts marks in order down the line, numbers each kind by itself (V1, V2, D1), and tells in which turn a crew sets what is wanted.
pub fn set_out(mut marks: Vec<Mark>) -> Vec<Mark> {
    marks.sort_by(|a, b| {
        a.station_m
            .total_cmp(&b.station_m)
            .then(a.kind.cmp(&b.kind))
            .then(a.standing.cmp(&b.standing))
    });
    let mut counts: BTreeMap<char, usize> = BTreeMap::new();
    for mark in &mut marks {
        let letter = letter(mark.kind);
        let count = counts.entry(letter).or_insert(0);
        *count += 1;
        mark.id = format!("{letter}{count}");
    }
    let mut wanted: Vec<&mut Mark> = marks
        .iter_mut()
        .filter(|m| m.standing == Status::Proposed)
        .collect();
    // from the lower end up, so that nothing is set that what comes later would slide onto
    wanted.sort_by(|a, b| {
        phase(a.kind)
            .cmp(&phase(b.kind))
            .then(b.station_m.total_cmp(&a.station_m))
            .then(a.kind.cmp(&b.kind))
    });
    for (turn, mark) in (1..).zip(wanted) {
        mark.turn = Some(turn);
    }
    marks
}

/// The work that a kind belongs to: first the bed, then what carries the pipe, the pipe, what holds it (concrete must set before any pressure), and last what lets air and water out.
fn phase(kind: MarkKind) -> u8 {
    match kind {
        MarkKind::Stake => 0,
        MarkKind::Support | MarkKind::Guide => 1,
        MarkKind::Joint
        | MarkKind::Elbow
        | MarkKind::Reducer
        | MarkKind::Loop
        | MarkKind::ExpansionJoint => 2,
        MarkKind::Anchor | MarkKind::Block | MarkKind::Strap => 3,
        MarkKind::Vent | MarkKind::Drain | MarkKind::Relief => 4,
    }
}

#[cfg(test)]
mod tests {
    use super::super::MarkReason;
    use super::*;
    use crate::line::Line;
    use crate::pipe;

    #[test]
    fn a_crew_beds_carries_lays_holds_and_vents_each_from_the_lower_end_up() {
        let pipe = pipe::find("PE100 SDR17 110").unwrap();
        let line = Line::plain(&[(0.0, 50.0), (200.0, 0.0)], &pipe);
        let at = |kind, standing, station_m, why| {
            Mark::at(&line.geometry, kind, standing, station_m, why)
        };
        let mark = |kind, station_m| at(kind, Status::Proposed, station_m, MarkReason::Thrust);
        let marks = set_out(vec![
            mark(MarkKind::Vent, 100.0),
            mark(MarkKind::Block, 50.0),
            mark(MarkKind::Anchor, 150.0),
            mark(MarkKind::Stake, 20.0),
            at(
                MarkKind::Strap,
                Status::Existing,
                60.0,
                MarkReason::Declared,
            ),
        ]);
        let turn = |id: &str| marks.iter().find(|m| m.id == id).unwrap().turn;
        assert_eq!(
            (turn("S1"), turn("A1"), turn("B1"), turn("V1"), turn("T1")),
            (Some(1), Some(2), Some(3), Some(4), None)
        );
    }
}
