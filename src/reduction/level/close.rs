use super::doubt::{chain_doubt, net_doubt};
use super::section::LevelSection;
use super::suspect::suspect;
use super::{LevelRow, Levels, SightKind};
use crate::reading::{CellError, Misclosure, ReadOptions, Spread};
use crate::reduction::net;
use crate::reduction::net::{Difference, NetRefusal};

/// Levelled length that a set-up stands for where the book gives no stations, m (two sights of 25 m; our judgement for steep ground).
pub(super) const SETUP_LENGTH_M: f64 = 50.0;

/// A closed level book.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Closed {
    /// Heights, m, one a point of the book.
    pub height_m: Vec<f64>,
    /// Errors that many points share, m: each one value a point (see `Book`).
    pub factors_m: Vec<Vec<f64>>,
    /// Misclosure, where the book closes on something.
    pub misclosure: Option<Misclosure>,
    /// Whether a height is known.
    pub tied: bool,
    /// What a least-squares adjustment left over; `None` where nothing was redundant.
    pub adjusted: Option<Adjusted>,
}

/// What a least-squares adjustment of the readings left over.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Adjusted {
    /// Standard deviation of unit weight.
    pub unit_sd: f64,
    /// Redundant readings.
    pub freedom: usize,
    /// Residual of every reading, m, adjusted less booked, with its row and column.
    pub residuals_m: Vec<(usize, &'static str, f64)>,
}

/// Closes a reduced book on the heights it knows.
///
/// A run that returns to its start or ends on a second known height has its misclosure judged by the order of work and spread;
/// with more ties, or points read from several set-ups, the readings are adjusted by least squares.
///
/// # Errors
/// A misclosure beyond what the order of work allows, naming the row that most likely is bad; a part that hangs on no known height.
pub fn close(levels: &Levels, options: &ReadOptions) -> Result<Closed, CellError> {
    if levels.points.iter().any(|p| p.run > 0) || !is_chain(levels) {
        return by_least_squares(levels, options);
    }
    let ties: Vec<usize> = (0..levels.points.len())
        .filter(|&i| levels.points.get(i).is_some_and(|p| p.known_m.is_some()))
        .collect();
    match (ties.as_slice(), returns(levels)) {
        ([], None) => Ok(carried(levels, options, 0.0, false)),
        ([tie], None) => {
            let shift = levels
                .points
                .get(*tie)
                .map_or(0.0, |p| p.known_m.map_or(0.0, |known| known - p.height_m));
            Ok(carried(levels, options, shift, true))
        }
        ([], Some(end)) => closed(
            levels,
            options,
            &LevelSection::round(levels, end, 0.0, false),
        ),
        ([0], Some(end)) => {
            let shift = levels
                .points
                .first()
                .and_then(|p| p.known_m.map(|k| k - p.height_m))
                .unwrap_or(0.0);
            closed(
                levels,
                options,
                &LevelSection::round(levels, end, shift, true),
            )
        }
        ([a, b], None) => match LevelSection::between(levels, *a, *b) {
            Some(section) => closed(levels, options, &section),
            None => by_least_squares(levels, options),
        },
        _ => by_least_squares(levels, options),
    }
}

impl LevelSection {
    /// From one known point to another further on.
    fn between(levels: &Levels, a: usize, b: usize) -> Option<Self> {
        let (a, b) = (levels.points.get(a)?, levels.points.get(b)?);
        let shift_m = a.known_m? - a.height_m;
        (b.count > a.count).then_some(Self {
            shift_m,
            misclosure_m: b.height_m + shift_m - b.known_m?,
            count: (a.count, b.count),
            distance_m: (a.distance_m, b.distance_m),
            tied: true,
        })
    }

    /// Round and back to the start.
    fn round(levels: &Levels, end: (f64, f64), shift_m: f64, tied: bool) -> Self {
        let (height_m, distance_m) = end;
        let start = levels.points.first().map_or(0.0, |p| p.height_m);
        Self {
            shift_m,
            misclosure_m: height_m - start,
            count: (0, levels.setups.len()),
            distance_m: (0.0, distance_m),
            tied,
        }
    }

    /// Levelled length, m.
    pub(super) fn length_m(&self) -> f64 {
        self.distance_m.1 - self.distance_m.0
    }

    /// Share of the misclosure that a point carries, 0 to 1.
    pub(super) fn share(&self, count: usize, distance_m: f64, spread: Spread) -> f64 {
        let (at, from, to) = match spread {
            Spread::Setups => (count as f64, self.count.0 as f64, self.count.1 as f64),
            Spread::Distance => (distance_m, self.distance_m.0, self.distance_m.1),
        };
        if to > from {
            ((at - from) / (to - from)).clamp(0.0, 1.0)
        } else {
            0.0
        }
    }
}

