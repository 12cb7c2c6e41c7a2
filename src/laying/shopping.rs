//! What to buy, row by row, as typed figures.

use super::bought::gasket_rows;
use super::elbow::elbow_rows;
use super::intake::intake_rows;
use super::pieces::JointAt;
use super::result::Laying;
use super::shopping_row::{
    CONCRETE_KG_PER_M3, Count, ShoppingItem, ShoppingRow, Why, row, spec_at,
};
use super::trench::{trench_rows, weight_rows};
use crate::air::Air;
use crate::anchor::{Anchor, Hold};
use crate::capacity::{BendMethod, elbows};
use crate::line::{Appurtenance, Fitting, Line, Reaches};
use crate::pipe::{Device, FittingKind, Joint, MarkKind, WorkingState, joint_limit};
use std::collections::BTreeMap;

/// Spare sticks: one in so many, at least one (common practice, no source). Coils carry their waste already.
const SPARE_STICKS: f64 = 50.0;

/// Spare couplers: one in so many, at least one (common practice, no source).
const SPARE_COUPLERS: f64 = 20.0;

/// Concrete lost in mixing and uneven ground (common practice, no source).
const CONCRETE_LOST: f64 = 0.1;

pub(super) fn shopping(
    line: &Line,
    plan: &Laying,
    air: Option<&Air>,
    anchor: Option<&Anchor>,
) -> Vec<ShoppingRow> {
    let reaches = &line.reaches;
    let mut rows = pipe_rows(reaches, plan);
    let joints = joint_rows(reaches, plan);
    let gaskets = gasket_rows(reaches, &joints);
    rows.extend(joints);
    rows.extend(gaskets);
    rows.extend(elbow_rows(reaches, plan));
    rows.extend(reducer_rows(reaches, &line.fittings));
    rows.extend(declared_rows(line));
    rows.extend(intake_rows(reaches, &line.works));
    rows.extend(trench_rows(reaches, &line.environment));
    if let Some(air) = air {
        rows.extend(air_rows(reaches, air));
    }
    if let Some(anchor) = anchor {
        rows.extend(hold_rows(reaches, anchor));
    }
    rows
}

/// A row for every reach and length that is bought for it, longest first.
fn pipe_rows(reaches: &Reaches, plan: &Laying) -> Vec<ShoppingRow> {
    let mut rows = Vec::new();
    for (index, reach) in reaches.iter().enumerate() {
        // What a bought length leaves stands on the last piece cut from it.
        let mut bought: BTreeMap<usize, (f64, f64, bool)> = BTreeMap::new();
        for piece in plan.pieces.iter().filter(|p| p.reach == index) {
            if let (Some(number), Some(each_m)) = (piece.cut_from, piece.bought_m) {
                bought.insert(number, (each_m, piece.left_m, piece.coil));
            }
        }
        let mut all: Vec<(f64, f64, bool)> = bought.into_values().collect();
        all.sort_by(|a, b| b.0.total_cmp(&a.0));
        for alike in all.chunk_by(|a, b| a.0 == b.0) {
            let Some(&(each_m, _, coil)) = alike.first() else {
                continue;
            };
            let count = alike.len() as f64;
            let spare = if coil {
                0.0
            } else {
                (count / SPARE_STICKS).ceil()
            };
            let bought_m = (count + spare) * each_m;
            rows.push(ShoppingRow {
                count,
                spare,
                each_m: Some(each_m),
                left_m: Some(alike.iter().map(|b| b.1).sum()),
                bore_m: Some(reach.pipe.inner_diameter_m),
                mass_kg: Some(bought_m * reach.pipe.mass_kg_per_m),
                price: reach.price_per_m.map(|p| p * bought_m),
                spec: reach.pipe.spec.clone(),
                rating_pa: reach.pipe.rating_pa,
                ..row(
                    reaches,
                    if coil {
                        ShoppingItem::Coil
                    } else {
                        ShoppingItem::Stick
                    },
                    vec![reach.from_m],
                    Why::Planned,
                )
            });
        }
    }
    rows
}

