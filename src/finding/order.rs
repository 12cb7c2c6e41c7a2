use super::{Buried, Gauging, HoldWanted, Kind, Rust, Slip, Solid, TestOutcome};
use crate::anchor::HoldWhy;
use crate::pipe::MarkKind;

/// What a finding harms, were nothing done about it: the order among findings of one severity.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Harm {
    /// People: pressure that breaks out, something that is thrown.
    People,
    /// The plant: pipe pressed flat, joints drawn open, what holds the line.
    Plant,
    /// What the plant gives: water that does not come, power that is lost.
    Power,
    /// The purse alone, or a figure to look up.
    Purse,
}

/// One table: what each kind is called by programs, by people, where its page is, and what it harms.
macro_rules! table {
    ($($case:pat => $code:literal, $word:literal, $basis:literal, $harm:ident;)*) => {
        /// Every code, in the order of the table.
        pub const CODES: &[&str] = &[$($code),*];

        fn row(kind: &Kind) -> (&'static str, &'static str, &'static str, Harm) {
            match kind {
                $($case => ($code, $word, $basis, Harm::$harm),)*
            }
        }
    };
}

table! {
    Kind::OverPressure { .. } => "over-pressure", "over pressure", "strength", People;
    Kind::NotPressurePipe { .. } => "not-pressure-pipe", "not pressure pipe", "pipes", People;
    Kind::NoRating { .. } => "no-rating", "no rating", "pipes", People;
    Kind::ForbiddenJoint { .. } => "forbidden-joint", "forbidden joint", "pipes", People;
    Kind::Unrestrained(_) => "unrestrained", "unrestrained", "thrust", People;
    Kind::SurgeOver { .. } => "surge-over", "surge over", "surge", People;
    Kind::ColumnParts { .. } => "column-parts", "column parts", "surge", People;
    Kind::PressureNotSettled { .. } => "pressure-not-settled", "pressure not settled", "strength", People;
    Kind::HoldWanted(HoldWanted { why: HoldWhy::PullOut, .. }) => "hold-end", "hold wanted", "thrust", People;
    Kind::HoldWanted(HoldWanted { why: HoldWhy::Thrust, .. }) => "hold-thrust", "hold wanted", "thrust", People;
    Kind::TooWarm { .. } => "too-warm", "too warm", "strength", People;
    Kind::Slip(Slip::WaveSpeed { .. }) => "slip-wave-speed", "is this a slip?", "surge", People;
    Kind::Slip(Slip::Modulus { .. }) => "slip-modulus", "is this a slip?", "surge", People;
    Kind::PartingNotSettled { .. } => "parting-not-settled", "parting not settled", "surge", People;
    Kind::SurgeNotValid => "surge-not-valid", "surge not valid", "surge", People;
    Kind::Trial(TestOutcome::Leaks { .. }) => "test-leaks", "test leaks", "commissioning", People;
    Kind::Trial(TestOutcome::Air { .. }) => "test-air", "test air", "commissioning", People;
    Kind::Trial(TestOutcome::NotCertain(_)) => "test-not-certain", "test not certain", "commissioning", People;
    Kind::Trial(TestOutcome::Low { .. }) => "test-low", "test low", "commissioning", People;
    Kind::UsedPipe { .. } => "used-pipe", "used pipe", "strength", People;
    Kind::CollapseWithoutAir { .. } => "collapse-without-air", "collapse without air", "collapse", Plant;
    Kind::NeedsAir { wanted: 1.., .. } => "air-inlet-lacking", "air inlet lacking", "collapse", Plant;
    Kind::CollapseNotSettled { .. } => "collapse-not-settled", "collapse not settled", "collapse", Plant;
    Kind::JointInSuction { .. } => "joint-in-suction", "joint in suction", "collapse", Plant;
    Kind::JointNotSettled { .. } => "joint-not-settled", "joint not settled", "collapse", Plant;
    Kind::Misclosure { .. } => "misclosure", "misclosure", "survey-books", Plant;
    Kind::TerrainModel => "terrain-model", "terrain model", "survey-gps", Plant;
    Kind::NotRecorded { .. } => "not-recorded", "not recorded", "survey-gps", Plant;
    Kind::GaugeOff { .. } => "gauge-off", "gauge off", "gauges", Plant;
    Kind::Wheel { outcome: Ok(_) } => "traffic-over", "traffic", "strength", Plant;
    Kind::Wheel { outcome: Err(_) } => "traffic-not-judged", "traffic", "strength", Plant;
    Kind::HoldWanted(HoldWanted { why: HoldWhy::Slope, .. }) => "hold-slope", "hold wanted", "slopes", Plant;
    Kind::HoldWanted(HoldWanted { why: HoldWhy::Flood, .. }) => "hold-flood", "hold wanted", "floods", Plant;
    Kind::Buried(Buried::Floats { .. }) => "floats", "floats", "buoyancy", Plant;
    Kind::Buried(Buried::FloatNotJudged { .. }) => "float-not-judged", "float not judged", "buoyancy", Plant;
    Kind::Buried(Buried::Deflects { .. }) => "deflects", "deflects", "bedding", Plant;
    Kind::Buried(Buried::StonesAgainst { .. }) => "stones-against-pipe", "stones against pipe", "bedding", Plant;
    Kind::Buried(Buried::DeflectionNotJudged { .. }) => "deflection-not-judged", "deflection not judged", "bedding", Plant;
    Kind::Buried(Buried::FloatsOpen { .. }) => "floats-in-open-trench", "floats in open trench", "buoyancy", Plant;
    Kind::HoldWanted(HoldWanted { kind: MarkKind::Loop, why: HoldWhy::Heat, .. }) => "slack-wanted", "slack wanted", "heat", Plant;
    Kind::HoldWanted(HoldWanted { kind: MarkKind::ExpansionJoint, .. }) => "expansion-joints-wanted", "expansion joints wanted", "heat", Plant;
    Kind::HoldWanted(HoldWanted { why: HoldWhy::Jointed, .. }) => "hold-jointed", "hold wanted", "heat", Plant;
    Kind::HoldWanted(HoldWanted { why: HoldWhy::Heat, .. }) => "hold-heat", "hold wanted", "heat", Plant;
    Kind::HoldWanted(HoldWanted { why: HoldWhy::Span, .. }) => "hold-span", "hold wanted", "supports", Plant;
    Kind::Slip(Slip::Relief { .. }) => "slip-relief", "is this a slip?", "surge", Plant;
    Kind::Slip(Slip::Level { .. }) => "slip-level", "is this a slip?", "intake", Plant;
    Kind::Solid(Solid::JetBlocks { .. }) => "jet-can-block", "jet can block", "screen", Plant;
    Kind::Solid(Solid::ClearanceBlocks { .. }) => "clearance-can-block", "clearance can block", "screen", Plant;
    Kind::Rust(Rust::Pair(_)) => "metal-pair", "metal pair", "metals", Plant;
    Kind::Rust(Rust::EarthBonded { .. }) => "earth-bonded", "earth bonded", "metals", Plant;
    Kind::Rust(Rust::EarthCurrent { .. }) => "earth-current", "earth current", "metals", Plant;
    Kind::Rust(Rust::Soil { .. }) => "soil-corrodes", "soil corrodes", "metals", Plant;
    Kind::Rust(Rust::SoftWater { .. }) => "water-soft", "water soft", "metals", Plant;
    Kind::VentFails { .. } => "vent-fails", "vent fails", "vents", Plant;
    Kind::NeedsAir { .. } => "lives-by-vents", "lives by vents", "collapse", Plant;
    Kind::BendTooSharp { .. } => "bend-too-sharp", "bend too sharp", "bends", Plant;
    Kind::BendNotSettled { .. } => "bend-not-settled", "bend not settled", "bends", Plant;
    Kind::FittingInBend { .. } => "fitting-in-bend", "fitting in bend", "bends", Plant;
    Kind::JointsForced { .. } => "joints-forced", "joints forced", "laying", Plant;
    Kind::Suction { .. } => "suction", "suction", "crests", Plant;
    Kind::LowUndrained { .. } => "low-without-drain", "low without drain", "filling", Plant;
    Kind::Fast { .. } => "fast", "fast", "running", Plant;
    Kind::Slip(Slip::NozzleHeight { .. }) => "slip-nozzle-height", "is this a slip?", "running", Power;
    Kind::Slip(Slip::Jet { .. }) => "slip-jet", "is this a slip?", "running", Power;
    Kind::Slip(Slip::Roughness { .. }) => "slip-roughness", "is this a slip?", "friction", Power;
    Kind::Slip(Slip::WaterToWire { .. }) => "slip-water-to-wire", "is this a slip?", "running", Purse;
    Kind::NoHead { .. } => "no-head", "no head", "running", Power;
    Kind::CannotBe { .. } => "cannot-be", "cannot be", "running", Power;
    Kind::SiphonFails { .. } => "siphon-fails", "siphon fails", "intake", Power;
    Kind::Locks(_) => "air-lock", "air lock", "start-up", Power;
    Kind::StartNotSettled(_) => "start-not-settled", "start not settled", "start-up", Power;
    Kind::ClimbUnvented { .. } => "climb", "climb", "climbs", Power;
    Kind::NotFull { .. } => "does-not-run-full", "does not run full", "crests", Power;
    Kind::ClimbDoubtful { .. } => "climb-doubtful", "climb doubtful", "climbs", Power;
    Kind::MayStart(_) => "may-start", "may start", "start-up", Power;
    Kind::FullNotSettled { .. } => "full-not-settled", "full not settled", "crests", Power;
    Kind::AirTakes { .. } => "air-takes", "air takes", "start-up", Power;
    Kind::StreamShort { .. } => "stream-short", "stream short", "intake", Power;
    Kind::Gauging(Gauging::Short { .. }) => "stream-measured-short", "measured stream short", "gauging", Power;
    Kind::Gauging(Gauging::Doubtful { .. }) => "stream-measured-doubtful", "measured stream doubtful", "gauging", Power;
    Kind::Gauging(Gauging::Over { .. }) => "stream-not-as-measured", "stream not as measured", "gauging", Power;
    Kind::SiphonByHand { .. } => "siphon-by-hand", "siphon by hand", "intake", Power;
    Kind::AirGathers { .. } => "air-gathers", "air gathers", "air", Power;
    Kind::Submergence { .. } => "submergence", "submergence", "intake", Power;
    Kind::FirstMetresFlat { .. } => "first-metres-flat", "first metres flat", "intake", Power;
    Kind::Solid(Solid::GritWears { .. }) => "grit-wears", "grit wears", "grit", Plant;
    Kind::Solid(Solid::BasinSmall { .. }) => "basin-small", "basin small", "grit", Plant;
    Kind::Solid(Solid::BasinFast { .. }) => "basin-fast", "basin fast", "grit", Plant;
    Kind::Solid(Solid::BasinNotFlushed { .. }) => "basin-not-flushed", "basin not flushed", "grit", Plant;
    Kind::Solid(Solid::NozzleWears { .. }) => "nozzle-wears", "nozzle wears", "grit", Power;
    Kind::Solid(Solid::ScreenDrawsDown { .. }) => "screen-draws-down", "screen draws down", "screen", Power;
    Kind::Solid(Solid::ScreenFast { .. }) => "screen-fast", "screen fast", "screen", Power;
    Kind::Solid(Solid::ScreenSteep { .. }) => "screen-steep", "screen steep", "screen", Power;
    Kind::SiltSettles { .. } => "silt-settles", "silt settles", "running", Power;
    Kind::Flat { .. } => "flat", "flat", "climbs", Power;
    Kind::ClimbVented { .. } => "climb-vented", "climb vented", "climbs", Power;
    Kind::LossHigh { .. } => "loss-high", "loss high", "running", Power;
    Kind::CheckMarking { .. } => "check-marking", "check marking", "pipes", Purse;
    Kind::LighterWouldDo(_) => "lighter-would-do", "lighter would do", "strength", Purse;
    Kind::ZonesWouldDo(_) => "zones-would-do", "zones would do", "strength", Purse;
}

