//! A small profile drawn in text, for the terminal.

use super::look::{Look, Tone};
use crate::profile::{Climb, ClimbVerdict};
use crate::unit::Units;
use crate::unit::exact::FOOT_M;
use crate::words::Say;

/// Rows of the drawing.
const ROWS: usize = 10;

/// The pipe as a line of letters, falling to the right: `#` where it climbs, `?` where the survey cannot tell. Empty where there is no width for it.
pub fn drawn(
    station_m: &[f64],
    elevation_m: &[f64],
    climbs: &[Climb],
    unrecorded: &[(f64, f64)],
    say: Say,
    look: &Look,
) -> String {
    let ends = station_m.first().zip(station_m.last());
    let low = elevation_m.iter().copied().fold(f64::INFINITY, f64::min);
    let high = elevation_m
        .iter()
        .copied()
        .fold(f64::NEG_INFINITY, f64::max);
    let Some((from, to)) = ends else {
        return String::new();
    };
    let (top, bottom) = (height(high, say), height(low, say));
    let margin = top.chars().count().max(bottom.chars().count()) + 3;
    let columns = look.width.saturating_sub(margin + 1);
    if columns < 20 || to <= from || high <= low || station_m.len() != elevation_m.len() {
        return String::new();
    }
    let mut grid = vec![vec![' '; columns]; ROWS];
    for (column, station) in stations(*from, *to, columns).enumerate() {
        let height = crate::numeric::series::interpolate(station_m, elevation_m, station);
        let row = row(high, low, height);
        let letter = climbs
            .iter()
            .find_map(|c| match c.verdict {
                ClimbVerdict::Climbs
                    if station >= c.low_station_m && station <= c.crest_station_m =>
                {
                    Some('#')
                }
                ClimbVerdict::CannotTell
                    if station >= c.reach_from_m && station <= c.reach_to_m =>
                {
                    Some('?')
                }
                _ => None,
            })
            .or_else(|| lacks(unrecorded, station).then_some('?'))
            .unwrap_or('.');
        if let Some(cell) = grid.get_mut(row).and_then(|r| r.get_mut(column)) {
            *cell = letter;
        }
    }
    let mut out = String::new();
    for (i, line) in grid.iter().enumerate() {
        let head = match i {
            0 => top.as_str(),
            _ if i + 1 == ROWS => bottom.as_str(),
            _ => "",
        };
        out.push_str(&format!(
            "{head:>0$} |{1}\n",
            margin - 2,
            row_text(line, look)
        ));
    }
    let (first, last) = (say.station(*from), say.station(*to));
    let gap = columns.saturating_sub(first.chars().count() + last.chars().count());
    out.push_str(&format!(
        "{:>1$}{first}{2}{last}\n",
        "",
        margin,
        " ".repeat(gap)
    ));
    if climbs.iter().any(|c| c.verdict == ClimbVerdict::Climbs) {
        out.push_str(&format!("{:>1$}# pipe rises\n", "", margin));
    }
    if !unrecorded.is_empty() || climbs.iter().any(|c| c.verdict == ClimbVerdict::CannotTell) {
        out.push_str(&format!(
            "{:>1$}? not certain from this survey\n",
            "", margin
        ));
    }
    out
}

/// Whether a station lies where nothing was recorded.
fn lacks(unrecorded: &[(f64, f64)], station_m: f64) -> bool {
    let inside = |&(from, to): &(f64, f64)| station_m > from && station_m < to;
    unrecorded.iter().any(inside)
}

/// A row with its climbs set off.
fn row_text(row: &[char], look: &Look) -> String {
    let end = row.iter().rposition(|c| *c != ' ').map_or(0, |i| i + 1);
    row.get(..end)
        .unwrap_or_default()
        .chunk_by(|a, b| a == b)
        .map(|run| {
            let text: String = run.iter().collect();
            match run.first() {
                Some('#') => (look.paint)(Tone::Fix, &text),
                Some('?') => (look.paint)(Tone::Watch, &text),
                _ => text,
            }
        })
        .collect()
}

/// A height to the whole unit: the drawing has no finer rows.
fn height(m: f64, say: Say) -> String {
    match say.units {
        Units::Metric => format!("{m:.0} m"),
        Units::Us => format!("{:.0} ft", m / FOOT_M),
    }
}

fn stations(from: f64, to: f64, columns: usize) -> impl Iterator<Item = f64> {
    let step = (to - from) / (columns.max(2) - 1) as f64;
    (0..columns).map(move |i| from + step * i as f64)
}

fn row(high: f64, low: f64, height: f64) -> usize {
    ((high - height) / (high - low) * (ROWS - 1) as f64)
        .round()
        .clamp(0.0, (ROWS - 1) as f64) as usize
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_keeps_to_its_width_and_falls_to_the_right() {
        let text = drawn(
            &[0.0, 100.0],
            &[50.0, 10.0],
            &[],
            &[],
            Say::new(Units::Metric),
            &Look::plain(60),
        );
        assert!(text.lines().all(|l| l.chars().count() <= 60), "{text}");
        let lines: Vec<&str> = text.lines().collect();
        assert!(
            lines[0].trim_start().starts_with("50")
                && lines[ROWS - 1].trim_start().starts_with("10"),
            "{text}"
        );
        assert!(lines[0].find('.') < lines[ROWS - 1].rfind('.'));
        assert_eq!(
            drawn(
                &[0.0, 100.0],
                &[50.0, 10.0],
                &[],
                &[],
                Say::new(Units::Metric),
                &Look {
                    width: 20,
                    ..Look::plain(60)
                }
            ),
            ""
        );
        assert_eq!(
            drawn(
                &[],
                &[],
                &[],
                &[],
                Say::new(Units::Metric),
                &Look::plain(80)
            ),
            ""
        );
    }
}
