//! Charts, made of the same display list: axes with sensible ticks, bands for doubt, labels beside what they name.

mod axis;
mod changes;
mod charts;
mod cost;
mod harm;
mod level;
mod needs;
mod place;
mod reserve;
mod rows;
mod runs;

pub use changes::cost_of_changes;
pub use charts::{cost_against_run, same_for_any_run, supply_by_month};
pub use cost::{cost_by_item, item_in_words};
pub(crate) use cost::{half_of_cost, said_of};
pub use harm::soon_by_cause;
pub use level::level_against_volume;
pub use needs::need_by_tank;
pub use reserve::reserve_by_week;
pub use runs::run_volumes;

use crate::drawing::{Anchor, Drawing, EDGE_MM, Ink, Point, Shape, Stroke, TextStyle, at};
use crate::font::Face;
use crate::words::lines;
use axis::Axis;

/// Size of labels, mm.
const LABEL_MM: f64 = 3.2;
const LABEL: TextStyle = TextStyle::new(LABEL_MM, Face::Regular, Ink::Ink);
const QUIET: TextStyle = TextStyle::new(LABEL_MM, Face::Regular, Ink::Second);
const TITLE: TextStyle = TextStyle::new(3.8, Face::Semibold, Ink::Ink);
const MARGIN_MM: f64 = 4.0;
const HEAD_MM: f64 = 9.0;
const FOOT_MM: f64 = 11.5;

/// From one line of a title, or of a remark, to the next.
const TITLE_LINE_MM: f64 = 5.2;
const QUIET_LINE_MM: f64 = 4.4;

/// What lines take beyond the first.
fn more_mm(lines: &[String], line_mm: f64) -> f64 {
    lines.len().saturating_sub(1) as f64 * line_mm
}

/// A title in its lines.
fn heads(drawing: &mut Drawing, lines: &[String], left_mm: f64) {
    for (row, line) in lines.iter().enumerate() {
        let base_mm = MARGIN_MM + TITLE.cap_mm() + row as f64 * TITLE_LINE_MM;
        drawing.text(at(left_mm, base_mm), Anchor::Start, line, TITLE, "");
    }
}

/// A value with its doubt at a place along the chart.
#[derive(Debug, Clone, Copy)]
struct Valued {
    x: f64,
    value: f64,
    low: f64,
    high: f64,
}

/// A chart in the making: its paper and its two axes.
struct Plot {
    drawing: Drawing,
    x: Axis,
    y: Axis,
    left_mm: f64,
    right_mm: f64,
    top_mm: f64,
    foot_mm: f64,
}

impl Plot {
    /// Paper of a width with room for the ticks of the upright axis.
    fn new(title: &str, width_mm: f64, x: Axis, y: Axis) -> Self {
        Self::with_room(title, width_mm, x, y, 3.0)
    }

    /// The same with room for labels at the right.
    fn with_room(title: &str, width_mm: f64, x: Axis, y: Axis, room_mm: f64) -> Self {
        let heading = lines(title, width_mm - 2.0 * MARGIN_MM, TITLE);
        let more_mm = more_mm(&heading, TITLE_LINE_MM);
        let height_mm = (0.5 * width_mm).clamp(58.0, 95.0) + more_mm;
        let ticks = y
            .ticks
            .iter()
            .map(|tick| QUIET.width_mm(&tick.text))
            .fold(0.0, f64::max);
        let mut drawing = Drawing::new(title, width_mm, height_mm);
        heads(&mut drawing, &heading, MARGIN_MM);
        let mut plot = Self {
            left_mm: MARGIN_MM + ticks + 2.0,
            right_mm: width_mm - MARGIN_MM - room_mm,
            top_mm: MARGIN_MM + HEAD_MM + LABEL_MM + more_mm,
            foot_mm: height_mm - MARGIN_MM - FOOT_MM,
            drawing,
            x,
            y,
        };
        plot.axes();
        plot
    }

    fn place(&self, x: f64, y: f64) -> Point {
        at(
            self.left_mm + self.x.share(x) * (self.right_mm - self.left_mm),
            self.foot_mm - self.y.share(y) * (self.foot_mm - self.top_mm),
        )
    }