/// Whether the set-ups form one string: each begins where the one before ended, and only the last may come back to the first point.
fn is_chain(levels: &Levels) -> bool {
    let mut seen = vec![0_u32; levels.points.len()];
    let last = levels.setups.len().saturating_sub(1);
    let mut end = Some(0);
    for (j, setup) in levels.setups.iter().enumerate() {
        if setup.sights.first().map(|s| s.point) != end {
            return false;
        }
        for sight in setup.sights.iter().skip(1) {
            let comes_back = j == last && sight.kind == SightKind::Fore && sight.point == 0;
            let Some(times) = seen.get_mut(sight.point) else {
                return false;
            };
            *times += 1;
            if !comes_back && (*times > 1 || sight.point == 0) {
                return false;
            }
        }
        end = setup.sights.last().map(|s| s.point);
    }
    true
}

/// Height and distance at which a chain comes back to its first point.
fn returns(levels: &Levels) -> Option<(f64, f64)> {
    let setup = levels.setups.last()?;
    let (first, last) = (setup.sights.first()?, setup.sights.last()?);
    let from = levels.points.get(first.point)?;
    let to = levels.points.get(last.point)?;
    let leg = match (from.station_m, to.station_m) {
        (Some(a), Some(b)) => (b - a).abs(),
        _ => SETUP_LENGTH_M,
    };
    (last.point == 0 && levels.setups.len() > 1)
        .then_some((setup.instrument_m - last.reading_m, from.distance_m + leg))
}

/// A run that closes on nothing more than one height.
fn carried(levels: &Levels, options: &ReadOptions, shift_m: f64, tied: bool) -> Closed {
    Closed {
        height_m: levels.points.iter().map(|p| p.height_m + shift_m).collect(),
        factors_m: chain_doubt(levels, options, None),
        misclosure: None,
        tied,
        adjusted: None,
    }
}

/// A run closed on one section: misclosure judged, spread.
fn closed(
    levels: &Levels,
    options: &ReadOptions,
    section: &LevelSection,
) -> Result<Closed, CellError> {
    let misclosure = Misclosure {
        found_m: section.misclosure_m,
        allowed_m: options.order.allowed_m(section.length_m()),
    };
    if misclosure.found_m.abs() > misclosure.allowed_m + 1e-9 {
        return Err(suspect(levels, misclosure, options));
    }
    let height_m = levels
        .points
        .iter()
        .map(|p| {
            let share = section.share(p.count, p.distance_m, options.spread);
            p.height_m + section.shift_m - section.misclosure_m * share
        })
        .collect();
    Ok(Closed {
        height_m,
        factors_m: chain_doubt(levels, options, Some(section)),
        misclosure: Some(misclosure),
        tied: section.tied,
        adjusted: None,
    })
}

/// Readings adjusted by least squares: each set-up's line of sight and each point read more than once is unknown.
fn by_least_squares(levels: &Levels, options: &ReadOptions) -> Result<Closed, CellError> {
    let points = levels.points.len();
    let mut known: Vec<Option<f64>> = levels.points.iter().map(|p| p.known_m).collect();
    let tied = known.iter().any(Option::is_some);
    if let Some(first) = known.first_mut().filter(|_| !tied) {
        *first = levels.points.first().map(|p| p.height_m);
    }
    known.resize(points + levels.setups.len(), None);
    let sd_m = options.setup_sd() / std::f64::consts::SQRT_2;
    let mut differences = Vec::new();
    let mut rows = Vec::new();
    for (j, setup) in levels.setups.iter().enumerate() {
        for sight in &setup.sights {
            differences.push(Difference {
                from: points + j,
                to: sight.point,
                rise_m: -sight.reading_m,
                sd_m,
            });
            rows.push((sight.row, sight.kind.column()));
        }
    }
    let adjusted = net::adjust(&differences, &known).map_err(|loose| hangs(levels, loose))?;
    let unit_sd = adjusted.unit_sd();
    let misclosure = worst_tie(levels, options);
    let beyond = misclosure.is_some_and(|m| m.found_m.abs() > m.allowed_m + 1e-9);
    let blunder = adjusted
        .worst(&differences)
        .filter(|(_, w)| !adjusted.holds() && *w > CRITICAL);
    if let (Some((i, w)), true) = (
        blunder,
        beyond || misclosure.is_none() || unit_sd > Some(4.0),
    ) {
        let (row, column) = rows.get(i).copied().unwrap_or((0, "fs"));
        return Err(CellError::new(row, column, "the readings do not agree with each other. This reading is probably wrong")
            .found(format!(
                "a residual of {}, {w:.1} times its standard deviation",
                options.told(adjusted.residual_m.get(i).copied().unwrap_or(0.0))
            ))
            .expected(format!("residuals of at most {CRITICAL} standard deviations (standard deviation of a set-up: {})",
                options.told(options.setup_sd())))
            .advice("check this row in the field book, and correct it. Or survey this section again. Or give a larger `misclosure` under [survey]"));
    }
    if let Some(m) = misclosure.filter(|_| beyond) {
        return Err(suspect(levels, m, options));
    }
    let scale = unit_sd.unwrap_or(1.0).max(1.0);
    Ok(Closed {
        height_m: adjusted.height_m.iter().take(points).copied().collect(),
        factors_m: net_doubt(&adjusted, points, scale),
        misclosure,
        tied,
        adjusted: unit_sd.map(|unit_sd| Adjusted {
            unit_sd,
            freedom: adjusted.freedom,
            // A reading runs down from the line of sight: what is added to the height is taken off the reading.
            residuals_m: rows
                .iter()
                .zip(&adjusted.residual_m)
                .map(|(&(row, column), v)| (row, column, -v))
                .collect(),
        }),
    })
}

