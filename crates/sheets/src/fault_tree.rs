//! The fault tree: what leads to water on the floor, gate by gate, an event a row.
//!
//! Symbols of gates and events as IEC 61025 and NUREG-0492 draw them (from memory): an "or" with a hollow foot, an "and"
//! with a flat one, a circle for a basic event. The tree runs down the page like a list, so that its words stay readable
//! on any width: each symbol has its output above and its inputs below and to the right.

use proof::{Absence, Branch, Gate, once_in};
use station::Station;
use station::quantity::{Kind, format_plain, format_rough};

use crate::drawing::{Anchor, Drawing, EDGE_MM, Ink, Point, Shape, Stroke, TextStyle, at};
use crate::font::Face;
use crate::words::{capital, lines};

const EVENT: TextStyle = TextStyle::new(3.4, Face::Regular, Ink::Ink);
const STRONG: TextStyle = TextStyle::new(3.4, Face::Semibold, Ink::Ink);
const QUIET: TextStyle = TextStyle::new(3.0, Face::Regular, Ink::Second);
const FIGURE: TextStyle = TextStyle::new(3.0, Face::Regular, Ink::Ink);
/// Half a symbol's width, and its height.
const HALF_MM: f64 = 2.0;
const TALL_MM: f64 = 3.6;
/// From one level of the tree to the next.
const STEP_MM: f64 = 7.0;
const PHONE_STEP_MM: f64 = 5.0;
/// From a symbol to its words.
const BESIDE_MM: f64 = 2.0;
/// From one line of words to the next, and white between rows.
const LINE_MM: f64 = 4.6;
const ROW_MM: f64 = 2.6;
/// Columns of figures on a desk; narrower paper has them below the words.
const AMOUNT_MM: f64 = 42.0;
const YEARS_MM: f64 = 58.0;
const NARROW_MM: f64 = 130.0;
/// Inputs of one gate that are drawn (house rule: more aren't read), and how few they may be on low paper; the tables
/// have all.
const MOST: usize = 6;
const FEWEST: usize = 2;

/// The tree of an absence on paper of a width, no taller than that where it can be; nothing where nothing wets the floor.
pub fn fault_tree(station: &Station, absence: &Absence, width_mm: f64, most_mm: f64) -> Option<Drawing> {
    let tree = absence.tree.as_ref()?;
    let mut drawn = drawn(station, tree, width_mm, MOST);
    for most in (FEWEST..MOST).rev() {
        if drawn.height_mm <= most_mm {
            break;
        }
        drawn = self::drawn(station, tree, width_mm, most);
    }
    Some(drawn)
}

/// The tree with so many inputs to a gate.
fn drawn(station: &Station, tree: &Branch, width_mm: f64, most: usize) -> Drawing {
    let mut pen = Pen {
        most,
        station,
        drawing: Drawing::new("What leads to water on the floor", width_mm, 0.0),
        y_mm: EDGE_MM,
        narrow: width_mm < NARROW_MM,
    };
    if !pen.narrow {
        pen.heads();
    }
    let centre = EDGE_MM + HALF_MM;
    pen.branch(tree, centre, None, true);
    pen.legend();
    pen.drawing.height_mm = pen.y_mm + EDGE_MM;
    pen.drawing.description = described(tree);
    pen.drawing
}

/// In words: what leads to what, for those who don't see it.
fn described(branch: &Branch) -> String {
    let names: Vec<&str> = branch.inputs.iter().map(|own| own.event.as_str()).collect();
    let own = match branch.gate {
        Gate::Basic => return String::new(),
        Gate::Or => format!(
            "{} comes of any of: {}.",
            capital(&branch.event),
            names.join("; ")
        ),
        Gate::And => format!("{} needs both: {}.", capital(&branch.event), names.join("; ")),
    };
    let below = branch.inputs.iter().map(described).filter(|own| !own.is_empty());
    core::iter::once(own).chain(below).collect::<Vec<_>>().join(" ")
}

struct Pen<'a> {
    station: &'a Station,
    drawing: Drawing,
    /// Where the next row begins.
    y_mm: f64,
    narrow: bool,
    /// Inputs of one gate that are drawn.
    most: usize,
}

