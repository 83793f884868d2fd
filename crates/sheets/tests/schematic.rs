//! The schematic: on stations by chance nothing overlaps, no pipe runs through a thing or along another, and every line
//! is drawn from its one end to its other; the examples are kept as pictures.

use crate::kept;
use crate::proved::{EXAMPLES, proved, read};
use crate::random_station;
use crate::sound_schematic;

use kept::as_it_was;
use proof::Lineup;
use sheets::{Drawing, Ink, Item, Point, Shape, Shows, Stroke, Tags, schematic, svg};
use sound_schematic::{NEAR_MM, grown, pipes, sound, things, within};
use station::Station;

const WIDTHS_MM: [f64; 3] = [88.0, 190.0, 185.2];

/// Many stations by chance, each on one of three papers, by turns with names and with tags.
#[test]
fn stations_by_chance_are_sound() {
    let one = |seed: u64| {
        let station = read(&random_station::station(seed));
        let width = WIDTHS_MM[seed as usize % 3];
        let tags = if seed.is_multiple_of(5) {
            Tags::Isa
        } else {
            Tags::Owner
        };
        let what = format!("station {seed} at {width}");
        let drawing =
            schematic(&station, Shows::Whole(&[]), tags, width).unwrap_or_else(|| panic!("{what}: none"));
        sound(&station, &drawing, &what);
        if seed.is_multiple_of(20) {
            let again = schematic(&station, Shows::Whole(&[]), tags, width).expect("again");
            assert_eq!(svg(&again, true), svg(&drawing, true), "{what}");
        }
    };
    let wanted = std::env::var("STATIONS")
        .ok()
        .and_then(|wanted| wanted.parse().ok());
    let stations: u64 = wanted.unwrap_or(STATIONS);
    let failed = std::sync::Mutex::new(Vec::new());
    std::thread::scope(|scope| {
        for part in 0..4 {
            let failed = &failed;
            scope.spawn(move || {
                for seed in (part..stations).step_by(4) {
                    if let Err(panic) = std::panic::catch_unwind(|| one(seed)) {
                        let told = panic.downcast_ref::<String>().cloned().unwrap_or_default();
                        failed.lock().expect("a list").push(told);
                    }
                }
            });
        }
    });
    let failed = failed.into_inner().expect("a list");
    assert!(
        failed.is_empty(),
        "{} of {stations}:\n{}",
        failed.len(),
        failed.join("\n")
    );
}

/// `scripts/test` draws so many; `STATIONS=400` as many as `scripts/test-long`.
const STATIONS: u64 = 100;

/// The examples as they are, by names and by tags; after a change that was looked at and is meant: BLESS=1 cargo test -p sheets
#[test]
fn examples_as_they_were() {
    for (name, text) in EXAMPLES {
        let own = proved(text);
        let (station, proof) = &*own;
        for width in [88.0, 190.0, 277.0] {
            let drawing = schematic(station, Shows::whole(proof), Tags::Owner, width).expect("lines");
            sound(station, &drawing, &format!("{name} at {width}"));
            as_it_was(&drawing, &format!("schematic-{name}-{width:.0}"));
        }
        let drawing = schematic(station, Shows::whole(proof), Tags::Isa, 190.0).expect("lines");
        sound(station, &drawing, &format!("{name} with tags"));
        as_it_was(&drawing, &format!("schematic-{name}-tags"));
    }
}

/// A line with a valve of every kind, another to a pump.
fn every_symbol() -> String {
    let kinds = [
        "ball",
        "narrow ball",
        "gate",
        "globe",
        "needle",
        "diaphragm",
        "butterfly",
        "swing check",
        "spring check",
        "solenoid",
        "float",
    ];
    let mut text = "title = \"Symbols\"\n[tanks.pool]\nvolume = \"900 L\"\nsalinity = 35\ntemperature = \"24 C\"\n\
        evaporation = \"9 L/day\"\nwater_height = \"500 mm\"\n[vessels.fresh]\nholds = \"fresh\"\nshape = \"cylinder\"\n\
        diameter = \"600 mm\"\nheight = \"900 mm\"\nfloor_height = \"500 mm\"\n[pumps.pump]\n\
        curve = [[\"0 L/min\", \"4.5 m\"], [\"45 L/min\", \"0 m\"]]\nheight = \"300 mm\"\n[draw_points.tap]\n\
        height = \"300 mm\"\n"
        .to_owned();
    for (name, from, to) in [
        ("out", "fresh", "tap"),
        ("in", "fresh", "pump"),
        ("up", "pump", "pool"),
    ] {
        text += &format!(
            "[lines.{name}]\nfrom = \"{from}\"\nto = \"{to}\"\ntube = \"vinyl hose\"\nsize = \"25 mm\"\n\
             length = \"9 m\"\nbarbs = 2\n"
        );
    }
    text += "crest = \"2 m\"\nsiphon_break = \"1.9 m\"\n";
    for kind in kinds {
        text += &format!(
            "[valves.{}]\nline = \"out\"\nkind = \"{kind}\"\n",
            kind.replace(' ', "-")
        );
    }
    text
}

