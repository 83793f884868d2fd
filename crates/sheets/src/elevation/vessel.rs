//! One vessel, drawn: platform, body, water, marks with their leaders, dimension lines.

use station::Station;
use station::quantity::format_tape;

use super::cell::{Cell, HEAD_MM, LEADER_MM};
use super::{LABEL, LABEL_MM, NAME, QUIET};
use crate::drawing::{Anchor, Drawing, Ink, Map, Point, Shape, Stroke, at};
use crate::font::descent_mm;
use crate::label::spread;

/// The salinity at which the tint of sea water is full: that of the open ocean (house rule).
const FULL_TINT: f64 = 35.0;

pub(super) fn draw(drawing: &mut Drawing, station: &Station, cell: &Cell, map: &Map) {
    let path = format!("vessels.{}", cell.name);
    let body_m = cell.body_mm / map.mm_per_m;
    let middle_m = body_m / 2.0;
    let point =
        |half_m: f64, level_m: f64, side: f64| map.to_paper(middle_m + side * half_m, cell.floor_m + level_m);
    platform(drawing, cell, map, middle_m, &path);
    water(drawing, cell, &point, &path);

    body(drawing, cell, &point, &path);
    name(drawing, cell, map, &path);
    marks(drawing, cell, map, &point);
    height(drawing, station, cell, map);
    width(drawing, cell, map, middle_m);
}

/// What the vessel stands on, where it doesn't stand on the floor.
fn platform(drawing: &mut Drawing, cell: &Cell, map: &Map, middle_m: f64, path: &str) {
    if cell.floor_m * map.mm_per_m < 1.0 {
        return;
    }
    let half = cell.outline.iter().map(|(_, half)| *half).fold(0.0, f64::max);
    let (left, right) = (
        map.to_paper(middle_m - half, cell.floor_m),
        map.to_paper(middle_m + half, cell.floor_m),
    );
    let floor = map.origin.y_mm;
    let path = format!("{path}.floor_height");
    drawing.line(
        vec![at(left.x_mm, floor), left, right, at(right.x_mm, floor)],
        Stroke::Medium,
        Ink::Second,
        &path,
    );
    drawing.line(vec![left, at(right.x_mm, floor)], Stroke::Hair, Ink::Hair, &path);
    drawing.line(vec![right, at(left.x_mm, floor)], Stroke::Hair, Ink::Hair, &path);
}

/// The body: up one side, down the other, open at the rim.
pub(crate) fn body(drawing: &mut Drawing, cell: &Cell, point: &impl Fn(f64, f64, f64) -> Point, path: &str) {
    let left = cell
        .outline
        .iter()
        .rev()
        .map(|(level, half)| point(*half, *level, -1.0));
    let right = cell.outline.iter().map(|(level, half)| point(*half, *level, 1.0));
    drawing.line(left.chain(right).collect(), Stroke::Heavy, Ink::Ink, path);
}

/// What stands in it, with its free surface.
pub(crate) fn water(drawing: &mut Drawing, cell: &Cell, point: &impl Fn(f64, f64, f64) -> Point, path: &str) {
    let half_at = |level: f64| half_width(&cell.outline, level);
    let mut below: Vec<(f64, f64)> = cell
        .outline
        .iter()
        .copied()
        .filter(|(level, _)| *level < cell.water_m)
        .collect();
    below.push((cell.water_m, half_at(cell.water_m)));
    let left = below.iter().rev().map(|(level, half)| point(*half, *level, -1.0));
    let right = below.iter().map(|(level, half)| point(*half, *level, 1.0));
    // One scale of tints: fresh water's own, and sea water over it by its share of a salinity of 35.
    let body: Vec<Point> = left.chain(right).collect();
    drawing.area(body.clone(), Ink::Fresh, 1.0, path);
    if cell.salinity > 0.0 {
        drawing.area(body, Ink::Sea, (cell.salinity / FULL_TINT).min(1.0), path);
    }
    // The free surface, marked as on any section: a triangle standing on it.
    let half = half_at(cell.water_m);
    let (from, to) = (point(half, cell.water_m, -1.0), point(half, cell.water_m, 1.0));
    drawing.line(vec![from, to], Stroke::Hair, Ink::Second, path);
    let tip = at(from.x_mm + 0.25 * (to.x_mm - from.x_mm), from.y_mm);
    drawing.push(
        Shape::Line {
            points: vec![
                tip,
                at(tip.x_mm - 1.2, tip.y_mm - 2.0),
                at(tip.x_mm + 1.2, tip.y_mm - 2.0),
                tip,
            ],
            stroke: Stroke::Hair,
            ink: Ink::Second,
            dashed: false,
        },
        path,
    );
}

/// Half of the width at a level, between the points of the outline.
pub(crate) fn half_width(outline: &[(f64, f64)], level_m: f64) -> f64 {
    outline
        .windows(2)
        .find(|pair| (pair[0].0..=pair[1].0).contains(&level_m))
        .map_or_else(
            || outline.last().map_or(0.0, |(_, half)| *half),
            |pair| {
                let share = (level_m - pair[0].0) / (pair[1].0 - pair[0].0);
                pair[0].1 + share * (pair[1].1 - pair[0].1)
            },
        )
}

