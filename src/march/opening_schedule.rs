use crate::pipe::Law;

/// One stage of a movement: a straight run to a share within a time.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct ScheduleStage {
    /// Opening at the end, 0 to 1; more than 1 where a machine that runs away lets more through.
    pub to: f64,
    /// Closing or opening time, s; 0: at once.
    pub over_s: f64,
}

/// How a share of opening runs in time: from a share, straight through its stages, then held.
#[derive(Debug, Clone, PartialEq)]
pub struct OpeningSchedule {
    /// Share open at the start.
    pub from: f64,
    /// Stages in order; none: nothing moves.
    pub stages: Vec<ScheduleStage>,
    /// What the share counts.
    pub law: Law,
}

impl OpeningSchedule {
    /// Nothing moves.
    pub fn held(at: f64) -> Self {
        Self {
            from: at,
            stages: Vec::new(),
            law: Law::Area,
        }
    }

    /// One straight run of open area.
    pub fn straight(from: f64, to: f64, over_s: f64) -> Self {
        Self {
            from,
            stages: vec![ScheduleStage { to, over_s }],
            law: Law::Area,
        }
    }

    /// The same with a share that counts something else.
    #[must_use]
    pub fn by(self, law: Law) -> Self {
        Self { law, ..self }
    }

    /// The same movement between two other shares.
    #[must_use]
    pub fn between(&self, from: f64, to: f64) -> Self {
        let whole = self.to() - self.from;
        let along = |share: f64| {
            if whole == 0.0 {
                from
            } else {
                from + (to - from) * (share - self.from) / whole
            }
        };
        Self {
            from,
            stages: self
                .stages
                .iter()
                .map(|s| ScheduleStage {
                    to: along(s.to),
                    ..*s
                })
                .collect(),
            law: self.law,
        }
    }

    /// How long it takes in all, s.
    pub fn duration_s(&self) -> f64 {
        self.stages.iter().map(|s| s.over_s).sum()
    }

    /// Share at the end.
    pub fn to(&self) -> f64 {
        self.stages.last().map_or(self.from, |s| s.to)
    }

    /// The same movement drawn out or pressed together to take so long, s.
    #[must_use]
    pub fn lasting(&self, over_s: f64) -> Self {
        let now = self.duration_s();
        let count = self.stages.len() as f64;
        let stages = self
            .stages
            .iter()
            .map(|s| ScheduleStage {
                over_s: if now > 0.0 {
                    s.over_s / now * over_s
                } else {
                    over_s / count
                },
                ..*s
            })
            .collect();
        Self {
            stages,
            ..self.clone()
        }
    }

    /// Share of the stroke at a time after the start, s. At the very instant of a stage of no length it has been made.
    pub fn share(&self, time_s: f64) -> f64 {
        let mut from = self.from;
        let mut left = time_s;
        for stage in &self.stages {
            if left < stage.over_s {
                return from + (stage.to - from) * (left / stage.over_s).max(0.0);
            }
            left -= stage.over_s;
            from = stage.to;
        }
        from
    }

    /// Share of the open area at a time, 0 to 1. By stroke a needle or gate uncovers 2s - s2 of its area.
    pub fn area(&self, time_s: f64) -> f64 {
        let s = self.share(time_s);
        match self.law {
            Law::Area => s,
            Law::Stroke => s * (2.0 - s),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_two_stage_course_bends_where_it_should() {
        let course = OpeningSchedule {
            from: 1.0,
            stages: vec![
                ScheduleStage {
                    to: 0.3,
                    over_s: 1.0,
                },
                ScheduleStage {
                    to: 0.0,
                    over_s: 3.0,
                },
            ],
            law: Law::Area,
        };
        for (t, want) in [
            (0.0, 1.0),
            (0.5, 0.65),
            (1.0, 0.3),
            (2.5, 0.15),
            (4.0, 0.0),
            (9.0, 0.0),
        ] {
            assert!((course.share(t) - want).abs() < 1e-12, "{t}");
        }
        assert!((course.lasting(8.0).share(2.0) - 0.3).abs() < 1e-12);
        assert_eq!(course.to(), 0.0);
        let narrower = course.between(0.5, 0.0);
        assert!((narrower.share(1.0) - 0.15).abs() < 1e-12 && narrower.to().abs() < 1e-12);
    }

    #[test]
    fn at_once_is_made_at_the_start() {
        assert_eq!(OpeningSchedule::straight(1.0, 0.0, 0.0).area(0.0), 0.0);
        assert_eq!(
            OpeningSchedule::straight(1.0, 0.0, 0.0)
                .lasting(2.0)
                .area(1.0),
            0.5
        );
        assert_eq!(OpeningSchedule::held(0.7).area(3.0), 0.7);
    }

    #[test]
    fn a_needle_shuts_its_area_slowly_first() {
        let stroke = OpeningSchedule {
            law: Law::Stroke,
            ..OpeningSchedule::straight(1.0, 0.0, 10.0)
        };
        assert!((stroke.area(5.0) - 0.75).abs() < 1e-12);
    }
}
