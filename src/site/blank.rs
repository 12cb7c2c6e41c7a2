//! What `new` writes: a commented site file and blank field sheets.

use super::survey::SurveyKind;

/// The commented site file: the keys that matter are set, every other key stands ready behind a `#`.
pub fn blank() -> &'static str {
    include_str!("blank/site.toml")
}

/// A blank field sheet with the heads of its kind; `None` for tracks, which a receiver writes.
pub fn blank_sheet(kind: SurveyKind) -> Option<&'static str> {
    match kind {
        SurveyKind::Gpx => None,
        SurveyKind::Level => Some(include_str!("blank/level.csv")),
        SurveyKind::Angle => Some(include_str!("blank/angle.csv")),
        SurveyKind::Points => Some(include_str!("blank/points.csv")),
        SurveyKind::Gauge => Some(include_str!("blank/gauge.csv")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::site::read_text;
    use crate::text::Sheet;

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
        reads(blank());
        let set = blank()
            .lines()
            .filter(|l| l.contains(" = ") && !l.starts_with('#'))
            .filter(|l| !l.starts_with("format"))
            .count();
        assert_eq!(set, 10);
    }

    #[test]
    fn it_reads_with_every_ready_line_in_use() {
        let lines: Vec<&str> = blank().lines().collect();
        let text = enabled(&lines);
        reads(&text);
        assert!(
            text.lines()
                .filter(|l| l.contains(" = ") && !l.starts_with('#'))
                .count()
                > 100
        );
    }

    #[test]
    fn each_block_reads_in_place_of_the_lines_it_names() {
        let lines: Vec<&str> = blank().lines().collect();
        let heads: Vec<usize> = (0..lines.len())
            .filter(|&i| lines[i].starts_with("#| instead of "))
            .collect();
        assert!(heads.len() >= 7);
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
                let used = if is_own {
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
    fn every_word_of_a_choice_is_listed() {
        for words in [
            crate::site::words::JOINTS
                .iter()
                .map(|w| w.0)
                .collect::<Vec<_>>(),
            crate::site::words::FITTINGS
                .iter()
                .map(|w| w.0)
                .filter(|w| *w != "miter")
                .collect(),
            crate::site::words::SOILS.iter().map(|w| w.0).collect(),
            crate::site::words::DEVICES.iter().map(|w| w.0).collect(),
            crate::site::words::BEDS.iter().map(|w| w.0).collect(),
            crate::site::words::MARKS.iter().map(|w| w.0).collect(),
            crate::site::words::ORDERS.iter().map(|w| w.0).collect(),
        ] {
            for word in words {
                assert!(
                    blank().contains(&format!("\"{word}\"")),
                    "{word} is not in the blank file"
                );
            }
        }
    }

    #[test]
    fn sheets_have_their_heads() {
        for (kind, heads) in [
            (SurveyKind::Points, &["station_m", "height_m"][..]),
            (
                SurveyKind::Level,
                &["station_m", "bs_m", "is_m", "fs_m", "elevation_m"],
            ),
            (SurveyKind::Angle, &["from", "to", "tape_m", "angle_deg"]),
            (
                SurveyKind::Gauge,
                &["station_m", "pressure_kpa", "gauge_height_m"],
            ),
        ] {
            let sheet = Sheet::read("blank.csv", blank_sheet(kind).unwrap()).unwrap();
            assert!(heads.iter().all(|h| sheet.column(h).is_some()));
            assert!(sheet.rows.is_empty());
        }
        assert_eq!(blank_sheet(SurveyKind::Gpx), None);
    }
}
