//! Marks to SVG. Free text goes in as text nodes only, where the library escapes it; attributes hold nothing but our own numbers and names.

use super::ink::Pen;
use super::item::{Align, Item, PaperPoint, PaperSheet, Text};
use crate::text::neutral;
use std::fmt::Write as _;
use svg::Document;
use svg::node::Text as Words;
use svg::node::element::{Anchor, Circle, Description, Group, Path, Text as TextElement, Title};

/// Fonts asked for, by the common plain ones; the layout needs none of them.
const FONTS: &str = "Arial, Helvetica, 'Liberation Sans', 'Noto Sans', sans-serif";

/// The sheet as an SVG document, one unit a millimetre.
pub fn svg(sheet: &PaperSheet) -> String {
    let mut document = Document::new()
        .set("viewBox", (0, 0, sheet.width_mm, sheet.height_mm))
        .set("width", format!("{}mm", sheet.width_mm))
        .set("height", format!("{}mm", sheet.height_mm))
        .set("font-family", FONTS)
        .set("role", "img")
        .add(Title::new(neutral(&sheet.title)))
        .add(Description::new().add(Words::new(neutral(&sheet.description))))
        .add(
            Path::new()
                .set(
                    "d",
                    format!("M0 0H{}V{}H0Z", sheet.width_mm, sheet.height_mm),
                )
                .set("fill", "#ffffff"),
        );
    for item in &sheet.items {
        document = added(document, item);
    }
    let mut out = document.to_string();
    out.push('\n');
    out
}

/// Something that takes children: the document or a group.
trait Holds: Sized {
    fn hold(self, node: impl Into<Box<dyn svg::Node>>) -> Self;
}

impl Holds for Document {
    fn hold(self, node: impl Into<Box<dyn svg::Node>>) -> Self {
        self.add(node)
    }
}

impl Holds for Group {
    fn hold(self, node: impl Into<Box<dyn svg::Node>>) -> Self {
        self.add(node)
    }
}

impl Holds for Anchor {
    fn hold(self, node: impl Into<Box<dyn svg::Node>>) -> Self {
        self.add(node)
    }
}

fn added<H: Holds>(holder: H, item: &Item) -> H {
    match item {
        Item::Path {
            chains,
            closed,
            pen,
            fill,
        } => {
            let mut path = Path::new().set("d", data(chains, *closed));
            path = path.set("fill", fill.map_or("none", |c| c.0));
            if let Some(pen) = pen {
                path = path
                    .set("stroke", pen.colour.0)
                    .set("stroke-width", number(pen.width_mm))
                    .set("stroke-linejoin", "round");
                if let Some(dashes) = dashes(pen) {
                    path = path.set("stroke-dasharray", dashes);
                }
            }
            holder.hold(path)
        }
        Item::Circle {
            at,
            radius_mm,
            pen,
            fill,
        } => {
            let mut circle = Circle::new()
                .set("cx", number(at.0))
                .set("cy", number(at.1))
                .set("r", number(*radius_mm))
                .set("fill", fill.map_or("none", |c| c.0));
            if let Some(pen) = pen {
                circle = circle
                    .set("stroke", pen.colour.0)
                    .set("stroke-width", number(pen.width_mm));
            }
            holder.hold(circle)
        }
        Item::Text(text) => holder.hold(written(text)),
        Item::Group { name, items } => {
            let mut group = Group::new();
            if !name.is_empty() {
                group = group.add(Title::new(neutral(name)));
            }
            holder.hold(items.iter().fold(group, added))
        }
        Item::Link { to, name, items } => {
            let link = Anchor::new()
                .set("href", format!("#{to}"))
                .set("aria-label", neutral(name))
                .add(Title::new(neutral(name)));
            holder.hold(items.iter().fold(link, added))
        }
        Item::Spot { id, items } => {
            let spot = Group::new().set("id", id.as_str()).set("class", "spot");
            holder.hold(items.iter().fold(spot, added))
        }
    }
}

fn written(text: &Text) -> TextElement {
    let (x, y) = text.at;
    let mut element = TextElement::new(neutral(&text.text).replace(" +- ", " \u{b1} "))
        .set("font-size", number(text.size_mm))
        .set("fill", text.colour.0);
    element = if text.turned {
        element.set(
            "transform",
            format!("translate({} {}) rotate(-90)", number(x), number(y)),
        )
    } else {
        element.set("x", number(x)).set("y", number(y))
    };
    if text.bold {
        element = element.set("font-weight", "bold");
    }
    match text.align {
        Align::Start => element,
        Align::Middle => element.set("text-anchor", "middle"),
        Align::End => element.set("text-anchor", "end"),
    }
}

fn dashes(pen: &Pen) -> Option<String> {
    let lengths = pen.dash.lengths_mm();
    (!lengths.is_empty()).then(|| {
        lengths
            .iter()
            .map(|l| number(*l))
            .collect::<Vec<_>>()
            .join(" ")
    })
}

/// Path text with two decimals: a hundredth of a millimetre is finer than any pen.
fn data(chains: &[Vec<PaperPoint>], closed: bool) -> String {
    let mut out = String::new();
    for chain in chains {
        for (i, (x, y)) in chain.iter().enumerate() {
            let _ = write!(
                out,
                "{}{} {}",
                if i == 0 { 'M' } else { 'L' },
                number(*x),
                number(*y)
            );
        }
        if closed && !chain.is_empty() {
            out.push('Z');
        }
    }
    out
}

/// A number with at most two decimals and no needless nought.
fn number(value: f64) -> String {
    let rounded = (value * 100.0).round() / 100.0;
    format!("{}", if rounded == 0.0 { 0.0 } else { rounded })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawing::item::Role;

    #[test]
    fn text_from_a_file_stays_text() {
        let sheet = PaperSheet {
            width_mm: 10.0,
            height_mm: 10.0,
            title: "</title><script>alert(1)</script>".to_owned(),
            description: "<b>&".to_owned(),
            items: vec![
                Item::Text(Text::new(
                    (1.0, 1.0),
                    2.5,
                    Role::Word,
                    "<script>\u{202e}\u{7}x</script>",
                )),
                Item::Group {
                    name: "\"><image href=x onerror=1>".to_owned(),
                    items: Vec::new(),
                },
            ],
        };
        let written = svg(&sheet);
        assert!(
            !written.contains("<script")
                && !written.contains("<image")
                && !written.contains('\u{7}'),
            "{written}"
        );
        assert!(written.contains("&lt;script&gt;"));
    }

    #[test]
    fn numbers_are_short() {
        assert_eq!(number(-0.001), "0");
        assert_eq!(number(12.345_6), "12.35");
        assert_eq!(number(12.0), "12");
    }
}
