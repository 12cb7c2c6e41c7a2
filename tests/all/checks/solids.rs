//! Checkers for tests/checks/solids.csv.

use crate::ledger::{Answer, Checker, Inputs};
use steadyfall::flow::branch::Rack;
use steadyfall::flow::{clear_k, open_share};
use steadyfall::line::{Analysis, Basin, Line, PressureTest, Screen, Worn};
use steadyfall::metal::{apart_v, langelier, may_shift_v, soil_class};
use steadyfall::pipe::{Metal, ScreenKind, find};
use steadyfall::proof::{TestVerdict, proof};
use steadyfall::solids::{
    BasinDemand, Settled, Settling, leaves_it_m_per_s, settled_share, worn_after_s,
};
use steadyfall::unit::physics::water;

/// The quantities of this topic.
pub fn checkers() -> Vec<Checker> {
    vec![
        Checker {
            quantity: "Langelier index",
            of: "metal::langelier",
            work: |i| {
                let water = Analysis {
                    ph: i.number("ph")?,
                    solids_mg_per_l: i.number("solids")?,
                    calcium_mg_per_l: i.number("calcium")?,
                    alkalinity_mg_per_l: i.number("alkalinity")?,
                };
                Ok(langelier(&water, i.number("celsius")?).into())
            },
        },
        Checker {
            quantity: "soil class",
            of: "metal::soil_class",
            work: |i| Ok(soil_class(i.number("ohm_m")?).word().into()),
        },
        Checker {
            quantity: "metal pair",
            of: "metal::apart_v",
            work: |i| {
                let of = |key: &str| -> Result<Metal, String> {
                    let word = i.word(key)?;
                    let found = Metal::WORDS.iter().find(|(name, _)| *name == word);
                    Ok(found.ok_or_else(|| format!("no metal {word}"))?.1)
                };
                Ok(apart_v(of("one")?, of("other")?).into())
            },
        },
        Checker {
            quantity: "stray shift",
            of: "metal::may_shift_v",
            work: |i| Ok(may_shift_v(i.number("ohm_m")?).into()),
        },
        Checker {
            quantity: "pressure test",
            of: "proof::proof",
            work: pressure_test,
        },
        Checker {
            quantity: "rack loss",
            of: "flow::branch::Rack::head_m",
            work: |i| {
                let rack = Rack {
                    shape: i.number("shape")?,
                    bar_m: i.number("bar_m")?,
                    gap_m: i.number("opening_m")?,
                    velocity_m_per_s: i.number("velocity_m_per_s")?,
                    tilt_rad: i.number("slope_deg")?.to_radians(),
                };
                Ok(rack.head_m(i.number("g")?).into())
            },
        },
        Checker {
            quantity: "velocity between bars",
            of: "flow::open_share",
            work: |i| {
                let open = open_share(&screen(i)?).ok_or("no open share")?;
                Ok((i.number("velocity_m_per_s")? / open).into())
            },
        },
        Checker {
            quantity: "screen coefficient",
            of: "flow::clear_k",
            work: |i| -> Result<Answer, String> {
                Ok(clear_k(&screen(i)?).ok_or("no coefficient")?.0.into())
            },
        },
        Checker {
            quantity: "settling velocity",
            of: "solids::Settling::speed_m_per_s",
            work: |i| {
                let settling = still(i.number("celsius")?);
                Ok(settling.speed_m_per_s(1e-3 * i.number("grain_mm")?).into())
            },
        },
        Checker {
            quantity: "operation until worn by 5 %",
            of: "solids::worn_after_s",
            work: |i| {
                let worn = Worn {
                    by_m: 1e-3 * i.number("worn_mm")?,
                    over_s: 3600.0 * i.number("worn_hours")?,
                    head_m: i.number("worn_head_m").ok(),
                };
                let nozzle_m = 1e-3 * i.number("nozzle_mm")?;
                Ok((worn_after_s(nozzle_m, i.number("head_m")?, &worn) / 3600.0).into())
            },
        },
        Checker {
            quantity: "velocity that leaves the grain",
            of: "solids::leaves_it_m_per_s",
            work: |i| Ok(leaves_it_m_per_s(1e-3 * i.number("grain_mm")?).into()),
        },
        Checker {
            quantity: "velocity in the basin",
            of: "solids::Settled::of",
            work: |i| {
                let flow = i.number("flow_m3_per_s")?;
                let basin = Basin {
                    width_m: i.number("width_m")?,
                    length_m: i.number("length_m")?,
                    depth_m: i.number("depth_m")?,
                    sand_depth_m: None,
                    flush: None,
                };
                let settling = still(20.0);
                let asked = BasinDemand::of(&settling, 2e-4, flow);
                let settled = Settled::of(&basin, &settling, &asked, flow, None);
                Ok(settled.through_m_per_s.into())
            },
        },
        Checker {
            quantity: "settled share",
            of: "solids::settled_share",
            work: |i| {
                let share = settled_share(
                    i.number("settles_m_per_s")?,
                    i.number("area_m2")?,
                    i.number("flow_m3_per_s")?,
                );
                Ok((100.0 * share).into())
            },
        },
    ]
}

fn screen(i: &Inputs) -> Result<Screen, String> {
    Ok(Screen {
        kind: match i.word("kind")? {
            "flat bars" => ScreenKind::FlatBars,
            "mesh" => ScreenKind::Mesh,
            "plate" => ScreenKind::Plate,
            other => return Err(format!("no kind {other}")),
        },
        opening_m: i.number("opening_m")?,
        bar_m: i.number("bar_m").ok(),
        open_share: i.number("open_share").ok(),
        face_m: None,
        slope_rad: i.number("slope_deg").ok().map(f64::to_radians),
        cleaned: None,
        least_clearance_m: None,
    })
}

fn still(celsius: f64) -> Settling {
    Settling {
        water: water(celsius),
        gravity_m_per_s2: 9.81,
    }
}

/// The readings of a row on a plain line of its material.
fn pressure_test(i: &Inputs) -> Result<Answer, String> {
    let list = |name: &str| -> Result<Vec<f64>, String> {
        i.word(name)?
            .split(' ')
            .map(|w| w.parse().map_err(|_| format!("no number: {w}")))
            .collect()
    };
    let spec = match i.word("material") {
        Ok("pvc") => "PVC SDR26 4 in",
        _ => "PE100 SDR11 90",
    };
    let pipe = find(spec).map_err(|e| format!("{e:?}"))?;
    let mut line = Line::plain(&[(0.0, 500.0), (300.0, 440.0)], &pipe);
    line.measured.pressure_test = Some(PressureTest {
        loading_s: 60.0 * i.number("loading_min")?,
        readings: list("minutes")?
            .into_iter()
            .zip(list("bar")?)
            .map(|(min, bar)| (60.0 * min, 1e5 * bar))
            .collect(),
        limit_pa: 0.0,
        backfilled: i.word("backfilled").ok().map(|w| w == "true"),
    });
    let proof = proof(&line.reaches, &line.measured, None).ok_or("no test")?;
    Ok(match proof.verdict {
        TestVerdict::Passes => "passes",
        TestVerdict::Leaks => "leaks",
        TestVerdict::Air => "air",
        TestVerdict::CannotTell(_) => "cannot tell",
    }
    .into())
}
