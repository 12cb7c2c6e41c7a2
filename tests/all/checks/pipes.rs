//! Checkers for tests/checks/pipes*.csv.

use crate::ledger::{Answer, Checker, Inputs};
use steadyfall::line::Line;
use steadyfall::pipe::{self, InBend, Joint, Lasting, Often, Pipe, Ring, RingGround, SupportSpan};
use steadyfall::profile::Profile;
use steadyfall::strength;

const PSI: f64 = 6_894.757_293_168;

/// A planned line of the row's pipe that lies open and cools by so many kelvin.
fn snaking(i: &Inputs, length_m: f64) -> Result<Line, String> {
    let mut line = Line::plain(&[(0.0, 100.0), (length_m, 60.0)], &row(i)?);
    line.reaches[0].is_laid = false;
    line.reaches[0].coil = row(i)?.material == pipe::Material::Pe;
    line.environment.situation.coldest_air_c = 0.0;
    line.environment.water.coldest_c = 0.0;
    line.environment.situation.hottest_air_c = i.number_or("kelvin", 0.0)?;
    Ok(line)
}

/// The quantities of this topic.
pub fn checkers() -> Vec<Checker> {
    let of = |quantity, of, work| Checker { quantity, of, work };
    vec![
        of(
            "pressure of wheels on a buried pipe",
            "strength::Wheel::pressure_pa",
            |i| {
                let traffic = match i.word("traffic")? {
                    "truck" => pipe::Traffic::Truck,
                    other => return Err(format!("traffic = {other}")),
                };
                let wheel = strength::Wheel::of(traffic).ok_or("no wheel")?;
                Ok((wheel.pressure_pa(i.number("cover_m")?) / 1000.0).into())
            },
        ),
        of("outside diameter of a pipe", "pipe::find", |i| {
            Ok((row(i)?.outer_diameter_m * 1000.0).into())
        }),
        of("least wall of a pipe", "pipe::find", |i| {
            Ok((row(i)?.wall_m * 1000.0).into())
        }),
        of("bore of a pipe", "pipe::find", |i| {
            Ok((row(i)?.inner_diameter_m * 1000.0).into())
        }),
        of("mass of a pipe", "pipe::find", |i| {
            Ok(row(i)?.mass_kg_per_m.into())
        }),
        of("rating of a pipe", "pipe::find", |i| {
            let pipe = row(i)?;
            Ok(match (pipe.refused, pipe.rating_pa) {
                (Some(_), None) => "refused".into(),
                (None, Some(pa)) => (pa / 1e5).into(),
                other => return Err(format!("{other:?}")),
            })
        }),
        of(
            "share of the rating left by warmth",
            "pipe::temperature_factor",
            |i| Ok(or_refused(factor(i)?)),
        ),
        of("rating at a temperature", "pipe::temperature_factor", |i| {
            let rating = row(i)?.rating_pa.ok_or("no rating")?;
            Ok(or_refused(factor(i)?.map(|f| f * rating / 1e5)))
        }),
        of(
            "surge allowance over the rating",
            "pipe::surge_allowance",
            |i| {
                let often = match i.word("often")? {
                    "routine" => Often::Routine,
                    "rare" => Often::Rare,
                    other => return Err(format!("often = {other}")),
                };
                Ok(pipe::surge_allowance(&row(i)?, often).value.into())
            },
        ),
        of("apparent modulus", "pipe::lasting_modulus_pa", |i| {
            let load = Lasting {
                hours: i.number("hours")?,
                wall_c: i.number("wall_c")?,
            };
            Ok((pipe::lasting_modulus_pa(&row(i)?, load).value / 1e6).into())
        }),
        of(
            "collapse of a free ring",
            "pipe::Ring::collapse_pa",
            collapse,
        ),
        of(
            "collapse from ring stiffness",
            "pipe::Ring::collapse_pa",
            |i| {
                // Any ring of that stiffness E I/D3 = E/(12 (D/t - 1)^3) will do.
                let ring = Ring {
                    modulus_pa: i.number("stiffness_pa")? * 12.0 * 19f64.powi(3),
                    poisson: i.number("poisson")?,
                    diameter_ratio: 20.0,
                    ovality: 0.0,
                };
                Ok((ring.collapse_pa() / 1000.0).into())
            },
        ),
        of("share left by ovality", "pipe::ovality_factor", |i| {
            Ok(pipe::ovality_factor(i.number("ovality")?).into())
        }),
        of(
            "largest diameter ratio for a vacuum",
            "pipe::Ring::collapse_pa",
            |i| {
                // Turned round: the ring that goes flat at exactly what it must bear.
                let (ring, wanted) = (ring(i)?, i.number("outside_pa")? * i.number("safety")?);
                let at = |diameter_ratio| Ring {
                    diameter_ratio,
                    ..ring
                };
                let (mut low, mut high) = (1.5, 1e4);
                for _ in 0..100 {
                    let middle = 0.5 * (low + high);
                    if at(middle).collapse_pa() > wanted {
                        low = middle;
                    } else {
                        high = middle;
                    }
                }
                Ok(low.into())
            },
        ),
        of(
            "what a buried ring may take",
            "pipe::soil_supported_pa",
            |i| {
                let ground = RingGround {
                    cover_m: i.number("cover_m")?,
                    soil_reaction_pa: i.number("soil_reaction_pa")?,
                    water_share: i.number("water_share")?,
                };
                Ok((pipe::soil_supported_pa(&ring(i)?, &ground) / 1000.0).into())
            },
        ),
        of("longest usual piece", "pipe::usual_pieces", |i| {
            let longest = pipe::usual_pieces(&row(i)?).lengths_m.last().copied();
            Ok(longest.ok_or("no piece")?.into())
        }),
        of("curved end of a coil", "Line::piece_lengths", |i| {
            let line = snaking(i, 200.0)?;
            Ok((line.environment.piece_length(&line.reaches[0]).ends_m / 2.0).into())
        }),
        of("cut of an open pipe", "Line::cut_m", |i| {
            let length = i.number("length_m")?;
            let line = snaking(i, length)?;
            Ok(line.environment.cut_m(&line.reaches[0], 0.0, length).into())
        }),
        of("coils of one length for a line", "laying::plan", |i| {
            let mut line = snaking(i, i.number("length_m")?)?;
            line.reaches[0].pieces_m = vec![i.number("piece_m")?];
            let plan = steadyfall::laying::plan(&line, &Profile::default(), None, None);
            Ok(plan.shopping[0].count.into())
        }),
        of(
            "least bend over outside diameter",
            "pipe::least_radius_m",
            |i| {
                let pipe = row(i)?;
                let what = match i.word("in_bend")? {
                    "pipe" => InBend::Pipe,
                    "fitting" => InBend::Fitting,
                    other => return Err(format!("in_bend = {other}")),
                };
                let least = pipe::least_radius_m(&pipe, i.number("coldest_c")?, what);
                Ok(or_refused(least.map(|k| k.value / pipe.outer_diameter_m)))
            },
        ),
        of("turn of one ring joint", "pipe::RING_JOINT_RAD", |_| {
            Ok(pipe::RING_JOINT_RAD.to_degrees().into())
        }),
        of("pressure of a joint", "pipe::joint_limit", |i| {
            let pipe = row(i)?;
            let rating = pipe.rating_pa.ok_or("no rating")?;
            Ok((pipe::joint_limit(joint(i)?, &pipe).rating_pa(rating) / 1e5).into())
        }),
        of("joint in a penstock", "pipe::joint_limit", |i| {
            Ok(pipe::joint_limit(joint(i)?, &row(i)?)
                .forbidden
                .map_or("allowed", |_| "refused")
                .into())
        }),
        of("change of length", "pipe::length_change_m", |i| {
            Ok((pipe::length_change_m(
                i.number("expansion_per_k")?,
                i.number("length_m")?,
                i.number("kelvin")?,
            ) * 1000.0)
                .into())
        }),
        of("thermal expansion", "pipe::thermal_expansion_per_k", |i| {
            Ok(pipe::thermal_expansion_per_k(&row(i)?).value.into())
        }),
        of("sag of a span", "pipe::SupportSpan::sag_m", |i| {
            Ok((span(i)?.sag_m() * 1000.0).into())
        }),
        of("bending of a span", "pipe::SupportSpan::bending_pa", |i| {
            Ok((span(i)?.bending_pa() / PSI).into())
        }),
        of(
            "distance between supports",
            "pipe::support_spacing_m",
            |i| {
                Ok(or_refused(
                    pipe::support_spacing_m(&row(i)?, i.number("wall_c")?).map(|k| k.value),
                ))
            },
        ),
        of(
            "trade habit: standing pressure and margin",
            "strength::judge",
            |i| {
                let mut line = Line::plain(
                    &[(0.0, 50.0), (400.0, 0.0)],
                    &pipe::find("PE100 SDR 11 110").map_err(|e| e.to_string())?,
                );
                let reach = strength::judge(&line, &[]).reaches.remove(0);
                let wanted = i.number("standing_bar")? * 1e5;
                line.intake.flood_level_m += (wanted - reach.static_pa) / (reach.static_pa / 50.0);
                Ok((strength::judge(&line, &[]).reaches.remove(0).habit_pa / 1e5).into())
            },
        ),
    ]
}

