//! Every size with every choice of jets, worked out by the steady state.

use super::choice::{JetChoice, price_per_m, with_pipe};
use super::chosen::{all_running, chosen};
use super::coarse::coarse;
use super::family::{Family, families, standing_pa, zones};
use super::show::march;
use super::{NoSizes, SetAside, SizeOptions, SizeRefusal, SizeRow, Sizes};
use crate::flow::{Cases, Conditions, Run, WhyNot};
use crate::line::{Discharge, Environment, Line};
use crate::numeric::{abreast, math};
use crate::pipe::Pipe;
use crate::strength::NoZones;
use crate::study::loads;
use crate::{flow, strength};

/// Share of the head that a pipe loses in common practice: 10 to 15 % (no source). The rows shown lie nearest to it.
const USUAL_LOSS: f64 = 0.12;

/// Holds the sizes of the catalogue side by side on a line: each with the class it needs, with the jets declared, with jets for a loss of a tenth,
/// with jets for what the stream gives, and with the jets of the most power.
pub fn study(line: &Line, options: &SizeOptions) -> Result<Sizes, NoSizes> {
    let running = line.outlet.as_ref().is_some_and(|o| match &o.how {
        Discharge::Jets(jets) => !jets.is_empty(),
        Discharge::Flow(flow) => *flow > 0.0,
    });
    if line.reaches.is_empty() || !running {
        return Err(NoSizes::NothingToSize);
    }
    let base = coarse(line);
    let mut out = Sizes {
        rows: Vec::new(),
        screened: 0,
        set_aside: Vec::new(),
        largest: flow::largest_power(line).ok(),
        drop_in_doubt: match strength::drop_is_known(&line.geometry) {
            Err(NoZones::DropInDoubt { share }) => Some(share),
            _ => None,
        },
    };
    let mut rows = Vec::new();
    let declared = declared(&base);
    for family in families(&line.reaches, options.of.as_deref())? {
        let zones = match needed(&family, &base) {
            Ok(zones) => zones,
            Err(why) => {
                out.set_aside.push(SetAside { family, why });
                continue;
            }
        };
        let piped = with_pipe(&base, &zones);
        for choice in choices(&line.environment) {
            out.screened += 1;
            match candidate(&piped, &family, &zones, choice) {
                Ok(row) => rows.push(row),
                Err(why) => out.set_aside.push(SetAside {
                    family: family.clone(),
                    why: SizeRefusal::NotRun(why),
                }),
            }
        }
    }
    gains(&mut rows);
    drop_alike(&mut rows);
    out.rows = choose(rows, declared, options.show);
    if options.march {
        let shown = abreast(&out.rows, true, |row| march(line, row));
        for (row, shown) in out.rows.iter_mut().zip(shown) {
            row.shown = shown;
        }
    }
    Ok(out)
}

/// The classes a size needs: those that the room strength would lay, for what stands and for the line that drains; where the drop is too doubtful for it, for what stands alone.
fn needed(family: &Family, base: &Line) -> Result<Vec<(f64, f64, Pipe)>, SizeRefusal> {
    let strongest = family.classes.last().ok_or(SizeRefusal::NotStrongEnough)?;
    let whole = with_pipe(base, &[(0.0, base.geometry.length_m(), strongest.clone())]);
    let drained = loads(&whole, &Cases::default(), None, None);
    match strength::judge(&whole, &drained).zones {
        Ok(zones) => Ok(zones
            .list
            .into_iter()
            .map(|z| (z.from_m, z.to_m, z.pipe))
            .collect()),
        Err(NoZones::TooWarm) => Err(SizeRefusal::TooWarm),
        Err(NoZones::NoneStrongEnough) => Err(SizeRefusal::NotStrongEnough),
        Err(NoZones::DropInDoubt { .. } | NoZones::NotInCatalogue) => zones(
            family,
            &base.geometry,
            &base.environment,
            &standing_pa(base),
        )
        .ok_or(SizeRefusal::NotStrongEnough),
    }
}

fn choices(environment: &Environment) -> Vec<JetChoice> {
    let mut out = vec![JetChoice::Declared, JetChoice::Loss(0.10)];
    if environment.stream.is_some() {
        out.push(JetChoice::Stream);
    }
    out.push(JetChoice::Largest);
    out
}

fn candidate(
    piped: &Line,
    family: &Family,
    zones: &[(f64, f64, Pipe)],
    choice: JetChoice,
) -> Result<SizeRow, WhyNot> {
    let line = chosen(piped, choice)?;
    row(&line, family.clone(), zones.to_vec(), choice)
}

fn row(
    line: &Line,
    family: Family,
    zones: Vec<(f64, f64, Pipe)>,
    choice: JetChoice,
) -> Result<SizeRow, WhyNot> {
    let wish = all_running(line.outlet.as_ref());
    let usual = Conditions::usual(&line.environment);
    let run = flow::run_under(line, &wish, &usual).map_err(|n| n.why)?;
    let slimed = Conditions {
        slime: 1.0,
        ..usual
    };
    let old = flow::run_under(line, &wish, &slimed).map_err(|n| n.why)?;
    let jets = match line.outlet.as_ref().map(|o| &o.how) {
        Some(Discharge::Jets(jets)) => jets.as_slice(),
        _ => &[],
    };
    let hole = jets.first().map(|j| j.nozzle_diameter_m);
    let alike = jets.iter().all(|j| Some(j.nozzle_diameter_m) == hole);
    let prices = zones
        .iter()
        .map(|(a, b, p)| price_per_m(&line.reaches, p).map(|each| each * (b - a)));
    Ok(SizeRow {
        jets: jets.len(),
        nozzle_diameter_m: hole.filter(|_| alike),
        bore_m: zones
            .iter()
            .map(|z| z.2.inner_diameter_m)
            .fold(f64::INFINITY, f64::min),
        mass_kg: zones
            .iter()
            .map(|(a, b, p)| (b - a) * p.mass_kg_per_m)
            .sum(),
        price: prices.sum::<Option<f64>>(),
        too_fast: run.velocity_max_m_per_s > line.wishes.limits.velocity_m_per_s,
        slimed_power_w: old.water_power_w,
        ..figures(&run, family, zones, choice)
    })
}

