use super::JudgedSurvey;
use crate::numeric::Spans;
use crate::profile::ClimbVerdict;

crate::text::words! {
    /// What a survey alone can say of a line or of a reach: it knows no pipe and no jets.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
    pub enum Falls {
        /// The pipe falls.
        Falls = "falls",
        /// The survey cannot tell.
        CannotTell = "cannot tell",
        /// The pipe climbs.
        Climbs = "climbs",
    }
}

/// A reach and what is said of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct JudgedReach {
    /// From, m.
    pub from_m: f64,
    /// To, m.
    pub to_m: f64,
    /// What is said.
    pub falls: Falls,
}

impl JudgedSurvey {
    /// Whether the line falls: it climbs where any reach surely does; it falls where that is sure for the whole of it at once; else the survey cannot tell.
    pub fn falls(&self) -> Falls {
        let reaches = self.reaches();
        let any = |falls| reaches.iter().any(|r| r.falls == falls);
        let sure = self.route.heights.sure();
        if any(Falls::Climbs) {
            Falls::Climbs
        } else if any(Falls::CannotTell) || self.profile.climb_probability > 1.0 - sure {
            Falls::CannotTell
        } else {
            Falls::Falls
        }
    }

    /// The line from end to end, reach by reach without gap or overlap.
    ///
    /// What no walk recorded cannot be told, nor can heights copied from a terrain model or those of a book that does not close.
    pub fn reaches(&self) -> Vec<JudgedReach> {
        let end_m = self.route.length_m();
        let climbs = self.profile.climbs.iter().map(|c| match c.verdict {
            ClimbVerdict::Climbs => JudgedReach {
                from_m: c.low_station_m,
                to_m: c.crest_station_m,
                falls: Falls::Climbs,
            },
            ClimbVerdict::CannotTell => JudgedReach {
                from_m: c.reach_from_m,
                to_m: c.reach_to_m,
                falls: Falls::CannotTell,
            },
        });
        let unknown = |(from_m, to_m): (f64, f64)| JudgedReach {
            from_m,
            to_m,
            falls: Falls::CannotTell,
        };
        let mut told: Vec<JudgedReach> = climbs
            .chain(self.route.unrecorded.iter().copied().map(unknown))
            .collect();
        let open = self
            .route
            .misclosure
            .is_some_and(|m| m.found_m.abs() > m.allowed_m);
        if self.route.terrain_model || open {
            told.push(unknown((0.0, end_m)));
        }
        over(&told, end_m)
    }
}

/// What is told laid over a line that falls: where two overlap, the graver is said.
fn over(told: &[JudgedReach], end_m: f64) -> Vec<JudgedReach> {
    let mut cuts: Vec<f64> = told
        .iter()
        .flat_map(|t| [t.from_m, t.to_m])
        .map(|m| m.clamp(0.0, end_m))
        .chain([0.0, end_m])
        .collect();
    cuts.sort_by(f64::total_cmp);
    cuts.dedup();
    let of = |falls| {
        let all = told.iter().filter(move |t| t.falls == falls);
        Spans::of(all.map(|t| (t.from_m, t.to_m)))
    };
    let (climbs, unsure) = (of(Falls::Climbs), of(Falls::CannotTell));
    let mut out: Vec<JudgedReach> = Vec::new();
    for (&from_m, &to_m) in cuts.iter().zip(cuts.iter().skip(1)) {
        let middle = 0.5 * (from_m + to_m);
        let falls = if climbs.hold(middle) {
            Falls::Climbs
        } else if unsure.hold(middle) {
            Falls::CannotTell
        } else {
            Falls::Falls
        };
        match out.last_mut() {
            Some(last) if last.falls == falls => last.to_m = to_m,
            _ => out.push(JudgedReach {
                from_m,
                to_m,
                falls,
            }),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reaches_cover_the_line_and_the_graver_word_rules() {
        let told = |from_m, to_m, falls| JudgedReach {
            from_m,
            to_m,
            falls,
        };
        let list = [
            told(20.0, 60.0, Falls::CannotTell),
            told(30.0, 40.0, Falls::Climbs),
            told(60.0, 70.0, Falls::CannotTell),
        ];
        assert_eq!(
            over(&list, 100.0),
            [
                told(0.0, 20.0, Falls::Falls),
                told(20.0, 30.0, Falls::CannotTell),
                told(30.0, 40.0, Falls::Climbs),
                told(40.0, 70.0, Falls::CannotTell),
                told(70.0, 100.0, Falls::Falls),
            ]
        );
        assert_eq!(over(&[], 50.0), [told(0.0, 50.0, Falls::Falls)]);
    }
}
