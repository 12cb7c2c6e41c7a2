//! A walk that the page recorded: its passes, its gaps, the line so far, and the GPX that holds what the receiver said.

use super::clock::clock;
use super::sheets::GAP_S;
use crate::earth::{LatLon, Plane};
use crate::text::{Fault, Place};
use serde_json::{Value, json};
use std::path::Path;

/// What heights count from, by the kind of phone: a word of its own description, and what the track says of it.
pub const HEIGHTS: [(&[&str], &str); 2] = [
    (&["Android"], "heights above the ellipsoid"),
    (&["iPhone", "iPad", "Macintosh"], "heights above the sea"),
];

/// Marks of one name this near each other are one place, m: a receiver comes back to a place within its error.
const SAME_M: f64 = 25.0;
/// A mark is the mean of the fixes so near in time, s: one fix alone has its whole noise.
const MARK_S: f64 = 3.0;

/// One fix, as the browser gave it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct BrowserFix {
    pub(super) time_s: f64,
    pub(super) at: LatLon,
    pub(super) accuracy_m: Option<f64>,
    pub(super) height_m: Option<f64>,
    pub(super) height_accuracy_m: Option<f64>,
}

/// Something that happened on the way.
#[derive(Debug, Clone, PartialEq)]
struct Event {
    time_s: f64,
    what: String,
    name: String,
}

/// A break in the fixes.
#[derive(Debug, Clone, PartialEq)]
struct Gap {
    from_s: f64,
    to_s: f64,
    why: &'static str,
}

/// A mark, one place however often it was tapped.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct TrackMark {
    pub(super) name: String,
    lat_sum: f64,
    lon_sum: f64,
    pub(super) heights: Vec<f64>,
    taps: usize,
    fixes: f64,
    pub(super) time_s: f64,
}

impl TrackMark {
    pub(super) fn at(&self) -> LatLon {
        LatLon::new(self.lat_sum / self.fixes, self.lon_sum / self.fixes)
    }
}

/// The walk, whole.
pub fn of(path: &Path) -> Result<Value, Fault> {
    let record = super::listed::listed(path)?;
    let fault = |what: &str| {
        Fault::new(Place::file(path.display().to_string()), format!("{what} of this record cannot be read"))
            .expected("[time_ms, latitude, longitude, accuracy, altitude, altitude accuracy] for each fix; time, what and name for each event")
            .advice("export the record again")
    };
    let items = |key: &str| {
        record
            .get(key)
            .and_then(Value::as_array)
            .cloned()
            .unwrap_or_default()
    };
    let mut fixes = items("fixes")
        .iter()
        .map(fix)
        .collect::<Option<Vec<BrowserFix>>>()
        .ok_or_else(|| fault("a fix"))?;
    fixes.sort_by(|a, b| a.time_s.total_cmp(&b.time_s));
    fixes.dedup_by(|b, a| a.time_s == b.time_s);
    let mut events = items("events")
        .iter()
        .map(event)
        .collect::<Option<Vec<Event>>>()
        .ok_or_else(|| fault("an event"))?;
    events.sort_by(|a, b| a.time_s.total_cmp(&b.time_s));
    let device = record.get("device").and_then(Value::as_str).unwrap_or("");
    let title = record
        .get("title")
        .and_then(Value::as_str)
        .unwrap_or("walk");
    let walk = RecordedWalk::of(&fixes, &events);
    let heights = HEIGHTS
        .iter()
        .find(|(words, _)| words.iter().any(|w| device.contains(w)))
        .map(|(_, told)| *told);
    Ok(json!({
        "gpx": walk.gpx(title, heights),
        "fixes": fixes.len(),
        "passes": walk.passes_said(),
        "gaps": walk.gaps.iter().map(|g| g.said()).collect::<Vec<_>>(),
        "stands": walk.stands_said(&fixes, &events),
        "marks": walk.marks.iter().map(|m| json!({"name": m.name, "taps": m.taps})).collect::<Vec<_>>(),
        "heights": heights,
        "drawn": walk.drawn(),
    }))
}

