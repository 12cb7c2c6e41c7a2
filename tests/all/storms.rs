//! Invented pipes before and after invented storms, with the truth beside them, and the surveys of both. They are not real places.

use std::f64::consts::TAU;
use std::fmt::Write as _;
use steadyfall::heights::HeightsOptions;
use steadyfall::numeric::Rng;
use steadyfall::reading::{Method, ReadOptions};
use steadyfall::route::{Route, RouteOptions};
use steadyfall::survey;

/// How a line was surveyed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum By {
    /// Walked so many times with a receiver.
    Walks(usize),
    /// Level and staff on pegs.
    Level,
}

/// The pipe on the hill: positions and heights every metre.
#[derive(Debug, Clone)]
pub struct Hill {
    pub east: Vec<f64>,
    pub north: Vec<f64>,
    pub up: Vec<f64>,
}

/// What the storm did.
#[derive(Debug, Clone, Copy)]
pub struct Storm {
    /// Stations of the reach, m.
    pub from: f64,
    pub to: f64,
    /// Movement to the left and upwards in the middle of it, m.
    pub side: f64,
    pub up: f64,
}

impl Storm {
    /// Share of the movement at a station: nothing outside, all of it in the middle, let in over two fifths on each side.
    pub fn share(&self, station: f64) -> f64 {
        let length = self.to - self.from;
        let from_edge = (station - self.from).min(self.to - station) / (0.4 * length);
        let x = from_edge.clamp(0.0, 1.0);
        x * x * (3.0 - 2.0 * x)
    }

    /// Mean of that share over a reach.
    pub fn mean_share(&self, from: f64, to: f64) -> f64 {
        let count = 200;
        (0..=count)
            .map(|i| self.share(from + (to - from) * f64::from(i) / f64::from(count)))
            .sum::<f64>()
            / f64::from(count + 1)
    }
}

impl Hill {
    /// A hill of some hundred metres that falls all the way but for what chance gives it.
    pub fn new(draws: &mut Rng, length: usize) -> Self {
        let mut heading = draws.between(0.0, TAU);
        let (mut east, mut north, mut up) = (vec![0.0], vec![0.0], vec![300.0]);
        let mut turn = 0.0;
        let slope = draws.between(0.12, 0.3);
        let waves: Vec<(f64, f64, f64)> = (0..4)
            .map(|_| {
                (
                    draws.between(20.0, 90.0),
                    draws.between(0.0, TAU),
                    draws.between(0.1, 0.8),
                )
            })
            .collect();
        let wave = |s: f64| {
            waves
                .iter()
                .map(|(l, p, a)| a * (TAU * s / l + p).sin())
                .sum::<f64>()
        };
        for i in 1..=length {
            turn = 0.96 * turn + 0.012 * draws.normal();
            heading += turn;
            let s = i as f64;
            let dz = -slope + wave(s) - wave(s - 1.0);
            let level = (1.0 - dz * dz).max(0.1).sqrt();
            east.push(east[i - 1] + level * f64::sin(heading));
            north.push(north[i - 1] + level * f64::cos(heading));
            up.push(up[i - 1] + dz);
        }
        Self { east, north, up }
    }

    /// The same after a storm.
    pub fn after(&self, storm: &Storm) -> Self {
        let last = self.east.len() - 1;
        let mut out = self.clone();
        for i in 0..=last {
            let share = storm.share(i as f64);
            if share > 0.0 {
                let (a, b) = (i.saturating_sub(1), (i + 1).min(last));
                let (de, dn) = (self.east[b] - self.east[a], self.north[b] - self.north[a]);
                let length = de.hypot(dn);
                out.east[i] -= dn / length * storm.side * share;
                out.north[i] += de / length * storm.side * share;
                out.up[i] += storm.up * share;
            }
        }
        out
    }

    fn at(values: &[f64], s: f64) -> f64 {
        let i = (s.floor() as usize).min(values.len() - 2);
        values[i] + (s - i as f64) * (values[i + 1] - values[i])
    }

