use super::legs::{BookNet, DirectedLeg};
use super::{LegRow, ReducedLeg};
use crate::reading::{CellError, Misclosure, ReadOptions};
use crate::reduction::condition::{HeightEstimate, KnownSum, walk_factors};
use crate::reduction::traverse::{self, TraverseLeg};

/// Height of the first point where the book knows none, m: a local datum.
const LOCAL_DATUM_M: f64 = 100.0;
/// Standard deviation of the eye's height in steps, m: the same in every step.
const EYE_SD_M: f64 = 0.01;
/// A closed traverse worse than one part in so many is refused; compass and tape reach 300 to 500.
const WORST_TRAVERSE: f64 = 25.0;

/// A string of legs, closed on what it knows.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct LineOfLegs {
    /// Points in order along the line.
    pub points: Vec<StringPoint>,
    /// Errors that points share, m (see `Book`).
    pub factors_m: Vec<Vec<f64>>,
    /// Misclosure in height, where it closes.
    pub misclosure: Option<Misclosure>,
    /// Whether all it closes on is its own start.
    pub closes_on_its_start: bool,
    /// Index error that the legs sighted both ways show, rad, its standard deviation, and how many legs they are.
    pub index_seen: Option<(f64, f64, usize)>,
    /// Whether a height is known.
    pub tied: bool,
    /// Plan misclosure of a closed traverse and its length, m.
    pub plan_off_m: Option<(f64, f64)>,
    /// What was noticed, by row.
    pub notes: Vec<(usize, String)>,
}

/// A point of the string.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct StringPoint {
    /// Name, free text.
    pub name: String,
    /// Row that ends on it.
    pub row: usize,
    /// Along the slope from the start, m.
    pub station_m: f64,
    /// Level distance from the start, m.
    pub level_m: f64,
    /// Height, m.
    pub height_m: f64,
    /// East and north of the start, m, where every leg has a bearing.
    pub plan_m: Option<(f64, f64)>,
}

/// Reduces an angle book to one string of points.
///
/// Legs sighted both ways are averaged, which takes the index error out; the rest of it stays as one error that grows along the line.
///
/// # Errors
/// A leg that cannot be reduced, sights both ways that contradict each other, legs that fork or hang loose, a misclosure beyond three standard deviations: row and column.
pub fn string(rows: &[LegRow], options: &ReadOptions) -> Result<LineOfLegs, CellError> {
    let net = BookNet::read(rows, options)?;
    let (path, is_loop) = net.path(options)?;
    let mut line = net.line(&path, is_loop, options)?;
    line.index_seen = net.index_seen(options);
    let steps: Vec<f64> = path.iter().map(|s| s.leg.sd_m).collect();
    let mut estimate = HeightEstimate {
        height_m: line.points.iter().map(|p| p.height_m).collect(),
        factors_m: walk_factors(&steps),
    };
    estimate
        .factors_m
        .push(grown(&path, |leg| leg.per_index_m * options.index_sd()));
    estimate
        .factors_m
        .push(grown(&path, |leg| leg.per_eye * EYE_SD_M));
    estimate.factors_m.retain(|f| f.iter().any(|x| *x != 0.0));
    let knowns = net.knowns(&path, is_loop);
    if let Some((point, height)) = knowns.first_height {
        estimate.hang_on(point, height);
        line.tied = true;
    }
    line.closes_on_its_start = is_loop && knowns.further.len() == 1;
    for known in knowns.further {
        let (off, sd) = estimate.off(known);
        if off.abs() > 3.0 * sd + 0.005 {
            return Err(net.refuse(
                &path,
                known,
                Misclosure {
                    found_m: off,
                    allowed_m: 3.0 * sd + 0.005,
                },
                options,
            ));
        }
        let found = estimate.condition(known);
        if line
            .misclosure
            .is_none_or(|m| m.found_m.abs() < found.found_m.abs())
        {
            line.misclosure = Some(found);
        }
    }
    for (point, height) in line.points.iter_mut().zip(&estimate.height_m) {
        point.height_m = *height;
    }
    line.factors_m = estimate.factors_m;
    if is_loop {
        line.cut_at_turn();
    }
    Ok(line)
}

fn grown(path: &[DirectedLeg], each: impl Fn(&ReducedLeg) -> f64) -> Vec<f64> {
    let mut sum = 0.0;
    std::iter::once(0.0)
        .chain(path.iter().map(|s| {
            sum += each(&s.leg);
            sum
        }))
        .collect()
}

struct Knowns {
    first_height: Option<(usize, f64)>,
    further: Vec<KnownSum>,
}

