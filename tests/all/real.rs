//! Real recordings of one path: whether the stated doubt covers the difference between passes. No truth stands beside them.
//!
//! The groups and their licences: tests/tracks/real. STEADYFALL_CALIBRATE asks with all draws, pieces too, and writes the section of docs/calibration.md.

use steadyfall::heights::HeightsOptions;
use steadyfall::reading::{Data, Fix, Method, Pass, ReadOptions, Reading};
use steadyfall::route::{End, Node, Route, RouteOptions};

mod denied;

use denied::Denials;

const FOLDER: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/tracks/real/");
/// Metres in a degree of latitude, closely enough for paths of a mile.
const DEGREE_M: f64 = 111_320.0;
/// The gates stand so far inside of both ends, m.
const GATE_M: f64 = 30.0;

/// One recorded pass on the path of its group.
struct Recorded {
    fixes: Vec<Fix>,
    station_m: Vec<f64>,
    downhill: bool,
}

struct Group {
    name: String,
    length_m: f64,
    /// Its reference line, m east and north of the first point.
    path: Vec<[f64; 2]>,
    first_deg: (f64, f64),
    passes: Vec<Recorded>,
}

fn groups() -> Vec<Group> {
    let index = std::fs::read_to_string(format!("{FOLDER}index.csv")).unwrap();
    let mut groups: Vec<Group> = Vec::new();
    for line in index.lines().skip(1) {
        let cells: Vec<&str> = line.split(',').collect();
        let (group, file) = (cells[0], cells[1]);
        let reference = std::fs::read_to_string(format!("{FOLDER}{group}/reference.csv")).unwrap();
        let mut rows = reference.lines();
        let head: Vec<&str> = rows.next().unwrap().split(',').collect();
        let column = |name: &str| head.iter().position(|h| *h == name).unwrap();
        let (lat, lon) = (column("lat"), column("lon"));
        let at: Vec<(f64, f64)> = rows
            .map(|r| r.split(',').collect::<Vec<_>>())
            .map(|r| (r[lat].parse().unwrap(), r[lon].parse().unwrap()))
            .collect();
        let plane = |lat: f64, lon: f64| plane(at[0], lat, lon);
        let path: Vec<[f64; 2]> = at.iter().map(|&(lat, lon)| plane(lat, lon)).collect();
        let read = steadyfall::survey::read(
            format!("{FOLDER}{group}/{file}").as_ref(),
            None,
            &ReadOptions::default(),
        )
        .unwrap();
        let Data::Walks(passes) = read.data else {
            panic!("a track")
        };
        let fixes: Vec<Fix> = passes
            .into_iter()
            .flat_map(|p| p.segments)
            .flatten()
            .collect();
        let mut last = None;
        let station_m = fixes
            .iter()
            .map(|f| {
                let s = station(&path, plane(f.lat_deg, f.lon_deg), last);
                last = Some(s);
                s
            })
            .collect();
        if groups.last().is_none_or(|g| g.name != group) {
            groups.push(Group {
                name: group.to_owned(),
                length_m: 10.0 * (path.len() - 1) as f64,
                path: path.clone(),
                first_deg: at[0],
                passes: Vec::new(),
            });
        }
        groups.last_mut().unwrap().passes.push(Recorded {
            fixes,
            station_m,
            downhill: cells[3] == "intake",
        });
    }
    groups
}

/// East and north of a first point, m.
fn plane(first: (f64, f64), lat: f64, lon: f64) -> [f64; 2] {
    let k = first.0.to_radians().cos();
    [(lon - first.1) * k * DEGREE_M, (lat - first.0) * DEGREE_M]
}

/// The nearest station on a path of points 10 m apart, near the one before.
fn station(path: &[[f64; 2]], at: [f64; 2], last: Option<f64>) -> f64 {
    let middle = last.map(|l| (l / 10.0) as usize);
    let from = middle.map_or(0, |m| m.saturating_sub(12));
    let to = middle.map_or(path.len() - 1, |m| (m + 13).min(path.len() - 1));
    let mut best = (f64::INFINITY, 0.0);
    for i in from..to {
        let ([ax, ay], [bx, by]) = (path[i], path[i + 1]);
        let (dx, dy) = (bx - ax, by - ay);
        let n = dx * dx + dy * dy;
        let w = if n == 0.0 {
            0.0
        } else {
            (((at[0] - ax) * dx + (at[1] - ay) * dy) / n).clamp(0.0, 1.0)
        };
        let off = (at[0] - ax - w * dx).powi(2) + (at[1] - ay - w * dy).powi(2);
        if off < best.0 {
            best = (off, 10.0 * (i as f64 + w));
        }
    }
    best.1
}

