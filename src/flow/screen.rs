//! The screen before the pipe inlet: how fast the water goes at it, what head it takes clean and half blocked, what then stands over the mouth.

use super::branch::{self, Rack, ScreenOf};
use super::local::{self, Coefficient};
use super::{IntakeCheck, Run};
use crate::line::{Discharge, Line, Screen};
use crate::pipe::{Cleaner, IntakeKind, RunState, ScreenKind};
use std::f64::consts::FRAC_PI_2;

/// Fastest water at a screen that somebody cleans, m/s: what is faster holds the debris on the bars (common practice, no source).
pub const FAST_M_PER_S: f64 = 0.6;

/// Steepest rack that is raked by hand, rad: a rake slips off steeper bars (common practice, no source).
pub const STEEP_RAD: f64 = 75.0 / 180.0 * std::f64::consts::PI;

/// Kirschmer's shapes of a bar (1926): flat with square edges, round. As Rack says, from memory.
const FLAT: f64 = 2.42;
const ROUND: f64 = 1.79;

/// The share of its face that is blocked when half of it is.
const HALF: f64 = 0.5;

/// The screen held against the largest flow.
#[derive(Debug, Clone, PartialEq)]
pub struct ScreenFlow {
    /// The state with the largest flow.
    pub case: RunState,
    /// Its flow at the intake, m3/s.
    pub flow_m3_per_s: f64,
    /// Velocity at the screen, over its whole wetted face square to the flow, m/s; `None`: its size was not given.
    pub before_m_per_s: Option<f64>,
    /// Velocity in its openings, clean, m/s.
    pub between_m_per_s: Option<f64>,
    /// Share of its face that is open.
    pub open_share: Option<f64>,
    /// Head that it takes clean, m; `None`: neither its size nor a coefficient was given.
    pub clean_m: Option<f64>,
    /// Head that it takes with half of it blocked, m.
    pub half_m: Option<f64>,
    /// The formula of its loss was never measured on such a screen.
    pub outside: bool,
    /// Wetted face that keeps the velocity at it within the limit, m2.
    pub wanted_m2: f64,
    /// Water over the crown of the mouth with half of the screen blocked, at the lowest level, m: where the screen stands before a box and a level was given.
    pub half_cover_m: Option<f64>,
}

impl ScreenFlow {
    /// Whether the water is too fast at a screen that something or somebody cleans; `None`: its size was not given.
    pub fn is_fast(&self) -> Option<bool> {
        self.before_m_per_s.map(|v| v > FAST_M_PER_S)
    }
}

/// Open share of a screen's face: as given, or by its opening and its bars. `None`: neither was given, or it is a plate.
///
/// Bars and slots: b/(b + s). Mesh of square openings: the square of that. Plain geometry.
pub fn open_share(screen: &Screen) -> Option<f64> {
    screen.open_share.or_else(|| {
        let bar_m = screen.bar_m?;
        let line = screen.opening_m / (screen.opening_m + bar_m);
        match screen.kind {
            ScreenKind::FlatBars | ScreenKind::RoundBars | ScreenKind::WedgeWire => Some(line),
            ScreenKind::Mesh => Some(line * line),
            ScreenKind::Plate => None,
        }
    })
}

/// A screen's slope; upright where it was not said.
fn slope_rad(screen: &Screen) -> f64 {
    screen.slope_rad.unwrap_or(FRAC_PI_2)
}

/// Loss coefficient of a clean screen on the velocity at it, and whether it lies outside what was measured. `None`: neither bars nor open share were given.
///
/// Bars: Kirschmer 1926 (see [`Rack`]), measured on gaps no narrower than the bars. The others: by open share ([`branch::screen`]), 0.3 to 0.9.
pub fn clear_k(screen: &Screen) -> Option<(f64, bool)> {
    let shape = match screen.kind {
        ScreenKind::FlatBars => Some(FLAT),
        ScreenKind::RoundBars => Some(ROUND),
        ScreenKind::WedgeWire | ScreenKind::Mesh | ScreenKind::Plate => None,
    };
    if let Some(shape) = shape {
        // an open share says how thick the bars are
        let bar_m = screen.bar_m.or_else(|| {
            let open = screen.open_share?;
            Some(screen.opening_m * (1.0 - open) / open)
        })?;
        let rack = Rack {
            shape,
            bar_m,
            gap_m: screen.opening_m,
            velocity_m_per_s: 1.0,
            tilt_rad: slope_rad(screen),
        };
        // two g times the head at one metre a second
        return Some((rack.head_m(0.5), bar_m > screen.opening_m));
    }
    let of = match screen.kind {
        ScreenKind::Mesh => ScreenOf::Mesh,
        _ => ScreenOf::Plate,
    };
    let open = open_share(screen)?;
    Some((branch::screen(of, open), !(0.3..=0.9).contains(&open)))
}

/// Wetted face square to the flow, m2: bars stand across a channel, so that their upright height counts; water turns into the holes of the others.
fn face_m2(screen: &Screen) -> Option<f64> {
    let (width_m, length_m) = screen.face_m?;
    let square = match screen.kind {
        ScreenKind::FlatBars | ScreenKind::RoundBars => {
            crate::numeric::math::sin(slope_rad(screen))
        }
        _ => 1.0,
    };
    Some(width_m * length_m * square)
}

