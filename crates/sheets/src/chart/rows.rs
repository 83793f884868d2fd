//! Charts of rows: each thing with its name and its figures in a line of their own, its bar below, so that any width has
//! room for both.

use super::{
    HEAD_MM, LABEL, LABEL_MM, MARGIN_MM, QUIET, QUIET_LINE_MM, TITLE, TITLE_LINE_MM, heads, more_mm,
};
use crate::drawing::{Anchor, Drawing, EDGE_MM, Ink, Stroke, at};
use crate::words::lines;

/// Height of a bar.
const BAR_MM: f64 = 3.8;
/// From the line of words to the bar, and from the bar to the next row.
const GAP_MM: f64 = 1.6;
const APART_MM: f64 = 3.4;
/// Between a name and the figures at its right.
const GUTTER_MM: f64 = 4.0;

/// A chart of rows in the making.
pub(super) struct Rows {
    pub(super) drawing: Drawing,
    pub(super) left_mm: f64,
    pub(super) right_mm: f64,
    rows: Vec<Row>,
}

/// A row in its place.
struct Row {
    top_mm: f64,
    name: Vec<String>,
    figures: String,
}

impl Row {
    /// Upper edge of its bar.
    fn bar_mm(&self) -> f64 {
        self.top_mm + LABEL_MM + more_mm(&self.name, QUIET_LINE_MM) + GAP_MM
    }

    /// Where the next row begins.
    fn end_mm(&self) -> f64 {
        self.bar_mm() + BAR_MM + APART_MM
    }
}

impl Rows {
    /// Paper for rows of a name and its figures, with a title, what is said below it, and room for a line of ticks at the
    /// foot. A name that is longer than the room beside its figures goes on below.
    pub(super) fn new(
        title: &str,
        remark: &str,
        width_mm: f64,
        named: &[(String, String)],
        foot: bool,
    ) -> Self {
        let left_mm = MARGIN_MM.max(EDGE_MM);
        let right_mm = width_mm - left_mm;
        let room_mm = right_mm - left_mm;
        let (heading, said) = (lines(title, room_mm, TITLE), lines(remark, room_mm, QUIET));
        let said_mm = MARGIN_MM + HEAD_MM + LABEL_MM + more_mm(&heading, TITLE_LINE_MM);
        let first_mm = said_mm + more_mm(&said, QUIET_LINE_MM);
        let foot_mm = if foot { LABEL_MM + 2.0 * GAP_MM } else { 0.0 };
        let mut rows: Vec<Row> = Vec::new();
        for (name, figures) in named {
            rows.push(Row {
                top_mm: rows.last().map_or(first_mm, Row::end_mm),
                name: lines(name, room_mm - LABEL.width_mm(figures) - GUTTER_MM, LABEL),
                figures: figures.clone(),
            });
        }
        let height_mm = rows.last().map_or(first_mm, Row::end_mm) + foot_mm + MARGIN_MM;
        let mut drawing = Drawing::new(title, width_mm, height_mm);
        heads(&mut drawing, &heading, left_mm);
        for (row, line) in said.iter().enumerate() {
            let base_mm = said_mm - 4.0 + row as f64 * QUIET_LINE_MM;
            drawing.text(at(left_mm, base_mm), Anchor::Start, line, QUIET, "");
        }
        Self {
            drawing,
            left_mm,
            right_mm,
            rows,
        }
    }

    /// Upper and lower edge of a row's bar.
    pub(super) fn bar(&self, row: usize) -> [f64; 2] {
        let above = self.rows[row].bar_mm();
        [above, above + BAR_MM]
    }

    /// At a share of the width.
    pub(super) fn along(&self, share: f64) -> f64 {
        self.left_mm + share.clamp(0.0, 1.0) * (self.right_mm - self.left_mm)
    }

    /// A row's words.
    pub(super) fn words(&mut self, row: usize, path: &str) {
        let Row {
            top_mm,
            name,
            figures,
        } = &self.rows[row];
        let base_mm = top_mm + LABEL.cap_mm();
        for (line, words) in name.iter().enumerate() {
            let place = at(self.left_mm, base_mm + line as f64 * QUIET_LINE_MM);
            self.drawing.text(place, Anchor::Start, words, LABEL, path);
        }
        self.drawing
            .text(at(self.right_mm, base_mm), Anchor::End, figures, LABEL, path);
    }

    /// A filled part of a row's bar, between shares of the width.
    pub(super) fn part(&mut self, row: usize, [from, to]: [f64; 2], ink: Ink, path: &str) {
        let ([above, below], left, right) = (self.bar(row), self.along(from), self.along(to));
        let corners = vec![
            at(left, above),
            at(right, above),
            at(right, below),
            at(left, below),
        ];
        self.drawing.area(corners.clone(), ink, 1.0, path);
        let outline = corners.iter().copied().chain([corners[0]]).collect();
        self.drawing.line(outline, Stroke::Medium, Ink::Ink, path);
    }

    /// Ticks: a hairline through every bar's band, its words at the foot as far as they don't touch.
    pub(super) fn ticks(&mut self, ticks: &[(f64, String)]) {
        let end_mm = self.rows.last().map_or(0.0, Row::end_mm);
        let base_mm = end_mm - APART_MM + 2.0 * GAP_MM + QUIET.cap_mm();
        let mut free_mm = f64::NEG_INFINITY;
        for (share, text) in ticks {
            let x_mm = self.along(*share);
            for row in 0..self.rows.len() {
                let [above, below] = self.bar(row);
                let ends = vec![at(x_mm, above), at(x_mm, below)];
                self.drawing.line(ends, Stroke::Hair, Ink::Hair, "");
            }
            let width_mm = QUIET.width_mm(text);
            let start_mm = (x_mm - 0.5 * width_mm).clamp(self.left_mm, self.right_mm - width_mm);
            if start_mm < free_mm {
                continue;
            }
            self.drawing
                .text(at(start_mm, base_mm), Anchor::Start, text, QUIET, "");
            free_mm = start_mm + width_mm + 3.0;
        }
    }
}

/// Rows in words, for who can't see them.
pub(super) fn told(named: &[(String, String)]) -> String {
    let rows: Vec<String> = named
        .iter()
        .map(|(name, figures)| format!("{name}: {figures}"))
        .collect();
    format!("{}.", rows.join("; "))
}