fn figures(run: &Run, family: Family, zones: Vec<(f64, f64, Pipe)>, choice: JetChoice) -> SizeRow {
    SizeRow {
        family,
        zones,
        choice,
        jets: 0,
        nozzle_diameter_m: None,
        bore_m: 0.0,
        flow_m3_per_s: run.flow_m3_per_s,
        gross_head_m: run.gross_head_m,
        net_head_m: run.net_head_m,
        loss_share: run.loss_share(),
        velocity_m_per_s: run.velocity_max_m_per_s,
        too_fast: false,
        water_power_w: run.water_power_w,
        slimed_power_w: run.water_power_w,
        electrical_w: run.electrical.map(|e| e.power_w),
        mass_kg: 0.0,
        price: None,
        gain_next_w: None,
        limited_station_m: run.limited.as_ref().map(|l| l.station_m),
        declared: false,
        shown: None,
    }
}

/// The line as it is, as a row of its own.
fn declared(base: &Line) -> Option<SizeRow> {
    let first = &base.reaches.first()?.pipe;
    let family = Family {
        standard: first.standard.clone(),
        grade: first.grade.clone(),
        size_label: first.size_label.clone(),
        outer_diameter_m: first.outer_diameter_m,
        classes: Vec::new(),
    };
    let zones = base
        .reaches
        .iter()
        .map(|r| (r.from_m, r.to_m, r.pipe.clone()))
        .collect();
    let mut out = row(base, family, zones, JetChoice::Declared).ok()?;
    out.declared = true;
    Some(out)
}

/// What one size more brings: rows stand family by family, so the next of the same choice and kind is one size more.
fn gains(rows: &mut [SizeRow]) {
    let next: Vec<Option<f64>> = rows
        .iter()
        .enumerate()
        .map(|(i, row)| {
            rows.iter()
                .skip(i + 1)
                .find(|r| r.choice == row.choice)
                .filter(|r| {
                    r.family.standard == row.family.standard && r.family.grade == row.family.grade
                })
                .map(|r| r.water_power_w - row.water_power_w)
        })
        .collect();
    for (row, gain) in rows.iter_mut().zip(next) {
        row.gain_next_w = gain;
    }
}

/// Leaves out what the stream makes the same as the row of its own choice.
fn drop_alike(rows: &mut Vec<SizeRow>) {
    let by_stream: Vec<(Family, f64)> = rows
        .iter()
        .filter(|r| r.choice == JetChoice::Stream)
        .map(|r| (r.family.clone(), r.flow_m3_per_s))
        .collect();
    rows.retain(|r| {
        matches!(r.choice, JetChoice::Declared | JetChoice::Stream)
            || !by_stream
                .iter()
                .any(|(f, q)| *f == r.family && (q - r.flow_m3_per_s).abs() < 1e-3 * q)
    });
}

/// The rows to show: of each choice in turn the one nearest to what is usual, those that run full and not too fast first.
fn choose(rows: Vec<SizeRow>, declared: Option<SizeRow>, show: usize) -> Vec<SizeRow> {
    let target = declared.as_ref().map(|d| d.flow_m3_per_s);
    let far = |row: &SizeRow| {
        let off = match (row.choice, target) {
            (JetChoice::Declared | JetChoice::Stream, _) | (_, None) => {
                math::ln(row.loss_share.max(1e-6) / USUAL_LOSS).abs()
            }
            (_, Some(flow)) => math::ln(row.flow_m3_per_s.max(1e-9) / flow.max(1e-9)).abs(),
        };
        let faults = usize::from(row.limited_station_m.is_some()) + usize::from(row.too_fast);
        off + 10.0 * faults as f64
    };
    let mut by_choice: Vec<Vec<SizeRow>> = Vec::new();
    for row in rows {
        match by_choice
            .iter_mut()
            .find(|g| g.first().is_some_and(|f| f.choice == row.choice))
        {
            Some(group) => group.push(row),
            None => by_choice.push(vec![row]),
        }
    }
    for group in &mut by_choice {
        // the nearest last, to be taken from the end
        group.sort_by(|a, b| far(b).total_cmp(&far(a)));
    }
    let mut out: Vec<SizeRow> = declared.into_iter().take(show).collect();
    while out.len() < show && by_choice.iter().any(|g| !g.is_empty()) {
        for group in &mut by_choice {
            if out.len() < show {
                out.extend(group.pop());
            }
        }
    }
    let order = |c: JetChoice| match c {
        JetChoice::Declared => 0,
        JetChoice::Loss(_) => 1,
        JetChoice::Stream => 2,
        JetChoice::Largest => 3,
    };
    out.sort_by(|a, b| {
        (!a.declared, order(a.choice))
            .cmp(&(!b.declared, order(b.choice)))
            .then(a.bore_m.total_cmp(&b.bore_m))
    });
    out
}