fn fix(value: &Value) -> Option<BrowserFix> {
    // As text a figure comes through to its last bit.
    let exact = |v: &Value| match v {
        Value::String(text) => text.parse::<f64>().ok(),
        other => other.as_f64(),
    };
    let at = |i: usize| value.get(i).and_then(exact).filter(|v| v.is_finite());
    let (lat, lon) = (at(1)?, at(2)?);
    (lat.abs() <= 90.0 && lon.abs() <= 180.0).then_some(())?;
    Some(BrowserFix {
        time_s: at(0)? / 1000.0,
        at: LatLon::new(lat, lon),
        accuracy_m: at(3),
        height_m: at(4),
        height_accuracy_m: at(5),
    })
}

fn event(value: &Value) -> Option<Event> {
    let text = |key: &str| value.get(key).and_then(Value::as_str);
    Some(Event {
        time_s: value.get("t")?.as_f64()? / 1000.0,
        what: text("what")?.to_owned(),
        name: text("name").unwrap_or("").to_owned(),
    })
}

/// What the record makes.
pub(super) struct RecordedWalk {
    /// Passes, each in segments between gaps.
    pub(super) passes: Vec<Vec<Vec<BrowserFix>>>,
    gaps: Vec<Gap>,
    pub(super) marks: Vec<TrackMark>,
}

impl RecordedWalk {
    fn of(fixes: &[BrowserFix], events: &[Event]) -> Self {
        let mut passes: Vec<Vec<Vec<BrowserFix>>> = Vec::new();
        let mut gaps = Vec::new();
        let mut before: Option<&BrowserFix> = None;
        for fix in fixes {
            // What bears the time of a fix happened after it: no event is written before the fix it follows.
            let since = |what: &str| {
                before.is_some_and(|b| {
                    events
                        .iter()
                        .any(|e| e.what == what && (b.time_s..fix.time_s).contains(&e.time_s))
                })
            };
            let turned = before.is_none() || since("pass") || since("begin");
            let paused = since("begin");
            let lost = before.is_some_and(|b| fix.time_s - b.time_s > GAP_S);
            if let Some(b) = before.filter(|_| lost && !paused) {
                gaps.push(Gap {
                    from_s: b.time_s,
                    to_s: fix.time_s,
                    why: if since("hidden") {
                        "the page was hidden or the phone locked"
                    } else {
                        "no fix"
                    },
                });
            }
            if turned {
                passes.push(Vec::new());
            }
            if let Some(pass) = passes.last_mut() {
                if turned || lost {
                    pass.push(Vec::new());
                }
                if let Some(segment) = pass.last_mut() {
                    segment.push(*fix);
                }
            }
            before = Some(fix);
        }
        Self {
            passes,
            gaps,
            marks: marks(fixes, events),
        }
    }

    /// Which way each pass went: by the marks at the ends, else only its number.
    fn passes_said(&self) -> Vec<String> {
        let place = |name: &str| {
            self.marks
                .iter()
                .find(|m| m.name == name)
                .map(TrackMark::at)
        };
        let ends = place("intake").zip(place("powerhouse"));
        self.passes
            .iter()
            .enumerate()
            .map(|(i, pass)| {
                let all: Vec<&BrowserFix> = pass.iter().flatten().collect();
                let way = ends.and_then(|(intake, powerhouse)| {
                    let (first, last) = (all.first()?, all.last()?);
                    let above =
                        |f: &BrowserFix| f.at.distance_m(intake) - f.at.distance_m(powerhouse);
                    Some(if above(first) < above(last) {
                        ", down"
                    } else {
                        ", up"
                    })
                });
                let parts = if pass.len() > 1 {
                    format!(", in {} parts", pass.len())
                } else {
                    String::new()
                };
                format!(
                    "pass {}{}: {} {}{parts}",
                    i + 1,
                    way.unwrap_or(""),
                    all.len(),
                    if all.len() == 1 { "fix" } else { "fixes" }
                )
            })
            .collect()
    }