impl BookNet<'_> {
    /// Points along the path, before heights are tied.
    fn line(
        &self,
        path: &[DirectedLeg],
        is_loop: bool,
        options: &ReadOptions,
    ) -> Result<LineOfLegs, CellError> {
        let mut line = LineOfLegs::default();
        let name = |i: usize| self.names.get(i).cloned().unwrap_or_default();
        let plan = self.plan(path, is_loop, options, &mut line)?;
        let mut point = StringPoint {
            name: self.start(path).map(name).unwrap_or_default(),
            row: path.first().map_or(0, |s| s.row),
            height_m: LOCAL_DATUM_M,
            plan_m: plan.first().copied(),
            ..StringPoint::default()
        };
        line.points.push(point.clone());
        for (i, step) in path.iter().enumerate() {
            point = StringPoint {
                name: name(step.to),
                row: step.row,
                station_m: point.station_m + step.leg.slope_m,
                level_m: point.level_m + step.leg.level_m,
                height_m: point.height_m + step.leg.rise_m,
                plan_m: plan.get(i + 1).copied(),
            };
            line.points.push(point.clone());
        }
        Ok(line)
    }

    /// East and north of every point, where every leg has a bearing.
    fn plan(
        &self,
        path: &[DirectedLeg],
        is_loop: bool,
        options: &ReadOptions,
        line: &mut LineOfLegs,
    ) -> Result<Vec<(f64, f64)>, CellError> {
        let courses: Vec<TraverseLeg> = path
            .iter()
            .filter_map(|s| {
                Some(TraverseLeg {
                    length_m: s.leg.level_m,
                    bearing_rad: s.leg.bearing_rad?,
                })
            })
            .collect();
        if courses.len() < path.len() {
            if let Some(lacking) = path
                .iter()
                .find(|s| s.leg.bearing_rad.is_none())
                .filter(|_| !courses.is_empty())
            {
                line.notes.push((
                    lacking.row,
                    "this leg has no bearing, so there is no plan".to_owned(),
                ));
            }
            return Ok(Vec::new());
        }
        let parts: Vec<(f64, f64)> = if is_loop && options.close_traverse {
            let closed = traverse::close(&courses);
            if closed.off_m() * WORST_TRAVERSE > closed.perimeter_m {
                return Err(CellError::new(
                    path.last().map_or(0, |s| s.row),
                    "bearing_deg",
                    "the traverse does not close in plan",
                )
                .found(format!(
                    "a misclosure of {} after {}",
                    options.told(closed.off_m()),
                    options.told(closed.perimeter_m)
                ))
                .expected(format!(
                    "at most 1 in {WORST_TRAVERSE}. With compass and tape, 1 in 300 is possible"
                ))
                .advice(
                    "check for a bearing in the wrong direction (180 degrees), or a wrong length",
                ));
            }
            line.plan_off_m = Some((closed.off_m(), closed.perimeter_m));
            closed.legs_m
        } else {
            courses.iter().map(|c| (c.east_m(), c.north_m())).collect()
        };
        let mut at = (0.0, 0.0);
        Ok(std::iter::once(at)
            .chain(parts.into_iter().map(|(e, n)| {
                at = (at.0 + e, at.1 + n);
                at
            }))
            .collect())
    }

    fn knowns(&self, path: &[DirectedLeg], is_loop: bool) -> Knowns {
        let last = path.len();
        let along = self
            .start(path)
            .into_iter()
            .chain(path.iter().map(|s| s.to));
        let heights: Vec<(usize, f64)> = along
            .enumerate()
            .filter(|(i, _)| !(is_loop && *i == last))
            .filter_map(|(i, at)| Some((i, self.known_m.get(at).copied().flatten()?)))
            .collect();
        let mut further: Vec<KnownSum> = heights
            .iter()
            .skip(1)
            .map(|&(plus, value_m)| KnownSum {
                plus,
                minus: None,
                value_m,
            })
            .collect();
        if is_loop {
            further.insert(
                0,
                KnownSum {
                    plus: last,
                    minus: Some(0),
                    value_m: 0.0,
                },
            );
        }
        Knowns {
            first_height: heights.first().copied(),
            further,
        }
    }
}

impl LineOfLegs {
    /// A loop is the line and the way back: it is cut where it is farthest in height from its start.
    fn cut_at_turn(&mut self) {
        let start = self.points.first().map_or(0.0, |p| p.height_m);
        let mut turn = (0, 0.0);
        for (i, p) in self.points.iter().enumerate() {
            let far = (p.height_m - start).abs();
            if far > turn.1 {
                turn = (i, far);
            }
        }
        let keep = turn.0 + 1;
        if let Some(row) = self.points.get(keep).map(|p| p.row) {
            self.notes.push((row, "the book returns to its start. The program uses all later legs only for the misclosure".to_owned()));
        }
        self.points.truncate(keep);
        for f in &mut self.factors_m {
            f.truncate(keep);
        }
    }
}
