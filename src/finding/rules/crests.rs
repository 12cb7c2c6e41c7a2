//! Climbs with what stands at them.

use crate::finding::step::DeclaredStep;
use crate::line::Appurtenance;
use crate::pipe::{Device, MarkKind, WorkingState};
use crate::profile::{Climb, Profile};
use crate::route::Route;
use crate::study::{JudgedSurvey, Study};

/// What is asked for climbs: a whole study, or a survey alone, of which nobody knows what stands there.
#[derive(Clone, Copy)]
pub(in crate::finding) struct Climbs<'a> {
    /// The profile.
    pub(super) profile: &'a Profile,
    /// The route.
    pub(super) route: &'a Route,
    /// What stands on the line, where it is known.
    pub(super) study: Option<&'a Study>,
}

impl<'a> Climbs<'a> {
    /// Of a study.
    pub(in crate::finding) fn of_study(study: &'a Study) -> Self {
        Self {
            profile: &study.profile,
            route: &study.route,
            study: Some(study),
        }
    }

    /// Of a survey alone.
    pub(in crate::finding) fn of_survey(survey: &'a JudgedSurvey) -> Self {
        Self {
            profile: &survey.profile,
            route: &survey.route,
            study: None,
        }
    }

    /// Every climb with what stands there; the crest of a siphon at the intake wants no vent and is told by itself.
    pub(super) fn all(self) -> impl Iterator<Item = (&'a Climb, Crest)> {
        let climbs = self.profile.climbs.iter().enumerate();
        climbs
            .filter(move |(_, climb)| !self.study.is_some_and(|s| is_siphon(s, climb)))
            .map(move |(i, climb)| (climb, Crest::of(self.study, i, climb)))
    }
}

/// What stands at a climb.
#[derive(Default)]
pub(super) struct Crest {
    /// What lets the air out by itself: the user's name for it, or its kind.
    pub(super) vented_by: Option<String>,
    /// Where one stands that works, but only while somebody opens it, m.
    pub(super) by_hand_m: Option<f64>,
    /// Where one stands that would, and does not work, m.
    pub(super) idle_m: Option<f64>,
    /// An open vent there would draw air in while some state runs.
    pub(super) cock_only: bool,
    /// What planned pipe does there over ground that falls.
    pub(super) step: Option<DeclaredStep>,
}

/// A vent this far from the surveyed crest is taken to be meant for it, m.
const NEAR_M: f64 = 2.0;

impl Crest {
    fn of(study: Option<&Study>, index: usize, climb: &Climb) -> Self {
        let Some(study) = study else {
            return Self::default();
        };
        let crest = climb.crest_from_m.min(climb.crest_station_m) - NEAR_M
            ..=climb.crest_to_m.max(climb.crest_station_m) + NEAR_M;
        let line = &study.line;
        let vents = || {
            let all = line.stands.iter().filter(|s| s.kind == MarkKind::Vent);
            all.filter(|s| crest.contains(&s.station_m))
        };
        let place = |s: &Appurtenance| s.station_m;
        Self {
            vented_by: vented_by(study, index),
            by_hand_m: vents()
                .find(|s| line.reaches.counts(s) && s.is_by_hand())
                .map(place),
            idle_m: vents()
                .filter(|s| s.state == WorkingState::Stuck || s.is_shut_off())
                .find(|s| s.device.is_none_or(Device::lets_out))
                .map(place),
            cock_only: crate::air::draws_air(
                &line.geometry,
                &line.intake,
                &study.cases.runs,
                climb.crest_station_m,
            ),
            step: DeclaredStep::of(study, climb),
        }
    }
}

fn vented_by(study: &Study, climb: usize) -> Option<String> {
    let air = study.air.as_ref()?;
    let pocket = air.pockets.iter().find(|p| p.climb == Some(climb))?;
    let stand = pocket
        .vented_by
        .first()
        .and_then(|i| study.line.stands.get(*i))?;
    Some(if stand.name.is_empty() {
        "the vent there".to_owned()
    } else {
        stand.name.clone()
    })
}

fn is_siphon(study: &Study, climb: &Climb) -> bool {
    let siphon = study.air.as_ref().and_then(|a| a.siphon);
    siphon.is_some_and(|s| {
        (climb.low_station_m.min(climb.crest_from_m)..=climb.crest_station_m.max(climb.crest_to_m))
            .contains(&s.station_m)
    })
}
