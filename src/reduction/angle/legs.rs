use super::{LegRow, ReducedLeg, reduce_leg};
use crate::numeric::math;
use crate::reading::{CellError, ReadOptions};
use std::collections::BTreeMap;
use std::f64::consts::PI;

/// A leg between two points, however often it was sighted.
#[derive(Debug, Clone)]
pub(super) struct Edge {
    pub(super) ends: (usize, usize),
    pub(super) row: usize,
    pub(super) legs: Vec<(usize, ReducedLeg)>,
}

/// A leg in the direction of the string.
#[derive(Debug, Clone)]
pub(super) struct DirectedLeg {
    pub(super) to: usize,
    pub(super) row: usize,
    pub(super) leg: ReducedLeg,
}

/// The legs of a book as a net of named points.
pub(super) struct BookNet<'a> {
    pub(super) rows: &'a [LegRow],
    pub(super) names: Vec<String>,
    pub(super) known_m: Vec<Option<f64>>,
    pub(super) edges: Vec<Edge>,
}

impl<'a> BookNet<'a> {
    pub(super) fn read(rows: &'a [LegRow], options: &ReadOptions) -> Result<Self, CellError> {
        let mut net = Self {
            rows,
            names: Vec::new(),
            known_m: Vec::new(),
            edges: Vec::new(),
        };
        let mut index = BTreeMap::new();
        let mut by_ends: BTreeMap<(usize, usize), usize> = BTreeMap::new();
        let mut before: Option<usize> = None;
        for row in rows {
            let is_leg = !row.measures.is_empty()
                || row.tape_m.or(row.slope_m).or(row.horizontal_m).is_some();
            let from = match (row.from.trim(), before) {
                ("", Some(before)) => before,
                ("", None) if is_leg => net.point(&mut index, "start", row.row),
                ("", None) => net.point(&mut index, &row.to, row.row),
                (name, _) => net.point(&mut index, name, row.row),
            };
            let to = net.point(&mut index, &row.to, row.row);
            if let (Some(known), Some(slot)) = (row.elevation_m, net.known_m.get_mut(to)) {
                *slot = Some(known);
            }
            if is_leg {
                let leg = reduce_leg(row, options)?;
                if from == to {
                    return Err(CellError::new(row.row, "to", "this leg ends at its start")
                        .expected("two different points")
                        .advice("correct the name of one point"));
                }
                let ends = (from.min(to), from.max(to));
                let leg = if from == ends.0 { leg } else { reversed(&leg) };
                let at = *by_ends.entry(ends).or_insert_with(|| {
                    net.edges.push(Edge {
                        ends,
                        row: row.row,
                        legs: Vec::new(),
                    });
                    net.edges.len() - 1
                });
                if let Some(edge) = net.edges.get_mut(at) {
                    edge.legs.push((row.row, leg));
                }
            }
            before = Some(to);
        }
        if net.edges.is_empty() {
            return Err(CellError::new(0, "to", "the book has no leg")
                .expected("rows with from, to, a length and an angle, grade or rise")
                .advice("write one leg in each row"));
        }
        Ok(net)
    }

    pub(super) fn point(
        &mut self,
        index: &mut BTreeMap<String, usize>,
        name: &str,
        row: usize,
    ) -> usize {
        let plain = name.trim();
        let key = if plain.is_empty() {
            format!("\u{0}{row}")
        } else {
            plain.to_lowercase()
        };
        if let Some(&at) = index.get(&key) {
            return at;
        }
        self.names.push(plain.to_owned());
        self.known_m.push(None);
        index.insert(key, self.names.len() - 1);
        self.names.len() - 1
    }

    /// The legs as one string, and whether it comes back to its start.
    pub(super) fn path(
        &self,
        options: &ReadOptions,
    ) -> Result<(Vec<DirectedLeg>, bool), CellError> {
        let mut touching: Vec<Vec<usize>> = vec![Vec::new(); self.names.len()];
        for (e, edge) in self.edges.iter().enumerate() {
            for end in [edge.ends.0, edge.ends.1] {
                let Some(list) = touching.get_mut(end) else {
                    continue;
                };
                list.push(e);
                if list.len() > 2 {
                    let name = self.names.get(end).cloned().unwrap_or_default();
                    return Err(CellError::new(
                        edge.row,
                        "from",
                        format!("more than two legs meet at {name}"),
                    )
                    .expected("one continuous route from the intake to the turbine")
                    .advice("delete the branch, or correct the name of the point"));
                }
            }
        }
        let first = self
            .rows
            .iter()
            .find(|r| !r.measures.is_empty())
            .map_or(0, |r| r.row);
        let start_edge = self
            .edges
            .iter()
            .find(|e| e.row == first)
            .or(self.edges.first());
        let ends: Vec<usize> = (0..touching.len())
            .filter(|&i| touching.get(i).is_some_and(|t| t.len() == 1))
            .collect();
        let start = ends
            .first()
            .copied()
            .unwrap_or_else(|| start_edge.map_or(0, |e| e.ends.0));
        let mut used = vec![false; self.edges.len()];
        let mut path = Vec::new();
        let mut at = start;
        loop {
            // At the start of a loop two legs leave: the one that was booked first is followed.
            let next = touching
                .get(at)
                .into_iter()
                .flatten()
                .copied()
                .find(|&e| used.get(e) == Some(&false));
            let Some(edge) = next.and_then(|e| self.edges.get(e).map(|edge| (e, edge))) else {
                break;
            };
            if let Some(slot) = used.get_mut(edge.0) {
                *slot = true;
            }
            let leg = edge.1.mean(options)?;
            let (to, leg) = if edge.1.ends.0 == at {
                (edge.1.ends.1, leg)
            } else {
                (edge.1.ends.0, reversed(&leg))
            };
            path.push(DirectedLeg {
                to,
                row: edge.1.row,
                leg,
            });
            at = to;
        }
        if let Some(loose) = used.iter().position(|u| !u).and_then(|e| self.edges.get(e)) {
            return Err(CellError::new(
                loose.row,
                "from",
                "this leg is not connected to the other legs",
            )
            .expected("one continuous route, where each leg starts at the end of another leg")
            .advice("correct the name of its start or its end, or add the missing leg"));
        }
        Ok((path, at == start))
    }