/// Loss of the clean screen on the first bore: the user's own coefficient, else by its bars and size; nothing where neither was said.
pub(super) fn clear_on_bore(line: &Line) -> Coefficient {
    let own = |k| Coefficient {
        k,
        from_memory: false,
    };
    if let Some(k) = line.intake.screen_k {
        return own(k);
    }
    let by_size = line.works.screen.as_ref().and_then(|screen| {
        let (k, _) = clear_k(screen)?;
        let bore_m = line.reaches.first()?.pipe.inner_diameter_m;
        let share = std::f64::consts::FRAC_PI_4 * bore_m * bore_m / face_m2(screen)?;
        Some(Coefficient {
            k: k * share * share,
            from_memory: true,
        })
    });
    by_size.unwrap_or(own(0.0))
}

/// Holds the screen against the largest of the flows. `None` where no screen was declared or nothing flows.
pub fn screen(line: &Line, runs: &[Run], mouth: Option<&IntakeCheck>) -> Option<ScreenFlow> {
    let screen = line.works.screen.as_ref()?;
    let run = runs
        .iter()
        .filter(|r| r.flows())
        .max_by(|a, b| a.flow_m3_per_s.total_cmp(&b.flow_m3_per_s))?;
    let first = run.stretches.first()?;
    let flow_m3_per_s = first.flow_m3_per_s;
    let before_m_per_s = face_m2(screen).map(|area| flow_m3_per_s / area);
    let open_share = open_share(screen);
    let gravity = line.environment.situation.gravity_m_per_s2;
    let clear = clear_on_bore(line).k;
    let velocity = run.velocity_m_per_s(0.0);
    let head = |k: f64| k * velocity * velocity / (2.0 * gravity);
    let known = line.intake.screen_k.is_some() || clear > 0.0;
    let clean_m = known.then(|| head(clear));
    // a wider screen takes less head, and jets then pass more: by no more than the share that it takes now of what they have
    let freed = match line.outlet.as_ref().map(|o| &o.how) {
        Some(Discharge::Jets(_)) => {
            clean_m.map_or(1.0, |loss_m| 1.0 + loss_m / run.net_head_m.max(loss_m))
        }
        _ => 1.0,
    };
    let half_m = local::blocked_screen(clear, HALF)
        .filter(|_| known)
        .map(head);
    let half_cover_m = mouth
        .filter(|_| line.intake.kind == IntakeKind::Box)
        .and_then(|m| m.cover_m)
        .zip(half_m)
        .map(|(cover_m, loss_m)| cover_m - loss_m);
    Some(ScreenFlow {
        case: run.state().clone(),
        flow_m3_per_s,
        before_m_per_s,
        between_m_per_s: before_m_per_s.zip(open_share).map(|(v, open)| v / open),
        open_share,
        clean_m,
        half_m,
        outside: line.intake.screen_k.is_none() && clear_k(screen).is_some_and(|k| k.1),
        wanted_m2: freed * flow_m3_per_s / FAST_M_PER_S,
        half_cover_m,
    })
}

impl Screen {
    /// Somebody must clean it, or nobody said who does.
    pub fn is_by_hand(&self) -> bool {
        self.cleaned.is_none_or(|c| c == Cleaner::Hand)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn bars(opening_m: f64, bar_m: f64, slope_rad: f64) -> Screen {
        Screen {
            kind: ScreenKind::FlatBars,
            opening_m,
            bar_m: Some(bar_m),
            open_share: None,
            face_m: Some((0.6, 0.5)),
            slope_rad: Some(slope_rad),
            cleaned: None,
            least_clearance_m: None,
        }
    }

    proptest! {
        /// Thicker bars, narrower gaps and a steeper rack never lose less.
        #[test]
        fn a_closer_screen_never_loses_less(gap in 0.004..0.1_f64, bar in 0.001..0.02_f64, more in 1.01..2.0_f64, slope in 0.3..1.5_f64) {
            let k = |s: &Screen| clear_k(s).unwrap().0;
            let plain = k(&bars(gap, bar, slope));
            prop_assert!(k(&bars(gap / more, bar, slope)) > plain);
            prop_assert!(k(&bars(gap, bar * more, slope)) > plain);
            prop_assert!(k(&bars(gap, bar, (slope * more).min(FRAC_PI_2))) >= plain);
        }

        #[test]
        fn the_open_share_is_a_share(gap in 0.001..0.1_f64, bar in 0.0005..0.02_f64) {
            for kind in [ScreenKind::FlatBars, ScreenKind::WedgeWire, ScreenKind::Mesh] {
                let open = open_share(&Screen { kind, ..bars(gap, bar, 1.0) }).unwrap();
                prop_assert!(open > 0.0 && open < 1.0);
            }
        }
    }

    #[test]
    fn an_open_share_says_how_thick_the_bars_are() {
        let by_bar = clear_k(&bars(0.02, 0.005, 1.0)).unwrap().0;
        let by_share = clear_k(&Screen {
            bar_m: None,
            open_share: Some(0.8),
            ..bars(0.02, 0.005, 1.0)
        });
        assert!((by_bar - by_share.unwrap().0).abs() < 1e-12);
    }
}
