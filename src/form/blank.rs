//! What `new` writes: a commented site file and blank field sheets.

use crate::reading::Method;
use crate::unit::Units;

/// The blank file in metres, from which the other is made.
pub(super) const METRIC: &str = include_str!("blank/site.toml");

/// The commented site file: the keys that matter are set, every other key stands ready behind a `#`. In feet its examples are such as are usual there.
pub fn blank(units: Units) -> String {
    match units {
        Units::Metric => METRIC.to_owned(),
        Units::Us => METRIC.lines().map(|line| in_us(line) + "\n").collect(),
    }
}

/// A line with its examples in feet; a comment behind them stays in its column.
fn in_us(line: &str) -> String {
    // What units there are is told as it stands.
    if line.starts_with("# ") {
        return line.to_owned();
    }
    if let Some(rest) = line.strip_prefix("#units = \"metric\"") {
        return format!("units = \"us\"     {rest}");
    }
    let examples = || {
        include_str!("blank/us.txt")
            .lines()
            .filter_map(|l| l.split_once(" = "))
    };
    let mut out = String::new();
    for (i, part) in line.split('"').enumerate() {
        if i > 0 {
            out.push('"');
        }
        let us = examples().find(|(metric, _)| i % 2 == 1 && *metric == part);
        out.push_str(us.map_or(part, |(_, us)| us));
    }
    let column = |of: &str| {
        of.find("  #")
            .map(|at| of.get(at..).unwrap_or("").trim_start().len())
    };
    match (column(line), column(&out)) {
        (Some(_), Some(comment)) => {
            let wide = line.len() - column(line).unwrap_or(0);
            let told = out.get(out.len() - comment..).unwrap_or("").to_owned();
            let said = out
                .get(..out.len() - comment)
                .unwrap_or("")
                .trim_end()
                .to_owned();
            format!("{said:<least$}{told}", least = wide.max(said.len() + 1))
        }
        _ => out,
    }
}

/// A blank field sheet with the heads of its kind; `None` for tracks, which a receiver writes.
pub fn blank_sheet(kind: Method, units: Units) -> Option<&'static str> {
    macro_rules! sheet {
        ($name:literal) => {
            Some(match units {
                Units::Metric => include_str!(concat!("blank/", $name)),
                Units::Us => include_str!(concat!("blank/us/", $name)),
            })
        };
    }
    match kind {
        Method::Gpx | Method::Mixed => None,
        Method::Level => sheet!("level.csv"),
        Method::Angle => sheet!("angle.csv"),
        Method::Points => sheet!("points.csv"),
        Method::Gauge => sheet!("gauge.csv"),
    }
}

