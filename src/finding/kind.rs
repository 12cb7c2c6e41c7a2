//! Every kind of finding, and the rules that find them. A new one stands in this list, and its file in `rules`.

use super::found::Found;
use super::row::{Harm, RuleRow, Ruled};
use super::rules;
use super::rules::crests::Climbs;
use crate::profile::Profile;
use crate::route::Route;
use crate::study::{JudgedSurvey, Study};
use serde::Serialize;

/// What each rule looks at, and what it finds.
macro_rules! kinds {
    ($(from $asked:ident: $seen:ty { $($rule:ident: $kind:ident,)+ })+) => {
        $($(pub use super::rules::$rule::$kind;)+)+

        /// What was found, with the figures that the report puts into words.
        #[derive(Debug, Clone, PartialEq, Serialize)]
        #[cfg_attr(test, derive(schemars::JsonSchema))]
        #[serde(untagged)]
        #[non_exhaustive]
        pub enum Kind {
            $($(
                /// Told by the type of this name.
                $kind($kind),
            )+)+
        }

        $($(
            impl From<$kind> for Kind {
                fn from(of: $kind) -> Self {
                    Self::$kind(of)
                }
            }
        )+)+

        impl Kind {
            fn told(&self) -> &dyn Ruled {
                match self {
                    $($(Self::$kind(of) => of,)+)+
                }
            }
        }

        /// The codes of every kind.
        #[cfg(test)]
        pub(super) const ALL: &[&[&str]] = &[$($($kind::CODES),+),+];

        $(
            /// Everything that these rules find.
            fn $asked(of: $seen) -> Vec<Found<Kind>> {
                let mut all = Vec::new();
                $(all.extend(rules::$rule::found(of).into_iter().map(Found::widen));)+
                all
            }
        )+
    };
}

kinds! {
    from climbs: Climbs<'_> {
        climb_unvented: ClimbUnvented,
        climb_doubtful: ClimbDoubtful,
        climb_vented: ClimbVented,
    }
    from profile: &Profile {
        hardly_falls: HardlyFalls,
    }
    from route: &Route {
        misclosure_over: MisclosureOver,
        terrain_model: TerrainModel,
        not_recorded: NotRecorded,
    }
    from study: &Study {
        over_pressure: OverPressure,
        not_pressure_pipe: NotPressurePipe,
        no_rating: NoRating,
        forbidden_joint: ForbiddenJoint,
        unrestrained: Unrestrained,
        surge_over: SurgeOver,
        column_parts: ColumnParts,
        pressure_not_settled: PressureNotSettled,
        hold_wanted: HoldWanted,
        wall_too_warm: WallTooWarm,
        slip: Slip,
        parting_not_settled: PartingNotSettled,
        surge_not_valid: SurgeNotValid,
        test_outcome: TestOutcome,
        used_pipe: UsedPipe,
        collapse_without_air: CollapseWithoutAir,
        needs_air: NeedsAir,
        collapse_not_settled: CollapseNotSettled,
        joint_in_suction: JointInSuction,
        joint_not_settled: JointNotSettled,
        gauge_off: GaugeOff,
        traffic_load: TrafficLoad,
        buried: Buried,
        solid: Solid,
        rust: Rust,
        vent_fails: VentFails,
        bend_too_sharp: BendTooSharp,
        bend_not_settled: BendNotSettled,
        fitting_in_bend: FittingInBend,
        joints_forced: JointsForced,
        suction: Suction,
        low_undrained: LowUndrained,
        fast: Fast,
        no_head: NoHead,
        cannot_be: CannotBe,
        siphon_fails: SiphonFails,
        starting: Starting,
        not_full: NotFull,
        full_not_settled: FullNotSettled,
        air_takes: AirTakes,
        stream_short: StreamShort,
        gauging: Gauging,
        siphon_by_hand: SiphonByHand,
        air_gathers: AirGathers,
        submergence_short: SubmergenceShort,
        first_metres_flat: FirstMetresFlat,
        silt_settles: SiltSettles,
        loss_high: LossHigh,
        check_marking: CheckMarking,
        lighter_would_do: LighterWouldDo,
        zones_would_do: ZonesWouldDo,
    }
}

/// Everything found on a line, in the order of the rules.
pub(super) fn on_line(of: &Study) -> Vec<Found<Kind>> {
    let mut all = climbs(Climbs::of_study(of));
    all.extend(profile(&of.profile));
    all.extend(route(&of.route));
    all.extend(study(of));
    all
}

/// Everything found in a survey alone.
pub(super) fn in_survey(of: &JudgedSurvey) -> Vec<Found<Kind>> {
    let mut all = climbs(Climbs::of_survey(of));
    all.extend(profile(&of.profile));
    all.extend(route(&of.route));
    all
}

impl Kind {
    fn row(&self) -> RuleRow {
        self.told().row()
    }

    /// What programs know it by: it stays, whatever becomes of the words.
    pub fn code(&self) -> &'static str {
        self.row().code
    }

    /// The word it is called by in result.json.
    pub fn word(&self) -> &'static str {
        self.row().word
    }

    /// The page of the basis that it rests on.
    pub fn basis(&self) -> &'static str {
        self.row().basis
    }

    /// What it harms.
    pub fn harm(&self) -> Harm {
        self.row().harm
    }

    /// Whose matter it is beside its place: the movement, the state, the pipe or the thing it names.
    pub(super) fn subject(&self) -> &str {
        self.told().subject()
    }
}
