//! The symbols: valves, pump, filter, membrane and vessels as ISO 10628 and ISO 14617 draw them (from memory), each
//! about the line that runs through it.

use station::sections::{Valve, Water};

use super::graph::Kind;
use super::layout::Layout;
use super::measure::{
    BED_MM, DRAIN_MM, DRAW_MM, FEED_MM, FILTER_MM, HOLE_MM, INSET_MM, MEMBRANE_MM, PUMP_MM, RESTRICTOR_MM,
    VALVE_MM, VENT_MM,
};
use crate::drawing::{Drawing, Ink, Point, Shape, Stroke, at};

/// How a symbol is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum State {
    /// As it is without a valve setting, or open.
    Plain,
    /// A valve that is closed, a pump that runs.
    Filled,
}

/// The left and right end of a node's symbol on its line.
pub(super) fn sides(layout: &Layout, node: usize) -> [f64; 2] {
    let left = layout.places[node].x_mm;
    let middle = left + layout.widths_mm[node] / 2.0;
    let about = |half: f64| [middle - half, middle + half];
    let own = &layout.graph.nodes[node];
    match own.kind {
        Kind::Joint => [left + INSET_MM; 2],
        Kind::Vessel(_) | Kind::Tank(_) => [left, left + layout.widths_mm[node]],
        Kind::Membrane => [left, left + MEMBRANE_MM.0],
        Kind::Valve(_) => about(VALVE_MM.0),
        Kind::Pump => about(PUMP_MM),
        Kind::Filter => about(FILTER_MM.0 / 2.0),
        Kind::Bed => about(BED_MM.0 / 2.0),
        Kind::Restrictor => about(RESTRICTOR_MM.0 / 2.0),
        Kind::Feed => about(FEED_MM.0 / 2.0),
        // Pipes run through the sign of a hole, and to the bend above a funnel or a container.
        Kind::Vent | Kind::Drain | Kind::Draw => about(0.0),
    }
}

/// The middle of a node's symbol.
pub(super) fn middle(layout: &Layout, node: usize) -> f64 {
    let [left, right] = sides(layout, node);
    (left + right) / 2.0
}

/// A pen about the middle of a symbol.
struct Pen<'d> {
    drawing: &'d mut Drawing,
    path: &'d str,
    centre: Point,
    turn: Turn,
}

/// A symbol on a line that goes to the right, turned to another way.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Turn {
    /// To the right, as it is.
    Right,
    /// Upwards.
    Up,
    /// To the left.
    Left,
    /// Downwards.
    Down,
}

impl Turn {
    fn of(self, (x, y): (f64, f64)) -> (f64, f64) {
        match self {
            Self::Right => (x, y),
            Self::Up => (y, -x),
            Self::Left => (-x, -y),
            Self::Down => (-y, x),
        }
    }
}

/// A valve by itself, open, about a place.
pub(crate) fn valve_at(drawing: &mut Drawing, path: &str, centre: Point, kind: Valve, turn: Turn) {
    let mut pen = Pen {
        drawing,
        path,
        centre,
        turn,
    };
    valve(&mut pen, kind, State::Plain);
}

/// A pump by itself, standing, about a place, with its outlet to where it is turned.
pub(crate) fn pump_at(drawing: &mut Drawing, path: &str, centre: Point, radius_mm: f64, turn: Turn) {
    let mut pen = Pen {
        drawing,
        path,
        centre,
        turn,
    };
    pen.circle((0.0, 0.0), radius_mm, Ink::Paper);
    let share = radius_mm / PUMP_MM;
    let points = [
        (-1.8 * share, -3.0 * share),
        (radius_mm - 0.3, 0.0),
        (-1.8 * share, 3.0 * share),
    ];
    pen.line(&points, Stroke::Medium);
}

