//! What the two drawings have in common: symbols of marks, words of the frame, title block, legend.

use crate::drawing::{LegendKey, Symbol, Words};
use crate::line::{Assumed, Heading};
use crate::mark::{Mark, Status};
use crate::numeric::series;
use crate::pipe::{FittingKind, MarkKind};
use crate::reading::Method;
use crate::route::Route;
use crate::unit::exact::FOOT_M;
use crate::unit::{Figure, Quantity, Units};
use crate::words::{self, AssumedValue, Say, kind_label};

/// The symbol of a fitting.
pub(super) fn fitting_symbol(kind: FittingKind) -> Symbol {
    match kind {
        FittingKind::GateValve
        | FittingKind::BallValve
        | FittingKind::ButterflyValve
        | FittingKind::GlobeValve
        | FittingKind::CheckValve => Symbol::Valve,
        FittingKind::Elbow | FittingKind::Mitre => Symbol::Mark(MarkKind::Elbow),
        FittingKind::Reducer | FittingKind::Enlargement => Symbol::Mark(MarkKind::Reducer),
        _ => Symbol::Fitting,
    }
}

/// What a symbol is called in the legend.
fn symbol_word(symbol: Symbol) -> &'static str {
    match symbol {
        Symbol::Mark(kind) => kind_label(kind),
        Symbol::Valve => "valve",
        Symbol::Fitting => "fitting",
        Symbol::Low => "low point",
        Symbol::Crest => "high point",
        Symbol::Place => "named place",
        Symbol::Gauge => "gauge",
        Symbol::Intake => "water level",
        Symbol::Turbine => "turbine",
    }
}

/// Legend entries of the symbols that occur, each once.
pub(super) fn symbol_keys(used: impl Iterator<Item = (Symbol, bool)>) -> Vec<(LegendKey, String)> {
    let mut all: Vec<(Symbol, bool)> = used.collect();
    all.sort();
    all.dedup();
    all.into_iter()
        .map(|(symbol, wanted)| {
            let word = symbol_word(symbol);
            if wanted {
                (LegendKey::Wanted(symbol), format!("{word}, required"))
            } else {
                (LegendKey::Stands(symbol), word.to_owned())
            }
        })
        .collect()
}

/// A mark's label: "V2 vent wanted, 407 m".
pub(super) fn mark_label(mark: &Mark, say: Say) -> String {
    let state = match mark.standing {
        Status::Existing => "",
        Status::Proposed => " req'd",
    };
    format!(
        "{} {}{state}, {}",
        mark.id,
        mark.kind.word(),
        say.station(mark.station_m)
    )
}

/// Marks of one kind that stand in a row are one thing on a drawing: from four on, none further from the next than this, m.
const ROW_STEP_M: f64 = 13.0;

/// Fewest marks that are a row.
const ROW: usize = 4;

/// A mark, or a row of marks of one kind.
pub(crate) struct Set<'a> {
    /// The first.
    pub(crate) first: &'a Mark,
    /// The last; `None` for a mark by itself.
    pub(crate) last: Option<&'a Mark>,
    /// How many.
    pub(crate) count: usize,
}

impl Set<'_> {
    /// The label: "V2 vent wanted, 407 m"; "67 straps wanted, 368-430 m".
    pub(super) fn label(&self, say: Say) -> String {
        let Some(last) = self.last else {
            return mark_label(self.first, say);
        };
        let state = match self.first.standing {
            Status::Existing => "",
            Status::Proposed => " req'd",
        };
        format!(
            "{} {}s{state}, {}",
            self.count,
            self.first.kind.word(),
            span(self.first.station_m, last.station_m, say)
        )
    }

    /// What it is numbered by: "V2", "T1-T67".
    pub(crate) fn id(&self) -> String {
        match self.last {
            None => self.first.id.clone(),
            Some(last) => format!("{}\u{2013}{}", self.first.id, last.id),
        }
    }
}

/// Marks with rows put together, in order of station. Stakes are left to their own list.
pub(crate) fn sets(marks: &[Mark]) -> Vec<Set<'_>> {
    let mut kinds: Vec<(MarkKind, Status)> = marks.iter().map(|m| (m.kind, m.standing)).collect();
    kinds.sort_by_key(|(kind, standing)| (*kind, *standing));
    kinds.dedup();
    let mut out = Vec::new();
    for (kind, standing) in kinds.into_iter().filter(|(k, _)| *k != MarkKind::Stake) {
        let mut own: Vec<&Mark> = marks
            .iter()
            .filter(|m| m.kind == kind && m.standing == standing)
            .collect();
        own.sort_by(|a, b| a.station_m.total_cmp(&b.station_m));
        for row in own.chunk_by(|a, b| b.station_m - a.station_m <= ROW_STEP_M) {
            match row {
                [first, .., last] if row.len() >= ROW => out.push(Set {
                    first,
                    last: Some(last),
                    count: row.len(),
                }),
                _ => out.extend(row.iter().map(|m| Set {
                    first: m,
                    last: None,
                    count: 1,
                })),
            }
        }
    }
    out.sort_by(|a, b| a.first.station_m.total_cmp(&b.first.station_m));
    out
}

/// From station to station in the fewest letters: "361\u{2013}429 m".
fn span(from_m: f64, to_m: f64, say: Say) -> String {
    let (from, to) = (say.station(from_m), say.station(to_m));
    if from == to {
        return to;
    }
    format!("{}\u{2013}{to}", from.split(' ').next().unwrap_or(&from))
}