/// Joints that are made in the field, by kind and pipe: both ends of a fitting or an elbow are two.
fn joint_rows(reaches: &Reaches, plan: &Laying) -> Vec<ShoppingRow> {
    let mut kinds: BTreeMap<(Joint, String), Vec<f64>> = BTreeMap::new();
    for joint in plan.joints.iter().filter(|j| j.at != JointAt::Stands) {
        let laid_already = reaches
            .iter()
            .all(|r| r.is_laid || joint.station_m < r.from_m || joint.station_m > r.to_m);
        if laid_already {
            continue;
        }
        let times = match joint.at {
            JointAt::Fitting(_) => 2,
            // One more than elbows are set one after the other.
            JointAt::Elbow(bend) => match plan.bends.get(bend).map(|b| b.way) {
                Some(BendMethod::Elbow(turn_rad)) => elbows(turn_rad).len() + 1,
                _ => 2,
            },
            _ => 1,
        };
        let at = kinds
            .entry((joint.joint, spec_at(reaches, joint.station_m).0))
            .or_default();
        at.extend(std::iter::repeat_n(joint.station_m, times));
    }
    kinds
        .into_iter()
        .map(|((joint, spec), stations)| {
            let bought = !matches!(
                joint,
                Joint::Fused | Joint::Welded | Joint::Solvent | Joint::Ring
            );
            let spare = if bought {
                (stations.len() as f64 / SPARE_COUPLERS).ceil()
            } else {
                0.0
            };
            let takes_pa = stations.first().and_then(|&s| takes_pa(reaches, joint, s));
            ShoppingRow {
                spare,
                spec,
                rating_pa: takes_pa,
                ..row(reaches, ShoppingItem::Joint(joint), stations, Why::Laying)
            }
        })
        .collect()
}

/// What a joint of that kind takes on the pipe at a station, Pa: the user's figure, else its kind's.
fn takes_pa(reaches: &Reaches, joint: Joint, station_m: f64) -> Option<f64> {
    let reach = reaches.at(station_m)?;
    let pipe_pa = reach.pipe.rating_pa?;
    let stated = reach.joint_rating_pa.filter(|_| reach.joint == joint);
    Some(stated.map_or_else(
        || joint_limit(joint, &reach.pipe).rating_pa(pipe_pa),
        |pa| pa.min(pipe_pa),
    ))
}

/// Changes of size that the site file names no fitting for.
fn reducer_rows(reaches: &Reaches, fittings: &[Fitting]) -> Vec<ShoppingRow> {
    let named = |station_m: f64| {
        fittings.iter().any(|f| {
            matches!(f.kind, FittingKind::Reducer | FittingKind::Enlargement)
                && (f.station_m - station_m).abs() <= 1.0
        })
    };
    reaches
        .windows(2)
        .filter_map(|w| match w {
            [upper, lower]
                if (upper.pipe.outer_diameter_m - lower.pipe.outer_diameter_m).abs() > 1e-4
                    && !(upper.is_laid && lower.is_laid)
                    && !named(lower.from_m) =>
            {
                Some(ShoppingRow {
                    bore_m: Some(lower.pipe.inner_diameter_m),
                    ..row(
                        reaches,
                        ShoppingItem::Reducer,
                        vec![lower.from_m],
                        Why::Laying,
                    )
                })
            }
            _ => None,
        })
        .collect()
}

/// Fittings on planned pipe, and marks the site file plans.
fn declared_rows(line: &Line) -> Vec<ShoppingRow> {
    let planned = |station_m: f64| line.reaches.at(station_m).is_some_and(|r| !r.is_laid);
    let mut rows: Vec<ShoppingRow> = line
        .fittings
        .iter()
        .filter(|f| planned(f.station_m))
        .map(|f| ShoppingRow {
            bore_m: f.bore_m.or_else(|| {
                line.reaches
                    .at(f.station_m)
                    .map(|r| r.pipe.inner_diameter_m)
            }),
            ..row(
                &line.reaches,
                ShoppingItem::Fitting(f.kind),
                vec![f.station_m],
                Why::Declared,
            )
        })
        .collect();
    rows.extend(
        line.stands
            .iter()
            .filter(|s| s.state == WorkingState::Planned)
            .filter_map(|stand| {
                Some(ShoppingRow {
                    bore_m: stand.bore_m,
                    force_n: stand.strength_n,
                    ..row(
                        &line.reaches,
                        item_of(stand)?,
                        vec![stand.station_m],
                        Why::Declared,
                    )
                })
            }),
    );
    rows.sort_by(|a, b| {
        a.stations_m
            .first()
            .copied()
            .unwrap_or(0.0)
            .total_cmp(&b.stations_m.first().copied().unwrap_or(0.0))
    });
    rows
}