fn lineup(lines: &[&str], open: &[&str], pumps: &[&str]) -> Lineup {
    let owned = |names: &[&str]| {
        names
            .iter()
            .map(|name| (*name).to_owned())
            .collect::<Vec<String>>()
    };
    Lineup {
        name: "task".to_owned(),
        from: "fresh".to_owned(),
        to: "tap".to_owned(),
        by: "gravity",
        found: false,
        valves_open: Some(owned(open)),
        pumps_on: owned(pumps),
        lines: owned(lines),
        strays: Vec::new(),
        moments: Vec::new(),
        delivery: None,
        held_m3: 0.0,
    }
}

/// Symbols as ISO 10628 and ISO 14617 draw them (from memory), open and closed, standing and running; kept as they were
/// looked at.
#[test]
fn symbols_as_they_were() {
    let station = read(&every_symbol());
    let open = schematic(&station, Shows::Whole(&[]), Tags::Owner, 240.0).expect("lines");
    as_it_was(&open, "symbols-open");
    let shut = schematic(
        &station,
        Shows::Task(&lineup(&["in", "up"], &[], &["pump"])),
        Tags::Owner,
        240.0,
    )
    .expect("lines");
    as_it_was(&shut, "symbols-closed");
    // What a person or a controller sets is filled; what the flow or the level sets stays as it is.
    for valve in &station.valves {
        let filled = |drawing: &Drawing| {
            drawing.items.iter().any(|item| {
                item.path == format!("valves.{}", valve.name)
                    && matches!(&item.shape, Shape::Area { points, ink: Ink::Ink, .. }
                        if points.iter().any(|a| points.iter().any(|b| (a.y_mm - b.y_mm).abs() > 3.0)))
            })
        };
        assert!(!filled(&open), "{}", valve.name);
        assert_eq!(filled(&shut), valve.fields.kind.value.is_set(), "{}", valve.name);
    }
}

/// A live drawing is the whole one with the purifier's pieces told apart by their water: none is left without, each has its
/// shape where it was, and product leads to each vessel that is filled.
#[test]
fn a_live_drawing_tells_the_purifiers_waters_apart() {
    for (name, text) in EXAMPLES {
        let station = read(text);
        let whole = schematic(&station, Shows::Whole(&[]), Tags::Owner, 190.0).expect("lines");
        let live = schematic(&station, Shows::Live, Tags::Owner, 190.0).expect("lines");
        let is_pipe = |item: &&Item| matches!(item.shape, Shape::Line { .. }) && item.path == "purifier";
        assert!(!live.items.iter().any(|item| is_pipe(&item)), "{name}");
        for own in whole.items.iter().filter(is_pipe) {
            let mut named = live.items.iter().filter(|item| item.shape == own.shape);
            assert!(named.all(|item| item.path.starts_with("purifier.")), "{name}");
        }
        let others = |drawing: &Drawing| -> Vec<Item> {
            let all = drawing.items.iter().cloned();
            all.filter(|item| {
                let parts = ["purifier.feed", "purifier.waste", "purifier.product", "purifier"];
                let is_pipe = matches!(item.shape, Shape::Line { .. });
                !(is_pipe
                    && parts
                        .iter()
                        .any(|own| item.path == *own || item.path.starts_with("purifier.product.")))
            })
            .collect()
        };
        assert_eq!(others(&whole), others(&live), "{name}");
        if station.purifier.is_none() {
            continue;
        }
        let has = |path: &str| live.items.iter().any(|item| item.path == path);
        assert!(has("purifier.feed") && has("purifier.waste"), "{name}");
        for at in station.filled() {
            let path = format!("purifier.product.{}", station.vessels[at].name);
            assert!(has(&path), "{name}: {path}");
        }
    }
}

