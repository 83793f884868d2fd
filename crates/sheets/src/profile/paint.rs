//! The profile on paper: floor and heights, vessels with their water, pipes with their valves, what they end at, names.

use station::Station;
use station::quantity::{UnitSystem, format_tape};

use super::area::{Area, drops, stretches};
use super::names::{LINE, Named};
use super::order::Places;
use super::parts::{BELOW_TAP_MM, Join, PURIFIER_MM, Parts, SPOUT_MM, Stand, Thing};
use super::ways::Way;
use super::{AXIS_MM, Laid};
use crate::drawing::{Anchor, Drawing, Ink, Map, Point, Shape, Stroke, at};
use crate::elevation::cell::Cell;
use crate::elevation::vessel::{body, figure, water};
use crate::elevation::{MARGIN_MM, NAME, QUIET, TITLE_MM, draw_floor, fitted};
use crate::schematic::grid::Heading;
use crate::schematic::symbols::{Turn, pump_at, valve_at};

/// Below the floor: its hatching.
const BELOW_MM: f64 = 6.0;
/// Radius of a tee, and of a hole in a pipe.
pub(super) const TEE_MM: f64 = 0.8;
const HOLE_MM: f64 = 0.75;
/// Steps of the scale of heights, m: the first that are so far apart on the paper are taken.
const STEPS_SI: [f64; 4] = [0.2, 0.5, 1.0, 2.0];
const STEPS_US: [f64; 4] = [0.1524, 0.3048, 0.6096, 1.524];
const STEP_MM: f64 = 8.0;

/// What valves keep off, besides pipes: the walls of what stands there.
pub(super) fn things(parts: &Parts, places: &Places) -> Vec<Area> {
    let those = parts.stands.iter().zip(&places.middle_mm);
    let mut things: Vec<Area> = those
        .filter_map(|(own, middle)| {
            let upright = match own.thing {
                Thing::Joints => return None,
                Thing::Tank => return Some(tip(own, *middle)),
                Thing::Draw { .. } => (own.low_mm, own.high_mm - BELOW_TAP_MM),
                _ => (own.low_mm, own.high_mm),
            };
            Some(Area {
                across: (middle - own.half_mm, middle + own.half_mm),
                upright,
            })
        })
        .collect();
    things.push(Area {
        across: (f64::NEG_INFINITY, f64::INFINITY),
        upright: (f64::NEG_INFINITY, FLOOR_MM),
    });
    things
}

/// Where a line ends at its tank, with its arrow.
pub(super) fn tip(stand: &Stand, middle_mm: f64) -> Area {
    Area {
        across: (middle_mm - 1.2, middle_mm + 1.2),
        upright: (stand.low_mm, stand.low_mm + 3.2),
    }
}

/// The floor, less what a valve in a low pipe may reach below its line.
const FLOOR_MM: f64 = -1.6;

/// Where on the paper the places are.
struct Paper {
    left_mm: f64,
    floor_mm: f64,
    mm_per_m: f64,
}

impl Paper {
    fn at(&self, (x, y): (f64, f64)) -> Point {
        at(self.left_mm + x, self.floor_mm - y)
    }

    fn all(&self, corners: &[(f64, f64)]) -> Vec<Point> {
        corners.iter().map(|corner| self.at(*corner)).collect()
    }
}