fn item_of(stand: &Appurtenance) -> Option<ShoppingItem> {
    Some(match stand.kind {
        MarkKind::Vent => ShoppingItem::Vent(stand.device.unwrap_or(Device::Standpipe)),
        MarkKind::Drain => ShoppingItem::Drain,
        MarkKind::Anchor => ShoppingItem::Anchor,
        MarkKind::Strap => ShoppingItem::Strap,
        MarkKind::Support => ShoppingItem::Support,
        MarkKind::Guide => ShoppingItem::Guide,
        MarkKind::Relief => ShoppingItem::Relief,
        MarkKind::ExpansionJoint => ShoppingItem::ExpansionJoint,
        MarkKind::Block
        | MarkKind::Joint
        | MarkKind::Elbow
        | MarkKind::Loop
        | MarkKind::Reducer
        | MarkKind::Stake => return None,
    })
}

fn air_rows(reaches: &Reaches, air: &Air) -> Vec<ShoppingRow> {
    let vents = air
        .vents
        .iter()
        .filter(|v| v.stands.is_none())
        .map(|v| ShoppingRow {
            bore_m: Some(v.bore_m),
            ..row(
                reaches,
                ShoppingItem::Vent(v.device),
                vec![v.station_m],
                Why::Air,
            )
        });
    let drains = air
        .drains
        .iter()
        .filter(|d| d.stands.is_none() && d.to_come.is_none())
        .map(|d| ShoppingRow {
            bore_m: Some(d.bore_m),
            ..row(reaches, ShoppingItem::Drain, vec![d.station_m], Why::Air)
        });
    vents.chain(drains).collect()
}

/// A row holds what asks for at least this share of its largest force: a few strengths are bought, not one for each place and not all of the strongest.
const SAME_STRENGTH: f64 = 0.5;

/// Anchors, straps, supports and guides by kind, pipe and strength, each row with its largest force; the concrete of all blocks in one row.
fn hold_rows(reaches: &Reaches, anchor: &Anchor) -> Vec<ShoppingRow> {
    let wanted = || anchor.holds.iter().filter(|h| h.is_to_buy());
    let mut rows = Vec::new();
    for (kind, item) in [
        (MarkKind::Anchor, ShoppingItem::Anchor),
        (MarkKind::Strap, ShoppingItem::Strap),
        (MarkKind::Support, ShoppingItem::Support),
        (MarkKind::Guide, ShoppingItem::Guide),
        (MarkKind::ExpansionJoint, ShoppingItem::ExpansionJoint),
    ] {
        let mut left: Vec<&Hold> = wanted().filter(|h| h.kind == kind).collect();
        left.sort_by(|a, b| {
            let weaker = b.force_n.total_cmp(&a.force_n);
            weaker.then(a.station_m.total_cmp(&b.station_m))
        });
        while let Some(strongest) = left.first().copied() {
            let pipe = |h: &Hold| reaches.at(h.station_m).map(|r| &r.pipe.spec);
            let (same, others): (Vec<&Hold>, Vec<&Hold>) = left.into_iter().partition(|h| {
                let is_alike =
                    h.force_n >= SAME_STRENGTH * strongest.force_n && pipe(h) == pipe(strongest);
                is_alike || std::ptr::eq(*h, strongest)
            });
            left = others;
            let mut stations: Vec<f64> = same.iter().map(|h| h.station_m).collect();
            stations.sort_by(f64::total_cmp);
            rows.push(ShoppingRow {
                force_n: (strongest.force_n > 0.0).then_some(strongest.force_n),
                ..row(reaches, item.clone(), stations, Why::Forces)
            });
        }
    }
    let mut stations: Vec<f64> = wanted()
        .filter(|h| h.volume_m3.is_some())
        .map(|h| h.station_m)
        .collect();
    let volume: f64 = wanted().filter_map(|h| h.volume_m3).sum();
    if volume > 0.0 {
        stations.sort_by(f64::total_cmp);
        let spare = CONCRETE_LOST * volume;
        rows.push(ShoppingRow {
            count: volume,
            unit: Count::CubicMetres,
            spare,
            mass_kg: Some((volume + spare) * CONCRETE_KG_PER_M3),
            ..row(reaches, ShoppingItem::Concrete, stations, Why::Forces)
        });
    }
    rows.extend(weight_rows(reaches, anchor));
    rows
}
