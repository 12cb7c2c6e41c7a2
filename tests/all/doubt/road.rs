//! The whole road, from raw fixes: cleaned, brought onto one line, judged.

use super::calibrate::is_full;
use super::tally::{BORE_M, Tally, reaches};
use crate::invented::{Setting, Walk};
use std::fmt::Write as _;
use steadyfall::profile::{Bore, judge};
use steadyfall::route::heights::Walked;

/// What came of the whole road for walks of one number of passes.
#[derive(Debug, Default)]
pub(super) struct Road {
    pub(super) tally: Tally,
    pub(super) length_in: usize,
    pub(super) bias: f64,
    pub(super) worst: f64,
}

/// The whole road: raw fixes with errors of position, spikes and stops, cleaned and put on one line. Length, drop and claims against the truth.
pub(super) fn road(passes: usize, walks: u64) -> Road {
    use steadyfall::route::{Route, RouteOptions};
    let setting = Setting {
        passes,
        spikes: 0.005,
        ..Setting::default()
    };
    let mut out = Road::default();
    for seed in 500_000..500_000 + walks {
        let walk = Walk::new(&setting, seed);
        let route = Route::from(&[walk.reading()], &RouteOptions::default())
            .unwrap_or_else(|e| panic!("walk {seed}: {e}"));
        let length = route.nodes.last().unwrap().station_m;
        let truth = walk.truth.length_m();
        let off = length / truth - 1.0;
        out.bias += off / walks as f64;
        out.worst = out.worst.max(off.abs());
        out.length_in += usize::from((length - truth).abs() <= 2.0 * route.length_sd_m);
        let profile = judge(
            &route.heights,
            &[Bore {
                to_m: length,
                bore_m: BORE_M,
            }],
        );
        let walked = Walked {
            heights: route.heights,
            ..Walked::default()
        };
        out.tally.add(&walk, &walked, &profile);
    }
    out
}

/// Walks of one, two and four passes on the whole road; what is wrong is added, and the table's rows are given.
pub(super) fn roads(walks: u64, wrong: &mut Vec<String>) -> String {
    let mut rows = String::new();
    for passes in [1, 2, 4] {
        let road = road(passes, walks);
        let tally = &road.tally;
        let row = format!(
            "{} {:+.2} | {:.1} | {:.0} |",
            tally.row(&format!(
                "whole road, {passes} {}",
                if passes == 1 { "walk" } else { "walks" }
            )),
            100.0 * road.bias,
            100.0 * road.worst,
            Tally::share(road.length_in, tally.walks)
        );
        println!("{row}");
        let _ = writeln!(rows, "{row}");
        for (what, hits, n, bar) in [
            ("claims true", tally.true_claims, tally.claims, 0.9),
            ("drop within 2 sd", tally.drop_in, tally.walks, 0.9),
            ("length within 2 sd", road.length_in, tally.walks, 0.9),
            (
                "humps not said to fall",
                tally.humps - tally.missed,
                tally.humps,
                if passes == 1 { 0.97 } else { 0.98 },
            ),
        ] {
            reaches(&format!("road, {passes}: {what}"), hits, n, bar, wrong);
        }
    }
    rows
}

/// Noise in plan must not lengthen the pipe: mean bias of the length in plan by passes and plan error.
pub(super) fn lengths(walks: u64, wrong: &mut Vec<String>) -> String {
    use steadyfall::route::plan_of_walks;
    let mut rows = String::new();
    for passes in [1, 2, 4] {
        let _ = write!(rows, "| {passes} |");
        for plan in [0.05, 1.0, 2.0, 3.0] {
            let setting = Setting {
                passes,
                plan_m: (plan, plan),
                spikes: 0.005,
                ..Setting::default()
            };
            let off: Vec<f64> = (500_000..500_000 + walks)
                .map(|seed| {
                    let walk = Walk::new(&setting, seed);
                    let plan = plan_of_walks(&[walk.reading()]).unwrap();
                    plan.length_m / walk.truth.plan_length_m() - 1.0
                })
                .collect();
            let n = off.len() as f64;
            let bias = off.iter().sum::<f64>() / n;
            let sd = (off.iter().map(|o| (o - bias).powi(2)).sum::<f64>() / n).sqrt();
            let _ = write!(rows, " {:+.2} ({:.2}) |", 100.0 * bias, 100.0 * sd);
            // On few walks chance alone adds to it.
            if bias.abs() > 0.003 + 2.6 * sd / n.sqrt() * f64::from(u8::from(walks < 150)) {
                wrong.push(format!(
                    "length of {passes} walks, plan error {plan} m: off by {:.2} %",
                    100.0 * bias
                ));
            }
        }
        rows.push('\n');
    }
    rows
}

#[test]
#[cfg_attr(debug_assertions, ignore = "needs --release: some dozen walks")]
fn the_whole_road_keeps_length_drop_and_claims() {
    let mut wrong = Vec::new();
    // The full run is part of the page's.
    if !is_full() {
        roads(15, &mut wrong);
        println!("{}", lengths(20, &mut wrong));
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
