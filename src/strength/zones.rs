//! The lightest class that would do, station to station.

use super::field::{StateField, share};
use super::result::{NoZones, Zone, Zones};
use crate::capacity::{LoadKind, Setting, full_vacuum_pa, pipe_may, ring};
use crate::line::{Geometry, Reach, Reaches};
use crate::numeric::series;
use crate::pipe::{Pipe, catalogue};

/// Margin on the standing pressure at head + 2 sd that a zone's class keeps.
pub const STATIC_MARGIN: f64 = 1.25;

/// Above this share of the drop its doubt is too large to choose a class by.
const DROP_DOUBT: f64 = 0.05;

/// Zones a line is parted into at most: two changes.
const ZONES: usize = 3;

/// Places for a change of class that are weighed at most: the work goes with their square.
const MOST_STEPS: usize = 600;

/// The end of a whole piece and that of a declared pipe so near to it are one place, m.
const SAME_END_M: f64 = 0.5;

/// Sds of the station by which a change of class moves uphill.
const STATION_SDS: f64 = 2.0;

/// Which class of the same standard, grade and size each station of the grid needs.
pub(super) struct Need {
    /// Runs of reaches of one family, in order.
    runs: Vec<ReachRun>,
}

/// Consecutive reaches of one standard, grade and size.
struct ReachRun {
    from_m: f64,
    to_m: f64,
    /// Classes from the weakest to the strongest; empty where the pipe is not from the catalogue.
    classes: Vec<Pipe>,
    /// Each station of the grid inside with the class it needs; the number of classes where none will do.
    stations: Vec<(f64, usize)>,
    /// The stopped pipe gets hotter than its tables.
    too_warm: bool,
    /// What one piece covers of the line, m.
    piece_m: f64,
    /// Pipes as declared: from, to, pipe.
    declared: Vec<(f64, f64, Pipe)>,
}

fn same_family(a: &Pipe, b: &Pipe) -> bool {
    a.standard == b.standard && a.grade == b.grade && a.size_label == b.size_label
}

fn classes_of(pipe: &Pipe) -> Vec<Pipe> {
    if pipe.id.is_empty() || pipe.refused.is_some() {
        return Vec::new();
    }
    let mut rows: Vec<Pipe> = catalogue()
        .filter(|row| row.refused.is_none() && same_family(row, pipe))
        .cloned()
        .collect();
    rows.sort_by(|a, b| {
        a.rating_pa
            .unwrap_or(0.0)
            .total_cmp(&b.rating_pa.unwrap_or(0.0))
    });
    rows
}

pub(super) fn need(reaches: &Reaches, field: &StateField<'_>) -> Need {
    let mut runs: Vec<ReachRun> = Vec::new();
    for reach in reaches {
        let joins = runs.last().is_some_and(|run| {
            run.declared
                .first()
                .is_some_and(|(_, _, p)| !run.classes.is_empty() && same_family(p, &reach.pipe))
        });
        if !joins {
            runs.push(ReachRun {
                from_m: reach.from_m,
                to_m: reach.to_m,
                classes: classes_of(&reach.pipe),
                stations: Vec::new(),
                too_warm: false,
                piece_m: 0.0,
                declared: Vec::new(),
            });
        }
        if let Some(run) = runs.last_mut() {
            run.take(reach, field);
        }
    }
    Need { runs }
}

impl ReachRun {
    fn take(&mut self, reach: &Reach, field: &StateField<'_>) {
        self.to_m = reach.to_m;
        self.declared
            .push((reach.from_m, reach.to_m, reach.pipe.clone()));
        let piece = field.environment.piece_length(reach).usable_m;
        self.piece_m = self.piece_m.max(piece);
        let mut stations: Vec<(f64, usize)> = field
            .station_m
            .iter()
            .filter(|s| **s >= reach.from_m && **s <= reach.to_m)
            .map(|s| (*s, self.classes.len()))
            .collect();
        for (number, class) in self.classes.iter().enumerate() {
            let trial = Reach {
                pipe: class.clone(),
                ..reach.clone()
            };
            let tests = Tests::of(&trial, field);
            self.too_warm |= tests.too_warm;
            for (station_m, needed) in stations.iter_mut().filter(|(_, n)| *n > number) {
                if tests.passes(&trial, field, *station_m) {
                    *needed = number;
                }
            }
        }
        self.stations.extend(stations);
    }

    /// The class that a stretch needs, changes moved uphill by the doubt of the station: the stations inside and the next one on either side, between which the pressure runs straight.
    fn class_of(&self, from_m: f64, to_m: f64, doubt_m: f64) -> usize {
        let first = self
            .stations
            .partition_point(|(s, _)| *s <= from_m - doubt_m);
        let last = self.stations.partition_point(|(s, _)| *s < to_m + doubt_m);
        self.stations
            .get(first.saturating_sub(1)..(last + 1).min(self.stations.len()))
            .into_iter()
            .flatten()
            .map(|(_, n)| *n)
            .max()
            .unwrap_or(0)
    }
}

