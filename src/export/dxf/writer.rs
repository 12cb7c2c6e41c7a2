//! Drawing interchange files of the release 12 kind, which every drawing program reads: pairs of lines, a code and its value.
//!
//! No clock and no name of a machine stands in them. Group codes: the published reference of the format's release 12 (from memory).

use super::drawing::{Drawing, Layer};
use crate::numeric::math;
use crate::unit::Units;
use crate::unit::exact::FOOT_M;
use std::fmt::Write as _;

impl Layer {
    pub(super) const fn new(name: &'static str, colour: u8) -> Self {
        Self {
            name,
            colour,
            dashed: false,
        }
    }

    pub(super) const fn dashed(name: &'static str, colour: u8) -> Self {
        Self {
            name,
            colour,
            dashed: true,
        }
    }
}

/// The style of all texts.
const STYLE: &str = "NOTES";

impl Drawing {
    pub(super) fn new(units: Units) -> Self {
        Self {
            scale: match units {
                Units::Metric => 1.0,
                Units::Us => 1.0 / FOOT_M,
            },
            layers: Vec::new(),
            entities: String::new(),
            least: [f64::INFINITY; 2],
            most: [f64::NEG_INFINITY; 2],
        }
    }

    /// The highest place so far, m.
    pub(super) fn top_m(&self) -> f64 {
        let [_, top] = self.most;
        if top.is_finite() { top } else { 0.0 }
    }

    fn on(&mut self, layer: Layer) {
        if !self.layers.contains(&layer) {
            self.layers.push(layer);
        }
    }

    /// A length in the file's unit, to a tenth of a millimetre.
    fn figure(&self, metres: f64) -> String {
        let text = format!("{:.4}", metres * self.scale);
        let zero = text.trim_start_matches('-').chars();
        if zero.clone().all(|c| c == '0' || c == '.') {
            zero.collect()
        } else {
            text
        }
    }

    fn pair(&mut self, code: u8, value: &str) {
        // Writing into a text cannot fail.
        let _ = write!(self.entities, "{code:>3}\n{value}\n");
    }

    fn reaches(&mut self, place: [f64; 2]) {
        for ((least, most), value) in self.least.iter_mut().zip(&mut self.most).zip(place) {
            *least = least.min(value);
            *most = most.max(value);
        }
    }

    fn place(&mut self, [x, y]: [f64; 2], z: f64) {
        self.reaches([x, y]);
        for (code, value) in [(10, x), (20, y), (30, z)] {
            let value = self.figure(value);
            self.pair(code, &value);
        }
    }

    /// A line through places; nothing where there are fewer than two.
    pub(super) fn line(&mut self, layer: Layer, places: impl IntoIterator<Item = [f64; 3]>) {
        let places: Vec<[f64; 3]> = places
            .into_iter()
            .filter(|p| p.iter().all(|v| v.is_finite()))
            .collect();
        let level = places.iter().all(|p| p[2] == 0.0);
        if places.len() < 2 {
            return;
        }
        self.on(layer);
        self.pair(0, "POLYLINE");
        self.pair(8, layer.name);
        self.pair(66, "1");
        self.pair(70, if level { "0" } else { "8" });
        for [x, y, z] in places {
            self.pair(0, "VERTEX");
            self.pair(8, layer.name);
            self.place([x, y], z);
            self.pair(70, if level { "0" } else { "32" });
        }
        self.pair(0, "SEQEND");
        self.pair(8, layer.name);
    }

    /// A point.
    pub(super) fn point(&mut self, layer: Layer, [x, y, z]: [f64; 3]) {
        if ![x, y, z].iter().all(|v| v.is_finite()) {
            return;
        }
        self.on(layer);
        self.pair(0, "POINT");
        self.pair(8, layer.name);
        self.place([x, y], z);
    }

    /// A text of a height, m, turned by an angle, degrees.
    pub(super) fn text(
        &mut self,
        layer: Layer,
        at: [f64; 2],
        height_m: f64,
        turn_deg: f64,
        text: &str,
    ) {
        if text.trim().is_empty() || !at.iter().all(|v| v.is_finite()) {
            return;
        }
        self.on(layer);
        self.pair(0, "TEXT");
        self.pair(8, layer.name);
        self.place(at, 0.0);
        // Its other end, in letters that are as wide as high.
        let (sin, cos) = math::sin_cos(turn_deg.to_radians());
        let long = super::label::size(text, height_m).0;
        self.reaches([at[0] + long * cos, at[1] + long * sin]);
        let height = self.figure(height_m);
        self.pair(40, &height);
        self.pair(1, &plain(text));
        self.pair(50, &format!("{turn_deg:.1}"));
        self.pair(7, STYLE);
    }

