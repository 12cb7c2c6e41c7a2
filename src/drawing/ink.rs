/// A colour as `#rrggbb`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Colour(pub &'static str);

/// How a line is broken.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Dash {
    /// Unbroken.
    Solid,
    /// Long dashes.
    Long,
    /// Short dashes.
    Short,
    /// Dots.
    Dots,
    /// Long dash, dot.
    Chain,
    /// Dash, two dots.
    DoubleChain,
}

impl Dash {
    /// Lengths of strokes and gaps, mm.
    pub fn lengths_mm(self) -> &'static [f64] {
        match self {
            Self::Solid => &[],
            Self::Long => &[5.0, 1.2],
            Self::Short => &[1.8, 1.0],
            Self::Dots => &[0.4, 0.9],
            Self::Chain => &[5.0, 1.0, 0.5, 1.0],
            Self::DoubleChain => &[2.4, 0.7, 0.4, 0.7, 0.4, 0.7],
        }
    }
}

/// A pen: colour, width, dash.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pen {
    /// Colour.
    pub colour: Colour,
    /// Width, mm.
    pub width_mm: f64,
    /// Dash.
    pub dash: Dash,
}

impl Pen {
    /// An unbroken pen.
    pub const fn new(colour: Colour, width_mm: f64) -> Self {
        Self {
            colour,
            width_mm,
            dash: Dash::Solid,
        }
    }

    /// The same, broken.
    #[must_use]
    pub const fn dashed(mut self, dash: Dash) -> Self {
        self.dash = dash;
        self
    }
}

/// The inks of the sheet. Every line differs from every other by its dash or width too, so that a copier loses nothing.
#[derive(Debug)]
pub struct Ink;

impl Ink {
    /// Text, frames, the pipe.
    pub const BLACK: Colour = Colour("#1a1c1f");
    /// Nothing that is seen: what is tapped and not drawn.
    pub const CLEAR: Colour = Colour("transparent");
    /// A place that was led to.
    pub const FOUND: Colour = Colour("#ffd3e6");
    /// The edge of such a place.
    pub const FOUND_EDGE: Colour = Colour("#b0005a");
    /// Lesser text.
    pub const GREY: Colour = Colour("#55595f");
    /// Ordinates, leaders.
    pub const PALE: Colour = Colour("#9aa0a6");
    /// Grid.
    pub const FAINT: Colour = Colour("#dfe2e5");
    /// Paper.
    pub const WHITE: Colour = Colour("#ffffff");
    /// Band of doubt.
    pub const DOUBT: Colour = Colour("#d3d7db");
    /// Ground.
    pub const EARTH: Colour = Colour("#8a6a3c");
    /// Standing water.
    pub const STILL: Colour = Colour("#1f4e9c");
    /// Running water.
    pub const RUNNING: Colour = Colour("#2f8fc4");
    /// Surge.
    pub const SURGE: Colour = Colour("#c2471d");
    /// The pipe put right.
    pub const REGRADED: Colour = Colour("#1d7a54");
    /// What the pipe may take.
    pub const RATING: Colour = Colour("#3a1f4f");
    /// A reach that climbs.
    pub const CLIMB: Colour = Colour("#fbe3a2");
    /// Air that would stay.
    pub const AIR: Colour = Colour("#e08a00");
    /// Hatching of what the survey cannot tell.
    pub const UNSURE: Colour = Colour("#a98a3a");

    /// The pipe.
    pub const PIPE_PEN: Pen = Pen::new(Self::BLACK, 0.7);
    /// The pipe where the survey cannot tell.
    pub const UNSURE_PIPE_PEN: Pen = Pen::new(Self::BLACK, 0.7).dashed(Dash::Short);
    /// Ground.
    pub const GROUND_PEN: Pen = Pen::new(Self::EARTH, 0.3);
    /// Level of the standing water.
    pub const STILL_PEN: Pen = Pen::new(Self::STILL, 0.35).dashed(Dash::Chain);
    /// Grade line of the running water.
    pub const RUNNING_PEN: Pen = Pen::new(Self::RUNNING, 0.5);
    /// Highest head in any movement.
    pub const SURGE_HIGH_PEN: Pen = Pen::new(Self::SURGE, 0.4).dashed(Dash::Short);
    /// Lowest head in any movement.
    pub const SURGE_LOW_PEN: Pen = Pen::new(Self::SURGE, 0.45).dashed(Dash::Dots);
    /// The pipe put right.
    pub const REGRADED_PEN: Pen = Pen::new(Self::REGRADED, 0.45).dashed(Dash::DoubleChain);
    /// The pipe as it lay before a storm.
    pub const BEFORE_PEN: Pen = Pen::new(Self::GREY, 0.35).dashed(Dash::Long);
    /// What the pipe may take, as a head above it.
    pub const RATING_PEN: Pen = Pen::new(Self::RATING, 0.8).dashed(Dash::Long);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::numeric::math;

