//! A book of readings: gauge, flow and power over months, held against the line; what changed, when, and which cause fits.
//!
//! [`read`] reads the book or a logger's file, [`judge`] says what changed. One road inside: `entry` a row, `sheet` and `spells` the readers, `channel` readings of one kind,
//! `cause` what may change and what it does to each of them, `scan` when, `wander` what moves by itself, `fitted` a change with its size, `judge` which, `next` the reading that tells causes apart, `forecast` how it goes on.

mod cause;
mod channel;
mod entry;
mod fitted;
mod forecast;
mod judge;
mod next;
mod plant;
mod result;
mod scan;
mod sheet;
mod spells;
mod wander;

pub use cause::{CAUSES, Cause, Pace};
pub use channel::ChannelKind;
pub use entry::Entry;
pub use scan::TimeCourse;
pub use sheet::{GaugeBook, read, read_text};

use crate::flow::AirLeg;
use crate::line::Line;
use judge::BookJudge;
use plant::Plant;

pub use result::*;

/// What a book says, held against the line. `legs`: where air may stand, from the intake down.
pub fn judge(line: &Line, legs: &[AirLeg], entries: &[Entry]) -> JudgedBook {
    let plant = Plant::of(line, legs);
    let channels = channel::channels(&plant, entries);
    let levels = |i: usize| entries.get(i).and_then(|e| e.stream_level_m);
    let judge = BookJudge::new(&plant, &channels, &levels);
    let fitted = judge.changes();
    let episodes = (0..fitted.len())
        .filter_map(|i| judge.episode(&fitted, i))
        .collect();
    JudgedBook {
        rows: judge.rows(&fitted),
        episodes,
        alone: judge.alone(),
        forecast: forecast::forecast(&plant, &judge, &fitted),
        days: judge.days(),
        wander_m: judge.wander_m(),
        largest: plant.largest.as_ref().map(|w| w.state.clone()),
    }
}
