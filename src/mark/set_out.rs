use super::{Mark, letter};
use std::collections::BTreeMap;

/// Puts marks in order down the line and numbers each kind by itself: V1, V2, D1.
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
    marks
}
