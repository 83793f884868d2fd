//! What a schematic must be: nothing on another, no pipe through a thing or along another, every line drawn from its one
//! end to its other. All of it is asked of the drawing, not of the layout.

use sheets::{Bounds, Drawing, Item, Point, Shape};
use station::Station;
use station::plumbing::End;

use crate::legible::legible;

pub(crate) const NEAR_MM: f64 = 0.01;

/// Whether an item is pipe: what joins things, not a thing.
fn is_pipe(item: &Item) -> bool {
    let path = item.path.as_str();
    let joins = path == "purifier"
        || path.starts_with("tees.")
        || path.starts_with("lines.") && !path.ends_with(".siphon_break");
    joins && matches!(item.shape, Shape::Line { .. })
}

pub(crate) fn grown(bounds: Option<Bounds>, point: Point, by: f64) -> Option<Bounds> {
    let own = Bounds {
        left_mm: point.x_mm - by,
        right_mm: point.x_mm + by,
        top_mm: point.y_mm - by,
        bottom_mm: point.y_mm + by,
    };
    Some(match bounds {
        None => own,
        Some(bounds) => Bounds {
            left_mm: bounds.left_mm.min(own.left_mm),
            right_mm: bounds.right_mm.max(own.right_mm),
            top_mm: bounds.top_mm.min(own.top_mm),
            bottom_mm: bounds.bottom_mm.max(own.bottom_mm),
        },
    })
}

/// The box of a shape that is no text.
fn box_of(shape: &Shape) -> Option<Bounds> {
    match shape {
        Shape::Line { points, .. } | Shape::Area { points, .. } => points
            .iter()
            .fold(None, |bounds, point| grown(bounds, *point, 0.0)),
        Shape::Dot {
            centre, radius_mm, ..
        } => grown(None, *centre, *radius_mm),
        Shape::Text { .. } => None,
    }
}

/// Every thing with its box: all shapes of one path in one place; each dot of a joint for itself.
pub(crate) fn things(drawing: &Drawing) -> Vec<(&str, Bounds)> {
    let mut things: Vec<(&str, Bounds)> = Vec::new();
    for item in &drawing.items {
        // An arrow head lies on its pipe.
        let arrow = item.path.starts_with("lines.") && !item.path.ends_with(".siphon_break");
        if is_pipe(item) || arrow {
            continue;
        }
        let Some(own) = box_of(&item.shape) else { continue };
        let joint = item.path == "purifier" || item.path.starts_with("tees.");
        match things.iter_mut().find(|(path, _)| !joint && *path == item.path) {
            Some((_, bounds)) => {
                let corners = [
                    Point {
                        x_mm: own.left_mm,
                        y_mm: own.top_mm,
                    },
                    Point {
                        x_mm: own.right_mm,
                        y_mm: own.bottom_mm,
                    },
                ];
                for corner in corners {
                    *bounds = grown(Some(*bounds), corner, 0.0).expect("a box");
                }
            }
            None => things.push((&item.path, own)),
        }
    }
    things
}

pub(crate) fn pipes(drawing: &Drawing) -> Vec<(&str, &[Point])> {
    let pipes = drawing.items.iter().filter(|item| is_pipe(item));
    pipes
        .filter_map(|item| match &item.shape {
            Shape::Line { points, .. } => Some((item.path.as_str(), points.as_slice())),
            _ => None,
        })
        .collect()
}

pub(crate) fn within(bounds: &Bounds, point: Point, by: f64) -> bool {
    point.x_mm >= bounds.left_mm - by
        && point.x_mm <= bounds.right_mm + by
        && point.y_mm >= bounds.top_mm - by
        && point.y_mm <= bounds.bottom_mm + by
}

/// Whether an upright or level stretch runs through a box.
fn runs_through(bounds: &Bounds, from: Point, to: Point) -> bool {
    let stretch = Bounds {
        left_mm: from.x_mm.min(to.x_mm) - 2.0 * NEAR_MM,
        right_mm: from.x_mm.max(to.x_mm) + 2.0 * NEAR_MM,
        top_mm: from.y_mm.min(to.y_mm) - 2.0 * NEAR_MM,
        bottom_mm: from.y_mm.max(to.y_mm) + 2.0 * NEAR_MM,
    };
    let inner = Bounds {
        left_mm: bounds.left_mm + 3.0 * NEAR_MM,
        right_mm: bounds.right_mm - 3.0 * NEAR_MM,
        top_mm: bounds.top_mm + 3.0 * NEAR_MM,
        bottom_mm: bounds.bottom_mm - 3.0 * NEAR_MM,
    };
    stretch.overlaps(&inner)
}

