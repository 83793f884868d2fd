//! Tables as strips: a head that is drawn again, rows that stay whole, columns as wide as their words.

use std::rc::Rc;

use super::Strip;
use crate::drawing::{Anchor, Drawing, Ink, Stroke, TextStyle, at};
use crate::words::lines;

/// Where the words of a column stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Align {
    /// To the left.
    Left,
    /// To the right, as figures do.
    Right,
}

/// A column.
#[derive(Debug, Clone)]
pub(crate) struct Column {
    pub(crate) head: String,
    pub(crate) align: Align,
    pub(crate) style: TextStyle,
}

/// Between two columns.
const GAP_MM: f64 = 4.0;
/// White above and below the words of a row.
const PAD_MM: f64 = 0.9;
const LEADING: f64 = 1.25;
/// What a column may be wider than its words.
const MOST_SLACK_MM: f64 = 9.0;

/// A table over a width: head, rows, hairlines between.
pub(crate) fn table(
    columns: &[Column],
    head: TextStyle,
    rows: &[Vec<String>],
    width_mm: f64,
    before_mm: f64,
) -> Vec<Strip> {
    let widths = widths(columns, head, rows, width_mm);
    let mut strips = Vec::new();
    let heads: Vec<String> = columns.iter().map(|column| column.head.clone()).collect();
    let headed = heads.iter().any(|head| !head.is_empty());
    let top = headed.then(|| {
        let styles: Vec<TextStyle> = columns.iter().map(|_| head).collect();
        Rc::new(row(columns, &styles, &heads, &widths, width_mm, Ink::Second))
    });
    if let Some(top) = &top {
        strips.push(Strip {
            sticks: true,
            ..Strip::new((**top).clone(), before_mm)
        });
    }
    let styles: Vec<TextStyle> = columns.iter().map(|column| column.style).collect();
    for (at_row, cells) in rows.iter().enumerate() {
        let first = at_row == 0;
        strips.push(Strip {
            head: top.clone(),
            // Neither the first nor the last row stands alone.
            sticks: rows.len() > 1 && (first || at_row + 2 == rows.len()),
            ..Strip::new(
                row(columns, &styles, cells, &widths, width_mm, Ink::Hair),
                if first && top.is_none() { before_mm } else { 0.0 },
            )
        });
    }
    strips
}

/// One row with the line below it.
fn row(
    columns: &[Column],
    styles: &[TextStyle],
    cells: &[String],
    widths: &[f64],
    width_mm: f64,
    ink: Ink,
) -> Drawing {
    let broken: Vec<Vec<String>> = cells
        .iter()
        .zip(widths)
        .zip(styles)
        .map(|((cell, width), style)| lines(cell, *width, *style))
        .collect();
    let count = broken.iter().map(Vec::len).max().unwrap_or(1);
    let size_mm = styles.iter().map(|style| style.size_mm).fold(0.0, f64::max);
    let leading_mm = LEADING * size_mm;
    let height_mm = count as f64 * leading_mm + 2.0 * PAD_MM;
    let mut drawing = Drawing::new("", width_mm, height_mm);
    let mut left_mm = 0.0;
    for (((column, style), lines), width) in columns.iter().zip(styles).zip(&broken).zip(widths) {
        let (x_mm, anchor) = match column.align {
            Align::Left => (left_mm, Anchor::Start),
            Align::Right => (left_mm + width, Anchor::End),
        };
        for (line, words) in lines.iter().enumerate() {
            if words.is_empty() {
                continue;
            }
            let base_mm = PAD_MM + line as f64 * leading_mm + 0.5 * (leading_mm + style.cap_mm());
            drawing.text(at(x_mm, base_mm), anchor, words, *style, "");
        }
        left_mm += width + GAP_MM;
    }
    drawing.line(
        vec![at(0.0, height_mm), at(width_mm, height_mm)],
        Stroke::Hair,
        ink,
        "",
    );
    drawing
}

/// Columns as wide as their cells and their heads in two lines, where there is room, with what is left over between
/// them; else the wide ones share what the narrow ones leave.
fn widths(columns: &[Column], head: TextStyle, rows: &[Vec<String>], width_mm: f64) -> Vec<f64> {
    let wanted: Vec<f64> = columns
        .iter()
        .enumerate()
        .map(|(at, column)| {
            let cells = rows.iter().filter_map(|row| row.get(at));
            let widest = cells.map(|cell| column.style.width_mm(cell)).fold(0.0, f64::max);
            widest.max(in_two_lines(&column.head, head)) + 0.01
        })
        .collect();
    let room_mm = width_mm - GAP_MM * (columns.len() as f64 - 1.0);
    let all: f64 = wanted.iter().sum();
    if all <= room_mm {
        // Not more than the eye follows along a row: the rest stays white.
        let each = ((room_mm - all) / columns.len() as f64).min(MOST_SLACK_MM);
        return wanted.into_iter().map(|width| width + each).collect();
    }
    // The widest are cut to one measure until all fit.
    let mut order: Vec<f64> = wanted.clone();
    order.sort_by(f64::total_cmp);
    let mut rest_mm = room_mm;
    let mut left = order.len();
    let mut most = room_mm;
    for width in order {
        let share = rest_mm / left as f64;
        if width > share {
            most = share;
            break;
        }
        rest_mm -= width;
        left -= 1;
    }
    wanted.into_iter().map(|width| width.min(most)).collect()
}

/// The least width at which a head takes two lines at the most.
fn in_two_lines(text: &str, style: TextStyle) -> f64 {
    let glued = crate::words::glued(text);
    let words: Vec<&str> = glued.split(' ').collect();
    let whole = |words: &[&str]| style.width_mm(&words.join(" "));
    (1..=words.len())
        .map(|at| whole(&words[..at]).max(whole(&words[at..])))
        .fold(f64::INFINITY, f64::min)
}
