//! What a year costs, item by item, as bars that carry their own figures.

use proof::{CostItem, Over, Year};
use station::Station;
use station::quantity::{Kind, format_interval};

use super::{HEAD_MM, LABEL, LABEL_MM, MARGIN_MM, QUIET, TITLE};
use crate::drawing::{Anchor, Drawing, EDGE_MM, Ink, Stroke, at};

/// From one bar to the next.
const ROW_MM: f64 = 7.6;
/// Height of a bar, and of the caps at the ends of its band.
const BAR_MM: f64 = 3.8;
const CAP_MM: f64 = 2.0;
/// Between a bar and its words.
const GAP_MM: f64 = 2.0;

/// A bar for each item, dearest first, with the band of nine years in ten; `None` where nothing is priced.
pub fn cost_by_item(station: &Station, year: &Year, width_mm: f64) -> Option<Drawing> {
    let items = &year.cost.items;
    let most = items
        .iter()
        .map(|item| item.cost.p95.max(item.cost.mean))
        .fold(0.0, f64::max);
    if most <= 0.0 {
        return None;
    }
    let said: Vec<[String; 2]> = items.iter().map(|item| words(station, item)).collect();
    let widest = |at: usize| {
        said.iter()
            .map(|words| LABEL.width_mm(&words[at]))
            .fold(0.0, f64::max)
    };
    let left_mm = MARGIN_MM + widest(0) + GAP_MM;
    let right_mm = width_mm - EDGE_MM.max(MARGIN_MM) - widest(1) - GAP_MM;
    let top_mm = MARGIN_MM + HEAD_MM + LABEL_MM;
    let height_mm = top_mm + ROW_MM * items.len() as f64 + MARGIN_MM;
    let total = said_of(station, &year.cost.total);
    let title = &format!("A year costs {total}");
    let mut drawing = Drawing::new(title, width_mm, height_mm);
    drawing.text(
        at(MARGIN_MM, MARGIN_MM + TITLE.cap_mm()),
        Anchor::Start,
        title,
        TITLE,
        "",
    );
    let remark = crate::elevation::fitted(
        "the thin line: nine years in ten",
        width_mm - 2.0 * MARGIN_MM,
        QUIET,
    );
    drawing.text(at(MARGIN_MM, top_mm - 3.0), Anchor::Start, &remark, QUIET, "");
    let along = |cost: f64| left_mm + (cost / most) * (right_mm - left_mm);
    for (row, (item, [name, amount])) in items.iter().zip(&said).enumerate() {
        let middle_mm = top_mm + ROW_MM * (row as f64 + 0.5);
        let base_mm = middle_mm + 0.5 * LABEL.cap_mm();
        let end_mm = along(item.cost.mean);
        let (above, below) = (middle_mm - 0.5 * BAR_MM, middle_mm + 0.5 * BAR_MM);
        drawing.area(
            vec![
                at(left_mm, above),
                at(end_mm, above),
                at(end_mm, below),
                at(left_mm, below),
            ],
            Ink::Hair,
            0.55,
            item.item,
        );
        drawing.line(
            vec![at(end_mm, above), at(end_mm, below)],
            Stroke::Heavy,
            Ink::Ink,
            item.item,
        );
        let ends = [along(item.cost.p05), along(item.cost.p95)];
        drawing.line(
            vec![at(ends[0], middle_mm), at(ends[1], middle_mm)],
            Stroke::Hair,
            Ink::Ink,
            item.item,
        );
        for end in ends {
            drawing.line(
                vec![
                    at(end, middle_mm - 0.5 * CAP_MM),
                    at(end, middle_mm + 0.5 * CAP_MM),
                ],
                Stroke::Hair,
                Ink::Ink,
                item.item,
            );
        }
        drawing.text(at(left_mm - GAP_MM, base_mm), Anchor::End, name, LABEL, item.item);
        drawing.text(
            at(ends[1].max(end_mm) + GAP_MM, base_mm),
            Anchor::Start,
            amount,
            LABEL,
            item.item,
        );
    }
    let foot_mm = top_mm + ROW_MM * items.len() as f64;
    drawing.line(
        vec![at(left_mm, top_mm), at(left_mm, foot_mm)],
        Stroke::Medium,
        Ink::Ink,
        "",
    );
    let told: Vec<String> = said
        .iter()
        .map(|[name, amount]| format!("{name} {amount}"))
        .collect();
    drawing.description = format!("Dearest first: {}.", told.join(", "));
    Some(drawing)
}

/// What an item is called, and what it costs to the digits that its years leave.
fn words(station: &Station, item: &CostItem) -> [String; 2] {
    [item_in_words(item.item).to_owned(), said_of(station, &item.cost)]
}

/// An item of the costs as people call it.
pub fn item_in_words(item: &'static str) -> &'static str {
    match item {
        "work" => "people's time",
        other => other,
    }
}

/// A year's cost is told no finer than this share of it, though it were the same in every year (house rule).
const FINEST_OF_COST: f64 = 0.005;

/// What the last digit of a cost stands for, by what its years leave.
pub(crate) fn half_of_cost(cost: &Over) -> f64 {
    ((cost.p95 - cost.p05) / 2.0)
        .min(cost.mean / 4.0)
        .max(FINEST_OF_COST * cost.mean)
}

/// A cost to the digits that its years leave.
pub(crate) fn said_of(station: &Station, cost: &Over) -> String {
    let half = half_of_cost(cost);
    let shown = format_interval(
        Kind::Money,
        cost.mean,
        Some(half),
        station.units(),
        &station.currency(),
    );
    shown.value_with_unit()
}