impl Pen<'_> {
    fn points(&self, points: &[(f64, f64)]) -> Vec<Point> {
        points
            .iter()
            .map(|point| self.turn.of(*point))
            .map(|(x, y)| at(self.centre.x_mm + x, self.centre.y_mm + y))
            .collect()
    }

    fn line(&mut self, points: &[(f64, f64)], stroke: Stroke) {
        let points = self.points(points);
        self.drawing.line(points, stroke, Ink::Ink, self.path);
    }

    fn dashed(&mut self, points: &[(f64, f64)]) {
        let points = self.points(points);
        self.drawing.push(
            Shape::Line {
                points,
                stroke: Stroke::Hair,
                ink: Ink::Ink,
                dashed: true,
            },
            self.path,
        );
    }

    fn area(&mut self, points: &[(f64, f64)], ink: Ink) {
        let points = self.points(points);
        self.drawing.area(points, ink, 1.0, self.path);
    }

    /// A closed outline, on paper or filled.
    fn outline(&mut self, points: &[(f64, f64)], ink: Ink) {
        self.area(points, ink);
        let mut round = points.to_vec();
        round.extend(points.first());
        self.line(&round, Stroke::Medium);
    }

    fn dot(&mut self, place: (f64, f64), radius_mm: f64, ink: Ink) {
        let (x, y) = self.turn.of(place);
        let centre = at(self.centre.x_mm + x, self.centre.y_mm + y);
        self.drawing.push(
            Shape::Dot {
                centre,
                radius_mm,
                ink,
            },
            self.path,
        );
    }

    /// A circle as an outline: a disc of ink with one of another over it.
    fn circle(&mut self, centre: (f64, f64), radius_mm: f64, ink: Ink) {
        self.dot(centre, radius_mm, Ink::Ink);
        if ink != Ink::Ink {
            self.dot(centre, radius_mm - Stroke::Medium.width_mm(), ink);
        }
    }
}

/// Draws a node's symbol; what holds water is drawn by the vessel's own hand.
pub(super) fn symbol(drawing: &mut Drawing, layout: &Layout, node: usize, state: State) {
    let own = &layout.graph.nodes[node];
    let mut pen = Pen {
        drawing,
        path: &own.path,
        centre: at(middle(layout, node), layout.places[node].y_mm),
        turn: Turn::Right,
    };
    if let Some(hole) = &own.hole {
        let path = pen.path;
        pen.path = hole;
        pen.centre.x_mm += VALVE_MM.0 + 0.5 * HOLE_MM;
        vent(&mut pen);
        pen.centre.x_mm -= VALVE_MM.0 + 0.5 * HOLE_MM;
        pen.path = path;
    }
    let half = |(width, height): (f64, f64)| (width / 2.0, height / 2.0);
    let boxed = |(x, y): (f64, f64)| [(-x, -y), (x, -y), (x, y), (-x, y)];
    match own.kind {
        Kind::Feed => {
            let (x, y) = half(FEED_MM);
            pen.outline(
                &[(-x, -y), (x - y, -y), (x, 0.0), (x - y, y), (-x, y)],
                Ink::Paper,
            );
        }
        Kind::Filter => {
            let (x, y) = half(FILTER_MM);
            pen.outline(&boxed((x, y)), Ink::Paper);
            pen.dashed(&[(0.0, -y), (0.0, y)]);
        }
        Kind::Membrane => {
            let (x, y) = half(MEMBRANE_MM);
            pen.outline(&boxed((x, y)), Ink::Paper);
            pen.dashed(&[(-x, y), (x, -y)]);
        }
        Kind::Bed => {
            let (x, y) = half(BED_MM);
            pen.outline(&boxed((x, y)), Ink::Paper);
            for level in [-0.5 * y, 0.6 * y] {
                pen.line(&[(-x, level), (x, level)], Stroke::Hair);
            }
            pen.line(&[(-x, -0.5 * y), (x, 0.6 * y)], Stroke::Hair);
            pen.line(&[(-x, 0.6 * y), (x, -0.5 * y)], Stroke::Hair);
        }
        Kind::Restrictor => {
            let (x, y) = half(RESTRICTOR_MM);
            pen.line(&[(-x, 0.0), (x, 0.0)], Stroke::Medium);
            pen.line(
                &[(-x, -y), (-0.5 * x, -0.3 * y), (0.5 * x, -0.3 * y), (x, -y)],
                Stroke::Medium,
            );
            pen.line(
                &[(-x, y), (-0.5 * x, 0.3 * y), (0.5 * x, 0.3 * y), (x, y)],
                Stroke::Medium,
            );
        }
        Kind::Drain => {
            let (x, y) = (DRAIN_MM.0 / 2.0, DRAIN_MM.1);
            pen.line(&[(0.0, 0.0), (0.0, 1.0)], Stroke::Medium);
            pen.outline(&[(-x, 1.4), (x, 1.4), (0.0, y)], Ink::Paper);
        }
        Kind::Vent => vent(&mut pen),
        Kind::Draw => {
            let (x, y) = DRAW_MM;
            pen.line(&[(0.0, 0.0), (0.0, 2.8)], Stroke::Medium);
            pen.line(
                &[(-x, 3.6), (-x + 0.9, y), (x - 0.9, y), (x, 3.6)],
                Stroke::Medium,
            );
        }
        Kind::Joint => pen.dot((0.0, 0.0), 0.8, Ink::Ink),
        Kind::Pump => {
            let (body, mark) = match state {
                State::Filled => (Ink::Ink, Ink::Paper),
                State::Plain => (Ink::Paper, Ink::Ink),
            };
            pen.circle((0.0, 0.0), PUMP_MM, body);
            let points = pen.points(&[(-1.8, -3.0), (PUMP_MM - 0.3, 0.0), (-1.8, 3.0)]);
            pen.drawing.line(points, Stroke::Medium, mark, pen.path);
        }
        Kind::Valve(kind) => valve(&mut pen, kind, state),
        Kind::Vessel(_) | Kind::Tank(_) => {}
    }
}

