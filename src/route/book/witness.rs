use super::course::BookLine;
use crate::heights::BookNode;
use crate::route::{Errs, Witness, WitnessLook};

/// The book as a witness: what was surveyed, with the errors that its points share.
pub(super) fn of(course: &BookLine, points: &[BookNode], plan_sd_m: f64) -> Witness {
    let seen: Vec<usize> = (0..course.rows.len())
        .filter(|&i| course.rows.get(i).is_some_and(|r| r.surveyed))
        .collect();
    let has_plan = course.rows.iter().all(|r| r.plan.is_some());
    Witness {
        looks: seen
            .iter()
            .filter_map(|&i| points.get(i))
            .map(|p| WitnessLook {
                station_m: p.station_m,
                clock_s: 0.0,
                height_m: p.height_m,
                sd_m: p.sd_m,
                lasts_s: 0.0,
                left_m: has_plan.then_some(0.0),
            })
            .collect(),
        errs: Errs {
            shared: course
                .factors
                .iter()
                .map(|f| {
                    seen.iter()
                        .map(|&i| f.get(i).copied().unwrap_or(0.0))
                        .collect()
                })
                .collect(),
            plan_sd_m,
            ..Errs::default()
        },
    }
}
