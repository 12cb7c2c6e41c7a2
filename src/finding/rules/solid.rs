//! What the water carries, and what keeps it out.

use super::{Found, Severity, Study, rows};
use crate::finding::serial::{degrees, millimetres};
use crate::flow::{FAST_M_PER_S, STEEP_RAD};
use crate::pipe::RunState;
use crate::solids::{Passage, SETTLES};
use crate::surge::Timing;

rows! {
    /// What the water carries, and what keeps it out.
    #[serde(untagged)]
    pub enum Solid {
        /// What passes the screen can block a jet: at once by one stone, or by several that bridge it.
        JetBlocks {
            /// The jet's name.
            jet: String,
            /// The hole, m.
            #[serde(rename = "nozzle_diameter_m")]
            nozzle_m: f64,
            /// Clear width of the screen's openings, m.
            opening_m: f64,
            /// One stone suffices.
            at_once: bool,
            /// Widest opening that would do, m.
            #[serde(rename = "opening_wanted_m")]
            wanted_m: f64,
            /// Largest pressure at the turbine when a jet is blocked at once, Pa.
            #[serde(rename = "pressure_pa")]
            surge_pa: Option<f64>,
        },
        /// What passes the screen can block the machine's narrowest passage.
        ClearanceBlocks {
            /// The passage, m.
            clearance_m: f64,
            /// Clear width of the screen's openings, m.
            opening_m: f64,
            /// One stone suffices.
            at_once: bool,
            /// Widest opening that would do, m.
            #[serde(rename = "opening_wanted_m")]
            wanted_m: f64,
        },
        /// The water is too fast at the screen: it holds the debris on it.
        ScreenFast {
            /// The state.
            case: RunState,
            /// Velocity at it, m/s.
            velocity_m_per_s: f64,
            /// Limit, m/s.
            limit_m_per_s: f64,
            /// Wetted face that keeps to it, m2.
            wanted_m2: f64,
        },
        /// With the screen half blocked the water behind it is too low over the pipe inlet.
        ScreenDrawsDown {
            /// The state.
            case: RunState,
            /// Head it takes clean, m.
            clean_m: f64,
            /// Head it takes half blocked, m.
            #[serde(rename = "half_blocked_m")]
            half_m: f64,
            /// Water over the crown then, m.
            #[serde(rename = "has_m")]
            cover_m: f64,
            /// Water wanted, m.
            #[serde(rename = "wanted_m")]
            wants_m: f64,
        },
        /// Grains reach the machine that wear it quickly at its head.
        GritWears {
            /// Largest grain that reaches it, m.
            #[serde(rename = "grain_mm", serialize_with = "millimetres")]
            grain_m: f64,
            /// Largest grain that it bears, m.
            #[serde(rename = "bears_mm", serialize_with = "millimetres")]
            bears_m: f64,
            /// Net head, m.
            net_head_m: f64,
            /// Surface of a basin that settles that grain, m2.
            #[serde(rename = "area_wanted_m2")]
            area_m2: f64,
        },
        /// The basin settles too little of the grain that it was declared for.
        BasinSmall {
            /// The state.
            case: RunState,
            /// The grain, m.
            #[serde(rename = "grain_mm", serialize_with = "millimetres")]
            grain_m: f64,
            /// Share that it settles.
            share: f64,
            /// Surface that settles nine in ten, m2.
            #[serde(rename = "area_wanted_m2")]
            area_m2: f64,
        },
        /// The water goes through the basin so fast that it takes the settled grain along.
        BasinFast {
            /// The state.
            case: RunState,
            /// Velocity through it, m/s.
            velocity_m_per_s: f64,
            /// Fastest that leaves the grain on the floor, m/s.
            limit_m_per_s: f64,
            /// Section that keeps to it, m2.
            #[serde(rename = "section_wanted_m2")]
            section_m2: f64,
        },
        /// The flushing water does not move settled grit.
        BasinNotFlushed {
            /// Flow that flushes, as declared, m3/s.
            flow_m3_per_s: f64,
            /// Flow that would, m3/s.
            wanted_m3_per_s: f64,
        },
        /// A nozzle is worn by 5 % of its area within a year in operation.
        NozzleWears {
            /// The nozzle.
            jet: String,
            /// Time in operation until then, s.
            #[serde(rename = "worn_after_s")]
            after_s: f64,
            /// Speed of its jet, m/s.
            speed_m_per_s: f64,
        },
        /// A rack that is raked by hand is too steep for it.
        ScreenSteep {
            /// From the horizontal, rad.
            #[serde(rename = "slope_deg", serialize_with = "degrees")]
            slope_rad: f64,
            /// Limit, rad.
            #[serde(rename = "limit_deg", serialize_with = "degrees")]
            limit_rad: f64,
        },
    }
    Solid::JetBlocks { .. } => "jet-can-block", "jet can block", "screen", Plant;
    Solid::ClearanceBlocks { .. } => "clearance-can-block", "clearance can block", "screen", Plant;
    Solid::GritWears { .. } => "grit-wears", "grit wears", "grit", Plant;
    Solid::BasinSmall { .. } => "basin-small", "basin small", "grit", Plant;
    Solid::BasinFast { .. } => "basin-fast", "basin fast", "grit", Plant;
    Solid::BasinNotFlushed { .. } => "basin-not-flushed", "basin not flushed", "grit", Plant;
    Solid::NozzleWears { .. } => "nozzle-wears", "nozzle wears", "grit", Power;
    Solid::ScreenDrawsDown { .. } => "screen-draws-down", "screen draws down", "screen", Power;
    Solid::ScreenFast { .. } => "screen-fast", "screen fast", "screen", Power;
    Solid::ScreenSteep { .. } => "screen-steep", "screen steep", "screen", Power;
}

