//! The display list: positioned shapes and texts in millimetres of paper, the origin at the upper left.

use crate::font::{Face, cap_height_mm, descent_mm, width_mm};

/// A place on the paper, mm from the upper left.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// To the right.
    pub x_mm: f64,
    /// Downwards.
    pub y_mm: f64,
}

/// At x and y, mm.
pub(crate) const fn at(x_mm: f64, y_mm: f64) -> Point {
    Point { x_mm, y_mm }
}

/// What something is drawn with: a colour by its meaning, never by its looks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Ink {
    /// Main ink.
    Ink,
    /// Second ink, for what explains.
    Second,
    /// Hairlines and grids.
    Hair,
    /// The paper itself.
    Paper,
    /// Fresh water.
    Fresh,
    /// Sea water.
    Sea,
    /// What must be fixed.
    Must,
    /// What should be fixed.
    Should,
}

impl Ink {
    /// All of them.
    pub const ALL: [Self; 8] = [
        Self::Paper,
        Self::Ink,
        Self::Second,
        Self::Hair,
        Self::Fresh,
        Self::Sea,
        Self::Must,
        Self::Should,
    ];

    /// What it is called in a style.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Ink => "ink",
            Self::Second => "second",
            Self::Hair => "hair",
            Self::Paper => "paper",
            Self::Fresh => "fresh",
            Self::Sea => "sea",
            Self::Must => "must",
            Self::Should => "should",
        }
    }
}

/// A line's weight.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stroke {
    /// Objects: 0.5 mm.
    Heavy,
    /// Piping and curves: 0.35 mm.
    Medium,
    /// Dimensions and leaders: 0.13 mm.
    Hair,
}

impl Stroke {
    /// Width of the line, mm (ISO 128 series: 0.13, 0.35, 0.5; from memory).
    pub const fn width_mm(self) -> f64 {
        match self {
            Self::Heavy => 0.5,
            Self::Medium => 0.35,
            Self::Hair => 0.13,
        }
    }
}

/// Which end of a text its place is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Anchor {
    /// It begins there.
    Start,
    /// Its middle is there.
    Middle,
    /// It ends there.
    End,
}

/// A shape or a text.
#[derive(Debug, Clone, PartialEq)]
pub enum Shape {
    /// Straight lines through points.
    Line {
        /// The points.
        points: Vec<Point>,
        /// Its weight.
        stroke: Stroke,
        /// Its ink.
        ink: Ink,
        /// Whether it is broken.
        dashed: bool,
    },
    /// A filled area.
    Area {
        /// Its corners.
        points: Vec<Point>,
        /// Its ink.
        ink: Ink,
        /// How much of it covers what lies below, 0 to 1.
        opacity: f64,
    },
    /// A dot.
    Dot {
        /// Its centre.
        centre: Point,
        /// Its radius, mm.
        radius_mm: f64,
        /// Its ink.
        ink: Ink,
    },
    /// One line of text.
    Text {
        /// Where its base line begins, is centred or ends.
        place: Point,
        /// Which of these.
        anchor: Anchor,
        /// The text, all of it printable.
        text: String,
        /// Size of an em, mm.
        size_mm: f64,
        /// Its weight.
        face: Face,
        /// Its ink.
        ink: Ink,
    },
}

impl Anchor {
    /// Where a text of a width begins whose place is told by this end, mm.
    pub(crate) fn left_mm(self, place: Point, width_mm: f64) -> f64 {
        match self {
            Self::Start => place.x_mm,
            Self::Middle => place.x_mm - width_mm / 2.0,
            Self::End => place.x_mm - width_mm,
        }
    }
}

impl Point {
    fn moved(self, by: Self) -> Self {
        at(self.x_mm + by.x_mm, self.y_mm + by.y_mm)
    }
}

impl Shape {
    fn moved(&self, by: Point) -> Self {
        let mut shape = self.clone();
        match &mut shape {
            Self::Line { points, .. } | Self::Area { points, .. } => {
                for point in points {
                    *point = point.moved(by);
                }
            }
            Self::Dot { centre, .. } => *centre = centre.moved(by),
            Self::Text { place, .. } => *place = place.moved(by),
        }
        shape
    }
}

/// A shape, and what it stands for.
#[derive(Debug, Clone, PartialEq)]
pub struct Item {
    /// The shape.
    pub shape: Shape,
    /// Path in the station file, or key of a figure; empty for what stands for nothing in it.
    pub path: String,
}

/// From metres of the station to millimetres of paper.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Map {
    /// Where the room's floor and the drawing's left edge meet.
    pub origin: Point,
    /// Millimetres of paper for each metre.
    pub mm_per_m: f64,
}

impl Map {
    /// Where a point of the station lies: metres to the right of the origin and above the floor.
    pub fn to_paper(&self, right_m: f64, above_m: f64) -> Point {
        at(
            self.origin.x_mm + right_m * self.mm_per_m,
            self.origin.y_mm - above_m * self.mm_per_m,
        )
    }

    /// The scale's number: 20 for 1:20.
    pub fn scale(&self) -> f64 {
        1000.0 / self.mm_per_m
    }
}

