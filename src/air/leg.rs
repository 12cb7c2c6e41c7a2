//! A falling leg full of air, by its real shape between stations, and what squeezing leaves of it.

use super::openings::Openings;
use super::pipe_profile::PipeProfile;

/// A falling leg from its crest down: height against the volume above it, by the real shape between stations.
#[derive(Debug, Clone)]
pub struct FallingLeg {
    /// Height of the crest, m.
    pub top_m: f64,
    /// Where the air ends when it seals, m: the low, or the highest vent on the leg.
    pub bottom_m: f64,
    /// A vent at the crest itself: nothing stays.
    pub vented: bool,
    /// Heights falling from the crest, and the volume from the crest down to each.
    steps: Vec<(f64, f64)>,
}

impl FallingLeg {
    /// The leg behind a crest, down to a low, with these vents.
    ///
    /// Ripples of less than a bore are laid level: the air lies along the crown through them.
    /// A vent counts as standing at the crest where the pipe between the two stays within half a bore of the crest's height.
    pub fn down(course: &PipeProfile<'_>, crest: usize, low: usize, openings: &Openings) -> Self {
        let top_m = course.height(crest);
        let half = 0.5 * course.bore(crest);
        let bottom_m = course.height(low);
        let (crest_m, low_m) = (course.station(crest), course.station(low));
        // above the last station before the crest that lies too low, no vent can reach it
        let begins_m = (0..crest)
            .rev()
            .find(|&i| top_m - course.height(i) > half)
            .map_or(f64::NEG_INFINITY, |i| course.station(i));
        let vented = openings
            .within(begins_m, low_m)
            .iter()
            .take_while(|&&v| v <= crest_m || top_m - course.at(v) <= half)
            .any(|&v| top_m - course.lowest_between(v, crest_m) <= half);
        let vent_m = openings
            .within(crest_m, low_m)
            .iter()
            .map(|&v| course.at(v))
            .fold(bottom_m, f64::max)
            .min(top_m);
        let mut steps = vec![(top_m, 0.0)];
        let (mut level, mut volume) = (top_m, 0.0);
        let points = (crest..=low).filter_map(|i| course.point(i));
        for ((s0, _, bore), (s1, z1, _)) in points.clone().zip(points.skip(1)) {
            volume += std::f64::consts::FRAC_PI_4 * bore * bore * (s1 - s0);
            level = level.min(z1);
            steps.push((level, volume));
        }
        let mut leg = Self {
            top_m,
            bottom_m: vent_m,
            vented,
            steps,
        };
        leg.cut();
        leg
    }

    /// Ends the steps at the bottom of the sealed air.
    fn cut(&mut self) {
        let full = self.volume_above(self.bottom_m);
        self.steps.retain(|&(z, _)| z > self.bottom_m);
        self.steps.push((self.bottom_m, full));
    }

    /// Volume from the crest down to a height, m3.
    pub fn volume_above(&self, height_m: f64) -> f64 {
        let pairs = self.steps.iter().zip(self.steps.iter().skip(1));
        for (&(z0, v0), &(z1, v1)) in pairs {
            if height_m >= z1 && z0 > z1 {
                return v0 + (v1 - v0) * ((z0 - height_m) / (z0 - z1)).clamp(0.0, 1.0);
            }
        }
        self.sealed_m3()
    }

    /// Height of the air when the leg seals, m; 0 where a vent stands at the crest.
    pub fn sealed_height_m(&self) -> f64 {
        if self.vented {
            0.0
        } else {
            self.top_m - self.bottom_m
        }
    }

    /// Volume of the air when the leg seals, m3; 0 where a vent stands at the crest.
    pub fn sealed_m3(&self) -> f64 {
        if self.vented {
            0.0
        } else {
            self.steps.last().map_or(0.0, |s| s.1)
        }
    }

    /// Height, m, and volume, m3, of the air squeezed by a water column that stands to `against_m` beyond the leg.
    ///
    /// Boyle's law, isothermal: `(ha + E - h) V(h) = ha V`, E the column, h where the air ends, V(h) the volume above h.
    /// On a step V is straight in h, so h is the root of a quadratic there.
    pub fn squeezed(&self, against_m: f64, air_head_m: f64) -> (f64, f64) {
        let sealed = self.sealed_m3();
        self.settle(|h, v| (air_head_m + against_m - h) * v - air_head_m * sealed)
    }

    /// Height and volume of the air that was sealed at an absolute head and is pressed to another, both m of water.
    pub fn pressed(&self, sealed_at_m: f64, to_m: f64) -> (f64, f64) {
        let held = self.sealed_m3() * sealed_at_m / to_m;
        self.settle(|_, v| v - held)
    }

    /// First place down the leg where `excess(height, volume above)` is no longer negative.
    fn settle(&self, excess: impl Fn(f64, f64) -> f64) -> (f64, f64) {
        if self.sealed_height_m() <= 0.0 {
            return (0.0, 0.0);
        }
        for (&(z0, v0), &(z1, v1)) in self.steps.iter().zip(self.steps.iter().skip(1)) {
            if excess(z1, v1) < 0.0 {
                continue;
            }
            // bisection in the one step that holds the root: both laws rise down the leg from their last negative value
            let (mut low, mut high) = (0.0_f64, 1.0_f64);
            for _ in 0..60 {
                let t = 0.5 * (low + high);
                if excess(z0 + t * (z1 - z0), v0 + t * (v1 - v0)) < 0.0 {
                    low = t;
                } else {
                    high = t;
                }
            }
            return (self.top_m - (z0 + high * (z1 - z0)), v0 + high * (v1 - v0));
        }
        (self.sealed_height_m(), self.sealed_m3())
    }
}