    /// The file.
    pub(super) fn bytes(self) -> Vec<u8> {
        let mut out = String::new();
        let mut pair = |code: u8, value: &str| {
            let _ = write!(out, "{code:>3}\n{value}\n");
        };
        let extent = |v: f64| {
            if v.is_finite() {
                self.figure(v)
            } else {
                "0.0".into()
            }
        };
        pair(0, "SECTION");
        pair(2, "HEADER");
        pair(9, "$ACADVER");
        pair(1, "AC1009");
        for (name, [x, y]) in [("$EXTMIN", self.least), ("$EXTMAX", self.most)] {
            pair(9, name);
            pair(10, &extent(x));
            pair(20, &extent(y));
            pair(30, "0.0");
        }
        pair(0, "ENDSEC");
        pair(0, "SECTION");
        pair(2, "TABLES");
        pair(0, "TABLE");
        pair(2, "LTYPE");
        pair(70, "2");
        let dashes = [
            ("CONTINUOUS", "Solid line", &[][..]),
            ("DASHED", "Dashed line", &["0.5", "-0.25"][..]),
        ];
        for (name, about, lengths) in dashes {
            pair(0, "LTYPE");
            pair(2, name);
            pair(70, "0");
            pair(3, about);
            pair(72, "65");
            pair(73, &lengths.len().to_string());
            pair(40, if lengths.is_empty() { "0.0" } else { "0.75" });
            for length in lengths {
                pair(49, length);
            }
        }
        pair(0, "ENDTAB");
        pair(0, "TABLE");
        pair(2, "LAYER");
        pair(70, &(self.layers.len() + 1).to_string());
        let zero = Layer::new("0", 7);
        for layer in std::iter::once(&zero).chain(&self.layers) {
            pair(0, "LAYER");
            pair(2, layer.name);
            pair(70, "0");
            pair(62, &layer.colour.to_string());
            pair(6, if layer.dashed { "DASHED" } else { "CONTINUOUS" });
        }
        pair(0, "ENDTAB");
        pair(0, "TABLE");
        pair(2, "STYLE");
        pair(70, "1");
        pair(0, "STYLE");
        pair(2, STYLE);
        pair(70, "0");
        pair(40, "0.0");
        pair(41, "1.0");
        pair(50, "0.0");
        pair(71, "0");
        pair(42, "1.0");
        pair(3, "txt");
        pair(4, "");
        pair(0, "ENDTAB");
        pair(0, "ENDSEC");
        pair(0, "SECTION");
        pair(2, "ENTITIES");
        out.push_str(&self.entities);
        out.push_str("  0\nENDSEC\n  0\nEOF\n");
        out.into_bytes()
    }
}

/// A text on one line, in letters of the format: others as their number, and no sign that would start a code of it.
fn plain(text: &str) -> String {
    let mut out = String::new();
    for c in crate::text::neutral(text).chars().take(200) {
        match c {
            '\\' => out.push('/'),
            '%' => out.push_str("%%%"),
            // Codes of the format itself, and signs that a plain letter stands for.
            '\u{b0}' => out.push_str("%%d"),
            '\u{b1}' => out.push_str("%%p"),
            '\u{2010}'..='\u{2015}' | '\u{2212}' => out.push('-'),
            '\u{d7}' => out.push('x'),
            '\u{2018}' | '\u{2019}' => out.push('\''),
            ' '..='~' => out.push(c),
            c if c.is_control() => out.push(' '),
            c => {
                let mut units = [0; 2];
                for unit in c.encode_utf16(&mut units) {
                    let _ = write!(out, "\\U+{unit:04X}");
                }
            }
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_drawn_stands_in_its_unit_on_its_layer() {
        let mut drawing = Drawing::new(Units::Us);
        let layer = Layer::dashed("A", 3);
        drawing.line(layer, [[0.0, 0.0, 0.0], [FOOT_M * 10.0, -FOOT_M, 0.0]]);
        drawing.line(layer, [[1.0, 1.0, 1.0], [f64::NAN, 1.0, 1.0]]);
        drawing.text(
            layer,
            [0.0, 0.0],
            FOOT_M,
            90.0,
            "h\u{f6}he \\P %%d\n1 12\u{b0} 0\u{2013}5 \u{b1} 3",
        );
        let text = String::from_utf8(drawing.bytes()).unwrap();
        assert_eq!(text.lines().count() % 2, 0);
        assert_eq!(text.matches("POLYLINE").count(), 1);
        for words in [
            " 10\n10.0000\n 20\n-1.0000\n",
            "  2\nA\n 70\n0\n 62\n3\n  6\nDASHED\n",
            "  1\nh\\U+00F6he /P %%%%%%d",
            "12%%d 0-5 %%p 3\n",
            " 10\n0.0000\n",
        ] {
            assert!(text.contains(words), "{words:?} in {text}");
        }
        assert!(!text.contains("NaN") && text.ends_with("  0\nEOF\n"));
    }
}
