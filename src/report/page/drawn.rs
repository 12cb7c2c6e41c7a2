//! The sheets in the page, and the figures that the read-out shows under finger, cursor and keyboard.

use super::html::{escaped, seven};
use crate::drawing;
use crate::drawing::{
    Badge, LongSection, PaperSheet, PaperSize, PlanView, ProfileSheet, Strip, TableRow, Write,
};
use crate::report::json;
use crate::report::section_line::running;
use crate::study::Study;
use serde_json::{Map, Value, json};

/// The table of every station is written out by the page itself, from the same figures as the read-out.
pub(super) const EVERY: &str = "<details id=\"every\"><summary>Show every station</summary><div class=\"wide\" role=\"region\" tabindex=\"0\" aria-label=\"every station\"></div></details><noscript><p>All stations are in stations.csv, next to this page.</p></noscript>";

/// The drawings of a page.
pub(super) struct PageDrawings {
    strip: Option<Strip>,
    strip_plan: Option<PaperSheet>,
    sheets: Vec<ProfileSheet>,
    rises: Vec<PaperSheet>,
    plan: Option<PaperSheet>,
    rows: Vec<TableRow>,
    station_m: Vec<f64>,
}

/// The grade line of the state that is drawn, as a row of figures.
pub(super) fn grade_line(study: &Study) -> Option<TableRow> {
    let run = running(study)?;
    let height = study.line.geometry.heights.station_m.len();
    let figures: Vec<Option<f64>> = run.points.iter().map(|p| Some(p.grade_line_m)).collect();
    (figures.len() == height).then(|| TableRow {
        name: "hydraulic grade line".to_owned(),
        unit: String::new(),
        figures,
        between: false,
        write: Write::Plain {
            size: 1.0,
            decimals: 1,
        },
    })
}

impl PageDrawings {
    pub(super) fn of(
        section: &LongSection,
        plan: Option<&PlanView>,
        grade: Option<TableRow>,
        paper: PaperSize,
        badges: &[Badge],
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
            strip: drawing::strip(section, badges),
            strip_plan: plan.and_then(|view| drawing::strip_plan(view, badges)),
            sheets: drawing::profile(section, paper),
            rises: drawing::rises(section, paper),
            plan: plan.and_then(|view| drawing::plan(view, paper)),
            rows,
            station_m: section.station_m.clone(),
        }
    }

    /// Whether there is a plan to lead to.
    pub(super) fn has_plan(&self) -> bool {
        self.strip_plan.is_some()
    }

    /// The first thing that is seen: the profile and the plan for the width of the screen, with a read-out.
    pub(super) fn picture(&self) -> String {
        let Some(strip) = &self.strip else {
            return String::new();
        };
        let taller = if strip.taller > 1.05 {
            format!(
                "Heights are drawn {:.1} times larger than lengths. ",
                strip.taller
            )
        } else {
            String::new()
        };
        let mut out = format!(
            "<figure class=\"strip\" data-sheet=\"0\">{}</figure><p class=\"small noprint\">{taller}Tap a number or a symbol to read about it.</p><p class=\"back noprint\" hidden></p>",
            linked(&strip.sheet)
        );
        out.push_str("<details id=\"along\" class=\"fold\"><summary>Values along the pipe</summary><div class=\"noprint\"><label for=\"at\">Move along the pipe</label><div class=\"tools\"><input type=\"range\" id=\"at\" min=\"0\" max=\"0\" value=\"0\" step=\"1\"></div><output class=\"read\" id=\"read\" for=\"at\" aria-live=\"polite\"></output></div></details>");
        if let Some(plan) = &self.strip_plan {
            out.push_str(&format!(
                "<details id=\"small-plan\" class=\"fold\"><summary>Small plan</summary><figure class=\"strip\">{}</figure><p class=\"back noprint\" hidden></p></details>",
                linked(plan)
            ));
        }
        out
    }

    /// The longitudinal section on its sheets of paper.
    pub(super) fn sheets(&self) -> String {
        let first = usize::from(self.strip.is_some());
        (first..)
            .zip(&self.sheets)
            .map(|(i, sheet)| figure(&sheet.sheet, Some(i)))
            .chain(self.rises.iter().map(|s| figure(s, None)))
            .collect()
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
        let strip = self.strip.iter().map(|s| s.frame);
        let sheets: Vec<Value> = strip
            .chain(self.sheets.iter().map(|s| s.frame))
            .map(|f| {
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
    let whole = json::rounded(json!({key: value}));
    whole.get(key).cloned().unwrap_or(Value::Null)
}

/// A picture with links in it: a group, and not one image, to those who cannot see.
fn linked(sheet: &PaperSheet) -> String {
    drawing::svg(sheet)
        .replacen(&format!(" height=\"{}mm\"", sheet.height_mm), "", 1)
        .replacen(&format!(" width=\"{}mm\"", sheet.width_mm), "", 1)
        .replacen(" role=\"img\"", " role=\"group\"", 1)
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
