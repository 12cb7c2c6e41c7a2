//! The sheets in the page, and the figures that the read-out shows under finger, cursor and keyboard.

use super::markup::seven;
use crate::drawing;
use crate::drawing::{
    Badge, LongSection, PaperSheet, PaperSize, PlanView, ProfileSheet, Strip, TableRow, Write,
};
use crate::report::round::rounded;
use crate::study::Study;
use crate::view::section_line::running;
use maud::{Markup, PreEscaped, html};
use serde_json::{Map, Value, json};

/// The table of every station is written out by the page itself, from the same figures as the read-out.
pub(super) fn every() -> Markup {
    html! {
        details id="every" {
            summary { "Show every station" }
            div class="wide" role="region" tabindex="0" aria-label="every station" {}
        }
        noscript { p { "All stations are in stations.csv, next to this page." } }
    }
}

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
    pub(super) fn picture(&self) -> Markup {
        let Some(strip) = &self.strip else {
            return Markup::default();
        };
        html! {
            figure class="strip" data-sheet="0" { (linked(&strip.sheet)) }
            p class="small noprint" {
                @if strip.taller > 1.05 { (format!("Heights are drawn {:.1} times larger than lengths. ", strip.taller)) }
                "Tap a number or a symbol to read about it."
            }
            p class="back noprint" hidden {}
            details id="along" class="fold" {
                summary { "Values along the pipe" }
                div class="noprint" {
                    label for="at" { "Move along the pipe" }
                    div class="tools" { input type="range" id="at" min="0" max="0" value="0" step="1"; }
                    output class="read" id="read" for="at" aria-live="polite" {}
                }
            }
            @if let Some(plan) = &self.strip_plan {
                details id="small-plan" class="fold" {
                    summary { "Small plan" }
                    figure class="strip" { (linked(plan)) }
                    p class="back noprint" hidden {}
                }
            }
        }
    }

    /// The longitudinal section on its sheets of paper.
    pub(super) fn sheets(&self) -> Markup {
        let first = usize::from(self.strip.is_some());
        html! {
            @for (i, sheet) in (first..).zip(&self.sheets) { (figure(&sheet.sheet, Some(i))) }
            @for sheet in &self.rises { (figure(sheet, None)) }
        }
    }

    /// The plan.
    pub(super) fn plan(&self) -> Markup {
        html! { @if let Some(sheet) = &self.plan { (figure(sheet, None)) } }
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
    let whole = rounded(json!({key: value}));
    whole.get(key).cloned().unwrap_or(Value::Null)
}

/// A drawing without its size on paper, which would fix its width on the screen.
fn without_size(sheet: &PaperSheet) -> String {
    drawing::svg(sheet)
        .replacen(&format!(" height=\"{}mm\"", sheet.height_mm), "", 1)
        .replacen(&format!(" width=\"{}mm\"", sheet.width_mm), "", 1)
}

/// A drawing inside the page.
pub(super) fn inline(sheet: &PaperSheet) -> Markup {
    // A drawing that `svg` made and escaped.
    PreEscaped(without_size(sheet))
}

/// The same with links in it: a group, and not one image, to those who cannot see.
fn linked(sheet: &PaperSheet) -> Markup {
    // A drawing that `svg` made and escaped.
    PreEscaped(without_size(sheet).replacen(" role=\"img\"", " role=\"group\"", 1))
}

pub(super) fn figure(sheet: &PaperSheet, index: Option<usize>) -> Markup {
    html! {
        figure class="drawing" data-sheet=[index] style="margin:.6rem 0" {
            div class="tools noprint" {
                button type="button" data-by="1.5" aria-label="larger" { "+" }
                button type="button" data-by="0.6667" aria-label="smaller" { "\u{2212}" }
                button type="button" data-by="0" { "whole" }
            }
            div class="sheet" tabindex="0" role="region" aria-label=(sheet.title) { (inline(sheet)) }
        }
    }
}
