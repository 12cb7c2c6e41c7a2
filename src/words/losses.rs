//! What takes head in a state, each with its word.

use crate::flow::{Loss, Run, Taker};
use crate::line::Line;

/// What takes head in a state, in station order, each with its word.
pub fn losses<'a>(run: &'a Run, line: &Line) -> Vec<(String, &'a Loss)> {
    run.losses
        .items
        .iter()
        .map(|l| (taker(l.by, line), l))
        .collect()
}

pub(super) fn taker(by: Taker, line: &Line) -> String {
    match by {
        Taker::Entrance => "entrance".to_owned(),
        Taker::Screen => "screen".to_owned(),
        Taker::Wall(i) => format!(
            "pipe {}",
            line.reaches.get(i).map_or("", |r| r.pipe.spec.as_str())
        ),
        Taker::Fitting(i) => line
            .fittings
            .get(i)
            .map_or_else(String::new, |f| f.name.clone()),
        Taker::Bend(_) => "bend".to_owned(),
        Taker::ChangeOfBore(_) => "change of bore".to_owned(),
        Taker::Air => "air".to_owned(),
        Taker::Fall => "part-full fall".to_owned(),
    }
}