/// Blank sheets for measuring the stream: a file's name, a title and its text.
pub fn blank_gauging(units: Units) -> [(&'static str, &'static str, &'static str); 4] {
    macro_rules! sheet {
        ($name:literal) => {
            match units {
                Units::Metric => include_str!(concat!("blank/", $name)),
                Units::Us => include_str!(concat!("blank/us/", $name)),
            }
        };
    }
    [
        ("stream-bucket", "Stream flow: bucket", sheet!("bucket.csv")),
        ("stream-float", "Stream flow: float", sheet!("float.csv")),
        ("stream-salt", "Stream flow: salt", sheet!("salt.csv")),
        ("stream-weir", "Stream flow: weir", sheet!("weir.csv")),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::site::read_text;
    use crate::text::Sheet;

    const BOTH: [Units; 2] = [Units::Metric, Units::Us];

    /// A ready line: `#key = ...` or `#[table]`, without a blank behind the `#`.
    fn ready(line: &str) -> Option<&str> {
        let rest = line.strip_prefix('#')?;
        rest.starts_with(|c: char| c.is_ascii_lowercase() || c == '[')
            .then_some(rest)
    }

    fn enabled(lines: &[&str]) -> String {
        lines
            .iter()
            .map(|l| ready(l).unwrap_or(l))
            .collect::<Vec<_>>()
            .join("\n")
    }

    fn reads(text: &str) {
        if let Err(faults) = read_text("site.toml", text) {
            panic!("{}", faults[0]);
        }
    }

    #[test]
    fn it_reads_as_it_stands_and_sets_ten_keys() {
        for units in BOTH {
            reads(&blank(units));
        }
        let text = blank(Units::Metric);
        let set = text
            .lines()
            .filter(|l| l.contains(" = ") && !l.starts_with('#'))
            .filter(|l| !l.starts_with("format"))
            .count();
        assert_eq!(set, 10);
    }

    #[test]
    fn it_reads_with_every_ready_line_in_use() {
        for units in BOTH {
            let blank = blank(units);
            let lines: Vec<&str> = blank.lines().collect();
            let text = enabled(&lines);
            reads(&text);
            let used = text
                .lines()
                .filter(|l| l.contains(" = ") && !l.starts_with('#'));
            assert!(used.count() > 100);
        }
    }

    #[test]
    fn each_block_reads_in_place_of_the_lines_it_names() {
        let blank = blank(Units::Metric);
        let lines: Vec<&str> = blank.lines().collect();
        let heads: Vec<usize> = (0..lines.len())
            .filter(|&i| lines[i].starts_with("#| instead of "))
            .collect();
        assert!(heads.len() >= 7);
        // A case names a fitting that stands elsewhere.
        let named = lines
            .iter()
            .position(|l| l.starts_with("#name = \"head valve\""))
            .unwrap();
        let blank_before = |i: usize| (0..i).rev().find(|&k| lines[k].is_empty()).unwrap();
        let blank_behind = |i: usize| (i..lines.len()).find(|&k| lines[k].is_empty()).unwrap();
        let fitting = blank_before(named)..blank_behind(named);
        for head in heads {
            let replaced: Vec<&str> = lines[head]["#| instead of ".len()..].split(", ").collect();
            let is_table = |l: &str| ready(l).unwrap_or(l).starts_with('[');
            let top = (0..head).rev().find(|&i| is_table(lines[i])).unwrap();
            let end = (head..lines.len())
                .find(|&i| lines[i].is_empty())
                .unwrap_or(lines.len());
            // Only the block's own table is put to use: what stands elsewhere may rest on the lines that go.
            let mut out = String::new();
            let mut is_in_block = false;
            for (i, line) in lines.iter().enumerate() {
                let is_own = (top..end).contains(&i);
                let used = if is_own || fitting.contains(&i) {
                    ready(line).unwrap_or(line)
                } else {
                    line
                };
                let key = used.split(" = ").next().unwrap();
                if is_own && replaced.contains(&key) {
                    continue;
                }
                is_in_block = i == head
                    || (is_in_block && line.starts_with("#|") && !line.starts_with("#| "));
                out.push_str(match line.strip_prefix("#|") {
                    Some(rest) if is_in_block && i != head => rest,
                    _ => used,
                });
                out.push('\n');
            }
            reads(&out);
        }
    }

    #[test]
    fn sheets_have_their_heads() {
        for (kind, heads) in [
            (Method::Points, &["station_m", "height_m"][..]),
            (
                Method::Level,
                &["station_m", "bs_m", "is_m", "fs_m", "elevation_m"],
            ),
            (Method::Angle, &["from", "to", "tape_m", "angle_deg"]),
            (
                Method::Gauge,
                &["station_m", "pressure_kpa", "gauge_height_m"],
            ),
        ] {
            let sheet =
                Sheet::read("blank.csv", blank_sheet(kind, Units::Metric).unwrap()).unwrap();
            assert!(heads.iter().all(|h| sheet.column(h).is_some()));
            assert!(sheet.rows.is_empty());
        }
        assert_eq!(blank_sheet(Method::Gpx, Units::Us), None);
    }

    /// Lengths, heads and flows of the examples are in feet, psi and gallons, whatever key they stand at; the keys are the same, and so is what they say.
    #[test]
    fn in_feet_the_examples_are_in_feet() {
        let (metric, us) = (blank(Units::Metric), blank(Units::Us));
        assert_eq!(metric.lines().count(), us.lines().count());
        for (m, u) in metric.lines().zip(us.lines()) {
            if m.starts_with("# ") || m.starts_with("#units") {
                continue;
            }
            let key = |l: &str| l.split(" = ").next().map(str::to_owned);
            assert_eq!(key(m), key(u));
            for (i, part) in u.split('"').enumerate() {
                let metric_unit = [
                    " m", " mm", " C", " bar", " L/s", " m/s", " kN", " N", " kPa", " m head",
                ]
                .iter()
                .any(|unit| part.ends_with(unit));
                let is_figure = part.starts_with(|c: char| c.is_ascii_digit() || c == '-');
                assert!(i % 2 == 0 || !(metric_unit && is_figure), "{u}");
            }
        }
        assert!(us.contains("\nunits = \"us\""));
        let site = read_text("site.toml", &us).unwrap();
        assert_eq!(site.units, Some(Units::Us));
    }

    #[test]
    fn sheets_in_feet_have_the_same_heads_in_feet() {
        for kind in [Method::Points, Method::Level, Method::Angle, Method::Gauge] {
            let heads = |units| {
                let sheet = Sheet::read("blank.csv", blank_sheet(kind, units).unwrap()).unwrap();
                sheet
                    .heads
                    .iter()
                    .map(|h| h.text.clone())
                    .collect::<Vec<_>>()
            };
            let (metric, us) = (heads(Units::Metric), heads(Units::Us));
            for (m, u) in metric.iter().zip(&us) {
                let turned = m.replace("_kpa", "_psi").replace("water_c", "water_f");
                let turned = turned
                    .strip_suffix("_m")
                    .map_or(turned.clone(), |b| format!("{b}_ft"));
                assert_eq!(&turned, u);
            }
            assert_eq!(metric.len(), us.len());
        }
    }
}
