//! What came of invented walks, held against their truth.

use super::bars::share;
use crate::invented::{Setting, Walk};
use std::fmt::Write as _;
use steadyfall::heights::{HeightsOptions, WalkedHeights, walked};
use steadyfall::profile::{Bore, ClimbVerdict, Profile, judge};
use steadyfall::receiver::{Class, Expected};

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
    /// Climb-free lines that were said to climb for certain.
    pub(super) clean_claimed: usize,
    pub(super) anywhere: [(usize, f64, usize); 10],
}

pub(super) const BANDS: [f64; 6] = [0.3, 0.6, 1.0, 1.5, 2.5, 99.0];

pub(super) fn stations() -> Vec<f64> {
    (0..=300).map(|i| 2.0 * f64::from(i)).collect()
}

pub(super) fn judged(walk: &Walk, setting: &Setting) -> (WalkedHeights, Profile) {
    let options = HeightsOptions {
        seed: 11,
        terrain_model: setting.terrain,
        expected: if setting.barometers {
            Expected::of(&[Class::PressureLogs])
        } else {
            Expected::default()
        },
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
    pub(super) fn add(&mut self, walk: &Walk, out: &WalkedHeights, profile: &Profile) {
        self.walks += 1;
        let truth = walk.truth.climbs(HALF_M);
        let near = |from: f64, to: f64| {
            truth
                .iter()
                .any(|t| from - NEAR_M <= t.1 && t.0 <= to + NEAR_M)
        };
        for c in &profile.climbs {
            let is = near(c.reach_from_m, c.reach_to_m);
            if c.verdict == ClimbVerdict::Climbs {
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
                .any(|c| c.verdict == ClimbVerdict::Climbs);
            let band = BANDS.iter().filter(|b| rise >= **b).count() - 1;
            self.bands[band].0 += 1;
            self.bands[band].1 += usize::from(found);
        }
        if truth.is_empty() {
            self.clean += 1;
            self.clean_told += usize::from(!profile.climbs.is_empty());
            let certain = profile
                .climbs
                .iter()
                .any(|c| c.verdict == ClimbVerdict::Climbs);
            self.clean_claimed += usize::from(certain);
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

    pub(super) fn row(&self, name: &str) -> String {
        let mut out = format!(
            "| {name} | {} | {} | {} |",
            self.walks,
            share(self.true_claims, self.claims),
            share(self.missed, self.humps)
        );
        for (n, found) in self.bands {
            let _ = write!(out, " {} |", share(found, n));
        }
        let _ = write!(
            out,
            " {} | {:.2} | {} |",
            share(self.drop_in, self.walks),
            self.drop_sd / self.walks.max(1) as f64,
            share(self.clean_told, self.clean)
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
    for part in side_by_side(seeds, |seeds| {
        let mut tally = Tally::default();
        for seed in seeds {
            let walk = Walk::new(setting, seed);
            let (out, profile) = judged(&walk, setting);
            tally.add(&walk, &out, &profile);
        }
        tally
    }) {
        tally.join(&part);
    }
    tally
}

/// Works through seeds in parts side by side; what comes of the parts stands in their order, so that nothing depends on how many run at once.
pub(super) fn side_by_side<T: Send>(
    seeds: std::ops::Range<u64>,
    work: impl Fn(std::ops::Range<u64>) -> T + Sync,
) -> Vec<T> {
    const PART: u64 = 25;
    let work = &work;
    std::thread::scope(|scope| {
        let parts: Vec<_> = seeds
            .clone()
            .step_by(PART as usize)
            .map(|from| from..seeds.end.min(from + PART))
            .map(|part| scope.spawn(move || work(part)))
            .collect();
        parts
            .into_iter()
            .map(|p| p.join().expect("a part of the walks"))
            .collect()
    })
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
        self.clean_claimed += other.clean_claimed;
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

pub(super) const HEAD: &str = "| walks | number | certain rises that are true | rises of 0.3 m or more reported as falling | found, 0.3 to 0.6 m | 0.6 to 1.0 m | 1.0 to 1.5 m | 1.5 to 2.5 m | 2.5 m and more | drop within 2 sd | its sd, m | routes without a rise, with a \"cannot tell\" |\n|---|---|---|---|---|---|---|---|---|---|---|---|\n";