/// The whole.
pub(super) fn painted(
    station: &Station,
    titled: &str,
    (cells, laid): (&[Cell], &Laid),
    width_mm: f64,
) -> Drawing {
    let legend_mm = laid.legend(width_mm - 2.0 * MARGIN_MM).len() as f64 * LEGEND_MM;
    let height_mm = MARGIN_MM + laid.top_mm + BELOW_MM + TITLE_MM + legend_mm + MARGIN_MM;
    let mut drawing = Drawing::new(format!("Pipes of {titled} by height"), width_mm, height_mm);
    let room_mm = width_mm - 2.0 * MARGIN_MM - AXIS_MM;
    let paper = Paper {
        left_mm: MARGIN_MM + AXIS_MM + 0.5 * (room_mm - laid.places.width_mm),
        floor_mm: MARGIN_MM + laid.top_mm,
        mm_per_m: 1000.0 / laid.scale,
    };
    draw_floor(&mut drawing, paper.floor_mm);
    heights(&mut drawing, station, &paper, laid.top_mm);
    let (parts, places) = (&laid.parts, &laid.places);
    vessels(&mut drawing, cells, laid, &paper);
    for (piece, way) in parts.pieces.iter().zip(&laid.ways) {
        drawing.push(
            Shape::Line {
                points: paper.all(&way.corners_mm),
                stroke: Stroke::Medium,
                ink: Ink::Ink,
                dashed: way.strays,
            },
            &piece.path,
        );
        for (from, to) in drops(way) {
            drawing.line(paper.all(&[from, to]), Stroke::Medium, Ink::Ink, &piece.path);
        }
        hole(&mut drawing, &paper, piece.hole.as_ref(), way);
        arrives(&mut drawing, &paper, &piece.ends[1], way);
    }
    for (at, tee) in station.tees.iter().enumerate() {
        let own = |end: &&Join| matches!(end, Join::Joint { tee, .. } if *tee == at);
        let mut ends = parts.pieces.iter().flat_map(|piece| &piece.ends);
        if let Some(Join::Joint { stand, at_mm, .. }) = ends.find(own) {
            let centre = paper.at((places.middle_mm[*stand], *at_mm));
            dot(
                &mut drawing,
                centre,
                TEE_MM,
                Ink::Ink,
                &format!("tees.{}", tee.name),
            );
        }
    }
    for (at, (stand, middle)) in parts.stands.iter().zip(&places.middle_mm).enumerate() {
        match stand.thing {
            Thing::Pump => {
                let centre = paper.at((*middle, 0.5 * (stand.low_mm + stand.high_mm)));
                pump_at(&mut drawing, &stand.path, centre, stand.half_mm, outlet(laid, at));
            }
            Thing::Purifier => purifier(
                &mut drawing,
                &paper,
                (*middle, 0.5 * (stand.low_mm + stand.high_mm)),
            ),
            Thing::Draw {
                container_mm,
                foot_mm,
                ..
            } => {
                let (tap, half) = (stand.high_mm - 0.5, stand.half_mm);
                let mouth = [(*middle, tap), (*middle, tap - SPOUT_MM)];
                drawing.line(paper.all(&mouth), Stroke::Medium, Ink::Ink, &stand.path);
                let (foot, rim, lean) = (foot_mm, foot_mm + container_mm, 0.88 * half);
                let wall = [
                    (middle - half, rim),
                    (middle - lean, foot),
                    (middle + lean, foot),
                    (middle + half, rim),
                ];
                drawing.line(paper.all(&wall), Stroke::Medium, Ink::Ink, &stand.path);
                if foot > 0.0 {
                    for x in [middle - lean, middle + lean] {
                        drawing.line(
                            paper.all(&[(x, foot), (x, 0.0)]),
                            Stroke::Hair,
                            Ink::Second,
                            &stand.path,
                        );
                    }
                }
            }
            Thing::Vessel { .. } | Thing::Tank | Thing::Joints => {}
        }
    }
    for seat in &laid.seats {
        let own = &station.valves[seat.valve];
        let path = format!("valves.{}", own.name);
        valve_at(
            &mut drawing,
            &path,
            paper.at(seat.place_mm),
            own.fields.kind.value,
            seat.turn,
        );
    }
    for name in &laid.labels.names {
        write(&mut drawing, &paper, name);
    }
    title(&mut drawing, station, titled, laid);
    drawing.description = described(station, laid);
    drawing.maps.push(Map {
        origin: at(paper.left_mm, paper.floor_mm),
        mm_per_m: paper.mm_per_m,
    });
    drawing
}

/// A scale of heights at the left, from the floor to the highest thing.
fn heights(drawing: &mut Drawing, station: &Station, paper: &Paper, top_mm: f64) {
    let steps = match station.units() {
        UnitSystem::Si => STEPS_SI,
        UnitSystem::Us => STEPS_US,
    };
    let step_m = steps
        .into_iter()
        .find(|step| step * paper.mm_per_m >= STEP_MM)
        .unwrap_or(steps[3]);
    let x = MARGIN_MM + AXIS_MM - 2.5;
    let count = ((top_mm - 3.0) / (step_m * paper.mm_per_m)).floor() as usize;
    let y = |at: usize| paper.floor_mm - at as f64 * step_m * paper.mm_per_m;
    drawing.line(vec![at(x, y(0)), at(x, y(count))], Stroke::Hair, Ink::Second, "");
    for step in 1..=count {
        drawing.line(
            vec![at(x - 1.2, y(step)), at(x, y(step))],
            Stroke::Hair,
            Ink::Second,
            "",
        );
        let text = figure(station, step as f64 * step_m);
        drawing.text(
            at(x - 2.0, y(step) + 0.5 * QUIET.cap_mm()),
            Anchor::End,
            &text,
            QUIET,
            "",
        );
    }
}

