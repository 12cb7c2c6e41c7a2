//! What came of invented walks, held against their truth.

use crate::invented::{Setting, Walk};
use std::fmt::Write as _;
use steadyfall::profile::{Bore, Profile, Verdict, judge};
use steadyfall::route::heights::{HeightsOptions, Walked, walked};

pub(super) const BORE_M: f64 = 0.1;
pub(super) const HALF_M: f64 = 0.5 * BORE_M;
/// A listed reach is true if a true climb lies within this distance, m.
pub(super) const NEAR_M: f64 = 10.0;

/// What came of one kind of walk.
#[derive(Debug, Default, Clone)]
pub(super) struct Tally {
    pub(super) walks: usize,
    pub(super) claims: usize,
    pub(super) true_claims: usize,
    /// Humps of 0.3 m and more; those said to fall.
    pub(super) humps: usize,
    pub(super) missed: usize,
    /// By band of rise: number, found ("climbs").
    pub(super) bands: [(usize, usize); 5],
    /// By tenth of the claimed probability: number, sum of claims, true.
    pub(super) bins: [(usize, f64, usize); 10],
    pub(super) drop_in: usize,
    pub(super) drop_sd: f64,
    pub(super) clean: usize,
    pub(super) clean_told: usize,
    pub(super) anywhere: [(usize, f64, usize); 10],
}

pub(super) const BANDS: [f64; 6] = [0.3, 0.6, 1.0, 1.5, 2.5, 99.0];

pub(super) fn stations() -> Vec<f64> {
    (0..=300).map(|i| 2.0 * f64::from(i)).collect()
}

pub(super) fn judged(walk: &Walk, terrain: bool) -> (Walked, Profile) {
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
    pub(super) fn add(&mut self, walk: &Walk, out: &Walked, profile: &Profile) {
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

    pub(super) fn share(a: usize, b: usize) -> f64 {
        100.0 * a as f64 / b.max(1) as f64
    }

    pub(super) fn row(&self, name: &str) -> String {
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

pub(super) fn bins(bins: &[(usize, f64, usize); 10]) -> String {
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

pub(super) fn run(setting: &Setting, seeds: std::ops::Range<u64>) -> Tally {
    let mut tally = Tally::default();
    for seed in seeds {
        let walk = Walk::new(setting, seed);
        let (out, profile) = judged(&walk, setting.terrain);
        tally.add(&walk, &out, &profile);
    }
    tally
}

impl Tally {
    pub(super) fn join(&mut self, other: &Self) {
        self.walks += other.walks;
        self.claims += other.claims;
        self.true_claims += other.true_claims;
        self.humps += other.humps;
        self.missed += other.missed;
        self.drop_in += other.drop_in;
        self.drop_sd += other.drop_sd;
        self.clean += other.clean;
        self.clean_told += other.clean_told;
        for (a, b) in self.bands.iter_mut().zip(&other.bands) {
            a.0 += b.0;
            a.1 += b.1;
        }
        for (mine, theirs) in [
            (&mut self.bins, &other.bins),
            (&mut self.anywhere, &other.anywhere),
        ] {
            for (a, b) in mine.iter_mut().zip(theirs) {
                a.0 += b.0;
                a.1 += b.1;
                a.2 += b.2;
            }
        }
    }
}

pub(super) const HEAD: &str = "| walks | number | \"climbs\" true, % (claims) | climbs of 0.3 m and more said to fall, % (number) | found of 0.3 to 0.6 m, % | 0.6 to 1.0 m | 1.0 to 1.5 m | 1.5 to 2.5 m | 2.5 m and more | drop within 2 sd, % | its sd, m | climb-free lines with a \"cannot tell\", % |\n|---|---|---|---|---|---|---|---|---|---|---|---|\n";

/// A share must reach its bar; on few walks it may fall short by what chance alone does in 1 of 200 runs.
pub(super) fn reaches(what: &str, hits: usize, n: usize, bar: f64, wrong: &mut Vec<String>) {
    if n == 0 {
        return;
    }
    let share = hits as f64 / n as f64;
    let slack = 2.6 * (bar * (1.0 - bar) / n as f64).sqrt();
    if share < bar - slack {
        wrong.push(format!("{what}: {share:.3} of {n}, bar {bar}"));
    }
}
