//! The reckonings of one line held against each other: along its plan, level, on the slope, and the survey's own.

use crate::numeric::math;
use crate::numeric::series::interpolate;

/// Rungs down a line, each with its station in every reckoning; all rise strictly.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct ChainageMap {
    /// Along the line as it is drawn in the plane, m.
    pub(super) plan_m: Vec<f64>,
    /// Level distance at the height of the ground, m.
    pub(super) level_m: Vec<f64>,
    /// Along the slope, m.
    pub(super) slope_m: Vec<f64>,
    /// As the survey (its pegs) reckons, m.
    pub(super) own_m: Vec<f64>,
}

impl ChainageMap {
    /// From level distances and heights on places of the plan; the survey's own reckoning is the slope until pegs say otherwise.
    pub(super) fn new(plan_m: Vec<f64>, level_m: Vec<f64>, height_m: &[f64]) -> Self {
        let slope_m = slope_stations(&level_m, height_m);
        Self {
            plan_m,
            level_m,
            own_m: slope_m.clone(),
            slope_m,
        }
    }

    pub(super) fn level_of_plan(&self, plan: f64) -> f64 {
        interpolate(&self.plan_m, &self.level_m, plan)
    }

    pub(super) fn plan_of_level(&self, level: f64) -> f64 {
        interpolate(&self.level_m, &self.plan_m, level)
    }

    pub(super) fn slope_of_plan(&self, plan: f64) -> f64 {
        interpolate(&self.plan_m, &self.slope_m, plan)
    }

    pub(super) fn own_of_plan(&self, plan: f64) -> f64 {
        interpolate(&self.plan_m, &self.own_m, plan)
    }

    /// The survey's own reckoning may fall along the line: a book begun at the turbine.
    pub(super) fn plan_of_own(&self, own: f64) -> f64 {
        if self.own_m.first() <= self.own_m.last() {
            return interpolate(&self.own_m, &self.plan_m, own);
        }
        let turned = |values: &[f64]| values.iter().rev().copied().collect::<Vec<f64>>();
        interpolate(&turned(&self.own_m), &turned(&self.plan_m), own)
    }
}

/// Stations along the slope from level distances and heights: the sum of `sqrt(d^2 + dz^2)`, from 0.
pub fn slope_stations(level_m: &[f64], height_m: &[f64]) -> Vec<f64> {
    let mut station = 0.0;
    let mut last: Option<(f64, f64)> = None;
    level_m
        .iter()
        .zip(height_m)
        .map(|(&d, &z)| {
            if let Some((d0, z0)) = last {
                station += math::hypot(d - d0, z - z0);
            }
            last = Some((d, z));
            station
        })
        .collect()
}
