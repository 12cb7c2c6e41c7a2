use super::block::block;
use super::buried::BeddedJson;
use crate::finding::{PressureCause, cause, part};
use crate::line::Fitting;
use crate::mark::Mark;
use crate::pipe::{Joint, Traffic};
use crate::report::marked::vents_on;
use crate::strength::{
    JointSuction, MayTake, OutsideLow, ReachStrength, Strength, WheelLoad, Zone,
};
use crate::study::{ComparedRun, Zoned};
use crate::words::no_wheel;

block! {
    struct StrengthJson of (s: &ReachStrength) with {
        let governing = s.governing.as_ref();
    } {
        from_station_m: f64 = s.from_m,
        to_station_m: f64 = s.to_m,
        spec: String = s.spec.clone(),
        refused: Option<String> = s.refused.clone(),
        /// Possible grades of a pipe without a rating.
        may_be: Option<MayBeJson> = s.may_be.as_ref().map(MayBeJson::of),
        rating_pa: Option<f64> = s.rating_pa,
        allowed_pa: Option<f64> = governing.map(|g| g.allowed_pa),
        /// Station of the highest utilization, m.
        worst_station_m: Option<f64> = governing.map(|g| g.station_m),
        cause: Option<String> = governing.map(|g| cause_word(&cause(&g.cause))),
        /// True if the cause is an operation with column separation.
        cause_parts: Option<bool> = governing.filter(|g| g.cause.parts).map(|_| true),
        weakest: Option<String> = governing.map(|g| part(&g.weakest)),
        pressure_pa: Option<f64> = governing.map(|g| g.pressure_pa),
        /// Pressure at the head plus two standard deviations, Pa.
        pressure_high_pa: Option<f64> = governing.map(|g| g.pressure_high_pa),
        /// Temperature factor of the rating.
        temperature_factor: Option<f64> = governing.map(|g| g.temperature_factor),
        /// Temperature of the pipe wall, degrees Celsius.
        wall_c: Option<f64> = governing.map(|g| g.wall_c),
        /// Surge allowance on the rating.
        surge_allowance: Option<f64> = governing.map(|g| g.surge_allowance),
        /// Remaining share of the rating after age or rust.
        share_left: f64 = s.left.share,
        /// Corrosion allowance on the wall, m.
        rust_m: Option<f64> = (s.left.rust_m > 0.0).then_some(s.left.rust_m),
        /// True if the joint is not permitted on a pressure pipe.
        forbidden_joint: Option<&'static str> = s.forbidden_joint,
        /// Wall temperature above the limit of the standard, degrees Celsius.
        too_warm_c: Option<f64> = s.too_warm.map(|w| w.wall_c),
        /// Static pressure at flood level, Pa.
        static_pa: f64 = s.static_pa,
        /// Static pressure at the head plus two standard deviations, Pa.
        static_high_pa: f64 = s.static_high_pa,
        /// Operating pressure, Pa.
        working_pa: Option<f64> = s.working_pa,
        /// Pressure when the filling water stops suddenly, Pa.
        filling_pa: Option<f64> = s.filling_pa,
        /// Test pressure, Pa.
        test_pa: Option<f64> = s.test.map(|t| t.pressure_pa),
        /// Utilization in the hydrostatic test.
        test_use_high: Option<f64> = s.test.map(|t| t.use_high),
        /// Station that governs the test, m.
        test_station_m: Option<f64> = s.test.map(|t| t.station_m),
        /// Total pressure in a routine surge, Pa.
        surge_routine_pa: Option<f64> = s.surge_routine_pa,
        /// Total pressure in a rare surge, Pa.
        surge_rare_pa: Option<f64> = s.surge_rare_pa,
        r#use: Option<f64> = s.use_mean,
        use_high: Option<f64> = s.use_high,
        collapse_pa: f64 = s.collapse_pa,
        #[cfg_attr(test, schemars(with = "Option<f64>"))]
        outside_use: f64 = s.outside_use,
        /// The vacuum two standard deviations lower.
        outside_low: Option<OutsideLowJson> = s.outside_low.as_ref().map(OutsideLowJson::of),
        /// Highest vacuum, Pa.
        outside_pull_pa: Option<f64> = s.outside.as_ref().map(|_| s.pull_pa),
        /// Station of the highest vacuum, m.
        outside_station_m: Option<f64> = s.outside.as_ref().map(|o| o.0),
        /// Cause of the highest vacuum.
        outside_cause: Option<String> = s.outside.as_ref().map(|o| cause_word(&cause(&o.1))),
        /// True if the soil supports the buried pipe against collapse.
        held_by_ground: bool = s.held_by_ground,
        /// Lightest sufficient pipe.
        lightest_spec: Option<String> = s.lightest.as_ref().ok().map(|p| p.spec.clone()),
        /// Rule of thumb: static pressure and 40 %, Pa.
        standing_and_forty_percent_pa: f64 = s.habit_pa,
        from_memory: bool = s.from_memory,
    }

    struct MayBeJson of (of: &(MayTake, MayTake)) {
        weakest: MayTakeJson = MayTakeJson::of(&of.0),
        /// Strongest possible grade.
        strongest: MayTakeJson = MayTakeJson::of(&of.1),
    }

    /// A grade that a pipe without a rating may be.
    struct MayTakeJson of (of: &MayTake) {
        /// Grade of the material.
        grade: String = of.grade.grade.clone(),
        standard: String = of.grade.standard.clone(),
        rating_pa: f64 = of.grade.rating_pa,
        use_high: Option<f64> = of.use_high,
    }

    /// From outside with the survey's doubt counted.
    struct OutsideLowJson of (low: &OutsideLow) {
        #[cfg_attr(test, schemars(with = "Option<f64>"))]
        r#use: f64 = low.share,
        /// Utilization at the mean heights.
        #[cfg_attr(test, schemars(with = "Option<f64>"))]
        use_mean: f64 = low.share_mean,
        station_m: f64 = low.station_m,
        cause: String = cause_word(&cause(&low.cause)),
        /// Vacuum, Pa.
        pull_pa: f64 = low.pull_pa,
        collapse_pa: f64 = low.collapse_pa,
    }

    /// The block `zones`: the lightest class from station to station, carried back through flow and surge, where it can be told.
    struct ZonesJson of (zoned: &Zoned) {
        /// Factor on the static pressure.
        margin: f64 = zoned.margin,
        mass_kg: f64 = zoned.mass_kg,
        /// Mass of the declared pipe, kg.
        declared_mass_kg: f64 = zoned.declared_mass_kg,
        list: Vec<ZoneJson> = (0..).zip(&zoned.list).map(|(i, z)| ZoneJson::of(i, z, zoned)).collect(),
        holds: bool = zoned.holds,
        /// Number of recalculations.
        rounds: usize = zoned.rounds,
        use_high: Option<f64> = zoned.use_high,
        /// Utilization of the declared pipe.
        declared_use_high: Option<f64> = zoned.declared_use_high,
        outside_use: f64 = zoned.outside_use,
        surge_pa: Option<f64> = zoned.surge_pa,
        /// Highest surge pressure of the declared pipe, Pa.
        declared_surge_pa: Option<f64> = zoned.declared_surge_pa,
        parting: Vec<String> = zoned.parting.iter().map(ToString::to_string).collect(),
        cases: Vec<ZonedCaseJson> = zoned.cases.iter().map(ZonedCaseJson::of).collect(),
    }

    struct ZoneJson of (i: usize, z: &Zone, zoned: &Zoned) {
        from_station_m: f64 = z.from_m,
        to_station_m: f64 = z.to_m,
        spec: String = z.pipe.spec.clone(),
        /// True if it differs from the declared pipe.
        differs: bool = z.differs,
        pieces: usize = z.pieces,
        mass_kg: f64 = z.mass_kg,
        /// True if recalculation required a stronger class.
        raised: bool = zoned.raised.contains(&i),
    }

    /// The block `outside`: pipe that lives by its vents, joints that are sucked at, traffic.
    struct OutsideJson of (strength: &Strength, marks: &[Mark]) {
        /// Sections that a full vacuum can collapse.
        needs_air: Vec<NeedsAirJson> = strength.needs_air.iter().map(|of| NeedsAirJson::of(of, marks)).collect(),
        joints: Vec<SuckedJointJson> = strength.suction.iter().map(SuckedJointJson::of).collect(),
        traffic: Vec<TrafficJson> = strength.wheels.iter().map(TrafficJson::of).collect(),
        /// Trenches of buried pipe.
        trenches: Vec<BeddedJson> = strength.bedded.iter().map(BeddedJson::of).collect(),
    }

    struct ZonedCaseJson of (c: &ComparedRun) {
        name: String = c.state.to_string(),
        flow_m3_per_s: f64 = c.flow_m3_per_s,
        /// Flow with the declared pipe, m3/s.
        declared_flow_m3_per_s: f64 = c.declared_flow_m3_per_s,
        net_head_m: f64 = c.net_head_m,
        /// Net head with the declared pipe, m.
        declared_net_head_m: f64 = c.declared_net_head_m,
    }

    struct TrafficJson of (wheel: &WheelLoad) with {
        let pressed = wheel.outcome.as_ref().ok();
    } {
        from_station_m: f64 = wheel.from_m,
        to_station_m: f64 = wheel.to_m,
        traffic: Traffic = wheel.traffic,
        /// Wheel load, Pa.
        wheel_pa: Option<f64> = pressed.map(|p| p.wheel_pa),
        /// Soil load, Pa.
        ground_pa: Option<f64> = pressed.map(|p| p.ground_pa),
        allowed_pa: Option<f64> = pressed.map(|p| p.allowed_pa),
        /// Share, 0 to 1.
        share: Option<f64> = pressed.map(|p| p.share),
        from_memory: bool = true,
        why: Option<&'static str> = wheel.outcome.as_ref().err().map(|why| no_wheel(*why)),
    }

    struct NeedsAirJson of (of: &(f64, f64), marks: &[Mark]) {
        from_station_m: f64 = of.0,
        to_station_m: f64 = of.1,
        vents: Vec<String> = vents_on(marks, of.0, of.1).into_iter().map(str::to_owned).collect(),
    }

    struct SuckedJointJson of (j: &JointSuction) {
        from_station_m: f64 = j.from_m,
        to_station_m: f64 = j.to_m,
        joint: Joint = j.joint,
        /// Lowest pressure, Pa.
        least_pa: f64 = j.least_pa,
        /// Lowest pressure, two standard deviations lower, Pa.
        least_low_pa: f64 = j.least_low_pa,
        /// True if the survey is accurate enough to decide.
        settled: bool = j.settled,
        station_m: f64 = j.station_m,
        /// Limit of the pressure, Pa.
        limit_pa: f64 = j.limit_pa,
        cause: String = cause_word(&cause(&j.cause)),
        /// True if the joint has its own limit.
        own_limit: bool = j.own_limit,
        from_memory: bool = !j.own_limit,
    }

    /// The block `not_judged`: fittings without a stated rating, and movements in which the water parts.
    struct NotJudgedJson of (strength: &Strength, all: &[Fitting]) {
        /// Names of fittings without a rating.
        fittings: Vec<String> = strength.unrated_fittings.iter().filter_map(|i| all.get(*i)).map(|f| f.name.clone()).collect(),
        parting: Vec<String> = strength.parting.iter().map(ToString::to_string).collect(),
    }
}

/// The word of a cause: "standing", a case's or movement's name.
pub fn cause_word(cause: &PressureCause) -> String {
    match cause {
        PressureCause::Standing => "standing".to_owned(),
        PressureCause::StandingInSun => "standing in the sun".to_owned(),
        PressureCause::Running(name) | PressureCause::Surge(name) => name.clone(),
        PressureCause::Filling => "filling".to_owned(),
        PressureCause::Test => "test".to_owned(),
        PressureCause::Emptied(how) => how.clone(),
    }
}