    /// Colour seen by an eye that lacks one kind of cone: G. M. Machado, M. M. Oliveira, L. A. F. Fernandes (2009), severity 1; matrices from memory.
    const SEEN: [[[f64; 3]; 3]; 4] = [
        [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]],
        [
            [0.152_286, 1.052_583, -0.204_868],
            [0.114_503, 0.786_281, 0.099_216],
            [-0.003_882, -0.048_116, 1.051_998],
        ],
        [
            [0.367_322, 0.860_646, -0.227_968],
            [0.280_085, 0.672_501, 0.047_413],
            [-0.011_820, 0.042_940, 0.968_881],
        ],
        [
            [1.255_528, -0.076_749, -0.178_779],
            [-0.078_411, 0.930_809, 0.147_602],
            [0.004_733, 0.691_367, 0.303_900],
        ],
    ];

    /// Red, green and blue, 0 to 1, not linear.
    fn rgb(colour: Colour) -> [f64; 3] {
        [1, 3, 5].map(|from| {
            f64::from(u8::from_str_radix(&colour.0[from..from + 2], 16).unwrap()) / 255.0
        })
    }

    fn linear(c: f64) -> f64 {
        if c <= 0.040_45 {
            c / 12.92
        } else {
            math::powf((c + 0.055) / 1.055, 2.4)
        }
    }

    fn seen(colour: Colour, eye: &[[f64; 3]; 3]) -> [f64; 3] {
        let rgb = rgb(colour).map(linear);
        let each = |row: &[f64; 3]| {
            row.iter()
                .zip(&rgb)
                .map(|(a, b)| a * b)
                .sum::<f64>()
                .clamp(0.0, 1.0)
        };
        [each(&eye[0]), each(&eye[1]), each(&eye[2])]
    }

    /// CIE 1976 L*a*b* under D65.
    fn lab(rgb: [f64; 3]) -> [f64; 3] {
        let [r, g, b] = rgb;
        let xyz = [
            (0.4124 * r + 0.3576 * g + 0.1805 * b) / 0.9505,
            0.2126 * r + 0.7152 * g + 0.0722 * b,
            (0.0193 * r + 0.1192 * g + 0.9505 * b) / 1.089,
        ];
        let f = xyz.map(|t| {
            if t > 0.008_856 {
                math::cbrt(t)
            } else {
                7.787 * t + 16.0 / 116.0
            }
        });
        [
            116.0 * f[1] - 16.0,
            500.0 * (f[0] - f[1]),
            200.0 * (f[1] - f[2]),
        ]
    }

    fn apart(a: [f64; 3], b: [f64; 3]) -> f64 {
        a.iter()
            .zip(&b)
            .map(|(x, y)| math::powi(x - y, 2))
            .sum::<f64>()
            .sqrt()
    }

    const LINES: [Pen; 9] = [
        Ink::PIPE_PEN,
        Ink::GROUND_PEN,
        Ink::STILL_PEN,
        Ink::RUNNING_PEN,
        Ink::SURGE_HIGH_PEN,
        Ink::SURGE_LOW_PEN,
        Ink::RATING_PEN,
        Ink::REGRADED_PEN,
        Ink::BEFORE_PEN,
    ];

    #[test]
    fn lines_are_told_apart_by_every_eye_and_by_a_copier() {
        for (i, a) in LINES.iter().enumerate() {
            for b in LINES.iter().skip(i + 1) {
                // In black and white: another dash, or a width that differs by a third.
                let wide = a.width_mm.max(b.width_mm) / a.width_mm.min(b.width_mm);
                assert!(
                    a.dash != b.dash || wide > 1.33,
                    "{a:?} and {b:?} look alike on a copy"
                );
                if a.colour == b.colour {
                    continue;
                }
                for eye in &SEEN {
                    let apart = apart(lab(seen(a.colour, eye)), lab(seen(b.colour, eye)));
                    assert!(
                        apart > 11.0 || a.dash != b.dash && apart > 5.0,
                        "{a:?} and {b:?}: {apart}"
                    );
                }
            }
        }
    }

    #[test]
    fn every_ink_of_text_stands_out_from_paper() {
        let light = |c: Colour| {
            let [r, g, b] = rgb(c).map(linear);
            0.2126 * r + 0.7152 * g + 0.0722 * b
        };
        for ink in [Ink::BLACK, Ink::GREY] {
            let contrast = (1.0 + 0.05) / (light(ink) + 0.05);
            assert!(contrast > 4.5, "{ink:?} {contrast}");
        }
        // Shades lie so light that black stands on them, and apart from each other in grey.
        let shades = [Ink::DOUBT, Ink::CLIMB, Ink::AIR].map(|c| lab(rgb(c).map(linear))[0]);
        assert!(shades.iter().all(|l| *l > 60.0));
        assert!((shades[1] - shades[2]).abs() > 15.0);
    }
}
