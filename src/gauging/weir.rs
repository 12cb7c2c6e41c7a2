//! Head over a thin-plate weir: V-notch and rectangular.

use super::{Note, mean};
use crate::numeric::math;

/// Coefficient and correction of head of a fully contracted V-notch, by angle in degrees: the coefficient, and what is added to the head, m.
///
/// Source: the curves of Kindsvater and Shen, as Kulin and Compton, NBS Special Publication 421 (1975), ISO 1438 and Bos (1989) print them; read from memory.
const V: [(f64, f64, f64); 7] = [
    (20.0, 0.592, 0.0027),
    (30.0, 0.586, 0.0021),
    (45.0, 0.580, 0.0015),
    (60.0, 0.577, 0.001_15),
    (75.0, 0.576, 0.001),
    (90.0, 0.578, 0.000_85),
    (100.0, 0.581, 0.000_85),
];

/// Coefficients of a rectangular notch by width over channel: Ce = a + b h/P, and what is added to the width, m.
///
/// Source: Kindsvater and Carter (1957), as ISO 1438 and Bos (1989) print them; read from memory.
const NOTCH: [(f64, f64, f64, f64); 7] = [
    (0.0, 0.587, -0.0023, 0.0024),
    (0.2, 0.589, -0.0018, 0.0024),
    (0.4, 0.591, 0.0058, 0.0027),
    (0.6, 0.593, 0.018, 0.0036),
    (0.8, 0.597, 0.045, 0.0042),
    (0.9, 0.599, 0.064, 0.0037),
    (1.0, 0.602, 0.075, -0.0009),
];

/// What is added to the head of a rectangular notch, m (the same).
const NOTCH_HEAD_M: f64 = 0.001;

/// Standard deviation of the coefficients, as a share: 1 to 2 % (95 %) in the laboratory; twice that for a plate in a stream (own judgement).
const COEFFICIENT_SD: f64 = 0.015;

/// Standard deviation of a head read on a staff, and of where its zero is, m together (own judgement).
const HEAD_SD_M: f64 = 0.0015;

/// Standard deviation that a head outside the formula's range adds, and one of an unknown channel, as shares (own judgement).
const OUTSIDE_SD: f64 = 0.05;
const UNBOUNDED_SD: f64 = 0.02;

/// What the water falls over.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Plate {
    /// A V of an angle, rad.
    V {
        /// Whole angle of the notch, rad.
        angle_rad: f64,
    },
    /// A level crest.
    Level {
        /// Width of the crest, m.
        width_m: f64,
    },
}

/// A plate in its channel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weir {
    /// The notch.
    pub plate: Plate,
    /// Width of the channel above it, m, where given.
    pub channel_m: Option<f64>,
    /// Height of the crest or of the notch's point over the bed above it, m, where given.
    pub crest_m: Option<f64>,
}

/// Flow over a weir at a head, m3/s.
///
/// V-notch: Q = 8/15 Ce sqrt(2g) tan(a/2) (h + kh)^5/2. Rectangular: Q = 2/3 Ce sqrt(2g) (b + kb)(h + 0.001)^3/2.
/// The head is that of the still water four heads above the plate, over the notch's point or the crest; the nappe is free, with air under it.
pub fn flow_m3_per_s(weir: &Weir, head_m: f64, gravity_m_per_s2: f64) -> f64 {
    let root = (2.0 * gravity_m_per_s2).sqrt();
    match weir.plate {
        Plate::V { angle_rad } => {
            let (c, k) = of_angle(angle_rad.to_degrees());
            8.0 / 15.0 * c * root * math::tan(0.5 * angle_rad) * math::powf(head_m + k, 2.5)
        }
        Plate::Level { width_m } => {
            let (c, k) = of_width(weir, width_m, head_m);
            2.0 / 3.0 * c * root * (width_m + k) * math::powf(head_m + NOTCH_HEAD_M, 1.5)
        }
    }
}

fn of_angle(angle_deg: f64) -> (f64, f64) {
    let at = |x: f64, (a0, c0, k0): (f64, f64, f64), (a1, c1, k1): (f64, f64, f64)| {
        let share = ((x - a0) / (a1 - a0)).clamp(0.0, 1.0);
        (c0 + share * (c1 - c0), k0 + share * (k1 - k0))
    };
    let mut found = (0.578, 0.000_85);
    for (low, high) in V.iter().zip(V.iter().skip(1)) {
        if angle_deg >= low.0 {
            found = at(angle_deg, *low, *high);
        } else if low.0 <= 20.0 {
            return (low.1, low.2);
        }
    }
    found
}