/// With a valve setting the lines of its way are heavy and no others, and each has its arrow in the way that water takes.
#[test]
fn the_way_of_a_setting_is_inked() {
    for (name, text) in EXAMPLES {
        let own = proved(text);
        let (station, proof) = &*own;
        for lineup in &proof.lineups.as_ref().expect("lines").lineups {
            let what = format!("{name}, {}", lineup.name);
            let drawing = schematic(station, Shows::Task(lineup), Tags::Owner, 190.0).expect("lines");
            sound(station, &drawing, &what);
            let at = station
                .lineups
                .iter()
                .position(|own| own.name == lineup.name)
                .expect("one");
            let mut here = station.plumbing.tasks[at].from;
            for flowing in &lineup.lines {
                let line = station
                    .lines
                    .iter()
                    .position(|own| own.name == *flowing)
                    .expect("a line");
                let joined = station.plumbing.lines[line];
                let along = here == joined.from;
                here = if along { joined.to } else { joined.from };
                assert!(
                    arrows(&drawing, &format!("lines.{flowing}"), along) > 0,
                    "{what}: {flowing}"
                );
            }
            for line in &station.lines {
                let path = format!("lines.{}", line.name);
                let flows = lineup.lines.contains(&line.name);
                let heavy =
                    drawing
                        .items
                        .iter()
                        .filter(|item| item.path == path)
                        .all(|item| match &item.shape {
                            Shape::Line { stroke, .. } => (*stroke == Stroke::Heavy) == flows,
                            _ => true,
                        });
                assert!(heavy, "{what}: {path}");
                if !flows {
                    assert_eq!(arrows(&drawing, &path, true), 0, "{what}: {path}");
                }
            }
        }
    }
}

/// The ways in which a line flows in any task: by its way from end to end, and by what strays.
fn ways_of(station: &Station, lineups: &[Lineup], line: usize) -> Vec<bool> {
    let (name, mut ways) = (&station.lines[line].name, Vec::new());
    for lineup in lineups {
        let task = station.lineups.iter().position(|own| own.name == lineup.name);
        let mut here = station.plumbing.tasks[task.expect("one")].from;
        for flowing in &lineup.lines {
            let at = station.lines.iter().position(|own| own.name == *flowing);
            let joined = station.plumbing.lines[at.expect("a line")];
            let along = here == joined.from;
            here = if along { joined.to } else { joined.from };
            if flowing == name {
                ways.push(along);
            }
        }
        let strays = lineup.strays.iter().filter(|stray| stray.line == *name);
        ways.extend(strays.map(|stray| stray.flow_m3_per_s > 0.0));
    }
    ways.sort_unstable();
    ways.dedup();
    ways
}

/// The whole has one arrow on each line that flows one way in all tasks, and none on any other.
#[test]
fn arrows_where_water_only_ever_flows_one_way() {
    for (name, text) in EXAMPLES {
        let own = proved(text);
        let (station, proof) = &*own;
        let lineups = &proof.lineups.as_ref().expect("lines").lineups;
        let mut drawn = 0;
        for width in [88.0, 190.0] {
            let drawing = schematic(station, Shows::whole(proof), Tags::Owner, width).expect("lines");
            for (at, line) in station.lines.iter().enumerate() {
                let ways = ways_of(station, lineups, at);
                let (along, wanted) = match ways[..] {
                    [along] => (along, 1),
                    _ => (true, 0),
                };
                let heads = arrows(&drawing, &format!("lines.{}", line.name), along);
                assert_eq!(heads, wanted, "{name} at {width}: {}", line.name);
                drawn += heads;
            }
        }
        assert!(drawn > 0, "{name}");
        let bare = schematic(station, Shows::Whole(&[]), Tags::Owner, 190.0).expect("lines");
        for line in &station.lines {
            let path = format!("lines.{}", line.name);
            assert_eq!(arrows(&bare, &path, true), 0, "{name}: {path}");
        }
    }
}

/// Arrow heads of a line; every one of them must point along it, or against it.
fn arrows(drawing: &Drawing, path: &str, along: bool) -> usize {
    let own = drawing.items.iter().filter(|item| item.path == path);
    let heads = own.filter_map(|item| match &item.shape {
        Shape::Area { points, .. } => Some(points),
        _ => None,
    });
    heads
        .map(|head| {
            let tip = head[0];
            let foot = Point {
                x_mm: (head[1].x_mm + head[2].x_mm) / 2.0,
                y_mm: (head[1].y_mm + head[2].y_mm) / 2.0,
            };
            let (x, y) = (tip.x_mm - foot.x_mm, tip.y_mm - foot.y_mm);
            let stretch = pipes(drawing)
                .into_iter()
                .filter(|(own, _)| *own == path)
                .flat_map(|(_, points)| {
                    points
                        .windows(2)
                        .map(|pair| (pair[0], pair[1]))
                        .collect::<Vec<_>>()
                })
                .find(|(a, b)| {
                    let bounds = grown(grown(None, *a, NEAR_MM), *b, NEAR_MM).expect("a box");
                    within(&bounds, tip, 0.0) && within(&bounds, foot, 0.0)
                })
                .expect("it lies on its pipe");
            let dot = x * (stretch.1.x_mm - stretch.0.x_mm) + y * (stretch.1.y_mm - stretch.0.y_mm);
            assert_eq!(dot > 0.0, along, "{path}");
        })
        .count()
}

