//! Each room's reason for no answer as an error that a program can hand on, in the words that every report has for it; lengths are in metres here.

use super::lacks::{no_zones, not_marched, not_run};
use super::{Say, lacks, no_deflection, no_fill, no_wheel, unused_word, why_not};
use crate::anchor::NoFill;
use crate::capacity::{NoGround, TooWarm};
use crate::compare::Apart;
use crate::flow::{NotRun, Unused, WhyNot};
use crate::size::NoSizes;
use crate::strength::{NoDeflection, NoWheel, NoZones};
use crate::study::Lacks;
use crate::surge::{NotMarched, WhyNotMarched};
use crate::text::Sentence;
use crate::unit::Units;
use std::error::Error;
use std::fmt;

const METRIC: Say<'static> = Say::new(Units::Metric);

/// Why there are no sizes side by side.
pub fn no_sizes(why: &NoSizes) -> &'static str {
    match why {
        NoSizes::NoSuchPipe(_) => "no pressure pipe in the catalogue has these words",
        NoSizes::OwnPipe => {
            "the pipe of this site is not from the catalogue, so the pipes to compare are not known"
        }
        NoSizes::NothingToSize => "the site file has no pipe or no turbine",
    }
}

/// Why two surveys cannot be compared.
pub fn apart(why: &Apart) -> Sentence {
    match why {
        Apart::TooShort => "the later survey has fewer than two points".into(),
        Apart::TooFar(m) => Sentence::from("the two surveys are ")
            .length(*m, 0)
            .words(" from each other"),
        Apart::TooLittle(_) => "the two surveys have too little in common".into(),
        Apart::NoPlace => "the position of the new survey along the pipe is not known".into(),
    }
}

fn no_ground(why: NoGround) -> &'static str {
    match why {
        NoGround::NotBuried => "the pipe is not buried",
        NoGround::CoverUnknown => no_wheel(NoWheel::CoverUnknown),
        NoGround::CoverTooThin => "the cover is too thin to support the pipe",
        NoGround::SoilUnknown => no_wheel(NoWheel::SoilUnknown),
        NoGround::SoilTooSoft => no_wheel(NoWheel::SoilTooSoft),
    }
}

/// Gives reasons their words and makes errors of them.
macro_rules! told {
    ($($reason:ty: $why:ident => $words:expr;)*) => {$(
        impl fmt::Display for $reason {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                let $why = self;
                f.write_str(&$words)
            }
        }

        impl Error for $reason {}

        impl From<$reason> for Refused {
            fn from(why: $reason) -> Self {
                Self(Box::new(why))
            }
        }
    )*};
}

told! {
    WhyNot: why => why_not(*why, None, METRIC);
    NotRun: not => format!("{}: {}", not.state, not_run(not, None, METRIC));
    WhyNotMarched: why => not_marched(why);
    NotMarched: not => format!("{}: {}", not.movement, not_marched(&not.why));
    NoZones: why => no_zones(why, METRIC);
    Lacks: why => lacks(why, None, METRIC);
    Unused: why => unused_word(*why);
    NoWheel: why => no_wheel(*why);
    NoFill: why => no_fill(*why);
    NoDeflection: why => no_deflection(*why);
    NoGround: why => no_ground(*why);
    NoSizes: why => no_sizes(why);
    Apart: why => apart(why);
    TooWarm: hot => format!(
        "the wall can reach {:.0} °C, and the limit of its standard is {:.0} °C",
        hot.wall_c, hot.limit_c
    );
}

/// Why something has no answer: the one error of whatever calculates. Each room's own reason becomes it by `?`.
///
/// It prints the reason in words. [`Refused::why`] gives the reason with its figures back.
#[derive(Debug)]
pub struct Refused(Box<dyn Error + Send + Sync>);

impl Refused {
    /// The reason, where it is of that type.
    ///
    /// ```
    /// use steadyfall::flow::WhyNot;
    /// use steadyfall::prelude::Refused;
    ///
    /// let refused = Refused::from(WhyNot::NoHead { gross_head_m: 0.0 });
    /// assert_eq!(refused.why(), Some(&WhyNot::NoHead { gross_head_m: 0.0 }));
    /// ```
    pub fn why<R: Error + 'static>(&self) -> Option<&R> {
        self.0.downcast_ref()
    }
}

impl fmt::Display for Refused {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

impl Error for Refused {}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pipe::RunState;

    fn none(why: impl Into<Refused>) -> Result<(), Box<dyn Error>> {
        let refused: Result<(), Refused> = Err(why.into());
        Ok(refused?)
    }

    #[test]
    fn every_room_has_its_reason_in_words() {
        let of_run = NotRun {
            state: RunState::AllJets,
            why: WhyNot::NoJets,
        };
        let of_movement = NotMarched {
            movement: "closing".to_owned(),
            why: WhyNotMarched::NoPipe,
        };
        let hot = TooWarm {
            wall_c: 61.0,
            limit_c: 50.0,
        };
        let all: Vec<(Refused, &str)> = vec![
            (of_run.into(), "all jets: no nozzle is open"),
            (of_movement.into(), "closing: the pipeline has no pipe"),
            (
                hot.into(),
                "the wall can reach 61 °C, and the limit of its standard is 50 °C",
            ),
            (
                NoZones::NoneStrongEnough.into(),
                "no class of this size is strong enough for this pipeline",
            ),
            (NoGround::SoilUnknown.into(), "the soil is not given"),
            (
                Apart::TooFar(310.4).into(),
                "the two surveys are 310 m from each other",
            ),
            (
                NoSizes::NothingToSize.into(),
                "the site file has no pipe or no turbine",
            ),
            (
                Unused::NoSuchState.into(),
                "no operating condition has that name",
            ),
        ];
        for (why, words) in all {
            assert_eq!(none(why).unwrap_err().to_string(), words);
        }
    }

    #[test]
    fn the_reason_comes_back_with_its_figures() {
        let refused = Refused::from(Apart::TooLittle(5.0));
        assert_eq!(refused.why(), Some(&Apart::TooLittle(5.0)));
        assert_eq!(refused.why::<NoSizes>(), None);
    }
}