    /// What each stop shows of the receiver's drift.
    fn stands_said(&self, fixes: &[BrowserFix], events: &[Event]) -> Vec<String> {
        let mut out = Vec::new();
        for begin in events.iter().filter(|e| e.what == "stand") {
            let end = events
                .iter()
                .find(|e| e.what == "stood" && e.time_s >= begin.time_s)
                .map_or(f64::INFINITY, |e| e.time_s);
            let stood: Vec<&BrowserFix> = fixes
                .iter()
                .filter(|f| (begin.time_s..=end).contains(&f.time_s))
                .collect();
            let (Some(first), Some(last)) = (stood.first(), stood.last()) else {
                continue;
            };
            let heights: Vec<f64> = stood.iter().filter_map(|f| f.height_m).collect();
            let low = heights.iter().copied().fold(f64::INFINITY, f64::min);
            let high = heights.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            let drift = if heights.len() > 1 {
                format!("its height moved by {:.1} m", high - low)
            } else {
                "it gave no height".to_owned()
            };
            let side = stood
                .iter()
                .map(|f| f.at.distance_m(first.at))
                .fold(0.0, f64::max);
            out.push(format!(
                "In a stop of {:.0} s the receiver moved by {side:.1} m, {drift}.",
                last.time_s - first.time_s
            ));
        }
        out
    }

    /// The line so far in a square, north up: each segment, and each mark.
    fn drawn(&self) -> Value {
        let all = || self.passes.iter().flatten().flatten();
        let Some(first) = all().next() else {
            return json!({"segments": [], "marks": []});
        };
        let plane = Plane::new(first.at, first.height_m.unwrap_or(0.0));
        let at = |p: LatLon| plane.east_north(p);
        let (mut west, mut east, mut south, mut north) = (0.0_f64, 0.0_f64, 0.0_f64, 0.0_f64);
        for fix in all() {
            let [e, n] = at(fix.at);
            (west, east) = (west.min(e), east.max(e));
            (south, north) = (south.min(n), north.max(n));
        }
        let size = (east - west).max(north - south).max(20.0);
        let (mid_e, mid_n) = (0.5 * (west + east), 0.5 * (south + north));
        let shown = |p: LatLon| {
            let [e, n] = at(p);
            let round = |v: f64| (v * 10.0).round() / 10.0;
            [
                round(100.0 + 180.0 * (e - mid_e) / size),
                round(100.0 - 180.0 * (n - mid_n) / size),
            ]
        };
        let segments: Vec<Vec<[f64; 2]>> = self
            .passes
            .iter()
            .flatten()
            .map(|s| s.iter().map(|f| shown(f.at)).collect())
            .collect();
        let marks: Vec<Value> = self
            .marks
            .iter()
            .map(|m| json!({"name": m.name, "at": shown(m.at())}))
            .collect();
        json!({"segments": segments, "marks": marks})
    }
}

impl Gap {
    fn said(&self) -> String {
        format!(
            "gap of {:.0} s from {} UTC: {}",
            self.to_s - self.from_s,
            clock(self.from_s),
            self.why
        )
    }
}

