//! The points of a book in order along the line.

use super::row::BookRow;
use crate::earth::{LatLon, Plane, at_height};
use crate::numeric::math;
use crate::numeric::series::interpolate;
use crate::reading::{Book, Position};
use crate::route::ladder::slope_stations;
use crate::route::options::WrittenSpot;
use crate::text::{Fault, Place, Remark, Sentence};
use crate::walk::Polyline;

/// A line steeper than this must say how its distances were taken: the two readings then differ by more than half a percent.
const STEEP: f64 = 0.10;

/// A book's points along the line.
#[derive(Debug, Clone)]
pub(super) struct BookLine {
    pub(super) rows: Vec<BookRow>,
    /// Level distance of each from the first, m.
    pub(super) level_m: Vec<f64>,
    /// Errors shared by many points, m: each one value a row.
    pub(super) factors: Vec<Vec<f64>>,
    /// What was noticed in putting them in order.
    pub(super) remarks: Vec<Remark>,
    pub(super) plane: Option<Plane>,
    pub(super) measured: bool,
}

impl BookLine {
    /// Points with a height and a place on the line, in the order of the line; stations must rise or fall all the way.
    pub(super) fn new(book: &Book, along_slope: Option<bool>, file: &str) -> Result<Self, Fault> {
        let stationed = book
            .points
            .iter()
            .any(|p| p.station_m.is_some() && p.height_m.is_some());
        let plane = plane_of(book);
        let mut kept: Vec<usize> = Vec::new();
        let mut rows = Vec::new();
        for (i, point) in book.points.iter().enumerate() {
            let Some(height_m) = point.height_m else {
                continue;
            };
            if stationed && point.station_m.is_none() || !stationed && point.position.is_none() {
                continue;
            }
            kept.push(i);
            rows.push(BookRow {
                own_m: point.station_m.unwrap_or(0.0),
                height_m,
                sd_m: point.sd_m,
                plan: point.position.map(|p| in_plane(p, plane.as_ref())),
                name: point.name.clone(),
                place: point.place.clone(),
                surveyed: true,
            });
        }
        if rows.len() < 2 {
            return Err(
                Fault::new(Place::file(file), "the route has fewer than two points")
                    .expected("two or more points with a station (or a position) and a height")
                    .advice("add the missing stations and heights"),
            );
        }
        let mut course = Self {
            factors: book
                .factors
                .iter()
                .map(|f| {
                    kept.iter()
                        .map(|&i| f.get(i).copied().unwrap_or(0.0))
                        .collect()
                })
                .collect(),
            level_m: Vec::new(),
            remarks: Vec::new(),
            rows,
            plane,
            measured: !stationed,
        };
        if stationed {
            let back = course.order_by_station()?;
            course.remarks.extend(back);
            course.level_m = course.levels_of_stations(along_slope.or(book.along_slope))?;
        } else {
            course.level_m = course.levels_of_positions();
            let slope = slope_stations(&course.level_m, &course.heights_m());
            for (row, own) in course.rows.iter_mut().zip(slope) {
                row.own_m = own;
            }
            course.refuse_repeats()?;
        }
        Ok(course)
    }

    /// Puts rows whose stations do not run one way in order, with their shared errors.
    ///
    /// Returns the first place whose station goes back, where the others mostly go on: there a station may be misread.
    fn order_by_station(&mut self) -> Result<Option<Remark>, Fault> {
        let rising = self
            .rows
            .windows(2)
            .all(|w| matches!(w, [a, b] if a.own_m < b.own_m));
        let falling = self
            .rows
            .windows(2)
            .all(|w| matches!(w, [a, b] if a.own_m > b.own_m));
        if rising || falling {
            return Ok(None);
        }
        let back = self.turns_back();
        let mut order: Vec<usize> = (0..self.rows.len()).collect();
        let own = self.own_m();
        let of = |i: usize| own.get(i).copied().unwrap_or(0.0);
        order.sort_by(|&a, &b| of(a).total_cmp(&of(b)));
        self.rows = order
            .iter()
            .filter_map(|&i| self.rows.get(i).cloned())
            .collect();
        for factor in &mut self.factors {
            *factor = order
                .iter()
                .map(|&i| factor.get(i).copied().unwrap_or(0.0))
                .collect();
        }
        for pair in self.rows.windows(2) {
            if let [a, b] = pair
                && b.own_m - a.own_m < 1e-6
            {
                return Err(
                    Fault::new(b.place.clone(), "two points have the same station")
                        .found(
                            Sentence::default()
                                .length(b.own_m, 2)
                                .words(format!(" here and at {}", a.place)),
                        )
                        .expected("each station once")
                        .advice("correct the station of one point, or delete the point"),
                );
            }
        }
        Ok(back)
    }