/// What a class may take in each setting that occurs, worked out once.
struct Tests {
    /// Setting, what the pipe takes, Pa.
    may: Vec<(usize, Setting, f64)>,
    too_warm: bool,
    /// Most that can pull, Pa.
    vacuum_pa: f64,
}

impl Tests {
    fn of(trial: &Reach, field: &StateField<'_>) -> Self {
        let mut may = Vec::new();
        let mut too_warm = false;
        for (index, load) in field.loads.iter().enumerate() {
            // A test is set by what the pipe may take, not the pipe by the test.
            if load.kind() == LoadKind::Test {
                continue;
            }
            for setting in field.settings(load.kind()) {
                match pipe_may(field.environment, trial, setting) {
                    Some(Ok(m)) => may.push((index, setting, m.pa)),
                    Some(Err(_)) => too_warm = true,
                    None => {}
                }
            }
        }
        Self {
            may,
            too_warm,
            vacuum_pa: full_vacuum_pa(field.environment),
        }
    }

    fn passes(&self, trial: &Reach, field: &StateField<'_>, station_m: f64) -> bool {
        let open = field.environment.lies_open(station_m);
        let at = |values: &[f64]| {
            crate::numeric::series::interpolate(field.station_m, values, station_m)
        };
        let doubt = at(&field.doubt_pa);
        let stands = |s: &Setting| ring(field.environment, trial, *s, station_m).allowed_pa;
        self.may
            .iter()
            .filter(|(_, s, _)| open || !s.in_sun)
            .all(|(index, setting, may_pa)| {
                let Some(load) = field.loads.get(*index) else {
                    return true;
                };
                let margin = if load.kind() == LoadKind::Standing && !setting.in_sun {
                    STATIC_MARGIN
                } else {
                    1.0
                };
                let pull = (field.doubt_below_pa(load, station_m) - at(&load.least_pa))
                    .min(self.vacuum_pa);
                share(margin * (at(&load.largest_pa) + doubt), *may_pa) <= 1.0
                    && (pull <= 0.0 || share(pull, stands(setting)) <= 1.0)
            })
    }
}

/// The lightest class for the whole of a reach.
pub(super) fn lightest(reach: &Reach, grid_m: &[f64], need: &Need) -> Result<Pipe, NoZones> {
    let run = need
        .runs
        .iter()
        .find(|r| reach.from_m >= r.from_m - 1e-9 && reach.to_m <= r.to_m + 1e-9)
        .ok_or(NoZones::NotInCatalogue)?;
    if run.classes.is_empty() || grid_m.is_empty() {
        return Err(NoZones::NotInCatalogue);
    }
    if run.too_warm {
        return Err(NoZones::TooWarm);
    }
    run.classes
        .get(run.class_of(reach.from_m, reach.to_m, 0.0))
        .cloned()
        .ok_or(NoZones::NoneStrongEnough)
}

/// Whether the drop is known well enough to choose a class by it.
///
/// # Errors
/// Its doubt as a share of it, at most 1: beyond that the drop is not known at all, and a line that ends where it began has none to divide by.
pub fn drop_is_known(geometry: &Geometry) -> Result<(), NoZones> {
    let (drop_m, sd_m) = (geometry.drop_m().abs(), geometry.heights.drop_sd_m);
    let share = if sd_m < drop_m { sd_m / drop_m } else { 1.0 };
    if share <= DROP_DOUBT {
        Ok(())
    } else {
        Err(NoZones::DropInDoubt { share })
    }
}

pub(super) fn zones(geometry: &Geometry, need: &Need) -> Result<Zones, NoZones> {
    drop_is_known(geometry)?;
    let mut list: Vec<Zone> = Vec::new();
    let mut declared_mass_kg = 0.0;
    for run in &need.runs {
        declared_mass_kg += run
            .declared
            .iter()
            .map(|(a, b, p)| (b - a) * p.mass_kg_per_m)
            .sum::<f64>();
        list.extend(run.zones(STATION_SDS * geometry.station_sd_m)?);
    }
    Ok(Zones {
        margin: STATIC_MARGIN,
        mass_kg: list.iter().map(|z| z.mass_kg).sum(),
        declared_mass_kg,
        list,
    })
}

