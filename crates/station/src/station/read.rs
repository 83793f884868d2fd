//! Walking the sections of a file, in the order in which their faults are best told.

use core::ops::Range;

use toml::de::{DeTable, DeValue};

use super::body::{item_shape, other_shape, read_vessel};
use super::spoken::Names;
use super::syntax::{first_line_end, in_plain_words, unclosed_brace};
use super::{Named, Purifier, Station, Tank, names};
use crate::check;
use crate::edit::Places;
use crate::fault::Fault;
use crate::file::SectionReader;
use crate::plumbing::Plumbing;
use crate::quantity::UnitSystem;
use crate::register::Context;
use crate::sections::{
    BedFields, DeliveredFields, Display, DrawFields, FailureFields, FeedFields, FeedState, FilterFields,
    HolidayFields, InstrumentFields, LineFields, LineupFields, MembraneFields, People, Prices, PumpFields,
    PurifierFields, Reserve, Room, SaltFields, TankFields, TeeFields, Title, Units, ValveFields,
    VesselFields, dimensions_of,
};

pub(super) fn read_all(text: &str, faults: &mut Vec<Fault>, slips: &mut Vec<Fault>) -> Option<Station> {
    if text.len() > 1_000_000 {
        faults.push(Fault {
            span: 0..0,
            what: "the file is larger than a million bytes".into(),
            why: String::new(),
            mend: "a station file is a few pages of text; is this the right file?".into(),
        });
        return None;
    }
    let (root, syntax) = DeTable::parse_recoverable(text);
    // One brace that isn't closed makes nonsense of every line behind it: that is told, and nothing else.
    if syntax
        .iter()
        .any(|error| error.message().contains("unclosed inline table"))
        && let Some(span) = unclosed_brace(text)
    {
        slips.push(Fault {
            span,
            what: "this `{` isn't closed on its line".into(),
            why: "what stands behind it can't be read".into(),
            mend: "end the line with }".into(),
        });
        return None;
    }
    for error in &syntax {
        let span = error.span().unwrap_or(0..0);
        slips.push(Fault {
            span: span.start.min(text.len())..span.end.min(text.len()),
            what: in_plain_words(error.message()),
            why: String::new(),
            mend: "a line is `key = \"value with unit\"`; a section begins with [name]".into(),
        });
    }
    let root = root.get_ref();
    let end = text.len()..text.len();

    // The currency decides how prices are read, so the display comes first.
    let plain = Context::default();
    let display = one(root, "display", &plain, faults, &end, Display::read);
    let currency = display
        .as_ref()
        .and_then(|display| check::currency(display, faults));
    let context = Context {
        currency: currency.unwrap_or_default(),
        units: match display.as_ref().map(|display| display.units.value) {
            Some(Units::Us) => UnitSystem::Us,
            _ => UnitSystem::Si,
        },
    };

    let title = {
        let mut reader = SectionReader::new(Some(root), "", 0..first_line_end(text), &context, faults);
        let title = Title::read(&mut reader);
        reader.finish(
            &[
                "display",
                "room",
                "people",
                "holidays",
                "tanks",
                "vessels",
                "salt",
                "feed",
                "feed_states",
                "purifier",
                "filters",
                "membranes",
                "resin_beds",
                "delivered",
                "pumps",
                "tees",
                "draw_points",
                "lines",
                "valves",
                "lineups",
                "instruments",
                "reserve",
                "failures",
                "prices",
            ],
            |_| None,
        );
        title
    };
    let room = one(root, "room", &context, faults, &end, Room::read);
    let people = one(root, "people", &context, faults, &end, People::read);
    let holidays = many(
        root,
        "holidays",
        &context,
        faults,
        &end,
        named(HolidayFields::read),
    );
    let tanks = many(root, "tanks", &context, faults, &end, read_tank);
    let vessels = many(root, "vessels", &context, faults, &end, read_vessel);
    let instruments = many(root, "instruments", &context, faults, &end, |reader, name, _| {
        InstrumentFields::read(reader).map(|fields| (name.to_owned(), fields))
    });
    let salt = maybe(root, "salt", &context, faults, SaltFields::read);
    let feed = maybe(root, "feed", &context, faults, FeedFields::read);
    let feed_states = many(
        root,
        "feed_states",
        &context,
        faults,
        &end,
        named(FeedState::read),
    );
    let filters = many(root, "filters", &context, faults, &end, named(FilterFields::read));
    let membranes = many(
        root,
        "membranes",
        &context,
        faults,
        &end,
        named(MembraneFields::read),
    );
    let beds = many(root, "resin_beds", &context, faults, &end, named(BedFields::read));
    let delivered = many(
        root,
        "delivered",
        &context,
        faults,
        &end,
        named(DeliveredFields::read),
    );
    let pumps = many(root, "pumps", &context, faults, &end, named(PumpFields::read));
    let tees = many(root, "tees", &context, faults, &end, named(TeeFields::read));
    let draw_points = many(
        root,
        "draw_points",
        &context,
        faults,
        &end,
        named(DrawFields::read),
    );
    let lines = many(root, "lines", &context, faults, &end, named(LineFields::read));
    let valves = many(root, "valves", &context, faults, &end, named(ValveFields::read));
    let lineups = many(root, "lineups", &context, faults, &end, named(LineupFields::read));
    let shared = maybe(root, "purifier", &context, faults, PurifierFields::read);
    let reserve = one(root, "reserve", &context, faults, &end, Reserve::read);
    let failures = many(
        root,
        "failures",
        &context,
        faults,
        &end,
        named(FailureFields::read),
    );
    let prices = one(root, "prices", &context, faults, &end, Prices::read);

    if vessels.as_ref().is_some_and(Vec::is_empty) {
        faults.push(Fault {
            span: end,
            what: "there is no vessel in this file".into(),
            why: "a station holds water in at least one vessel".into(),
            mend: "add a section [vessels.fresh] with holds, shape and dimensions".into(),
        });
        return None;
    }
    Some(Station {
        text: text.to_owned(),
        title: title?,
        display: display?,
        room: room?,
        people: people?,
        holidays: holidays?,
        tanks: tanks?,
        vessels: vessels?,
        salt: salt?.map(|(salt, _)| salt),
        instruments: instruments?,
        reserve: reserve?,
        failures: failures?,
        prices: prices?,
        feed: feed?.map(|(feed, _)| feed),
        feed_states: feed_states?,
        feed_state: None,
        usual_feed: None,
        purifier: match shared? {
            Some((fields, span)) => Some(Purifier {
                fields,
                filters: filters?,
                membranes: membranes?,
                beds: beds?,
                span,
            }),
            None => {
                stages_without_purifier(root, faults);
                None
            }
        },
        delivered: delivered?,
        pumps: pumps?,
        tees: tees?,
        draw_points: draw_points?,
        lines: lines?,
        valves: valves?,
        lineups: lineups?,
        plumbing: Plumbing::default(),
        places: Places::of(root),
        names: Names::default(),
    })
}

