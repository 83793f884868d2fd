//! Blocks as strips: a heading, a paragraph, a drawing, a rule.

use super::Strip;
use crate::drawing::{Anchor, Drawing, Ink, Stroke, TextStyle, at};
use crate::words::lines;

/// From one line of a paragraph to the next, over the size of its type.
const LEADING: f64 = 1.4;

/// A heading; it stays with what it heads, and has a bookmark where it is told to.
pub(crate) fn heading(
    text: &str,
    style: TextStyle,
    width_mm: f64,
    before_mm: f64,
    bookmark: bool,
) -> Vec<Strip> {
    let mut strips = sticking(paragraph(text, style, 0.0, width_mm, before_mm));
    if let Some(first) = strips.first_mut().filter(|_| bookmark) {
        first.bookmark = Some(text.to_owned());
    }
    strips
}

/// Strips that stay with what follows them.
pub(crate) fn sticking(mut strips: Vec<Strip>) -> Vec<Strip> {
    for strip in &mut strips {
        strip.sticks = true;
    }
    strips
}

/// A paragraph, indented by some; a strip a line.
pub(crate) fn paragraph(
    text: &str,
    style: TextStyle,
    indent_mm: f64,
    width_mm: f64,
    before_mm: f64,
) -> Vec<Strip> {
    let height_mm = LEADING * style.size_mm;
    // Capitals stand in the middle of their line.
    let base_mm = 0.5 * (height_mm + style.cap_mm());
    let broken = lines(text, width_mm - indent_mm, style);
    let count = broken.len();
    broken
        .iter()
        .enumerate()
        .map(|(line, words)| {
            let mut drawing = Drawing::new("", width_mm, height_mm);
            drawing.text(at(indent_mm, base_mm), Anchor::Start, words, style, "");
            Strip {
                // No single line is left behind, none goes ahead alone.
                sticks: count > 1 && (line == 0 || line + 2 == count),
                ..Strip::new(drawing, if line == 0 { before_mm } else { 0.0 })
            }
        })
        .collect()
}

/// A drawing, in the middle of the width.
pub(crate) fn drawing(drawing: &Drawing, width_mm: f64, before_mm: f64) -> Strip {
    let mut set = Drawing::new(drawing.title.clone(), width_mm, drawing.height_mm);
    set.put(drawing, at(0.5 * (width_mm - drawing.width_mm), 0.0));
    Strip::new(set, before_mm)
}

/// A hairline over the width; it stays with what follows.
pub(crate) fn rule(width_mm: f64, before_mm: f64) -> Strip {
    let mut drawing = Drawing::new("", width_mm, 1.6);
    drawing.line(vec![at(0.0, 0.0), at(width_mm, 0.0)], Stroke::Hair, Ink::Hair, "");
    Strip {
        sticks: true,
        ..Strip::new(drawing, before_mm)
    }
}
