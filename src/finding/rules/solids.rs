//! What the water carries, and what keeps it out.

use crate::finding::{Finding, Kind, Severity, Solid};
use crate::flow::{FAST_M_PER_S, STEEP_RAD};
use crate::solids::{Passage, SETTLES};
use crate::study::Study;
use crate::surge::Timing;

fn watch(solid: Solid) -> Finding {
    Finding::new(Severity::Watch, Kind::Solid(solid), 0.0, 0.0)
}

/// The screen: what it lets through, how fast the water is at it, what it takes, how it is cleaned.
pub fn screen(study: &Study) -> Vec<Finding> {
    let Some(screen) = &study.line.screen else {
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
            found.push(watch(solid).from_memory(true));
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
            found.push(watch(solid).from_memory(true));
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
        found.push(watch(solid).from_memory(true));
    }
    found
}

/// What can block a jet, whose movement is that of a stone in it, or the machine behind.
fn passing(study: &Study) -> Vec<Finding> {
    let Some(passes) = &study.passes else {
        return Vec::new();
    };
    let end = study.line.length_m();
    let opening_m = passes.opening_m;
    let told = |passage: &Passage, solid| {
        let severity = if passage.blocks() {
            Severity::Fix
        } else {
            Severity::Watch
        };
        // that half a passage is bridged is common practice, that a whole one is blocked is geometry
        Finding::new(severity, Kind::Solid(solid), end, end).from_memory(passage.bridges())
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
pub fn grit(study: &Study) -> Vec<Finding> {
    let Some(carried) = &study.grit else {
        return Vec::new();
    };
    let mut found = Vec::new();
    let end = study.line.length_m();
    if carried.reaches_m > carried.bears_m {
        let solid = Solid::GritWears {
            grain_m: carried.reaches_m,
            bears_m: carried.bears_m,
            net_head_m: carried.net_head_m,
            area_m2: carried.area_for_m2(carried.bears_m),
        };
        found.push(Finding::new(Severity::Watch, Kind::Solid(solid), end, end).from_memory(true));
    }
    if let (Some(settled), Some(basin)) = (&carried.settled, &study.line.basin) {
        if settled.share < SETTLES {
            let solid = Solid::BasinSmall {
                case: carried.case.clone(),
                grain_m: carried.grain_m,
                share: settled.share,
                area_m2: carried.asked.area_m2,
            };
            found.push(watch(solid).from_memory(true));
        }
        if settled.through_m_per_s > carried.asked.fastest_m_per_s {
            let solid = Solid::BasinFast {
                case: carried.case.clone(),
                velocity_m_per_s: settled.through_m_per_s,
                limit_m_per_s: carried.asked.fastest_m_per_s,
                section_m2: carried.asked.section_m2,
            };
            found.push(watch(solid).from_memory(true));
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
            found.push(watch(solid).from_memory(true));
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
        found.push(Finding::new(Severity::Watch, Kind::Solid(solid), end, end).from_memory(true));
    }
    found
}