/// A hole in a pipe: a stub that is open to the air.
fn vent(pen: &mut Pen<'_>) {
    let y = VENT_MM.1;
    pen.line(&[(0.0, 0.0), (0.0, -y + 1.4)], Stroke::Medium);
    pen.circle((0.0, -y + 0.9), 0.7, Ink::Paper);
}

/// The two triangles of a valve, with what tells its kind; filled where it is closed.
fn valve(pen: &mut Pen<'_>, kind: Valve, state: State) {
    let (x, y) = VALVE_MM;
    let body = match state {
        State::Filled => Ink::Ink,
        State::Plain => Ink::Paper,
    };
    let bow = |pen: &mut Pen<'_>| {
        // Two triangles that meet in the middle; one outline runs round both.
        pen.area(&[(-x, -y), (0.0, 0.0), (-x, y)], body);
        pen.area(&[(x, -y), (0.0, 0.0), (x, y)], body);
        pen.line(&[(-x, -y), (x, y), (x, -y), (-x, y), (-x, -y)], Stroke::Medium);
    };
    let flaps = |pen: &mut Pen<'_>, ink: Ink| {
        pen.area(&[(-x, -y), (x, -y), (x, y), (-x, y)], ink);
        pen.line(&[(-x, -y), (-x, y)], Stroke::Medium);
        pen.line(&[(x, -y), (x, y)], Stroke::Medium);
    };
    match kind {
        Valve::Ball | Valve::NarrowBall => {
            bow(pen);
            let radius = if kind == Valve::Ball { 1.1 } else { 0.75 };
            pen.circle((0.0, 0.0), radius, body);
        }
        Valve::Gate => {
            bow(pen);
            pen.line(&[(0.0, -y), (0.0, y)], Stroke::Medium);
        }
        Valve::Globe => {
            bow(pen);
            pen.dot((0.0, 0.0), 0.85, Ink::Ink);
        }
        Valve::Needle => {
            bow(pen);
            pen.line(&[(0.0, 0.0), (0.0, -3.8)], Stroke::Medium);
            pen.area(&[(0.0, -0.1), (-0.8, -1.9), (0.8, -1.9)], Ink::Ink);
        }
        Valve::Diaphragm => {
            bow(pen);
            pen.line(&[(0.0, 0.0), (0.0, -1.8)], Stroke::Medium);
            pen.line(
                &[
                    (-2.2, -1.8),
                    (-1.9, -2.9),
                    (-1.0, -3.6),
                    (0.0, -3.8),
                    (1.0, -3.6),
                    (1.9, -2.9),
                    (2.2, -1.8),
                ],
                Stroke::Medium,
            );
            pen.line(&[(-2.2, -1.8), (2.2, -1.8)], Stroke::Medium);
        }
        Valve::Butterfly => {
            flaps(pen, body);
            pen.line(&[(-x, -y), (x, y)], Stroke::Medium);
            if state == State::Filled {
                pen.line(&[(-x, -y), (x, -y), (x, y), (-x, y)], Stroke::Medium);
            }
            pen.dot((0.0, 0.0), 0.8, Ink::Ink);
        }
        Valve::SwingCheck => {
            flaps(pen, Ink::Paper);
            pen.line(&[(-x, -y), (x, y)], Stroke::Medium);
            pen.dot((-x + 0.5, -y + 0.2), 0.5, Ink::Ink);
        }
        Valve::SpringCheck => {
            flaps(pen, Ink::Paper);
            pen.line(&[(-x, -y), (x, y)], Stroke::Medium);
            pen.dot((-x + 0.5, -y + 0.2), 0.5, Ink::Ink);
            // The spring that presses the flap.
            pen.line(
                &[
                    (x, -1.0),
                    (x - 0.5, -0.4),
                    (x - 1.0, -1.3),
                    (x - 1.5, -0.4),
                    (x - 2.0, -1.3),
                    (x - 2.4, -0.3),
                ],
                Stroke::Hair,
            );
        }
        Valve::Solenoid => {
            bow(pen);
            pen.line(&[(0.0, 0.0), (0.0, -3.4)], Stroke::Medium);
            pen.outline(
                &[(-1.8, -6.4), (1.8, -6.4), (1.8, -3.4), (-1.8, -3.4)],
                Ink::Paper,
            );
            pen.line(&[(-1.8, -3.4), (1.8, -6.4)], Stroke::Medium);
        }
        Valve::Float => {
            bow(pen);
            pen.line(&[(0.0, 0.0), (0.0, -3.8)], Stroke::Medium);
            pen.circle((0.0, -5.1), 1.3, Ink::Paper);
            pen.line(&[(-1.3, -5.1), (1.3, -5.1)], Stroke::Hair);
        }
    }
}