    /// The first row of a sheet whose station goes against the way that most of them run.
    fn turns_back(&self) -> Option<Remark> {
        let steps: Vec<(&BookRow, &BookRow)> = self
            .rows
            .iter()
            .zip(self.rows.iter().skip(1))
            .filter(|(a, b)| a.place.file == b.place.file)
            .collect();
        let on = steps.iter().filter(|(a, b)| b.own_m > a.own_m).count();
        let rises = 2 * on >= steps.len();
        let (a, b) = steps.iter().find(|(a, b)| (b.own_m > a.own_m) != rises)?;
        Some(Remark::new(
            b.place.clone(),
            Sentence::from("the stations change direction here, from ")
                .length(a.own_m, 2)
                .words(" to ")
                .length(b.own_m, 2)
                .words(". The program sorted the rows by station. Check for a station that was misread"),
        ))
    }

    /// Level distances from stations that were taken along the slope or level.
    fn levels_of_stations(&self, along_slope: Option<bool>) -> Result<Vec<f64>, Fault> {
        let ends = self.rows.first().zip(self.rows.last());
        let steep = ends.is_some_and(|(a, b)| {
            (a.height_m - b.height_m).abs() > STEEP * (a.own_m - b.own_m).abs()
        });
        let slope = match along_slope {
            Some(slope) => slope,
            None if steep => {
                let place = self
                    .rows
                    .first()
                    .map_or_else(Place::default, |r| r.place.clone());
                return Err(Fault::new(place, "were the distances measured along the slope or horizontally?")
                    .asks("survey.taped")
                    .found("a route steeper than 1 in 10. On this slope the two distances are different")
                    .expected("taped = \"slope\" (tape on the ground or along the pipe) or taped = \"horizontal\"")
                    .advice("add the key `taped` under [survey]; without a site file, use --taped slope or --taped horizontal"));
            }
            None => true,
        };
        let mut level = 0.0;
        let mut out = vec![0.0];
        for pair in self.rows.windows(2) {
            let [a, b] = pair else { continue };
            let (way, rise) = ((b.own_m - a.own_m).abs(), b.height_m - a.height_m);
            let step = if slope {
                if rise.abs() >= way {
                    return Err(Fault::new(b.place.clone(), "the change of height is larger than the taped distance")
                        .found(
                            Sentence::default()
                                .length(rise.abs(), 2)
                                .words(" of height in ")
                                .length(way, 2)
                                .words(" along the slope"),
                        )
                        .expected("a change of height smaller than the distance along the slope")
                        .advice("check the heights and stations of both points. If the distances were measured horizontally, write taped = \"horizontal\""));
                }
                (way * way - rise * rise).sqrt()
            } else {
                way
            };
            level += step;
            out.push(level);
        }
        Ok(out)
    }

    fn levels_of_positions(&self) -> Vec<f64> {
        let mut level = 0.0;
        let mut last: Option<(&BookRow, [f64; 2])> = None;
        let mut out = Vec::with_capacity(self.rows.len());
        for row in &self.rows {
            let at = row.plan.unwrap_or_default();
            if let Some((before, from)) = last {
                level += match &self.plane {
                    Some(plane) => {
                        let middle = 0.5 * (before.height_m + row.height_m);
                        plane.back(from).distance_m(plane.back(at)) * at_height(middle)
                    }
                    None => math::hypot(at[0] - from[0], at[1] - from[1]),
                };
            }
            last = Some((row, at));
            out.push(level);
        }
        out
    }

    fn refuse_repeats(&self) -> Result<(), Fault> {
        for (pair, rows) in self.rows.windows(2).zip(self.level_m.windows(2)) {
            if let ([a, b], &[from, to]) = (pair, rows)
                && math::hypot(to - from, b.height_m - a.height_m) < 1e-6
            {
                return Err(Fault::new(b.place.clone(), "two rows give the same point")
                    .found(format!("the position and height of {}", a.place))
                    .expected("each point once, in sequence along the route")
                    .advice("delete one of the two rows"));
            }
        }
        Ok(())
    }

