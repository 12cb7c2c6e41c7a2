use super::Tube;

/// Cells on the line.
pub(crate) const CELLS: usize = 64;

/// Cells on the line where states are held against each other, and for the first search of a time.
pub(crate) const COARSE_CELLS: usize = 32;

/// Cells of a march: the same time step in every tube, Courant's number exactly one.
///
/// A cell is as long as a wave goes in one step. Whole cells never fit every tube, so each wave speed is changed a little until they do, and the largest change is kept.
/// A tube of one cell, a sliver among the others, may be changed by more: the step is never made shorter for its sake.
/// Method and the share of 15 %: Wylie and Streeter, Fluid Transients in Systems (1993), from memory.
#[derive(Debug, Clone, PartialEq)]
pub struct MocGrid {
    /// Time step, s.
    pub step_s: f64,
    /// Cells in each tube.
    pub cells: Vec<usize>,
    /// Wave speed in each tube as changed, m/s.
    pub wave_speeds_m_per_s: Vec<f64>,
    /// Largest change, as a share of the speed, in tubes of more than one cell.
    pub adjustment: f64,
    /// Largest change in tubes of one cell.
    pub sliver_adjustment: f64,
}

/// What a grid aims at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Aim<'a> {
    /// Cells on the whole chain.
    pub cells: usize,
    /// Most cells it may take to come within the aimed adjustment.
    pub most_cells: usize,
    /// Times at which a movement bends or ends, s, rising: they should fall on steps.
    pub bends_s: &'a [f64],
}

/// Change of wave speed that is good enough: no wave speed is known better than this.
pub const AIMED_ADJUSTMENT: f64 = 0.01;

/// Change of wave speed that a tube of one cell may take: in so short a piece it shifts no wave by as much as half a step.
pub const SLIVER_ADJUSTMENT: f64 = 0.15;

impl MocGrid {
    /// Picks the step that changes the wave speeds least, with the end of the movement on a step.
    pub fn choose(tubes: &[Tube], aim: Aim<'_>) -> Self {
        let travel: f64 = tubes.iter().map(Tube::travel_s).sum();
        let mut cells = aim.cells.max(1);
        loop {
            let best = candidates(tubes, travel / cells as f64, aim)
                .map(|step| (score(tubes, step, aim.bends_s), step))
                .min_by(|a, b| a.0.total_cmp(&b.0));
            let (found, step) = best.unwrap_or((0.0, travel / cells as f64));
            if found <= AIMED_ADJUSTMENT || cells * 2 > aim.most_cells {
                return Self::with_step(tubes, step);
            }
            cells *= 2;
        }
    }

    /// The grid of a given step.
    pub fn with_step(tubes: &[Tube], step_s: f64) -> Self {
        let cells: Vec<usize> = tubes.iter().map(|t| cells_in(t, step_s)).collect();
        let fitted = |(t, &n): (&Tube, &usize)| t.length_m / (n as f64 * step_s);
        Self {
            step_s,
            wave_speeds_m_per_s: tubes.iter().zip(&cells).map(fitted).collect(),
            adjustment: largest_change(tubes, step_s, |cells| cells > 1),
            sliver_adjustment: largest_change(tubes, step_s, |cells| cells == 1),
            cells,
        }
    }

    /// Cells on the whole chain.
    pub fn total_cells(&self) -> usize {
        self.cells.iter().sum()
    }
}

fn cells_in(tube: &Tube, step_s: f64) -> usize {
    (tube.travel_s() / step_s).round().max(1.0) as usize
}

fn change(tube: &Tube, step_s: f64) -> f64 {
    (tube.travel_s() / (cells_in(tube, step_s) as f64 * step_s) - 1.0).abs()
}

fn largest_change(tubes: &[Tube], step_s: f64, of: impl Fn(usize) -> bool) -> f64 {
    tubes
        .iter()
        .filter(|t| of(cells_in(t, step_s)))
        .map(|t| change(t, step_s))
        .fold(0.0, f64::max)
}

/// Change of wave speed beyond what a sliver may take, or what the bends miss the steps by as a share of the movement, whichever is worse.
fn score(tubes: &[Tube], step_s: f64, bends_s: &[f64]) -> f64 {
    let whole = bends_s.last().copied().unwrap_or(0.0);
    let missed = bends_s
        .iter()
        .filter(|b| **b > 0.0)
        .map(|b| (b / step_s - (b / step_s).round()).abs() * step_s / whole)
        .fold(0.0, f64::max);
    let long = largest_change(tubes, step_s, |cells| cells > 1);
    let sliver = largest_change(tubes, step_s, |cells| cells == 1);
    let sliver = if sliver > SLIVER_ADJUSTMENT {
        sliver
    } else {
        0.0
    };
    missed.max(long).max(sliver)
}