/// A residual beyond so many of its standard deviations is a blunder: one good reading in a thousand is larger.
const CRITICAL: f64 = 3.29;

/// The tie at which the carried heights miss the known one by the largest share of what is allowed.
fn worst_tie(levels: &Levels, options: &ReadOptions) -> Option<Misclosure> {
    let mut worst: Option<Misclosure> = None;
    let runs = levels.points.iter().map(|p| p.run).max().unwrap_or(0);
    for run in 0..=runs {
        let mut before: Option<(f64, f64)> = None;
        for p in levels.points.iter().filter(|p| p.run == run) {
            let Some(known) = p.known_m else { continue };
            let off = p.height_m - known;
            if let Some((last, at)) = before {
                let found = Misclosure {
                    found_m: off - last,
                    allowed_m: options.order.allowed_m((p.distance_m - at).abs()),
                };
                let share = |m: &Misclosure| m.found_m.abs() / m.allowed_m;
                if worst.as_ref().is_none_or(|w| share(&found) > share(w)) {
                    worst = Some(found);
                }
            }
            before = Some((off, p.distance_m));
        }
    }
    worst
}

fn hangs(levels: &Levels, loose: NetRefusal) -> CellError {
    let (row, text) = match loose {
        NetRefusal::NoDatum => (0, "the book has no known height".to_owned()),
        NetRefusal::Point(i) => (
            levels.points.get(i).map_or(0, |p| p.row),
            "a part of the book is not connected to a known height".to_owned(),
        ),
        NetRefusal::TooLarge(n) => (
            0,
            format!(
                "{n} heights must be adjusted together. The limit is {}",
                net::LARGEST
            ),
        ),
    };
    CellError::new(row, "elevation", text)
        .expected("all parts connected by change points, or each part with a known height")
        .advice("give the elevation of one point of this part, or divide the book into parts")
}

/// Checks the heights that a reduced book carries in every row, and keeps only those that are known: the first, and the last where the page was adjusted.
pub(super) fn check_booked(
    levels: &mut Levels,
    rows: &[LevelRow],
    rounding_m: f64,
    options: &ReadOptions,
) -> Result<(), CellError> {
    let booked: Vec<(usize, f64, f64)> = rows
        .iter()
        .filter_map(|r| {
            let point = levels.points.iter().find(|p| p.row == r.row)?;
            Some((r.row, r.elevation_m?, point.height_m))
        })
        .collect();
    let shift = booked.first().map_or(0.0, |(_, b, ours)| b - ours);
    let offs: Vec<f64> = booked.iter().map(|(_, b, ours)| b - ours - shift).collect();
    let adjusted = looks_adjusted(&offs, rounding_m);
    let mut before = 0.0;
    for ((row, b, ours), off) in booked.iter().zip(&offs) {
        if (off - before).abs() > rounding_m && !adjusted {
            return Err(CellError::new(
                *row,
                "elevation",
                "the height in the book does not agree with the readings",
            )
            .found(options.told(*b))
            .expected(format!(
                "{}: height of instrument minus the reading",
                options.told(ours + shift + before)
            ))
            .advice("calculate this row again. Or keep only the known heights in this column"));
        }
        before = *off;
    }
    if adjusted {
        let last = booked.last().map(|(row, b, _)| (*row, *b));
        if let Some((row, height)) = last {
            levels.notes.push((row, "the heights in the book are already adjusted. The program uses only the first and the last height as known".to_owned()));
            if let Some(p) = levels.points.iter_mut().find(|p| p.row == row) {
                p.known_m = Some(height);
            }
        }
    }
    Ok(())
}

/// Whether differences from our reduction grow steadily in small steps, as a spread misclosure does.
fn looks_adjusted(offs: &[f64], rounding_m: f64) -> bool {
    let total = offs.last().copied().unwrap_or(0.0);
    let steps: Vec<f64> = offs
        .iter()
        .zip(offs.iter().skip(1))
        .map(|(a, b)| (b - a) * total.signum())
        .filter(|s| s.abs() > rounding_m)
        .collect();
    let largest = steps.iter().copied().fold(0.0, f64::max);
    steps.len() >= 3 && steps.iter().all(|s| *s > 0.0) && largest <= 0.5 * total.abs()
}