    /// Index of the point a path starts at.
    pub(super) fn start(&self, path: &[DirectedLeg]) -> Option<usize> {
        let first = path.first()?;
        let edge = self.edges.iter().find(|e| e.row == first.row)?;
        Some(if edge.ends.0 == first.to {
            edge.ends.1
        } else {
            edge.ends.0
        })
    }
}

impl BookNet<'_> {
    /// The index error that legs sighted both ways show: a sight there and one back part by twice what it makes of their length.
    pub(super) fn index_seen(&self, options: &ReadOptions) -> Option<(f64, f64, usize)> {
        let shown: Vec<f64> = self
            .edges
            .iter()
            .filter_map(|edge| {
                let of = |there: bool| {
                    edge.legs
                        .iter()
                        .map(|(_, leg)| leg)
                        .find(|leg| leg.per_index_m != 0.0 && (leg.per_index_m > 0.0) == there)
                };
                let (there, back) = (of(true)?, of(false)?);
                Some((there.rise_m - back.rise_m) / (there.per_index_m - back.per_index_m))
            })
            .collect();
        let count = shown.len();
        (count > 0).then(|| {
            let mean = shown.iter().sum::<f64>() / count as f64;
            let sd = options.angle_sd() / (2.0 * count as f64).sqrt();
            (mean, sd, count)
        })
    }
}

impl Edge {
    /// The mean of all sights of a leg; sights that contradict each other are refused.
    pub(super) fn mean(&self, options: &ReadOptions) -> Result<ReducedLeg, CellError> {
        let count = self.legs.len() as f64;
        let mean =
            |f: fn(&ReducedLeg) -> f64| self.legs.iter().map(|(_, l)| f(l)).sum::<f64>() / count;
        let rise_m = mean(|l| l.rise_m);
        let slope_m = mean(|l| l.slope_m);
        for (row, leg) in &self.legs {
            // Sights both ways part by twice the index error: two degrees is beyond any clinometer.
            let slack = 0.035 * slope_m + 3.0 * leg.sd_m + 0.05;
            if (leg.rise_m - rise_m).abs() > slack {
                return Err(CellError::new(
                    *row,
                    "angle_deg",
                    "the sights of this leg do not agree",
                )
                .found(format!(
                    "{}, where the mean is {}",
                    options.told(leg.rise_m),
                    options.told(rise_m)
                ))
                .expected(format!("a difference of at most {}", options.told(slack)))
                .advice("a sight in the other direction has the opposite sign. An angle that falls towards `to` is negative"));
            }
            if (leg.slope_m - slope_m).abs() > 0.02 * slope_m + 0.1 {
                return Err(
                    CellError::new(*row, "tape", "the lengths of this leg do not agree")
                        .found(format!(
                            "{}, where the mean is {}",
                            options.told(leg.slope_m),
                            options.told(slope_m)
                        ))
                        .expected("a difference of at most 2 %")
                        .advice("measure this leg again, or correct the value"),
                );
            }
        }
        let bearings: Vec<f64> = self
            .legs
            .iter()
            .filter_map(|(_, l)| l.bearing_rad)
            .collect();
        let (sin, cos) = bearings.iter().fold((0.0, 0.0), |(s, c), b| {
            (s + math::sin(*b), c + math::cos(*b))
        });
        Ok(ReducedLeg {
            slope_m,
            level_m: mean(|l| l.level_m),
            rise_m,
            sd_m: mean(|l| l.sd_m) / count.sqrt(),
            per_index_m: mean(|l| l.per_index_m),
            per_eye: mean(|l| l.per_eye),
            bearing_rad: (!bearings.is_empty()).then(|| math::atan2(sin, cos).rem_euclid(2.0 * PI)),
        })
    }
}

/// A leg seen from its other end.
pub(super) fn reversed(leg: &ReducedLeg) -> ReducedLeg {
    ReducedLeg {
        rise_m: -leg.rise_m,
        per_index_m: -leg.per_index_m,
        per_eye: -leg.per_eye,
        bearing_rad: leg.bearing_rad.map(|b| (b + PI).rem_euclid(2.0 * PI)),
        ..*leg
    }
}