fn row(i: &Inputs) -> Result<Pipe, String> {
    let words = i.word("words")?;
    pipe::find(words).map_err(|e| format!("{words}: {e}: {:?}", e.listed()))
}

fn or_refused(value: Option<f64>) -> Answer {
    value.map_or("refused".into(), Answer::from)
}

fn factor(i: &Inputs) -> Result<Option<f64>, String> {
    Ok(pipe::temperature_factor(&row(i)?, i.number("wall_c")?).map(|k| k.value))
}

fn ring(i: &Inputs) -> Result<Ring, String> {
    Ok(Ring {
        modulus_pa: i.number("modulus_pa")?,
        poisson: i.number("poisson")?,
        diameter_ratio: i.number_or("ratio", 11.0)?,
        ovality: i.number("ovality")?,
    })
}

/// In kPa, or in psi where the row says so by its unit of stiffness: printed tables of plastic pipe are in psi.
fn collapse(i: &Inputs) -> Result<Answer, String> {
    let pa = ring(i)?.collapse_pa();
    Ok(match i.word("in")? {
        "psi" => (pa / PSI).into(),
        "kPa" => (pa / 1000.0).into(),
        other => return Err(format!("in = {other}")),
    })
}

fn joint(i: &Inputs) -> Result<Joint, String> {
    Ok(match i.word("joint")? {
        "compression" => Joint::Compression,
        "barbed" => Joint::Barbed,
        "thread" => Joint::Thread,
        "flange" => Joint::Flange,
        "repair coupling" => Joint::RepairCoupling,
        other => return Err(format!("joint = {other}")),
    })
}

fn span(i: &Inputs) -> Result<SupportSpan, String> {
    Ok(SupportSpan {
        length_m: i.number("length_m")?,
        weight_n_per_m: i.number("weight_n_per_m")?,
        modulus_pa: i.number("modulus_pa")?,
        outer_diameter_m: i.number("outer_mm")? / 1000.0,
        inner_diameter_m: i.number("inner_mm")? / 1000.0,
    })
}
