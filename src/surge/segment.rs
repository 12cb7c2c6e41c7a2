use super::request::ModelRequest;
use crate::march::Tube;
use crate::march::{Aim, MocGrid, SLIVER_ADJUSTMENT};

/// A reach that keeps its own wave speed; a very short one is part of its neighbour.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Segment {
    pub(crate) from_m: f64,
    pub(crate) to_m: f64,
    pub(crate) reach: usize,
}

/// Most cells the line may be cut into to come within the aimed adjustment, as a multiple of the wished number.
const MOST_TIMES: usize = 2;

/// A grid of fewer cells than this serves to hold one march against another: it is not made finer to fit.
const FEW_CELLS: usize = 64;

/// The reaches that are marched by themselves, and the grid over them.
pub(crate) fn hard_tubes(wish: ModelRequest<'_>) -> Option<(Vec<Segment>, MocGrid)> {
    let reaches = wish.line.reaches.iter().enumerate();
    let mut hards: Vec<Segment> = reaches
        .filter(|(_, r)| r.to_m > r.from_m && r.pipe.inner_diameter_m > 0.0)
        .map(|(reach, r)| Segment {
            from_m: r.from_m,
            to_m: r.to_m,
            reach,
        })
        .collect();
    let bends = bends_of(wish);
    let tubes_of = |hards: &[Segment]| -> Option<Vec<Tube>> {
        let tubes: Option<Vec<Tube>> = hards.iter().map(|h| bare_tube(wish, *h)).collect();
        tubes.filter(|t| !t.is_empty())
    };
    join_slivers(&mut hards, wish.cells, tubes_of);
    loop {
        let tubes = tubes_of(&hards)?;
        let grid = MocGrid::choose(
            &tubes,
            Aim {
                cells: wish.cells,
                most_cells: if wish.cells < FEW_CELLS {
                    wish.cells
                } else {
                    MOST_TIMES * wish.cells
                },
                bends_s: &bends,
            },
        );
        let worst = tubes
            .iter()
            .zip(&grid.wave_speeds_m_per_s)
            .map(|(t, a)| (a / t.wave_speed_m_per_s - 1.0).abs())
            .zip(&grid.cells)
            .map(|(change, cells)| change / if *cells == 1 { SLIVER_ADJUSTMENT } else { 0.05 })
            .enumerate()
            .max_by(|a, b| a.1.total_cmp(&b.1));
        match worst {
            // a reach that does not fit becomes part of its neighbour, losses and all
            Some((i, times)) if times > 1.0 && hards.len() > 1 => merge(&mut hards, i),
            _ => return Some((hards, grid)),
        }
    }
}

/// Reaches that a wave crosses in less than half a step of the wished grid become part of their neighbours, losses and all, the shortest first.
fn join_slivers(
    hards: &mut Vec<Segment>,
    cells: usize,
    tubes_of: impl Fn(&[Segment]) -> Option<Vec<Tube>>,
) {
    while let Some(tubes) = tubes_of(hards).filter(|t| t.len() > 1) {
        let whole: f64 = tubes.iter().map(Tube::travel_s).sum();
        let shortest = tubes
            .iter()
            .map(Tube::travel_s)
            .enumerate()
            .min_by(|a, b| a.1.total_cmp(&b.1));
        match shortest {
            Some((i, travel_s)) if travel_s < 0.5 * whole / cells.max(1) as f64 => merge(hards, i),
            _ => return,
        }
    }
}

fn merge(hards: &mut Vec<Segment>, i: usize) {
    let gone = hards.remove(i);
    if let Some(upper) = i.checked_sub(1).and_then(|u| hards.get_mut(u)) {
        upper.to_m = gone.to_m;
    } else if let Some(lower) = hards.first_mut() {
        lower.from_m = gone.from_m;
    }
}

/// Times at which the movement bends or ends, s.
fn bends_of(wish: ModelRequest<'_>) -> Vec<f64> {
    wish.course
        .stages
        .iter()
        .scan(0.0, |t, s| {
            *t += s.over_s;
            Some(*t)
        })
        .collect()
}

/// A reach, or a part of it, without its losses.
pub(crate) fn bare_tube(wish: ModelRequest<'_>, hard: Segment) -> Option<Tube> {
    Some(Tube {
        length_m: hard.to_m - hard.from_m,
        bore_m: wish.line.reaches.get(hard.reach)?.pipe.inner_diameter_m,
        wave_speed_m_per_s: wish.speeds_m_per_s.get(hard.reach).copied()?,
        friction_factor: 0.0,
    })
}