    /// Gives points without a position one between their neighbours that have one.
    pub(super) fn points_have_plan(&mut self) {
        let known: Vec<(f64, [f64; 2])> = self
            .level_m
            .iter()
            .zip(&self.rows)
            .filter_map(|(&l, r)| Some((l, r.plan?)))
            .collect();
        let (Some(first), Some(last)) = (known.first(), known.last()) else {
            return;
        };
        let at: Vec<f64> = known.iter().map(|k| k.0).collect();
        let east: Vec<f64> = known.iter().map(|k| k.1[0]).collect();
        let north: Vec<f64> = known.iter().map(|k| k.1[1]).collect();
        for (&level, row) in self.level_m.iter().zip(&mut self.rows) {
            if row.plan.is_none() && level >= first.0 && level <= last.0 {
                row.plan = Some([
                    interpolate(&at, &east, level),
                    interpolate(&at, &north, level),
                ]);
            }
        }
    }

    pub(super) fn heights_m(&self) -> Vec<f64> {
        self.rows.iter().map(|r| r.height_m).collect()
    }

    pub(super) fn own_m(&self) -> Vec<f64> {
        self.rows.iter().map(|r| r.own_m).collect()
    }

    /// Fall from the first to the last row and its standard deviation, m.
    pub(super) fn drop_m(&self) -> (f64, f64) {
        let (Some(a), Some(b)) = (self.rows.first(), self.rows.last()) else {
            return (0.0, 0.0);
        };
        let shared = self
            .factors
            .iter()
            .filter_map(|f| Some(f.first()? - f.last()?))
            .fold(0.0, math::hypot);
        (
            a.height_m - b.height_m,
            math::hypot(math::hypot(a.sd_m, b.sd_m), shared),
        )
    }

    /// Turns the course round; stations of the book stay what they are.
    pub(super) fn turn(&mut self) {
        self.rows.reverse();
        for factor in &mut self.factors {
            factor.reverse();
        }
        let whole = self.level_m.last().copied().unwrap_or(0.0);
        self.level_m = self.level_m.iter().rev().map(|l| whole - l).collect();
    }

    /// Level station of a station of the book.
    pub(super) fn level_of_own(&self, own: f64) -> Option<f64> {
        let mut pairs: Vec<(f64, f64)> = self
            .rows
            .iter()
            .map(|r| r.own_m)
            .zip(self.level_m.iter().copied())
            .collect();
        pairs.sort_by(|a, b| a.0.total_cmp(&b.0));
        let own_m: Vec<f64> = pairs.iter().map(|p| p.0).collect();
        let level_m: Vec<f64> = pairs.iter().map(|p| p.1).collect();
        (!pairs.is_empty()).then(|| interpolate(&own_m, &level_m, own))
    }

    /// Level station of the point of that name.
    pub(super) fn named(&self, name: &str, at: &WrittenSpot) -> Result<Option<f64>, Fault> {
        let wanted = name.trim().to_lowercase();
        let mut found = self
            .rows
            .iter()
            .zip(&self.level_m)
            .filter(|(r, _)| r.name.trim().to_lowercase() == wanted);
        let Some((row, &level)) = found.next() else {
            return Ok(None);
        };
        match found.next() {
            None => Ok(Some(level)),
            Some((other, _)) => Err(Fault::new(at.place.clone(), "two points have this name")
                .found(format!("{name} at {} and at {}", row.place, other.place))
                .expected("a name that only one point has")
                .advice("give the station, or change the name of one point")),
        }
    }

    /// Level station of the place on the line nearest to a position, and how far off it is.
    pub(super) fn nearest(&self, position: LatLon) -> Option<(f64, f64)> {
        let at = self.plane?.east_north(position);
        let mut best: Option<(f64, f64)> = None;
        for (rows, levels) in self.rows.windows(2).zip(self.level_m.windows(2)) {
            let ([a, b], &[from, to]) = (rows, levels) else {
                continue;
            };
            let (Some(pa), Some(pb)) = (a.plan, b.plan) else {
                continue;
            };
            let line = Polyline::new([pa, pb]);
            let foot = line.foot_anywhere(at);
            let share = (foot.station_m / line.length_m().max(1e-9)).clamp(0.0, 1.0);
            let there = line.at(share * line.length_m());
            let off = math::hypot(there[0] - at[0], there[1] - at[1]);
            if best.is_none_or(|(_, o)| off < o) {
                best = Some((from + share * (to - from), off));
            }
        }
        best
    }

