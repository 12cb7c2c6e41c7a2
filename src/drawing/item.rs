use super::advance::text_width;
use super::ink::{Colour, Ink, Pen};

/// A place on the sheet: millimetres from the left and from the top.
pub type PaperPoint = (f64, f64);

/// Where a text hangs on its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Align {
    /// It begins there.
    Start,
    /// Its middle is there.
    Middle,
    /// It ends there.
    End,
}

/// What a text is for: figures are those of result.json, the rest are words and the rulings of the paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Role {
    /// Figures of the result.
    Figure,
    /// Numbers that rule the paper: axes, grid, scales.
    Ruling,
    /// Words.
    Word,
}

/// A line of text.
#[derive(Debug, Clone, PartialEq)]
pub struct Text {
    /// Where its base line hangs.
    pub at: PaperPoint,
    /// Size of the type, mm.
    pub size_mm: f64,
    /// How it hangs.
    pub align: Align,
    /// Turned to read from below upwards.
    pub turned: bool,
    /// Heavy.
    pub bold: bool,
    /// Colour.
    pub colour: Colour,
    /// What it is for.
    pub role: Role,
    /// The text itself.
    pub text: String,
}

/// A rectangle on the sheet, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Box {
    /// Left.
    pub left: f64,
    /// Top.
    pub top: f64,
    /// Right.
    pub right: f64,
    /// Bottom.
    pub bottom: f64,
}

impl Box {
    /// Whether two rectangles share more than an edge.
    pub fn meets(&self, other: &Self) -> bool {
        self.left < other.right
            && other.left < self.right
            && self.top < other.bottom
            && other.top < self.bottom
    }

    /// Whether a rectangle lies in this one.
    pub fn holds(&self, other: &Self) -> bool {
        self.left <= other.left
            && self.top <= other.top
            && self.right >= other.right
            && self.bottom >= other.bottom
    }
}

impl Text {
    /// A text in black, beginning at a place.
    pub fn new(at: PaperPoint, size_mm: f64, role: Role, text: impl Into<String>) -> Self {
        Self {
            at,
            size_mm,
            align: Align::Start,
            turned: false,
            bold: false,
            colour: Ink::BLACK,
            role,
            text: text.into(),
        }
    }

    /// Hung otherwise.
    #[must_use]
    pub fn align(mut self, align: Align) -> Self {
        self.align = align;
        self
    }

    /// In another colour.
    #[must_use]
    pub fn colour(mut self, colour: Colour) -> Self {
        self.colour = colour;
        self
    }

    /// Heavy.
    #[must_use]
    pub fn bold(mut self) -> Self {
        self.bold = true;
        self
    }

    /// Turned to read upwards.
    #[must_use]
    pub fn turned(mut self) -> Self {
        self.turned = true;
        self
    }

    /// The room it takes: from the height of its capitals to the depth of its tails.
    pub fn extent(&self) -> Box {
        let long = text_width(&self.text, self.size_mm, self.bold);
        let (x, y) = self.at;
        let before = match self.align {
            Align::Start => 0.0,
            Align::Middle => long / 2.0,
            Align::End => long,
        };
        let (up, down) = (0.74 * self.size_mm, 0.22 * self.size_mm);
        if self.turned {
            Box {
                left: x - up,
                right: x + down,
                bottom: y + before,
                top: y + before - long,
            }
        } else {
            Box {
                left: x - before,
                right: x - before + long,
                top: y - up,
                bottom: y + down,
            }
        }
    }
}

/// A neutral mark on the sheet.
#[derive(Debug, Clone, PartialEq)]
pub enum Item {
    /// Lines or an area.
    Path {
        /// Each a chain of points.
        chains: Vec<Vec<PaperPoint>>,
        /// Joined end to beginning.
        closed: bool,
        /// The outline.
        pen: Option<Pen>,
        /// The filling.
        fill: Option<Colour>,
    },
    /// A circle.
    Circle {
        /// Its middle.
        at: PaperPoint,
        /// Its radius, mm.
        radius_mm: f64,
        /// The outline.
        pen: Option<Pen>,
        /// The filling.
        fill: Option<Colour>,
    },
    /// A text.
    Text(Text),
    /// Several that belong together and have a name, shown to a pointer and read to those who cannot see.
    Group {
        /// Its name; empty for none.
        name: String,
        /// What belongs together.
        items: Vec<Self>,
    },
    /// Leads to a place of the page that shows the sheet.
    Link {
        /// Name of the place: letters, digits and hyphens of our own.
        to: String,
        /// Where it leads, in words.
        name: String,
        /// What is tapped.
        items: Vec<Self>,
    },
    /// A place that is led to: shown while it is.
    Spot {
        /// Its name: letters, digits and hyphens of our own.
        id: String,
        /// What is shown.
        items: Vec<Self>,
    },
}

impl Item {
    /// A line through points.
    pub fn line(points: Vec<PaperPoint>, pen: Pen) -> Self {
        Self::Path {
            chains: vec![points],
            closed: false,
            pen: Some(pen),
            fill: None,
        }
    }

    /// Lines through several chains of points.
    pub fn lines(chains: Vec<Vec<PaperPoint>>, pen: Pen) -> Self {
        Self::Path {
            chains,
            closed: false,
            pen: Some(pen),
            fill: None,
        }
    }

    /// An area.
    pub fn area(points: Vec<PaperPoint>, fill: Colour) -> Self {
        Self::Path {
            chains: vec![points],
            closed: true,
            pen: None,
            fill: Some(fill),
        }
    }

    /// A rectangle.
    pub fn rectangle(of: Box, pen: Option<Pen>, fill: Option<Colour>) -> Self {
        Self::Path {
            chains: vec![vec![
                (of.left, of.top),
                (of.right, of.top),
                (of.right, of.bottom),
                (of.left, of.bottom),
            ]],
            closed: true,
            pen,
            fill,
        }
    }
}

/// A sheet of paper with everything on it.
#[derive(Debug, Clone, PartialEq)]
pub struct PaperSheet {
    /// Width, mm.
    pub width_mm: f64,
    /// Height, mm.
    pub height_mm: f64,
    /// What the sheet shows, in one line, for those who cannot see it.
    pub title: String,
    /// The same in a sentence or two.
    pub description: String,
    /// From the lowest to the topmost.
    pub items: Vec<Item>,
}

impl PaperSheet {
    /// Every text on the sheet, groups opened.
    pub fn texts(&self) -> Vec<&Text> {
        fn gather<'a>(items: &'a [Item], out: &mut Vec<&'a Text>) {
            for item in items {
                match item {
                    Item::Text(text) => out.push(text),
                    Item::Group { items, .. }
                    | Item::Link { items, .. }
                    | Item::Spot { items, .. } => gather(items, out),
                    Item::Path { .. } | Item::Circle { .. } => {}
                }
            }
        }
        let mut out = Vec::new();
        gather(&self.items, &mut out);
        out
    }
}
