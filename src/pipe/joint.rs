//! What a joint can take: pressure, suction, pull.

use super::facts::is_stainless;
use super::{How, Joint, Material, Pipe};

/// Whether a joint holds the ends of the pipe together against pull.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Pull {
    /// As strong as the pipe for what heat and pressure pull.
    Holds,
    /// Holds some: not to be counted on when warm.
    Partly,
    /// Slides out: bends and ends need blocks or anchors.
    Slides,
}

/// What a joint can take.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct JointLimit {
    /// Pressure of its own, Pa, at the pipe's reference temperature; `None`: it follows the pipe.
    pub own_pa: Option<f64>,
    /// Share of the pipe's rating that it takes.
    pub share: f64,
    /// Against pull.
    pub pull: Pull,
    /// Least pressure below the air's that it keeps tight, m of water; `None`: as far as the pipe itself.
    pub suction_m: Option<f64>,
    /// Must not stand in a penstock: why.
    pub forbidden: Option<&'static str>,
    /// How the pressure limit is known.
    pub how: How,
    /// Where from.
    pub source: &'static str,
}

impl JointLimit {
    /// Pressure it may take on a pipe of a given rating, Pa.
    pub fn rating_pa(&self, pipe_rating_pa: f64) -> f64 {
        (pipe_rating_pa * self.share).min(self.own_pa.unwrap_or(f64::INFINITY))
    }
}

/// Suction to which a joint that seals by a lip or a grip is trusted, m of water (from memory).
const LIP_SUCTION_M: f64 = 3.0;

/// What a joint on a pipe can take.
///
/// Fused, electrofusion, solvent-welded and welded joints made right are as strong as the pipe. Compression couplers 10 bar unless marked, barbed inserts
/// with clamps 6.9 bar (100 psi), flanges 10 bar on plastic and 19.6 bar on steel, threads half the rating on PVC schedule 80 and none on schedule 40,
/// threaded steel 80.7, 62 and 53.8 bar at 1, 2 and 4 in. Sleeves for drains are forbidden: they are tested to 0.30 bar.
pub fn joint_limit(joint: Joint, pipe: &Pipe) -> JointLimit {
    let like_pipe = |pull, suction_m, how, source| JointLimit {
        own_pa: None,
        share: 1.0,
        pull,
        suction_m,
        forbidden: None,
        how,
        source,
    };
    match joint {
        Joint::Fused => like_pipe(
            Pull::Holds,
            None,
            How::Memory,
            "as the pipe if made correctly, from memory",
        ),
        Joint::Electrofusion => like_pipe(
            Pull::Holds,
            None,
            How::Memory,
            "the class marked on the fitting, else as the pipe, from memory",
        ),
        Joint::Welded => like_pipe(
            Pull::Holds,
            None,
            How::Memory,
            "as the pipe if made correctly, from memory",
        ),
        Joint::Solvent => like_pipe(
            Pull::Holds,
            None,
            How::Secondary,
            "ASTM D2672 and D2855 practice, second hand: the plain pipe's full rating",
        ),
        Joint::Ring => like_pipe(
            Pull::Slides,
            Some(LIP_SUCTION_M),
            How::Memory,
            "as the pipe, from memory",
        ),
        Joint::Compression => JointLimit {
            own_pa: Some(10e5),
            ..like_pipe(
                Pull::Holds,
                Some(LIP_SUCTION_M),
                How::Secondary,
                "ISO 17885 fittings, second hand: 10 bar unless the fitting is marked higher",
            )
        },
        Joint::Barbed => JointLimit {
            own_pa: Some(6.9e5),
            ..like_pipe(
                Pull::Partly,
                Some(LIP_SUCTION_M),
                How::Memory,
                "100 psi unless the fitting is marked, from memory",
            )
        },
        Joint::Flange => JointLimit {
            own_pa: Some(match pipe.material {
                Material::Steel => 19.6e5,
                _ => 10e5,
            }),
            ..like_pipe(
                Pull::Holds,
                None,
                How::Memory,
                "ASME B16.5 class 150 on steel, EN 1092-1 PN 10 on plastic, from memory: check the marking",
            )
        },
        Joint::Thread => thread(
            pipe,
            like_pipe(Pull::Holds, Some(LIP_SUCTION_M), How::Secondary, ""),
        ),
        Joint::RepairCoupling => JointLimit {
            own_pa: Some(0.30e5),
            forbidden: Some(
                "a sleeve for drains, tested to 0.30 bar, that slides off under pressure",
            ),
            ..like_pipe(
                Pull::Slides,
                Some(0.0),
                How::Secondary,
                "ASTM C1173 test pressure, second hand",
            )
        },
    }
}

fn thread(pipe: &Pipe, plain: JointLimit) -> JointLimit {
    match pipe.material {
        Material::Pvc if pipe.series == "Schedule 80" => JointLimit {
            share: 0.5,
            source: "ASTM D1785 practice, second hand: a thread halves the rating",
            ..plain
        },
        Material::Pvc => JointLimit {
            share: 0.0,
            forbidden: Some("PVC thinner than schedule 80 is not to be threaded"),
            source: "ASTM D1785 practice, second hand",
            ..plain
        },
        Material::Pe => JointLimit {
            share: 0.0,
            forbidden: Some("polyethylene pipe is not to be threaded"),
            how: How::Memory,
            source: "common practice, no source",
            ..plain
        },
        Material::Steel => {
            let bar = match pipe.outer_diameter_m {
                d if d <= 0.0335 => 80.7,
                d if d <= 0.0604 => 62.0,
                _ => 53.8,
            };
            JointLimit {
                own_pa: Some(bar * 1e5),
                source: if is_stainless(pipe) {
                    "printed limits of threaded schedule 40 steel, second hand; stainless schedule 10S is too thin for a full thread"
                } else {
                    "printed limits of threaded schedule 40 steel, second hand"
                },
                ..plain
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pipe::find;

    #[test]
    fn a_joint_never_takes_more_than_its_pipe() {
        let pipe = find("PE100 SDR 26 90").unwrap();
        let rating = pipe.rating_pa.unwrap();
        for joint in [
            Joint::Fused,
            Joint::Compression,
            Joint::Barbed,
            Joint::Flange,
            Joint::RepairCoupling,
            Joint::Ring,
        ] {
            assert!(
                joint_limit(joint, &pipe).rating_pa(rating) <= rating,
                "{joint:?}"
            );
        }
        assert!(
            joint_limit(Joint::RepairCoupling, &pipe)
                .forbidden
                .is_some()
        );
    }

    #[test]
    fn threads_halve_schedule_80_and_are_forbidden_on_thinner_pvc() {
        let thick = find("PVC schedule 80 2 in").unwrap();
        let thin = find("PVC schedule 40 2 in").unwrap();
        assert_eq!(joint_limit(Joint::Thread, &thick).share, 0.5);
        assert!(joint_limit(Joint::Thread, &thin).forbidden.is_some());
    }
}