    /// Walks with a receiver as GPX: an offset a walk, a slow drift, a small white part, one fix a second.
    pub fn walked(&self, draws: &mut Rng, passes: usize) -> String {
        let mut text = String::from(
            "<?xml version=\"1.0\"?><gpx version=\"1.1\" creator=\"invented\" xmlns=\"http://www.topografix.com/GPX/1/1\">",
        );
        let length = (self.east.len() - 1) as f64;
        let (mut drift_m, tau) = ([0.0; 3], draws.between(80.0, 300.0));
        let wide = [
            draws.between(0.6, 1.4),
            draws.between(0.6, 1.4),
            draws.between(0.8, 1.8),
        ];
        for pass in 0..passes {
            let offset = [
                1.5 * draws.normal(),
                1.5 * draws.normal(),
                3.0 * draws.normal(),
            ];
            for (d, w) in drift_m.iter_mut().zip(wide) {
                *d = w * draws.normal();
            }
            let (mut s, mut t) = (0.0, pass as f64 * 4000.0);
            text.push_str("<trk><trkseg>");
            while s <= length {
                let keep = f64::exp(-1.0 / tau);
                for (d, w) in drift_m.iter_mut().zip(wide) {
                    *d = keep * *d + w * (1.0 - keep * keep).sqrt() * draws.normal();
                }
                let east = Self::at(&self.east, s) + offset[0] + drift_m[0] + 0.2 * draws.normal();
                let north =
                    Self::at(&self.north, s) + offset[1] + drift_m[1] + 0.2 * draws.normal();
                let up = Self::at(&self.up, s) + offset[2] + drift_m[2] + 0.3 * draws.normal();
                let (lat, lon) = (46.0 + north / 111_150.0, 9.0 + east / 77_460.0);
                let whole = t as u64;
                let _ = write!(
                    text,
                    "<trkpt lat=\"{lat:.8}\" lon=\"{lon:.8}\"><ele>{up:.2}</ele><time>2026-05-14T{:02}:{:02}:{:02}Z</time></trkpt>",
                    whole / 3600 % 24,
                    whole / 60 % 60,
                    whole % 60
                );
                t += 1.0;
                s += 0.8 + 0.15 * draws.normal();
            }
            text.push_str("</trkseg></trk>");
        }
        text.push_str("</gpx>");
        text
    }

    /// A level book over the pegs between two stations: pegs every five metres, a set-up every four pegs.
    pub fn levelled(&self, draws: &mut Rng, from: usize, to: usize) -> String {
        let mut text = String::from("station_m,bs_m,is_m,fs_m\n");
        let mut hi = self.up[from] + 2.0 + 0.002 * draws.normal();
        let pegs: Vec<usize> = (from..=to).step_by(5).collect();
        for (k, &i) in pegs.iter().enumerate() {
            let reading = |hi: f64, draws: &mut Rng| hi - self.up[i] + 0.002 * draws.normal();
            let row = if k == 0 {
                format!("{:.3},,", hi - self.up[i])
            } else if k + 1 == pegs.len() {
                format!(",,{:.3}", reading(hi, draws))
            } else if k % 4 == 0 {
                let fore = reading(hi, draws);
                hi = self.up[i] + 2.0;
                format!("{:.3},,{fore:.3}", reading(hi, draws))
            } else {
                format!(",{:.3},", reading(hi, draws))
            };
            let _ = writeln!(text, "{i},{row}");
        }
        text
    }

    pub fn route(&self, draws: &mut Rng, by: By) -> Route {
        match by {
            By::Walks(n) => route(&self.walked(draws, n)),
            By::Level => route(&self.levelled(draws, 0, self.up.len() - 1)),
        }
    }
}

/// A survey's text brought onto a route.
pub fn route(text: &str) -> Route {
    let options = ReadOptions {
        along_slope: Some(true),
        staff_m: 20.0,
        ..ReadOptions::default()
    };
    let kind = if text.starts_with('<') {
        Method::Gpx
    } else {
        Method::Level
    };
    let reading = survey::read_bytes(text.as_bytes(), "invented", Some(kind), &options)
        .unwrap_or_else(|e| panic!("{e}"));
    let options = RouteOptions {
        from: Some(steadyfall::route::End::Intake),
        along_slope: Some(true),
        heights: HeightsOptions {
            draws: Some(200),
            ..HeightsOptions::default()
        },
        ..RouteOptions::default()
    };
    Route::from(&[reading], &options).unwrap_or_else(|e| panic!("{e}"))
}
