use super::NarrowRiser;

/// Water in a narrow standpipe that follows the head in the pipe: (l/g) dw/dt = H - level - 1.5 w|w|/2g.
#[derive(Debug, Clone, Copy)]
pub(crate) struct RiserWater {
    pipe_m: f64,
    level_m: f64,
    speed_m_per_s: f64,
    pub(crate) highest_m: f64,
}

impl RiserWater {
    /// At rest at the head of the pipe.
    pub(crate) fn at_rest(riser: &NarrowRiser, head_m: f64) -> Self {
        let level_m = head_m.max(riser.pipe_m);
        Self {
            pipe_m: riser.pipe_m,
            level_m,
            speed_m_per_s: 0.0,
            highest_m: level_m,
        }
    }

    /// One step under a head.
    pub(crate) fn step(&mut self, head_m: f64, gravity: f64, step_s: f64) {
        // entrance and velocity head; a column shorter than half a metre swings no faster than one of that
        const LOSS: f64 = 1.5;
        let length = (self.level_m - self.pipe_m).max(0.5);
        let pull = gravity * (head_m - self.level_m) / length;
        let drag = 0.5 * LOSS * self.speed_m_per_s.abs() / length;
        self.speed_m_per_s = (self.speed_m_per_s + step_s * pull) / (1.0 + step_s * drag);
        self.level_m += step_s * self.speed_m_per_s;
        if self.level_m < self.pipe_m {
            self.level_m = self.pipe_m;
            self.speed_m_per_s = 0.0;
        }
        self.highest_m = self.highest_m.max(self.level_m);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rise(head_m: impl Fn(f64) -> f64) -> f64 {
        let riser = NarrowRiser {
            station_m: 0.0,
            pipe_m: 0.0,
        };
        let mut water = RiserWater::at_rest(&riser, 2.0);
        for i in 0..4000 {
            let t = f64::from(i) * 0.002;
            water.step(head_m(t), 9.81, 0.002);
        }
        water.highest_m - 2.0
    }

    #[test]
    fn a_short_blow_hardly_lifts_the_water() {
        // g 10/2 for a fiftieth of a second gives 1 m/s, and that swings up 1/sqrt(g/2) m: not the ten metres of the blow
        let lifted = rise(|t| if t < 0.02 { 12.0 } else { 2.0 });
        assert!(lifted > 0.1 && lifted < 0.46, "{lifted}");
    }

    #[test]
    fn a_lasting_rise_is_followed_and_overshot() {
        let lifted = rise(|_| 3.0);
        assert!(lifted > 1.2 && lifted < 2.0, "{lifted}");
    }
}
