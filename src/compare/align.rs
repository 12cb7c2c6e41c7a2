use super::alignment::{AlignOptions, Alignment, Apart, By, LEAST_M, Matched, even, length};
use super::along::{AlongPlace, along, named_places};
use super::offset::{height_offset, wanders};
use super::plan::by_plan;
use super::shape::PlanShape;
use crate::numeric::math;
use crate::numeric::series::interpolate;
use crate::route::Route;

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
