//! Stations that are known better than the survey.

use super::ladder::ChainageMap;
use super::options::{Peg, Spot, WrittenSpot};
use crate::numeric::math;
use crate::numeric::series::interpolate;
use crate::text::{Fault, Sentence};

/// What a survey's station may be off a peg's over a stretch: this, m, and a tenth of the stretch.
const SLACK_M: f64 = 15.0;

/// What the pegs do to a line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Pegged {
    /// The outermost two on the plan, m.
    ends_m: (f64, f64),
    /// Standard deviation of the length between them, m, where it is said of both.
    sd_m: Option<f64>,
}

impl Pegged {
    /// Standard deviation of the length from one place of the plan to another, m: the pegs' between them, the survey's beyond. `surveyed` gives that of a stretch from place to place.
    /// `None` where the pegs say none, or do not both stand on the stretch.
    pub(super) fn length_sd_m(
        &self,
        (from, to): (f64, f64),
        surveyed: impl Fn(f64, f64) -> f64,
    ) -> Option<f64> {
        const SAME_M: f64 = 1e-6;
        let (first, last) = self.ends_m;
        let sd_m = self.sd_m?;
        let beyond = |a: f64, b: f64| if b - a > SAME_M { surveyed(a, b) } else { 0.0 };
        (first > from - SAME_M && last < to + SAME_M)
            .then(|| math::hypot(sd_m, math::hypot(beyond(from, first), beyond(last, to))))
    }
}

/// Makes the survey's own reckoning that of the pegs: straight between them, at the survey's own measure beyond the outermost. `foot` finds a place along the plan.
///
/// Pegs count down the hill or up it; one alone counts as the survey does. Where the peg nearest the end they count from fits a beginning at 0 there, the line begins at 0; else the pegs begin elsewhere, and that end has whatever station follows.
/// `None` where there were no pegs.
pub(super) fn lay(
    ladder: &mut ChainageMap,
    pegs: &[Peg],
    foot: impl Fn(&WrittenSpot) -> Result<Option<f64>, Fault>,
) -> Result<Option<Pegged>, Fault> {
    let mut known: Vec<(f64, f64, &Peg)> = Vec::with_capacity(pegs.len());
    for peg in pegs {
        let plan = match (&peg.at.spot, foot(&peg.at)?) {
            (_, Some(plan)) => plan,
            (Spot::Station(own), None) => ladder.plan_of_own(own.0),
            _ => continue,
        };
        known.push((ladder.slope_of_plan(plan), plan, peg));
    }
    known.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (Some(&(first_s, first_plan, first)), Some(&(last_s, last_plan, last))) =
        (known.first(), known.last())
    else {
        return Ok(None);
    };
    let counts_up = if known.len() > 1 {
        last.station < first.station
    } else {
        ladder.own_m.last() < ladder.own_m.first()
    };
    let sense = if counts_up { -1.0 } else { 1.0 };
    for pair in known.windows(2) {
        let &[(s0, _, p0), (s1, _, p1)] = pair else {
            continue;
        };
        fits(s1 - s0, sense * (p1.station.0 - p0.station.0), p0, p1)?;
    }
    let end = ladder.slope_m.last().copied().unwrap_or(last_s);
    // what a peg says of the end beyond it: 0 where that is about as far away as it says
    let from_zero = |peg: &Peg, away: f64| {
        (peg.station.0 - away).abs() <= SLACK_M.min(0.1 * away.max(1.0))
            && away > 1.0
            && peg.station.0 > 0.0
    };
    let begin = if !counts_up && from_zero(first, first_s) {
        0.0
    } else {
        first.station.0 - sense * first_s
    };
    let (mut at, mut own) = (vec![0.0_f64], vec![begin]);
    for &(s, _, peg) in &known {
        if at.last().is_some_and(|&last| s > last + 1e-6) {
            at.push(s);
            own.push(peg.station.0);
        }
    }
    if end > last_s + 1e-6 {
        at.push(end);
        own.push(if counts_up && from_zero(last, end - last_s) {
            0.0
        } else {
            last.station.0 + sense * (end - last_s)
        });
    }
    ladder.own_m = ladder
        .slope_m
        .iter()
        .map(|&s| interpolate(&at, &own, s))
        .collect();
    Ok(Some(Pegged {
        ends_m: (first_plan, last_plan),
        sd_m: first
            .sd_m
            .zip(last.sd_m)
            .filter(|_| known.len() > 1)
            .map(|(a, b)| math::hypot(a, b)),
    }))
}

fn fits(surveyed: f64, pegged: f64, from: &Peg, to: &Peg) -> Result<(), Fault> {
    let bad = pegged <= 0.0 || (pegged - surveyed).abs() > SLACK_M + 0.1 * surveyed;
    if !bad {
        return Ok(());
    }
    Err(
        Fault::new(to.at.place.clone(), "the pegs do not agree with the survey")
            .found(
                Sentence::default()
                    .length(pegged, 1)
                    .words(" between the pegs ")
                    .length(from.station.0, 1)
                    .words(" and ")
                    .length(to.station.0, 1)
                    .words(", ")
                    .length(surveyed, 1)
                    .words(" in the survey"),
            )
            .expected("stations that increase or decrease along the complete route, with the same distances as in the survey")
            .advice("check the places and the stations of both pegs"),
    )
}