fn vessels(drawing: &mut Drawing, cells: &[Cell], laid: &Laid, paper: &Paper) {
    for (stand, middle) in laid.parts.stands.iter().zip(&laid.places.middle_mm) {
        let Thing::Vessel { cell, .. } = stand.thing else {
            continue;
        };
        let cell = &cells[cell];
        let point = |half_m: f64, level_m: f64, side: f64| {
            paper.at((
                middle + side * half_m * paper.mm_per_m,
                (cell.floor_m + level_m) * paper.mm_per_m,
            ))
        };
        if stand.low_mm > 1.0 {
            let path = format!("{}.floor_height", stand.path);
            let (left, right) = (middle - stand.half_mm, middle + stand.half_mm);
            for x in [left, right] {
                drawing.line(
                    paper.all(&[(x, stand.low_mm), (x, 0.0)]),
                    Stroke::Hair,
                    Ink::Second,
                    &path,
                );
            }
            let top = [(left, stand.low_mm), (right, stand.low_mm)];
            drawing.line(paper.all(&top), Stroke::Hair, Ink::Second, &path);
        }
        water(drawing, cell, &point, &stand.path);
        body(drawing, cell, &point, &stand.path);
    }
}

fn dot(drawing: &mut Drawing, centre: Point, radius_mm: f64, ink: Ink, path: &str) {
    drawing.push(
        Shape::Dot {
            centre,
            radius_mm,
            ink,
        },
        path,
    );
}

/// The hole that breaks a siphon: a ring on the pipe at its height.
fn hole(drawing: &mut Drawing, paper: &Paper, hole: Option<&(f64, String)>, way: &Way) {
    let Some((height, path)) = hole else { return };
    let mut all: Vec<_> = stretches(way).collect();
    all.extend(drops(way));
    all.reverse();
    let upright = all
        .into_iter()
        .find(|(from, to)| from.0 == to.0 && (from.1.min(to.1)..=from.1.max(to.1)).contains(height));
    if let Some((from, _)) = upright {
        let centre = paper.at((from.0, *height));
        dot(drawing, centre, HOLE_MM, Ink::Ink, path);
        dot(
            drawing,
            centre,
            HOLE_MM - Stroke::Medium.width_mm(),
            Ink::Paper,
            path,
        );
    }
}

/// An arrow where a line ends at a tank; at one that begins there it would point against the water.
fn arrives(drawing: &mut Drawing, paper: &Paper, end: &Join, way: &Way) {
    let (Join::Tank { over_mm, end_mm, .. }, Some((x, _))) = (*end, way.corners_mm.last()) else {
        return;
    };
    let (tip, heading) = match over_mm - end_mm > 0.5 {
        true => ((*x, end_mm), Heading::South),
        false => ((*x, over_mm), way.sides[1].back()),
    };
    let (along, aside) = match heading {
        Heading::East => ((1.0, 0.0), (0.0, 1.0)),
        Heading::West => ((-1.0, 0.0), (0.0, 1.0)),
        Heading::North => ((0.0, 1.0), (1.0, 0.0)),
        Heading::South => ((0.0, -1.0), (1.0, 0.0)),
    };
    let back = |side: f64| {
        (
            tip.0 - 1.8 * along.0 + 0.7 * side * aside.0,
            tip.1 - 1.8 * along.1 + 0.7 * side * aside.1,
        )
    };
    let points = paper.all(&[tip, back(1.0), back(-1.0)]);
    drawing.area(points, Ink::Ink, 1.0, "");
}

