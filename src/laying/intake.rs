//! What is bought and built before the pipe inlet: the screen and the settling basin.

use super::shopping_row::{Count, ShoppingItem, ShoppingRow, Why, row};
use crate::line::{Basin, Reaches, Screen, Works};
use crate::pipe::ScreenKind;

/// Rows of an intake that is still to be built: so it is where the pipe at its mouth is planned.
pub(super) fn intake_rows(reaches: &Reaches, works: &Works) -> Vec<ShoppingRow> {
    if reaches.first().is_none_or(|r| r.is_laid) {
        return Vec::new();
    }
    let screen = works.screen.iter().flat_map(|s| screen_rows(reaches, s));
    let basin = works.basin.iter().flat_map(|b| basin_rows(reaches, b));
    screen.chain(basin).collect()
}

fn at_mouth(reaches: &Reaches, item: ShoppingItem) -> ShoppingRow {
    ShoppingRow {
        spec: String::new(),
        rating_pa: None,
        ..row(reaches, item, vec![0.0], Why::Declared)
    }
}

/// The screen by its opening, and its bars by number and length where bars and face are given.
fn screen_rows(reaches: &Reaches, screen: &Screen) -> Vec<ShoppingRow> {
    let mut rows = vec![ShoppingRow {
        bore_m: Some(screen.opening_m),
        ..at_mouth(reaches, ShoppingItem::Screen)
    }];
    let of_bars = matches!(screen.kind, ScreenKind::FlatBars | ScreenKind::RoundBars);
    if let (true, Some(bar_m), Some((width_m, length_m))) = (of_bars, screen.bar_m, screen.face_m) {
        rows.push(ShoppingRow {
            count: bars(width_m, screen.opening_m, bar_m),
            bore_m: Some(bar_m),
            each_m: Some(length_m),
            ..at_mouth(reaches, ShoppingItem::ScreenBar)
        });
    }
    rows
}

/// Bars that leave no opening wider than it may be: n bars leave n + 1 openings.
fn bars(width_m: f64, opening_m: f64, bar_m: f64) -> f64 {
    ((width_m - opening_m) / (opening_m + bar_m) - 1e-9)
        .ceil()
        .max(1.0)
}

/// The room of the basin, and its gate where it is flushed.
fn basin_rows(reaches: &Reaches, basin: &Basin) -> Vec<ShoppingRow> {
    let deep_m = basin.depth_m + basin.sand_depth_m.unwrap_or(0.0);
    let mut rows = vec![ShoppingRow {
        count: basin.width_m * basin.length_m * deep_m,
        unit: Count::CubicMetres,
        ..at_mouth(reaches, ShoppingItem::Basin)
    }];
    if basin.flush.is_some() {
        rows.push(at_mouth(reaches, ShoppingItem::FlushGate));
    }
    rows
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::line::Line;
    use crate::pipe::find;

    #[test]
    fn what_is_built_before_the_mouth_is_listed_where_the_pipe_is_planned() {
        let mut line = Line::plain(
            &[(0.0, 100.0), (200.0, 60.0)],
            &find("PE100 SDR 11 90").unwrap(),
        );
        line.works.screen = Some(Screen {
            kind: ScreenKind::FlatBars,
            opening_m: 0.006,
            bar_m: Some(0.004),
            open_share: None,
            face_m: Some((0.5, 0.4)),
            slope_rad: None,
            cleaned: None,
            least_clearance_m: None,
        });
        line.works.basin = Some(Basin {
            width_m: 1.2,
            length_m: 4.0,
            depth_m: 0.8,
            sand_depth_m: Some(0.3),
            flush: Some((0.014, 0.05)),
        });
        line.reaches[0].is_laid = true;
        assert!(intake_rows(&line.reaches, &line.works).is_empty());
        line.reaches[0].is_laid = false;
        let rows = intake_rows(&line.reaches, &line.works);
        let items: Vec<&ShoppingItem> = rows.iter().map(|r| &r.item).collect();
        assert_eq!(
            items,
            [
                &ShoppingItem::Screen,
                &ShoppingItem::ScreenBar,
                &ShoppingItem::Basin,
                &ShoppingItem::FlushGate
            ]
        );
        // 50 bars of 4 mm leave 51 openings of 5.88 mm in half a metre; 49 would leave them 6.08 mm wide.
        assert_eq!(rows[1].count, 50.0);
        assert!((rows[2].count - 1.2 * 4.0 * 1.1).abs() < 1e-12);
    }
}