/// The name above the body; above the labels too where it is wider than the body, so that no leader meets it.
fn name(drawing: &mut Drawing, cell: &Cell, map: &Map, path: &str) {
    let top = map.origin.y_mm - cell.above_mm + HEAD_MM - 5.0;
    let rim = map.to_paper(0.0, cell.floor_m + cell.height_m).y_mm - 3.0;
    let base = match NAME.width_mm(&cell.shown) > cell.body_mm {
        true => top,
        false => rim.max(top),
    };
    drawing.text(at(map.origin.x_mm, base), Anchor::Start, &cell.shown, NAME, path);
}

/// Each mark a tick on the wall, a leader that bends, and its label in the column.
fn marks(drawing: &mut Drawing, cell: &Cell, map: &Map, point: &impl Fn(f64, f64, f64) -> Point) {
    let wall_mm = map.origin.x_mm + cell.body_mm;
    let column_mm = wall_mm + LEADER_MM;
    let wanted: Vec<f64> = cell
        .labels
        .iter()
        .map(|label| map.to_paper(0.0, cell.floor_m + label.level_m).y_mm + 0.5 * LABEL.cap_mm())
        .collect();
    let from = map.origin.y_mm - cell.above_mm + HEAD_MM + LABEL.cap_mm();
    // Letters that reach below their line stay off the floor.
    let foot = map.origin.y_mm - descent_mm(LABEL_MM, LABEL.face) - 0.4;
    let places = spread(&wanted, &cell.apart_mm, from, foot);
    for (label, base_mm) in cell.labels.iter().zip(places) {
        let half = half_width(&cell.outline, label.level_m);
        let (left, right) = (point(half, label.level_m, -1.0), point(half, label.level_m, 1.0));
        drawing.push(
            Shape::Line {
                points: vec![left, right],
                stroke: Stroke::Hair,
                ink: Ink::Second,
                dashed: true,
            },
            &label.path,
        );
        let label_mm = base_mm - 0.5 * LABEL.cap_mm();
        drawing.line(
            vec![
                right,
                at(wall_mm + 1.0, right.y_mm),
                at(column_mm - 2.5, label_mm),
                at(column_mm - 0.8, label_mm),
            ],
            Stroke::Hair,
            Ink::Second,
            &label.path,
        );
        drawing.text(
            at(column_mm, base_mm),
            Anchor::Start,
            &label.text,
            LABEL,
            &label.path,
        );
    }
}

/// The height, to the left.
fn height(drawing: &mut Drawing, station: &Station, cell: &Cell, map: &Map) {
    let x = map.origin.x_mm - 3.5;
    let (foot, rim) = (
        map.to_paper(0.0, cell.floor_m).y_mm,
        map.to_paper(0.0, cell.floor_m + cell.height_m).y_mm,
    );
    let path = format!("vessels.{}.height", cell.name);
    dimension(drawing, &[at(x, foot), at(x, rim)], &path);
    let text = figure(station, cell.height_m);
    // The figure stands to the left of its line, upright, so that a phone reads it too.
    // Of a low vessel near the floor it stands above the floor's line.
    let lowest = map.origin.y_mm - descent_mm(LABEL_MM, QUIET.face) - 0.4;
    drawing.text(
        at(x - 1.0, (0.5 * (foot + rim) + 0.5 * QUIET.cap_mm()).min(lowest)),
        Anchor::End,
        &text,
        QUIET,
        &path,
    );
    if cell.floor_m * map.mm_per_m >= 1.6 * LABEL_MM {
        let floor = map.origin.y_mm;
        let path = format!("vessels.{}.floor_height", cell.name);
        dimension(drawing, &[at(x, floor), at(x, foot)], &path);
        drawing.text(
            at(x - 1.0, 0.5 * (foot + floor) + 0.5 * QUIET.cap_mm()),
            Anchor::End,
            &figure(station, cell.floor_m),
            QUIET,
            &path,
        );
    }
}

/// The width at the rim, below the floor.
fn width(drawing: &mut Drawing, cell: &Cell, map: &Map, middle_m: f64) {
    let Some((_, half)) = cell.outline.last() else {
        return;
    };
    let y = map.origin.y_mm + 5.0;
    let (left, right) = (
        map.to_paper(middle_m - half, 0.0).x_mm,
        map.to_paper(middle_m + half, 0.0).x_mm,
    );
    let path = format!("vessels.{}", cell.name);
    dimension(drawing, &[at(left, y), at(right, y)], &path);
    drawing.text(
        at(0.5 * (left + right), y + 1.4 * LABEL_MM),
        Anchor::Middle,
        &cell.across,
        QUIET,
        &path,
    );
}

/// A dimension line with a slanting stroke at each end.
fn dimension(drawing: &mut Drawing, ends: &[Point; 2], path: &str) {
    drawing.line(ends.to_vec(), Stroke::Hair, Ink::Second, path);
    for end in ends {
        drawing.line(
            vec![
                at(end.x_mm - 0.8, end.y_mm + 0.8),
                at(end.x_mm + 0.8, end.y_mm - 0.8),
            ],
            Stroke::Medium,
            Ink::Second,
            path,
        );
    }
}

/// A dimension's figure, without its unit, which the title block names.
pub(crate) fn figure(station: &Station, length_m: f64) -> String {
    let text = format_tape(length_m, station.units());
    text.trim_end_matches(" mm").trim_end_matches(" in").to_owned()
}
