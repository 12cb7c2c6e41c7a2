use super::ink::{Colour, Dash, Ink, Pen};
use super::item::{Align, Item, PaperPoint, PaperSheet, Role, Text};
use super::scale::{round_step, ruling, unit_m};
use crate::unit::Units;

/// Head against time during one movement.
#[derive(Debug, Clone, PartialEq)]
pub struct Swing {
    /// What the plot shows, in one line.
    pub title: String,
    /// The same in a sentence.
    pub description: String,
    /// Lines, at most two: the first drawn solid, the second broken.
    pub lines: Vec<SwingLine>,
    /// Elevation of the standing water, m, and its name.
    pub still: (f64, String),
    /// When the movement ends, s.
    pub moved_s: f64,
    /// The word for seconds under the axis.
    pub seconds: String,
    /// The word for heads beside the axis.
    pub heads: String,
    /// Units.
    pub units: Units,
}

/// One line of a swing.
#[derive(Debug, Clone, PartialEq)]
pub struct SwingLine {
    /// Its name.
    pub name: String,
    /// Time, s, and elevation, m.
    pub points: Vec<PaperPoint>,
}

const WIDTH_MM: f64 = 90.0;
const HEIGHT_MM: f64 = 48.0;
const LEFT_MM: f64 = 15.0;
const RIGHT_MM: f64 = 87.0;
const TOP_MM: f64 = 9.0;
const BOTTOM_MM: f64 = 38.0;
const TYPE_MM: f64 = 2.5;

/// Pens of the lines, told apart by dash and width as well as by colour.
const PENS: [Pen; 2] = [
    Pen::new(Ink::SURGE, 0.45),
    Pen::new(Ink::BLACK, 0.35).dashed(Dash::Short),
];