    pub(super) fn lat_lon_deg(&self, plan: [f64; 2]) -> Option<(f64, f64)> {
        let at = self.plane?.back(plan);
        Some((at.lat_deg, at.lon_deg))
    }

    /// The same points with other heights and doubts.
    pub(super) fn with_heights(
        mut self,
        heights_m: Vec<f64>,
        sd_m: Vec<f64>,
        factors: Vec<Vec<f64>>,
    ) -> Self {
        for ((row, height), sd) in self.rows.iter_mut().zip(heights_m).zip(sd_m) {
            row.height_m = height;
            row.sd_m = sd;
        }
        self.factors = factors;
        self
    }

    /// Keeps what lies between two level stations, with an end cut in where none was surveyed.
    pub(super) fn cut(&mut self, from: f64, to: f64) {
        for level in [from, to] {
            let after = self.level_m.partition_point(|&l| l < level - 1e-6);
            if self
                .level_m
                .get(after)
                .is_some_and(|l| (l - level).abs() <= 1e-6)
            {
                continue;
            }
            let between = after
                .checked_sub(1)
                .and_then(|i| Some((i, *self.level_m.get(i)?, *self.level_m.get(after)?)));
            if let Some((i, l0, l1)) = between {
                self.cut_in(i, after, level, (level - l0) / (l1 - l0));
            }
        }
        let inside: Vec<bool> = self
            .level_m
            .iter()
            .map(|&l| l >= from - 1e-6 && l <= to + 1e-6)
            .collect();
        keep(&mut self.rows, &inside);
        keep(&mut self.level_m, &inside);
        for factor in &mut self.factors {
            keep(factor, &inside);
        }
    }

    fn cut_in(&mut self, before: usize, after: usize, level: f64, share: f64) {
        let mix = |a: f64, b: f64| a + share * (b - a);
        let (Some(a), Some(b)) = (self.rows.get(before), self.rows.get(after)) else {
            return;
        };
        let row = BookRow {
            own_m: mix(a.own_m, b.own_m),
            height_m: mix(a.height_m, b.height_m),
            // Straight between two points with errors of their own.
            sd_m: math::hypot((1.0 - share) * a.sd_m, share * b.sd_m),
            plan: a
                .plan
                .zip(b.plan)
                .map(|(p, q)| [mix(p[0], q[0]), mix(p[1], q[1])]),
            name: String::new(),
            place: a.place.clone(),
            surveyed: false,
        };
        self.rows.insert(after, row);
        self.level_m.insert(after, level);
        for factor in &mut self.factors {
            let value = factor
                .get(before)
                .zip(factor.get(after))
                .map_or(0.0, |(a, b)| mix(*a, *b));
            if after <= factor.len() {
                factor.insert(after, value);
            }
        }
    }
}

fn keep<T>(values: &mut Vec<T>, inside: &[bool]) {
    let mut inside = inside.iter();
    values.retain(|_| inside.next().copied().unwrap_or(false));
}

/// A plane at the first position in degrees.
fn plane_of(book: &Book) -> Option<Plane> {
    book.points.iter().find_map(|p| match p.position {
        Some(Position::Geographic { lat_deg, lon_deg }) => Some(Plane::new(
            LatLon::new(lat_deg, lon_deg),
            p.height_m.unwrap_or(0.0),
        )),
        _ => None,
    })
}

fn in_plane(position: Position, plane: Option<&Plane>) -> [f64; 2] {
    match (position, plane) {
        (Position::Geographic { lat_deg, lon_deg }, Some(plane)) => {
            plane.east_north(LatLon::new(lat_deg, lon_deg))
        }
        (Position::Geographic { lat_deg, lon_deg }, None) => [lon_deg, lat_deg],
        (Position::Grid { east_m, north_m }, _) => [east_m, north_m],
    }
}