fn near(a: Point, b: Point) -> bool {
    (a.x_mm - b.x_mm).abs() < NEAR_MM && (a.y_mm - b.y_mm).abs() < NEAR_MM
}

/// Everything that a schematic must be.
pub(crate) fn sound(station: &Station, drawing: &Drawing, what: &str) {
    legible(drawing, what);
    let things = things(drawing);
    for (at, (path, bounds)) in things.iter().enumerate() {
        assert!(
            bounds.left_mm >= 3.5
                && bounds.right_mm <= drawing.width_mm - 3.5
                && bounds.top_mm >= 0.0
                && bounds.bottom_mm <= drawing.height_mm,
            "{what}: {path} leaves the paper"
        );
        for (other, theirs) in &things[at + 1..] {
            // A level switch is part of its vessel.
            let part = other.starts_with(&format!("{path}.")) || path.starts_with(&format!("{other}."));
            assert!(part || !bounds.overlaps(theirs), "{what}: {path} lies on {other}");
        }
        for (theirs, text) in drawing.text_bounds() {
            let own = drawing.items.iter().any(|item| {
                matches!(&item.shape, Shape::Text { text: own, .. } if own == text)
                    && (item.path == *path || item.path.starts_with(&format!("{path}.")))
            });
            let holds = path.starts_with("vessels.") || path.starts_with("tanks.");
            assert!(
                own && holds || path.ends_with("_level") || !bounds.overlaps(&theirs),
                "{what}: {text} lies on {path}"
            );
        }
    }
    free_pipes(drawing, &things, what);
    for (at, line) in station.lines.iter().enumerate() {
        let joined = station.plumbing.lines[at];
        joins(
            station,
            drawing,
            &things,
            (at, &line.name, joined.from, joined.to),
            what,
        );
    }
}

/// Pipes stay on the paper, run through nothing, along nothing, and meet only where they are joined.
fn free_pipes(drawing: &Drawing, things: &[(&str, Bounds)], what: &str) {
    let pipes = pipes(drawing);
    for (at, (path, points)) in pipes.iter().enumerate() {
        let (first, last) = (points[0], points[points.len() - 1]);
        for pair in points.windows(2) {
            assert!(
                pair[0].x_mm == pair[1].x_mm || pair[0].y_mm == pair[1].y_mm || near(pair[0], pair[1]),
                "{what}: {path} runs aslant"
            );
            for (thing, bounds) in things {
                // A pipe ends in the vessel that it fills, and in the dot where it is joined.
                let ends = [first, last].iter().any(|end| within(bounds, *end, NEAR_MM));
                let fills = thing.starts_with("vessels.") || thing.starts_with("tanks.");
                let dot = *thing == "purifier" || thing.starts_with("tees.");
                assert!(
                    ends && (fills || dot) || !runs_through(bounds, pair[0], pair[1]),
                    "{what}: {path} runs through {thing}"
                );
            }
        }
        for (other, theirs) in &pipes[at + 1..] {
            for mine in points.windows(2) {
                for yours in theirs.windows(2) {
                    apart((path, mine), (other, yours), (points, theirs), what);
                }
            }
        }
    }
}

/// Two stretches don't lie on each other, and where one ends or bends on the other both are joined there.
fn apart(
    (path, mine): (&str, &[Point]),
    (other, yours): (&str, &[Point]),
    (whole, theirs): (&[Point], &[Point]),
    what: &str,
) {
    let ends = |points: &[Point]| [points[0], points[points.len() - 1]];
    let level = |pair: &[Point]| (pair[0].y_mm - pair[1].y_mm).abs() < NEAR_MM;
    let span = |a: f64, b: f64, c: f64, d: f64| a.max(b).min(c.max(d)) - a.min(b).max(c.min(d));
    let across = span(mine[0].x_mm, mine[1].x_mm, yours[0].x_mm, yours[1].x_mm);
    let down = span(mine[0].y_mm, mine[1].y_mm, yours[0].y_mm, yours[1].y_mm);
    if level(mine) == level(yours) {
        let (along, beside) = if level(mine) {
            (across, down)
        } else {
            (down, across)
        };
        // Nearer than a millimetre two lines read as one.
        assert!(
            along < NEAR_MM || beside < -1.0,
            "{what}: {path} runs along {other} ({along}, {beside})"
        );
        return;
    }
    if across < -NEAR_MM || down < -NEAR_MM {
        return;
    }
    // They touch or cross: in both at the end of the whole, or in neither at an end of the stretch.
    let point = match level(mine) {
        true => Point {
            x_mm: yours[0].x_mm,
            y_mm: mine[0].y_mm,
        },
        false => Point {
            x_mm: mine[0].x_mm,
            y_mm: yours[0].y_mm,
        },
    };
    let at_end = |pair: &[Point]| pair.iter().any(|end| near(*end, point));
    if at_end(mine) || at_end(yours) {
        let joined = ends(whole).iter().any(|end| near(*end, point))
            && ends(theirs).iter().any(|end| near(*end, point));
        assert!(joined, "{what}: {path} touches {other} at {point:?}");
    }
}