/// The plot as a small sheet; nothing where there is no line of two points.
pub fn swing(view: &Swing) -> Option<PaperSheet> {
    let all = || view.lines.iter().flat_map(|l| &l.points);
    let end_s = all().map(|p| p.0).fold(0.0, f64::max);
    if end_s <= 0.0 {
        return None;
    }
    let unit = unit_m(view.units);
    let heads = || all().map(|p| p.1).chain([view.still.0]);
    let lowest = heads().fold(f64::INFINITY, f64::min);
    let highest = heads().fold(f64::NEG_INFINITY, f64::max);
    let step_m = round_step((highest - lowest).max(0.5) / unit / 4.0) * unit;
    let (base, top) = (
        (lowest / step_m).floor() * step_m,
        (highest / step_m).ceil() * step_m,
    );
    let top = if top > base { top } else { base + step_m };
    let x = |s: f64| LEFT_MM + s / end_s * (RIGHT_MM - LEFT_MM);
    let y = |m: f64| BOTTOM_MM - (m - base) / (top - base) * (BOTTOM_MM - TOP_MM);
    let mut items = Vec::new();
    let grid = Pen::new(Ink::FAINT, 0.2);
    let text = |at: PaperPoint, align: Align, role: Role, colour: Colour, words: String| {
        Item::Text(
            Text::new(at, TYPE_MM, role, words)
                .align(align)
                .colour(colour),
        )
    };
    for i in 0..=((top - base) / step_m).round() as usize {
        let m = base + step_m * i as f64;
        items.push(Item::line(vec![(LEFT_MM, y(m)), (RIGHT_MM, y(m))], grid));
        let words = ruling(m, step_m, view.units);
        items.push(text(
            (LEFT_MM - 1.0, y(m) + 0.9),
            Align::End,
            Role::Ruling,
            Ink::GREY,
            words,
        ));
    }
    let step_s = round_step(end_s / 6.0);
    for i in 0..=(end_s / step_s).floor() as usize {
        let s = step_s * i as f64;
        items.push(Item::line(
            vec![(x(s), BOTTOM_MM), (x(s), BOTTOM_MM + 1.0)],
            Pen::new(Ink::GREY, 0.2),
        ));
        let words = ruling(s, step_s, Units::Metric);
        items.push(text(
            (x(s), BOTTOM_MM + 4.0),
            Align::Middle,
            Role::Ruling,
            Ink::GREY,
            words,
        ));
    }
    items.push(Item::line(
        vec![(LEFT_MM, y(view.still.0)), (RIGHT_MM, y(view.still.0))],
        Ink::STILL_PEN,
    ));
    if view.moved_s > 0.0 && view.moved_s < end_s {
        let ends = vec![(x(view.moved_s), TOP_MM), (x(view.moved_s), BOTTOM_MM)];
        items.push(Item::line(
            ends,
            Pen::new(Ink::PALE, 0.25).dashed(Dash::Dots),
        ));
    }
    for (line, pen) in view.lines.iter().zip(PENS) {
        let points = line.points.iter().map(|p| (x(p.0), y(p.1))).collect();
        items.push(Item::line(points, pen));
    }
    // the key above, in the order of the lines; heads and seconds at their axes
    items.push(text(
        (1.0, TOP_MM - 5.0),
        Align::Start,
        Role::Word,
        Ink::GREY,
        view.heads.clone(),
    ));
    items.push(text(
        (RIGHT_MM, BOTTOM_MM + 8.0),
        Align::End,
        Role::Word,
        Ink::GREY,
        view.seconds.clone(),
    ));
    let keys = view
        .lines
        .iter()
        .zip(PENS)
        .map(|(l, p)| (l.name.as_str(), p));
    let mut left = LEFT_MM;
    for (name, pen) in keys.chain([(view.still.1.as_str(), Ink::STILL_PEN)]) {
        items.push(Item::line(
            vec![(left, BOTTOM_MM + 7.2), (left + 5.0, BOTTOM_MM + 7.2)],
            pen,
        ));
        items.push(text(
            (left + 6.0, BOTTOM_MM + 8.0),
            Align::Start,
            Role::Word,
            Ink::BLACK,
            name.to_owned(),
        ));
        left += 8.0 + super::text_width(name, TYPE_MM, false);
    }
    Some(PaperSheet {
        width_mm: WIDTH_MM,
        height_mm: HEIGHT_MM,
        title: view.title.clone(),
        description: view.description.clone(),
        items,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn view(points: Vec<PaperPoint>) -> Swing {
        Swing {
            title: "jets closing".to_owned(),
            description: "head against time".to_owned(),
            lines: vec![SwingLine {
                name: "turbine".to_owned(),
                points,
            }],
            still: (100.0, "standing".to_owned()),
            moved_s: 4.0,
            seconds: "s".to_owned(),
            heads: "m".to_owned(),
            units: Units::Metric,
        }
    }

    #[test]
    fn everything_stays_on_the_paper() {
        for points in [
            vec![(0.0, 90.0), (3.0, 130.0), (10.0, 60.0)],
            vec![(0.0, 100.0), (0.5, 100.0)],
            vec![(0.0, -4000.0), (900.0, 9000.0)],
        ] {
            let sheet = swing(&view(points)).unwrap();
            for item in &sheet.items {
                if let Item::Path { chains, .. } = item {
                    for (x, y) in chains.iter().flatten() {
                        assert!(
                            (0.0..=WIDTH_MM).contains(x) && (0.0..=HEIGHT_MM).contains(y),
                            "{x} {y}"
                        );
                    }
                }
            }
            let room = crate::drawing::TextBox {
                left: -0.5,
                top: -0.5,
                right: WIDTH_MM + 0.5,
                bottom: HEIGHT_MM + 0.5,
            };
            assert!(sheet.texts().iter().all(|t| room.holds(&t.extent())));
        }
    }

    #[test]
    fn a_line_of_one_instant_is_no_plot() {
        assert_eq!(swing(&view(vec![(0.0, 90.0)])), None);
    }
}