/// Stretches slope and level stations to the pegs' reckoning `own_m`, so that lengths are those of the pegs.
pub(super) fn stretch(slope_m: &mut [f64], level_m: &mut [f64], own_m: &[f64]) {
    let mut last: Option<(f64, f64, f64, f64)> = None;
    let mut level = 0.0;
    for ((slope, flat), &own) in slope_m.iter_mut().zip(level_m.iter_mut()).zip(own_m) {
        let before = (*slope, *flat);
        match last {
            Some((slope0, flat0, own0, new0)) => {
                let surveyed: f64 = before.0 - slope0;
                let factor = if surveyed > 0.0 {
                    (own - own0).abs() / surveyed
                } else {
                    1.0
                };
                level += (before.1 - flat0) * factor;
                *slope = new0 + (own - own0).abs();
            }
            None => *slope = 0.0,
        }
        *flat = level;
        last = Some((before.0, before.1, own, *slope));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::text::Place;
    use crate::unit::OnPegs;

    fn ladder() -> ChainageMap {
        let level: Vec<f64> = (0..=10).map(|i| f64::from(i) * 10.0).collect();
        ChainageMap::new(level.clone(), level, &[0.0; 11])
    }

    fn peg(at: f64, station_m: f64) -> Peg {
        Peg {
            at: WrittenSpot {
                spot: Spot::Station(OnPegs(at)),
                place: Place::line("site.toml", 1),
            },
            station: OnPegs(station_m),
            sd_m: Some(0.3),
        }
    }

    #[test]
    fn straight_between_pegs() {
        let mut ladder = ladder();
        assert!(
            lay(&mut ladder, &[peg(50.0, 52.0), peg(90.0, 93.0)], |_| Ok(
                None
            ))
            .unwrap()
            .is_some()
        );
        assert_eq!(ladder.own_m[0], 0.0);
        assert!((ladder.own_m[5] - 52.0).abs() < 1e-9);
        assert!((ladder.own_m[10] - 103.0).abs() < 1e-9);
        let (mut slope, mut level) = (ladder.slope_m.clone(), ladder.level_m.clone());
        stretch(&mut slope, &mut level, &ladder.own_m);
        assert!((slope[10] - 103.0).abs() < 1e-9 && (level[10] - 103.0).abs() < 1e-9);
    }

    #[test]
    fn between_pegs_the_length_is_as_sure_as_they_are() {
        let sure = |pegs: &[Peg], from| {
            let pegged = lay(&mut ladder(), pegs, |_| Ok(None)).unwrap().unwrap();
            pegged.length_sd_m((from, 100.0), |a, b| 0.1 * (b - a))
        };
        let two = [peg(50.0, 52.0), peg(90.0, 93.0)];
        let want = (0.18_f64 + 25.0 + 1.0).sqrt();
        assert!((sure(&two, 0.0).unwrap() - want).abs() < 1e-9);
        // one peg, pegs of which nothing is said, and a pipe that begins below a peg
        let silent = two.clone().map(|p| Peg { sd_m: None, ..p });
        assert_eq!(sure(&two[..1], 0.0), None);
        assert_eq!(sure(&silent, 0.0), None);
        assert_eq!(sure(&two, 60.0), None);
    }

    #[test]
    fn pegs_that_begin_elsewhere_shift() {
        let mut ladder = ladder();
        lay(&mut ladder, &[peg(50.0, 1250.0)], |_| Ok(None)).unwrap();
        assert!((ladder.own_m[0] - 1200.0).abs() < 1e-9);
    }

    #[test]
    fn pegs_may_count_up_the_hill() {
        let mut up = ladder();
        // 88 m to the turbine by the tape, 90 by the pegs
        lay(&mut up, &[peg(12.0, 90.0), peg(80.0, 21.0)], |_| Ok(None)).unwrap();
        assert_eq!(up.own_m.last(), Some(&0.0));
        assert!((up.own_m[0] - 102.0).abs() < 1e-9, "{:?}", up.own_m);
        assert!((up.own_m[8] - 21.0).abs() < 1e-9);
        let (mut slope, mut level) = (up.slope_m.clone(), up.level_m.clone());
        stretch(&mut slope, &mut level, &up.own_m);
        assert!((slope[10] - 102.0).abs() < 1e-9 && (level[10] - 102.0).abs() < 1e-9);
        assert!(slope.windows(2).all(|w| w[1] > w[0]));
    }

    #[test]
    fn pegs_that_contradict_are_refused() {
        let pegs = [peg(20.0, 90.0), peg(50.0, 60.0), peg(80.0, 95.0)];
        let fault = lay(&mut ladder(), &pegs, |_| Ok(None)).unwrap_err();
        assert!(
            fault
                .to_string()
                .starts_with("site.toml:1: the pegs do not agree"),
            "{fault}"
        );
    }
}