impl ReachRun {
    fn zones(&self, doubt_m: f64) -> Result<Vec<Zone>, NoZones> {
        if self.classes.is_empty() {
            return Err(NoZones::NotInCatalogue);
        }
        if self.too_warm {
            return Err(NoZones::TooWarm);
        }
        let length = self.to_m - self.from_m;
        let pieces = ((length / self.piece_m) - 1e-9).ceil().max(1.0) as usize;
        // On a very long line of short pieces changes are looked for every few pieces only.
        let group = pieces.div_ceil(MOST_STEPS);
        let steps = pieces.div_ceil(group);
        // A class changes where a whole piece ends; where a declared pipe ends within a hand's reach of that, it changes there: no sliver is left between the two.
        let near_m = SAME_END_M.min(0.25 * self.piece_m);
        let end_of = |i: usize| {
            let whole = (self.from_m + (i * group) as f64 * self.piece_m).min(self.to_m);
            let declared = self.declared.iter().map(|d| d.1);
            declared
                .min_by(|a, b| (a - whole).abs().total_cmp(&(b - whole).abs()))
                .filter(|end| (end - whole).abs() <= near_m && i > 0)
                .unwrap_or(whole)
        };
        let needs: Vec<usize> = (0..steps)
            .map(|i| self.class_of(end_of(i), end_of(i + 1), doubt_m))
            .collect();
        if needs.iter().any(|n| *n >= self.classes.len()) {
            return Err(NoZones::NoneStrongEnough);
        }
        let masses: Vec<f64> = self.classes.iter().map(|c| c.mass_kg_per_m).collect();
        Ok(best_parting(&needs, &masses, &end_of)
            .into_iter()
            .filter_map(|(first, last, class)| {
                let pipe = self.classes.get(class)?.clone();
                let (from_m, to_m) = (end_of(first), end_of(last));
                let differs = self
                    .declared
                    .iter()
                    .any(|(a, b, p)| *a < to_m - 1e-6 && *b > from_m + 1e-6 && p.id != pipe.id);
                Some(Zone {
                    from_m,
                    to_m,
                    differs,
                    pieces: (last * group).min(pieces) - first * group,
                    mass_kg: (to_m - from_m) * pipe.mass_kg_per_m,
                    pipe,
                })
            })
            .collect())
    }
}

/// The lightest parting of a run of pieces into at most three zones: (first piece, piece after the last, class), each piece's need met, fewer zones where masses are equal.
fn best_parting(
    needs: &[usize],
    mass_kg_per_m: &[f64],
    end_of: &impl Fn(usize) -> f64,
) -> Vec<(usize, usize, usize)> {
    let count = needs.len();
    // best[k][i]: least mass of the first i pieces in k + 1 zones, with the zone that ends there.
    let mut best: Vec<Vec<(f64, usize, usize)>> = Vec::new();
    for zone in 0..ZONES.min(count) {
        let mut row = vec![(f64::INFINITY, 0, 0); count + 1];
        for (last, slot) in row.iter_mut().enumerate().skip(1) {
            let mut class = 0;
            for first in (0..last).rev() {
                class = class.max(needs.get(first).copied().unwrap_or(0));
                let before = match zone.checked_sub(1).and_then(|z| best.get(z)) {
                    Some(row) => row.get(first).map_or(f64::INFINITY, |b| {
                        if first == 0 { f64::INFINITY } else { b.0 }
                    }),
                    None if first == 0 => 0.0,
                    None => f64::INFINITY,
                };
                let mass =
                    before + (end_of(last) - end_of(first)) * series::at(mass_kg_per_m, class);
                if mass < slot.0 - 1e-9 {
                    *slot = (mass, first, class);
                }
            }
        }
        best.push(row);
    }
    let mass_of = |k: usize| {
        best.get(k)
            .and_then(|r| r.get(count))
            .map_or(f64::INFINITY, |b| b.0)
    };
    let mut zone =
        (0..best.len()).fold(0, |a, b| if mass_of(b) < mass_of(a) - 1e-9 { b } else { a });
    let mut out = Vec::new();
    let mut last = count;
    while let Some((_, first, class)) = best.get(zone).and_then(|r| r.get(last)).copied() {
        out.push((first, last, class));
        last = first;
        if zone == 0 || first == 0 {
            break;
        }
        zone -= 1;
    }
    out.reverse();
    // Neighbours of the same class are one zone.
    out.dedup_by(|b, a| {
        let same = a.2 == b.2;
        if same {
            a.1 = b.1;
        }
        same
    });
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn partings_cover_meet_every_need_and_are_the_lightest(needs in prop::collection::vec(0usize..4, 1..14)) {
            let mass = [1.0, 1.5, 2.2, 3.0];
            let end = |i: usize| i as f64;
            let zones = best_parting(&needs, &mass, &end);
            prop_assert!(zones.len() <= ZONES);
            prop_assert_eq!(zones[0].0, 0);
            prop_assert_eq!(zones[zones.len() - 1].1, needs.len());
            for pair in zones.windows(2) {
                prop_assert_eq!(pair[0].1, pair[1].0);
            }
            let total: f64 = zones.iter().map(|z| (z.1 - z.0) as f64 * mass[z.2]).sum();
            for zone in &zones {
                prop_assert!(needs[zone.0..zone.1].iter().all(|n| *n <= zone.2));
            }
            // Every parting by brute force.
            let n = needs.len();
            let cost = |a: usize, b: usize| if a == b { 0.0 } else { (b - a) as f64 * mass[*needs[a..b].iter().max().unwrap()] };
            let mut least = f64::INFINITY;
            for a in 0..=n {
                for b in a..=n {
                    least = f64::min(least, cost(0, a) + cost(a, b) + cost(b, n));
                }
            }
            prop_assert!((total - least).abs() < 1e-9, "{} for {}", total, least);
        }
    }
}