fn watch(solid: Solid) -> Found<Solid> {
    Found::new(Severity::Watch, solid, 0.0, 0.0)
}

pub(in crate::finding) fn found(study: &Study) -> Vec<Found<Solid>> {
    screen(study).into_iter().chain(grit(study)).collect()
}

/// The screen: what it lets through, how fast the water is at it, what it takes, how it is cleaned.
fn screen(study: &Study) -> Vec<Found<Solid>> {
    let Some(screen) = &study.line.works.screen else {
        return Vec::new();
    };
    let mut found = passing(study);
    if let Some(flow) = &study.screen {
        // a screen that the water keeps clear lives by fast water
        let cleaned = screen.cleaned != Some(crate::pipe::Cleaner::Itself);
        if let Some(velocity_m_per_s) = flow.before_m_per_s
            && cleaned
            && flow.is_fast() == Some(true)
        {
            let solid = Solid::ScreenFast {
                case: flow.case.clone(),
                velocity_m_per_s,
                limit_m_per_s: FAST_M_PER_S,
                wanted_m2: flow.wanted_m2,
            };
            found.push(watch(solid).on_memory(true));
        }
        let deep = study
            .intake
            .as_ref()
            .filter(|i| i.is_deep_enough() == Some(true));
        if let (Some(mouth), Some(cover_m), Some(clean_m), Some(half_m)) =
            (deep, flow.half_cover_m, flow.clean_m, flow.half_m)
            && cover_m < mouth.wanted_m
        {
            let solid = Solid::ScreenDrawsDown {
                case: flow.case.clone(),
                clean_m,
                half_m,
                cover_m,
                wants_m: mouth.wanted_m,
            };
            found.push(watch(solid).on_memory(true));
        }
    }
    if let Some(slope_rad) = screen.slope_rad
        && screen.is_by_hand()
        && slope_rad > STEEP_RAD
    {
        let solid = Solid::ScreenSteep {
            slope_rad,
            limit_rad: STEEP_RAD,
        };
        found.push(watch(solid).on_memory(true));
    }
    found
}