impl Recorded {
    /// The fixes between two gates, with an end put in at each.
    fn between(&self, from_m: f64, to_m: f64) -> Option<Vec<Fix>> {
        let turned = |s: f64| if self.downhill { s } else { -s };
        let s: Vec<f64> = self.station_m.iter().map(|&s| turned(s)).collect();
        let (a, b) = (
            turned(from_m).min(turned(to_m)),
            turned(from_m).max(turned(to_m)),
        );
        let crossed = |gate: f64, from: usize| {
            (from..s.len() - 1).find(|&i| {
                if gate == a {
                    s[i] <= a && a < s[i + 1]
                } else {
                    s[i] < b && b <= s[i + 1]
                }
            })
        };
        // The last crossing of the first gate before the second one is reached.
        let mut first = crossed(a, 0)?;
        let last = crossed(b, first)?;
        while let Some(later) = crossed(a, first + 1).filter(|&i| i <= last) {
            first = later;
        }
        let put = |i: usize, gate: f64| {
            let w = (gate - s[i]) / (s[i + 1] - s[i]);
            let (f, g) = (&self.fixes[i], &self.fixes[i + 1]);
            let mix = |a: f64, b: f64| a + w * (b - a);
            Fix {
                lat_deg: mix(f.lat_deg, g.lat_deg),
                lon_deg: mix(f.lon_deg, g.lon_deg),
                elevation_m: f.elevation_m.zip(g.elevation_m).map(|(a, b)| mix(a, b)),
                time_s: f.time_s.zip(g.time_s).map(|(a, b)| mix(a, b)),
                ..*f
            }
        };
        let mut out = vec![put(first, a)];
        out.extend_from_slice(&self.fixes[first + 1..=last]);
        out.push(put(last, b));
        (out.len() >= 8).then_some(out)
    }
}

impl Group {
    /// Station on the reference line of a node of a route.
    fn reference_m(&self, node: &Node) -> f64 {
        let (lat, lon) = node.plan.unwrap().lat_lon_deg.unwrap();
        station(&self.path, plane(self.first_deg, lat, lon), None)
    }

    /// The height that a pass wrote at a station of the reference line.
    fn written(&self, pass: usize, station_m: f64) -> Option<f64> {
        let pass = &self.passes[pass];
        let i = (0..pass.fixes.len() - 1).find(|&i| {
            let (a, b) = (pass.station_m[i], pass.station_m[i + 1]);
            a.min(b) <= station_m && station_m < a.max(b)
        })?;
        let w = (station_m - pass.station_m[i]) / (pass.station_m[i + 1] - pass.station_m[i]);
        let (f, g) = (&pass.fixes[i], &pass.fixes[i + 1]);
        Some(f.elevation_m? + w * (g.elevation_m? - f.elevation_m?))
    }
}

/// Drop and its doubt of some passes of a group together, and the route.
fn judged(
    group: &Group,
    passes: &[usize],
    from_m: f64,
    to_m: f64,
    draws: Option<usize>,
) -> Option<Route> {
    let walks: Option<Vec<Pass>> = passes
        .iter()
        .map(|&i| {
            group.passes[i].between(from_m, to_m).map(|fixes| Pass {
                name: format!("{} {i}", group.name),
                segments: vec![fixes],
                drawn: false,
            })
        })
        .collect();
    let reading = Reading {
        method: Method::Gpx,
        file: group.name.clone(),
        points_read: 0,
        data: Data::Walks(walks?),
        places: Vec::new(),
        remarks: Vec::new(),
        source: Default::default(),
    };
    let options = RouteOptions {
        from: Some(if group.passes[passes[0]].downhill {
            End::Intake
        } else {
            End::Turbine
        }),
        heights: HeightsOptions {
            draws,
            ..HeightsOptions::default()
        },
        ..RouteOptions::default()
    };
    Route::from(&[reading], &options).ok()
}

