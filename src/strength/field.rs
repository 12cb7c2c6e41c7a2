//! All states on the stations of the grid, with the doubt of the head.

use super::Load;
use super::load::head_sd_m;
use crate::capacity::{LoadKind, Setting, heaviest_n_per_m3, may};
use crate::line::{Environment, Fitting, Geometry, Reach, Reaches};
use crate::numeric::series::interpolate;
use crate::unit::DOUBT_SDS;

/// All states on the grid with the doubt of the head.
pub(super) struct StateField<'a> {
    pub(super) station_m: &'a [f64],
    pub(super) loads: &'a [Load],
    /// 2 sd of the head, Pa.
    pub(super) doubt_pa: Vec<f64>,
    weight_n_per_m3: f64,
    /// What surrounds the pipe.
    pub(super) environment: &'a Environment,
}

impl<'a> StateField<'a> {
    pub(super) fn of(
        geometry: &'a Geometry,
        environment: &'a Environment,
        loads: &'a [Load],
    ) -> Self {
        let weight = heaviest_n_per_m3(environment);
        Self {
            station_m: &geometry.heights.station_m,
            loads,
            doubt_pa: head_sd_m(geometry)
                .iter()
                .map(|sd| DOUBT_SDS * sd * weight)
                .collect(),
            weight_n_per_m3: weight,
            environment,
        }
    }

    pub(super) fn at(&self, values: &[f64], station_m: f64) -> f64 {
        interpolate(self.station_m, values, station_m)
    }

    /// 2 sd of the least pressure of a state at a station, Pa.
    pub(super) fn doubt_below_pa(&self, load: &Load, station_m: f64) -> f64 {
        if load.least_sd_m.is_empty() {
            self.at(&self.doubt_pa, station_m)
        } else {
            DOUBT_SDS * self.weight_n_per_m3 * self.at(&load.least_sd_m, station_m)
        }
    }

    /// Settings in which a state is judged: as it is, and in the sun where it stands still.
    pub(super) fn settings(&self, kind: LoadKind) -> impl Iterator<Item = Setting> + use<> {
        let sun = self.environment.situation.sun && kind.stands_still();
        std::iter::once(false)
            .chain(sun.then_some(true))
            .map(move |in_sun| Setting { kind, in_sun })
    }

    /// Stations to look at on a reach: its ends and the grid between.
    pub(super) fn stations(&self, reach: &Reach) -> Vec<f64> {
        let inside = self
            .station_m
            .iter()
            .copied()
            .filter(|s| *s > reach.from_m && *s < reach.to_m);
        std::iter::once(reach.from_m)
            .chain(inside)
            .chain([reach.to_m])
            .collect()
    }

    /// Largest share in use of pipe and joint at a station over all states but the test, at head + 2 sd.
    pub(super) fn use_at(&self, reach: &Reach, station_m: f64) -> Option<f64> {
        let doubt = self.at(&self.doubt_pa, station_m);
        self.loads
            .iter()
            .filter(|l| l.kind() != LoadKind::Test)
            .flat_map(|l| self.settings(l.kind()).map(move |s| (l, s)))
            .filter(|(_, s)| !s.in_sun || self.environment.lies_open(station_m))
            .filter_map(|(l, s)| {
                let may = may(self.environment, reach, s)?.ok()?;
                Some(share(self.at(&l.largest_pa, station_m) + doubt, may.pa))
            })
            .reduce(f64::max)
    }

    /// Largest pressure of a kind of state on a reach, at the mean and with the doubt, Pa.
    pub(super) fn largest(&self, stations: &[f64], kind: LoadKind) -> Option<(f64, f64)> {
        self.loads
            .iter()
            .filter(|l| l.kind() == kind)
            .flat_map(|l| stations.iter().map(move |&s| (l, s)))
            .map(|(l, s)| (self.at(&l.largest_pa, s), self.at(&self.doubt_pa, s)))
            .map(|(p, doubt)| (p, p + doubt))
            .reduce(|a, b| (a.0.max(b.0), a.1.max(b.1)))
    }
}

/// Pressure over what may be taken; nothing left to take is over any pressure.
pub(super) fn share(pressure_pa: f64, may_pa: f64) -> f64 {
    match (pressure_pa.max(0.0), may_pa) {
        (0.0, _) => 0.0,
        (p, may) if may > 0.0 => p / may,
        _ => f64::INFINITY,
    }
}

/// A figure by reach and station brought onto the grid; where two reaches meet, both are asked.
pub(super) fn on_grid(
    geometry: &Geometry,
    reaches: &Reaches,
    of: impl Fn(&Reach, f64) -> Option<f64>,
    both: impl Fn(f64, f64) -> f64,
) -> Vec<Option<f64>> {
    geometry
        .heights
        .station_m
        .iter()
        .map(|&s| {
            reaches
                .iter()
                .filter(|r| s >= r.from_m && s <= r.to_m)
                .filter_map(|r| of(r, s))
                .reduce(&both)
        })
        .collect()
}

/// The fittings that stand on a reach; one at the joint of two reaches belongs to the upper.
pub(super) fn fittings_of<'a>(
    reaches: &'a Reaches,
    fittings: &'a [Fitting],
    reach: &'a Reach,
) -> impl Iterator<Item = &'a crate::line::Fitting> {
    let first = reaches.first().is_some_and(|r| std::ptr::eq(r, reach));
    fittings
        .iter()
        .filter(move |f| (f.station_m > reach.from_m || first) && f.station_m <= reach.to_m)
}