/// On paper that is wide enough things stand where the file puts them: columns from left to right, rows from above
/// downwards, one column below each other, one row on one line.
#[test]
fn places_of_the_file_hold() {
    let mut placed = 0;
    for seed in 0..60 {
        let station = read(&random_station::station(seed));
        let drawing = schematic(&station, Shows::Whole(&[]), Tags::Owner, 2500.0).expect("lines");
        let things = things(&drawing);
        let mut own: Vec<(String, station::register::Place, bool)> = Vec::new();
        let mut add =
            |path: String, place: Option<&station::register::Field<station::register::Place>>, holds| {
                own.extend(place.map(|place| (path, place.value, holds)));
            };
        for tee in &station.tees {
            add(format!("tees.{}", tee.name), tee.fields.place.as_ref(), false);
        }
        for pump in &station.pumps {
            add(format!("pumps.{}", pump.name), pump.fields.place.as_ref(), false);
        }
        for vessel in &station.vessels {
            add(
                format!("vessels.{}", vessel.name),
                vessel.fields.place.as_ref(),
                true,
            );
        }
        let at = |path: &str| {
            things
                .iter()
                .find(|(own, _)| *own == path)
                .map(|(_, bounds)| *bounds)
                .expect("drawn")
        };
        placed += own.len();
        for (path, place, holds) in &own {
            for (other, theirs, theirs_hold) in &own {
                let (a, b) = (at(path), at(other));
                let what = format!("station {seed}: {path} at {place:?}, {other} at {theirs:?}");
                if place.column < theirs.column {
                    assert!(a.right_mm <= b.left_mm + NEAR_MM, "{what}");
                }
                // The dot of a tee stands at the left of its column, its name beside it.
                if place.column == theirs.column && !path.starts_with("tees.") && !other.starts_with("tees.")
                {
                    assert!(a.left_mm < b.right_mm && b.left_mm < a.right_mm, "{what}");
                }
                if place.row < theirs.row {
                    assert!(a.top_mm < b.top_mm && a.bottom_mm < b.bottom_mm, "{what}");
                }
                if place.row == theirs.row && !holds && !theirs_hold {
                    let middle = |bounds: sheets::Bounds| (bounds.top_mm + bounds.bottom_mm) / 2.0;
                    assert!((middle(a) - middle(b)).abs() < NEAR_MM, "{what}");
                }
            }
        }
    }
    assert!(placed > 60, "{placed}");
}

/// An end in a tank lies in its water where it is lower than it; without a height of its own it is at the water, and is
/// drawn in the air above it.
#[test]
fn ends_in_a_tank_are_drawn_where_they_lie() {
    for (height, below) in [
        ("", false),
        ("tank_height = \"600 mm\"\n", false),
        ("tank_height = \"500 mm\"\n", false),
        ("tank_height = \"400 mm\"\n", true),
    ] {
        let hole = "siphon_break = \"1.9 m\"\n";
        let text = every_symbol().replace(hole, &format!("{hole}{height}"))
            + "[lines.away]\nfrom = \"pool\"\nto = \"low-tap\"\ntube = \"vinyl hose\"\nsize = \"25 mm\"\n\
               length = \"9 m\"\nbarbs = 2\n"
            + height
            + "[draw_points.low-tap]\nheight = \"100 mm\"\n";
        let drawing = schematic(&read(&text), Shows::Whole(&[]), Tags::Owner, 240.0).expect("lines");
        let of_tank = |own: Stroke| {
            let lines = drawing.items.iter().filter(|item| item.path == "tanks.pool");
            let mut found = lines.filter_map(|item| match &item.shape {
                Shape::Line { points, stroke, .. } if *stroke == own => Some(points.clone()),
                _ => None,
            });
            found.next().expect("drawn")
        };
        let surface_mm = of_tank(Stroke::Hair)[0].y_mm;
        let walls = of_tank(Stroke::Heavy);
        let wall_mm = walls.iter().map(|point| point.x_mm).fold(0.0, f64::max);
        let way = |path: &str| -> Vec<Vec<Point>> {
            let own = pipes(&drawing).into_iter().filter(|(own, _)| *own == path);
            own.map(|(_, points)| points.to_vec()).collect()
        };
        let up = way("lines.up");
        let end = up.last().and_then(|points| points.last()).expect("an end");
        assert_eq!(end.y_mm > surface_mm, below, "{height}");
        let away = way("lines.away");
        let begin = away
            .first()
            .and_then(|points| points.first())
            .expect("a beginning");
        assert_eq!(begin.x_mm < wall_mm - NEAR_MM, below, "{height}");
    }
}