/// Stages that nothing holds together.
fn stages_without_purifier(root: &DeTable<'_>, faults: &mut Vec<Fault>) {
    for name in ["filters", "membranes", "resin_beds"] {
        if let Some((key, _)) = root.get_key_value(name) {
            faults.push(Fault {
                span: key.span(),
                what: format!("[{name}] belongs to a purifier, but there is no section [purifier]"),
                why: "it says what starts and stops a run".into(),
                mend: "add [purifier] with control = \"level switches\"".into(),
            });
        }
    }
}

/// How a named section is read.
fn named<F>(
    read: impl Fn(&mut SectionReader<'_, '_>) -> Option<F>,
) -> impl Fn(&mut SectionReader<'_, '_>, &str, Range<usize>) -> Option<Named<F>> {
    move |reader, name, span| {
        read(reader).map(|fields| Named {
            name: name.to_owned(),
            fields,
            span,
        })
    }
}

/// A section that stands once or not at all; `None` outside where it was at fault.
fn maybe<T>(
    root: &DeTable<'_>,
    name: &str,
    context: &Context,
    faults: &mut Vec<Fault>,
    read: impl FnOnce(&mut SectionReader<'_, '_>) -> Option<T>,
) -> Option<Option<(T, Range<usize>)>> {
    match section(root, name, faults) {
        Some((table, span)) => {
            read_one(table, name, span.clone(), context, faults, read).map(|value| Some((value, span)))
        }
        None => Some(None),
    }
}