/// Each mark at the mean of the fixes round its tap; marks of one name that lie together are one.
fn marks(fixes: &[BrowserFix], events: &[Event]) -> Vec<TrackMark> {
    let mut out: Vec<TrackMark> = Vec::new();
    for event in events.iter().filter(|e| e.what == "mark") {
        let mut near: Vec<&BrowserFix> = fixes
            .iter()
            .filter(|f| (f.time_s - event.time_s).abs() <= MARK_S)
            .collect();
        if near.is_empty() {
            near.extend(fixes.iter().min_by(|a, b| {
                (a.time_s - event.time_s)
                    .abs()
                    .total_cmp(&(b.time_s - event.time_s).abs())
            }));
        }
        if near.is_empty() {
            continue;
        }
        let tap = TrackMark {
            name: event.name.clone(),
            lat_sum: near.iter().map(|f| f.at.lat_deg).sum(),
            lon_sum: near.iter().map(|f| f.at.lon_deg).sum(),
            heights: near.iter().filter_map(|f| f.height_m).collect(),
            taps: 1,
            fixes: near.len() as f64,
            time_s: event.time_s,
        };
        let base = |name: &str| {
            name.rsplit_once(' ')
                .filter(|(_, n)| n.parse::<u32>().is_ok())
                .map_or(name.to_owned(), |(b, _)| b.to_owned())
        };
        let alike = out.iter().filter(|m| base(&m.name) == tap.name).count();
        match out
            .iter_mut()
            .find(|m| base(&m.name) == tap.name && m.at().distance_m(tap.at()) <= SAME_M)
        {
            Some(same) => {
                same.lat_sum += tap.lat_sum;
                same.lon_sum += tap.lon_sum;
                same.heights.extend(tap.heights);
                same.fixes += tap.fixes;
                same.taps += 1;
            }
            None => out.push(TrackMark {
                name: if alike == 0 {
                    tap.name.clone()
                } else {
                    format!("{} {}", tap.name, alike + 1)
                },
                ..tap
            }),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reading::{Data, ReadOptions};
    use crate::survey::read_bytes;

    fn walk(times: &[f64], events: &[(f64, &str, &str)]) -> RecordedWalk {
        let fixes: Vec<BrowserFix> = times
            .iter()
            .map(|t| BrowserFix {
                time_s: 1_700_000_000.25 + t,
                at: LatLon::new(46.123_456_789_1 - t * 1e-5, -30.5),
                accuracy_m: Some(6.5),
                height_m: Some(100.0 - 0.1 * t),
                height_accuracy_m: None,
            })
            .collect();
        let events: Vec<Event> = events
            .iter()
            .map(|(t, what, name)| Event {
                time_s: 1_700_000_000.25 + t,
                what: (*what).to_owned(),
                name: (*name).to_owned(),
            })
            .collect();
        RecordedWalk::of(&fixes, &events)
    }

    /// What is written is read back by the reader of surveys, fix for fix.
    #[test]
    fn the_track_holds_every_fix_and_every_gap() {
        let times: Vec<f64> = (0..30).chain(60..90).map(f64::from).collect();
        let own = walk(&times, &[(29.0, "hidden", ""), (74.0, "pass", "")]);
        assert_eq!(own.gaps.len(), 1);
        assert!(
            own.gaps.first().unwrap().said().contains("gap of 31 s"),
            "{:?}",
            own.gaps
        );
        assert!(own.gaps.first().unwrap().said().ends_with("locked"));
        let reading = read_bytes(
            own.gpx("a < b", None).as_bytes(),
            "w.gpx",
            None,
            &ReadOptions::default(),
        )
        .unwrap();
        let Data::Walks(passes) = reading.data else {
            panic!("a walk")
        };
        let parts: Vec<Vec<usize>> = passes
            .iter()
            .map(|p| p.segments.iter().map(Vec::len).collect())
            .collect();
        assert_eq!(parts, [vec![30, 15], vec![15]]);
        let read: Vec<_> = passes.iter().flat_map(|p| &p.segments).flatten().collect();
        for (fix, t) in read.iter().zip(&times) {
            assert_eq!(fix.lat_deg, 46.123_456_789_1 - t * 1e-5);
            assert_eq!(fix.elevation_m, Some(100.0 - 0.1 * t));
            assert!((fix.time_s.unwrap() - 1_700_000_000.25 - t).abs() < 1e-3);
        }
    }

    #[test]
    fn an_end_that_is_marked_on_each_pass_is_one_place() {
        let times: Vec<f64> = (0..200).map(f64::from).collect();
        let own = walk(
            &times,
            &[
                (2.0, "mark", "intake"),
                (8.0, "mark", "intake"),
                (190.0, "mark", "vent"),
                (50.0, "mark", "vent"),
                (199.0, "mark", "powerhouse"),
            ],
        );
        let names: Vec<&str> = own.marks.iter().map(|m| m.name.as_str()).collect();
        assert_eq!(names, ["intake", "vent", "vent 2", "powerhouse"]);
        assert!(
            own.passes_said().first().unwrap().contains("down"),
            "{:?}",
            own.passes_said()
        );
    }
}