/// From its one end to its other a line is one: pipe to valve to pipe.
fn joins(
    station: &Station,
    drawing: &Drawing,
    things: &[(&str, Bounds)],
    (line, name, from, to): (usize, &str, End, End),
    what: &str,
) {
    let path = format!("lines.{name}");
    let hole = format!("{path}.siphon_break");
    let end_path = |end: End| {
        let section = match end {
            End::Vessel(_) => "vessels",
            End::Tank(_) => "tanks",
            End::Pump(_) => "pumps",
            End::Tee(_) => "tees",
            End::Draw(_) => "draw_points",
        };
        format!("{section}.{}", station.name_of(end))
    };
    let valves: Vec<String> = station
        .plumbing
        .valves_of(line)
        .map(|valve| format!("valves.{}", station.valves[valve].name))
        .collect();
    // Each piece as the boxes of where it touches: the ends of a pipe, the whole of a symbol.
    let mut pieces: Vec<(&str, Vec<Bounds>)> = pipes(drawing)
        .into_iter()
        .filter(|(own, _)| *own == path)
        .map(|(own, points)| {
            let ends = [points[0], points[points.len() - 1]];
            (
                own,
                ends.iter().filter_map(|end| grown(None, *end, NEAR_MM)).collect(),
            )
        })
        .collect();
    let symbols = things
        .iter()
        .filter(|(own, _)| valves.iter().any(|valve| valve == own));
    pieces.extend(symbols.map(|(own, bounds)| (*own, vec![*bounds])));
    // A hole is a hole in the pipe.
    if let Some((_, bounds)) = things.iter().find(|(own, _)| *own == hole) {
        let foot = Point {
            x_mm: (bounds.left_mm + bounds.right_mm) / 2.0,
            y_mm: bounds.bottom_mm,
        };
        let mut stretches = pipes(drawing)
            .into_iter()
            .filter(|(own, _)| *own == path)
            .flat_map(|(_, points)| points.windows(2));
        assert!(
            stretches.any(|pair| {
                let own = grown(grown(None, pair[0], NEAR_MM), pair[1], NEAR_MM);
                own.is_some_and(|own| within(&own, foot, 0.0))
            }),
            "{what}: {hole} is in no pipe"
        );
    }
    let [from, to] = [from, to].map(end_path);
    let ends: Vec<(&str, Bounds)> = things
        .iter()
        .filter(|(own, _)| *own == from || *own == to)
        .copied()
        .collect();
    for (own, _) in pieces.iter().filter(|(own, _)| *own != path) {
        assert!(things.iter().any(|(thing, _)| thing == own));
    }
    for valve in &valves {
        assert!(
            pieces.iter().any(|(own, _)| own == valve),
            "{what}: {valve} isn't drawn"
        );
    }
    let touch = |a: &[Bounds], b: &[Bounds]| {
        a.iter().any(|a| {
            b.iter().any(|b| {
                a.left_mm <= b.right_mm + NEAR_MM
                    && b.left_mm <= a.right_mm + NEAR_MM
                    && a.top_mm <= b.bottom_mm + NEAR_MM
                    && b.top_mm <= a.bottom_mm + NEAR_MM
            })
        })
    };
    // From its beginning along what touches, without going through its end.
    let mut reached = vec![false; pieces.len()];
    let beginnings: Vec<Bounds> = ends
        .iter()
        .filter(|(own, _)| *own == from)
        .map(|(_, own)| *own)
        .collect();
    let mut open: Vec<usize> = (0..pieces.len())
        .filter(|at| touch(&pieces[*at].1, &beginnings))
        .collect();
    while let Some(at) = open.pop() {
        if !reached[at] {
            reached[at] = true;
            open.extend((0..pieces.len()).filter(|other| touch(&pieces[at].1, &pieces[*other].1)));
        }
    }
    assert!(
        !pieces.is_empty() && reached.iter().all(|reached| *reached),
        "{what}: {path} is in pieces"
    );
    let last: Vec<Bounds> = ends
        .iter()
        .filter(|(own, _)| *own == to)
        .map(|(_, own)| *own)
        .collect();
    assert!(
        pieces.iter().any(|(_, own)| touch(own, &last)),
        "{what}: {path} doesn't come to {to}"
    );
}