/// Steps no longer than one that is wished for, and no shorter than six tenths of it: those that divide the movement, or one of the tubes that are longer than a step, into whole parts.
fn candidates<'a>(
    tubes: &'a [Tube],
    wished_s: f64,
    aim: Aim<'a>,
) -> impl Iterator<Item = f64> + 'a {
    const TRIED: usize = 240;
    // a movement shorter than a step acts as at once
    let ends = aim.bends_s.last().copied().filter(|t| *t >= wished_s);
    let spans: Vec<f64> = match ends {
        Some(end) => vec![end],
        None => {
            let each = tubes.iter().map(Tube::travel_s);
            let mut long: Vec<f64> = each.filter(|t| *t >= wished_s).collect();
            if long.is_empty() {
                long.push(tubes.iter().map(Tube::travel_s).sum());
            }
            long
        }
    };
    let tried = TRIED / spans.len().clamp(1, 12);
    spans.into_iter().flat_map(move |span| {
        let few = (span / wished_s - 1e-9).ceil().max(1.0);
        let many = (span / (0.6 * wished_s)).ceil().max(few);
        let stride = ((many - few) / tried as f64).ceil().max(1.0);
        let count = ((many - few) / stride) as usize;
        (0..=count).map(move |i| span / (few + stride * i as f64))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tube(length_m: f64, wave_speed_m_per_s: f64) -> Tube {
        Tube {
            length_m,
            bore_m: 0.1,
            wave_speed_m_per_s,
            friction_factor: 0.02,
        }
    }

    #[test]
    fn courant_is_one_in_every_tube() {
        let tubes = [tube(120.0, 285.0), tube(180.0, 1150.0), tube(60.0, 320.0)];
        let grid = MocGrid::choose(
            &tubes,
            Aim {
                cells: 60,
                most_cells: 2000,
                bends_s: &[3.0],
            },
        );
        assert!(grid.adjustment <= AIMED_ADJUSTMENT);
        for ((tube, n), a) in tubes.iter().zip(&grid.cells).zip(&grid.wave_speeds_m_per_s) {
            let cell = tube.length_m / *n as f64;
            assert!((cell / (a * grid.step_s) - 1.0).abs() < 1e-12);
        }
        let steps = 3.0 / grid.step_s;
        assert!((steps - steps.round()).abs() < 1e-6);
    }

    #[test]
    fn a_sliver_does_not_set_the_step() {
        // a centimetre of pipe between two reaches: a rounded station
        for bends in [&[][..], &[7.3][..]] {
            let tubes = [tube(100.0, 1150.0), tube(0.01, 1100.0), tube(563.0, 320.0)];
            let aim = Aim {
                cells: 100,
                most_cells: 400,
                bends_s: bends,
            };
            let grid = MocGrid::choose(&tubes, aim);
            let travel: f64 = tubes.iter().map(Tube::travel_s).sum();
            assert!(grid.step_s >= 0.55 * travel / 400.0, "{}", grid.step_s);
            assert!(grid.total_cells() < 700, "{}", grid.total_cells());
        }
    }

    #[test]
    fn a_tube_of_one_cell_may_be_changed_by_more() {
        // 12 m of 1150 m/s take as long as 0.93 cells of the other do: no reason to halve the step
        let tubes = [tube(12.0, 1150.0), tube(360.0, 320.0)];
        let aim = Aim {
            cells: 101,
            most_cells: 404,
            bends_s: &[],
        };
        let grid = MocGrid::choose(&tubes, aim);
        assert_eq!(grid.cells[0], 1);
        assert!(grid.total_cells() < 180 && grid.adjustment <= AIMED_ADJUSTMENT);
        assert!(grid.sliver_adjustment <= SLIVER_ADJUSTMENT);
    }

    #[test]
    fn one_tube_needs_no_change() {
        let grid = MocGrid::choose(
            &[tube(300.0, 1200.0)],
            Aim {
                cells: 100,
                most_cells: 100,
                bends_s: &[],
            },
        );
        assert!(grid.adjustment < 1e-12 && grid.total_cells().abs_diff(100) < 45);
    }
}