/// The node of another route over the same path that lies nearest to a station.
fn same_place(route: &Route, station_m: f64, other: &Route) -> usize {
    let lat_lon = |n: &Node| n.plan.unwrap().lat_lon_deg.unwrap();
    let off = |n: &&Node| (n.station_m - station_m).abs();
    let node = route.nodes.iter().min_by(|a, b| off(a).total_cmp(&off(b)));
    let (lat, lon) = lat_lon(node.unwrap());
    let apart = |n: &Node| {
        let (a, b) = lat_lon(n);
        (a - lat).hypot((b - lon) * lat.to_radians().cos())
    };
    (0..other.nodes.len())
        .min_by(|&a, &b| apart(&other.nodes[a]).total_cmp(&apart(&other.nodes[b])))
        .unwrap()
}

/// The rise between two nodes, low and crest, and its doubt as the draws have it.
fn between(route: &Route, [low, crest]: [usize; 2]) -> (f64, f64) {
    let rise = |z: &[f64]| z[crest] - z[low];
    let mean = rise(&route.heights.mean_m);
    let off = route.heights.draws.iter().map(|d| (rise(d) - mean).powi(2));
    let variance = off.sum::<f64>() / route.heights.draws.len() as f64;
    (mean, variance.sqrt())
}

/// The chance that the one left out shows no rise between two places if its own result erred about the truth as its draws lie about their mean. It does not: what is not seen is drawn towards the even fall of the line, so that this chance is too small (`the_expectation_of_a_denial_holds`). Told beside, for it stood here until version 0.2.0.
fn chance_of_none(of_others: &Route, own: [usize; 2], left_out: &Route, its: [usize; 2]) -> f64 {
    let rises = |route: &Route, [low, crest]: [usize; 2]| -> Vec<f64> {
        let draws = route.heights.draws.iter();
        draws.map(|d| d[crest] - d[low]).collect()
    };
    let mut held = rises(of_others, own);
    held.sort_by(f64::total_cmp);
    let seen = rises(left_out, its);
    let mean = seen.iter().sum::<f64>() / seen.len() as f64;
    let none = |s: &f64| held.partition_point(|&r| r <= mean - s) as f64;
    seen.iter().map(none).sum::<f64>() / (seen.len() * held.len()) as f64
}

/// Differences between two judgements with the doubt that was stated of them.
#[derive(Default)]
struct Row {
    pairs: Vec<(f64, f64)>,
    refused: usize,
}

impl Row {
    fn add(&mut self, a: Option<&Route>, b: Option<&Route>) {
        let (Some(a), Some(b)) = (a, b) else {
            self.refused += 1;
            return;
        };
        let drop = |r: &Route| r.heights.mean_m[0] - r.heights.mean_m.last().unwrap();
        self.pairs.push((
            drop(a) - drop(b),
            a.heights.drop_sd_m.hypot(b.heights.drop_sd_m),
        ));
    }

    /// Rises over so many metres, one after the other, with the doubt that each draws of them.
    fn add_rises(&mut self, a: &Route, b: &Route, over_m: f64) {
        let mut low_m = 10.0;
        while low_m + over_m < a.length_m() - 10.0 {
            let nearest = |s: f64| {
                let off = |i: &usize| (a.nodes[*i].station_m - s).abs();
                (0..a.nodes.len())
                    .min_by(|i, k| off(i).total_cmp(&off(k)))
                    .unwrap()
            };
            let high_m = low_m + over_m;
            let (x, x_sd) = between(a, [low_m, high_m].map(nearest));
            let (y, y_sd) = between(b, [low_m, high_m].map(|s| same_place(a, s, b)));
            self.pairs.push((x - y, x_sd.hypot(y_sd)));
            low_m = high_m;
        }
    }

    fn count(&self) -> usize {
        self.pairs.len() + self.refused
    }

    fn within(&self, sds: f64) -> usize {
        self.pairs
            .iter()
            .filter(|(d, sd)| d.abs() <= sds * sd)
            .count()
    }

    /// Root mean squares of the differences and of what was stated.
    fn sizes(&self) -> (f64, f64) {
        let n = self.pairs.len().max(1) as f64;
        let rms = |f: fn(&(f64, f64)) -> f64| {
            (self.pairs.iter().map(|p| f(p).powi(2)).sum::<f64>() / n).sqrt()
        };
        (rms(|p| p.0), rms(|p| p.1))
    }

    /// Mean log density of the differences under what was stated.
    fn score(&self) -> f64 {
        let each = self.pairs.iter().map(|(d, sd)| {
            -0.5 * (d / sd).powi(2) - sd.ln() - 0.5 * (2.0 * std::f64::consts::PI).ln()
        });
        each.sum::<f64>() / self.pairs.len().max(1) as f64
    }