/// Words of a frame.
pub(super) fn words(title: &str, verdict: String, kind: &str, units: Units) -> Words {
    Words {
        title: title.to_owned(),
        verdict,
        kind: kind.to_owned(),
        scales: |across, up| format!("{across} across, {up} upwards"),
        scale: str::to_owned,
        scale_head: "scale".to_owned(),
        sheet_of: |n, all| format!("sheet {n} of {all}"),
        heights: format!("height, {}", unit(units)),
        pressures: format!("pressure head, {}", unit(units)),
        caution: "Find buried services before you dig. Stay away from pipe under pressure. Local codes and licensed practice have priority.".to_owned(),
        rises: "Rising sections".to_owned(),
        pipes: "pipe".to_owned(),
        unit: unit(units).to_owned(),
        rating_above: "the allowable pressure is above this drawing".to_owned(),
    }
}

/// Metres or feet.
pub(super) fn unit(units: Units) -> &'static str {
    match units {
        Units::Metric => "m",
        Units::Us => "ft",
    }
}

/// How it was surveyed, in a line.
pub(super) fn surveyed(route: &Route, on: &str) -> String {
    let how = match route.method {
        Some(Method::Gpx) if route.passes == 1 => "one walk with a receiver".to_owned(),
        Some(Method::Gpx) => format!("{} walks with a receiver", route.passes),
        Some(Method::Level) => "levelled".to_owned(),
        Some(Method::Angle) => "tape and angle".to_owned(),
        Some(Method::Points) => "list of points".to_owned(),
        Some(Method::Gauge) => "gauge along a filled hose".to_owned(),
        Some(Method::Mixed) => "several methods".to_owned(),
        None => "not given".to_owned(),
    };
    if on.is_empty() {
        format!("{how}, {} points", route.points_used)
    } else {
        format!("{on}, {how}, {} points", route.points_used)
    }
}

/// Where the heights count from.
pub(super) fn datum(route: &Route, drop_m: f64, units: Units) -> String {
    let by_air = route
        .receiver
        .iter()
        .filter(|(class, _)| class.is_barometric());
    let from = match route.method {
        Some(Method::Gpx) if by_air.map(|(_, share)| share).sum::<f64>() > 0.5 => {
            "heights from air pressure"
        }
        Some(Method::Gpx) => "GPS heights",
        _ => "as in the survey",
    };
    let drop = Figure::new(Quantity::Head, drop_m)
        .sd(route.heights.drop_sd_m)
        .show(units);
    format!("{from}, elevation difference {drop}")
}

/// What the site file gives for the title block, two or three to a row.
pub(super) fn title_block(heading: &Heading) -> Vec<(String, String)> {
    let of = |heads: &[&str]| -> Option<(String, String)> {
        let all: Vec<&(&str, String)> = heading
            .title_block
            .iter()
            .filter(|(head, _)| heads.contains(head))
            .collect();
        let first = all.first()?;
        let rest = all
            .iter()
            .skip(1)
            .map(|(head, text)| format!(", {head} {text}"));
        Some((
            first.0.to_owned(),
            format!("{}{}", first.1, rest.collect::<String>()),
        ))
    };
    [
        of(&["client"]),
        of(&["drawing", "revision", "date"]),
        of(&["drawn", "checked"]),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// The last row of every title block.
pub(super) fn program() -> (String, String) {
    (
        "drawn by".to_owned(),
        format!("{} {}", env!("CARGO_PKG_NAME"), env!("CARGO_PKG_VERSION")),
    )
}

/// What was taken because it was not said.
pub(super) fn taken(assumed: &[Assumed], say: Say) -> Option<(String, String)> {
    match assumed {
        [] => None,
        [one] => {
            let AssumedValue { what, value, .. } = words::taken(one, say);
            Some(("assumed".to_owned(), format!("{what}: {value}")))
        }
        many => Some((
            "assumed".to_owned(),
            format!("{} values, see the report", many.len()),
        )),
    }
}

/// Standard deviation of each height against the first one, m, over the equally likely lines: the doubt of the shape, free of the datum's.
pub(super) fn against_intake_sd_m(heights: &crate::heights::Heights) -> Vec<f64> {
    against_sd_m(heights, 0)
}

/// The same against the height at another station of the grid.
pub(super) fn against_sd_m(heights: &crate::heights::Heights, base: usize) -> Vec<f64> {
    // A few hundred lines tell a band to a few per cent; more would be time without use.
    const MOST_DRAWS: usize = 400;
    let mut sums: Vec<(f64, f64)> = vec![(0.0, 0.0); heights.station_m.len()];
    let mut count = 0.0;
    let step = heights.draws.len().div_ceil(MOST_DRAWS).max(1);
    for draw in heights.draws.iter().step_by(step) {
        let Some(first) = draw.get(base) else {
            continue;
        };
        let mean_first = series::at(&heights.mean_m, base);
        count += 1.0;
        for (((sum, squares), z), mean) in sums.iter_mut().zip(draw).zip(&heights.mean_m) {
            let off = (z - first) - (mean - mean_first);
            *sum += off;
            *squares += off * off;
        }
    }
    sums.into_iter()
        .map(|(sum, squares)| {
            if count < 2.0 {
                0.0
            } else {
                ((squares - sum * sum / count) / (count - 1.0))
                    .max(0.0)
                    .sqrt()
            }
        })
        .collect()
}

/// Decimals of heights so that none stands below their doubt (two standard deviations), in the unit shown.
pub(super) fn height_decimals(sd_m: &[f64], units: Units) -> usize {
    let size = match units {
        Units::Metric => 1.0,
        Units::Us => FOOT_M,
    };
    let doubt = 2.0 * sd_m.iter().copied().fold(0.0, f64::max) / size;
    if doubt >= 0.95 {
        0
    } else if doubt >= 0.095 {
        1
    } else {
        2
    }
}