/// White at the left and right of every drawing, mm: nothing reaches into it.
pub const EDGE_MM: f64 = 3.6;

/// A drawing or a chart.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    /// What it is called.
    pub title: String,
    /// What it shows, for those who don't see it.
    pub description: String,
    /// Width of the paper, mm.
    pub width_mm: f64,
    /// Height of the paper, mm.
    pub height_mm: f64,
    /// What is on it, from below upwards.
    pub items: Vec<Item>,
    /// Its maps to metres, one for each row of a drawing to scale; none for a chart.
    pub maps: Vec<Map>,
}

/// A box on the paper.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bounds {
    /// Left edge, mm.
    pub left_mm: f64,
    /// Upper edge, mm.
    pub top_mm: f64,
    /// Right edge, mm.
    pub right_mm: f64,
    /// Lower edge, mm.
    pub bottom_mm: f64,
}

impl Bounds {
    /// Whether two boxes share more than a hundredth of a millimetre.
    pub fn overlaps(&self, other: &Self) -> bool {
        const TOUCH_MM: f64 = 0.01;
        self.left_mm + TOUCH_MM < other.right_mm
            && other.left_mm + TOUCH_MM < self.right_mm
            && self.top_mm + TOUCH_MM < other.bottom_mm
            && other.top_mm + TOUCH_MM < self.bottom_mm
    }
}

impl Drawing {
    /// An empty one.
    pub fn new(title: impl Into<String>, width_mm: f64, height_mm: f64) -> Self {
        Self {
            title: title.into(),
            description: String::new(),
            width_mm,
            height_mm,
            items: Vec::new(),
            maps: Vec::new(),
        }
    }

    pub(crate) fn line(&mut self, points: Vec<Point>, stroke: Stroke, ink: Ink, path: &str) {
        self.push(
            Shape::Line {
                points,
                stroke,
                ink,
                dashed: false,
            },
            path,
        );
    }

    pub(crate) fn area(&mut self, points: Vec<Point>, ink: Ink, opacity: f64, path: &str) {
        self.push(Shape::Area { points, ink, opacity }, path);
    }

    pub(crate) fn text(&mut self, place: Point, anchor: Anchor, text: &str, style: TextStyle, path: &str) {
        // An axis without a name has none.
        if text.is_empty() {
            return;
        }
        self.push(
            Shape::Text {
                place,
                anchor,
                text: crate::font::printable(text),
                size_mm: style.size_mm,
                face: style.face,
                ink: style.ink,
            },
            path,
        );
    }

    pub(crate) fn push(&mut self, shape: Shape, path: &str) {
        self.items.push(Item {
            shape,
            path: path.to_owned(),
        });
    }

    /// Puts another drawing onto this one, its upper left at a place.
    pub(crate) fn put(&mut self, other: &Self, place: Point) {
        self.items.extend(other.items.iter().map(|item| Item {
            shape: item.shape.moved(place),
            path: item.path.clone(),
        }));
        self.maps.extend(other.maps.iter().map(|map| Map {
            origin: map.origin.moved(place),
            ..*map
        }));
    }

    /// The boxes of all texts, with the texts.
    pub fn text_bounds(&self) -> Vec<(Bounds, &str)> {
        self.items
            .iter()
            .filter_map(|item| match &item.shape {
                Shape::Text {
                    place,
                    anchor,
                    text,
                    size_mm,
                    face,
                    ..
                } => Some((bounds_of(*place, *anchor, text, *size_mm, *face), text.as_str())),
                _ => None,
            })
            .collect()
    }
}

/// How a text looks.
#[derive(Debug, Clone, Copy)]
pub(crate) struct TextStyle {
    pub(crate) size_mm: f64,
    pub(crate) face: Face,
    pub(crate) ink: Ink,
}

impl TextStyle {
    pub(crate) const fn new(size_mm: f64, face: Face, ink: Ink) -> Self {
        Self { size_mm, face, ink }
    }

    /// Height of its capitals, mm.
    pub(crate) fn cap_mm(self) -> f64 {
        cap_height_mm(self.size_mm, self.face)
    }

    /// The box of a text in it.
    pub(crate) fn bounds(self, place: Point, anchor: Anchor, text: &str) -> Bounds {
        bounds_of(
            place,
            anchor,
            &crate::font::printable(text),
            self.size_mm,
            self.face,
        )
    }

    /// Width of a text in it, mm.
    pub(crate) fn width_mm(self, text: &str) -> f64 {
        width_mm(&crate::font::printable(text), self.size_mm, self.face)
    }
}

/// The box of a line of text: from the top of its capitals to the foot of its letters.
fn bounds_of(place: Point, anchor: Anchor, text: &str, size_mm: f64, face: Face) -> Bounds {
    let width = width_mm(text, size_mm, face);
    let left = anchor.left_mm(place, width);
    Bounds {
        left_mm: left,
        top_mm: place.y_mm - cap_height_mm(size_mm, face),
        right_mm: left + width,
        bottom_mm: place.y_mm + descent_mm(size_mm, face),
    }
}
