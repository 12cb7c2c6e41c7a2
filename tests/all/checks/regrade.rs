//! Checkers for tests/checks/regrade.csv: least regrades.

use crate::ledger::{Checker, Inputs};
use steadyfall::line::Line;
use steadyfall::numeric::isotonic;
use steadyfall::pipe;
use steadyfall::regrade::{
    FallProblem, MoveCost, RegradeKind, RegradePlan, cheapest, dig_only, plans, prop_only,
};

/// The quantities of this topic.
pub fn checkers() -> Vec<Checker> {
    macro_rules! list {
        ($($quantity:literal, $of:literal, $work:expr;)*) => {
            vec![$(Checker { quantity: $quantity, of: $of, work: $work }),*]
        };
    }
    list! {
        "regrade dig only", "regrade::dig_only", |i| point(i, |c| dig_only(&c.ground()));
        "regrade prop only", "regrade::prop_only", |i| point(i, |c| prop_only(&c.ground()));
        "regrade least squares", "numeric::isotonic::falling", |i| point(i, Case::least_squares);
        "regrade cost", "regrade::cheapest", cost;
        "regrade deepest", "regrade::plans", |i| Ok(dig_plan(i)?.deepest_m.into());
        "regrade dug area", "regrade::plans", |i| Ok(dig_plan(i)?.dug_m2.into());
        "pooled value", "numeric::isotonic::rising", |i| Ok(isotonic::rising(&i.numbers("values")?, &[])[i.number("point")? as usize - 1].into());
    }
}

struct Case {
    station: Vec<f64>,
    height: Vec<f64>,
    grade: f64,
    weight: Vec<f64>,
}

impl Case {
    fn read(inputs: &Inputs) -> Result<Self, String> {
        let station = inputs.numbers("stations")?;
        Ok(Self {
            height: inputs.numbers("heights")?,
            grade: inputs.number("grade")?,
            weight: inputs
                .numbers("weights")
                .unwrap_or_else(|_| vec![1.0; station.len()]),
            station,
        })
    }

    fn ground(&self) -> FallProblem<'_> {
        FallProblem {
            station_m: &self.station,
            height_m: &self.height,
            least_fall: self.grade,
            held: &[],
        }
    }

    fn least_squares(&self) -> Vec<f64> {
        let level: Vec<f64> = self
            .height
            .iter()
            .zip(&self.station)
            .map(|(z, s)| z + self.grade * s)
            .collect();
        isotonic::falling(&level, &self.weight)
            .iter()
            .zip(&self.station)
            .map(|(u, s)| u - self.grade * s)
            .collect()
    }
}

fn point(inputs: &Inputs, work: fn(&Case) -> Vec<f64>) -> Result<crate::ledger::Answer, String> {
    let case = Case::read(inputs)?;
    let at = inputs.number("point")? as usize - 1;
    Ok((*work(&case).get(at).ok_or("no such point")?).into())
}

fn cost(inputs: &Inputs) -> Result<crate::ledger::Answer, String> {
    let case = Case::read(inputs)?;
    let prices: Vec<MoveCost> = case
        .weight
        .iter()
        .map(|&w| MoveCost { dig: w, prop: w })
        .collect();
    let sum: f64 = cheapest(&case.ground(), &prices)
        .iter()
        .zip(&case.height)
        .zip(&case.weight)
        .map(|((y, z), w)| w * (y - z).abs())
        .sum();
    Ok(sum.into())
}

fn dig_plan(inputs: &Inputs) -> Result<RegradePlan, String> {
    let case = Case::read(inputs)?;
    let pipe = pipe::find("PE100 SDR11 20").map_err(|e| format!("{e:?}"))?;
    let points: Vec<(f64, f64)> = case
        .station
        .iter()
        .copied()
        .zip(case.height.iter().copied())
        .collect();
    let mut line = Line::plain(&points, &pipe);
    line.wishes.regrade.least_grade = case.grade;
    plans(&line)
        .into_iter()
        .find(|p| p.kind == RegradeKind::Dig)
        .ok_or_else(|| "no plan".to_owned())
}