/// To which side a pump's outlet looks.
fn outlet(laid: &Laid, pump: usize) -> Turn {
    let ends = laid.parts.pieces.iter().zip(&laid.ways).find_map(|(piece, way)| {
        matches!(piece.ends[0], Join::Pump { stand, out: true } if stand == pump).then_some(way.sides[0])
    });
    match ends {
        Some(Heading::North) => Turn::Up,
        Some(Heading::West) => Turn::Left,
        Some(Heading::South) => Turn::Down,
        Some(Heading::East) | None => Turn::Right,
    }
}

/// The purifier as a box with the sign of a membrane.
fn purifier(drawing: &mut Drawing, paper: &Paper, (x, y): (f64, f64)) {
    let (across, high) = PURIFIER_MM;
    let corners = [
        (x - across, y - high),
        (x + across, y - high),
        (x + across, y + high),
        (x - across, y + high),
    ];
    let mut round = corners.to_vec();
    round.push(corners[0]);
    drawing.area(paper.all(&corners), Ink::Paper, 1.0, "purifier");
    drawing.line(paper.all(&round), Stroke::Medium, Ink::Ink, "purifier");
    drawing.push(
        Shape::Line {
            points: paper.all(&[corners[0], corners[2]]),
            stroke: Stroke::Hair,
            ink: Ink::Ink,
            dashed: true,
        },
        "purifier",
    );
}

fn write(drawing: &mut Drawing, paper: &Paper, name: &Named) {
    if let Some((from, to)) = name.leader {
        drawing.line(paper.all(&[from, to]), Stroke::Hair, Ink::Second, &name.path);
    }
    let middle = 0.5 * (name.area.across.0 + name.area.across.1);
    let first = name.area.upright.1 - name.style.cap_mm();
    for (at, line) in name.lines.iter().enumerate() {
        let place = paper.at((middle, first - at as f64 * LINE * name.style.size_mm));
        drawing.text(place, Anchor::Middle, line, name.style, &name.path);
    }
}

fn title(drawing: &mut Drawing, station: &Station, titled: &str, laid: &Laid) {
    let (left, right) = (MARGIN_MM, drawing.width_mm - MARGIN_MM);
    let legend_mm = laid.legend(right - left).len() as f64 * LEGEND_MM;
    let top = drawing.height_mm - MARGIN_MM - TITLE_MM - legend_mm + 2.0;
    let unit = match station.units() {
        UnitSystem::Si => "mm",
        UnitSystem::Us => "inches",
    };
    drawing.line(vec![at(left, top), at(right, top)], Stroke::Medium, Ink::Ink, "");
    let name = fitted(&format!("{titled}, pipes by height"), right - left, NAME);
    drawing.text(at(left, top + 4.6), Anchor::Start, &name, NAME, "title");
    let scale = laid.scale;
    let facts = [
        format!(
            "heights 1:{scale:.0}, above the floor in {unit}; across as there is room, symbols not to scale"
        ),
        format!("heights 1:{scale:.0}, in {unit}; across as there is room"),
    ];
    let facts = facts.iter().find(|own| QUIET.width_mm(own) <= right - left);
    let facts = facts.map_or_else(|| format!("heights 1:{scale:.0}, in {unit}"), Clone::clone);
    drawing.text(at(left, top + 9.2), Anchor::Start, &facts, QUIET, "");
    for (line, words) in laid.legend(right - left).iter().enumerate() {
        let y = top + 9.2 + (line + 1) as f64 * LEGEND_MM;
        drawing.text(at(left, y), Anchor::Start, words, QUIET, "");
    }
}

/// From one line of what numbers stand for to the next.
pub(super) const LEGEND_MM: f64 = 4.4;

/// What it shows, for those who don't see it.
fn described(station: &Station, laid: &Laid) -> String {
    let units = station.units();
    let said = |height_mm: f64| format_tape(height_mm * laid.scale / 1000.0, units);
    let parts = laid.parts.stands.iter().filter(|own| !own.name.is_empty());
    let told: Vec<String> = parts
        .map(|own| match own.thing {
            Thing::Vessel { .. } => {
                format!("{} from {} to {}", own.name, said(own.low_mm), said(own.high_mm))
            }
            Thing::Draw { .. } | Thing::Tank | Thing::Pump => own.name.clone(),
            _ => format!("{} at {}", own.name, said(0.5 * (own.low_mm + own.high_mm))),
        })
        .collect();
    format!("Heights above the floor. {}.", told.join("; "))
}
