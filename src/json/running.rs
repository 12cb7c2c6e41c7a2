use super::block::block;
use crate::flow::checks::{ByHazen, Carrying, HazenForm};
use crate::flow::{
    Aged, AtBest, DoubtOf, DoubtPart, GradePoint, JetRun, Largest, Limited, LimitedBy, Loss,
    Regime, Remedy, Run, Stretch,
};
use crate::line::{Discharge, Line, Outlet};
use crate::pipe::WaterLevel;
use crate::words::{Say, losses, remedy};

block! {
    struct CaseJson of (run: &Run, line: &Line, say: Say) {
        name: String = run.state().to_string(),
        /// Water level at the intake: usual (normal), low or flood.
        level: WaterLevel = run.wish.level,
        level_m: f64 = run.level_m,
        flow_m3_per_s: f64 = run.flow_m3_per_s,
        /// Standard deviation of the flow, m3/s.
        flow_sd_m3_per_s: f64 = run.flow_sd_m3_per_s,
        /// Gross head: static water level above the nozzle axis, m.
        gross_head_m: f64 = run.gross_head_m,
        /// Standard deviation of the gross head, m.
        gross_head_sd_m: f64 = run.gross_head_sd_m,
        net_head_m: f64 = run.net_head_m,
        /// Standard deviation of the net head, m.
        net_head_sd_m: f64 = run.net_head_sd_m,
        friction_m: f64 = run.losses.friction_m,
        /// Local (minor) head losses: inlet, fittings, bends, m.
        local_m: f64 = run.losses.local_m,
        /// Head loss due to trapped air, m.
        air_m: f64 = run.losses.air_m,
        fall_m: f64 = run.losses.fall_m,
        /// Each head loss by itself.
        losses: Vec<LossJson> = losses(run, &line.reaches, &line.fittings).into_iter().map(|(by, l)| LossJson::of(by, l)).collect(),
        /// Highest velocity, m/s.
        velocity_max_m_per_s: f64 = run.velocity_max_m_per_s,
        /// Station of the highest velocity, m.
        velocity_max_station_m: f64 = run.velocity_max_station_m,
        /// Velocity limit, m/s.
        velocity_limit_m_per_s: f64 = line.wishes.limits.velocity_m_per_s,
        /// True if the velocity exceeds the limit.
        too_fast: bool = run.velocity_max_m_per_s > line.wishes.limits.velocity_m_per_s,
        pressure_turbine_pa: f64 = run.pressure_turbine_pa,
        /// Standard deviation of the pressure at the turbine, Pa.
        pressure_turbine_sd_pa: f64 = run.pressure_turbine_sd_pa,
        water_power_w: f64 = run.water_power_w,
        /// Standard deviation of the hydraulic power, W.
        water_power_sd_w: f64 = run.water_power_sd_w,
        /// Power of the free jets, W.
        jet_power_w: Option<f64> = run.jet_power_w,
        /// Velocity of the free jets, m/s.
        jet_speed_m_per_s: Option<f64> = run.jets.first().map(|j| j.speed_m_per_s),
        /// Open nozzles.
        jets: Vec<JetJson> = run.jets.iter().map(|j| JetJson::of(j, line.outlet.as_ref())).collect(),
        /// Electrical power, W.
        electrical_w: Option<f64> = run.electrical.map(|e| e.power_w),
        /// Lower limit of the electrical power, W.
        electrical_low_w: Option<f64> = run.electrical.map(|e| e.low_w),
        /// Upper limit of the electrical power, W.
        electrical_high_w: Option<f64> = run.electrical.map(|e| e.high_w),
        /// The same with fouled (aged) pipe walls.
        slimed: Option<Aged> = run.aged,
        /// Uncertainty by cause: the effect of one standard deviation of each.
        doubts: Vec<DoubtJson> = run.doubts.iter().map(DoubtJson::of).collect(),
        /// Sections of constant pipe and flow.
        stretches: Vec<StretchJson> = run.stretches.iter().map(StretchJson::of).collect(),
        /// Transport of sediment by section.
        silt: Vec<SiltJson> = run.silt.iter().map(SiltJson::of).collect(),
        /// Friction by Hazen-Williams, for comparison only.
        hazen_williams: Option<HazenJson> = run.by_hazen.as_ref().map(HazenJson::of),
        /// What limits the flow: crest (a high point above the hydraulic grade line), boiling, or stream.
        limited_by: Option<LimitedBy> = run.limited.as_ref().map(|l| l.by),
        limited_station_m: Option<f64> = run.limited.as_ref().map(|l| l.station_m),
        /// The limit of the flow, with its remedies.
        limited: Option<LimitedJson> = run.limited.as_ref().map(|l| LimitedJson::of(l, say)),
        points: Vec<CasePointJson> = run.points.iter().map(CasePointJson::of).collect(),
    }

    struct CasePointJson of (p: &GradePoint) {
        station_m: f64 = p.station_m,
        /// Hydraulic grade line, an elevation in the datum of the survey, m.
        grade_line_m: f64 = p.grade_line_m,
        pressure_pa: f64 = p.pressure_pa.max(p.pressure_below_pa),
    }

    struct LossJson of (by: String, l: &Loss) {
        by: String = by,
        from_station_m: f64 = l.from_m,
        to_station_m: f64 = l.to_m,
        /// Loss coefficient on the velocity head.
        k: f64 = l.k,
        head_m: f64 = l.head_m,
        from_memory: bool = l.from_memory,
    }

    struct JetJson of (run: &JetRun, outlet: Option<&Outlet>) with {
        let name = match outlet.map(|o| &o.how) {
        Some(Discharge::Jets(jets)) => jets.get(run.jet).map(|j| j.name.clone()),
        _ => None,
        };
    } {
        name: Option<String> = name,
        flow_m3_per_s: f64 = run.flow_m3_per_s,
        /// Velocity, m/s.
        speed_m_per_s: f64 = run.speed_m_per_s,
        /// Nozzle diameter, m.
        diameter_m: f64 = run.diameter_m,
    }

    struct DoubtJson of (d: &DoubtPart) {
        /// The cause of the uncertainty.
        of: DoubtOf = d.of,
        flow_m3_per_s: f64 = d.flow_m3_per_s,
        net_head_m: f64 = d.net_head_m,
        water_power_w: f64 = d.power_w,
        pressure_turbine_pa: f64 = d.pressure_pa,
    }

    struct StretchJson of (s: &Stretch) {
        from_station_m: f64 = s.from_m,
        to_station_m: f64 = s.to_m,
        flow_m3_per_s: f64 = s.flow_m3_per_s,
        velocity_m_per_s: f64 = s.velocity_m_per_s,
        /// Reynolds number.
        reynolds: f64 = s.reynolds,
        /// Flow regime: still, laminar, between or turbulent.
        regime: Regime = s.regime,
        /// Darcy friction factor.
        friction_factor: f64 = s.friction_factor,
    }

    struct SiltJson of (c: &Carrying) {
        from_station_m: f64 = c.from_m,
        to_station_m: f64 = c.to_m,
        velocity_m_per_s: f64 = c.velocity_m_per_s,
        /// Velocity above which silt is carried, m/s.
        carries_m_per_s: f64 = c.carries_m_per_s,
        /// Velocity above which settled grit is flushed, m/s.
        flushes_m_per_s: f64 = c.flushes_m_per_s,
        /// True if silt settles.
        settles: bool = c.settles(),
        from_memory: bool = true,
    }

    struct HazenJson of (by: &ByHazen) with {
        let form = match by.form {
        HazenForm::Metric => "10.67 Q^1.852 / (C^1.852 D^4.8704), m and m3/s",
        HazenForm::UsTables => {
        "0.2083 (100/C)^1.852 q^1.852 / d^4.8655, feet in 100 ft, US gpm, in"
        }
        HazenForm::Definition => "1.318 C R^0.63 S^0.54, ft and s",
        };
    } {
        friction_m: f64 = by.friction_m,
        /// Form of the formula.
        form: &'static str = form,
        /// Hazen-Williams coefficient C.
        c: Vec<f64> = by.c.clone(),
        /// True if the formula is used outside its range.
        outside_its_range: bool = by.outside,
    }

    /// Why a line does not run full, and what would help.
    struct LimitedJson of (l: &Limited, say: Say) {
        by: LimitedBy = l.by,
        station_m: f64 = l.station_m,
        vented: bool = l.vented,
        /// Pressure head that a full pipe would have there, m.
        suction_m: Option<f64> = l.suction_m,
        working_limit_m: f64 = l.working_limit_m,
        /// Pressure head at which water boils (vapour pressure limit), m.
        boiling_limit_m: f64 = l.boiling_limit_m,
        /// Station from which the pipe is full again, m.
        full_again_m: f64 = l.full_again_m,
        /// Values of the full, airtight pipe, for a limited time.
        at_best: Option<AtBest> = l.at_best,
        /// Possible remedies, each with its values.
        remedies: Vec<RemedyJson> = l.remedies.iter().map(|r| RemedyJson::of(r, l, say)).collect(),
    }

    /// The block `largest_power`.
    struct LargestJson of (l: &Largest) {
        flow_m3_per_s: f64 = l.flow_m3_per_s,
        net_head_m: f64 = l.net_head_m,
        /// Head loss divided by gross head.
        loss_share: f64 = l.loss_share,
        water_power_w: f64 = l.water_power_w,
        /// Total nozzle area, m2.
        jets_area_m2: f64 = l.area_m2,
        nozzle_diameter_m: Option<f64> = l.nozzle_diameter_m,
        /// True if a high point limits it.
        held_by_crest: bool = l.held_by_crest,
    }

    struct RemedyJson of (r: &Remedy, limited: &Limited, say: Say) with {
        let (best, area_share) = match *r {
            Remedy::Throttle { flow_m3_per_s, net_head_m, water_power_w, area_share } => (Some((flow_m3_per_s, net_head_m, water_power_w)), Some(area_share)),
            _ => (None, None),
        };
        let by = if let Remedy::LowerCrest { by_m } = *r { Some(by_m) } else { None };
        let bore = if let Remedy::LargerUpperPipe { bore_m } = *r { Some(bore_m) } else { None };
    } {
        flow_m3_per_s: Option<f64> = best.map(|b| b.0),
        net_head_m: Option<f64> = best.map(|b| b.1),
        water_power_w: Option<f64> = best.map(|b| b.2),
        /// Remaining share of the nozzle area.
        area_share: Option<f64> = area_share,
        /// Amount of the change, m.
        by_m: Option<f64> = by,
        bore_m: Option<f64> = bore,
        what: Remedy = *r,
        text: String = remedy(r, limited, say),
    }
}