/// A section of the root, or nothing; a fault where the name stands for something else.
fn section<'r, 't>(
    root: &'r DeTable<'t>,
    name: &str,
    faults: &mut Vec<Fault>,
) -> Option<(&'r DeTable<'t>, Range<usize>)> {
    let (key, value) = root.get_key_value(name)?;
    match value.get_ref() {
        DeValue::Table(table) => Some((table, key.span())),
        _ => {
            faults.push(Fault {
                span: value.span(),
                what: format!("`{name}` is a section, not a value"),
                why: String::new(),
                mend: format!("begin it with [{name}] on a line of its own"),
            });
            None
        }
    }
}

fn read_one<T>(
    table: &DeTable<'_>,
    path: &str,
    span: Range<usize>,
    context: &Context,
    faults: &mut Vec<Fault>,
    read: impl FnOnce(&mut SectionReader<'_, '_>) -> Option<T>,
) -> Option<T> {
    let mut reader = SectionReader::new(Some(table), path, span, context, faults);
    let value = read(&mut reader);
    reader.finish(&[], |_| None);
    value
}

/// A section that stands once, or is left out: then its defaults hold.
fn one<T>(
    root: &DeTable<'_>,
    name: &str,
    context: &Context,
    faults: &mut Vec<Fault>,
    end: &Range<usize>,
    read: impl FnOnce(&mut SectionReader<'_, '_>) -> Option<T>,
) -> Option<T> {
    match section(root, name, faults) {
        Some((table, span)) => read_one(table, name, span, context, faults, read),
        None => read(&mut SectionReader::new(None, name, end.clone(), context, faults)),
    }
}

/// Sections with names of the owner's.
fn many<T>(
    root: &DeTable<'_>,
    name: &str,
    context: &Context,
    faults: &mut Vec<Fault>,
    _end: &Range<usize>,
    mut read: impl FnMut(&mut SectionReader<'_, '_>, &str, Range<usize>) -> Option<T>,
) -> Option<Vec<T>> {
    let Some((table, _)) = section(root, name, faults) else {
        return Some(Vec::new());
    };
    let mut all = Some(Vec::new());
    let mut entries: Vec<_> = table.iter().collect();
    entries.sort_by_key(|(key, _)| key.span().start);
    let all_names: Vec<&str> = entries.iter().map(|(key, _)| key.get_ref().as_ref()).collect();
    for (at, (key, value)) in entries.into_iter().enumerate() {
        let given_name: &str = key.get_ref();
        let DeValue::Table(entry) = value.get_ref() else {
            faults.push(names::no_section(name, given_name, key.span()));
            all = None;
            continue;
        };
        if let Some(fault) = names::check(name, given_name, &all_names[..at], key.span()) {
            faults.push(fault);
            all = None;
            continue;
        }
        let mut reader = SectionReader::new(
            Some(entry),
            format!("{name}.{given_name}"),
            key.span(),
            context,
            faults,
        );
        let item = read(&mut reader, given_name, key.span());
        if name == "vessels" {
            let shape = item_shape(entry);
            let own = shape.map_or(&[][..], dimensions_of);
            let keys: Vec<&'static str> = match shape {
                Some(_) => own.iter().map(|spec| spec.key).collect(),
                None => VesselFields::SPEC.variants.map_or(Vec::new(), |variants| {
                    variants
                        .cases
                        .iter()
                        .flat_map(|(_, fields)| fields.iter().map(|spec| spec.key))
                        .collect()
                }),
            };
            reader.finish(&keys, |key| other_shape(key, shape));
        } else {
            reader.finish(&[], |_| None);
        }
        match (item, &mut all) {
            (Some(item), Some(all)) => all.push(item),
            _ => all = None,
        }
    }
    all
}

fn read_tank(reader: &mut SectionReader<'_, '_>, name: &str, span: Range<usize>) -> Option<Tank> {
    TankFields::read(reader).map(|fields| Tank {
        name: name.to_owned(),
        fields,
        span,
    })
}
