//! The GPX of a walk that the page recorded.

use super::clock::iso;
use super::track::{BrowserFix, RecordedWalk};
use crate::text::neutral;
use quick_xml::escape::escape;
use std::fmt::Write as _;

impl RecordedWalk {
    /// GPX 1.1: a waypoint for each mark, a track for each pass, a segment between gaps. What the receiver said of itself stands in `cmt`.
    pub(super) fn gpx(&self, title: &str, heights: Option<&str>) -> String {
        let mut out = format!(
            "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<gpx version=\"1.1\" creator=\"{}\" xmlns=\"http://www.topografix.com/GPX/1/1\">\n<metadata><name>{}</name></metadata>\n",
            env!("CARGO_PKG_NAME"),
            plain(title)
        );
        for mark in &self.marks {
            let at = mark.at();
            let _ = write!(
                out,
                "<wpt lat=\"{:.8}\" lon=\"{:.8}\">",
                at.lat_deg, at.lon_deg
            );
            if !mark.heights.is_empty() {
                let mean = mark.heights.iter().sum::<f64>() / mark.heights.len() as f64;
                let _ = write!(out, "<ele>{mean:.2}</ele>");
            }
            let _ = writeln!(
                out,
                "<time>{}</time><name>{}</name></wpt>",
                iso(mark.time_s),
                plain(&mark.name)
            );
        }
        for (i, pass) in self.passes.iter().enumerate() {
            let _ = write!(out, "<trk><name>pass {}</name>", i + 1);
            if let Some(heights) = heights {
                let _ = write!(out, "<src>browser of a phone, {heights}</src>");
            }
            out.push('\n');
            for segment in pass {
                out.push_str("<trkseg>\n");
                for fix in segment {
                    fix.write(&mut out);
                }
                out.push_str("</trkseg>\n");
            }
            out.push_str("</trk>\n");
        }
        out.push_str("</gpx>\n");
        out
    }
}

impl BrowserFix {
    fn write(&self, out: &mut String) {
        let _ = write!(
            out,
            "<trkpt lat=\"{}\" lon=\"{}\">",
            self.at.lat_deg, self.at.lon_deg
        );
        if let Some(m) = self.height_m {
            let _ = write!(out, "<ele>{m}</ele>");
        }
        let _ = write!(out, "<time>{}</time>", iso(self.time_s));
        let said: Vec<String> = [
            ("accuracy", self.accuracy_m),
            ("altitude accuracy", self.height_accuracy_m),
        ]
        .into_iter()
        .filter_map(|(what, m)| Some(format!("{what} {} m", m?)))
        .collect();
        if !said.is_empty() {
            let _ = write!(out, "<cmt>{}</cmt>", said.join(", "));
        }
        out.push_str("</trkpt>\n");
    }
}

fn plain(text: &str) -> String {
    escape(neutral(text).as_str()).into_owned()
}