fn of_width(weir: &Weir, width_m: f64, head_m: f64) -> (f64, f64) {
    let share = weir.channel_m.map_or(0.0, |c| (width_m / c).min(1.0));
    let over_crest = weir.crest_m.map_or(0.0, |p| head_m / p);
    let mut found = (0.587, 0.0024);
    for (low, high) in NOTCH.iter().zip(NOTCH.iter().skip(1)) {
        if share >= low.0 {
            let between = ((share - low.0) / (high.0 - low.0)).clamp(0.0, 1.0);
            let mix = |a: f64, b: f64| a + between * (b - a);
            found = (
                mix(low.1, high.1) + mix(low.2, high.2) * over_crest,
                mix(low.3, high.3),
            );
        }
    }
    found
}

/// Whether a head lies where the formula was measured.
///
/// V-notch: 20 to 100 degrees, head 0.05 m to 0.38 m and at most 0.4 of the crest's height, which is at least 0.45 m, and 0.2 of the channel's width (fully contracted). Rectangular: head 0.03 m or more and at most twice the crest's height, width 0.15 m or more, crest 0.1 m or more (Bos 1989, from memory).
pub fn is_inside(weir: &Weir, head_m: f64) -> bool {
    let under = |most: f64, of: Option<f64>| of.is_none_or(|m| head_m <= most * m);
    match weir.plate {
        Plate::V { angle_rad } => {
            (20.0 - 1e-9..=100.0 + 1e-9).contains(&angle_rad.to_degrees())
                && (0.05..=0.38).contains(&head_m)
                && under(0.4, weir.crest_m)
                && under(0.2, weir.channel_m)
        }
        Plate::Level { width_m } => {
            head_m >= 0.03
                && width_m >= 0.15
                && under(2.0, weir.crest_m)
                && weir.crest_m.is_none_or(|p| p >= 0.1)
        }
    }
}

/// Flow by some heads over a weir on one day, m3/s, with its standard deviation and what makes it doubtful; `None` without heads.
pub fn flow(weir: &Weir, heads_m: &[f64], gravity_m_per_s2: f64) -> Option<(f64, f64, Vec<Note>)> {
    let flows: Vec<f64> = heads_m
        .iter()
        .map(|h| flow_m3_per_s(weir, *h, gravity_m_per_s2))
        .collect();
    let (flow, spread) = mean(&flows)?;
    let (head_m, _) = mean(heads_m)?;
    let power = match weir.plate {
        Plate::V { .. } => 2.5,
        Plate::Level { .. } => 1.5,
    };
    let mut shares = vec![COEFFICIENT_SD, power * HEAD_SD_M / head_m];
    let mut notes = Vec::new();
    if heads_m.len() == 1 {
        notes.push(Note::OneReading);
    }
    if !heads_m.iter().all(|h| is_inside(weir, *h)) {
        notes.push(Note::WeirOutside);
        shares.push(OUTSIDE_SD);
    }
    if weir.channel_m.is_none() || weir.crest_m.is_none() {
        notes.push(Note::WeirUnbounded);
        shares.push(UNBOUNDED_SD);
    }
    let share = shares.into_iter().fold(0.0, math::hypot);
    let sd = math::hypot(share * flow, spread.unwrap_or(0.0));
    Some((flow, sd, notes))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        /// A higher head never gives less flow, and a wider notch never less.
        #[test]
        fn more_head_more_flow(
            angle_deg in 20.0f64..100.0,
            width_m in 0.1f64..3.0,
            room in 0.0f64..2.0,
            crest_m in 0.1f64..1.0,
            head_m in 0.01f64..0.6,
            more in 0.001f64..0.2,
        ) {
            let v = Weir { plate: Plate::V { angle_rad: angle_deg.to_radians() }, channel_m: None, crest_m: None };
            let level = Weir { plate: Plate::Level { width_m }, channel_m: Some(width_m + room), crest_m: Some(crest_m) };
            for weir in [v, level] {
                let here = flow_m3_per_s(&weir, head_m, 9.81);
                prop_assert!(here > 0.0);
                prop_assert!(flow_m3_per_s(&weir, head_m + more, 9.81) > here);
            }
        }

        /// Whatever the readings, the doubt is there and no figure is missing.
        #[test]
        fn every_measurement_has_its_doubt(heads in proptest::collection::vec(0.005f64..1.0, 1..8)) {
            let weir = Weir { plate: Plate::V { angle_rad: 1.5 }, channel_m: None, crest_m: None };
            let (flow, sd, _) = super::flow(&weir, &heads, 9.81).unwrap();
            prop_assert!(flow.is_finite() && flow > 0.0 && sd.is_finite() && sd > 0.02 * flow);
        }
    }
}
