//! What every drawing must be: no text on another, on a line of an object or a curve, or off its paper.

use sheets::{Bounds, Drawing, EDGE_MM, Ink, Point, Shape, Stroke};

/// Panics with the first text that can't be read.
#[track_caller]
pub(crate) fn legible(drawing: &Drawing, what: &str) {
    let texts = drawing.text_bounds();
    for (at, (bounds, text)) in texts.iter().enumerate() {
        assert!(
            bounds.left_mm >= EDGE_MM - 0.01
                && bounds.top_mm >= -0.01
                && bounds.right_mm <= drawing.width_mm - EDGE_MM + 0.01
                && bounds.bottom_mm <= drawing.height_mm + 0.01,
            "{what}: {text} leaves the paper: {bounds:?} of {}",
            drawing.width_mm
        );
        for (other, words) in &texts[at + 1..] {
            assert!(!bounds.overlaps(other), "{what}: {text} lies on {words}");
        }
    }
    for (at, item) in drawing.items.iter().enumerate() {
        let Shape::Line { points, stroke, .. } = &item.shape else {
            continue;
        };
        for pair in points.windows(2) {
            for (bounds, text) in &texts {
                assert!(
                    !crosses(bounds, pair[0], pair[1])
                        || *stroke == Stroke::Hair && patched(drawing, at, bounds),
                    "{what}: a line of {} runs through {text}",
                    item.path
                );
            }
        }
    }
}

/// Whether a patch of paper over a hairline keeps it from a text.
fn patched(drawing: &Drawing, line: usize, bounds: &Bounds) -> bool {
    drawing.items[line..].iter().any(|item| match &item.shape {
        Shape::Area {
            points,
            ink: Ink::Paper,
            ..
        } => {
            let low = |of: fn(&Point) -> f64| points.iter().map(of).fold(f64::INFINITY, f64::min);
            let high = |of: fn(&Point) -> f64| points.iter().map(of).fold(f64::NEG_INFINITY, f64::max);
            low(|p| p.x_mm) <= bounds.left_mm
                && high(|p| p.x_mm) >= bounds.right_mm
                && low(|p| p.y_mm) <= bounds.top_mm
                && high(|p| p.y_mm) >= bounds.bottom_mm - 1e-9
        }
        _ => false,
    })
}

/// Whether a line runs through a box, by clipping it to the box's sides (Liang and Barsky 1984; from memory).
fn crosses(bounds: &Bounds, from: Point, to: Point) -> bool {
    let (dx, dy) = (to.x_mm - from.x_mm, to.y_mm - from.y_mm);
    let mut span = (0.0_f64, 1.0_f64);
    for (step, room) in [
        (-dx, from.x_mm - bounds.left_mm),
        (dx, bounds.right_mm - from.x_mm),
        (-dy, from.y_mm - bounds.top_mm),
        (dy, bounds.bottom_mm - from.y_mm),
    ] {
        if step == 0.0 {
            if room < 0.0 {
                return false;
            }
        } else if step < 0.0 {
            span.0 = span.0.max(room / step);
        } else {
            span.1 = span.1.min(room / step);
        }
    }
    span.0 < span.1 - 1e-9
}