/// What can block a jet, whose movement is that of a stone in it, or the machine behind.
fn passing(study: &Study) -> Vec<Found<Solid>> {
    let Some(passes) = &study.passes else {
        return Vec::new();
    };
    let end = study.line.geometry.length_m();
    let opening_m = passes.opening_m;
    let told = |passage: &Passage, solid| {
        let severity = if passage.blocks() {
            Severity::Fix
        } else {
            Severity::Watch
        };
        // that half a passage is bridged is common practice, that a whole one is blocked is geometry
        Found::new(severity, solid, end, end).on_memory(passage.bridges())
    };
    let harms = |p: &&Passage| p.blocks() || p.bridges();
    let wanted_m = |p: &Passage| crate::solids::BRIDGES * p.width_m;
    let jet = passes.jet.as_ref().filter(harms).map(|p| {
        let solid = Solid::JetBlocks {
            jet: p.jet.clone(),
            nozzle_m: p.width_m,
            opening_m,
            at_once: p.blocks(),
            wanted_m: wanted_m(p),
            surge_pa: blocked_pa(study),
        };
        told(p, solid)
    });
    let clearance = passes.clearance.as_ref().filter(harms).map(|p| {
        let solid = Solid::ClearanceBlocks {
            clearance_m: p.width_m,
            opening_m,
            at_once: p.blocks(),
            wanted_m: wanted_m(p),
        };
        told(p, solid)
    });
    jet.into_iter().chain(clearance).collect()
}

/// Largest pressure at the turbine when a stone blocks a jet at once, Pa.
fn blocked_pa(study: &Study) -> Option<f64> {
    let surges = study.surges.as_ref()?;
    surges
        .weighed()
        .filter(|s| s.timing == Timing::AtOnce && !s.asked)
        .filter_map(|s| s.points.last())
        .map(|p| p.pressure_max_pa)
        .max_by(f64::total_cmp)
}

/// What the water carries: grains that wear the machine, the basin that is to keep them out, the nozzles.
fn grit(study: &Study) -> Vec<Found<Solid>> {
    let Some(carried) = &study.grit else {
        return Vec::new();
    };
    let mut found = Vec::new();
    let end = study.line.geometry.length_m();
    if carried.reaches_m > carried.bears_m {
        let solid = Solid::GritWears {
            grain_m: carried.reaches_m,
            bears_m: carried.bears_m,
            net_head_m: carried.net_head_m,
            area_m2: carried.area_for_m2(carried.bears_m),
        };
        found.push(Found::new(Severity::Watch, solid, end, end).on_memory(true));
    }
    if let (Some(settled), Some(basin)) = (&carried.settled, &study.line.works.basin) {
        if settled.share < SETTLES {
            let solid = Solid::BasinSmall {
                case: carried.case.clone(),
                grain_m: carried.grain_m,
                share: settled.share,
                area_m2: carried.asked.area_m2,
            };
            found.push(watch(solid).on_memory(true));
        }
        if settled.through_m_per_s > carried.asked.fastest_m_per_s {
            let solid = Solid::BasinFast {
                case: carried.case.clone(),
                velocity_m_per_s: settled.through_m_per_s,
                limit_m_per_s: carried.asked.fastest_m_per_s,
                section_m2: carried.asked.section_m2,
            };
            found.push(watch(solid).on_memory(true));
        }
        if let (Some(false), Some((flow_m3_per_s, _)), Some(wanted_m3_per_s)) = (
            settled.is_flushed(),
            basin.flush,
            settled.flush_wanted_m3_per_s,
        ) {
            let solid = Solid::BasinNotFlushed {
                flow_m3_per_s,
                wanted_m3_per_s,
            };
            found.push(watch(solid).on_memory(true));
        }
    }
    if let Some(wear) = &carried.wear
        && let Some(after_s) = wear.worn_after_s
        && wear.within_a_year() == Some(true)
    {
        let solid = Solid::NozzleWears {
            jet: wear.jet.clone(),
            after_s,
            speed_m_per_s: wear.speed_m_per_s,
        };
        found.push(Found::new(Severity::Watch, solid, end, end).on_memory(true));
    }
    found
}