impl Pen<'_> {
    fn right_mm(&self) -> f64 {
        self.drawing.width_mm - EDGE_MM
    }

    /// What the columns of figures are.
    fn heads(&mut self) {
        let base = self.y_mm + QUIET.cap_mm();
        let right = self.right_mm();
        self.text(at(right - YEARS_MM, base), "how often", QUIET);
        self.text(
            at(right - YEARS_MM - AMOUNT_MM, base),
            "on the floor at the most",
            QUIET,
        );
        self.y_mm += LINE_MM + ROW_MM;
    }

    fn text(&mut self, place: Point, words: &str, style: TextStyle) {
        self.drawing.text(place, Anchor::Start, words, style, "");
    }

    /// A branch with all below it, its symbol centred at x, its output led to a trunk; returns where its output turns.
    fn branch(&mut self, own: &Branch, centre_mm: f64, trunk_mm: Option<f64>, top: bool) -> f64 {
        let row_mm = self.y_mm;
        let left = centre_mm + HALF_MM + BESIDE_MM;
        let words_end = match self.narrow {
            true => self.right_mm(),
            false => self.right_mm() - YEARS_MM - AMOUNT_MM - 4.0,
        };
        let style = if top { STRONG } else { EVENT };
        let broken = lines(&own.event, words_end - left, style);
        let base = row_mm + 0.5 * (TALL_MM + style.cap_mm());
        for (line, words) in broken.iter().enumerate() {
            self.text(at(left, base + line as f64 * LINE_MM), words, style);
        }
        self.y_mm = row_mm + broken.len() as f64 * LINE_MM;
        self.figures(own, left, base);
        let turn_mm = row_mm - 0.45 * ROW_MM;
        if let Some(trunk_mm) = trunk_mm {
            let points = vec![
                at(trunk_mm, turn_mm),
                at(centre_mm, turn_mm),
                at(centre_mm, row_mm),
            ];
            self.drawing.line(points, Stroke::Medium, Ink::Ink, "");
        }
        self.symbol(own, at(centre_mm, row_mm));
        self.y_mm += ROW_MM;
        self.below(own, centre_mm, row_mm + TALL_MM);
        turn_mm
    }

    fn below(&mut self, own: &Branch, centre_mm: f64, foot_mm: f64) {
        let step = if self.narrow { PHONE_STEP_MM } else { STEP_MM };
        let mut last_mm = foot_mm;
        for input in own.inputs.iter().take(self.most) {
            last_mm = self.branch(input, centre_mm + step, Some(centre_mm), false);
        }
        if own.inputs.len() > self.most {
            let words = format!("and {} more, rarer", own.inputs.len() - self.most);
            let base = self.y_mm + QUIET.cap_mm();
            self.text(at(centre_mm + step - HALF_MM, base), &words, QUIET);
            self.y_mm += LINE_MM + ROW_MM;
        }
        if !own.inputs.is_empty() {
            let points = vec![at(centre_mm, foot_mm), at(centre_mm, last_mm)];
            self.drawing.line(points, Stroke::Medium, Ink::Ink, "");
        }
    }

    /// What is on the floor and how often: beside the words, or below them on narrow paper.
    fn figures(&mut self, own: &Branch, left_mm: f64, base_mm: f64) {
        let (amount, often) = (self.amount(own), often(own));
        if !self.narrow {
            let right = self.right_mm();
            self.text(at(right - YEARS_MM - AMOUNT_MM, base_mm), &amount, FIGURE);
            self.text(at(right - YEARS_MM, base_mm), &often, FIGURE);
            return;
        }
        let told: Vec<String> = [amount, often]
            .into_iter()
            .filter(|own| !own.is_empty())
            .collect();
        if told.is_empty() {
            return;
        }
        for words in lines(&told.join("; "), self.right_mm() - left_mm, QUIET) {
            let base = self.y_mm + 0.5 * (TALL_MM + QUIET.cap_mm());
            self.text(at(left_mm, base), &words, QUIET);
            self.y_mm += LINE_MM;
        }
    }

    fn amount(&self, own: &Branch) -> String {
        let say = |kind, si| format_plain(kind, si, self.station.units(), &self.station.currency());
        let Some(floor) = own.spilled_m3 else {
            return String::new();
        };
        let seconds = own.hours_to_harm.unwrap_or_default() * 3600.0;
        let after = match seconds {
            seconds if seconds < 60.0 => "from the start".to_owned(),
            seconds => format!("after {}", say(Kind::Time, seconds)),
        };
        format!(
            "{}, {after}",
            format_rough(
                Kind::Volume,
                floor,
                self.station.units(),
                &self.station.currency()
            )
        )
    }

    fn symbol(&mut self, own: &Branch, top: Point) {
        let placed = |points: &[(f64, f64)]| -> Vec<Point> {
            points
                .iter()
                .map(|(x, y)| at(top.x_mm + x, top.y_mm + y))
                .collect()
        };
        match own.gate {
            Gate::Basic => {
                let centre = at(top.x_mm, top.y_mm + 0.5 * TALL_MM);
                let radius_mm = 0.5 * TALL_MM;
                self.drawing.push(
                    Shape::Dot {
                        centre,
                        radius_mm,
                        ink: Ink::Ink,
                    },
                    "",
                );
                // Filled where it is enough by itself.
                if !own.alone {
                    let inner = radius_mm - Stroke::Medium.width_mm();
                    let hollow = Shape::Dot {
                        centre,
                        radius_mm: inner,
                        ink: Ink::Paper,
                    };
                    self.drawing.push(hollow, "");
                }
            }
            Gate::And => self
                .drawing
                .line(placed(&dome(true)), Stroke::Medium, Ink::Ink, ""),
            Gate::Or => self
                .drawing
                .line(placed(&dome(false)), Stroke::Medium, Ink::Ink, ""),
        }
    }

    /// What the symbols mean.
    fn legend(&mut self) {
        self.y_mm += ROW_MM;
        let entries = [
            (Gate::Basic, true, "enough by itself"),
            (Gate::Basic, false, "needs another"),
            (Gate::Or, true, "any of them"),
            (Gate::And, true, "both of them"),
        ];
        let gap = 6.0;
        let mut left = EDGE_MM;
        for (gate, alone, words) in entries {
            let width = 2.0 * HALF_MM + BESIDE_MM + QUIET.width_mm(words);
            if left + width > self.right_mm() {
                left = EDGE_MM;
                self.y_mm += LINE_MM + ROW_MM;
            }
            let shown = Branch {
                event: String::new(),
                gate,
                inputs: Vec::new(),
                alone,
                spilled_m3: None,
                hours_to_harm: None,
                years: None,
                broken_once_in: None,
            };
            self.symbol(&shown, at(left + HALF_MM, self.y_mm));
            let base = self.y_mm + 0.5 * (TALL_MM + QUIET.cap_mm());
            self.text(at(left + 2.0 * HALF_MM + BESIDE_MM, base), words, QUIET);
            left += width + gap;
        }
        self.y_mm += TALL_MM;
    }
}

