/// What one walk, or one book, says of the line by itself: it errs apart from the others, so a question to two surveys is put to each of their witnesses.
///
/// Heights along the line (`Heights`) hold what all of them say together, and no longer who said what.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Witness {
    /// What it saw, in the order of its clock.
    pub looks: Vec<WitnessLook>,
    /// How it errs.
    pub errs: Errs,
}

/// Some readings of a witness taken together, on their station.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct WitnessLook {
    /// Station along the route, m.
    pub station_m: f64,
    /// The witness's own clock, s; where it has none, at a usual pace along the line. A book's is 0.
    pub clock_s: f64,
    /// Height, m.
    pub height_m: f64,
    /// Standard deviation of the part of its error that is this look's alone, m.
    pub sd_m: f64,
    /// How long the readings taken together lasted, s: a mean over so long hides the quick part of a wandering error. 0 for one reading.
    pub lasts_s: f64,
    /// How far it lies to the left of the route's line, looking down it, m; `None` without positions.
    pub left_m: Option<f64>,
}

/// How a witness errs beside what each look errs alone; its offset is free.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Errs {
    /// Parts of the error in height that go by the clock.
    pub slow: Vec<Slow>,
    /// Parts that many looks share (a set-up of a level, a scale): each one value a look, m, that one standard normal moves.
    pub shared: Vec<Vec<f64>>,
    /// Error in plan by axis, m.
    pub plan_sd_m: f64,
    /// Time in which the error in plan forgets itself, s.
    pub plan_time_s: f64,
    /// A receiver's: it wanders by the clock.
    pub wanders: bool,
}

/// A part of an error that goes by the clock.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slow {
    /// Its variance, m2.
    pub variance_m2: f64,
    /// Time in which it forgets itself, s.
    pub time_s: f64,
    /// Smooth (Matern of 3/2), not a random walk that is held (Ornstein and Uhlenbeck).
    pub smooth: bool,
}

impl Slow {
    /// How fast it forgets itself, 1/s: its covariance is `v exp(-r t)`, or `v (1 + r t) exp(-r t)` where it is smooth.
    pub fn rate(&self) -> f64 {
        if self.smooth {
            3f64.sqrt() / self.time_s
        } else {
            1.0 / self.time_s
        }
    }
}

impl Witness {
    /// The part of it between two stations, stations from 0 again.
    pub(in crate::route) fn cut(&self, from_m: f64, to_m: f64) -> Self {
        let inside = |l: &WitnessLook| l.station_m > from_m - 1e-6 && l.station_m < to_m + 1e-6;
        let kept: Vec<usize> = (0..self.looks.len())
            .filter(|&i| self.looks.get(i).is_some_and(inside))
            .collect();
        let pick = |values: &Vec<f64>| {
            kept.iter()
                .map(|&i| values.get(i).copied().unwrap_or(0.0))
                .collect()
        };
        Self {
            looks: kept
                .iter()
                .filter_map(|&i| self.looks.get(i))
                .map(|l| WitnessLook {
                    station_m: l.station_m - from_m,
                    ..*l
                })
                .collect(),
            errs: Errs {
                shared: self.errs.shared.iter().map(pick).collect(),
                ..self.errs.clone()
            },
        }
    }

    /// The same on a line that begins so much earlier.
    pub(in crate::route) fn moved_on(&self, by_m: f64) -> Self {
        let mut out = self.clone();
        for look in &mut out.looks {
            look.station_m += by_m;
        }
        out
    }
}
