//! Sizes of the catalogue, each with its classes, and the classes that a line needs.

use super::NoSizes;
use crate::capacity::heaviest_n_per_m3;
use crate::line::{Environment, Geometry, Line, Reach};
use crate::pipe::{Pipe, catalogue, search, temperature_factor};
use crate::strength::STATIC_MARGIN;

/// One size of one standard and grade, in all its classes.
#[derive(Debug, Clone, PartialEq)]
pub struct Family {
    /// Standard.
    pub standard: String,
    /// Grade.
    pub grade: String,
    /// Size as the trade calls it.
    pub size_label: String,
    /// Outside diameter, m.
    pub outer_diameter_m: f64,
    /// Classes from the weakest to the strongest.
    pub classes: Vec<Pipe>,
}

impl Family {
    /// "ISO 4427-2 PE100 DN/OD 90".
    pub fn name(&self) -> String {
        format!("{} {} {}", self.standard, self.grade, self.size_label)
    }

    fn takes(&self, pipe: &Pipe) -> bool {
        self.standard == pipe.standard
            && self.grade == pipe.grade
            && self.size_label == pipe.size_label
    }
}

/// The sizes that words fit, or those of the line's first pipe's standard and grade; by standard and grade, from the smallest to the largest.
pub fn families(reaches: &[Reach], of: Option<&str>) -> Result<Vec<Family>, NoSizes> {
    let rows: Vec<&Pipe> = match of {
        Some(words) => search(words),
        None => {
            let first = reaches.first().ok_or(NoSizes::NothingToSize)?;
            if first.pipe.id.is_empty() {
                return Err(NoSizes::OwnPipe);
            }
            catalogue()
                .filter(|p| p.standard == first.pipe.standard && p.grade == first.pipe.grade)
                .collect()
        }
    };
    let mut out: Vec<Family> = Vec::new();
    for pipe in rows
        .into_iter()
        .filter(|p| p.refused.is_none() && p.rating_pa.is_some() && p.inner_diameter_m > 0.0)
    {
        if let Some(family) = out.iter_mut().find(|f| f.takes(pipe)) {
            family.classes.push(pipe.clone());
        } else {
            out.push(Family {
                standard: pipe.standard.clone(),
                grade: pipe.grade.clone(),
                size_label: pipe.size_label.clone(),
                outer_diameter_m: pipe.outer_diameter_m,
                classes: vec![pipe.clone()],
            });
        }
    }
    for family in &mut out {
        let rating = |p: &Pipe| p.rating_pa.unwrap_or(0.0);
        // of two walls with one rating the lighter first
        family.classes.sort_by(|a, b| {
            rating(a)
                .total_cmp(&rating(b))
                .then(a.mass_kg_per_m.total_cmp(&b.mass_kg_per_m))
        });
    }
    out.sort_by(|a, b| {
        (&a.standard, &a.grade)
            .cmp(&(&b.standard, &b.grade))
            .then(a.outer_diameter_m.total_cmp(&b.outer_diameter_m))
    });
    if out.is_empty() {
        return Err(NoSizes::NoSuchPipe(of.unwrap_or_default().to_owned()));
    }
    Ok(out)
}

/// What stands at each station of the grid at flood level, at head + 2 sd, Pa.
pub(super) fn standing_pa(line: &Line) -> Vec<f64> {
    let weight = heaviest_n_per_m3(&line.environment);
    let level = line.intake.flood_level_m.max(line.intake.level_m);
    let drop = line.geometry.drop_m().abs().max(1e-9);
    line.geometry
        .heights
        .mean_m
        .iter()
        .map(|z| {
            let head = (level - z).max(0.0);
            // the doubt of a fall grows with the fall
            let sd = line.geometry.heights.drop_sd_m * (head / drop).min(1.0);
            weight * (head + 2.0 * sd)
        })
        .collect()
}

/// The lightest classes, station to station, that take what stands with the margin: at most three stretches, heavier ones running over rather than lighter.
/// `None`: no class is strong enough.
pub(super) fn zones(
    family: &Family,
    geometry: &Geometry,
    environment: &Environment,
    standing_pa: &[f64],
) -> Option<Vec<(f64, f64, Pipe)>> {
    const MOST: usize = 3;
    let may: Vec<f64> = family
        .classes
        .iter()
        .map(|p| {
            let warm = temperature_factor(p, environment.water.warmest_c).map_or(0.0, |f| f.value);
            p.rating_pa.unwrap_or(0.0) * warm / STATIC_MARGIN
        })
        .collect();
    // class needed up to each station, stretch by stretch
    let mut runs: Vec<(f64, f64, usize)> = Vec::new();
    let stations = &geometry.heights.station_m;
    for (s, p) in stations.windows(2).zip(standing_pa.windows(2)) {
        let (&[from, to], &[a, b]) = (s, p) else {
            continue;
        };
        let class = may.iter().position(|m| *m >= a.max(b))?;
        match runs.last_mut() {
            Some(last) if last.2 == class => last.1 = to,
            _ => runs.push((from, to, class)),
        }
    }
    while runs.len() > MOST {
        join_cheapest(&mut runs, family);
    }
    runs.into_iter()
        .map(|(from, to, class)| Some((from, to, family.classes.get(class)?.clone())))
        .collect()
}

/// Joins the two neighbours whose lighter one costs least to make as strong as the heavier.
fn join_cheapest(runs: &mut Vec<(f64, f64, usize)>, family: &Family) {
    let mass = |class: usize| {
        family
            .classes
            .get(class)
            .map_or(f64::NAN, |p| p.mass_kg_per_m)
    };
    let cost = |a: &(f64, f64, usize), b: &(f64, f64, usize)| {
        let strong = a.2.max(b.2);
        (a.1 - a.0) * (mass(strong) - mass(a.2)) + (b.1 - b.0) * (mass(strong) - mass(b.2))
    };
    let cheapest = runs
        .iter()
        .zip(runs.iter().skip(1))
        .map(|(a, b)| cost(a, b))
        .enumerate()
        .min_by(|a, b| a.1.total_cmp(&b.1));
    if let Some((i, _)) = cheapest
        && i + 1 < runs.len()
    {
        let lower = runs.remove(i + 1);
        if let Some(upper) = runs.get_mut(i) {
            upper.1 = lower.1;
            upper.2 = upper.2.max(lower.2);
        }
    }
}
