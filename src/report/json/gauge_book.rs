use crate::gauge_book::{ChannelKind, Episode, GaugeBook, JudgedBook, Readings, Suspect, date};
use crate::line::Line;
use crate::report::pegged::on_pegs;
use crate::report::words::gauge_book as words;
use serde_json::{Value, json};

/// The JSON of a book.
pub fn value(judged: &JudgedBook, book: &GaugeBook, line: &Line) -> Value {
    let out = json!({
        "format": super::whole::FORMAT,
        "program": { "name": env!("CARGO_PKG_NAME"), "version": env!("CARGO_PKG_VERSION") },
        "title": line.heading.title,
        "gauge_book": of(judged, book),
    });
    on_pegs(out, &line.geometry.pegs)
}

fn of(judged: &JudgedBook, book: &GaugeBook) -> Value {
    json!({
        "rows_read": book.rows,
        "from_logger": book.logged,
        "from_date": date(judged.days.0),
        "to_date": date(judged.days.1),
        "wander_m": judged.wander_m,
        "readings": judged.rows.iter().map(readings).collect::<Vec<_>>(),
        "changes": judged.episodes.iter().map(episode).collect::<Vec<_>>(),
        "alone_rows": judged.alone.iter().filter_map(|i| book.entries.get(*i)).map(|e| e.line).collect::<Vec<_>>(),
        "forecast": judged.forecast.map(|f| json!({
            "cause": words::change_word(f.cause),
            "power_lost_now": f.lost_now,
            "five_percent": f.five.map(dates),
            "ten_percent": f.ten.map(dates),
            "readings": f.readings,
        })),
        "remarks": book.remarks.iter().map(|r| r.text.to_string()).collect::<Vec<_>>(),
    })
}

fn dates((soon, likely, late): (f64, f64, f64)) -> Value {
    json!({
        "earliest": date(soon),
        "likeliest": date(likely),
        "latest": late.is_finite().then(|| date(late.min(likely + 3650.0))),
    })
}

/// The ending of a figure's key by what is read.
fn ending(kind: ChannelKind) -> &'static str {
    match kind {
        ChannelKind::Pressure => "m",
        ChannelKind::Flow | ChannelKind::Fed => "m3_per_s",
        ChannelKind::Power => "w",
    }
}

fn readings(r: &Readings) -> Value {
    let unit = ending(r.kind);
    let mut out = serde_json::Map::new();
    out.insert("kind".into(), json!(words::kind_word(r.kind)));
    out.insert("state".into(), json!(r.state.to_string()));
    out.insert("station_m".into(), json!(r.station_m));
    out.insert(format!("computed_{unit}"), json!(r.computed));
    out.insert(format!("computed_sd_{unit}"), json!(r.computed_sd));
    out.insert(format!("off_{unit}"), json!(r.off));
    out.insert(format!("noise_{unit}"), json!(r.noise));
    let points: Vec<Value> = r
        .points
        .iter()
        .map(|p| {
            let mut point = serde_json::Map::new();
            point.insert("date".into(), json!(date(p.day)));
            point.insert(format!("read_{unit}"), json!(p.read));
            point.insert(format!("explained_{unit}"), json!(p.explained));
            if p.alone {
                point.insert("alone".into(), json!(true));
            }
            Value::Object(point)
        })
        .collect();
    out.insert("points".into(), Value::Array(points));
    Value::Object(out)
}

fn episode(e: &Episode) -> Value {
    json!({
        "from_date": date(e.course.from),
        "full_date": date(e.course.full),
        "until_date": (!e.on_now).then(|| date(e.course.until)),
        "log_likelihood_ratio": e.ratio,
        "told_apart": e.alike().len() == 1,
        "causes": e.suspects.iter().map(suspect).collect::<Vec<_>>(),
        "next_reading": e.next.as_ref().map(|n| {
            let unit = ending(n.kind);
            let mut out = serde_json::Map::new();
            out.insert("kind".into(), json!(words::kind_word(n.kind)));
            out.insert("state".into(), json!(n.state.to_string()));
            out.insert(format!("if_first_{unit}"), json!(n.expected.0));
            out.insert(format!("if_rival_{unit}"), json!(n.expected.1));
            out.insert("rival".into(), json!(words::change_word(n.rival)));
            Value::Object(out)
        }),
    })
}

fn suspect(s: &Suspect) -> Value {
    json!({
        "cause": words::change_word(s.cause),
        "chance": s.chance,
        "size": s.size,
        "size_sd": s.size_sd,
        "gauge_shut_m": s.shut_m,
        "gauge_running_m": s.running_m,
        "power_lost": s.power_lost,
    })
}