impl Kind {
    /// What programs know it by: it stays, whatever becomes of the words.
    pub fn code(&self) -> &'static str {
        row(self).0
    }

    /// The word it is called by in result.json.
    pub fn word(&self) -> &'static str {
        match self {
            Self::HoldWanted(hold) => match hold.kind {
                MarkKind::Anchor => "anchors wanted",
                MarkKind::Block => "blocks wanted",
                MarkKind::Strap => "straps wanted",
                MarkKind::Support => "supports wanted",
                MarkKind::Guide => "guides wanted",
                MarkKind::Loop => "slack wanted",
                MarkKind::ExpansionJoint => "expansion joints wanted",
                _ => row(self).1,
            },
            _ => row(self).1,
        }
    }

    /// The page of the basis that it rests on.
    pub fn basis(&self) -> &'static str {
        row(self).2
    }

    /// What it harms.
    pub fn harm(&self) -> Harm {
        row(self).3
    }

    /// Place among findings of the same severity: people before the plant before its power, and within that as the table stands.
    pub(super) fn rank(&self) -> usize {
        let code = self.code();
        CODES.iter().position(|c| *c == code).unwrap_or(CODES.len())
    }

    /// Whose matter it is beside its place: the movement, the state, the pipe or the thing it names.
    pub(super) fn subject(&self) -> &str {
        match self {
            Self::SurgeOver { movement, .. }
            | Self::ColumnParts { movement, .. }
            | Self::PartingNotSettled { movement, .. } => movement,
            Self::OverPressure { spec, .. }
            | Self::NotPressurePipe { spec, .. }
            | Self::NoRating { spec, .. }
            | Self::CheckMarking { spec }
            | Self::UsedPipe { spec, .. }
            | Self::TooWarm { spec, .. } => spec,
            Self::VentFails { name, fault } => match fault {
                crate::air::VentFault::Inhales(_) => "inhales",
                _ => name,
            },
            Self::Rust(Rust::Pair(pair)) => &pair.part,
            Self::FittingInBend { name } | Self::Slip(Slip::Relief { name, .. }) => name,
            Self::CollapseWithoutAir {
                cause: super::PressureCause::Surge(movement),
                ..
            } => movement,
            Self::CollapseWithoutAir { of, .. } => of,
            Self::HoldWanted(_) => self.word(),
            _ => "",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn codes_are_words_and_no_two_are_alike() {
        for (i, code) in CODES.iter().enumerate() {
            assert!(
                code.chars().all(|c| c.is_ascii_lowercase() || c == '-'),
                "{code}"
            );
            assert!(!CODES[..i].contains(code), "{code} stands twice");
        }
    }
}