    fn told(&self, what: &str) -> String {
        let (seen, stated) = self.sizes();
        format!(
            "| {what} | {} | {:.0} % | {:.0} % | {seen:.1} m | {stated:.1} m | {:.2} |",
            self.count(),
            100.0 * self.within(1.0) as f64 / self.count() as f64,
            100.0 * self.within(2.0) as f64 / self.count() as f64,
            self.score()
        )
    }
}

/// The largest number that a binomial of chance 0.95 falls short of in at most 1 of 100 cases.
fn one_in_a_hundred(n: usize) -> usize {
    // In logarithms: 0.05 to the power of 300 is less than the least number.
    let mut log_chance = n as f64 * 0.05f64.ln();
    let mut below = 0.0;
    for k in 0..=n {
        below += log_chance.exp();
        if below > 0.01 {
            return k;
        }
        log_chance += (0.95 / 0.05 * (n - k) as f64 / (k + 1) as f64).ln();
    }
    n
}

#[test]
fn the_one_point_of_a_binomial() {
    // By hand: of 2, both out has 0.0025, one in has 0.095; of 20, 16 and fewer have 0.0159, 15 and fewer 0.0026.
    assert_eq!(one_in_a_hundred(2), 1);
    assert_eq!(one_in_a_hundred(20), 16);
    // By exact sums of whole numbers.
    assert_eq!(one_in_a_hundred(296), 272);
}

const REAL: &str = "These are recordings of receivers on one path between the same two ends (tests/tracks/real). `a`: twelve groups, each with several receivers on one ride. `b`: three groups of rides on several days. None is a walk. The true heights are not known, so the elevation difference of one result is compared with that of another. Two parts of the model were set on these same groups: the spread of A, and how often the error of a receiver runs away. All other parts come from other recordings. The test is tests/all/real.rs. The last column is the mean logarithm of the probability density of the difference, with the stated uncertainty.
";
const RUNAWAY: &str = "A receiver with an error that grows by ten metres or more in minutes is rare in these recordings. With such a receiver, the stated uncertainty of one walk is too small. Rises were the weak point. Until version 0.2.0, 122 rises were certain, and 53 of them were not in the remaining pass. Six mends brought this down. The ground begins smooth. The wander of one walk counts less as ground. A rise that depends on one of several walks is not certain. The rise from that low point to that high point must be certain itself. Heights in whole metres are read as such: half of these files have them. And without any one walk, a fifth of the rise must remain.

The expected number was calculated in another way before, and was too small. It treated the result of the remaining pass as the truth with an error as large as its uncertainty. But a result of one walk is drawn towards the even fall of the route. This was proved on invented passes over the same paths, with known ground and with the errors that the model expects (tests/all/real/denied.rs). There 191 rises were certain, and 1 of them was not there. The remaining pass did not show 32 of them. The earlier calculation expected 20.9, and the present one expects 32.6. By the files it was 26, with 24.6 expected.";

