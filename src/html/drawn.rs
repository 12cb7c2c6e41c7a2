//! The sheets in the page, and the figures that the read-out shows under finger, cursor and keyboard.

use super::markup::{escaped, seven};
use crate::drawing::{
    self, LongSection, Paper, PaperSheet, PlanView, ProfileSheet, TableRow, Write,
};
use crate::json;
use crate::study::Study;
use crate::views::running;
use serde_json::{Map, Value, json};

/// The table of every station is written out by the page itself, from the same figures as the read-out.
pub(super) const EVERY: &str = "<details id=\"every\"><summary>Show every station</summary><div class=\"wide\" role=\"region\" tabindex=\"0\" aria-label=\"every station\"></div></details><noscript><p>They stand in stations.csv beside this page.</p></noscript>";

/// The drawings of a page.
pub(super) struct Drawn {
    sheets: Vec<ProfileSheet>,
    plan: Option<PaperSheet>,
    rows: Vec<TableRow>,
    station_m: Vec<f64>,
}

/// The grade line of the state that is drawn, as a row of figures.
pub(super) fn grade_line(study: &Study) -> Option<TableRow> {
    let run = running(study)?;
    let height = study.line.heights.station_m.len();
    let figures: Vec<Option<f64>> = run.points.iter().map(|p| Some(p.grade_line_m)).collect();
    (figures.len() == height).then(|| TableRow {
        name: "grade line".to_owned(),
        unit: String::new(),
        figures,
        between: false,
        write: Write::Plain {
            size: 1.0,
            decimals: 1,
        },
    })
}

impl Drawn {
    pub(super) fn of(
        section: &LongSection,
        plan: Option<&PlanView>,
        grade: Option<TableRow>,
        paper: Paper,
    ) -> Self {
        let mut rows: Vec<TableRow> = section
            .rows
            .iter()
            .filter(|r| !r.between)
            .cloned()
            .collect();
        if let (Some(mut grade), Some(height)) = (grade, rows.get(1)) {
            grade.unit.clone_from(&height.unit);
            grade.write = height.write;
            rows.insert(2.min(rows.len()), grade);
        }
        Self {
            sheets: drawing::profile(section, paper),
            plan: plan.and_then(|view| drawing::plan(view, paper)),
            rows,
            station_m: section.station_m.clone(),
        }
    }

    /// The longitudinal section with its read-out.
    pub(super) fn sheets(&self) -> String {
        if self.sheets.is_empty() {
            return String::new();
        }
        let mut out = String::from(
            "<div class=\"noprint\"><label for=\"at\">Move along the pipe</label><div class=\"tools\"><input type=\"range\" id=\"at\" min=\"0\" max=\"0\" value=\"0\" step=\"1\"></div><output class=\"read\" id=\"read\" for=\"at\" aria-live=\"polite\"></output></div>",
        );
        for (i, sheet) in self.sheets.iter().enumerate() {
            out.push_str(&figure(&sheet.sheet, Some(i)));
        }
        out
    }

    /// The plan.
    pub(super) fn plan(&self) -> String {
        self.plan
            .as_ref()
            .map_or_else(String::new, |sheet| figure(sheet, None))
    }

    /// The figures as JSON that cannot end the element it stands in.
    pub(super) fn figures(&self) -> String {
        let rows: Map<String, Value> = self
            .rows
            .iter()
            .map(|row| {
                let (size, decimals) = match row.write {
                    Write::Plain { size, decimals } => (size, decimals),
                    Write::Words(_) => (1.0, 2),
                };
                // As result.json writes them: lengths to a tenth of a millimetre, pressures to a pascal.
                let key = if size > 100.0 || row.unit == "psi" { "x_pa" } else { "x_m" };
                let values: Vec<Value> = row.figures.iter().map(|f| f.map_or(Value::Null, |v| written(key, v))).collect();
                (row.name.clone(), json!({"head": row.name, "unit": row.unit, "size": size, "decimals": decimals, "values": values}))
            })
            .collect();
        let sheets: Vec<Value> = self
            .sheets
            .iter()
            .map(|s| {
                let f = s.frame;
                json!({"left": seven(f.left_mm), "right": seven(f.right_mm), "top": seven(f.top_mm), "bottom": seven(f.bottom_mm), "from": seven(f.from_m), "to": seven(f.to_m), "base": seven(f.base_m), "across": seven(f.mm_per_m), "up": seven(f.up_mm_per_m)})
            })
            .collect();
        // Where a place is drawn goes by the station along the pipe; what is told of it by the user's pegs.
        let along: Vec<Value> = self.station_m.iter().map(|s| written("x_m", *s)).collect();
        json!({"rows": rows, "along": along, "sheets": sheets})
            .to_string()
            .replace('<', "\\u003c")
    }
}

/// A figure as result.json writes it.
fn written(key: &str, value: f64) -> Value {
    let whole = crate::keys::rounded(json!({key: value}));
    whole.get(key).cloned().unwrap_or(Value::Null)
}

pub(super) fn figure(sheet: &PaperSheet, index: Option<usize>) -> String {
    let data = index.map_or_else(String::new, |i| format!(" data-sheet=\"{i}\""));
    let name = escaped(&sheet.title);
    // The paper's own size in millimetres would fix its width on the screen.
    let svg = drawing::svg(sheet)
        .replacen(&format!(" height=\"{}mm\"", sheet.height_mm), "", 1)
        .replacen(&format!(" width=\"{}mm\"", sheet.width_mm), "", 1);
    format!(
        "<figure class=\"drawing\"{data} style=\"margin:.6rem 0\"><div class=\"tools noprint\"><button type=\"button\" data-by=\"1.5\" aria-label=\"larger\">+</button><button type=\"button\" data-by=\"0.6667\" aria-label=\"smaller\">\u{2212}</button><button type=\"button\" data-by=\"0\">whole</button></div><div class=\"sheet\" tabindex=\"0\" role=\"region\" aria-label=\"{name}\">{svg}</div></figure>"
    )
}
