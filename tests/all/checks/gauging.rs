//! Checkers for tests/checks/gauging.csv.

use crate::ledger::{Answer, Checker, Inputs};
use steadyfall::gauging::bucket::{self, BucketFilling};
use steadyfall::gauging::float::{Sounding, area_m2, factor};
use steadyfall::gauging::salt::{self, WaveReading};
use steadyfall::gauging::weir::{Plate, Weir, flow_m3_per_s};

const FOOT: f64 = 0.3048;
const G: f64 = 9.806_65;

/// The quantities of this topic.
pub fn checkers() -> Vec<Checker> {
    vec![
        of("flow over a V-notch", "gauging::weir::flow_m3_per_s", |i| {
            let plate = Plate::V {
                angle_rad: i.number("angle_deg")?.to_radians(),
            };
            over(plate, None, None, i)
        }),
        of(
            "flow over a rectangular notch",
            "gauging::weir::flow_m3_per_s",
            |i| {
                let plate = Plate::Level {
                    width_m: i.number("width_ft")? * FOOT,
                };
                let (channel, crest) = (i.number("channel_ft")?, i.number("crest_ft")?);
                over(plate, Some(channel * FOOT), Some(crest * FOOT), i)
            },
        ),
        of("factor of a float", "gauging::float::factor", |i| {
            Ok(factor(i.number("depth_ft")? * FOOT).0.into())
        }),
        of("area between soundings", "gauging::float::area_m2", |i| {
            let all: Vec<Sounding> = i
                .numbers("across")?
                .into_iter()
                .zip(i.numbers("depth")?)
                .map(|(across_m, depth_m)| Sounding { across_m, depth_m })
                .collect();
            Ok(area_m2(&all).into())
        }),
        of("salt dilution", "gauging::salt::flow", |i| {
            let step_s = i.number("step_s")?;
            let all: Vec<WaveReading> = (0_u32..)
                .zip(i.numbers("conductivity")?)
                .map(|(n, conductivity)| WaveReading {
                    time_s: f64::from(n) * step_s,
                    conductivity,
                })
                .collect();
            let own = Some(i.number("factor")?);
            let flow = salt::flow(1e3 * i.number("salt_g")?, &all, own).ok_or("no wave")?;
            Ok((1e3 * flow.0).into())
        }),
        of("salt for a microsiemens", "gauging::salt::FACTOR", |_| {
            Ok(salt::FACTOR.0.into())
        }),
        of("bucket", "gauging::bucket::flow", |i| {
            let filling = BucketFilling {
                volume_m3: 1e-3 * i.number("volume_l")?,
                time_s: i.number("time_s")?,
            };
            let flow = bucket::flow(&[filling; 3]).ok_or("no filling")?;
            Ok((1e3 * flow.0).into())
        }),
    ]
}

fn over(
    plate: Plate,
    channel_m: Option<f64>,
    crest_m: Option<f64>,
    i: &Inputs,
) -> Result<Answer, String> {
    let weir = Weir {
        plate,
        channel_m,
        crest_m,
    };
    let flow = flow_m3_per_s(&weir, i.number("head_ft")? * FOOT, G);
    Ok((flow / FOOT.powi(3)).into())
}

fn of(
    quantity: &'static str,
    of: &'static str,
    work: fn(&Inputs) -> Result<Answer, String>,
) -> Checker {
    Checker { quantity, of, work }
}