#[test]
fn the_stated_doubt_covers_real_passes() {
    let full = crate::doubt::tenths().is_some();
    let draws = if full { None } else { Some(160) };
    let mut rows: Vec<(String, Row)> = Vec::new();
    let mut at = |name: String, a: Option<&Route>, b: Option<&Route>| {
        let i = rows.iter().position(|r| r.0 == name).unwrap_or_else(|| {
            rows.push((name, Row::default()));
            rows.len() - 1
        });
        rows[i].1.add(a, b);
    };
    let mut denials = Denials::default();
    let mut rises: Vec<(String, Row)> = Vec::new();
    let mut rise_of = |name: String, a: Option<&Route>, b: Option<&Route>, over_m: f64| {
        let (Some(a), Some(b)) = (a, b) else { return };
        let i = rises.iter().position(|r| r.0 == name).unwrap_or_else(|| {
            rises.push((name, Row::default()));
            rises.len() - 1
        });
        rises[i].1.add_rises(a, b, over_m);
    };
    for group in groups() {
        let all = 0..group.passes.len();
        let ends = (GATE_M, group.length_m - GATE_M);
        let kind = &group.name[..1];
        let alone: Vec<Option<Route>> = all
            .clone()
            .map(|i| judged(&group, &[i], ends.0, ends.1, draws))
            .collect();
        for i in all.clone() {
            for k in 0..i {
                at(
                    format!("{kind}: two passes alone"),
                    alone[i].as_ref(),
                    alone[k].as_ref(),
                );
                for over_m in OVER_M {
                    rise_of(
                        format!("{kind}: rise over {over_m} m, two passes alone"),
                        alone[i].as_ref(),
                        alone[k].as_ref(),
                        over_m,
                    );
                }
            }
            let others: Vec<usize> = all.clone().filter(|&k| k != i).take(3).collect();
            if others.len() < 2 {
                continue;
            }
            let together = judged(&group, &others, ends.0, ends.1, draws);
            at(
                format!("{kind}: {} against one left out", others.len()),
                together.as_ref(),
                alone[i].as_ref(),
            );
            for over_m in OVER_M {
                rise_of(
                    format!("{kind}: rise over {over_m} m, several against one left out"),
                    together.as_ref(),
                    alone[i].as_ref(),
                    over_m,
                );
            }
            if let Some(route) = &together {
                denials.add(
                    &group,
                    i,
                    route,
                    alone[i].as_ref(),
                    draws,
                    if full { AGAIN } else { 0 },
                );
            }
            if full {
                let mut from = GATE_M;
                while i == 0 && from + 200.0 <= ends.1 {
                    let pieces: Vec<Option<Route>> = all
                        .clone()
                        .map(|k| judged(&group, &[k], from, from + 200.0, draws))
                        .collect();
                    // A receiver that wrote fewer than eight fixes there gave nothing to judge.
                    let wrote = |k: usize| group.passes[k].between(from, from + 200.0).is_some();
                    for a in all.clone().filter(|&k| wrote(k)) {
                        for b in (0..a).filter(|&k| wrote(k)) {
                            at(
                                format!("{kind}: pieces of 200 m"),
                                pieces[a].as_ref(),
                                pieces[b].as_ref(),
                            );
                        }
                    }
                    from += 200.0;
                }
            }
        }
    }
    let mut table = "| drop | number | within 1 sd | within 2 sd | rms difference | its stated sd | mean log score |\n|---|---|---|---|---|---|---|\n".to_owned();
    rises.sort_by(|a, b| a.0.cmp(&b.0));
    for (name, row) in rows.iter().chain(&rises) {
        table.push_str(&row.told(name));
        table.push('\n');
    }
    let told = format!(
        "{} Refused, because the lower end is higher than the upper end, and counted as missed: {}.",
        denials.told(),
        rows.iter().map(|r| r.1.refused).sum::<usize>()
    );
    println!("{table}{told}");
    if full {
        crate::doubt::page::put(
            "Real passes of one path",
            &format!("{REAL}\n{table}\n{told}\n\n{RUNAWAY}"),
        );
    }
    assert!(denials.denied <= MOST_DENIED_RISES, "{told}");
    // The bar is what their own doubt expects.
    if full {
        assert!(f64::from(denials.denied) <= denials.expected, "{told}");
    }
    for (name, row) in &rows {
        // A piece that one receiver saw rise is refused: it counts as missed in the table, and is no question of the uncertainty.
        let pieces = name.contains("pieces");
        let n = row.count() - if pieces { row.refused } else { 0 };
        assert!(row.within(2.0) >= one_in_a_hundred(n), "{}", row.told(name));
        // A doubt that is made large covers everything: it must be of use, too. Few pairs tell little of a size.
        let (seen, stated) = row.sizes();
        assert!(n < 40 || stated <= WIDEST * seen, "{}", row.told(name));
    }
    // Rises one after the other share their passes: a share, and no binomial.
    for (name, row) in &rises {
        let held = row.within(2.0) as f64 / row.count() as f64;
        assert!(held >= RISES_HELD, "{}", row.told(name));
    }
}

/// Rises are held against each other over so many metres.
const OVER_M: [f64; 3] = [25.0, 50.0, 100.0];
/// Share of rises over a length that two standard deviations hold, at least.
const RISES_HELD: f64 = 0.90;
/// Times that a pass left out is invented anew, for what is expected of it.
const AGAIN: usize = 40;
/// Certain rises that the pass left out denies, at most, with few draws: 10 of 43 were seen, 21 of 65 while the rise from the low to the crest that are named need not be certain itself, 53 of 122 while a rise could hang on one walk.
const MOST_DENIED_RISES: u32 = 12;
/// The stated doubt may be larger than the difference that was seen by this factor: receivers of one ride share their weather.
const WIDEST: f64 = 1.4;
