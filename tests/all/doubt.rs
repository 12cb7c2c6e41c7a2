//! How well the survey knows how sure it is: invented walks with known truth, also of kinds that the model does not know.
//!
//! `cargo test --release --test all doubt` runs a tenth; STEADYFALL_CALIBRATE=full runs all of it and writes docs/calibration.md.

use crate::invented::{Setting, Walk};
use std::fmt::Write as _;
use steadyfall::profile::{Bore, Profile, Verdict, judge};
use steadyfall::route::heights::{HeightsOptions, Walked, walked};

const BORE_M: f64 = 0.1;
const HALF_M: f64 = 0.5 * BORE_M;
/// A listed reach is true if a true climb lies within this distance, m.
const NEAR_M: f64 = 10.0;

/// What came of one kind of walk.
#[derive(Debug, Default, Clone)]
struct Tally {
    walks: usize,
    claims: usize,
    true_claims: usize,
    /// Humps of 0.3 m and more; those said to fall.
    humps: usize,
    missed: usize,
    /// By band of rise: number, found ("climbs").
    bands: [(usize, usize); 5],
    /// By tenth of the claimed probability: number, sum of claims, true.
    bins: [(usize, f64, usize); 10],
    drop_in: usize,
    drop_sd: f64,
    clean: usize,
    clean_told: usize,
    anywhere: [(usize, f64, usize); 10],
}

const BANDS: [f64; 6] = [0.3, 0.6, 1.0, 1.5, 2.5, 99.0];

fn stations() -> Vec<f64> {
    (0..=300).map(|i| 2.0 * f64::from(i)).collect()
}

fn judged(walk: &Walk, terrain: bool) -> (Walked, Profile) {
    let options = HeightsOptions {
        seed: 11,
        terrain_model: terrain,
        ..HeightsOptions::default()
    };
    let out = walked(&walk.blocks(), &[], &[], &stations(), &options);
    let profile = judge(
        &out.heights,
        &[Bore {
            to_m: 600.0,
            bore_m: BORE_M,
        }],
    );
    (out, profile)
}

impl Tally {
    fn add(&mut self, walk: &Walk, out: &Walked, profile: &Profile) {
        self.walks += 1;
        let truth = walk.truth.climbs(HALF_M);
        let near = |from: f64, to: f64| {
            truth
                .iter()
                .any(|t| from - NEAR_M <= t.1 && t.0 <= to + NEAR_M)
        };
        for c in &profile.climbs {
            let is = near(c.reach_from_m, c.reach_to_m);
            if c.verdict == Verdict::Climbs {
                self.claims += 1;
                self.true_claims += usize::from(is);
            }
            let bin = &mut self.bins[((c.probability * 10.0) as usize).min(9)];
            bin.0 += 1;
            bin.1 += c.probability;
            bin.2 += usize::from(is);
        }
        for &(from, to, rise) in truth.iter().filter(|t| t.2 >= BANDS[0]) {
            let at = |c: &&steadyfall::profile::Climb| {
                c.reach_from_m - NEAR_M <= to && from <= c.reach_to_m + NEAR_M
            };
            self.humps += 1;
            self.missed += usize::from(!profile.climbs.iter().any(|c| at(&c)));
            let found = profile
                .climbs
                .iter()
                .filter(at)
                .any(|c| c.verdict == Verdict::Climbs);
            let band = BANDS.iter().filter(|b| rise >= **b).count() - 1;
            self.bands[band].0 += 1;
            self.bands[band].1 += usize::from(found);
        }
        if truth.is_empty() {
            self.clean += 1;
            self.clean_told += usize::from(!profile.climbs.is_empty());
        }
        let bin = &mut self.anywhere[((profile.climb_probability * 10.0) as usize).min(9)];
        bin.0 += 1;
        bin.1 += profile.climb_probability;
        bin.2 += usize::from(!truth.is_empty());
        let mean = &out.heights.mean_m;
        let drop = mean[0] - mean[mean.len() - 1];
        let sd = out.heights.drop_sd_m;
        self.drop_sd += sd;
        self.drop_in += usize::from((drop - walk.truth.drop_m()).abs() <= 2.0 * sd);
    }

    fn share(a: usize, b: usize) -> f64 {
        100.0 * a as f64 / b.max(1) as f64
    }

    fn row(&self, name: &str) -> String {
        let mut out = String::new();
        let _ = write!(
            out,
            "| {name} | {} | {:.0} ({}) | {:.1} ({}) |",
            self.walks,
            Self::share(self.true_claims, self.claims),
            self.claims,
            Self::share(self.missed, self.humps),
            self.humps
        );
        for (n, found) in self.bands {
            let _ = write!(out, " {:.0} ({n}) |", Self::share(found, n));
        }
        let _ = write!(
            out,
            " {:.0} | {:.2} | {:.0} ({}) |",
            Self::share(self.drop_in, self.walks),
            self.drop_sd / self.walks.max(1) as f64,
            Self::share(self.clean_told, self.clean),
            self.clean
        );
        out
    }
}

fn bins(bins: &[(usize, f64, usize); 10]) -> String {
    bins.iter()
        .filter(|b| b.0 > 0)
        .map(|(n, claimed, is)| {
            format!(
                "{:.2}/{:.2}({n})",
                claimed / *n as f64,
                *is as f64 / *n as f64
            )
        })
        .collect::<Vec<_>>()
        .join(" ")
}

fn run(setting: &Setting, seeds: std::ops::Range<u64>) -> Tally {
    let mut tally = Tally::default();
    for seed in seeds {
        let walk = Walk::new(setting, seed);
        let (out, profile) = judged(&walk, setting.terrain);
        tally.add(&walk, &out, &profile);
    }
    tally
}

#[test]
#[ignore = "for looking"]
fn look() {
    let n: u64 = std::env::var("N")
        .ok()
        .and_then(|v| v.parse().ok())
        .unwrap_or(30);
    for passes in [1, 2, 4] {
        let setting = Setting {
            passes,
            ..Setting::default()
        };
        let start = std::time::Instant::now();
        let tally = run(&setting, 0..n);
        println!("{}", tally.row(&format!("mix {passes}")));
        println!("{}", bins(&tally.bins));
        println!("{}", bins(&tally.anywhere));
        println!("{:.3} s a walk", start.elapsed().as_secs_f64() / n as f64);
    }
}
