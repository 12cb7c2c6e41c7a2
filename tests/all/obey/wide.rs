//! Plants with what fewer have: a walk or a plan for a book, a siphon, water taken off on the way, cover and wheels, other joints.

use super::plant::{Book, Material, Plant, quoted, route};
use std::fmt::Write as _;
use steadyfall::numeric::Rng;
use steadyfall::site;

impl Plant {
    /// The same with what fewer plants have: a walk or a plan for a book, a siphon, water taken off on the way, cover and wheels, other joints, pipe with a past.
    pub fn wide(seed: u64) -> Self {
        let mut out = Self::random(7000 + seed);
        let mut draws = Rng::new(0x51de + seed);
        let mut pick = |n: usize| ((draws.uniform() * n as f64) as usize).min(n - 1);
        let (book, siphon, draw) = (pick(3), pick(4) == 0, pick(3) == 0);
        let (joint, cover, lower) = (pick(4), pick(3) == 0, pick(3));
        let length_m = out.length_m();
        if book == 1 {
            let turns = out.points.iter().map(|_| 1.6 * (draws.uniform() - 0.5));
            out.book = Book::Plan(turns.collect());
        }
        if siphon {
            out.siphon = true;
            // a small lip, over it by less than the pipe may be sucked at, and on
            let lip_m = 1.2 + 1.5 * draws.uniform();
            for (i, point) in out.points.iter_mut().enumerate().skip(1) {
                point.0 += 10.0;
                point.1 += if i == 1 { lip_m } else { 0.0 };
            }
            let first = out.points[1];
            out.points.insert(1, (8.0, 500.0 + lip_m, first.2));
            out.points[2].1 = out.points[2].1.min(499.0);
            out.fittings
                .retain(|f| !f.iter().any(|(_, v)| v == "\"head valve\""));
            out.marks.clear();
            let end_m = out.length_m();
            if let Some(at) = out.fittings[0].iter_mut().find(|(k, _)| *k == "at") {
                at.1 = quoted(end_m - 2.0, "m");
            }
        } else if book == 2 {
            out.book = Book::Walk(seed);
            // heights of a walk carry metres of doubt: only a steep line is asked
            for point in &mut out.points {
                point.1 -= 0.08 * point.0;
            }
            let end_m = out.surveyed_m();
            let stretch = end_m / length_m;
            for table in out
                .fittings
                .iter_mut()
                .chain(&mut out.marks)
                .chain(&mut out.floods)
            {
                for (key, value) in table {
                    if ["at", "from", "to"].contains(key) {
                        let m: f64 = value.trim_matches(['"', 'm', ' ']).parse().unwrap();
                        *value = quoted(m * stretch, "m");
                    }
                }
            }
            for pipe in &mut out.pipes {
                pipe.to_m = pipe.to_m.map(|m| (m * stretch).round());
            }
        }
        if draw {
            out.draw = Some((0.5 * length_m, 0.1 + 0.2 * draws.uniform()));
        }
        let pvc = out.pipes[0].material == Material::Pvc;
        for pipe in &mut out.pipes {
            pipe.joint = match (pvc, joint) {
                (false, 1) => "compression",
                (false, 2) => "repair coupling",
                (true, 1) => "solvent",
                _ => pipe.joint,
            };
            // now and then too weak a pipe, so that a stronger one is asked for
            pipe.class = if lower == 0 {
                pipe.class.saturating_sub(1)
            } else {
                pipe.class
            };
        }
        if cover {
            out.laid.push(vec![
                ("from", quoted(0.3 * length_m, "m")),
                ("to", quoted(0.6 * length_m, "m")),
                ("how", "\"buried\"".to_owned()),
                ("cover", "\"0.5 m\"".to_owned()),
                ("traffic", "\"truck\"".to_owned()),
            ]);
        }
        out
    }

    /// Length that the survey finds, m.
    fn surveyed_m(&self) -> f64 {
        let text =
            "format = 1\n[survey]\nfiles = [\"line.gpx\"]\nkind = \"gpx\"\nfrom = \"intake\"\n";
        let site = site::read_text("site.toml", text).unwrap();
        let route = route(&site, &self.sheet()).unwrap();
        route.nodes.last().unwrap().station_m
    }

    /// Heights at a station along the given points, m.
    fn height_m(&self, station_m: f64) -> f64 {
        let above = self.points.partition_point(|p| p.0 < station_m);
        let b = self.points[above.min(self.points.len() - 1)];
        let a = self.points[above.saturating_sub(1)];
        if b.0 > a.0 {
            a.1 + (b.1 - a.1) * (station_m - a.0) / (b.0 - a.0)
        } else {
            b.1
        }
    }

    /// A walk northwards over the line: a fix every few metres, its heights off by a slow drift and a quick noise.
    pub fn walk(&self, seed: u64) -> String {
        let mut draws = Rng::new(0xa1 + seed);
        let mut out = String::new();
        let (mut drift, mut level) = (0.0, 0.0);
        let mut s = 0.0;
        while s <= self.length_m() {
            drift = 0.95 * drift + 0.12 * draws.normal();
            let z = self.height_m(s) + drift + 0.15 * draws.normal();
            let lat = 46.0 + level / 111_200.0 + 2e-6 * draws.normal();
            let lon = 8.0 + 3e-6 * draws.normal();
            let _ = writeln!(
                out,
                "<trkpt lat=\"{lat:.7}\" lon=\"{lon:.7}\"><ele>{z:.2}</ele></trkpt>"
            );
            let fall = (self.height_m(s) - self.height_m(s + 4.0)) / 4.0;
            level += 4.0 * (1.0 - fall * fall).max(0.0).sqrt();
            s += 4.0;
        }
        crate::survey::track(&out)
    }
}