    fn axes(&mut self) {
        for tick in self.y.ticks.clone() {
            let place = self.place(self.x.from, tick.value);
            self.drawing.line(
                vec![place, at(self.right_mm, place.y_mm)],
                Stroke::Hair,
                Ink::Hair,
                "",
            );
            self.drawing.text(
                at(self.left_mm - 1.5, place.y_mm + 0.5 * QUIET.cap_mm()),
                Anchor::End,
                &tick.text,
                QUIET,
                "",
            );
        }
        // Every figure, or every second or third: as many as don't touch.
        let base = self.foot_mm + 3.0 + QUIET.cap_mm();
        let ticks = self.x.ticks.clone();
        let room = |place: Point, text: &str| {
            let half = 0.5 * QUIET.width_mm(text);
            (place.x_mm - half, place.x_mm + half)
        };
        let spans: Vec<(f64, f64)> = ticks
            .iter()
            .map(|tick| room(self.place(tick.value, self.y.from), &tick.text))
            .collect();
        let apart = |every: usize| {
            let shown: Vec<&(f64, f64)> = spans.iter().step_by(every).collect();
            shown.windows(2).all(|pair| pair[1].0 > pair[0].1 + 1.5)
        };
        let every = (1..ticks.len()).find(|every| apart(*every)).unwrap_or(1);
        for (number, (tick, (_, end))) in ticks.iter().zip(&spans).enumerate() {
            let place = self.place(tick.value, self.y.from);
            self.drawing.line(
                vec![place, at(place.x_mm, place.y_mm + 1.0)],
                Stroke::Hair,
                Ink::Second,
                "",
            );
            if number % every == 0 && *end <= self.drawing.width_mm - EDGE_MM {
                self.drawing
                    .text(at(place.x_mm, base), Anchor::Middle, &tick.text, QUIET, "");
            }
        }
        let (left, right) = (self.left_mm, self.right_mm);
        let foot = self.foot_mm;
        self.drawing.line(
            vec![at(left, foot), at(right, foot)],
            Stroke::Medium,
            Ink::Ink,
            "",
        );
        let (x_name, y_name) = (self.x.name.clone(), self.y.name.clone());
        self.drawing
            .text(at(right, base + 1.45 * LABEL_MM), Anchor::End, &x_name, QUIET, "");
        self.drawing.text(
            at(MARGIN_MM, self.top_mm - 3.0),
            Anchor::Start,
            &y_name,
            QUIET,
            "",
        );
    }

    /// A band between the ends of the doubt, edged so that it is seen in grey, and the line of the values.
    fn band(&mut self, points: &[Valued], stroke: Stroke, path: &str) {
        self.fill(Ink::Fresh, points, path);
        self.edges(points, path);
        let line = points
            .iter()
            .map(|point| self.place(point.x, point.value))
            .collect();
        self.drawing.line(line, stroke, Ink::Ink, path);
    }

    /// The upper and the lower edge of a band; nothing where it has no width.
    fn ends(&self, points: &[Valued]) -> Option<[Vec<Point>; 2]> {
        points.iter().any(|point| point.high > point.low).then(|| {
            [|point: &Valued| point.high, |point: &Valued| point.low].map(|of| {
                points
                    .iter()
                    .map(|point| self.place(point.x, of(point)))
                    .collect()
            })
        })
    }

    /// A band's area alone, in the ink of what it is a band of.
    fn fill(&mut self, ink: Ink, points: &[Valued], path: &str) {
        if let Some([up, down]) = self.ends(points) {
            let area = up.iter().chain(down.iter().rev()).copied().collect();
            self.drawing.area(area, ink, 1.0, path);
        }
    }

    /// Its edges alone.
    fn edges(&mut self, points: &[Valued], path: &str) {
        for edge in self.ends(points).into_iter().flatten() {
            self.drawing.line(edge, Stroke::Hair, Ink::Second, path);
        }
    }

    /// A remark at the head, to the right.
    fn remark(&mut self, text: &str, ink: Ink) {
        let style = TextStyle { ink, ..LABEL };
        let room = self.drawing.width_mm - 2.0 * MARGIN_MM - QUIET.width_mm(&self.y.name) - 4.0;
        let fitted = crate::elevation::fitted(text, room, style);
        self.drawing.text(
            at(self.drawing.width_mm - MARGIN_MM, self.top_mm - 3.0),
            Anchor::End,
            &fitted,
            style,
            "",
        );
    }

    fn dot(&mut self, place: Point, ink: Ink, path: &str) {
        self.drawing.push(
            Shape::Dot {
                centre: place,
                radius_mm: 1.1,
                ink,
            },
            path,
        );
    }
}
