//! Floods, spans and steel above the ground, each with its caution beside it.

use super::markup::{HtmlCell, table, with_caution};
use crate::anchor::{Anchor, SteelCase};
use crate::study::Study;
use crate::unit::{Figure, Quantity};
use crate::words::{Say, no_block};
use maud::Markup;

pub(super) fn floods(anchor: &Anchor, study: &Study, say: Say) -> Markup {
    let along = |n: f64| Figure::new(Quantity::ForcePerLength, n).show(say.units);
    let mass = |kg: f64| Figure::new(Quantity::MassPerLength, kg).show(say.units);
    let rows = anchor.floods.iter().map(|f| {
        vec![
            HtmlCell::figure(f.from_m, say.reach(f.from_m, f.to_m)),
            HtmlCell::figure(f.lift_empty_n_per_m, along(f.lift_empty_n_per_m)),
            HtmlCell::figure(f.lift_full_n_per_m, along(f.lift_full_n_per_m)),
            HtmlCell::figure(f.drag_clear_n_per_m, along(f.drag_clear_n_per_m)),
            HtmlCell::figure(f.drag_n_per_m, along(f.drag_n_per_m)),
            HtmlCell::words(if f.buried {
                "buried: scour governs, not drag".to_owned()
            } else {
                format!(
                    "{} every {}",
                    say.at_least(Quantity::Force, f.strap_n),
                    say.at_most(Quantity::Head, f.spacing_m)
                )
            }),
            HtmlCell::words(stands(&f.standing, study, say)),
            HtmlCell::maybe(f.holds_speed_m_per_s, |v| say.speed(v)),
            HtmlCell::figure(f.ballast_kg_per_m, mass(f.ballast_kg_per_m)),
        ]
    });
    with_caution(
        table(
            "Floods",
            &[
                "where",
                ">lift, empty",
                ">lift, full",
                ">drag, clear water",
                ">drag with debris",
                "straps",
                "existing straps",
                ">sufficient to",
                ">or ballast, concrete in air",
            ],
            rows,
        ),
        "Stay out of rising water. Install straps on rock or driven anchors, not on small trees. Inspect every strap after each flood. A better solution: lay the pipe out of the flood, on a span above it or buried below scour depth.",
    )
}

fn stands(of: &[(usize, Option<f64>)], study: &Study, say: Say) -> String {
    let all: Vec<String> = of
        .iter()
        .filter_map(|(i, share)| {
            let at = say.station(study.line.stands.get(*i)?.station_m);
            Some(match share {
                Some(share) => format!("{at}: {} of the required strength", say.share(*share)),
                None => format!("{at}: strength not given"),
            })
        })
        .collect();
    if all.is_empty() {
        "none".to_owned()
    } else {
        all.join("; ")
    }
}

pub(super) fn supports(anchor: &Anchor, say: Say) -> Markup {
    let rows = anchor.supports.iter().map(|s| {
        vec![
            HtmlCell::figure(s.from_m, say.reach(s.from_m, s.to_m)),
            HtmlCell::figure(s.at_c, say.temperature(s.at_c)),
            HtmlCell::figure(
                s.beam_spacing_m,
                say.at_most(Quantity::Head, s.beam_spacing_m),
            ),
            HtmlCell::words(s.table.map_or_else(String::new, |(m, source)| {
                format!("{} ({source})", say.head(m))
            })),
            HtmlCell::figure(s.spacing_m, say.at_most(Quantity::Head, s.spacing_m)),
            HtmlCell::maybe(s.standing_span_m, |m| say.head(m)),
            HtmlCell::words(match (s.standing_span_m, s.sag_m) {
                (Some(_), Some(sag)) => say.head(sag),
                (Some(_), None) => "behaves like a rope, outside the beam formula".to_owned(),
                _ => String::new(),
            }),
            HtmlCell::words(s.stress_pa.map_or_else(String::new, |(is, may)| {
                format!("{} of {}", say.pressure(is), say.pressure(may))
            })),
            HtmlCell::words(if s.wanted_m.is_empty() {
                "none".to_owned()
            } else {
                format!("at {}", say.stations(&s.wanted_m))
            }),
        ]
    });
    with_caution(
        table(
            "Above-ground pipe, full and at its highest temperature",
            &[
                "where",
                ">wall at",
                ">span by beam formula",
                "span by published table",
                ">recommended span",
                ">longest existing span",
                ">sag",
                "bending",
                "supports required",
            ],
            rows,
        ),
        "Nobody must be below a span while it fills. A span that sags keeps silt and air. A support that fails can overload the next supports.",
    )
}

pub(super) fn steel(anchor: &Anchor, say: Say) -> Markup {
    let case = |c: &SteelCase| {
        let up = if c.force_n.z < 0.0 { "down" } else { "up" };
        let along = if c.force_n.x < 0.0 {
            "uphill"
        } else {
            "downhill"
        };
        format!(
            "{} {along}, {} {up}, sliding {:.2}",
            say.force(c.force_n.x.abs()),
            say.force(c.force_n.z.abs()),
            c.stands.sliding
        )
    };
    let rows = anchor.steel.iter().map(|s| {
        let (long, wide, high) = s.size_m;
        vec![
            HtmlCell::figure(s.station_m, say.station(s.station_m)),
            HtmlCell::figure(s.joint_m, say.station(s.joint_m)),
            HtmlCell::figure(s.thrust_n, say.force(s.thrust_n)),
            HtmlCell::figure(s.joint_end_n, say.force(s.joint_end_n)),
            HtmlCell::figure(s.joint_friction_n, say.force(s.joint_friction_n)),
            HtmlCell::figure(s.pier_friction_n, say.force(s.pier_friction_n)),
            HtmlCell::figure(s.warming.force_n.x, case(&s.warming)),
            HtmlCell::figure(s.cooling.force_n.x, case(&s.cooling)),
            HtmlCell::figure(
                long * wide * high,
                format!(
                    "{} along, {} across, {} high",
                    say.head(long),
                    say.head(wide),
                    say.head(high)
                ),
            ),
            HtmlCell::words(s.refused.map_or("", no_block)),
        ]
    });
    with_caution(
        table(
            "Above-ground steel pipe, with an expansion joint above each thrust block",
            &[
                "thrust block at",
                "joint at",
                ">thrust",
                ">pressure on the pipe end",
                ">friction in the joint",
                ">friction on piers",
                "heating",
                "cooling",
                ">possible size",
                "",
            ],
            rows,
        ),
        "Fully restrained steel pipe without joints has the forces in the table of heat and cold. Rules for joint friction differ by a factor of four: ask the maker for the value. An engineer must design the thrust blocks of a penstock above people or buildings.",
    )
}