/// Tint of what holds water, and its free surface, so far below its rim.
pub(super) const SURFACE_MM: f64 = 4.8;

/// The water in a vessel or a tank; its lines are drawn over it.
pub(super) fn water(drawing: &mut Drawing, layout: &Layout, node: usize) {
    let own = &layout.graph.nodes[node];
    let salt = match own.kind {
        Kind::Vessel(water) | Kind::Tank(water) => water == Water::Salt,
        _ => return,
    };
    let [left, right] = sides(layout, node);
    let (top, foot) = layout.bodies[node];
    let surface = top + SURFACE_MM;
    let body = vec![
        at(left, surface),
        at(right, surface),
        at(right, foot),
        at(left, foot),
    ];
    drawing.area(body.clone(), Ink::Fresh, 1.0, &own.path);
    if salt {
        drawing.area(body, Ink::Sea, 1.0, &own.path);
    }
    drawing.line(
        vec![at(left, surface), at(right, surface)],
        Stroke::Hair,
        Ink::Second,
        &own.path,
    );
}

/// The body: open above, where lines pour in.
pub(super) fn body(drawing: &mut Drawing, layout: &Layout, node: usize) {
    let [left, right] = sides(layout, node);
    let (top, foot) = layout.bodies[node];
    drawing.line(
        vec![at(left, top), at(left, foot), at(right, foot), at(right, top)],
        Stroke::Heavy,
        Ink::Ink,
        &layout.graph.nodes[node].path,
    );
}
