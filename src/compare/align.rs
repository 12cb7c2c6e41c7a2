use super::along::{AlongPlace, along, named_places};
use super::fit::Motion;
use super::offset::{height_offset, wanders};
use super::plan::by_plan;
use super::shape::PlanShape;
use crate::numeric::math;
use crate::route::{Route, interpolate};

/// What is known beforehand of how two surveys fit.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct AlignOptions {
    /// Reaches of the earlier survey that are believed not to have moved, m: only they carry the fit in height.
    pub stable_m: Vec<(f64, f64)>,
    /// Both surveys hang on the same known heights: then no offset is taken out.
    pub same_heights: bool,
    /// Where the later survey's end nearest the intake lies on the earlier line, m, where the user knows it; positions of both go before it.
    pub station_offset_m: Option<f64>,
}

/// How the two were brought together along the line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum By {
    /// By their positions in plan.
    Plan,
    /// By places that carry the same name in both.
    Names,
    /// By the stations of both books, as on the pegs.
    Stations,
    /// By the shape of the heights.
    Shape,
    /// By their beginnings: both run the whole line.
    Ends,
    /// As the user said.
    Said,
}

/// The later survey brought onto the earlier one.
#[derive(Debug, Clone, PartialEq)]
pub struct Alignment {
    /// How stations were matched.
    pub by: By,
    /// Stations of the earlier survey that the later one covers, m.
    pub from_m: f64,
    /// To, m.
    pub to_m: f64,
    /// Even stations of the earlier survey over that reach, each with its place in the later one.
    pub matched: Vec<Matched>,
    /// Turn and shift taken out in plan; `None` without plans.
    pub motion: Option<Motion>,
    /// Offset in height taken out, m: later less earlier.
    pub height_offset_m: f64,
    /// Its standard deviation, m.
    pub height_offset_sd_m: f64,
    /// Drift in height taken out, m per m of station: only where it stands above its doubt.
    pub height_drift: f64,
    /// Spread of what is left of the heights, m (robust standard deviation).
    pub height_spread_m: f64,
    /// The later survey was turned round to match.
    pub turned: bool,
    /// Standard deviation of the match along the line, m.
    pub station_sd_m: f64,
    /// Ground that was said not to have moved, m: what the rest is held against.
    pub stable_m: Vec<(f64, f64)>,
}

/// A station of the earlier survey and what the later one says there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Matched {
    /// Station in the earlier survey, m.
    pub before_m: f64,
    /// Station of the same place in the later survey (turned where it was turned), m.
    pub after_m: f64,
    /// How far the later line lies to the left, looking down the line, m; `None` without plans.
    pub side_m: Option<f64>,
    /// Later height less earlier, the offset and drift taken out, m.
    pub up_m: f64,
}

/// Why two surveys cannot be held against each other.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Apart {
    /// A route with fewer than two points.
    TooShort,
    /// They lie so far from each other, m, that they are not of one pipe.
    TooFar(f64),
    /// They have less than this in common, m.
    TooLittle(f64),
    /// Nothing says where along the pipe the later survey lies.
    NoPlace,
}

/// Distance between matched stations, m, on lines of up to 1.5 km; more on longer ones.
const STEP_M: f64 = 1.0;
/// The least that two surveys must have in common, m.
pub(super) const LEAST_M: f64 = 5.0;

/// Brings a later survey onto an earlier one of the same pipe, robustly: a slide is left out of the fit, not shared out.
///
/// In plan: turn and shift by point-to-line least squares with Tukey's weights (no turn where both have latitude and longitude; a shift held to what a receiver may be off).
/// Without plans: by equal names, by the stations of both books, or by the shape of the heights. In height: the median on stable ground, and a drift only where it is certain.
///
/// # Errors
/// Where a route is too short, they have too little in common, lie too far apart, or nothing says where along the pipe the later one lies.
pub fn align(before: &Route, after: &Route, options: &AlignOptions) -> Result<Alignment, Apart> {
    if before.nodes.len() < 2 || after.nodes.len() < 2 {
        return Err(Apart::TooShort);
    }
    let shapes = PlanShape::both(before, after);
    let mut alignment = match shapes {
        Some((a, b)) => by_plan(before, after, (&a, &b), options)?,
        None => shifted(before, after, options)?,
    };
    alignment.stable_m.clone_from(&options.stable_m);
    height_offset(before, after, options, &mut alignment);
    // Heights that scatter by metres round their own offset, and by more than a tenth of the drop, are of another pipe.
    let drop = (before.heights.at(alignment.from_m) - before.heights.at(alignment.to_m)).abs();
    if alignment.height_spread_m > 5.0_f64.max(0.1 * drop) {
        return Err(Apart::TooFar(alignment.height_spread_m));
    }
    Ok(alignment)
}