/// How often, in words.
fn often(own: &Branch) -> String {
    let broken = own.broken_once_in.map(|[least, most]| match least >= most {
        true => format!("found broken once in {least:.0} times"),
        false => format!("found broken once in {least:.0} to {most:.0} times"),
    });
    broken.or_else(|| own.years.map(once_in)).unwrap_or_default()
}

/// A gate's outline about the middle of its top: a pointed arch over a hollow foot for "or", a round one over a flat foot
/// for "and".
fn dome(flat: bool) -> Vec<(f64, f64)> {
    const PIECES: usize = 12;
    let spring = if flat { 0.5 * TALL_MM } else { TALL_MM };
    let half = |side: f64| {
        (0..=PIECES).map(move |piece| {
            let share = piece as f64 / PIECES as f64;
            let turn = share * core::f64::consts::FRAC_PI_2;
            match flat {
                // A quarter of an ellipse from the crown to the side.
                true => (side * HALF_MM * libm::sin(turn), spring * (1.0 - libm::cos(turn))),
                // An arch that is steep below and leans to its point.
                false => (
                    side * HALF_MM * libm::sin(turn),
                    spring * (1.0 - libm::pow(libm::cos(turn), 1.6)),
                ),
            }
        })
    };
    let mut points: Vec<(f64, f64)> = half(1.0).collect();
    if flat {
        points.extend([(HALF_MM, TALL_MM), (-HALF_MM, TALL_MM)]);
    } else {
        // The hollow foot.
        points.extend((0..=PIECES).map(|piece| {
            let x = HALF_MM * (1.0 - 2.0 * piece as f64 / PIECES as f64);
            (x, TALL_MM - 0.9 * (1.0 - (x / HALF_MM) * (x / HALF_MM)))
        }));
    }
    let mut left: Vec<(f64, f64)> = half(-1.0).collect();
    left.reverse();
    points.extend(left);
    points
}