pub(super) fn length(route: &Route) -> f64 {
    route.length_m()
}

/// Even stations from one to another.
pub(super) fn even(from: f64, to: f64) -> Vec<f64> {
    let step = STEP_M.max((to - from) / 1500.0);
    let count = ((to - from) / step).ceil().max(1.0);
    (0..=count as usize)
        .map(|i| from + (to - from) * i as f64 / count)
        .collect()
}

/// Without plans: one offset along the line.
fn shifted(before: &Route, after: &Route, options: &AlignOptions) -> Result<Alignment, Apart> {
    let AlongPlace {
        offset_m,
        by,
        turned,
    } = along(before, after, options)?;
    let named = if by == By::Names {
        named_places(before, after, turned)
    } else {
        Vec::new()
    };
    // Where the later book lies by its first and last named place, else by one offset.
    let shift = |place: Option<&(f64, f64)>| place.map_or(offset_m, |(b, a)| b - a);
    let (from_m, to_m) = (
        shift(named.first()).max(0.0),
        (shift(named.last()) + length(after)).min(length(before)),
    );
    if to_m - from_m < LEAST_M {
        return Err(Apart::TooLittle(LEAST_M));
    }
    let matched = even(from_m, to_m)
        .into_iter()
        .map(|before_m| Matched {
            before_m,
            after_m: before_m - offset_at(&named, before_m).unwrap_or(offset_m),
            side_m: None,
            up_m: 0.0,
        })
        .collect();
    let taped = math::hypot(before.station_sd_m, after.station_sd_m);
    let sd = match by {
        // Two books lie on each other to a decimetre or two; a walk's heights are too soft for that.
        By::Shape if wanders(before) || wanders(after) => 3.0,
        By::Shape => taped.max(0.15),
        By::Said | By::Names => taped.max(0.5),
        _ => taped,
    };
    Ok(Alignment {
        by,
        from_m,
        to_m,
        matched,
        turned,
        station_sd_m: sd,
        ..Alignment::none()
    })
}

/// How far the earlier station lies down the line of the later one, between named places; `None` where there are none.
fn offset_at(named: &[(f64, f64)], before_m: f64) -> Option<f64> {
    if named.is_empty() {
        return None;
    }
    let (at, off): (Vec<f64>, Vec<f64>) = named.iter().map(|(b, a)| (*b, b - a)).unzip();
    Some(interpolate(&at, &off, before_m))
}

impl Alignment {
    /// Whether a station stands on ground that was said not to have moved; all of it where nothing was said.
    pub(super) fn is_stable(&self, before_m: f64) -> bool {
        let on = |&(a, b): &(f64, f64)| before_m >= a && before_m <= b;
        self.stable_m.is_empty() || self.stable_m.iter().any(on)
    }

    pub(super) fn none() -> Self {
        Self {
            by: By::Ends,
            from_m: 0.0,
            to_m: 0.0,
            matched: Vec::new(),
            motion: None,
            height_offset_m: 0.0,
            height_offset_sd_m: 0.0,
            height_drift: 0.0,
            height_spread_m: 0.0,
            turned: false,
            station_sd_m: 0.0,
            stable_m: Vec::new(),
        }
    }

    /// Station of the later survey at a station of the earlier one, m.
    pub fn after_m(&self, before_m: f64) -> f64 {
        let at: Vec<f64> = self.matched.iter().map(|m| m.before_m).collect();
        let to: Vec<f64> = self.matched.iter().map(|m| m.after_m).collect();
        interpolate(&at, &to, before_m)
    }
}
